package surface

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

// track runs a panel through a forecast.
func track(f *forecast.Forecast, p Panel, e Exposed) *Track {
	w, s := bring(f, Site{WindShare: 1})
	tr := NewTrack(w.Grid.N)
	e.Tilt = p.Tilt
	tr.Run(p, NewExposure(e, s, Model{}), w, Model{})
	return tr
}

// What lies on an open panel when the data begin nobody knows, until as much as
// it holds would have dried; under a roof neither rain nor the cold sky put
// anything there. A gap in the rain brings the doubt back.
func TestUnseenWater(t *testing.T) {
	f := sameWeather(15, 8, 2, 0.5, nil)
	open := track(f, benchPanel(), benchExposed())
	assert.True(t, open.Doubt[0])
	first := 0
	for open.Doubt[first] {
		first++
	}
	assert.Greater(t, first, 2)
	assert.Less(t, first, 4*PerHour, "50 g/m² at 63 % and 2 m/s are gone in hours")
	assert.Zero(t, open.Film[first], "none of it is in the track")
	e := benchExposed()
	e.Cover = func(int) (Roof, float64) { return Hardtop, 0.85 }
	assert.False(t, track(f, benchPanel(), e).Doubt[0])
	f.Members[0].Columns[forecast.Precipitation].Known[12] = false
	open = track(f, benchPanel(), benchExposed())
	assert.False(t, open.Doubt[12*PerHour-1])
	assert.True(t, open.Doubt[13*PerHour-1])
	damp := sameWeather(15, 14.9, 1, 0, nil)
	tr := track(damp, benchPanel(), benchExposed())
	assert.True(t, tr.Doubt[3])
}

// The doubt changes nothing in the track itself.
func TestUnseenWaterChangesNothing(t *testing.T) {
	f := benchForecast(3)
	whole := track(f, benchPanel(), benchExposed())
	e := benchExposed()
	w, s := bring(f, Site{WindShare: 1})
	x := NewExposure(e, s, Model{})
	b := newBalance(benchPanel(), Model{}, stepS)
	b.start(float64(w.Air[0]))
	for i := range w.Grid.N {
		b.load(i, x, w, float64(whole.Sunlight[i]), whole.Wets[i])
		b.step()
		require.InDelta(t, b.temp-kelvin, whole.Surface[i], 0.01, "slot %d", i)
		require.InDelta(t, b.film*1000, whole.Film[i], 0.5, "slot %d", i)
	}
}

// Wind that nobody knows counts as driving rain in, and a face that looks down
// gets none.
func TestDrivenRain(t *testing.T) {
	x := &Exposure{
		Wetted: []bool{false}, Sprayed: []bool{false}, Facing: []float32{90},
		Driven: Driven{Open: []float64{90}},
	}
	w := &Weather{Wind: []float32{6}, From: []float32{90}, Flags: []Flag{Wets | KnownRain | KnownWind}}
	at := func(tilt float64) bool { return wets(0, tilt, x, w) }
	assert.True(t, at(90))
	assert.False(t, at(10), "a deck under a roof")
	assert.False(t, at(170), "an underside")
	w.Wind[0] = 3
	assert.False(t, at(90))
	w.Flags[0] &^= KnownWind
	assert.True(t, at(90))
	x.Driven = Driven{}
	assert.False(t, at(90), "walls all round")
}

