package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// Who compounds the first half and seals all of it has not done the block of the second
// half: it is dropped, and why is told.
func TestMove_SealedHalfCorrected(t *testing.T) {
	f, now := calm(6), on(3, 6, 0)
	j := stepsOn(t, on(2, 9, 0), 0, rotary, job.Step{Do: "seal", With: "polymer-sealant"})
	j.Zones[0].Done = map[string]boat.Done{"correct": {At: on(1, 12, 0), Share: 0.5}, "seal": {At: on(2, 12, 0), Share: 1}}
	in := moving(t, f, j, now)
	block := func(step string, from time.Time) window.Booked {
		return window.Booked{Step: step, Zone: "port side", From: from, To: from.Add(2 * time.Hour), People: []int{1}}
	}
	in.Old = []window.Booked{block("correct", on(1, 10, 0)), block("correct", on(2, 8, 0)), block("seal", on(2, 10, 0))}
	m := moved(t, in)
	assert.True(t, m.Planned.Found)
	assert.Empty(t, m.Planned.Blocks)
	assert.Equal(t, []window.Change{
		{Became: window.Done, Old: 0, New: -1, Other: -1},
		{Became: window.Dropped, Old: 1, New: -1, Other: -1, Why: window.WhyCovered},
		{Became: window.Done, Old: 2, New: -1, Other: -1},
	}, m.Changes)
}
