package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Ashore the topsides drain onto the bottom; afloat there is none to drain onto.
func TestPreset_DrainsWhereTheBottomIs(t *testing.T) {
	side := func(afloat string) []string {
		j := parse(t, jobWith("boat: {kind: sailing-yacht, length_m: 12, bow: N, afloat: "+afloat+"}", "zones:!"))
		return zone(t, j, "port side").DrainsTo
	}
	assert.Equal(t, []string{"port underwater body"}, side("false"))
	assert.Empty(t, side("true"))
}
