package window_test

import (
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface/fit"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A fresh film is watched until it has stood its usual hours: rain before the hard ones
// spoils it, rain between them may mark it, later rain is none of its business.
func TestCuring(t *testing.T) {
	c, ok := catalogue(t).Class("polymer-sealant")
	require.True(t, ok)
	require.InDelta(t, 4, c.RainFree.Default, 0)
	require.InDelta(t, 2, c.RainFree.Hard, 0)
	curing := func(sealed, now float64, rain [2]int, change func(j *job.Job)) []window.Film {
		f := calm(8)
		hour := func(h float64) time.Time { return f.Start.Add(time.Duration(h * float64(time.Hour))) }
		if rain[1] > 0 {
			f = rainOn(f, rain[0], rain[1])
		}
		j := doneAt(t, f, map[string]float64{"seal": sealed})
		if change != nil {
			change(j)
		}
		in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: hour(now)}
		r, err := window.Evaluate(in)
		require.NoError(t, err)
		return window.Curing(r, j, catalogue(t), hour(now))
	}
	start := calm(8).Start
	hour := func(h float64) time.Time { return start.Add(time.Duration(h * float64(time.Hour))) }
	film := window.Film{Step: 3, On: hour(80.5), Hard: hour(82.5), Until: hour(84.5), Dew: hour(86.5), DewFree: hour(86.5)}

	assert.Equal(t, []window.Film{film}, curing(80.5, 81, [2]int{}, nil))
	assert.Equal(t, []window.Film{film}, curing(80.5, 81, [2]int{85, 86}, nil), "rain when it has stood its hours")
	wet := film
	wet.WetAt, wet.Fate = hour(82), window.Redo
	assert.Equal(t, []window.Film{wet}, curing(80.5, 81, [2]int{82, 83}, nil))
	wet.WetAt, wet.Fate = hour(83), window.Inspect
	assert.Equal(t, []window.Film{wet}, curing(80.5, 81, [2]int{83, 84}, nil))
	wet.WetAt, wet.Fate = hour(81.25), window.Redo
	assert.Equal(t, []window.Film{wet}, curing(80.5, 81.25, [2]int{81, 82}, nil), "it rains already")
	assert.Equal(t, []window.Film{film}, curing(80.5, 81, [2]int{82, 83}, func(j *job.Job) {
		j.Zones[0].Shelter, j.Zones[2].DrainsTo = boat.Hardtop, nil
	}), "under a roof")
	assert.Equal(t, window.Redo, curing(80.5, 81, [2]int{82, 83}, func(j *job.Job) { j.Zones[0].Shelter = boat.Hardtop })[0].Fate,
		"and below a deck that drains onto it")
	assert.Equal(t, []window.Film{film}, curing(80.5, 84.5, [2]int{85, 86}, nil), "it has stood without rain, and not without dew")
	assert.Empty(t, curing(80.5, 86.5, [2]int{}, nil), "it has stood")
	assert.Empty(t, curing(82, 81, [2]int{}, nil), "not yet put on")
}

// shiftAir warms the air and all that it carries by so many kelvins.
func shiftAir(f *forecast.Forecast, warmer float64) {
	for i := range f.N {
		for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.DewPoint} {
			if v, ok := f.Members[0].Columns[q].At(i); ok {
				f.Members[0].Columns[q].Set(i, v+warmer)
			}
		}
	}
}

// Varnish counts its hours as at 20 °C: in the cold they last longer than by the clock.
func TestCuring_EquivalentHours(t *testing.T) {
	c, _ := catalogue(t).Class("varnish")
	require.True(t, c.Equivalent)
	until := func(warmer float64) time.Time {
		f := calm(8)
		shiftAir(f, warmer)
		now := f.Start.Add(82 * time.Hour)
		j := smallJob(t, "varnish")
		j.Zones[0].Done = map[string]boat.Done{"seal": {At: now, Share: 1}}
		list := window.Curing(evaluate(t, f, j, now), j, catalogue(t), now)
		require.Len(t, list, 1)
		require.False(t, list[0].Until.IsZero())
		assert.True(t, list[0].Hard.Before(list[0].Until))
		return list[0].Until
	}
	assert.True(t, until(-6).After(until(0)))
}

// sealedBelow is a job with the port side sealed at a moment, starboard ten minutes
// later, and the deck above them, whose water runs down, still to do.
func sealedBelow(t require.TestingT, at time.Time) *job.Job {
	j := shedding(t)
	for z := range 2 {
		j.Zones[z].Done = map[string]boat.Done{}
		for k, s := range j.Steps {
			j.Zones[z].Done[s.Name] = boat.Done{At: at.Add(time.Duration(10*z+180*(k-3)) * time.Minute), Share: 1}
		}
	}
	return j
}

