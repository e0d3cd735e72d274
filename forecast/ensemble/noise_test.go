package ensemble

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

func newTestDresser(n int) *dresser {
	return newDresser(otterQuay(2000), n, start, Options{})
}

func TestProcess_StandardNormalThroughout(t *testing.T) {
	d := newTestDresser(2)
	const runs = 4000
	first, last := make([]float64, runs), make([]float64, runs)
	buffer := make([]float64, 40)
	for i := range runs {
		d.source.Seed(7, uint64(i))
		d.process(buffer, 5, 0.5)
		first[i], last[i] = buffer[0], buffer[39]
	}
	for name, x := range map[string][]float64{"first slot": first, "last slot": last} {
		mean, square := 0.0, 0.0
		for _, v := range x {
			mean, square = mean+v/runs, square+v*v/runs
		}
		assert.InDelta(t, 0, mean, 0.05, name)
		assert.InDelta(t, 1, square, 0.07, name)
		// A normal error has √(2/π) of its deviation as mean absolute error.
		assert.InDelta(t, 1/sigma, meanAbs(x), 0.03, name)
	}
	want := 0.5*math.Exp(-39.0/5) + 0.5*math.Exp(-39/d.errs.SlowH)
	assert.InDelta(t, want, correlation(first, last), 0.04, "two memories, half the variance each")
}

func TestProcess_ForgetsAtOnce(t *testing.T) {
	assert.Zero(t, decay(1, 0), "an error without memory")
	assert.InDelta(t, 1/math.E, decay(5, 5), 1e-12)
	d := newTestDresser(2)
	d.errs.SlowH = 0
	x := make([]float64, 4000)
	d.source.Seed(1, 1)
	d.process(x, 0, 0.5)
	assert.InDelta(t, 0, correlation(x[1:], x[:len(x)-1]), 0.05)
}

func TestBlend(t *testing.T) {
	d := newTestDresser(2)
	d.errs.SlowH = 0
	for _, r := range []float64{-1, -0.4, 0, 0.5, 1} {
		x, y := make([]float64, 8000), make([]float64, 8000)
		d.source.Seed(3, 3)
		d.process(x, 0, 0.5)
		d.process(y, 0, 0.5)
		blend(x, y, r)
		assert.InDelta(t, r, correlation(x, y), 0.03)
	}
}

func TestRankFutures(t *testing.T) {
	for _, n := range []int{1, 2, 5, 30} {
		d := newTestDresser(n)
		d.drawRain()
		for _, slot := range []int{0, 17, 999} {
			var ranks []float64
			for i := range n {
				ranks = append(ranks, d.rank[i][slot])
				for j := range n {
					if d.tendency(i, slot) < d.tendency(j, slot) {
						require.Less(t, d.rank[i][slot], d.rank[j][slot], "more tendency, higher rank")
					}
				}
			}
			slices.Sort(ranks)
			for i, r := range ranks {
				require.InDelta(t, (float64(i)+0.5)/float64(n), r, 1e-12, "evenly spread")
			}
		}
	}
}

// Everything that Dress reads moves the draw; what it does not read must not.
func TestDigest(t *testing.T) {
	base := digest(otterQuay(24))
	assert.Equal(t, base, digest(otterQuay(24)))
	change := map[string]func(*forecast.Forecast){
		"start":     func(f *forecast.Forecast) { f.Start = f.Start.Add(time.Hour) },
		"step":      func(f *forecast.Forecast) { f.Step *= 2 },
		"latitude":  func(f *forecast.Forecast) { f.Place.Latitude++ },
		"longitude": func(f *forecast.Forecast) { f.Place.Longitude++ },
		"absence":   func(f *forecast.Forecast) { f.Members[0].Columns[forecast.Gust].Known[3] = false },
		"swap": func(f *forecast.Forecast) {
			v := f.Members[0].Columns[forecast.Gust].Values
			v[3], v[4] = v[4], v[3]
		},
	}
	seen := map[uint64]string{base: "as it was"}
	for name, f := range change {
		changed := otterQuay(24)
		f(changed)
		h := digest(changed)
		assert.Empty(t, seen[h], "%s makes no difference", name)
		seen[h] = name
	}
	f := otterQuay(24)
	f.Issued, f.Fetched, f.Attribution = start, start, "credit"
	f.Members[0].Columns[forecast.Gust].Known[3] = false
	g := otterQuay(24)
	g.Members[0].Columns[forecast.Gust].Known[3] = false
	g.Members[0].Columns[forecast.Gust].Values[3] = 99
	assert.Equal(t, digest(f), digest(g), "neither times nor what lies beneath an absence")
}

