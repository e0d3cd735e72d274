package crew

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// referenceRow is one run of the reference program that Liljegren published
// with the model (in double precision), computed with it for these inputs.
type referenceRow struct {
	name                           string
	when                           time.Time // middle of the averaging period, UTC, for the sun's distance
	solar, p, air, rh, wind, z     float64
	inversion, urban               bool
	cosz, fdir                     float64
	wind2, globe, nwb, psychr, out float64
}

func utc(y int, m time.Month, d, h, min int) time.Time {
	return time.Date(y, m, d, h, min, 0, 0, time.UTC)
}

var referenceRows = []referenceRow{
	{"night sun of the help page", utc(2015, 1, 2, 11, 56), 1000, 1017.8, 12, 45, 1.24, 2.1, false, false, -0.61747, 0, 1.2190, 39.2512, 15.4627, 6.5782, 19.8741},
	{"humid noon", utc(2023, 7, 15, 16, 30), 900, 1015, 32, 65, 3, 10, false, false, 0.97158, 0.74463, 2.6804, 45.9086, 27.9329, 26.3282, 31.9348},
	{"humid noon, wind at 2 m", utc(2023, 7, 15, 16, 30), 900, 1015, 32, 65, 3, 2, true, false, 0.97158, 0.74463, 3, 45.3250, 27.8335, 26.3282, 31.7484},
	{"afternoon", utc(2023, 7, 15, 19, 30), 600, 1015, 33, 60, 2, 10, false, false, 0.87906, 0.41078, 1.7027, 45.6856, 28.2679, 26.2769, 32.2246},
	{"morning", utc(2023, 7, 15, 13, 30), 500, 1015, 29, 75, 1, 10, false, false, 0.58880, 0.64998, 0.8935, 43.0958, 27.6614, 25.3034, 30.8821},
	{"night", utc(2023, 7, 16, 2, 30), 0, 1015, 28, 80, 1.5, 10, true, false, -0.44184, 0, 0.6190, 27.2353, 25.1672, 25.1498, 25.8641},
	{"mild noon", utc(2023, 6, 21, 10, 30), 850, 1018, 24, 50, 4, 10, false, false, 0.83709, 0.83624, 3.5738, 35.6374, 18.7647, 16.9037, 22.6627},
	{"mild noon, urban", utc(2023, 6, 21, 10, 30), 850, 1018, 24, 50, 4, 10, false, true, 0.83709, 0.83624, 3.1421, 36.2544, 18.9046, 16.9037, 22.8841},
	{"cloudy noon", utc(2023, 6, 21, 10, 30), 200, 1018, 18, 70, 6, 10, false, false, 0.83709, 0.00169, 4.7131, 20.7085, 15.2438, 14.5659, 16.6124},
	{"southern heat, urban", utc(2024, 1, 15, 2, 30), 1000, 1012, 38, 30, 2.5, 10, false, true, 0.97023, 0.78716, 1.9638, 54.3308, 25.7019, 23.2736, 32.6575},
	{"desert coast, urban", utc(2024, 8, 1, 9, 30), 850, 998, 42, 45, 3.5, 10, false, true, 0.95679, 0.69613, 2.7493, 55.3350, 31.8845, 30.4301, 37.5862},
	{"calm noon", utc(2023, 7, 15, 16, 30), 1000, 1015, 35, 50, 0.1, 10, false, false, 0.97158, 0.84921, 0.13, 69.0951, 33.9793, 25.9289, 41.1045},
}

func (r referenceRow) input() WBGTInput {
	return WBGTInput{AirC: r.air, HumidityPct: r.rh, PressureHPa: r.p, SolarWM2: r.solar,
		CosZenith: r.cosz, WindMS: r.wind, WindHeightM: r.z, Urban: r.urban, Inversion: r.inversion,
		SunDistanceAU: sunDistance(r.when)}
}

// sunDistance in AU to 0.0003, enough for the beam's share (low-precision
// formula of the Astronomical Almanac).
func sunDistance(t time.Time) float64 {
	days := t.Sub(time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC)).Hours() / 24
	g := (357.528 + 0.9856003*days) * math.Pi / 180
	return 1.00014 - 0.01671*math.Cos(g) - 0.00014*math.Cos(2*g)
}

// The reference stops when an iteration changes a part
// by less than 0.02 K, which shows as 0.01 K that it keeps from its own solution;
// nothing else differs, so the tolerances are those.
func TestWBGT_ReferenceProgram(t *testing.T) {
	for _, r := range referenceRows {
		t.Run(r.name, func(t *testing.T) {
			got := WBGT(r.input())
			require.True(t, got.Known)
			assert.InDelta(t, r.out, got.WBGT, 0.015, "WBGT")
			assert.InDelta(t, r.globe, got.GlobeC, 0.02, "globe")
			assert.InDelta(t, r.nwb, got.NaturalWetBulb, 0.015, "natural wet bulb")
			assert.InDelta(t, r.psychr, got.Psychrometric, 0.015, "psychrometric wet bulb")
			assert.InDelta(t, r.wind2, got.WindMS, 1e-4, "wind at 2 m")
			assert.InDelta(t, r.fdir, got.DirectFraction, 0.0005, "beam share")
		})
	}
}