// The film that lies longest wet counts: a polymer sealant for its usual four hours
// without rain, its haze where that takes longer.
func TestUncured(t *testing.T) {
	at := calm(4).Start.Add(10 * time.Hour)
	j := sealedBelow(t, at)
	now := at.Add(20 * time.Minute)
	r := evaluate(t, calm(4), j, now)
	below := func(zone int, now time.Time) (window.Film, bool) {
		return window.Uncured(r, j, catalogue(t), zone, now)
	}
	u, ok := below(2, now)
	require.True(t, ok)
	last := at.Add(10 * time.Minute)
	assert.Equal(t, window.Film{Step: 3, Zone: 1, On: last, Hard: last.Add(2 * time.Hour), Until: last.Add(4 * time.Hour),
		Dew: last.Add(6 * time.Hour), DewFree: last.Add(6 * time.Hour)}, u)
	u, _ = below(2, at)
	assert.Equal(t, 0, u.Zone, "starboard is not sealed yet")
	assert.True(t, u.NoWater().Equal(at.Add(6*time.Hour)), "a hose wets it as dew does")
	u, ok = below(2, last.Add(5*time.Hour+50*time.Minute))
	require.True(t, ok, "the hours without rain are over, those without dew are not")
	assert.True(t, u.NoWater().Equal(last.Add(6*time.Hour)))
	_, ok = below(2, last.Add(6*time.Hour))
	assert.False(t, ok, "cured")
	u, ok = below(0, now)
	require.True(t, ok)
	assert.Equal(t, 0, u.Zone, "nothing lies below a side but its own film does on it")
	_, ok = below(0, at.Add(6*time.Hour))
	assert.False(t, ok)

	j.Steps[3].HazeMin = 300
	u, _ = below(2, now)
	assert.True(t, last.Add(5*time.Hour).Equal(u.Until), "until it is wiped off")
	assert.True(t, last.Add(5*time.Hour).Equal(u.Hard), "before that any water spoils it")
	sealant := j.Steps[3].With
	j.Steps[3].HazeMin = 60
	r.HazeMin = map[window.Patch]float64{{Zone: 1, Class: sealant}: 250, {Zone: 2, Class: sealant}: 400, {Zone: 1, Class: "carnauba-wax"}: 500}
	u, _ = below(2, now)
	assert.True(t, last.Add(250*time.Minute).Equal(u.Until), "a test patch on that zone outranks the job's word")
	assert.True(t, u.Until.Equal(u.Hard))
	r.HazeMin = map[window.Patch]float64{{Zone: 1, Class: sealant}: 150}
	u, _ = below(2, now)
	assert.True(t, last.Add(150*time.Minute).Equal(u.Hard))
	assert.True(t, last.Add(4*time.Hour).Equal(u.Until), "the rain clock is longer")
	r.HazeMin, j.Steps[3].HazeMin = nil, 300

	j.Zones[2].RunsOnto = []string{"port side"}
	u, _ = below(2, now)
	assert.Equal(t, 0, u.Zone)
	j.Zones[0].Done["seal"] = boat.Done{Share: 1}
	_, ok = below(2, now)
	assert.False(t, ok, "nobody says when")
	j.Zones[0].Done["seal"] = boat.Done{At: at}
	_, ok = below(2, now)
	assert.False(t, ok, "none of it is done")
}

// What would wet the film below is refused until then, and nothing else: beside the same
// job of which nobody said when the sides were sealed.
func TestEvaluateKeepsDry(t *testing.T) {
	f := calm(4)
	at := f.Start.Add(10 * time.Hour)
	now := at.Add(20 * time.Minute)
	in := window.Input{Forecast: f, Job: sealedBelow(t, at), Classes: catalogue(t), Location: eastern, Now: now}
	kept, err := window.Evaluate(in)
	require.NoError(t, err)
	unsaid := in
	unsaid.Job = sealedBelow(t, at)
	for z := range 2 {
		unsaid.Job.Zones[z].Done["seal"] = boat.Done{Share: 1}
	}
	free, err := window.Evaluate(unsaid)
	require.NoError(t, err)
	until := at.Add(6*time.Hour + 10*time.Minute)
	cured := []time.Time{at.Add(6 * time.Hour), until, until} // the sides their own films, the deck the later
	held := 0
	for i := range kept.Rows {
		row := &kept.Rows[i]
		if step := in.Job.Steps[row.Step]; step.Do == "seal" {
			assert.Equal(t, free.Rows[i].Slots, row.Slots, "%s on %s", step.Name, in.Job.Zones[row.Zone].Name)
			continue
		}
		held++
		for k := range row.Slots.State {
			slot := kept.Grid.At(kept.From + k)
			was, is := free.Rows[i].Slots, row.Slots
			if slot.Before(cured[row.Zone]) && was.State[k].Workable() {
				assert.Equal(t, verdict.Order, is.Limit[k], "%v", slot)
				assert.Equal(t, verdict.NoGo, is.State[k], "%v", slot)
				continue
			}
			assert.Equal(t, was.State[k], is.State[k], "%v", slot)
		}
	}
	assert.Equal(t, 9, held, "wash, correct and strip wash of all")

	x, err := window.Explain(in, 2, "soap-wash", now)
	require.NoError(t, err)
	assert.Equal(t, []any{verdict.NoGo, verdict.Order}, []any{x.State, x.Binding.Limit})
	for _, h := range x.Limits {
		assert.False(t, h.Limit == verdict.Section && h.State == verdict.NoGo, "the weather lets it be washed: %+v", h)
	}
	x, err = window.Explain(in, 2, "soap-wash", until)
	require.NoError(t, err)
	assert.NotEqual(t, verdict.Order, x.Binding.Limit)
}

