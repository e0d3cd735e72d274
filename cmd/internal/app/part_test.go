package app_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// partOfDemo is the demo's job for one person, by a forecast of three days: they are too few.
func partOfDemo(t *testing.T) (f *followed, six time.Time) {
	f = follow(t, []byte(strings.Replace(string(demo.JobFile()), "people: 2", "people: 1", 1)))
	f.ahead = 3
	return f, time.Date(2026, 7, 1, 6, 0, 0, 0, f.zone)
}

// zonesIn are the zones that a plan has a step on.
func zonesIn(blocks []answer.PlanBlock, step string) []string {
	var out []string
	for _, x := range blocks {
		if x.Step == step && !slices.Contains(out, x.Zone) {
			out = append(out, x.Zone)
		}
	}
	return out
}

// Where there is no plan of the whole job, that of a part of it is taken up as any plan: it says
// so, the morning has its work, work is logged by it, a move leaves the rest where it was, and a
// way to get on it is no longer.
func TestPartIsTakenUp(t *testing.T) {
	t.Parallel()
	f, six := partOfDemo(t)
	a, r := f.ask(six)
	before, err := a.Morning(t.Context(), r)
	require.NoError(t, err)

	w := f.week(six.Add(time.Minute))
	require.NotNil(t, w.Plan.Part)
	assert.Positive(t, w.Plan.Part.Rest)
	assert.NotEmpty(t, w.Plan.Part.Why)
	for _, x := range w.Ladder {
		assert.NotEqual(t, "rest", x.Way)
	}
	for _, x := range w.Plan.Blocks {
		assert.False(t, w.Plan.Part.LeavesOut(answer.WorkName{Step: x.Step, Zone: x.Zone}), "%s on %s", x.Step, x.Zone)
	}
	require.NotNil(t, before.Today)
	assert.Nil(t, before.Today.Made, "nobody went by a plan yet")
	assert.Equal(t, zonesIn(w.Plan.Blocks[:len(before.Today.Blocks)], "wash"), zonesIn(before.Today.Blocks, "wash"))

	a, r = f.ask(six.Add(2 * time.Minute))
	after, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	require.NotNil(t, after.Today.Made)

	evening := six.Add(13 * time.Hour)
	a, r = f.ask(evening)
	logged, err := a.LogPlanned(t.Context(), app.PlannedRequest{Request: r, At: on(evening.Format(time.RFC3339))})
	require.NoError(t, err)
	assert.Len(t, logged.Entries, len(after.Today.Blocks))

	next := f.week(six.AddDate(0, 0, 1))
	require.NotNil(t, next.Plan.Held)
	assert.Equal(t, w.Plan.Part, next.Plan.Part)
	assert.Contains(t, next.Plan.Why[1], "as it was made: a part of the job, as much as there is room for: all but ")

	a, r = f.ask(six.AddDate(0, 0, 1).Add(time.Minute))
	m, err := a.Move(t.Context(), app.MoveRequest{Request: r, Needed: true})
	require.NoError(t, err)
	require.NotNil(t, m.Plan.Part)
	assert.Equal(t, w.Plan.Part.Rest, m.Plan.Part.Rest)
	assert.Contains(t, m.Handover.Text, "the rest has no plan yet")
	for _, x := range m.Plan.Blocks {
		assert.False(t, w.Plan.Part.LeavesOut(answer.WorkName{Step: x.Step, Zone: x.Zone}), "%s on %s", x.Step, x.Zone)
	}
}

// Rain on what is done of a part has it washed anew in the part: what is left out is no work that
// the plan has forgotten.
func TestPartIsHeldWithoutTheRest(t *testing.T) {
	t.Parallel()
	f, six := partOfDemo(t)
	w := f.week(six)
	require.NotNil(t, w.Plan.Part)
	out := w.Plan.Part.Out[0]
	require.Equal(t, "wash", out.Step)
	a, r := f.ask(six.Add(-72 * time.Hour))
	_, err := a.LogDone(t.Context(), app.DoneRequest{ // too long ago to stand
		Request: r, Step: out.Step, Zones: []string{out.Zone}, Share: 1, At: on(six.Add(-73 * time.Hour).Format(time.RFC3339)),
	})
	require.NoError(t, err)
	f.evening(six.Add(13*time.Hour), w)
	next := f.week(six.AddDate(0, 0, 1))
	require.NotNil(t, next.Plan.Held)
	for _, s := range next.Warnings {
		if strings.HasPrefix(s, answer.BrokenPlan) {
			assert.NotContains(t, s, "has to be done again and has no block in it")
		}
	}
}
