package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/window/surface"
	"dewgap/window/surface/fit"
)

var midnight = time.Date(2026, 9, 7, 4, 0, 0, 0, time.UTC) // at Otter Quay, UTC−4

// fair is a week of mostly clear late summer, hour by hour: 13 to 21 °C, dry enough
// for no dew, so that what a test finds is the balance and not the film.
func fair() (*surface.Weather, *surface.Sky) {
	const hours = 7 * 24
	f := &forecast.Forecast{Start: midnight, Step: time.Hour, N: hours, Members: make([]forecast.Member, 1)}
	m := &f.Members[0]
	for _, q := range []forecast.Quantity{
		forecast.AirTemperature, forecast.DewPoint, forecast.WindSpeed, forecast.CloudCover, forecast.Precipitation,
	} {
		m.Columns[q] = forecast.NewColumn(hours)
	}
	for i := range hours {
		day := math.Sin(2 * math.Pi * (float64(i) - 9) / 24)
		m.Columns[forecast.AirTemperature].Set(i, 17+4*day)
		m.Columns[forecast.DewPoint].Set(i, 2)
		m.Columns[forecast.WindSpeed].Set(i, 2.5+day)
		m.Columns[forecast.CloudCover].Set(i, 15+10*math.Sin(float64(i)/5))
		m.Columns[forecast.Precipitation].Set(i, 0)
	}
	g := surface.NewGrid(midnight, f.End())
	s := surface.NewSky(g, 43.07, -70.74, surface.Model{})
	return surface.NewWeather(f, m, s, surface.Site{WindShare: 0.89, Now: midnight}, surface.Model{}), s
}

// side is a port side that faces south-east, deck a level one. Cored laminate.
func panelOf(tilt, absorptance float64) surface.Panel {
	return surface.Panel{
		Tilt: tilt, Absorptance: absorptance, Emissivity: 0.92, Capacity: 5760, Through: 1.4, HoldingGM2: 50, LagH: 4,
	}
}

func exposed(s *surface.Sky, tilt, sky float64) *surface.Exposure {
	x := surface.NewExposure(surface.Exposed{
		Tilt: tilt, Facing: func(int) float64 { return 135 }, Cover: func(int) (surface.Roof, float64) { return surface.NoRoof, 0 },
	}, s, surface.Model{})
	for i := range x.SkyView {
		x.SkyView[i] *= float32(sky)
	}
	return x
}

// truth is a panel as it really is, under the week's weather.
type truth struct {
	w     *surface.Weather
	s     *surface.Sky
	tilt  float64
	track *surface.Track
}

func newTruth(tilt, absorptance, sky float64) truth {
	w, s := fair()
	t := surface.NewTrack(w.Grid.N)
	t.Run(panelOf(tilt, absorptance), exposed(s, tilt, sky), w, surface.Model{})
	return truth{w, s, tilt, t}
}

// at gives the slot of a local hour of a day, the first being 0.
func at(day int, hour float64) int {
	return day*24*surface.PerHour + int(hour*float64(surface.PerHour))
}

// read is what a perfect thermometer shows in the slots, with noise of sd K.
func (t truth) read(slots []int, r *rand.Rand, sd float64) []fit.Reading {
	var out []fit.Reading
	for _, i := range slots {
		c := float64(t.track.Surface[i])
		if sd > 0 {
			c += sd * r.NormFloat64()
		}
		out = append(out, fit.Reading{Slot: i, SurfaceC: c, Weight: 1})
	}
	return out
}

// fit fits the readings by tables that have another absorptance and an open sky.
func (t truth) fit(table float64, readings []fit.Reading) fit.Result {
	return fit.Fit(table, surface.Model{}, []fit.Spell{{
		Panel: panelOf(t.tilt, table), Exposure: exposed(t.s, t.tilt, 1), Weather: t.w, Readings: readings,
	}})
}

var (
	suns   = []int{at(1, 9), at(1, 11), at(2, 9), at(2, 12), at(3, 10), at(4, 11), at(5, 9), at(5, 12)}
	nights = []int{at(1, 5), at(2, 4), at(2, 22), at(3, 5), at(4, 5), at(5, 5), at(5, 22), at(6, 4)}
)

