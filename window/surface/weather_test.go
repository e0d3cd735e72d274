package surface

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/sky"
)

func bring(f *forecast.Forecast, site Site) (*Weather, *Sky) {
	g := NewGrid(f.Start, f.End())
	s := NewSky(g, 43.07, -70.74, Model{})
	return NewWeather(f, &f.Members[0], s, site, Model{}), s
}

// Instants lie on the line between two stamps, at the slot's middle; the last
// stamp holds to the end.
func TestInstants(t *testing.T) {
	f := sameWeather(20, 12, 3, 0, nil)
	f.Members[0].Columns[forecast.AirTemperature].Set(6, 26)
	w, _ := bring(f, Site{WindShare: 1})
	assert.InDelta(t, 20+6.0/12, w.Air[5*PerHour], 1e-4)
	assert.InDelta(t, 26-6.0/12, w.Air[6*PerHour], 1e-4)
	assert.InDelta(t, 20, w.Air[f.N*PerHour-1], 1e-4)
}

// A mean over the hour is spread by the clear sky's shape and keeps its sum.
func TestMeansKeepTheirSum(t *testing.T) {
	f := benchForecast(2)
	w, _ := bring(f, Site{WindShare: 1})
	g := f.Members[0].Columns[forecast.GlobalRadiation]
	d := f.Members[0].Columns[forecast.DirectRadiation]
	for h := range f.N {
		sum := 0.0
		for i := h * PerHour; i < (h+1)*PerHour; i++ {
			sum += float64(w.Global[i]) / PerHour
		}
		assert.InDelta(t, d.Values[h]+f.Members[0].Columns[forecast.DiffuseRadiation].Values[h], sum, 0.01, "hour %d", h)
		assert.InDelta(t, g.Values[h], sum, 0.01)
	}
}

// Every quantity's chain: the first link that is known is used, the others are
// counted as derived, and where the chain is empty the slot is unknown.
func TestChains(t *testing.T) {
	noon := 16 * PerHour // UTC; local noon at 70.74 W
	f := sameWeather(20, 12, 4, 0.5, nil)
	w, s := bring(f, Site{WindShare: 0.5})
	assert.InDelta(t, 6, w.GustHigh[noon], 1e-5, "1.5 × wind")
	assert.InDelta(t, 3, w.Gust[noon], 1e-5, "at deck height")
	assert.Equal(t, f.N*PerHour, w.Derived.Gust)
	assert.InDelta(t, s.Clear[noon]*sky.CloudFactor(0.5), w.Global[noon], 0.01)
	assert.InDelta(t, sky.ClearUVI(s.CosZ[noon], 300)*sky.CloudUV(0.5), w.UV[noon], 0.01)
	assert.Equal(t, f.N*PerHour, w.Derived.Sunlight)

	f = sameWeather(20, 12, 4, 0.5, map[forecast.Quantity]float64{
		forecast.Gust: 9, forecast.GlobalRadiation: 300, forecast.UVIndexClearSky: 6,
	})
	w, _ = bring(f, Site{WindShare: 1})
	assert.InDelta(t, 9, w.Gust[noon], 1e-5)
	assert.Zero(t, w.Derived.Gust)
	assert.Equal(t, f.N*PerHour, w.Derived.Sunlight, "the split is worked out")
	assert.InDelta(t, 6*sky.CloudUV(0.5), w.UV[noon], 0.6)

	f.Members[0].Columns[forecast.DewPoint] = forecast.Column{}
	w, _ = bring(f, Site{WindShare: 1})
	assert.Zero(t, w.Flags[noon]&KnownAir, "neither dew point nor humidity")
	assert.Zero(t, w.Flags[noon]&KnownSurface, "the balance needs the damp of the air")
	assert.NotZero(t, w.Flags[noon]&KnownTemperature, "what is there is there")
	assert.InDelta(t, 20, w.Air[noon], 1e-5)
	assert.NotZero(t, w.Flags[noon]&KnownSun, "sunlight hangs on no humidity")
	assert.NotZero(t, w.Flags[noon]&KnownUV)
	hum := forecast.NewColumn(f.N)
	for i := range f.N {
		hum.Set(i, 60)
	}
	f.Members[0].Columns[forecast.Humidity] = hum
	w, _ = bring(f, Site{WindShare: 1})
	assert.InDelta(t, air.DewPoint(20, 60), w.Dew[noon], 1e-4)
	assert.Equal(t, f.N*PerHour, w.Derived.DewPoint)
}

// rainAt is a forecast with one odd hour of rain at hour 10.
func rainAt(set map[forecast.Quantity]float64) *forecast.Forecast {
	f := sameWeather(20, 12, 4, 0.5, nil)
	m := &f.Members[0]
	m.Columns[forecast.Precipitation] = forecast.Column{}
	for q := range set {
		m.Columns[q] = forecast.NewColumn(f.N)
		for i := range f.N {
			m.Columns[q].Set(i, 0)
		}
		if q == forecast.PrecipitationSpan {
			for i := range f.N {
				m.Columns[q].Set(i, set[q])
			}
		}
		m.Columns[q].Set(10, set[q])
	}
	return f
}

