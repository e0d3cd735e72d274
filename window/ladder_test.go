package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
)

func classes(t testing.TB) []products.Class {
	var out []products.Class
	for _, id := range catalogue(t).IDs() {
		c, ok := catalogue(t).Class(id)
		require.True(t, ok)
		out = append(out, c)
	}
	return out
}

// climb tries the ladder, by the way.
func climb(t testing.TB, in window.Input) map[window.Way]window.Rung {
	t.Helper()
	in.Classes, in.Skies = catalogue(t), &skies
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	refused, err := window.Plan(r, in.Job, window.PlanSettings{Budget: 100_000})
	require.NoError(t, err)
	rungs, err := window.Ladder(window.LadderInput{Input: in, Known: classes(t), Refused: refused, Plan: window.PlanSettings{Budget: 100_000}})
	require.NoError(t, err)
	out := map[window.Way]window.Rung{}
	if rungs[0].Way == window.WayRest {
		out[window.WayRest] = rungs[0]
		require.False(t, rungs[0].Whole)
		holdRung(t, in, rungs[0])
		rungs = rungs[1:]
	}
	require.Len(t, rungs, 6)
	for i, x := range rungs {
		require.Equal(t, window.Way(i), x.Way, "in the order in which they are offered")
		require.Equal(t, x.Tried, x.Planned != nil)
		require.True(t, x.Tried || x.Why != "", "what is not tried says why")
		out[x.Way] = x
		if x.Tried {
			holdRung(t, in, x)
		}
	}
	return out
}

// holdRung: the result that a rung was planned on, put together of rows of the
// job's own where it can be, is that of the changed job.
func holdRung(t testing.TB, in window.Input, x window.Rung) {
	t.Helper()
	in.Job = x.Job
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	require.Equal(t, r.Rows, x.Result.Rows, x.Way)
	require.Equal(t, r.Ranked, x.Result.Ranked, x.Way)
	require.Equal(t, []int{r.From, r.To}, []int{x.Result.From, x.Result.To}, x.Way)
}

func works(r window.Rung) bool { return r.Tried && r.Planned.Found }

// Scenario S5 of the trade: in the wet season teak sealer never goes in the open;
// a temporary roof is offered, and no other class seals teak sooner.
func TestLadderTeakInTheWetSeason(t *testing.T) {
	s, j := scenarioJob(t, "s5.txt", 6, []string{"teak"}, job.Step{Do: "coat", With: "teak-sealer"})
	got := climb(t, window.Input{Forecast: s.forecast(surface.Slot), Job: j, Location: s.loc, Now: s.day, Model: surface.HandCheck()})
	assert.False(t, got[window.WayShelter].Tried)
	assert.False(t, got[window.WayWet].Tried)
	assert.False(t, works(got[window.WayClass]))
	sheet := got[window.WaySheet]
	require.True(t, works(sheet), "%+v", sheet.Planned)
	assert.True(t, sheet.Whole)
	assert.Len(t, sheet.Job.Covers, 1)
	assert.Empty(t, j.Covers, "the job that was given is left alone")
	assert.False(t, works(got[window.WayTurn]), "turning does not stop rain")
	assert.False(t, works(got[window.WayNext]))
}

// afternoons is rain from an hour to another on every day.
func afternoons(f *forecast.Forecast, from, to int) *forecast.Forecast {
	for d := 0; d*24 < f.N; d++ {
		rainOn(f, d*24+from, min(f.N, d*24+to))
	}
	return f
}

// Rain every day from noon on: a sealant that wants four hours dry has no morning,
// one that wants fewer does, and the helm under its hardtop goes on, as does the
// wash.
func TestLadderRungs(t *testing.T) {
	j := smallJob(t, "professional-ceramic")
	j.Zones = append(j.Zones, boat.Zone{Name: "helm", Finish: finish(t, "white-gelcoat"), Shelter: boat.Hardtop, AreaM2: 4})
	j.Steps = []job.Step{
		{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0, 1}},
		{Name: "seal", Do: "seal", With: "polymer-sealant", On: []int{0, 1}},
	}
	j.By = job.Date{Year: 2026, Month: 9, Day: 2}
	f := afternoons(calm(6), 10, 21)
	rainOn(f, 0, 0)
	for d := 3; d < 6; d++ { // from the fourth day on it is dry
		for h := range 24 {
			f.Members[0].Columns[forecast.Precipitation].Set(d*24+h, 0)
		}
	}
	got := climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})

	shelter := got[window.WayShelter]
	require.True(t, works(shelter), "%+v", shelter.Planned)
	assert.False(t, shelter.Whole)
	assert.Equal(t, 2, shelter.Rest, "wash and seal of the port side wait")
	for _, task := range shelter.Planned.Tasks {
		assert.Equal(t, 1, task.Zone)
	}

	wet := got[window.WayWet]
	require.True(t, wet.Tried)
	assert.Equal(t, 2, wet.Rest)
	for _, task := range wet.Planned.Tasks {
		assert.Equal(t, 0, task.Step, "only the wash")
	}

	class := got[window.WayClass]
	require.True(t, class.Tried)
	c, _ := catalogue(t).Class(class.Job.Steps[1].With)
	was, _ := catalogue(t).Class("polymer-sealant")
	assert.Less(t, c.RainFree.Default, was.RainFree.Default)
	assert.Contains(t, class.What, "if the owner agrees")

	assert.True(t, got[window.WaySheet].Tried)
	turned := got[window.WayTurn]
	require.True(t, turned.Tried)
	bow, _ := turned.Job.BowAt(f.Start.Add(time.Hour))
	assert.InDelta(t, 20, bow, 1e-9, "200 and half a turn")

	next := got[window.WayNext]
	require.True(t, works(next), "%+v", next.Planned)
	assert.True(t, next.Whole)
	b := booked{next.Planned, next.Result, next.Job}
	assert.Greater(t, b.day(b.one(t, "seal", "port side").From), 2, "past the promised day")
}