// Rows asserted in the test file tests/test_scalars.py of the library
// thermofeel (its WBGT by Liljegren), with zenith and beam share supplied. It
// takes wind below 0.62 m/s as that, beam shares above 0.9 as 0.9, urban ground
// and colder air aloft at night, and iterates as the reference does.
func TestWBGT_Thermofeel(t *testing.T) {
	rows := []struct{ k, rh, p, u10, solar, fdir, cosz, want float64 }{
		{308.15, 40, 1013, 1, 800, 0.70, 0.90, 306.559802},
		{303.15, 70, 1010, 3, 500, 0.50, 0.70, 302.954374},
		{293.15, 60, 1015, 5, 200, 0.30, 0.50, 290.823880},
		{298.15, 85, 1008, 2, 0, 0, 0.05, 296.597705},
		{306.15, 50, 1013, 0.2, 700, 0.60, 0.80, 307.358482},
		{305.15, 35, 1012, 2.5, 900, 0.97, 0.95, 301.229074},
	}
	for _, r := range rows {
		got := WBGT(WBGTInput{AirC: r.k - 273.15, HumidityPct: r.rh, PressureHPa: r.p,
			SolarWM2: r.solar, CosZenith: r.cosz, HasDirectFraction: true,
			DirectFraction: math.Min(r.fdir, 0.9), WindMS: math.Max(r.u10, 0.62),
			WindHeightM: 10, Urban: true})
		require.True(t, got.Known)
		assert.InDelta(t, r.want, got.WBGT+273.15, 0.015, "air %v K", r.k)
	}
}

// The same file's winds at 2 m.
func TestWindAt2M_Thermofeel(t *testing.T) {
	rows := []struct{ u10, cosz, solar, want float64 }{
		{3, 0.9, 800, 2.356545}, {0.62, 0.9, 800, 0.487019},
		{1, -0.5, 0, 0.617034}, {7, 0.5, 200, 4.681182},
	}
	for _, r := range rows {
		in := WBGTInput{WindMS: r.u10, WindHeightM: 10, CosZenith: r.cosz, SolarWM2: r.solar, Urban: true}
		assert.InDelta(t, r.want, in.windAt2M(), 1e-6)
	}
}

func TestWBGT_ParallelGlobe(t *testing.T) {
	// With all light diffuse the globe cannot tell where the sun stands.
	base := WBGTInput{AirC: 25, HumidityPct: 50, PressureHPa: 1013, SolarWM2: 400, WindMS: 2,
		HasDirectFraction: true}
	low, high := base, base
	low.CosZenith, high.CosZenith = 0.2, 0.9
	assert.InDelta(t, WBGT(low).GlobeC, WBGT(high).GlobeC, 1e-9)
}

func TestWBGT_RefusesWhatItCannotKnow(t *testing.T) {
	good := WBGTInput{AirC: 25, HumidityPct: 50, PressureHPa: 1013, SolarWM2: 400, CosZenith: 0.5, WindMS: 2}
	require.True(t, WBGT(good).Known)
	spoil := map[string]func(*WBGTInput){
		"air":      func(in *WBGTInput) { in.AirC = math.NaN() },
		"humidity": func(in *WBGTInput) { in.HumidityPct = 101 },
		"pressure": func(in *WBGTInput) { in.PressureHPa = 0 },
		"solar":    func(in *WBGTInput) { in.SolarWM2 = -1 },
		"zenith":   func(in *WBGTInput) { in.CosZenith = 1.1 },
		"wind":     func(in *WBGTInput) { in.WindMS = math.Inf(1) },
		"height":   func(in *WBGTInput) { in.WindHeightM = -1 },
		"share":    func(in *WBGTInput) { in.DirectFraction, in.HasDirectFraction = 1.5, true },
	}
	for name, f := range spoil {
		in := good
		f(&in)
		assert.Equal(t, WBGTResult{}, WBGT(in), name)
	}
}

