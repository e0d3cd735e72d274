package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// readyJob is one white side that is washed, compounded, stripped and sealed.
func readyJob(t require.TestingT, area float64) *job.Job {
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].AreaM2, j.People, j.Steps = area, 1, nil
	for _, s := range [][2]string{{"wash", "soap-wash"}, {"correct", "compound-dual-action"}, {"strip wash", "soap-wash"}, {"seal", "polymer-sealant"}} {
		j.Steps = append(j.Steps, job.Step{Name: s[0], Do: s[0], With: s[1], On: []int{0}})
	}
	return j
}

// readyAt is when each step of readyJob can be begun, by the clock there.
func readyAt(t *testing.T, j *job.Job) []string {
	f := calm(3)
	r := evaluate(t, f, j, f.Start)
	require.Len(t, r.Rows, 4)
	needs, out := window.NewNeeds(r, j), []string{}
	for i := range r.Rows {
		out = append(out, r.Grid.At(needs.Ready(i)).In(r.Location).Format("2 15:04"))
	}
	return out
}

// What one person needs for 12 m² at the classes' middle rates, to whole slots: 20 minutes to
// wash (40 m² an hour), four hours to compound (3 m² an hour, all that the hands stand in a
// day), 20 minutes to strip, and an hour to dry.
func TestReady(t *testing.T) {
	ready := func(j *job.Job) []string { return readyAt(t, j) }
	j := readyJob(t, 12)
	first := ready(j)
	assert.Equal(t, []string{"1 00:00", "1 07:20", "1 11:20", "1 12:40"}, first)
	j.People = 2
	assert.Equal(t, []string{"1 00:00", "1 07:10", "1 09:10", "1 10:20"}, ready(j))
	j.Zones[0].Done = map[string]boat.Done{"wash": {Share: 1}, "correct": {Share: 0.5}}
	assert.Equal(t, []string{"1 00:00", "1 00:00", "1 08:00", "1 09:10"}, ready(j))
	j.People, j.Zones[0].AreaM2, j.Zones[0].Done = 1, 13, nil
	assert.Equal(t, []string{"1 00:00", "1 07:20", "2 07:20", "2 08:40"}, ready(j), "the fifth hour at the machine is for another day")
}

// Three people wash 12 m² in ten minutes. With one polisher they compound for four hours as one
// person does, with two for two, with three for eighty minutes, and each is stripped in ten
// minutes and dries for an hour. What is too much for the hands of one is not for those of
// three who take turns: 15 m² are five hours with one polisher, on the same day.
func TestReady_WithFewPolishers(t *testing.T) {
	j := readyJob(t, 12)
	j.People = 3
	for polishers, want := range map[int][]string{
		1: {"1 00:00", "1 07:10", "1 11:10", "1 12:20"},
		2: {"1 00:00", "1 07:10", "1 09:10", "1 10:20"},
		3: {"1 00:00", "1 07:10", "1 08:30", "1 09:40"},
		0: {"1 00:00", "1 07:10", "1 08:30", "1 09:40"},
	} {
		j.Polishers = polishers
		assert.Equal(t, want, readyAt(t, j), "%d polishers", polishers)
	}
	j.Polishers, j.Zones[0].AreaM2 = 1, 15
	assert.Equal(t, "1 12:10", readyAt(t, j)[2])
}

// One polisher more is never later.
func TestReady_MorePolishersAreNeverLater(t *testing.T) {
	sooner := 0
	rapid.Check(t, func(rt *rapid.T) {
		j := readyJob(t, rapid.Float64Range(1, 40).Draw(rt, "m²"))
		j.People, j.Polishers = rapid.IntRange(1, 4).Draw(rt, "people"), rapid.IntRange(1, 4).Draw(rt, "polishers")
		f := calm(4)
		r := evaluate(t, f, j, f.Start)
		more := *j
		more.Polishers++
		few, many := window.NewNeeds(r, j), window.NewNeeds(r, &more)
		for i := range r.Rows {
			require.GreaterOrEqual(rt, few.Ready(i), many.Ready(i), "row %d", i)
			sooner += one(few.Ready(i) > many.Ready(i))
		}
	})
	require.Positive(t, sooner)
}

// No plan begins a step before it can be ready, however short the time it has.
func TestReady_NoPlanIsSooner(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		j := readyJob(t, rapid.Float64Range(1, 16).Draw(rt, "m²"))
		j.People, j.Polishers = rapid.IntRange(1, 3).Draw(rt, "people"), rapid.IntRange(0, 3).Draw(rt, "polishers")
		if rapid.Bool().Draw(rt, "washed") {
			j.Zones[0].Done = map[string]boat.Done{"wash": {Share: 1}}
		}
		f := calm(4)
		j.Hours.Default[0].To = job.Minutes(60 * rapid.IntRange(10, 18).Draw(rt, "home at"))
		r := evaluate(t, f, j, f.Start.Add(time.Duration(rapid.IntRange(0, 24).Draw(rt, "hour"))*time.Hour))
		p, err := window.Plan(r, j, window.PlanSettings{Budget: 20_000})
		require.NoError(rt, err)
		needs := window.NewNeeds(r, j)
		for _, b := range p.Blocks {
			assert.GreaterOrEqual(rt, r.From+b.From, needs.Ready(p.Tasks[b.Task].Row), "step %d", p.Tasks[b.Task].Step)
		}
		if len(r.Rows) > 0 {
			assert.Equal(rt, r.From, needs.Ready(0), "nothing comes before the first")
		}
	})
}
