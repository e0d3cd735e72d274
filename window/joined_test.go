package window

import (
	"testing"

	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
)

// A cure over several members is explained in one unit: that of most of those
// the state hangs on, whatever the others would measure.
func TestJoinedCure(t *testing.T) {
	warm := verdict.Held{Limit: verdict.Cure, State: verdict.Ideal, Value: 19, Known: true, Ideal: 8, Default: 8}
	cold := verdict.Held{Limit: verdict.Cure, State: verdict.NoGo, Value: 5, Known: true, Ideal: 8, Default: 8}
	dry := func(v float32) verdict.Held {
		return verdict.Held{Limit: verdict.Cure, State: verdict.NoGo, Value: v, Known: true, Ideal: 30, Default: 30, Way: verdict.Arid}
	}
	unknown := verdict.Held{Limit: verdict.Cure, State: verdict.Unknown, Ideal: 8, Default: 8}
	for name, c := range map[string]struct {
		members []verdict.Held
		state   verdict.State
		value   float32
		known   bool
		dry     bool
	}{
		"all warm":           {[]verdict.Held{warm, warm, warm}, verdict.Ideal, 19, true, false},
		"two of three dry":   {[]verdict.Held{warm, dry(12), dry(16)}, verdict.NoGo, 14, true, true},
		"one of three dry":   {[]verdict.Held{warm, warm, dry(12)}, verdict.NoGo, 12, true, true}, // 67 % warm are not the 80 asked
		"one of eleven dry":  {[]verdict.Held{warm, warm, warm, warm, warm, warm, warm, warm, warm, warm, dry(12)}, verdict.Ideal, 19, true, false},
		"as many cold":       {[]verdict.Held{cold, dry(12)}, verdict.NoGo, 5, true, false},
		"one of two unknown": {[]verdict.Held{unknown, dry(12)}, verdict.Unknown, 0, false, false},
	} {
		members := make([][]verdict.Held, len(c.members))
		for i, h := range c.members {
			members[i] = []verdict.Held{h}
		}
		got := joined(members, 0, 0.8)
		assert.Equal(t, c.state, got.State, name)
		assert.Equal(t, c.known, got.Known, name)
		assert.Equal(t, c.dry, got.Way == verdict.Arid, name)
		if c.known {
			assert.InDelta(t, c.value, got.Value, 0, name)
		}
		bound := float32(8)
		if c.dry {
			bound = 30
		}
		assert.InDelta(t, bound, got.Default, 0, name)
	}
}

// Rain over several members is explained without a figure where most of those that
// refuse have none, and with it where most have one.
func TestJoinedRain(t *testing.T) {
	rains := verdict.Held{Limit: verdict.Film, State: verdict.NoGo, Way: verdict.Raining}
	wet := verdict.Held{Limit: verdict.Film, State: verdict.NoGo, Value: 30, Known: true}
	dry := verdict.Held{Limit: verdict.Film, State: verdict.Ideal, Known: true}
	join := func(list ...verdict.Held) verdict.Held {
		members := make([][]verdict.Held, len(list))
		for i, h := range list {
			members[i] = []verdict.Held{h}
		}
		return joined(members, 0, 0.8)
	}
	assert.Equal(t, rains, join(dry, rains, rains))
	assert.Equal(t, rains, join(dry, rains, rains, wet))
	assert.Equal(t, wet, join(dry, rains, wet, wet))
	assert.Equal(t, dry, join(dry, dry, dry, dry, rains))
}