func anyInput(t *rapid.T) WBGTInput {
	return WBGTInput{
		AirC:              rapid.Float64Range(-40, 55).Draw(t, "air"),
		HumidityPct:       rapid.Float64Range(0, 100).Draw(t, "rh"),
		PressureHPa:       rapid.Float64Range(600, 1080).Draw(t, "p"),
		SolarWM2:          rapid.Float64Range(0, 1400).Draw(t, "solar"),
		CosZenith:         rapid.Float64Range(-1, 1).Draw(t, "cosz"),
		DirectFraction:    rapid.Float64Range(0, 1).Draw(t, "fdir"),
		HasDirectFraction: rapid.Bool().Draw(t, "has fdir"),
		WindMS:            rapid.Float64Range(0, 80).Draw(t, "wind"),
		WindHeightM:       rapid.Float64Range(1, 20).Draw(t, "z"),
		Urban:             rapid.Bool().Draw(t, "urban"),
		Inversion:         rapid.Bool().Draw(t, "inversion"),
	}
}

// Both balances close at the solution, for any weather from −40 to 55 °C and
// from calm to hurricane, and the parts lie where physics puts them.
func TestWBGT_AlwaysSolved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyInput(t)
		r := WBGT(in)
		require.True(t, r.Known)
		for _, v := range []float64{r.WBGT, r.GlobeC, r.NaturalWetBulb, r.Psychrometric} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0))
		}
		e := newExposure(in)
		dew := saturationInverse(e.vapour) - kelvin
		require.LessOrEqual(t, r.Psychrometric, in.AirC+0.002)
		require.GreaterOrEqual(t, r.Psychrometric, dew-0.002)
		sun := 0.475 * (e.beamNormal/2 + e.level - e.beamLevel + 0.45*e.level)
		tg := r.GlobeC + kelvin
		gain := sun + 0.95*e.longwave - 0.95*5.6696e-8*math.Pow(tg, 4)
		h := e.sphere(0.5 * (tg + e.air))
		// A thousandth of a kelvin moves the balance by that much of h.
		require.InDelta(t, h*(tg-e.air), gain, 0.002*(h+10), "globe balance in W/m²")
	})
}

func TestWBGT_MoreSunMoreDampNeverCooler(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyInput(t)
		in.WindHeightM = 2 // or the stability class steps the wind
		in.HasDirectFraction = true
		in.SolarWM2 = rapid.Float64Range(0, 900).Draw(t, "less sun")
		in.CosZenith = rapid.Float64Range(0.3, 1).Draw(t, "high sun")
		in.HumidityPct = rapid.Float64Range(1, 90).Draw(t, "less damp")
		before := WBGT(in)
		sunny := in
		sunny.SolarWM2 += 50
		require.Greater(t, WBGT(sunny).WBGT, before.WBGT)
		damp := in
		damp.HumidityPct += 10
		require.GreaterOrEqual(t, WBGT(damp).WBGT, before.WBGT-0.002)
		warm := in
		warm.AirC++
		require.Greater(t, WBGT(warm).WBGT, before.WBGT)
	})
}

func TestWBGT_WindCoolsTheSunlitGlobe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyInput(t)
		in.WindHeightM, in.SolarWM2 = 2, 700
		in.CosZenith = rapid.Float64Range(0.5, 1).Draw(t, "high sun")
		in.WindMS = rapid.Float64Range(0.2, 20).Draw(t, "wind")
		more := in
		more.WindMS += 2
		require.Less(t, WBGT(more).GlobeC, WBGT(in).GlobeC)
	})
}

func TestDirectFraction(t *testing.T) {
	assert.Zero(t, DirectFraction(800, 0.008, 1), "sun on the horizon")
	assert.Zero(t, DirectFraction(0, 0.5, 1), "no sunlight")
	// By hand: S* = 683.5/(1367 × 0.5 × …) is capped at 0.85, and
	// exp(3 − 1.139 − 1.94118) = 0.9231 is capped at 0.9.
	assert.InDelta(t, 0.9, DirectFraction(1000, 0.5, 1), 1e-12)
	// S* = 0.5: exp(3 − 0.67 − 3.3) = 0.37908.
	assert.InDelta(t, 0.37908, DirectFraction(1367*0.5*0.5, 0.5, 1), 1e-5)
}

func TestRoot(t *testing.T) {
	assert.InDelta(t, math.Sqrt2, root(func(x float64) float64 { return x*x - 2 }, 0, 100), 0.002)
	assert.InDelta(t, 3, root(func(x float64) float64 { return x - 3 }, 3, 3), 0.002, "an empty bracket")
	calls := 0
	step := func(x float64) float64 {
		calls++
		if x < 7 {
			return -1e-9
		}
		return 1e9
	}
	assert.InDelta(t, 7, root(step, 0, 1000), 0.002, "a cliff")
	assert.Less(t, calls, 64)
}

func TestWBGT_AllocatesNothing(t *testing.T) {
	in := referenceRows[1].input()
	assert.Zero(t, testing.AllocsPerRun(100, func() { WBGT(in) }))
}

func BenchmarkWBGT(b *testing.B) {
	in := referenceRows[1].input()
	for b.Loop() {
		WBGT(in)
	}
}