// Cloud is never taken as none for want of a word: it is told by the sunlight,
// by night by the last daylight's, and before the first daylight not at all.
func TestCloudFromSunlight(t *testing.T) {
	f := benchForecast(2)
	m := &f.Members[0]
	for _, q := range []forecast.Quantity{
		forecast.CloudCover, forecast.CloudLow, forecast.CloudMiddle, forecast.CloudHigh, forecast.GlobalRadiation,
	} {
		m.Columns[q] = forecast.Column{}
	}
	w, s := bring(f, Site{WindShare: 1})
	light := 0
	for s.Clear[light] < 400 {
		light++
	}
	dark := light
	for s.Clear[dark] > 0 {
		dark++
	}
	night := 0
	for s.Clear[night] > 0 {
		night++
	}
	assert.NotZero(t, w.Flags[light]&KnownSun, "direct and diffuse tell it")
	assert.NotZero(t, w.Flags[dark]&KnownSun)
	late := *f
	late.Start = f.Start.Add(5 * time.Hour) // 01:00 by the sun
	w, _ = bring(&late, Site{WindShare: 1})
	assert.Zero(t, w.Flags[0]&KnownSun, "nobody knows the first night's sky")
}

// A forecast of any step gives slots that lie within it and keeps the sums of
// rain and sunlight over whole days.
func TestSteps(t *testing.T) {
	for _, step := range []time.Duration{15 * time.Minute, 30 * time.Minute, time.Hour, 3 * time.Hour, 6 * time.Hour} {
		n := int(48 * time.Hour / step)
		f := &forecast.Forecast{
			Start: time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC).Add(step), Step: step, N: n, Members: make([]forecast.Member, 1),
		}
		m := &f.Members[0]
		for q, v := range map[forecast.Quantity]float64{
			forecast.AirTemperature: 20, forecast.DewPoint: 12, forecast.WindSpeed: 3, forecast.CloudCover: 50,
			forecast.GlobalRadiation: 200, forecast.Precipitation: 0.6 * step.Hours(),
		} {
			m.Columns[q] = forecast.NewColumn(n)
			for i := range n {
				m.Columns[q].Set(i, v)
			}
		}
		w, _ := bring(f, Site{WindShare: 1})
		rain, sun, known := 0.0, 0.0, 0
		for i := range w.Grid.N {
			rain += float64(w.Rain[i])
			sun += float64(w.Global[i]) / PerHour
			if w.Flags[i]&KnownSurface != 0 {
				known++
			}
		}
		assert.InDelta(t, 48*PerHour, known, 1, "%v", step)
		assert.InDelta(t, 0.6*48, rain, 0.2, "%v", step)
		assert.InDelta(t, 200*48, sun, 40, "%v", step)
	}
}

// A keel answers with half a day, a cored panel within minutes (design figures);
// what a panel has never more than lags.
func TestKeelLags(t *testing.T) {
	f := sameWeather(10, 2, 3, 1, nil)
	air := f.Members[0].Columns[forecast.AirTemperature]
	for i := 6; i < f.N; i++ {
		air.Set(i, 20)
	}
	answer := func(capacity float64) float64 { // hours to 63 % of its way
		p := Panel{Tilt: 90, Absorptance: 0, Emissivity: 0.9, Capacity: capacity, LagH: 0.1}
		tr := track(f, p, benchExposed())
		start, end := tr.Surface[6*PerHour-1], float32(20)
		for i := 6 * PerHour; i < len(tr.Surface); i++ {
			if tr.Surface[i] > start+0.63*(end-start) {
				return float64(i-6*PerHour) / PerHour
			}
		}
		return math.Inf(1)
	}
	keel := answer(12 * 3600 * 15)
	assert.Greater(t, keel, 6.0)
	assert.Less(t, keel, 18.0)
	assert.Less(t, answer(5760), 0.5)
}

// A plate wetted on one face stays between air and wet bulb by night, and an
// underside is never colder than what it looks at.
func TestPlateAndUnderside(t *testing.T) {
	f := sameWeather(20, 10, 3, 1, map[forecast.Quantity]float64{forecast.Precipitation: 1})
	plate := track(f, Panel{Tilt: 45, Emissivity: 0.9, Capacity: 4000, TwoSided: true, HoldingGM2: 100, LagH: 0.1}, benchExposed())
	night := 6 * PerHour // 06:00 UTC, 01:20 by the sun
	assert.Less(t, plate.Surface[night], float32(20))
	assert.Greater(t, plate.Surface[night], float32(11))
	assert.InDelta(t, 100, plate.Film[night], 20)
	under := track(f, Panel{Tilt: 180, Emissivity: 0.9, Capacity: 5760, HoldingGM2: 50, LagH: 4}, benchExposed())
	for i := range under.Film {
		require.False(t, under.Wets[i])
		require.Zero(t, under.Film[i])
		require.False(t, under.Doubt[i])
	}
	assert.InDelta(t, 20, under.Surface[night], 0.3)
}