func TestWind_GustStaysAboveTheWind(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := otterQuay(6)
		u := rapid.Float64Range(0, 30).Draw(t, "wind")
		fill(f, forecast.WindSpeed, u)
		fill(f, forecast.Gust, u+rapid.Float64Range(0, 20).Draw(t, "more"))
		for _, m := range Dress(f, 4, start.Add(-100*time.Hour), Options{}) {
			for i := range f.N {
				require.GreaterOrEqual(t, at(t, &m, forecast.Gust, i), at(t, &m, forecast.WindSpeed, i))
			}
		}
	})
}

// The mean wind of the futures is the forecast's, and the mean error about the
// 1.35 m/s of working practice in a usual wind; a calm hour may stir.
func TestWind_ErrorOfTheNextDay(t *testing.T) {
	f := otterQuay(48)
	fill(f, forecast.WindSpeed, 4.5)
	out := Dress(f, 800, start.Add(6*time.Hour), Options{})
	e := errorsOf(f, out, forecast.WindSpeed, 30)
	mean := 0.0
	for _, v := range e {
		mean += v / float64(len(e))
	}
	assert.InDelta(t, 0, mean, 0.15)
	assert.InDelta(t, 1.35, meanAbs(e), 0.15)
	fill(f, forecast.WindSpeed, 0.2)
	calm := errorsOf(f, Dress(f, 200, start.Add(6*time.Hour), Options{}), forecast.WindSpeed, 30)
	assert.Greater(t, slices.Max(calm), 0.5)
}

func TestWind_DirectionWrapsNorth(t *testing.T) {
	f := otterQuay(week) // from 350°
	east, west := 0, 0
	for _, m := range Dress(f, 60, start, Options{}) {
		v := at(t, &m, forecast.WindFrom, 30)
		require.True(t, v >= 0 && v < 360, "%v°", v)
		if v < 180 {
			east++
		} else {
			west++
		}
	}
	assert.Greater(t, east, 10, "past north")
	assert.Greater(t, west, 10)
}

func TestAir_FromHumidityAlone(t *testing.T) {
	f := otterQuay(week, forecast.DewPoint)
	out := Dress(f, 100, start, Options{})
	assert.False(t, out[0].Columns[forecast.DewPoint].Any())
	assert.Greater(t, meanAbs(errorsOf(f, out, forecast.Humidity, 100)), 5.0)
	g := otterQuay(week, forecast.AirTemperature)
	for _, m := range Dress(g, 4, start, Options{}) {
		assert.Equal(t, g.Members[0].Columns[forecast.Humidity], m.Columns[forecast.Humidity],
			"humidity without an air temperature stays as it is")
		assert.NotEqual(t, g.Members[0].Columns[forecast.DewPoint], m.Columns[forecast.DewPoint])
	}
}

func TestUntouched(t *testing.T) {
	f := otterQuay(week)
	for _, m := range Dress(f, 4, start, Options{}) {
		for _, q := range []forecast.Quantity{forecast.Pressure, forecast.Visibility,
			forecast.ThunderProbability, forecast.UVIndexClearSky, forecast.PrecipitationSpan} {
			assert.Equal(t, f.Members[0].Columns[q], m.Columns[q], "%s", q)
		}
	}
}
