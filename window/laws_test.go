package window_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// statesOf is a row slot by slot over the horizon.
func statesOf(r *window.Result, row int) []verdict.State {
	out := make([]verdict.State, r.Grid.N)
	for _, w := range r.Rows[row].Windows {
		for i := w.From; i < w.To; i++ {
			out[i] = w.State
		}
	}
	for _, x := range r.Rows[row].Refusals {
		for i := x.From; i < x.To; i++ {
			out[i] = x.State
		}
	}
	return out[r.From:r.To]
}

// resampled is a forecast in another step: instants on the line between, rain
// spread evenly.
func resampled(f *forecast.Forecast, step time.Duration) *forecast.Forecast {
	out := *f
	out.Step, out.N = step, int(f.End().Sub(f.Start)/step)
	out.Members = make([]forecast.Member, len(f.Members))
	for k, m := range f.Members {
		for q, c := range m.Columns {
			if !c.Any() {
				continue
			}
			to := forecast.NewColumn(out.N)
			for i := range out.N {
				at := float64(i) * step.Hours() / f.Step.Hours()
				a, _ := c.At(int(at))
				b, ok := c.At(min(int(at)+1, f.N-1))
				switch {
				case forecast.Quantity(q).Kind() == forecast.Sum:
					to.Set(i, a*step.Hours()/f.Step.Hours())
				case ok:
					to.Set(i, a+(b-a)*(at-math.Floor(at)))
				}
			}
			out.Members[k].Columns[q] = to
		}
	}
	return &out
}

// Steps of a quarter of an hour and of three hours, the first beginning on no
// slot's bound, are judged much like hours.
func TestForecastSteps(t *testing.T) {
	f := calm(5)
	j := smallJob(t, "polymer-sealant")
	now := f.Start.Add(30 * time.Hour)
	whole := statesOf(evaluate(t, f, j, now), 0)
	for _, step := range []time.Duration{15 * time.Minute, 3 * time.Hour} {
		g := resampled(f, step)
		if step < time.Hour { // begin at a quarter past, off the slots
			g = later(g, 1)
		} else {
			span := forecast.NewColumn(g.N)
			for i := range g.N {
				span.Set(i, 1)
			}
			g.Members[0].Columns[forecast.PrecipitationSpan] = span
		}
		got := statesOf(evaluate(t, g, j, now), 0)
		require.Len(t, got, len(whole))
		differ := 0
		for i := range got {
			if got[i].Workable() != whole[i].Workable() {
				differ++
			}
		}
		assert.Less(t, differ, len(whole)/20, "%v", step)
	}
}

// Now before the data: the slots that the data do not reach are unknown, and so
// are those after their end; a "from" that has passed is now.
func TestOutsideTheData(t *testing.T) {
	f := calm(4)
	j := smallJob(t, "polymer-sealant")
	j.Hours = job.Schedule{}
	j.From = job.Date{Year: 2026, Month: 8, Day: 1}
	j.By = job.Date{Year: 2026, Month: 9, Day: 8}
	now := f.Start.Add(-50 * time.Hour)
	r := evaluate(t, f, j, now)
	require.Equal(t, now.Truncate(surface.Slot), r.Grid.At(r.From))
	for i, s := range statesOf(r, 0) {
		at := r.Grid.At(r.From + i)
		if at.Before(f.Start) || !at.Before(f.End()) {
			require.Equal(t, verdict.Unknown, s, at)
		}
	}
	assert.False(t, r.Weather[0].Air.Known)
	assert.Equal(t, r.Grid.At(r.From).Truncate(time.Hour), r.Weather[0].At)
	r = evaluate(t, f, j, f.Start.Add(36*time.Hour+7*time.Minute))
	assert.Equal(t, f.Start.Add(36*time.Hour), r.Grid.At(r.From))
	j.From, j.By = job.Date{Year: 2026, Month: 9, Day: 2}, job.Date{}
	f.Step = 0
	_, err := window.Evaluate(window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now})
	assert.ErrorIs(t, err, window.ErrNoForecast)
}

