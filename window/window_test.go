package window_test

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

var readCatalogue = sync.OnceValues(products.Catalogue)

func catalogue(t require.TestingT) *products.Set {
	cat, err := readCatalogue()
	require.NoError(t, err)
	return cat
}

func finish(t require.TestingT, name string) boat.Finish {
	f, ok := boat.FinishByName(name)
	require.True(t, ok, name)
	return f
}

// calm is an invented forecast of settled September weather at Otter Quay from
// local midnight on, one member, hourly.
func calm(days int) *forecast.Forecast {
	f := ensemble(days, 1)
	for i := range f.N {
		f.Members[0].Columns[forecast.Precipitation].Set(i, 0)
	}
	return f
}

var eastern = time.FixedZone("EDT", -4*3600)

// smallJob is one class on one side of a boat that lies bow south-south-west.
func smallJob(t require.TestingT, class string) *job.Job {
	return &job.Job{
		Place: job.Place{Latitude: 43.07, Longitude: -70.74, Location: eastern},
		Zones: []boat.Zone{{
			Name: "port side", Finish: finish(t, "white-gelcoat"), Tilt: 90, Faces: 270, AreaM2: 15,
		}},
		HasBow: true, Berths: []job.Berth{{Bow: 200}}, Afloat: true,
		Steps: []job.Step{{Name: "seal", Do: "seal", With: class, On: []int{0}}},
		Hours: job.Schedule{Set: true, Default: []job.ClockSpan{{From: 7 * 60, To: 18 * 60}}}, People: 2,
		Lamps: true, Towel: true, Sure: 0.8, ShortestH: 2, Rinse: "tap",
	}
}

func evaluate(t require.TestingT, f *forecast.Forecast, j *job.Job, now time.Time) *window.Result {
	r, err := window.Evaluate(window.Input{
		Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now, Skies: &skies,
	})
	require.NoError(t, err)
	return r
}

// skies are those of all tests here: their places are few.
var skies surface.Skies

// stateAt is the state and limit of a row at a moment.
func stateAt(r *window.Result, row int, at time.Time) (verdict.State, verdict.Limit) {
	i := r.Grid.Index(at)
	for _, w := range r.Rows[row].Windows {
		if i >= w.From && i < w.To {
			return w.State, w.Limit
		}
	}
	for _, x := range r.Rows[row].Refusals {
		if i >= x.From && i < x.To {
			return x.State, x.Limit
		}
	}
	return verdict.Unknown, verdict.None
}

// Windows and refusals cover every slot of the horizon once, for every step and
// zone, whatever the weather, the members and what is missing.
func TestCover(t *testing.T) {
	t.Parallel()
	cat := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		f := ensemble(rapid.IntRange(2, 5).Draw(t, "days"), rapid.IntRange(1, 4).Draw(t, "members"))
		j := bigJob()
		j.Zones, j.Steps = j.Zones[:2], j.Steps[:3]
		for i := range j.Steps {
			j.Steps[i].On = []int{0, 1}
		}
		for range rapid.IntRange(0, 6).Draw(t, "gaps") {
			m := rapid.IntRange(0, len(f.Members)-1).Draw(t, "member")
			q := forecast.Quantity(rapid.IntRange(0, forecast.Quantities-1).Draw(t, "quantity"))
			if c := f.Members[m].Columns[q]; len(c.Known) > 0 {
				c.Known[rapid.IntRange(0, f.N-1).Draw(t, "hour")] = false
			}
		}
		now := f.Start.Add(time.Duration(rapid.IntRange(0, 30).Draw(t, "now")) * time.Hour)
		r, err := window.Evaluate(window.Input{Forecast: f, Job: j, Classes: cat, Location: time.UTC, Now: now})
		require.NoError(t, err)
		require.Len(t, r.Rows, 6)
		for _, row := range r.Rows {
			seen := make([]int, r.Grid.N)
			for _, w := range row.Windows {
				mark(seen, w.Run)
				require.LessOrEqual(t, w.WorkFrom, w.From)
				require.GreaterOrEqual(t, w.BestTo-w.BestFrom, 12)
			}
			for _, x := range row.Refusals {
				mark(seen, x)
			}
			for i := r.From; i < r.To; i++ {
				require.Equal(t, 1, seen[i])
			}
		}
	})
}

func mark(seen []int, r verdict.Run) {
	for i := r.From; i < r.To; i++ {
		seen[i]++
	}
}

// The answer does not depend on how many work on it.
func TestWorkersAgree(t *testing.T) {
	in := window.Input{
		Forecast: ensemble(4, 7), Job: bigJob(), Classes: catalogue(t), Location: time.UTC,
	}
	in.Now = in.Forecast.Start
	one, err := window.Evaluate(in)
	require.NoError(t, err)
	in.Workers = 3
	three, err := window.Evaluate(in)
	require.NoError(t, err)
	assert.Equal(t, one, three)
}