// Rain: the amount of an hour decides, else a probability, else the amount of a
// longer time, which wets all of it; drizzle below 0.1 mm only where coded.
func TestRainChain(t *testing.T) {
	for name, c := range map[string]struct {
		set  map[forecast.Quantity]float64
		wet  bool
		rain float64
	}{
		"amount":               {map[forecast.Quantity]float64{forecast.Precipitation: 0.6}, true, 0.1},
		"too little":           {map[forecast.Quantity]float64{forecast.Precipitation: 0.09}, false, 0.015},
		"drizzle of nothing":   {map[forecast.Quantity]float64{forecast.Precipitation: 0, forecast.WeatherCode: 53}, true, 0},
		"showers of nothing":   {map[forecast.Quantity]float64{forecast.Precipitation: 0, forecast.WeatherCode: 80}, false, 0},
		"drizzle":              {map[forecast.Quantity]float64{forecast.Precipitation: 0.06, forecast.WeatherCode: 51}, true, 0.01},
		"amount over chance":   {map[forecast.Quantity]float64{forecast.Precipitation: 0, forecast.PrecipitationProbability: 80}, false, 0},
		"chance":               {map[forecast.Quantity]float64{forecast.PrecipitationProbability: 30}, true, 0},
		"small chance":         {map[forecast.Quantity]float64{forecast.PrecipitationProbability: 29}, false, 0},
		"six hours":            {map[forecast.Quantity]float64{forecast.Precipitation: 0.05, forecast.PrecipitationSpan: 6}, true, 0.00833},
		"six hours, chance 10": {map[forecast.Quantity]float64{forecast.Precipitation: 0.05, forecast.PrecipitationSpan: 6, forecast.PrecipitationProbability: 10}, false, 0.00833},
	} {
		w, _ := bring(rainAt(c.set), Site{WindShare: 1, Members: true})
		i := 10 * PerHour
		assert.NotZero(t, w.Flags[i]&KnownRain, name)
		assert.Equal(t, c.wet, w.Flags[i]&Wets != 0, name)
		assert.InDelta(t, c.rain, w.Rain[i], 1e-4, name)
	}
	w, _ := bring(rainAt(nil), Site{WindShare: 1})
	assert.Zero(t, w.Flags[60]&KnownRain)
}

// A bare probability may come an hour earlier today, two tomorrow; stated
// amounts and members may not.
func TestDoubt(t *testing.T) {
	f := rainAt(map[forecast.Quantity]float64{forecast.PrecipitationProbability: 60})
	i := 10 * PerHour
	w, _ := bring(f, Site{WindShare: 1, Now: f.Start})
	assert.NotZero(t, w.Flags[i-PerHour]&Shifted)
	assert.Zero(t, w.Flags[i-PerHour-1]&Shifted)
	w, _ = bring(f, Site{WindShare: 1, Now: f.Start.Add(-20 * time.Hour)})
	assert.NotZero(t, w.Flags[i-2*PerHour]&Shifted)
	w, _ = bring(f, Site{WindShare: 1, Members: true, Now: f.Start})
	assert.Zero(t, w.Flags[i-1]&Shifted)
	w, _ = bring(rainAt(map[forecast.Quantity]float64{forecast.Precipitation: 2}), Site{WindShare: 1, Now: f.Start})
	assert.Zero(t, w.Flags[i-1]&Shifted)
}

// Fog by code or visibility, thunder by code or probability, held 30 minutes.
func TestSigns(t *testing.T) {
	w, _ := bring(rainAt(map[forecast.Quantity]float64{forecast.Precipitation: 0, forecast.WeatherCode: 45}), Site{WindShare: 1})
	assert.NotZero(t, w.Flags[10*PerHour]&Fog)
	f := sameWeather(20, 12, 4, 0.5, map[forecast.Quantity]float64{forecast.Visibility: 900})
	w, _ = bring(f, Site{WindShare: 1})
	assert.NotZero(t, w.Flags[0]&Fog)
	w, _ = bring(rainAt(map[forecast.Quantity]float64{forecast.Precipitation: 0, forecast.ThunderProbability: 30}), Site{WindShare: 1})
	assert.NotZero(t, w.Flags[10*PerHour]&Thunder)
	assert.NotZero(t, w.Flags[11*PerHour+2]&Thunder)
	assert.Zero(t, w.Flags[11*PerHour+3]&Thunder)
}

// A gap makes its own slots unknown and the track unsettled for a while after:
// what fell in it, nobody knows.
func TestGap(t *testing.T) {
	f := benchForecast(2)
	f.Members[0].Columns[forecast.AirTemperature].Known[20] = false
	w, s := bring(f, Site{WindShare: 1})
	x := NewExposure(benchExposed(), s, Model{})
	tr := NewTrack(w.Grid.N)
	tr.Run(benchPanel(), x, w, Model{})
	assert.True(t, tr.Settled[18*PerHour])
	for i := 19 * PerHour; i < 21*PerHour; i++ {
		assert.False(t, tr.Settled[i], "between 19:00 and 21:00 a stamp is missing")
	}
	assert.False(t, tr.Settled[21*PerHour])
	assert.True(t, tr.Settled[25*PerHour])
}

