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
	"dewgap/window/verdict"
)

// A sheet over some zones names them as one would say it: one, two, three, or all.
func TestLadderNamesZones(t *testing.T) {
	f := rainOn(calm(3), 0, 72)
	names := []string{"port side", "starboard side", "transom", "foredeck"}
	what := func(open, roofed int) string {
		j := smallJob(t, "polymer-sealant")
		z := j.Zones[0]
		j.Zones, j.Steps[0].On = nil, nil
		for i := range open + roofed {
			x := z
			if x.Name = names[i%4]; i >= open {
				x.Shelter, x.Name = boat.Shed, "cabin"
			}
			j.Zones, j.Steps[0].On = append(j.Zones, x), append(j.Steps[0].On, i)
		}
		in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}
		rungs, err := window.Ladder(window.LadderInput{Input: in, Known: classes(t), Plan: window.PlanSettings{Budget: 5_000}})
		require.NoError(t, err)
		return rungs[window.WaySheet].What
	}
	assert.Equal(t, "a sheet or canvas over port side", what(1, 1))
	assert.Equal(t, "a sheet or canvas over port side", what(1, 0), "one is no all")
	assert.Equal(t, "a sheet or canvas over port side and starboard side", what(2, 1))
	assert.Equal(t, "a sheet or canvas over all 2 zones in the open", what(2, 0))
	assert.Equal(t, "a sheet or canvas over port side, starboard side and transom", what(3, 1))
	assert.Equal(t, "a sheet or canvas over all 4 zones in the open", what(4, 1), "a list of four is none that one reads")
}

// Once the promised day is over, every way that keeps to it says so, and the next
// window is still offered.
func TestLadderAfterTheLastDay(t *testing.T) {
	f := calm(6)
	j := smallJob(t, "polymer-sealant")
	j.By = job.Date{Year: 2026, Month: 9, Day: 2}
	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: on(3, 6, 0)}
	rungs, err := window.Ladder(window.LadderInput{Input: in, Known: classes(t), Plan: window.PlanSettings{Budget: 50_000}})
	require.NoError(t, err)
	for _, way := range []window.Way{window.WaySheet, window.WayTurn} {
		assert.False(t, rungs[way].Tried)
		assert.Equal(t, "the job's last day is over", rungs[way].Why, way)
	}
	next := rungs[window.WayNext]
	require.True(t, works(next))
	assert.Equal(t, job.Date{}, next.Job.By)
	assert.Equal(t, job.Date{Year: 2026, Month: 9, Day: 2}, j.By, "the job that was given is left alone")
}

// What must be met is given up with the promised day; where neither is, the forecast
// is what ends.
func TestLadderGivesUpMoments(t *testing.T) {
	f := rainOn(calm(6), 0, 60)
	j := smallJob(t, "polymer-sealant")
	j.Must = map[string]time.Time{"launch": on(3, 8, 0)}
	next := climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})[window.WayNext]
	require.True(t, works(next))
	assert.Empty(t, next.Job.Must)
	assert.Len(t, j.Must, 1)
}

// A later day does not help where the job itself stands in the way; nobody is sent to
// wait for one.
func TestLadderWaitsForNoDayThatChangesNothing(t *testing.T) {
	f := calm(3)
	why := func(spoil func(j *job.Job)) string {
		j := smallJob(t, "spray-sealant")
		spoil(j)
		return climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})[window.WayNext].Why
	}
	assert.Equal(t, "no later day changes what stands against it", why(func(j *job.Job) { j.Hours = job.Schedule{Set: true} }))
	assert.Contains(t, why(func(*job.Job) {}), "forecast ends first")
}

