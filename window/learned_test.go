package window_test

import (
	"math"
	"math/bits"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	ens "dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface/fit"
	"dewgap/window/verdict"
)

// taughtBy evaluates a job with what was learned.
func taughtBy(t require.TestingT, in window.Input, l *window.Learned) *window.Result {
	in.Learned = l
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	return r
}

func inputOf(t require.TestingT, f *forecast.Forecast, j *job.Job, now time.Time) window.Input {
	return window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now}
}

// biased is the same error of one variable in all regimes.
func biased(v ens.Variable, size float64, readings int) *window.Learned {
	l := &window.Learned{}
	for r := range ens.Regimes {
		l.Weather.Biases[v][r] = ens.Bias{Readings: readings, Mean: size, Weight: 1}
	}
	return l
}

func panelled(zone string, absorptance, sky float64, readings int) *window.Learned {
	return &window.Learned{Zones: []window.LearnedZone{{
		Zone:        zone,
		Absorptance: fit.Value{Prior: 0.3, Fitted: absorptance, Used: absorptance, Weight: 0.5, Readings: readings},
		Sky:         fit.Value{Prior: 1, Fitted: sky, Used: sky, Weight: 0.5, Readings: readings},
	}}}
}

// damp is weather in which the sides are too near the dew point in the morning.
func damp() (*forecast.Forecast, time.Time) {
	f := calm(4)
	for i := range f.N {
		c := &f.Members[0].Columns
		temp, _ := c[forecast.AirTemperature].At(i)
		c[forecast.DewPoint].Set(i, math.Min(temp-1.8, 15))
	}
	return f, f.Start.Add(30 * time.Hour)
}

// hoursOf counts the slots of a row in the states.
func hoursOf(r *window.Result, row int, in ...verdict.State) int {
	n := 0
	for _, s := range statesOf(r, row) {
		if slices.Contains(in, s) {
			n++
		}
	}
	return n
}

// Nothing learned, and what comes to nothing, give the same answer to the bit.
func TestLearned_Nothing(t *testing.T) {
	f, now := damp()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), now)
	plain := taughtBy(t, in, nil)
	assert.Equal(t, plain, taughtBy(t, in, &window.Learned{}))
	assert.Equal(t, plain, taughtBy(t, in, biased(ens.AirError, 0.05, 9)), "too little to matter")
	assert.Equal(t, plain, taughtBy(t, in, panelled("a zone of another boat", 0.6, 0.5, 9)), "names of other zones say nothing")
}

// Drier air than forecast, learned from five readings, makes marginal hours go and
// leaves every no-go hour no-go; learned from four it makes nothing better.
func TestLearned_MarginalToGoAfterFive(t *testing.T) {
	f, now := damp()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), now)
	plain := taughtBy(t, in, nil)
	five, four := taughtBy(t, in, biased(ens.DewError, -2, 5)), taughtBy(t, in, biased(ens.DewError, -2, 4))
	was, is, same := statesOf(plain, 0), statesOf(five, 0), statesOf(four, 0)
	better := 0
	for i := range was {
		if is[i] < was[i] {
			better++
			require.True(t, was[i].Workable(), "slot %d was %v and is %v", i, was[i], is[i])
		}
		require.GreaterOrEqual(t, same[i], was[i], "slot %d", i)
	}
	assert.Positive(t, better)
	assert.Equal(t, hoursOf(plain, 0, verdict.NoGo), hoursOf(five, 0, verdict.NoGo))
}

// Damper air than forecast counts from the first reading on, as no-go too.
func TestLearned_WorseAtOnce(t *testing.T) {
	f, now := damp()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), now)
	plain, got := taughtBy(t, in, nil), taughtBy(t, in, biased(ens.DewError, 2, 1))
	assert.Greater(t, hoursOf(got, 0, verdict.NoGo), hoursOf(plain, 0, verdict.NoGo))
	assert.Greater(t, *someDew(got), *someDew(plain), "the hours show what was learned")
}

func someDew(r *window.Result) *float64 { return &r.Weather[3].Dew.V }

// A hull that takes in more sun than its table says gets hotter by day and no
// warmer by night; a deck that sees less sky gets warmer by night.
func TestLearned_Panels(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	in := inputOf(t, f, j, now)
	plain := taughtBy(t, in, nil)
	dark := taughtBy(t, in, panelled("port side", 0.5, 1, 9))
	hidden := taughtBy(t, in, panelled("port side", 0.3, 0.2, 9))
	for h, z := range plain.Zones[0].Hours {
		d, s := dark.Zones[0].Hours[h], hidden.Zones[0].Hours[h]
		if z.Sunlight.V > 200 {
			require.Greater(t, d.Surface.V, z.Surface.V+0.5, "hour %d", h)
		}
		if z.Sunlight.V == 0 {
			require.InDelta(t, z.Surface.V, d.Surface.V, 0.6, "hour %d: the cabin behind alone is warmer", h)
			require.GreaterOrEqual(t, s.Surface.V, z.Surface.V, "hour %d", h)
		}
	}
}

