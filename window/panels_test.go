package window_test

import (
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

// on is a moment of September 2026 by the clock at the quay.
func on(day, hour, minute int) time.Time { return time.Date(2026, 9, day, hour, minute, 0, 0, eastern) }

// The shade of the boat's own house turns with the bow: told from the bow it is, for
// every heading, what it is told by the compass, and after a turn what the new heading
// makes of it.
func TestOwnShadeTurnsWithTheBow(t *testing.T) {
	f := calm(4)
	shaded := func(s boat.Sector, berths ...job.Berth) window.Zone {
		j := smallJob(t, "polymer-sealant")
		j.Zones[0].Tilt, j.Berths, j.Zones[0].Shade = 0, berths, []boat.Sector{s}
		return evaluate(t, f, j, f.Start).Zones[0]
	}
	house := boat.Sector{From: 300, To: 60, UpTo: 40, Relative: true}
	for _, bow := range []float64{0, 75, 200, 359} {
		compass := boat.Sector{From: boat.Turn(300 + bow), To: boat.Turn(60 + bow), UpTo: 40}
		assert.Equal(t, shaded(compass, job.Berth{Bow: bow}), shaded(house, job.Berth{Bow: bow}), "bow %v", bow)
	}
	turn := on(3, 12, 0)
	before, after := shaded(house, job.Berth{Bow: 75}), shaded(house, job.Berth{Bow: 255})
	both := shaded(house, job.Berth{Bow: 75}, job.Berth{Bow: 255, From: turn})
	differ := 0
	for h := range both.Hours {
		at := f.Start.Add(time.Duration(h) * time.Hour)
		want := before.Hours[h].Sunlight
		if !at.Before(turn) {
			want = after.Hours[h].Sunlight
		}
		assert.Equal(t, want, both.Hours[h].Sunlight, "%v", at)
		differ += one(before.Hours[h].Sunlight != after.Hours[h].Sunlight)
	}
	assert.Greater(t, differ, 8, "by compass the sun is on another side of the house")
}

// A shade that lasts until the neighbour leaves is there to the slot, told from the bow
// too.
func TestOwnShadeUntil(t *testing.T) {
	f := calm(3)
	until := on(2, 13, 0)
	sun := func(s ...boat.Sector) []window.ZoneHour {
		j := smallJob(t, "polymer-sealant")
		j.Zones[0].Tilt, j.Zones[0].Shade = 0, s
		return evaluate(t, f, j, f.Start).Zones[0].Hours
	}
	all := boat.Sector{From: 0, To: 360, UpTo: 89, Relative: true}
	some := all
	some.Until, some.HasUntil = until, true
	dark, free, mixed := sun(all), sun(), sun(some)
	for h := range mixed {
		want := free[h].Sunlight
		if f.Start.Add(time.Duration(h) * time.Hour).Before(until) {
			want = dark[h].Sunlight
		}
		assert.Equal(t, want, mixed[h].Sunlight, "hour %d", h)
	}
}

// What lies behind a skin tells at night: a heated cabin keeps it warmer than one left
// alone, a cooled one colder in the afternoon; a tank holds the day's warmth longer
// than a cabin, an engine room longer than a cabin too, and with nothing behind it goes
// with the air.
func TestWhatLiesBehind(t *testing.T) {
	f := calm(5)
	for i := range f.N {
		v, _ := f.Members[0].Columns[forecast.AirTemperature].At(i)
		f.Members[0].Columns[forecast.AirTemperature].Set(i, v-12) // 2 to 14 °C: colder than any cabin
		f.Members[0].Columns[forecast.DewPoint].Set(i, -3)
	}
	surface := func(day, hour int, change func(j *job.Job)) float64 {
		j := smallJob(t, "polymer-sealant")
		j.Zones[0].Skin, j.Afloat = boat.Solid, false
		change(j)
		r := evaluate(t, f, j, f.Start)
		v := r.Zones[0].Hours[hourOf(r, on(day, hour, 0))].Surface
		require.True(t, v.Known)
		return v.V
	}
	alone := func(*job.Job) {}
	behind := func(b boat.Behind) func(j *job.Job) { return func(j *job.Job) { j.Zones[0].Behind = b } }
	inside := func(s string) func(j *job.Job) { return func(j *job.Job) { j.Inside = s } }
	night := func(change func(j *job.Job)) float64 { return surface(4, 5, change) }

	assert.Greater(t, night(inside("heated")), night(alone)+1, "18 °C behind it")
	assert.Greater(t, night(inside("cooled")), night(inside("heated")), "what is cooled to 23 °C is warm at night")
	assert.Equal(t, night(alone), night(inside("ambient")))
	assert.Greater(t, night(behind(boat.Tank)), night(alone), "a tank holds yesterday's warmth")
	assert.Greater(t, night(behind(boat.Engine)), night(alone), "so does an engine room")
	assert.Less(t, night(behind(boat.Outside)), night(alone), "nothing behind it goes with the air")
	assert.InDelta(t, night(behind(boat.Tank)), night(func(j *job.Job) { j.Zones[0].Behind, j.Inside = boat.Tank, "heated" }), 0,
		"what is told of the cabin is not of the tank")

	for _, c := range []forecast.Quantity{forecast.AirTemperature} { // as much warmer as it was colder
		for i := range f.N {
			v, _ := f.Members[0].Columns[c].At(i)
			f.Members[0].Columns[c].Set(i, v+24)
		}
	}
	assert.Less(t, surface(3, 16, inside("cooled")), surface(3, 16, alone), "in the heat the cooled cabin cools its skin")
}

// A skin swings through a day as little as it is heavy: thin laminate over a core most,
// a keel hardly at all; a plate loses by both its faces, and wood is no foam.
func TestSkinsLag(t *testing.T) {
	f := calm(4)
	span := func(s boat.Skin) float64 {
		j := smallJob(t, "polymer-sealant")
		j.Zones[0].Skin, j.Zones[0].Tilt, j.Afloat = s, 0, false
		r := evaluate(t, f, j, f.Start)
		least, most := 99.0, -99.0
		for h := hourOf(r, on(3, 0, 0)); h < hourOf(r, on(4, 0, 0)); h++ {
			v := r.Zones[0].Hours[h].Surface.V
			least, most = min(least, v), max(most, v)
		}
		return most - least
	}
	for _, laminate := range []boat.Skin{boat.Solid, boat.Thick} {
		assert.Greater(t, span(boat.Cored), span(laminate)+1)
		assert.Greater(t, span(laminate), span(boat.Keel)+1)
	}
	assert.Less(t, span(boat.Plate), span(boat.Cored), "a thin plate loses by both its faces")
	assert.Less(t, span(boat.Plank), span(boat.Cored), "wood is no foam")
	assert.Less(t, span(boat.Plate), span(boat.Tube)-1, "the air in a tube stands still")
}

// The marina's word on water: nothing, a rinse, soap, or all may run off.
func TestWhatMayRunOff(t *testing.T) {
	f := calm(3)
	at := on(2, 15, 0)
	for _, x := range []struct {
		allowed string
		ok      [4]bool // a dry seal, a rinse, soap, acid
	}{
		{"none", [4]bool{true, false, false, false}},
		{"rinse", [4]bool{true, true, false, false}},
		{"soap", [4]bool{true, true, true, false}},
		{"all", [4]bool{true, true, true, true}},
		{"", [4]bool{true, true, true, true}},
	} {
		for k, with := range []string{"cleaner-wax", "vinyl-protectant", "soap-wash", "acid-cleaner"} {
			j := smallJob(t, with)
			j.Place.Water = x.allowed
			if with == "vinyl-protectant" {
				j.Zones[0].Finish = finish(t, "white-vinyl")
			}
			_, l := stateAt(evaluate(t, f, j, f.Start), 0, at)
			assert.Equal(t, !x.ok[k], l == verdict.Water, "%q allows %s", x.allowed, with)
		}
	}
}

// Where a marina allows washing until noon, washing ends at noon; polishing does not.
func TestWashingHours(t *testing.T) {
	f := calm(3)
	limit := func(with string, at time.Time) verdict.Limit {
		j := smallJob(t, with)
		if with == "soap-wash" {
			j.Steps[0].Do = "wash"
		}
		j.Place.Washing = job.Schedule{Set: true, Default: []job.ClockSpan{{From: 8 * 60, To: 12 * 60}}}
		_, l := stateAt(evaluate(t, f, j, f.Start), 0, at)
		return l
	}
	assert.Equal(t, verdict.Hours, limit("soap-wash", on(2, 7, 50)))
	assert.NotEqual(t, verdict.Hours, limit("soap-wash", on(2, 8, 0)))
	assert.NotEqual(t, verdict.Hours, limit("soap-wash", on(2, 11, 50)))
	assert.Equal(t, verdict.Hours, limit("soap-wash", on(2, 12, 0)))
	assert.NotEqual(t, verdict.Hours, limit("compound-rotary", on(2, 15, 0)))
}

// A slot counts where all of it does: hours, machine noise, washing and reach that begin
// or end within a slot do not take it in.
func TestWholeSlots(t *testing.T) {
	f := calm(3)
	spans := func(from, to int) job.Schedule {
		return job.Schedule{Set: true, Default: []job.ClockSpan{{From: job.Minutes(from), To: job.Minutes(to)}}}
	}
	for name, x := range map[string]struct {
		with   string
		limit  verdict.Limit
		change func(j *job.Job)
	}{
		"the crew's hours": {"cleaner-wax", verdict.Hours, func(j *job.Job) { j.Hours = spans(8*60+5, 15*60+5) }},
		"machine noise":    {"compound-rotary", verdict.Machines, func(j *job.Job) { j.Place.Machines = spans(8*60+5, 15*60+5) }},
		"washing":          {"soap-wash", verdict.Hours, func(j *job.Job) { j.Place.Washing = spans(8*60+5, 15*60+5) }},
		"reach":            {"cleaner-wax", verdict.Reach, func(j *job.Job) { j.Zones[0].Reach = []boat.Span{{From: on(2, 8, 5), To: on(2, 15, 5)}} }},
	} {
		j := smallJob(t, x.with)
		x.change(j)
		r := evaluate(t, f, j, f.Start)
		for at, bound := range map[time.Time]bool{
			on(2, 7, 50): true, on(2, 8, 0): true, on(2, 8, 10): false, on(2, 14, 50): false, on(2, 15, 0): true, on(2, 15, 10): true,
		} {
			_, l := stateAt(r, 0, at)
			assert.Equal(t, bound, l == x.limit, "%s at %s: %v", name, at.Format("15:04"), l)
		}
	}
}

// A zone that is reached only ashore, of a boat that is afloat, has the hours of the lift and
// no others: as long as nobody has told them it has none.
func TestReach_OnlyAshore(t *testing.T) {
	f := calm(3)
	for name, c := range map[string]struct {
		afloat bool
		reach  []boat.Span
		open   bool
	}{
		"afloat, no lift told":  {true, nil, false},
		"afloat, in the slings": {true, []boat.Span{{From: f.Start.Add(32 * time.Hour), To: f.Start.Add(44 * time.Hour)}}, true},
		"ashore":                {false, nil, true},
	} {
		j := smallJob(t, "cleaner-wax")
		j.Afloat, j.Zones[0].Access, j.Zones[0].Reach = c.afloat, boat.Ashore, c.reach
		r := evaluate(t, f, j, f.Start)
		assert.Equal(t, c.open, len(r.Rows[0].Windows) > 0, name)
		if _, l := stateAt(r, 0, f.Start.Add(38*time.Hour)); !c.open { // on the second day, at noon or so
			assert.Equal(t, verdict.Reach, l, name)
		}
	}
}

// Softened or deionised water leaves less behind: one may wash a square metre at a time
// where tap water asks for two.
func TestSectionsByWater(t *testing.T) {
	f := calm(4)
	for i := range f.N { // hot, dry and windy: a film is soon gone
		f.Members[0].Columns[forecast.AirTemperature].Set(i, 27)
		f.Members[0].Columns[forecast.DewPoint].Set(i, -8)
		f.Members[0].Columns[forecast.WindSpeed].Set(i, 8)
		f.Members[0].Columns[forecast.CloudCover].Set(i, 0)
	}
	least := map[string]float32{"tap": 2, "softened": 1, "deionised": 1}
	between := 0
	for rinse, m2 := range least {
		j := smallJob(t, "soap-wash")
		j.Steps[0].Do, j.Rinse, j.People, j.ShortestH = "wash", rinse, 1, 0.1
		j.Zones[0].Finish, j.Zones[0].Tilt, j.Zones[0].Skin = finish(t, "red-gelcoat"), 90, boat.Cored
		r := evaluate(t, f, j, f.Start)
		for i, s := range r.Rows[0].Section {
			at := r.Grid.At(r.From + i).In(eastern)
			if at.Hour() < 7 || at.Hour() >= 18 {
				assert.Zero(t, s, "nobody washes at night")
				continue
			}
			if r.Rows[0].Slots.Limit[i] == verdict.Section {
				assert.Less(t, s, m2, "%s at %v", rinse, at)
			} else if r.Rows[0].Slots.State[i].Workable() {
				assert.GreaterOrEqual(t, s, m2, "%s at %v", rinse, at)
			}
			between += one(s >= 1 && s < 2)
		}
	}
	assert.Positive(t, between, "some sections are for softened water alone")
}

// How long a window's panel stays dry: until rain, the evening's dew, or fog, whatever
// comes first; where the data show nothing, to their end.
func TestWetAgain(t *testing.T) {
	dry := func() *forecast.Forecast {
		f := calm(3)
		for i := range f.N {
			f.Members[0].Columns[forecast.DewPoint].Set(i, -10)
		}
		return f
	}
	after := func(f *forecast.Forecast) (time.Time, string) {
		r := evaluate(t, f, smallJob(t, "cleaner-wax"), on(2, 6, 0))
		for _, w := range r.Rows[0].Windows {
			if r.Grid.At(w.From).In(eastern).Day() == 2 {
				return r.Grid.At(w.WetAt).In(eastern), w.WetBy
			}
		}
		require.Fail(t, "no window")
		return time.Time{}, ""
	}
	f := dry()
	at, by := after(f)
	assert.Empty(t, by)
	assert.True(t, f.End().Equal(at))

	f = rainOn(dry(), 44, 45) // 20:00
	at, by = after(f)
	assert.Equal(t, "rain", by)
	assert.Equal(t, on(2, 20, 0), at)

	f = dry()
	for i := range f.N {
		f.Members[0].Columns[forecast.DewPoint].Set(i, 15)
	}
	at, by = after(f)
	assert.Equal(t, "dew", by)
	assert.True(t, at.After(on(2, 17, 0)) && at.Before(on(3, 7, 0)), "%v", at)

	f = rainOn(dry(), 44, 45)
	code := forecast.NewColumn(f.N)
	code.Set(43, 45) // fog at 19:00 (WMO 4677)
	f.Members[0].Columns[forecast.WeatherCode] = code
	at, by = after(f)
	assert.Equal(t, "fog", by)
	assert.Equal(t, on(2, 19, 0), at)
}

// A horizon is as long as is asked for, sixteen days at most unless more is, and never
// longer than the job or the forecast.
func TestHorizon(t *testing.T) {
	f := calm(20)
	now := f.Start.Add(30*time.Hour + 7*time.Minute)
	from := f.Start.Add(30 * time.Hour)
	horizon := func(days int, by job.Date, first job.Date) (time.Time, time.Time) {
		j := smallJob(t, "cleaner-wax")
		j.By, j.From = by, first
		r, err := window.Evaluate(window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now, HorizonDays: days})
		require.NoError(t, err)
		return r.Grid.At(r.From), r.Grid.At(r.To)
	}
	a, b := horizon(0, job.Date{}, job.Date{})
	assert.True(t, a.Equal(from) && b.Equal(from.AddDate(0, 0, 16)), "from the slot that is under way: %v %v", a, b)
	_, b = horizon(2, job.Date{}, job.Date{})
	assert.True(t, b.Equal(from.AddDate(0, 0, 2)))
	_, b = horizon(366, job.Date{}, job.Date{})
	assert.True(t, b.Equal(f.End()))
	a, b = horizon(0, job.Date{Year: 2026, Month: 9, Day: 5}, job.Date{Year: 2026, Month: 9, Day: 4})
	assert.Equal(t, []time.Time{on(4, 0, 0), on(6, 0, 0)}, []time.Time{a.In(eastern), b.In(eastern)}, "both days included")
	a, _ = horizon(0, job.Date{}, job.Date{Year: 2026, Month: 9, Day: 1})
	assert.True(t, a.Equal(from), "what is over is over")
}