// By hand: eight readings tell 8/(8+5) of what they say. Without noise they say it
// to the difference quotient's last figures.
func TestFit_FindsBoth(t *testing.T) {
	for _, c := range []struct{ tilt, absorptance, sky, table float64 }{
		{0, 0.45, 0.7, 0.3}, {90, 0.85, 0.5, 0.9}, {10, 0.3, 0.9, 0.3},
	} {
		w := newTruth(c.tilt, c.absorptance, c.sky)
		got := w.fit(c.table, w.read(append(append([]int{}, suns...), nights...), nil, 0))
		assert.Equal(t, len(suns), got.Absorptance.Readings, "tilt %v", c.tilt)
		assert.Equal(t, len(nights), got.Sky.Readings, "tilt %v", c.tilt)
		assert.InDelta(t, c.absorptance, got.Absorptance.Fitted, 0.01, "tilt %v", c.tilt)
		assert.InDelta(t, c.sky, got.Sky.Fitted, 0.08, "tilt %v: the pull to the tables is weak", c.tilt)
		assert.InDelta(t, 8.0/13, got.Absorptance.Weight, 1e-12)
		assert.InDelta(t, c.table+8.0/13*(got.Absorptance.Fitted-c.table), got.Absorptance.Used, 1e-12)
		assert.InDelta(t, 1+8.0/13*(got.Sky.Fitted-1), got.Sky.Used, 1e-12)
	}
}

// Readings of nights alone leave the absorptance at the tables, to the bit, however
// many; those of days alone leave the sky.
func TestFit_OnlyWhatTheReadingsTell(t *testing.T) {
	w := newTruth(0, 0.6, 0.6)
	got := w.fit(0.3, w.read(nights, nil, 0))
	assert.Equal(t, fit.Value{Prior: 0.3, Fitted: 0.3, Used: 0.3}, got.Absorptance)
	assert.Less(t, got.Sky.Fitted, 0.75)
	got = w.fit(0.3, w.read(suns, nil, 0))
	assert.Equal(t, fit.Value{Prior: 1, Fitted: 1, Used: 1}, got.Sky)
	assert.Greater(t, got.Absorptance.Fitted, 0.5)
}

// Two hours are too few, and ten readings of one hour are one.
func TestFit_TooFew(t *testing.T) {
	w := newTruth(0, 0.6, 0.6)
	got := w.fit(0.3, w.read(append(suns[:2:2], nights[:2]...), nil, 0))
	assert.Equal(t, fit.Value{Prior: 0.3, Fitted: 0.3, Used: 0.3, Readings: 2}, got.Absorptance)
	assert.Equal(t, fit.Value{Prior: 1, Fitted: 1, Used: 1, Readings: 2}, got.Sky)
	assert.Len(t, got.Offs, 4)
	assert.True(t, got.Offs[0].Sun && !got.Offs[3].Sun)
	same := make([]int, 10)
	for i := range same {
		same[i] = at(2, 11) + i%surface.PerHour
	}
	got = w.fit(0.3, w.read(same, nil, 0))
	assert.Equal(t, 1, got.Absorptance.Readings)
	assert.Equal(t, 0.3, got.Absorptance.Used)
}

func TestFit_NoReadings(t *testing.T) {
	none := fit.Result{Absorptance: fit.Value{Prior: 0.3, Fitted: 0.3, Used: 0.3}, Sky: fit.Value{Prior: 1, Fitted: 1, Used: 1}}
	assert.Equal(t, none, fit.Fit(0.3, surface.Model{}, nil))
	w := newTruth(0, 0.6, 0.6)
	assert.Equal(t, none, w.fit(0.3, nil))
	assert.Equal(t, none, w.fit(0.3, []fit.Reading{
		{Slot: -1, SurfaceC: 20, Weight: 1}, {Slot: w.w.Grid.N, SurfaceC: 20, Weight: 1}, {Slot: 0, SurfaceC: 20, Weight: 1}, // has not settled
		{Slot: at(1, 11), SurfaceC: 20}, // no weight
	}))
	w.w.Flags[at(1, 11)] = 0
	assert.Equal(t, none, w.fit(0.3, []fit.Reading{{Slot: at(1, 11), SurfaceC: 20, Weight: 1}}), "the weather is not known")
}

// Old readings are believed less: eight at a quarter count as two.
func TestFit_Age(t *testing.T) {
	w := newTruth(0, 0.6, 1)
	readings := w.read(suns, nil, 0)
	for i := range readings {
		readings[i].Weight = 0.25
	}
	got := w.fit(0.3, readings)
	assert.InDelta(t, 2.0/7, got.Absorptance.Weight, 1e-12)
	assert.Equal(t, len(suns), got.Absorptance.Readings)
}