// A boat that swings, or whose bow nobody knows, cannot be turned; one that lies to her
// lines is turned end for end from now on, whatever berths were to come.
func TestLadderTurns(t *testing.T) {
	f := calm(4)
	turn := func(change func(j *job.Job)) window.Rung {
		j := smallJob(t, "polymer-sealant")
		change(j)
		return climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: on(2, 6, 0)})[window.WayTurn]
	}
	for bow, want := range map[float64]float64{200: 20, 0: 180, 180: 0, 179: 359, 359: 179} {
		r := turn(func(j *job.Job) {
			j.Berths = []job.Berth{{Bow: bow}, {Bow: 90, From: on(3, 6, 0)}}
		})
		require.True(t, r.Tried)
		got, _ := r.Job.BowAt(on(4, 0, 0))
		assert.InDelta(t, want, got, 1e-9, "from %v, and she stays so", bow)
		was, _ := r.Job.BowAt(on(1, 12, 0))
		assert.InDelta(t, bow, was, 1e-9, "yesterday she lay as she lay")
	}
	assert.NotContains(t, turn(func(*job.Job) {}).What, "ashore")
	assert.Contains(t, turn(func(j *job.Job) { j.Afloat = false }).What, "ashore takes a lift", "nobody turns her by her lines")
	assert.Contains(t, turn(func(j *job.Job) { j.Swinging = true }).Why, "not known")
	assert.Contains(t, turn(func(j *job.Job) { j.HasBow, j.Berths = false, nil }).Why, "not known")
}

// Within the walls of a shed her bow changes nothing, nor may it where a zone in one has no
// place; through an open side it does.
func TestLadderTurnsNoShed(t *testing.T) {
	f := soaking(4)
	turn := func(change func(j *job.Job)) window.Rung {
		j := smallJob(t, "polymer-sealant")
		x := j.Zones[0]
		x.Name = "foredeck"
		j.Zones, j.Steps[0].On = append(j.Zones, x), []int{0, 1}
		change(j)
		return climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})[window.WayTurn]
	}
	shed := func(j *job.Job, zones ...int) {
		for _, z := range zones {
			j.Zones[z].Shelter = boat.Shed
		}
	}
	assert.True(t, turn(func(*job.Job) {}).Tried)
	r := turn(func(j *job.Job) { shed(j, 0, 1) })
	assert.False(t, r.Tried)
	assert.Equal(t, "every zone with work left lies in a shed, where her bow changes nothing", r.Why)
	r = turn(func(j *job.Job) { shed(j, 1) })
	assert.False(t, r.Tried)
	assert.Equal(t, "that alone does not do: seal has no place on foredeck, whatever comes before it", r.Why)
	assert.True(t, turn(func(j *job.Job) {
		shed(j, 0, 1)
		j.Zones[0].OpenSide, j.Zones[1].OpenSide = []float64{90}, []float64{90}
	}).Tried)
	done := map[string]boat.Done{"seal": {At: f.Start.Add(-time.Hour), Share: 1}}
	r = turn(func(j *job.Job) { shed(j, 0); j.Zones[1].Done = done })
	assert.Contains(t, r.Why, "lies in a shed", "what is done is no matter")
}

// soaking is calm air as damp as it gets.
func soaking(days int) *forecast.Forecast {
	f := calm(days)
	m := &f.Members[0]
	m.Columns[forecast.DewPoint] = m.Columns[forecast.AirTemperature]
	m.Columns[forecast.Humidity] = forecast.NewColumn(f.N)
	for i := range f.N {
		m.Columns[forecast.Humidity].Set(i, 100)
	}
	return f
}

// A product with shorter clocks does the same work on the same finish: the nearest
// first, and never one that stands rain no sooner.
func TestLadderShorterClocks(t *testing.T) {
	f := afternoons(calm(4), 11, 22) // dry in the morning alone
	for name, x := range map[string]struct {
		with, on string
		none     bool
	}{
		"a ceramic on gelcoat":                  {"professional-ceramic", "white-gelcoat", false},
		"a sealant on paint":                    {"polymer-sealant", "white-paint", false},
		"the quickest of all has none":          {"spray-sealant", "white-gelcoat", true},
		"a wash has no rain-free clock":         {"soap-wash", "white-gelcoat", true},
		"teak sealer: oil is quicker on a deck": {"teak-sealer", "teak", true},
	} {
		t.Run(name, func(t *testing.T) {
			j := smallJob(t, x.with)
			was, _ := catalogue(t).Class(x.with)
			j.Zones[0].Finish, j.Steps[0].Do = finish(t, x.on), was.Do
			r := climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})[window.WayClass]
			assert.Equal(t, !x.none, r.Tried, "%+v", r.Why)
			if x.none {
				assert.NotEmpty(t, r.Why)
				return
			}
			is, _ := catalogue(t).Class(r.Job.Steps[0].With)
			assert.Equal(t, was.Do, is.Do)
			assert.Contains(t, is.Allowed, x.on)
			assert.Less(t, is.RainFree.Default, was.RainFree.Default)
			assert.Equal(t, was.Equivalent, is.Equivalent, "clocks that can be compared")
		})
	}
}