// A day more in the job's span leaves the days before as they were.
func TestHorizonGrows(t *testing.T) {
	f := ensemble(8, 3)
	j := smallJob(t, "polymer-sealant")
	j.From, j.By = job.Date{Year: 2026, Month: 9, Day: 2}, job.Date{Year: 2026, Month: 9, Day: 4}
	short := evaluate(t, f, j, f.Start)
	j.By.Day++
	long := evaluate(t, f, j, f.Start)
	end := time.Date(2026, 9, 5, 0, 0, 0, 0, eastern)
	assert.Equal(t, end.UTC(), short.Grid.At(short.To))
	for at := time.Date(2026, 9, 2, 0, 0, 0, 0, eastern); at.Before(end); at = at.Add(surface.Slot) {
		a, la := stateAt(short, 0, at)
		b, lb := stateAt(long, 0, at)
		require.Equal(t, [2]any{a, la}, [2]any{b, lb}, at)
	}
}

// What the forecast does not know is never go: a column gone, a forecast that
// ends early, one too old.
func TestMissingIsNeverGo(t *testing.T) {
	for _, q := range []forecast.Quantity{
		forecast.AirTemperature, forecast.DewPoint, forecast.WindSpeed, forecast.CloudCover, forecast.Precipitation,
	} {
		f := calm(4)
		f.Members[0].Columns[q] = forecast.Column{}
		r := evaluate(t, f, smallJob(t, "polymer-sealant"), f.Start)
		assert.Empty(t, r.Rows[0].Windows, q)
		s, l := stateAt(r, 0, f.Start.Add(36*time.Hour))
		assert.Equal(t, verdict.Unknown, s, q)
		assert.Equal(t, verdict.Data, l, q)
	}
	f := calm(3)
	j := smallJob(t, "polymer-sealant")
	j.By = job.Date{Year: 2026, Month: 9, Day: 6}
	r := evaluate(t, f, j, f.Start)
	s, l := stateAt(r, 0, time.Date(2026, 9, 5, 10, 0, 0, 0, eastern))
	assert.Equal(t, [2]any{verdict.Unknown, verdict.Data}, [2]any{s, l})
	in := window.Input{Forecast: calm(4), Job: smallJob(t, "polymer-sealant"), Classes: catalogue(t), Location: eastern}
	in.Now = in.Forecast.Start.Add(24 * time.Hour)
	in.UnknownFrom = in.Now.Add(24 * time.Hour)
	old, err := window.Evaluate(in)
	require.NoError(t, err)
	s, _ = stateAt(old, 0, in.Now.Add(34*time.Hour))
	assert.Equal(t, verdict.Unknown, s)
}

// Nothing to judge by, no time zone, a span that is over: an error each.
func TestErrors(t *testing.T) {
	_, err := window.Evaluate(window.Input{Job: smallJob(t, "polymer-sealant"), Location: eastern})
	require.ErrorIs(t, err, window.ErrNoForecast)
	f := calm(2)
	_, err = window.Evaluate(window.Input{Forecast: f, Job: smallJob(t, "polymer-sealant"), Classes: catalogue(t)})
	require.ErrorIs(t, err, window.ErrNoLocation)
	_, err = window.Evaluate(window.Input{
		Forecast: f, Job: smallJob(t, "polymer-sealant"), Classes: catalogue(t), Location: eastern, Now: f.End(),
	})
	require.ErrorIs(t, err, window.ErrNoHorizon)
}

