package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whoever writes starboard for the starboard side of a kind of boat is led to it, and not to
// a tilt that the zone has long had; with a tilt it would be one more zone, and said so.
func TestZones_NameLikeOneOfTheKind(t *testing.T) {
	const boat = "boat: {kind: sailing-yacht, length_m: 12, bow: N}"
	for name, want := range map[string]string{"starboard": "starboard side", "Starboard Side": "starboard side", "fordeck": "foredeck"} {
		_, err := Parse("job.yaml", []byte(jobWith(boat, "zones:\n  - {name: "+name+", finish: navy-gelcoat}")), catalogue(t), Options{})
		var errs Errors
		require.ErrorAs(t, err, &errs, name)
		require.Len(t, errs, 1, name)
		assert.Equal(t, "`tilt` is missing", errs[0].Message)
		assert.Contains(t, errs[0].Fix, "write name: "+want+", if that zone of her kind is meant; else the tilt")
	}
	_, err := Parse("job.yaml", []byte(jobWith(boat, "zones:\n  - {name: anchor locker lid}")), catalogue(t), Options{})
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "of her kind")

	full := func(name string) []string {
		return parse(t, jobWith(boat, "zones:\n  - {name: "+name+", tilt: 90, faces: 90, finish: navy-gelcoat}")).Warnings
	}
	require.Len(t, full("starboard"), 1)
	assert.Contains(t, full("starboard")[0], "zone `starboard` is one more beside the `starboard side` of her kind")
	assert.Empty(t, full("starboard side"))
	assert.Empty(t, full("fordeck locker"), "a name of its own")
}
