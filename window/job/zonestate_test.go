package job

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/window/boat"
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

// On stands a ladder leads up to her deck, unless the file says otherwise.
func TestPreset_HighAshore(t *testing.T) {
	read := func(afloat, zones string) *Job {
		return parse(t, jobWith("boat: {kind: sailing-yacht, length_m: 12, bow: N, afloat: "+afloat+"}", zones))
	}
	ashore := read("false", "zones:!")
	assert.Equal(t, boat.Ladder, zone(t, ashore, "port side").Access)
	assert.True(t, zone(t, ashore, "foredeck").Climbed)
	assert.Equal(t, boat.Ashore, zone(t, ashore, "port underwater body").Access)
	own := read("false", "zones:\n  - {name: port side, access: ashore}\n  - {name: foredeck, access: deck}")
	assert.Equal(t, boat.Ashore, zone(t, own, "port side").Access)
	deck := zone(t, own, "foredeck")
	assert.False(t, deck.AtHeight())
	afloat := read("true", "zones:!")
	assert.Equal(t, boat.Deck, zone(t, afloat, "port side").Access)
	assert.False(t, zone(t, afloat, "foredeck").Climbed)
}