// The crew's hours, quiet hours, days away, daylight, reach, water rules and
// people bind like any limit, and outrank the weather.
func TestCrewLimits(t *testing.T) {
	f := calm(5)
	noon := time.Date(2026, 9, 3, 12, 0, 0, 0, eastern)
	for name, c := range map[string]struct {
		class  string
		change func(*job.Job)
		at     time.Time
		limit  verdict.Limit
	}{
		"hours": {"polymer-sealant", func(*job.Job) {}, noon.Add(8 * time.Hour), verdict.Hours},
		"machines": {"compound-rotary", func(j *job.Job) {
			j.Place.Machines = job.Schedule{Set: true, Default: []job.ClockSpan{{From: 13 * 60, To: 17 * 60}}}
		}, noon, verdict.Machines},
		"away": {"polymer-sealant", func(j *job.Job) { j.Away = map[job.Date]bool{job.DateOf(noon): true} }, noon, verdict.Away},
		"daylight": {"polymer-sealant", func(j *job.Job) {
			j.Lamps = false
			j.Hours.Default[0] = job.ClockSpan{From: 0, To: 24 * 60}
		}, noon.Add(9 * time.Hour), verdict.Daylight},
		"reach": {"polymer-sealant", func(j *job.Job) {
			j.Zones[0].Reach = []boat.Span{{From: noon.Add(time.Hour), To: noon.Add(3 * time.Hour)}}
		}, noon, verdict.Reach},
		"water":  {"acid-cleaner", func(j *job.Job) { j.Place.Water = "soap" }, noon, verdict.Water},
		"people": {"professional-ceramic", func(j *job.Job) { j.People = 1 }, noon, verdict.People},
		"finish": {"compound-rotary", func(j *job.Job) { j.Zones[0].Finish = finish(t, "navy-paint") }, noon, verdict.Finish},
		"salt":   {"polymer-sealant", func(j *job.Job) { j.Zones[0].Salt = true }, noon, verdict.Salt},
	} {
		j := smallJob(t, c.class)
		c.change(j)
		s, l := stateAt(evaluate(t, f, j, f.Start), 0, c.at)
		assert.Equal(t, verdict.NoGo, s, name)
		assert.Equal(t, c.limit, l, name)
	}
	// A wash before it takes the salt off; paint known to be buffable may be cut.
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].Salt = true
	j.Steps = append([]job.Step{{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0}}}, j.Steps...)
	_, l := stateAt(evaluate(t, f, j, f.Start), 1, noon)
	assert.NotEqual(t, verdict.Salt, l)
	j = smallJob(t, "compound-rotary")
	j.Zones[0].Finish, j.Zones[0].Buffable = finish(t, "navy-paint"), "yes"
	_, l = stateAt(evaluate(t, f, j, f.Start), 0, noon)
	assert.NotEqual(t, verdict.Finish, l)
}

// A neighbour's boat that shades the side until it leaves: recomputed from that
// minute on, and no change for a side that the sun has not reached by then.
func TestNeighbourLeaves(t *testing.T) {
	f := calm(5)
	leave := time.Date(2026, 9, 3, 8, 30, 0, 0, eastern)
	shade := boat.Sector{From: 0, To: 360, UpTo: 70, Until: leave, HasUntil: true}
	sunlight := func(shades []boat.Sector, faces float64, at time.Time) float64 {
		j := smallJob(t, "polymer-sealant")
		j.Zones[0].Faces, j.Zones[0].FacesTrue, j.Zones[0].Shade = faces, true, shades
		r := evaluate(t, f, j, f.Start)
		h := int(at.Sub(r.Weather[0].At) / time.Hour)
		return r.Zones[0].Hours[h].Sunlight.V
	}
	at := func(hour int) time.Time { return time.Date(2026, 9, 3, hour, 0, 0, 0, eastern) }
	assert.Less(t, sunlight([]boat.Sector{shade}, 90, at(7)), 0.6*sunlight(nil, 90, at(7)), "shaded in the morning")
	assert.InDelta(t, sunlight(nil, 90, at(9)), sunlight([]boat.Sector{shade}, 90, at(9)), 0.1, "and free after")
	assert.InDelta(t, sunlight(nil, 270, at(8)), sunlight([]boat.Sector{shade}, 270, at(8)), 0.1, "no sun there yet")
}

// Thunder stops everything outdoors, and for 30 minutes after.
func TestThunder(t *testing.T) {
	f := calm(5)
	m := &f.Members[0]
	m.Columns[forecast.WeatherCode] = forecast.NewColumn(f.N)
	noon := time.Date(2026, 9, 3, 12, 0, 0, 0, eastern)
	i, _ := f.Index(noon)
	m.Columns[forecast.WeatherCode].Set(i, 95)
	r := evaluate(t, f, smallJob(t, "compound-rotary"), f.Start)
	for minutes, want := range map[int]bool{-10: false, 0: true, 50: true, 60: true, 80: true, 90: false} {
		_, l := stateAt(r, 0, noon.Add(time.Duration(minutes)*time.Minute))
		assert.Equal(t, want, l == verdict.Thunder, "%d", minutes)
	}
}

// A person's own product: the label outranks the class, and a limit looser than
// the class's hard one stays marked.
func TestOwnProduct(t *testing.T) {
	set, warnings, err := catalogue(t).With("mine.yaml", []byte(
		"products:\n  - id: my-sealer\n    like: teak-sealer\n    clocks_h:\n      dry_off: {default: 12, hard: 12}\n"))
	require.NoError(t, err)
	require.NotEmpty(t, warnings)
	c, ok := set.Class("my-sealer")
	require.True(t, ok)
	assert.True(t, c.DryOff.Loosened)
	assert.InDelta(t, 12, c.DryOff.Default, 0)
}

