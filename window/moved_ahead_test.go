package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// Work that moves forward so that what comes after it may stay is told by that, and not by
// others who would take its hours: they are free.
func TestMoveWhyOfWhatComesAfter(t *testing.T) {
	f, now := calm(8), on(2, 14, 0)
	j := sealJob(t)
	j.Zones[2].DrainsTo, j.People = nil, 1
	j.Steps = []job.Step{
		{Name: "compound", Do: "correct", With: "compound-dual-action", On: []int{0}},
		{Name: "polish", Do: "correct", With: "finishing-polish", On: []int{0}},
	}
	at := func(step string, from, to time.Time) window.Booked {
		return window.Booked{Step: step, Zone: "port side", Coat: 1, From: from, To: to, People: []int{1}, State: verdict.Go, Confidence: 1}
	}
	in := moving(t, f, j, now)
	in.Old = []window.Booked{at("compound", on(5, 9, 0), on(5, 12, 0)), at("polish", on(4, 9, 0), on(4, 12, 0))}
	m := moved(t, in)
	require.True(t, m.Planned.Found)
	seen := false
	for _, c := range m.Changes {
		if c.Old != 0 {
			continue
		}
		seen = true
		assert.Equal(t, []any{window.Shifted, window.WhyAhead, "order_after"}, []any{c.Became, c.Why, c.Why.String()})
		require.GreaterOrEqual(t, c.Other, 0)
		after := m.Planned.Blocks[c.Other]
		assert.Equal(t, "polish", j.Steps[m.Planned.Tasks[after.Task].Step].Name)
		assert.Less(t, m.Planned.Blocks[c.New].From, after.From)
	}
	assert.True(t, seen)
}