// A day of 25 hours has 150 slots and one of 23 has 138; where the clock skips
// midnight the day begins after the gap. Hours follow each other by an hour.
func TestDaysOfOddLength(t *testing.T) {
	for _, c := range []struct {
		zone  string
		day   job.Date
		slots int
	}{
		{"America/New_York", job.Date{Year: 2026, Month: 11, Day: 1}, 150},
		{"America/New_York", job.Date{Year: 2026, Month: 3, Day: 8}, 138},
		{"Africa/Cairo", job.Date{Year: 2026, Month: 4, Day: 24}, 138},
		{"Asia/Kolkata", job.Date{Year: 2026, Month: 4, Day: 24}, 144},
	} {
		loc, err := time.LoadLocation(c.zone)
		require.NoError(t, err)
		f := calm(6)
		f.Start = time.Date(c.day.Year, c.day.Month, c.day.Day-3, 0, 0, 0, 0, time.UTC)
		j := smallJob(t, "polymer-sealant")
		j.From, j.By = c.day, c.day
		r, err := window.Evaluate(window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: loc, Now: f.Start})
		require.NoError(t, err)
		assert.Equal(t, c.slots, r.To-r.From, "%v", c)
		for h := 1; h < len(r.Weather); h++ {
			require.Equal(t, time.Hour, r.Weather[h].At.Sub(r.Weather[h-1].At))
		}
		assert.Len(t, r.Zones[0].Hours, len(r.Weather))
	}
}

// Many more days than a forecast has: sixteen at most.
func TestLongHorizon(t *testing.T) {
	f := calm(3)
	j := smallJob(t, "polymer-sealant")
	j.By = job.Date{Year: 2030, Month: 1, Day: 1}
	r := evaluate(t, f, j, f.Start)
	assert.Equal(t, 16*144, r.To-r.From)
}

// With everybody asked to agree, a slot is as good as the worst member alone,
// and unknown where any one is.
func TestSureOfAll(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 3).Draw(t, "members")
		f := ensemble(3, n)
		j := smallJob(t, rapid.SampledFrom([]string{"polymer-sealant", "compound-rotary", "varnish", "soap-wash"}).Draw(t, "class"))
		j.Zones[0].Tilt = rapid.SampledFrom([]float64{0, 90, 180}).Draw(t, "tilt")
		j.Sure, j.ShortestH, j.By = 1, 0.1, job.Date{Year: 2026, Month: 9, Day: 2}
		j.Since = job.Since{HasRain: true, Rain: f.Start.Add(-time.Hour)}
		now := f.Start.Add(20 * time.Hour)
		got := statesOf(evaluate(t, f, j, now), 0)
		worst, unknown := make([]verdict.State, len(got)), make([]bool, len(got))
		for k := range f.Members {
			one := *f
			one.Members = f.Members[k : k+1]
			for i, s := range statesOf(evaluate(t, &one, j, now), 0) {
				worst[i] = max(worst[i], s)
				if s == verdict.Unknown || unknown[i] {
					worst[i], unknown[i] = verdict.Unknown, true
				}
			}
		}
		require.Equal(t, worst, got)
	})
}

// Two hundred members: confidence counts in two-hundredths, and members that
// know less do not decide.
func TestManyMembers(t *testing.T) {
	f := ensemble(3, 200)
	for k := range 40 {
		f.Members[k].Columns[forecast.WindSpeed] = forecast.Column{}
	}
	j := smallJob(t, "compound-dual-action")
	r := evaluate(t, f, j, f.Start.Add(24*time.Hour))
	require.Equal(t, 200, r.Members)
	require.NotEmpty(t, r.Rows[0].Windows)
	for _, w := range r.Rows[0].Windows {
		n := float64(w.Confidence) * 200
		assert.InDelta(t, math.Round(n), n, 1e-3)
		assert.LessOrEqual(t, n, 160.001)
	}
	f.Members[40].Columns[forecast.WindSpeed] = forecast.Column{}
	r = evaluate(t, f, j, f.Start.Add(24*time.Hour))
	assert.Empty(t, r.Rows[0].Windows, "only 159 of 200 are known")
}