// Turning the boat in her berth turns the sides' sun with her; a cover takes
// rain and sky away while it is up.
func TestBerthsAndCovers(t *testing.T) {
	f := ensemble(5, 1)
	j := smallJob(t, "polymer-sealant")
	turn := time.Date(2026, 9, 3, 0, 0, 0, 0, eastern)
	j.Berths = append(j.Berths, job.Berth{From: turn, Bow: 20})
	r := evaluate(t, f, j, f.Start)
	morning := func(day int) float64 {
		h := int(time.Date(2026, 9, day, 9, 0, 0, 0, eastern).Sub(r.Weather[0].At) / time.Hour)
		return r.Zones[0].Hours[h].Sunlight.V
	}
	assert.Greater(t, morning(2), 2*morning(3), "the port side looked east-south-east, then west-north-west")
	rain := time.Date(2026, 9, 4, 14, 0, 0, 0, eastern)
	_, l := stateAt(r, 0, rain)
	assert.Equal(t, verdict.Film, l)
	j.Covers = []job.Cover{{Zones: []string{"port side"}, Kind: boat.Canvas, From: turn, To: turn.AddDate(0, 0, 3)}}
	_, l = stateAt(evaluate(t, f, j, f.Start), 0, rain)
	assert.NotEqual(t, verdict.Film, l)
}

// The ranking: go before marginal, then confidence, then cooler, then earlier.
func TestRanking(t *testing.T) {
	r := evaluate(t, ensemble(8, 5), smallJob(t, "polymer-sealant"), ensemble(8, 5).Start)
	refs := r.Ranked[0]
	require.NotEmpty(t, refs)
	for n, ref := range refs {
		w := r.At(ref)
		assert.Equal(t, n+1, w.Rank)
		if n == 0 {
			continue
		}
		before := r.At(refs[n-1])
		assert.LessOrEqual(t, max(before.BestState, verdict.Go), max(w.BestState, verdict.Go))
	}
}

// Washing shows how large a section may be: smaller in sun than in shade.
func TestSections(t *testing.T) {
	j := smallJob(t, "soap-wash")
	j.Steps[0] = job.Step{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0}}
	f := calm(4)
	r := evaluate(t, f, j, f.Start)
	section := r.Rows[0].Section
	require.Len(t, section, r.To-r.From)
	at := func(hour int) float32 {
		return section[r.Grid.Index(time.Date(2026, 9, 2, hour, 0, 0, 0, eastern))-r.From]
	}
	assert.Less(t, at(10), at(15), "the port side has the sun in the morning")
}

// A zone below a wet overhang is not dry before the overhang is; dew does not
// drip.
func TestOverhangDrips(t *testing.T) {
	f := calm(5)
	i, _ := f.Index(time.Date(2026, 9, 3, 8, 0, 0, 0, eastern))
	f.Members[0].Columns[forecast.Precipitation].Set(i, 2)
	two := func(drains ...string) *job.Job {
		j := smallJob(t, "spray-sealant")
		j.Zones = append(j.Zones, boat.Zone{
			Name: "side deck", Finish: finish(t, "white-non-skid"), Faces: 0, Shelter: boat.Open, DrainsTo: drains,
		})
		j.Zones[0].Shelter = boat.Hardtop // the rain itself stays off it
		return j
	}
	at := time.Date(2026, 9, 3, 9, 10, 0, 0, eastern)
	_, l := stateAt(evaluate(t, f, two(), f.Start), 0, at)
	assert.NotEqual(t, verdict.Film, l)
	s, l := stateAt(evaluate(t, f, two("port side"), f.Start), 0, at)
	assert.Equal(t, [2]any{verdict.NoGo, verdict.Film}, [2]any{s, l})
	_, l = stateAt(evaluate(t, calm(5), two("port side"), f.Start), 0, at)
	assert.NotEqual(t, verdict.Film, l)
}

// A part with another finish is held to the stricter of the two: a dark stripe
// on a white side closes it while the stripe is hot.
func TestParts(t *testing.T) {
	f := calm(5)
	at := time.Date(2026, 9, 3, 9, 30, 0, 0, eastern)
	j := smallJob(t, "polymer-sealant")
	white, _ := stateAt(evaluate(t, f, j, f.Start), 0, at)
	j.Zones[0].Parts = []boat.Part{{Name: "stripe", Finish: finish(t, "navy-gelcoat"), AreaM2: 2}}
	s, l := stateAt(evaluate(t, f, j, f.Start), 0, at)
	assert.True(t, white.Workable())
	assert.Equal(t, [2]any{verdict.NoGo, verdict.SurfaceMax}, [2]any{s, l})
}