// Where there is nothing to try, the rung says so and is not tried.
func TestLadderNothingToTry(t *testing.T) {
	j := smallJob(t, "spray-sealant")
	j.HasBow, j.Berths, j.Zones[0].FacesTrue = false, nil, true
	j.Zones[0].Shelter = boat.Shed
	f := calm(3)
	got := climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})
	assert.Contains(t, got[window.WaySheet].Why, "under a roof already")
	assert.Contains(t, got[window.WayTurn].Why, "not known")
	assert.Contains(t, got[window.WayNext].Why, "forecast ends first")
	assert.Contains(t, got[window.WayWet].Why, "no work that stands rain")
	assert.Contains(t, got[window.WayShelter].Why, "all of what is left")
	assert.False(t, got[window.WayShelter].Tried, "it would be the same job")
	for _, x := range got {
		assert.NotEmpty(t, x.Way.String())
	}
}

// Where a work has no place whatever comes before it, nothing is tried that leaves
// its own hours as they are: another product for another step, or a sheet over
// another zone.
func TestLadderRefutes(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	j.Zones = append(j.Zones, j.Zones[0])
	j.Zones[1].Name, j.Zones[1].Shelter = "cabin", boat.Hardtop
	j.Zones = append(j.Zones, j.Zones[0])
	j.Zones[2].Name = "transom"
	j.Steps = []job.Step{
		{Name: "seal", Do: "seal", With: "polymer-sealant", On: []int{0, 2}},
		{Name: "protect", Do: "protect", With: "spray-sealant", On: []int{1}},
	}
	f := calm(4)
	for k := range f.N {
		f.Members[0].Columns[forecast.AirTemperature].Set(k, 1) // as cold under a roof
	}
	in := window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start}
	got := climb(t, in)
	for _, way := range []window.Way{window.WayClass, window.WaySheet} {
		require.False(t, got[way].Tried)
		assert.Contains(t, got[way].Why, "that alone does not do: ")
	}
	assert.Contains(t, got[window.WaySheet].Why, "protect has no place on cabin")
	in.Job.Covers = append(in.Job.Covers, job.Cover{Zones: []string{j.Zones[0].Name, "transom"}, Kind: boat.Canvas, From: f.Start})
	in.Classes = catalogue(t)
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	p, err := window.Plan(r, j, window.PlanSettings{})
	require.NoError(t, err)
	assert.False(t, p.Found, "the sheet that was not tried finds none either")
}

// One panel that has no place is no reason to leave the others undone: all but it, and what
// comes after it there, is offered first.
func TestLadderAllButWhatHasNoPlace(t *testing.T) {
	f := calm(6)
	j := sealJob(t)
	j.Zones[1].Finish = finish(t, "teak")
	got := climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})
	r, ok := got[window.WayRest]
	require.True(t, ok)
	require.True(t, works(r), r.Why)
	assert.Equal(t, "all but correct on starboard side; strip wash and seal there fall with it", r.What)
	assert.Equal(t, 3, r.Rest, "compounding, strip wash and seal")
	on := map[string]int{}
	for _, b := range r.Planned.Blocks {
		task := r.Planned.Tasks[b.Task]
		on[j.Zones[task.Zone].Name]++
		assert.False(t, task.Zone == 1 && j.Steps[task.Step].Do != "wash")
	}
	assert.Positive(t, on["starboard side"], "it is washed with the others")
	assert.Positive(t, on["port side"])

	j = sealJob(t)
	j.Zones[1].Finish = finish(t, "teak")
	j.Steps = append(j.Steps[:1], j.Steps[2:]...)
	r = climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})[window.WayRest]
	require.True(t, works(r), r.Why)
	assert.Equal(t, 2, r.Rest, "nothing is stripped for a seal that is left out")
	assert.NotContains(t, r.Job.Steps[1].On, 1)
	assert.Contains(t, r.Job.Steps[0].On, 1)

	j = smallJob(t, "polymer-sealant")
	j.Zones[0].Finish = finish(t, "teak")
	_, ok = climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})[window.WayRest]
	assert.False(t, ok, "there is nothing else")
}