// What the panel leaves over moves the surface and its distance over the dew point,
// and fades ahead of now.
func TestLearned_SurfaceLeftOver(t *testing.T) {
	f, now := quay()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), now)
	l := &window.Learned{Zones: []window.LearnedZone{{Zone: "port side"}}}
	for r := range ens.Regimes {
		l.Zones[0].Surface[r] = ens.Bias{Readings: 9, Mean: -1.5, Weight: 1}
	}
	plain, got := taughtBy(t, in, nil), taughtBy(t, in, l)
	for h, z := range plain.Zones[0].Hours {
		x, lead := got.Zones[0].Hours[h], plain.Weather[h].At.Add(25*time.Minute).Sub(now)
		require.InDelta(t, -1.5*ens.LeadWeight(lead), x.Surface.V-z.Surface.V, 0.02, "hour %d", h)
		require.InDelta(t, x.Surface.V-z.Surface.V, x.Spread.V-z.Spread.V, 1e-3, "hour %d", h)
	}
}

// This morning's reading is no learned bias: the panel shows what was read, whatever
// was learned, and may be lifted by it.
func TestLearned_ThisMorningsReadingStands(t *testing.T) {
	f, now := quay()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), now)
	in.Readings = []job.Reading{
		{At: now.Add(-5 * time.Minute), AirC: num(15), HumidityPct: num(60)},
		{At: now.Add(-5 * time.Minute), Zone: "port side", SurfaceC: num(14), By: job.Contact},
	}
	l := panelled("port side", 0.5, 0.6, 9)
	l.Zones[0].Surface[ens.CloudyNight] = ens.Bias{Readings: 9, Mean: -2, Weight: 1}
	l.Zones[0].Surface[ens.ClearNight] = ens.Bias{Readings: 9, Mean: -2, Weight: 1}
	l.Weather = biased(ens.AirError, 2, 9).Weather
	plain, got := taughtBy(t, in, nil), taughtBy(t, in, l)
	for _, r := range []*window.Result{plain, got} {
		for _, u := range r.Readings {
			assert.True(t, u.Used, u.Text+": "+u.Reason)
		}
		assert.InDelta(t, 15, r.Weather[0].Air.V, 1, "the air that was read")
	}
	assert.InDelta(t, plain.Weather[0].Air.V, got.Weather[0].Air.V, 0.5)
}

// A spread that is learned leaves the state to the forecast itself and changes how sure
// it is; closer together it makes nothing surer before it has five readings.
func TestLearned_Spread(t *testing.T) {
	f, now := damp()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), now)
	in.Dressed = ens.Dress(f, 20, now, ens.Options{})
	spread := func(factor float64, readings int) *window.Learned {
		l := &window.Learned{}
		for v := range l.Weather.Spreads {
			l.Weather.Spreads[v] = ens.Spread{Cases: 20, Readings: readings, Said: 1, Found: factor, Stretch: factor}
		}
		return l
	}
	sure := func(l *window.Learned) (n int) {
		r := taughtBy(t, in, l)
		require.Equal(t, statesOf(taughtBy(t, in, nil), 0), statesOf(r, 0))
		for _, w := range r.Rows[0].Slots.Go {
			n += bits.OnesCount64(w)
		}
		return n
	}
	plain := sure(nil)
	require.Positive(t, plain)
	assert.Less(t, sure(spread(2, 0)), plain, "less sure at once")
	assert.Greater(t, sure(spread(0.3, 5)), plain, "surer by five readings")
	assert.LessOrEqual(t, sure(spread(0.3, 4)), plain)
}

func drawLearned(t *rapid.T) *window.Learned {
	l := &window.Learned{}
	bias := func() ens.Bias {
		return ens.Bias{Readings: rapid.IntRange(1, 9).Draw(t, "readings"), Mean: rapid.Float64Range(-5, 5).Draw(t, "mean"), Weight: rapid.Float64Range(0, 0.9).Draw(t, "weight")}
	}
	for v := range l.Weather.Biases {
		for r := range l.Weather.Biases[v] {
			l.Weather.Biases[v][r] = bias()
		}
	}
	for v := range l.Weather.Spreads {
		l.Weather.Spreads[v] = ens.Spread{
			Cases: rapid.IntRange(0, 30).Draw(t, "cases"), Readings: rapid.IntRange(0, 9).Draw(t, "at the place"), Said: 1,
			Found: rapid.Float64Range(0.1, 3).Draw(t, "found"), Floor: rapid.Float64Range(0, 4).Draw(t, "floor"), Stretch: rapid.Float64Range(0, 3).Draw(t, "stretch"),
		}
	}
	for _, name := range []string{"port side", "foredeck"} {
		z := window.LearnedZone{
			Zone:        name,
			Absorptance: fit.Value{Prior: 0.3, Used: rapid.Float64Range(0.15, 0.97).Draw(t, "absorptance"), Readings: rapid.IntRange(3, 9).Draw(t, "sun")},
			Sky:         fit.Value{Prior: 1, Used: rapid.Float64Range(0, 1).Draw(t, "sky"), Readings: rapid.IntRange(3, 9).Draw(t, "night")},
		}
		for r := range z.Surface {
			z.Surface[r] = bias()
		}
		l.Zones = append(l.Zones, z)
	}
	return l
}