// Whatever the weather, place, tilt and day, all numbers are finite and within
// what is outdoors.
func TestFinite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := benchForecast(1)
		f.Start = time.Date(2026, time.Month(rapid.IntRange(1, 12).Draw(t, "month")), 15, 0, 0, 0, 0, time.UTC)
		m := &f.Members[0]
		draw := func(q forecast.Quantity, low, high float64) {
			two := [2]float64{rapid.Float64Range(low, high).Draw(t, q.String()), rapid.Float64Range(low, high).Draw(t, q.String())}
			for i := range f.N {
				m.Columns[q].Set(i, two[i/3%2])
			}
		}
		draw(forecast.AirTemperature, -50, 55)
		draw(forecast.DewPoint, -60, 40)
		draw(forecast.WindSpeed, 0, 80)
		draw(forecast.CloudCover, -5, 120)
		draw(forecast.GlobalRadiation, 0, 1400)
		draw(forecast.Precipitation, 0, 100)
		m.Columns[forecast.DirectRadiation].Known[5] = false
		lat := rapid.Float64Range(-90, 90).Draw(t, "latitude")
		g := NewGrid(f.Start, f.End())
		s := NewSky(g, lat, rapid.Float64Range(-180, 180).Draw(t, "longitude"), Model{})
		w := NewWeather(f, m, s, Site{WindShare: 1}, Model{})
		p := benchPanel()
		p.Tilt, p.TwoSided = rapid.Float64Range(0, 180).Draw(t, "tilt"), rapid.Bool().Draw(t, "plate")
		p.Absorptance = rapid.Float64Range(0, 1).Draw(t, "absorptance")
		e := benchExposed()
		e.Tilt = p.Tilt
		tr := NewTrack(g.N)
		tr.Run(p, NewExposure(e, s, Model{}), w, Model{})
		for i := range g.N {
			for _, v := range []float32{tr.Surface[i], tr.Bare[i], tr.Film[i], tr.Sunlight[i], tr.UV[i], w.Humidity[i], w.Longwave[i]} {
				require.False(t, math.IsNaN(float64(v)) || math.IsInf(float64(v), 0), "slot %d", i)
			}
			require.Greater(t, tr.Surface[i], float32(coldestK-kelvin))
			require.Less(t, tr.Surface[i], float32(hottestK-kelvin))
			require.GreaterOrEqual(t, tr.Film[i], float32(0))
			require.LessOrEqual(t, tr.Film[i], float32(50.001))
			require.GreaterOrEqual(t, tr.Sunlight[i], float32(0))
		}
	})
}

// The date line is no edge, and the poles have a day and a night of months.
func TestDateLineAndPoles(t *testing.T) {
	g := NewGrid(time.Date(2026, 6, 21, 0, 0, 0, 0, time.UTC), time.Date(2026, 6, 22, 0, 0, 0, 0, time.UTC))
	east, west := NewSky(g, -17, 180, Model{}), NewSky(g, -17, -180, Model{})
	north, south := NewSky(g, 89.9, 10, Model{}), NewSky(g, -89.9, 10, Model{})
	for i := range g.N {
		require.InDelta(t, east.Elevation[i], west.Elevation[i], 1e-9)
		require.InDelta(t, east.Clear[i], west.Clear[i], 1e-6)
		require.Positive(t, north.Clear[i])
		require.Zero(t, south.Clear[i])
	}
}