// What is done already asks for no other product, no sheet and no shelter.
func TestLadderLeavesWhatIsDone(t *testing.T) {
	f := rainOn(calm(3), 0, 72)
	j := smallJob(t, "polymer-sealant")
	j.Zones = append(j.Zones, j.Zones[0])
	j.Zones[1].Name = "helm"
	j.Steps[0].On = []int{0, 1}
	j.Zones[0].Done = map[string]boat.Done{"seal": {At: f.Start, Share: 1}}
	got := climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start.Add(time.Hour)})
	assert.Equal(t, "a sheet or canvas over helm", got[window.WaySheet].What)
	j.Zones[1].Shelter = boat.Hardtop
	got = climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start.Add(time.Hour)})
	assert.Contains(t, got[window.WaySheet].Why, "under a roof already")
	assert.Contains(t, got[window.WayShelter].Why, "all of what is left")
	j.Zones[1].Done = j.Zones[0].Done
	got = climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start.Add(time.Hour)})
	assert.Contains(t, got[window.WayClass].Why, "no class of the catalogue")
	assert.Contains(t, got[window.WayShelter].Why, "no zone with work left")
}

// A work that has no place even in parts of an hour is not helped by another product
// for another step; one that has a place in parts is no reason to give up.
func TestLadderInParts(t *testing.T) {
	f := calm(4)
	rung := func(minutes int) window.Rung {
		j := smallJob(t, "polymer-sealant")
		z := j.Zones[0]
		z.Name = "keel"
		for day := 1; day <= 4; day++ {
			z.Reach = append(z.Reach, boat.Span{From: on(day, 15, 0), To: on(day, 15, minutes)})
		}
		j.Zones, j.People = append(j.Zones, z), 1
		j.Steps = append(j.Steps, job.Step{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{1}, Hours: 3})
		return climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})[window.WayClass]
	}
	assert.Contains(t, rung(40).Why, "correct has no place on keel", "at low water the keel is dry for forty minutes")
	assert.True(t, rung(59+2).Tried, "an hour at a time it goes")
}

// A zone under a sheet is helped only where the water of what lies above stays off it
// too: what it drains onto counts as covered with it.
func TestLadderSheetAndWhatItDrainsOnto(t *testing.T) {
	f := rainOn(calm(3), 0, 72)
	j := smallJob(t, "spray-sealant")
	j.Zones = append(j.Zones, j.Zones[0])
	j.Zones[0].Name, j.Zones[0].Tilt, j.Zones[0].DrainsTo = "foredeck", 0, []string{"side"}
	j.Zones[1].Name, j.Zones[1].Shelter = "side", boat.Hardtop
	j.Steps[0].On = []int{0, 1}
	for _, row := range evaluate(t, f, j, f.Start).Rows {
		require.Empty(t, row.Windows, "it rains on the deck, and the deck drips onto the side")
	}
	got := climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start})[window.WaySheet]
	require.True(t, got.Tried, "%s", got.Why)
	assert.True(t, works(got), "a sheet over the deck keeps both dry")
	assert.Equal(t, []string{"foredeck"}, got.Job.Covers[0].Zones)
}