// twoZones is a side and a deck that drains onto it, washed and sealed.
func twoZones(t require.TestingT) *job.Job {
	j := smallJob(t, "polymer-sealant")
	j.Zones = append(j.Zones, boat.Zone{Name: "foredeck", Finish: finish(t, "white-gelcoat"), AreaM2: 6, DrainsTo: []string{"port side"}})
	j.Zones[0].Parts = []boat.Part{{Finish: finish(t, "navy-gelcoat")}}
	j.Steps = []job.Step{{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0, 1}}, {Name: "seal", Do: "seal", With: "polymer-sealant", On: []int{0, 1}}}
	return j
}

// Whatever was learned, of whatever weather: what is no-go or unknown without it is
// no better with it, for one forecast, one dressed and an ensemble; where nothing
// has readings enough, nothing at all is better.
func TestLearned_NeverRelaxes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := ensemble(4, rapid.IntRange(1, 5).Draw(t, "members"))
		for m := range f.Members {
			shift := rapid.Float64Range(-6, 6).Draw(t, "damper")
			for i := range f.N {
				c := &f.Members[m].Columns
				temp, _ := c[forecast.AirTemperature].At(i)
				dew, _ := c[forecast.DewPoint].At(i)
				c[forecast.DewPoint].Set(i, math.Min(dew+shift, temp))
			}
			if gap := rapid.IntRange(0, 3*f.N).Draw(t, "gap"); gap < f.N {
				f.Members[m].Columns[forecast.AirTemperature].Known[gap] = false
			}
		}
		in := inputOf(t, f, twoZones(t), f.Start.Add(30*time.Hour))
		if len(f.Members) == 1 && rapid.Bool().Draw(t, "dressed") {
			in.Dressed = ens.Dress(f, 6, in.Now, ens.Options{})
		}
		l := drawLearned(t)
		enough := rapid.Bool().Draw(t, "enough")
		if !enough {
			fewOnly(l)
		}
		plain, got := taughtBy(t, in, nil), taughtBy(t, in, l)
		for row := range plain.Rows {
			was, is := statesOf(plain, row), statesOf(got, row)
			for i := range was {
				if !was[i].Workable() || !enough {
					require.GreaterOrEqual(t, is[i], was[i], "row %d slot %d", row, i)
				}
			}
		}
	})
}

// fewOnly leaves nothing with readings enough.
func fewOnly(l *window.Learned) {
	for v := range l.Weather.Biases {
		for r := range l.Weather.Biases[v] {
			l.Weather.Biases[v][r].Readings = 4
		}
	}
	for v := range l.Weather.Spreads {
		l.Weather.Spreads[v].Readings = 4
	}
	for k := range l.Zones {
		z := &l.Zones[k]
		z.Absorptance.Readings, z.Sky.Readings = 4, 4
		for r := range z.Surface {
			z.Surface[r].Readings = 4
		}
	}
}

// Explain says of a slot what the row of the week has, with what was learned too.
func TestLearned_ExplainAgrees(t *testing.T) {
	t.Parallel()
	f, now := damp()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), now)
	for _, l := range []*window.Learned{biased(ens.DewError, -2, 5), biased(ens.DewError, -2, 4), biased(ens.DewError, 2, 1)} {
		r := taughtBy(t, in, l)
		in.Learned = l
		for h := 0; h < 30; h++ {
			at := now.Add(time.Duration(h) * time.Hour)
			x, err := window.Explain(in, 0, "polymer-sealant", at)
			require.NoError(t, err)
			state, limit := stateAt(r, 0, at)
			require.Equal(t, state, x.State, at)
			if limit == verdict.Block || x.Binding.Limit == verdict.Data || len(x.Limits) == 0 {
				continue
			}
			worst := verdict.Ideal
			for _, held := range x.Limits {
				worst = max(worst, held.State)
			}
			require.Equal(t, state, worst, at)
		}
	}
}

// The order of the zones in what was learned, and the number of workers, change
// nothing; twice is the same.
func TestLearned_SameTwice(t *testing.T) {
	f, now := damp()
	in := inputOf(t, f, twoZones(t), now)
	l := panelled("port side", 0.5, 0.8, 9)
	l.Zones = append(l.Zones, panelled("foredeck", 0.4, 0.9, 4).Zones...)
	one := taughtBy(t, in, l)
	in.Workers = 4
	slices.Reverse(l.Zones)
	assert.Equal(t, one, taughtBy(t, in, l))
}
