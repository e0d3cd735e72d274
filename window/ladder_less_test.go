package window_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// sides is a job of one person on so many sides in one dry day, each to be polished and
// sealed, with hours that are worked in.
func sides(t *testing.T, areas ...float64) *job.Job {
	j := smallJob(t, "spray-sealant")
	one := j.Zones[0]
	one.Faces = 160 // north: in the shade all day
	j.People, j.Zones = 1, nil
	j.By = job.Date{Year: 2026, Month: 9, Day: 1}
	for i, a := range areas {
		one.Name, one.AreaM2 = string(rune('a'+i))+" side", a
		j.Zones = append(j.Zones, one)
	}
	j.Steps = []job.Step{
		{Name: "correct", Do: "correct", With: "finishing-polish", Coats: 1},
		{Name: "seal", Do: "seal", With: "spray-sealant", Coats: 1},
	}
	for s := range j.Steps {
		for z := range j.Zones {
			j.Steps[s].On = append(j.Steps[s].On, z)
		}
	}
	return j
}

// refusedLadder is why a job has no plan, and the ways to get on by their names.
func refusedLadder(t *testing.T, j *job.Job, f *forecast.Forecast) (*window.Planned, map[window.Way]window.Rung) {
	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	p, err := window.Plan(r, j, window.PlanSettings{Budget: 100_000})
	require.NoError(t, err)
	require.NotNil(t, p.Refusal)
	rungs, err := window.Ladder(window.LadderInput{
		Input: in, Known: classes(t), Refused: p, Result: r, Plan: window.PlanSettings{Budget: 100_000}, RestBudget: 200_000,
	})
	require.NoError(t, err)
	out := map[window.Way]window.Rung{}
	for _, x := range rungs {
		out[x.Way] = x
	}
	return p, out
}

// All has a place, but one pair of hands cannot do it by the day that is promised: a helper is
// looked for, and what can be done without one is told, with as little as may be left out.
func TestLadder_TooMuchForOne(t *testing.T) {
	j := sides(t, 9, 5, 13)
	p, ways := refusedLadder(t, j, calm(3))
	require.Negative(t, p.Refusal.Task)

	help, ok := ways[window.WayHelper]
	require.True(t, ok, "%+v", p.Refusal)
	assert.Equal(t, "2 people there, one more than now", help.What)
	assert.True(t, works(help))
	assert.Equal(t, 2, help.Job.People)
	assert.Equal(t, 1, j.People, "the job itself stays")

	rest, ok := ways[window.WayRest]
	require.True(t, ok)
	require.True(t, works(rest))
	assert.Equal(t, "all but correct on b side; seal there falls with it", rest.What, "the least work that makes room")
	assert.Equal(t, 2, rest.Rest)
	assert.False(t, rest.Whole)

	_, ways = refusedLadder(t, sides(t, 14, 14, 14, 14, 14), calm(3))
	help, ok = ways[window.WayHelper]
	require.True(t, ok)
	assert.False(t, works(help), "one more does not do, and is not said to")
}

// Where no single side makes room the largest are left out, while that is the lesser part; a
// job of two sides that do not fit has no lesser part but one of them.
func TestLadder_LeavesOutTheLargest(t *testing.T) {
	_, ways := refusedLadder(t, sides(t, 6.5, 6.5, 6.5, 6.5, 6.5), calm(3))
	rest, ok := ways[window.WayRest]
	require.True(t, ok)
	require.True(t, works(rest))
	assert.Equal(t, 4, rest.Rest, rest.What)

	_, ways = refusedLadder(t, sides(t, 60, 60), calm(3))
	assert.NotContains(t, ways, window.WayRest, "neither fits")
}

// A job that takes longer than the days that are forecast is begun: as many sides as there is
// room for, whole, with one more there is none, and what has been begun comes first.
func TestLadder_AsMuchAsThereIsRoomFor(t *testing.T) {
	areas := []float64{14, 14, 14, 14, 14, 14, 14, 14}
	j := sides(t, areas...)
	_, ways := refusedLadder(t, j, calm(3))
	rest, ok := ways[window.WayRest]
	require.True(t, ok)
	require.True(t, works(rest))
	kept := rest.Job.Steps[0].On
	require.Equal(t, kept, rest.Job.Steps[1].On, "a side is done whole or not at all")
	require.NotEmpty(t, kept)
	assert.Equal(t, 2*(len(areas)-len(kept)), rest.Rest)
	assert.Greater(t, rest.Rest, len(areas), "more is left out than done")
	assert.Equal(t, "as much as there is room for: all but a side, b side and 5 more", rest.What)

	f := calm(3)
	more := sides(t, areas[:len(kept)+1]...)
	r, err := window.Evaluate(window.Input{Forecast: f, Job: more, Classes: catalogue(t), Location: eastern, Now: f.Start})
	require.NoError(t, err)
	p, err := window.Plan(r, more, window.PlanSettings{Budget: 100_000})
	require.NoError(t, err)
	assert.False(t, p.Found, "with one side more there is no plan")

	j.Zones[1].Done = map[string]boat.Done{"correct": {At: f.Start.Add(-time.Hour), Share: 1}}
	_, ways = refusedLadder(t, j, f)
	require.True(t, works(ways[window.WayRest]))
	assert.Contains(t, ways[window.WayRest].Job.Steps[1].On, 1, "it is begun")
	assert.NotContains(t, ways[window.WayRest].What, "b side")

	_, ways = refusedLadder(t, sides(t, 60, 60, 60), f)
	assert.NotContains(t, ways, window.WayRest, "no side of them has room")
}

// A seal that has a place by itself, and none behind the work that must come before it, does
// not stop all else.
func TestLadder_AllButWhatHasNoRoomBehind(t *testing.T) {
	j := sides(t, 4, 22)
	j.Steps[0].On = []int{1}
	f := afternoons(calm(1), 12, 24)
	p, ways := refusedLadder(t, j, f)
	require.True(t, p.Refusal.Certain)
	require.Equal(t, []int{1, 1}, []int{p.Tasks[p.Refusal.Task].Step, p.Tasks[p.Refusal.Task].Zone})
	rest, ok := ways[window.WayRest]
	require.True(t, ok)
	assert.Equal(t, "all but seal on b side", rest.What)
	require.True(t, works(rest))
	assert.Equal(t, []int{0}, rest.Job.Steps[1].On)
	assert.True(t, slices.Contains(rest.Job.Steps[0].On, 1))
}

// Three small sides that can be reached for two hours alone have not all of them room. That keeps
// none of the larger ones out, which are the first to be left out.
func TestLadder_AsMuchIsTakenInAgain(t *testing.T) {
	j := sides(t, 6, 6, 6, 4, 4, 4)
	f := calm(1)
	noon := time.Date(2026, 9, 1, 12, 0, 0, 0, eastern)
	for z := 3; z < len(j.Zones); z++ {
		j.Zones[z].Reach = []boat.Span{{From: noon, To: noon.Add(2 * time.Hour)}}
	}
	_, ways := refusedLadder(t, j, f)
	rest := ways[window.WayRest]
	require.True(t, works(rest))
	large := slices.DeleteFunc(slices.Clone(rest.Job.Steps[1].On), func(z int) bool { return z > 2 })
	assert.Len(t, large, 2, "%s", rest.What)
	assert.Len(t, rest.Job.Steps[1].On, 4, "%s", rest.What)
}