// Wet work that comes next is what is left to do next: a compound that is done stands in
// the way of no strip wash.
func TestLadderWetWorkAfterWhatIsDone(t *testing.T) {
	f := rainOn(calm(3), 0, 72)
	rung := func(done float64) window.Rung {
		j := smallJob(t, "")
		j.Steps = []job.Step{
			{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0}},
			{Name: "strip wash", Do: "strip wash", With: "soap-wash", On: []int{0}},
			{Name: "seal", Do: "seal", With: "cleaner-wax", On: []int{0}},
		}
		j.Zones[0].Done = map[string]boat.Done{"correct": {At: f.Start, Share: done}}
		return climb(t, window.Input{Forecast: f, Job: j, Location: eastern, Now: f.Start.Add(time.Hour)})[window.WayWet]
	}
	r := rung(1)
	require.True(t, r.Tried, "%s", r.Why)
	assert.Equal(t, 1, r.Rest, "the seal waits")
	assert.False(t, rung(0.9).Tried, "a tenth of it is still to be compounded")
}

// Salt on a panel and no wash in the job: the first way to get on is to wash it, and no
// sheet, turn or later day does instead (common practice, no source).
func TestLadder_SaltIsWashedOff(t *testing.T) {
	for name, washed := range map[string]bool{"no wash at all": false, "a wash of the other side": true} {
		f := calm(5)
		j := smallJob(t, "polymer-sealant")
		j.Since.Spray = "yes"
		first := "wash"
		if washed {
			first = "salt wash"
			other := j.Zones[0]
			other.Name, other.Shelter = "saloon", boat.Shed
			j.Zones = append(j.Zones, other)
			j.Steps = append([]job.Step{{Name: "wash", Do: "wash", With: "soap-wash", On: []int{1}}}, j.Steps...)
		}
		in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}
		rungs, err := window.Ladder(window.LadderInput{Input: in, Known: classes(t), Plan: window.PlanSettings{Budget: 100_000}})
		require.NoError(t, err)
		wash := rungs[0]
		require.Equal(t, "wash_first", wash.Way.String(), name)
		require.True(t, works(wash), name)
		assert.Equal(t, "a flood rinse and a wash of port side first", wash.What, name)
		b := booked{wash.Planned, wash.Result, wash.Job}
		assert.Greater(t, b.one(t, "seal", "port side").From, b.one(t, first, "port side").To, name)
		holdRung(t, in, wash)
		for _, r := range rungs[1:] {
			assert.False(t, works(r) && r.Whole, "%s: %s", name, r.Way)
		}
		for _, s := range j.Steps {
			assert.NotEqual(t, "salt wash", s.Name, "the job that was given is left alone")
		}
	}
}

// Where a product asks for two and one comes, the first thing to look for is a helper: with
// one there is a plan, on the days on which anybody comes at all. Where enough come on any day
// it is a matter of the days, and of what is done nobody has to help with.
func TestLadder_AHelper(t *testing.T) {
	j := smallJob(t, "professional-ceramic")
	j.Zones[0].AreaM2, j.Zones[0].Shelter, j.Zones[0].RoofView, j.People = 2, boat.Shed, boat.Shed.RoofView(), 1
	f := calm(4)
	off := job.DateOf(f.Start.In(eastern))
	j.PeopleDates = map[job.Date]int{off: 0}
	helper := func() []window.Rung {
		in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}
		rungs, err := window.Ladder(window.LadderInput{Input: in, Known: classes(t), Plan: window.PlanSettings{Budget: 20_000}})
		require.NoError(t, err)
		return slices.DeleteFunc(rungs, func(r window.Rung) bool { return r.Way != window.WayHelper })
	}
	got := helper()
	require.Len(t, got, 1)
	assert.Equal(t, []any{"helper", true, true, "2 people there, as the product asks"}, []any{got[0].Way.String(), got[0].Tried, got[0].Whole, got[0].What})
	assert.Equal(t, 2, got[0].Job.People)
	assert.Zero(t, got[0].Job.PeopleDates[off], "nobody is made to come on a day off")
	assert.Equal(t, 1, j.People, "the job itself stays")
	for _, run := range got[0].Result.Rows[0].Refusals {
		assert.NotEqual(t, verdict.People, run.Limit)
	}
	j.PeopleDates[off.Next()] = 2
	assert.Empty(t, helper(), "two come on one day")
	j.PeopleDates = nil
	j.Zones[0].Done = map[string]boat.Done{"seal": {Share: 1}}
	assert.Empty(t, helper(), "it is done")
}