// Roofs keep rain out but for what strong wind drives in; fog comes in anyway.
func TestRoofs(t *testing.T) {
	f := sameWeather(15, 12, 6, 1, map[forecast.Quantity]float64{forecast.Precipitation: 1, forecast.WindFrom: 110})
	w, s := bring(f, Site{WindShare: 1})
	e := benchExposed()
	e.Cover = func(int) (Roof, float64) { return Hardtop, 0.85 }
	run := func() *Track {
		tr := NewTrack(w.Grid.N)
		tr.Run(benchPanel(), NewExposure(e, s, Model{}), w, Model{})
		return tr
	}
	assert.False(t, run().Wets[30])
	e.Driven = Driven{Open: []float64{90}}
	assert.True(t, run().Wets[30], "6 m/s from 110° onto a side that looks there, open to the east")
	e.Driven = Driven{Open: []float64{270}}
	assert.False(t, run().Wets[30])
	e.Driven = Driven{}
	fog := sameWeather(15, 14.8, 1, 1, map[forecast.Quantity]float64{forecast.WeatherCode: 45})
	w, s = bring(fog, Site{WindShare: 1})
	assert.True(t, run().Wets[30])
}

// Turning boat and sun together changes nothing: at the same hour angle a place
// elsewhere on the parallel sees the same sunlight on every face.
func TestTurnTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facing := rapid.Float64Range(0, 360).Draw(t, "facing")
		tilt := rapid.Float64Range(0, 180).Draw(t, "tilt")
		turn := rapid.Float64Range(0, 360).Draw(t, "turn")
		g := NewGrid(time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC), time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC))
		s := NewSky(g, 43, 0, Model{})
		e := Exposed{
			Tilt: tilt, Facing: func(int) float64 { return facing },
			Cover: func(int) (Roof, float64) { return NoRoof, 0 },
		}
		a := NewExposure(e, s, Model{})
		for i := range s.Azimuth {
			s.Azimuth[i] += turn
			sin, cos := math.Sincos(s.Azimuth[i] * math.Pi / 180)
			level := math.Hypot(s.East[i], s.North[i])
			s.East[i], s.North[i] = level*sin, level*cos
		}
		e.Facing = func(int) float64 { return facing + turn }
		b := NewExposure(e, s, Model{})
		for i := range a.Beam {
			require.InDelta(t, a.Beam[i], b.Beam[i], 1e-6)
		}
	})
}

// A neighbour hides the low sun on one side until it leaves.
func TestShade(t *testing.T) {
	g := NewGrid(time.Date(2026, 9, 1, 11, 0, 0, 0, time.UTC), time.Date(2026, 9, 1, 23, 0, 0, 0, time.UTC))
	s := NewSky(g, 43.07, -70.74, Model{})
	e := benchExposed()
	e.Facing = func(int) float64 { return 90 }
	free := NewExposure(e, s, Model{})
	e.Shades = []Shade{{From: 60, Span: 80, UpTo: 30, ToSlot: 9}}
	shaded := NewExposure(e, s, Model{})
	require.Positive(t, free.Beam[6])
	assert.Zero(t, shaded.Beam[6])
	assert.Equal(t, free.Beam[10], shaded.Beam[10], "left by then")
	assert.False(t, Shade{From: 350, Span: 20, UpTo: 10, ToSlot: 9}.hides(0, 5, 180))
	assert.True(t, Shade{From: 350, Span: 20, UpTo: 10, ToSlot: 9}.hides(0, 5, 5), "wraps north")
}

// A dull morning stated as the same mean for every hour: no minute of the one in
// which the sun rises brings more than falls on the level above the air, and no face
// more than a bright overcast gives it (up to 400 W/m², common practice, no source).
func TestDullSunrise(t *testing.T) {
	for month := time.January; month <= time.December; month++ {
		f := sameWeather(20, 10, 2, 1, map[forecast.Quantity]float64{
			forecast.GlobalRadiation: 60, forecast.DirectRadiation: 0, forecast.DiffuseRadiation: 60,
		})
		f.Start = time.Date(2026, month, 9, 0, 0, 0, 0, time.UTC)
		w, s := bring(f, Site{WindShare: 1})
		for _, facing := range []float64{90, 135, 225, 270} {
			tr := track(f, Panel{Tilt: 90, Absorptance: 0.3, Emissivity: 0.9, Capacity: 5760}, Exposed{
				Facing: func(int) float64 { return facing }, Cover: func(int) (Roof, float64) { return NoRoof, 0 },
			})
			for i := range w.Grid.N {
				possible := 0.95*s.Extra[i]*math.Pow(math.Max(s.CosZ[i], 0), 1.2) + 50
				assert.LessOrEqual(t, float64(w.Diffuse[i]), math.Max(60, possible)+0.01)
				assert.LessOrEqual(t, tr.Sunlight[i], float32(400), "%s %g°", w.Grid.At(i), facing)
			}
		}
	}
}