// A forecast too old to be believed from one moment to another says nothing between.
func TestTooOldBetween(t *testing.T) {
	f := calm(4)
	in := window.Input{Forecast: f, Job: smallJob(t, "cleaner-wax"), Classes: catalogue(t), Location: eastern, Now: on(2, 6, 0)}
	in.UnknownFrom, in.UnknownUntil = on(2, 10, 0), on(3, 10, 0)
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	for _, h := range r.Weather {
		unknown := !h.At.Before(in.UnknownFrom) && h.At.Before(in.UnknownUntil)
		assert.Equal(t, !unknown, h.Air.Known, "%v", h.At.In(eastern))
	}
	for i, s := range r.Rows[0].Slots.State {
		at := r.Grid.At(r.From + i).In(eastern)
		if at.Before(in.UnknownFrom) || !at.Before(in.UnknownUntil) {
			continue
		}
		assert.False(t, s.Workable(), at)
	}
	for at := in.Now; at.Before(on(4, 0, 0)); at = at.Add(50 * time.Minute) {
		state, limit := stateAt(r, 0, at)
		x, err := window.Explain(in, 0, "cleaner-wax", at)
		require.NoError(t, err)
		assert.Equal(t, state, x.State, "%v", at)
		if !state.Workable() {
			assert.Equal(t, limit, x.Binding.Limit, "asked why, it says the same: %v", at)
		}
	}
	s, _ := stateAt(r, 0, on(4, 14, 0))
	assert.True(t, s.Workable(), "a day after it is believed again the panel is known too")
}

// The water behind a hull is the mean air of the past week, of a day at least; where
// the forecast has no such past, of its first week.
func TestWaterOfTheWeek(t *testing.T) {
	f := calm(12)
	for i := range f.N {
		f.Members[0].Columns[forecast.AirTemperature].Set(i, float64(i/24)) // 0 °C on the first day, a kelvin more on each
	}
	warning := func(now time.Time) string {
		j := smallJob(t, "cleaner-wax")
		j.Zones[0].Behind = boat.WaterBehind
		r := evaluate(t, f, j, now)
		require.Len(t, r.Warnings, 1)
		return r.Warnings[0]
	}
	assert.Contains(t, warning(f.Start.AddDate(0, 0, 10)), " 6 °C", "days three to nine")
	assert.Contains(t, warning(f.Start.AddDate(0, 0, 5)), " 2 °C", "the first five")
	assert.Contains(t, warning(f.Start.Add(23*time.Hour)), " 3 °C", "less than a day: the first week to come")
	assert.Contains(t, warning(f.Start.Add(24*time.Hour)), " 0 °C", "just a day")
}