// Whatever the panel is like, thirty readings off by a kelvin, and every sixth of
// them nonsense, find it nearly; what is used lies between the tables and that.
func TestFit_RecoversWithNoiseAndOutliers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tilt := rapid.SampledFrom([]float64{0, 20, 90}).Draw(t, "tilt")
		absorptance := rapid.Float64Range(0.2, 0.95).Draw(t, "absorptance")
		sky := rapid.Float64Range(0.4, 1).Draw(t, "sky")
		table := math.Max(0.15, math.Min(0.97, absorptance+rapid.Float64Range(-0.3, 0.3).Draw(t, "table off")))
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		w := newTruth(tilt, absorptance, sky)
		var slots []int
		for day := 1; day < 7; day++ {
			for range 3 {
				slots = append(slots, at(day, 8+4*r.Float64()), at(day, 5.5*r.Float64()))
			}
		}
		readings := w.read(slots, r, 1)
		for i := range readings {
			if i%6 == 5 {
				readings[i].SurfaceC += 15 * (2*r.Float64() - 1)
			}
		}
		got := w.fit(table, readings)
		require.GreaterOrEqual(t, got.Absorptance.Readings, fit.LeastReadings)
		require.InDelta(t, absorptance, got.Absorptance.Fitted, 0.1)
		require.InDelta(t, sky, got.Sky.Fitted, 0.35)
		for _, v := range []fit.Value{got.Absorptance, got.Sky} {
			require.LessOrEqual(t, math.Abs(v.Used-v.Prior), math.Abs(v.Fitted-v.Prior)+1e-12)
			require.GreaterOrEqual(t, (v.Used-v.Prior)*(v.Fitted-v.Prior), 0.0)
		}
	})
}

// Nothing that anybody may have read drives the values out of their bounds.
func TestFit_StaysInBounds(t *testing.T) {
	w := newTruth(0, 0.5, 0.8)
	rapid.Check(t, func(t *rapid.T) {
		var readings []fit.Reading
		for range rapid.IntRange(0, 30).Draw(t, "readings") {
			readings = append(readings, fit.Reading{
				Slot: rapid.IntRange(-5, w.w.Grid.N+5).Draw(t, "slot"), SurfaceC: rapid.Float64Range(-60, 120).Draw(t, "surface"),
				Weight: rapid.Float64Range(0, 1).Draw(t, "weight"),
			})
		}
		table := rapid.Float64Range(0.05, 1).Draw(t, "table")
		got := w.fit(table, readings)
		for _, v := range []float64{got.Absorptance.Fitted, got.Absorptance.Used} {
			require.True(t, v >= math.Min(0.15, table) && v <= math.Max(0.97, table), "%v", v)
		}
		for _, v := range []float64{got.Sky.Fitted, got.Sky.Used} {
			require.True(t, v >= 0 && v <= 1, "%v", v)
		}
		for _, v := range []fit.Value{got.Absorptance, got.Sky} {
			require.True(t, v.Weight >= 0 && v.Weight < 1)
			if v.Readings < fit.LeastReadings {
				require.Equal(t, v.Prior, v.Used)
			}
		}
	})
}

// The same readings in two spells, and in another order, teach the same.
func TestFit_Spells(t *testing.T) {
	w := newTruth(0, 0.6, 0.7)
	all := w.read(append(append([]int{}, suns...), nights...), rand.New(rand.NewPCG(3, 1)), 1)
	one := w.fit(0.3, all)
	x := exposed(w.s, 0, 1)
	spell := func(list []fit.Reading) fit.Spell {
		return fit.Spell{Panel: panelOf(0, 0.3), Exposure: x, Weather: w.w, Readings: list}
	}
	two := fit.Fit(0.3, surface.Model{}, []fit.Spell{spell(all[8:]), spell(all[:8])})
	assert.InDelta(t, one.Absorptance.Used, two.Absorptance.Used, 1e-3)
	assert.InDelta(t, one.Sky.Used, two.Sky.Used, 1e-3)
	assert.Equal(t, exposed(w.s, 0, 1).SkyView, x.SkyView, "the exposure is only read")
}

func BenchmarkFit(b *testing.B) {
	w := newTruth(0, 0.45, 0.7)
	readings := w.read(append(append([]int{}, suns...), nights...), nil, 0)
	for b.Loop() {
		w.fit(0.3, readings)
	}
}
