package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// EST has no summer time: whoever writes it for New York is an hour off from March to
// November, and told so with the line. Cities, whether their clocks change or not, and UTC
// are what they say.
func TestParse_ZoneThatKeepsOneClock(t *testing.T) {
	for zone, warned := range map[string]bool{
		"EST": true, "MST": true, "HST": true, "Etc/GMT+5": true, "GMT": true,
		"EST5EDT": false, "America/New_York": false, "America/Phoenix": false, "Asia/Dubai": false, "Pacific/Honolulu": false, "UTC": false, "Etc/UTC": false,
	} {
		j, err := Parse("job.yaml", []byte("place: {name: Q, latitude: 43.07, longitude: -70.74, timezone: "+zone+"}\n"+
			"boat: {name: T, bow: 200}\nzones: [{name: deck, tilt: 0, finish: white-gelcoat}]\nsteps: [{do: wash, with: soap-wash}]\n"), catalogue(t), Options{})
		require.NoError(t, err, zone)
		all := strings.Join(j.Warnings, "\n")
		assert.Equal(t, warned, strings.Contains(all, "job.yaml:1:64: the time zone "+zone+" keeps one clock all the year"), "%s: %s", zone, all)
	}
}