// A gap in what has no substitute never leaves a slot of its own workable, nor
// one whose after-clocks it hides.
func TestGapNeverWorkable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := calm(5)
		q := rapid.SampledFrom([]forecast.Quantity{
			forecast.AirTemperature, forecast.DewPoint, forecast.WindSpeed, forecast.CloudCover, forecast.Precipitation,
		}).Draw(t, "quantity")
		hour := rapid.IntRange(30, 80).Draw(t, "hour")
		f.Members[0].Columns[q].Known[hour] = false
		class := rapid.SampledFrom([]string{"polymer-sealant", "professional-ceramic", "varnish", "teak-oil"}).Draw(t, "class")
		j := smallJob(t, class)
		j.Hours = job.Schedule{}
		c, _ := catalogue(t).Class(class)
		r := evaluate(t, f, j, f.Start.Add(24*time.Hour))
		gap := r.Grid.Index(f.Start.Add(time.Duration(hour)*time.Hour)) - r.From
		clock := int(c.RainFree.Default * surface.PerHour)
		if q != forecast.Precipitation && c.DewFree.Default < c.RainFree.Default && !c.HasCureMin && !c.Equivalent {
			clock = int(c.DewFree.Default * surface.PerHour)
		}
		for i, s := range statesOf(r, 0) {
			if i >= gap-clock && i < gap+surface.PerHour {
				require.False(t, s.Workable(), "%v: slot %d, gap at %d", q, i, gap)
			}
		}
	})
}

// A day more in the span changes neither states nor limits of the days before,
// for any class, beside the water too.
func TestHorizonLaw(t *testing.T) {
	cat := catalogue(t)
	f := ensemble(9, 2)
	for _, id := range cat.IDs() {
		j := smallJob(t, id)
		j.Zones[0].NearWater = true
		j.Zones[0].Finish.Soaks = id == "teak-oil"
		j.From, j.By = job.Date{Year: 2026, Month: 9, Day: 2}, job.Date{Year: 2026, Month: 9, Day: 3}
		short := evaluate(t, f, j, f.Start)
		j.By.Day += 2
		long := evaluate(t, f, j, f.Start)
		for _, list := range [][]verdict.Run{runs(short.Rows[0].Windows), short.Rows[0].Refusals} {
			for _, x := range list {
				if x.To == short.To { // may go on
					continue
				}
				require.Contains(t, append(runs(long.Rows[0].Windows), long.Rows[0].Refusals...), x, "%s %v", id, x)
			}
		}
	}
}

func runs(windows []window.Window) []verdict.Run {
	var out []verdict.Run
	for _, w := range windows {
		out = append(out, w.Run)
	}
	return out
}

// Overhangs that drain onto each other in rings are worked out alike however
// many work on them.
func TestRingsOfOverhangs(t *testing.T) {
	j := bigJob()
	j.Zones, j.Steps = j.Zones[:5], j.Steps[:2]
	for i := range j.Steps {
		j.Steps[i].On = []int{0, 1, 2, 3, 4}
	}
	for i := range j.Zones {
		for k := range j.Zones {
			if k != i {
				j.Zones[i].DrainsTo = append(j.Zones[i].DrainsTo, j.Zones[k].Name)
			}
		}
	}
	in := window.Input{Forecast: ensemble(4, 3), Job: j, Classes: catalogue(t), Location: time.UTC}
	in.Now = in.Forecast.Start
	one, err := window.Evaluate(in)
	require.NoError(t, err)
	in.Workers = 4
	four, err := window.Evaluate(in)
	require.NoError(t, err)
	assert.Equal(t, one, four)
}

// Places: the two longitudes of the date line are one, poles and the southern
// half have days like any other, and nothing there is out of bounds.
func TestPlaces(t *testing.T) {
	at := func(lat, lon float64) *window.Result {
		j := smallJob(t, "polymer-sealant")
		j.Place.Latitude, j.Place.Longitude = lat, lon
		j.Zones = append(j.Zones, boat.Zone{Name: "bottom", Finish: finish(t, "antifouled-lead"), Tilt: 180, Skin: boat.Keel})
		f := calm(3)
		return evaluate(t, f, j, f.Start)
	}
	assert.Equal(t, statesOf(at(-17, 180), 0), statesOf(at(-17, -180), 0))
	for _, lat := range []float64{90, -90, -43} {
		r := at(lat, -70)
		for _, z := range r.Zones {
			for _, h := range z.Hours {
				require.False(t, math.IsNaN(h.Surface.V) || math.IsNaN(h.UV.V) || math.IsNaN(h.Sunlight.V))
			}
		}
	}
}