// A plan heeds it whatever the rows were asked for.
func TestPlanKeepsDryWhatIsSealed(t *testing.T) {
	f := calm(4)
	at := f.Start.Add(10 * time.Hour)
	j := sealedBelow(t, at)
	r := evaluate(t, f, j, at.Add(20*time.Minute))
	p, err := window.Plan(r, j, window.PlanSettings{})
	require.NoError(t, err)
	b := booked{p, r, j}
	require.True(t, b.Found, "%+v", b.Refusal)
	sealed := func(step string) (ends time.Time) {
		for _, a := range b.Input.Tasks[b.task(t, step, "foredeck", 1)].After {
			if a.Task < 0 && a.Limit == "order" {
				ends = b.at(a.End)
			}
		}
		return ends
	}
	until := at.Add(6*time.Hour + 10*time.Minute)
	for _, step := range []string{"wash", "correct", "strip wash"} {
		assert.True(t, until.Equal(sealed(step)), "%s: %v", step, sealed(step))
		assert.False(t, b.at(b.one(t, step, "foredeck").From).Before(until), step)
	}
	assert.Zero(t, sealed("seal"), "a film runs nowhere")
}

// Varnish counts its hours as at 20 °C, and what runs onto it from above waits as long:
// the limit, the plan and what is told agree.
func TestUncured_EquivalentHours(t *testing.T) {
	f := calm(8)
	shiftAir(f, -6)
	at := f.Start.Add(92 * time.Hour) // in the evening
	j := sealedBelow(t, at)
	j.Steps[3].With = "varnish"
	c, _ := catalogue(t).Class("varnish")
	now := at.Add(20 * time.Minute)
	r := evaluate(t, f, j, now)
	told := map[int]window.Film{}
	for _, x := range window.Curing(r, j, catalogue(t), now) {
		told[x.Zone] = x
	}
	film, ok := window.Uncured(r, j, catalogue(t), 2, now)
	require.True(t, ok)
	assert.Equal(t, told[film.Zone].Until, film.Until)
	require.False(t, film.Until.IsZero())
	plain := film.On.Add(time.Duration(c.RainFree.Default * float64(time.Hour)))
	require.True(t, film.Until.After(plain.Add(time.Hour)), "%v by the clock %v", film.Until, plain)

	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now}
	for at, order := range map[time.Time]bool{plain.Add(30 * time.Minute): true, film.Until.Add(time.Hour): false} {
		x, err := window.Explain(in, 2, "soap-wash", at)
		require.NoError(t, err)
		assert.Equal(t, order, x.Binding.Limit == verdict.Order, "%v: %+v", at, x.Binding)
	}
	in.Learned = &window.Learned{Zones: []window.LearnedZone{{Zone: "port side", Absorptance: fit.Value{Prior: 0.3, Used: 0.4}}}}
	require.False(t, in.Learned.Empty())
	learned, err := window.Evaluate(in)
	require.NoError(t, err)
	found, _ := window.Uncured(learned, j, catalogue(t), 2, now)
	x, err := window.Explain(in, 2, "soap-wash", found.Until.Add(-time.Hour))
	require.NoError(t, err)
	assert.Equal(t, verdict.Order, x.Binding.Limit, "beside what was learned, too: %v", found.Until)

	held := 0
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Zone != 2 || j.Steps[row.Step].Do == "seal" {
			continue
		}
		for k, s := range row.Slots.State {
			if r.Grid.At(r.From + k).Before(film.Until) {
				held++
				require.Equal(t, verdict.NoGo, s, "%v", r.Grid.At(r.From+k))
			}
		}
	}
	assert.Positive(t, held)
	p, err := window.Plan(r, j, window.PlanSettings{})
	require.NoError(t, err)
	for _, b := range p.Blocks {
		if w := p.Input.Tasks[b.Task]; len(w.After) > 0 && p.Tasks[b.Task].Zone == 2 && j.Steps[p.Tasks[b.Task].Step].Do != "seal" {
			assert.False(t, r.Grid.At(r.From+b.From).Before(film.Until))
		}
	}
}

// A film that is all to be done again wants nothing, and nothing is kept off it; where
// only a part of it is spoiled, the rest is to be kept dry.
func TestCuring_SpoiledFilm(t *testing.T) {
	f := calm(8)
	day := map[string]float64{"wash": 70, "correct": 74, "strip wash": 78, "seal": 80.5}
	keep := func(j *job.Job, worked ...window.Worked) ([]window.Film, bool) {
		s := stockAt(t, f, j, []window.Rain{fell(f, 81, 81.5)}, func(in *window.MoveInput) { in.Worked = worked })
		require.Len(t, s.Job.Zones, 4, "a part to be redone")
		now := f.Start.Add(82 * time.Hour)
		r := evaluate(t, f, s.Job, now)
		_, below := window.Uncured(r, s.Job, catalogue(t), 2, now)
		return window.Curing(r, s.Job, catalogue(t), now), below
	}
	j := doneAt(t, f, day)
	j.Zones[2].RunsOnto = []string{"port side"}
	films, below := keep(j)
	assert.Empty(t, films)
	assert.False(t, below, "the deck may be washed")
	s := stockAt(t, f, j, []window.Rain{fell(f, 81, 81.5)}, nil)
	assert.Empty(t, window.FilmsBelow(s.Job, catalogue(t), 2, f.Start.Add(82*time.Hour)), "nor masked off")
	assert.NotEmpty(t, window.FilmsBelow(j, catalogue(t), 2, f.Start.Add(82*time.Hour)))

	on := f.Start.Add(80*time.Hour + 30*time.Minute)
	films, below = keep(j, window.Worked{Step: 3, To: on, Share: 0.5, Left: window.LeftHazing},
		window.Worked{Step: 3, To: on.Add(-2*time.Hour - 30*time.Minute), Share: 0.5, Left: window.LeftBuffed})
	require.Len(t, films, 1, "the half that was buffed in time")
	assert.Equal(t, 0, films[0].Zone)
	assert.True(t, below)
}

// The first of three coats spoiled takes the coats to come along: nothing is on then.
func TestCuring_SpoiledCoat(t *testing.T) {
	f := calm(8)
	j := smallJob(t, "varnish")
	j.Steps[0].Coats, j.Steps[0].Do = 3, "coat"
	j.Zones[0].Done = map[string]boat.Done{"seal": {At: f.Start.Add(80 * time.Hour), Share: 1. / 3}}
	s := stockAt(t, f, j, []window.Rain{fell(f, 81, 81.5)}, nil)
	require.Len(t, s.Job.Zones, 2)
	now := f.Start.Add(82 * time.Hour)
	assert.Empty(t, window.Curing(evaluate(t, f, s.Job, now), s.Job, catalogue(t), now))
	assert.Len(t, window.Curing(evaluate(t, f, j, now), j, catalogue(t), now), 1, "without the rain")
}

// The forecast's hour in which somebody saw the rain end brings no more of it: what comes
// next is the rain of the hours after it.
func TestCuring_RainIsOver(t *testing.T) {
	f := calm(8)
	at := func(h float64) time.Time { return f.Start.Add(time.Duration(h * float64(time.Hour))) }
	wet := func(ended float64, rain [2]int) time.Time {
		g := rainOn(calm(8), rain[0], rain[1])
		j := doneAt(t, g, map[string]float64{"seal": 80.5})
		j.Since.HasRain, j.Since.Rain = ended > 0, at(ended)
		now := at(81.5)
		list := window.Curing(evaluate(t, g, j, now), j, catalogue(t), now)
		require.Len(t, list, 1)
		return list[0].WetAt
	}
	assert.Equal(t, at(81.5), wet(0, [2]int{81, 82}), "nobody saw it end")
	assert.Zero(t, wet(81.25, [2]int{81, 82}))
	assert.Equal(t, at(82), wet(81.25, [2]int{81, 84}), "the next hour has rain of its own")
	assert.Equal(t, at(81.5), wet(80.75, [2]int{81, 82}), "it ended in an hour before")
	assert.Equal(t, at(81.5), wet(81.5, [2]int{81, 82}), "it ends now, if it does")
}
