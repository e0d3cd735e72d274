package air

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Alduchov and Eskridge 1996 over water, and psychrolib 2.5 (Hyland and Wexler)
// in the third column from 0 °C up, where both are over water.
func TestSaturationPressure(t *testing.T) {
	for _, c := range []struct{ temp, magnus, psychrolib float64 }{
		{-20, 125.784, 0}, {-10, 286.773, 0}, {-5, 421.908, 0}, {0, 610.940, 611.154},
		{5, 871.560, 872.487}, {10, 1226.021, 1227.995}, {15, 1701.983, 1705.448},
		{20, 2333.441, 2338.804}, {25, 3161.736, 3169.216}, {30, 4236.650, 4246.030},
		{35, 5617.569, 5627.819}, {40, 7374.717, 7383.460},
	} {
		assert.InDelta(t, c.magnus, SaturationPressure(c.temp), 6e-4, "%v °C", c.temp)
		assert.Equal(t, SaturationPressure(c.temp), VapourPressure(c.temp))
		if c.psychrolib > 0 {
			assert.InEpsilon(t, c.psychrolib, SaturationPressure(c.temp), 3e-3)
		}
	}
	// ASHRAE Fundamentals 2017, ch. 1, table 3, by psychrolib's tests.
	for temp, want := range map[float64]float64{5: 872.6, 25: 3169.7, 50: 12351.3} {
		assert.InEpsilon(t, want, SaturationPressure(temp), 4e-3)
	}
	assert.Equal(t, SaturationPressure(-100), SaturationPressure(-300), "no pole of the formula")
}

func TestSaturationSlope(t *testing.T) {
	// FAO-56, example 19: 0.220 and 0.358 kPa/K at 28 and 38 °C, by Tetens.
	assert.InDelta(t, 220, SaturationSlope(28), 0.5)
	assert.InDelta(t, 358, SaturationSlope(38), 1.5)
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-40, 60).Draw(t, "t")
		numeric := (SaturationPressure(x+1e-3) - SaturationPressure(x-1e-3)) / 2e-3
		assert.InEpsilon(t, numeric, SaturationSlope(x), 1e-6)
	})
}

// moist is psychrolib 2.5 at 101325 Pa beside the Magnus dew point. Below 0 °C
// psychrolib counts humidity over ice, which this package does not, so those rows are
// held against their Magnus column only.
var moist = []struct{ temp, rh, dew, dewMagnus, wet, w, rho float64 }{
	{5, 90, 3.4985, 3.4959, 4.3017, 0.0048575, 1.26537},
	{10, 50, 0.0626, 0.0467, 5.5362, 0.0037918, 1.24382},
	{10, 80, 6.7130, 6.7079, 8.2903, 0.0060891, 1.24211},
	{15, 85, 12.5012, 12.4983, 13.5020, 0.0090272, 1.21842},
	{20, 50, 9.2724, 9.2611, 13.7834, 0.0072617, 1.19890},
	{20, 65, 13.2272, 13.2211, 15.7997, 0.0094734, 1.19732},
	{20, 85, 17.4027, 17.4009, 18.2781, 0.0124467, 1.19522},
	{25, 50, 13.8640, 13.8576, 17.8894, 0.0098810, 1.17696},
	{25, 60, 16.7011, 16.6977, 19.4711, 0.0118950, 1.17556},
	{25, 80, 21.3094, 21.3089, 22.3803, 0.0159618, 1.17276},
	{30, 40, 14.9358, 14.9330, 20.0640, 0.0106028, 1.15705},
	{30, 70, 23.9279, 23.9305, 25.5034, 0.0187952, 1.15152},
	{35, 50, 23.0204, 23.0293, 26.1414, 0.0177655, 1.13351},
	{40, 20, 12.7831, 12.7935, 22.0322, 0.0091982, 1.12104},
	{0.5, 95, -0.1814, -0.2082, 0.2135, 0.0037178, 1.28706},
	{-2, 80, -4.6436, -4.9891, -3.0433, 0.0025527, 1.29984},
}

func TestMoistAirTable(t *testing.T) {
	for _, c := range moist {
		dew := DewPoint(c.temp, c.rh)
		assert.InDelta(t, c.dewMagnus, dew, 1e-3, "%+v", c)
		if c.temp < 0 {
			continue
		}
		assert.InDelta(t, c.dew, dew, 0.03, "%+v", c)
		assert.InDelta(t, c.wet, WetBulb(c.temp, c.rh, 1013.25), 0.02, "%+v", c)
		pv := VapourPressure(dew)
		assert.InEpsilon(t, c.w, HumidityRatio(pv, 101325), 4e-3, "%+v", c)
		assert.InEpsilon(t, c.rho, Density(c.temp, pv, 101325), 1e-4, "%+v", c)
	}
}

// Below 0 °C an unfrozen wick reads above an iced one by some tenths of a
// kelvin: psychrolib's iced wick at −2 °C and 80 % over ice reads −3.0433 °C.
func TestWetBulbBelowFreezing(t *testing.T) {
	overIce := 0.80 * 517.7 // Pa; saturation over ice at −2 °C, ASHRAE table 3 (from memory)
	rh := 100 * overIce / SaturationPressure(-2)
	assert.InDelta(t, -3.0433, WetBulb(-2, rh, 1013.25), 0.4)
}

// pvlib tests/test_atmosphere.py, Alduchov and Eskridge coefficients.
func TestHumidityLibrary(t *testing.T) {
	for _, c := range []struct{ temp, dew, rh float64 }{
		{20, 15, 72.93876680928582}, {25, 20, 73.8025121880607}, {30, 25, 74.62820502423823},
		{15, 12, 82.26135295757305}, {10, 8, 87.38323744820416},
	} {
		assert.InEpsilon(t, c.rh, Humidity(c.temp, c.dew), 1e-6)
	}
	// MetPy tests/calc/test_thermo.py has 53.80 % with Bolton's coefficients.
	assert.InDelta(t, 53.80, Humidity(25, 15), 0.05)
	assert.Equal(t, 100.0, Humidity(10, 10.4), "a dew point rounded up is saturation")
}

// pythermalcomfort tests/test_psychrometrics.py, to 0.1 K, and a rounded
// published humidity table, to 1 K.
func TestDewPointTables(t *testing.T) {
	for _, c := range []struct{ temp, rh, dew, tol float64 }{
		{31.6, 59.6, 22.778, 0.1}, {29.3, 75.4, 24.497, 0.1}, {27.1, 66.4, 20.302, 0.1},
		{10, 50, 0.064, 0.1}, {40, 50, 27.587, 0.1},
		{20, 50, 9, 1}, {20, 60, 12, 1}, {20, 70, 14, 1}, {20, 80, 16, 1}, {20, 90, 18, 1},
		{25, 60, 16, 1}, {25, 70, 19, 1}, {25, 80, 21, 1}, {25, 90, 23, 1},
		{30, 50, 18, 1}, {30, 60, 21, 1}, {30, 70, 24, 1}, {30, 80, 26, 1},
		{16, 71, 10.75, 0.01}, {16, 71, 11, 0.5}, // a paint guide's worked example says 11
	} {
		assert.InDelta(t, c.dew, DewPoint(c.temp, c.rh), c.tol, "%+v", c)
	}
	assert.Equal(t, DewPoint(20, lowestRH), DewPoint(20, 0))
	assert.Equal(t, 20.0, DewPoint(20, 104))
}

// psychrolib's and ASHRAE's points with the wet bulb given: the humidity ratio
// there must lead back to it.
func TestWetBulbLibrary(t *testing.T) {
	assert.InDelta(t, 3.92667433781955, WetBulb(7, 61, 1000), 0.01)
	pv := 0.0192281274241096 * 95461 / (MassRatio + 0.0192281274241096)
	assert.InDelta(t, 25, WetBulb(30, 100*pv/SaturationPressure(30), 954.61), 0.05)
	// ASHRAE ch. 1, example 1: 40 °C and wet bulb 20 °C have W 0.0065 ± 0.0001 and
	// the dew point 7 ± 0.5 °C, both read from the chart.
	vapour := func(w float64) float64 { return w * 101325 / (MassRatio + w) }
	wet := func(w float64) float64 { return WetBulb(40, 100*vapour(w)/SaturationPressure(40), 1013.25) }
	assert.InDelta(t, 20, wet(0.0065), 0.15, "0.0001 is worth 0.07 K")
	assert.InDelta(t, 7, DewPointOf(vapour(0.0064)), 0.5)
	// A paint guide's worked example: 21 °C, wet bulb 17 °C, dew point 15 °C.
	assert.InDelta(t, 17, WetBulb(21, Humidity(21, 15), 1013.25), 0.5)
	// FAO-56, example 4: 25.6 °C, wet bulb 19.5 °C at 1200 m, 1.91 kPa.
	assert.InDelta(t, 19.5, WetBulb(25.6, 100*1910/SaturationPressure(25.6), StandardPressure(1200)), 0.06)
}

func TestHumidityRatioLibrary(t *testing.T) {
	// psychrolib tests; saturation at 5 and 25 °C by ASHRAE table 2, which takes in
	// the 0.4 % by which real air exceeds the ideal mixture.
	assert.InEpsilon(t, 0.0213603998047487, HumidityRatio(3169.7, 95461), 1e-6)
	assert.InEpsilon(t, 0.005425, HumidityRatio(SaturationPressure(5), 101325), 8e-3)
	assert.InEpsilon(t, 0.020173, HumidityRatio(SaturationPressure(25), 101325), 8e-3)
}

func TestDensityLibrary(t *testing.T) {
	pv := 0.02 * 95461 / (MassRatio + 0.02)
	assert.InEpsilon(t, 1.08411986348219, Density(30, pv, 95461), 3e-4)
	assert.InEpsilon(t, HumidityRatio(pv, 95461), VapourDensity(pv, 30)/(Density(30, pv, 95461)-VapourDensity(pv, 30)), 1e-4,
		"vapour over dry air is the humidity ratio")
}

// ASHRAE ch. 1, table 1, and FAO-56, example 2 (81.8 kPa at 1800 m, with a lapse
// rate of its own).
func TestStandardPressure(t *testing.T) {
	for elevation, want := range map[float64]float64{0: 1013.25, 500: 954.61, 1000: 898.75} {
		assert.InDelta(t, want, StandardPressure(elevation), 0.01)
	}
	assert.InDelta(t, 818, StandardPressure(1800), 4)
}

// FAO-56, example 3: the mean of the saturation pressures at 15 and 24.5 °C is
// 2.39 kPa.
func TestFAO56Example3(t *testing.T) {
	assert.InDelta(t, 2390, (SaturationPressure(15)+SaturationPressure(24.5))/2, 5)
}

func TestLatentHeat(t *testing.T) {
	// FAO-56 fixes the latent heat at 2.45 MJ/kg, that of about 20 °C.
	assert.InDelta(t, 2.45e6, LatentHeat(20), 5e3)
	assert.Equal(t, 2.501e6, LatentHeat(0))
}

// Evaporation from a wet film by the Lewis relation, worked out independently:
// surface and air temperature, humidity, heat transfer → coefficient, mm/h, W/m².
// The air's density is that of dry air at the film's mean temperature, as there.
func TestMassTransfer(t *testing.T) {
	for _, c := range []struct{ surface, temp, rh, h, hm, mm, watts float64 }{
		{20, 20, 60, 15, 0.01364, 0.3388, 230.91},
		{30, 25, 50, 20, 0.01865, 1.2619, 851.86},
		{15, 18, 85, 10, 0.00898, -0.0075, -5.12},
		{10, 12, 95, 8, 0.00705, -0.0184, -12.66},
		{8, 12, 95, 8, 0.00703, -0.0468, -32.27},
	} {
		hm := MassTransfer(c.h, Density((c.surface+c.temp)/2, 0, 101325))
		assert.InDelta(t, c.hm, hm, 2e-5, "%+v", c)
		e := hm * (VapourDensity(SaturationPressure(c.surface), c.surface) -
			VapourDensity(VapourPressure(DewPoint(c.temp, c.rh)), c.temp))
		assert.InDelta(t, c.mm, e*3600, 0.004, "%+v", c)
		assert.InDelta(t, c.watts, e*LatentHeat(c.surface), 2.5, "%+v", c)
	}
}

// drawn is moist air anywhere on earth at the surface.
func drawn(t *rapid.T) (temp, rh, pHPa float64) {
	return rapid.Float64Range(-30, 50).Draw(t, "t"), rapid.Float64Range(1, 100).Draw(t, "rh"),
		rapid.Float64Range(600, 1060).Draw(t, "p")
}

func TestWetBulbBetweenDewPointAndAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp, rh, p := drawn(t)
		dew, wet := DewPoint(temp, rh), WetBulb(temp, rh, p)
		assert.LessOrEqual(t, dew, temp)
		assert.LessOrEqual(t, dew, wet+1e-9)
		assert.LessOrEqual(t, wet, temp)
		residual, _ := psychrometer(temp, wet, HumidityRatio(SaturationPressure(temp)*rh/100, 100*p), 100*p)
		assert.InDelta(t, 0, residual, 1e-4, "the psychrometric equation holds")
	})
}

func TestDewPointInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp, rh, _ := drawn(t)
		dew := DewPoint(temp, rh)
		assert.InDelta(t, rh, Humidity(temp, dew), 1e-9)
		assert.InDelta(t, dew, DewPointOf(VapourPressure(dew)), 1e-9)
	})
}

func TestMoisterIsWetterAndLighter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp, rh, p := drawn(t)
		rh = math.Min(rh, 98)
		assert.Less(t, WetBulb(temp, rh, p), WetBulb(temp, rh+1, p))
		pv := SaturationPressure(temp) * rh / 100
		assert.Greater(t, Density(temp, pv, 100*p), Density(temp, pv*1.01, 100*p))
		assert.Less(t, HumidityRatio(pv, 100*p), HumidityRatio(pv*1.01, 100*p))
	})
}

var sink float64

func BenchmarkWetBulb(b *testing.B) {
	for b.Loop() {
		sink += WetBulb(25, 60, 1013.25)
	}
}

func BenchmarkSaturationPressure(b *testing.B) {
	for b.Loop() {
		sink += SaturationPressure(25)
	}
}

// The table agrees with the formula, and that with the single ones: density of
// vapour at the saturation pressure, and its slope by differences.
func TestSaturatedDensity(t *testing.T) {
	for tC := -140.0; tC < 140; tC += 0.073 {
		rho, steep := SaturatedDensity(tC)
		exact, slope := saturatedExactly(tC)
		require.InEpsilon(t, exact, rho, 2e-5, "%g", tC)
		require.InEpsilon(t, slope, steep, 2e-4, "%g", tC)
		if tC > -40 && tC < 60 {
			require.InEpsilon(t, exact, rho, 1e-6, "%g", tC)
			require.InEpsilon(t, slope, steep, 5e-5, "%g", tC)
		}
	}
	for _, tC := range []float64{-30, -5, 0, 12.5, 25, 40, 70} {
		rho, steep := saturatedExactly(tC)
		assert.InEpsilon(t, VapourDensity(SaturationPressure(tC), tC), rho, 1e-9, "%g", tC)
		up, _ := saturatedExactly(tC + 1e-3)
		down, _ := saturatedExactly(tC - 1e-3)
		assert.InEpsilon(t, math.Log(up/down)/2e-3, steep, 1e-5, "%g", tC)
	}
}

func BenchmarkSaturatedDensity(b *testing.B) {
	tC := 20.0
	for b.Loop() { // each waits for the one before, as in a balance
		rho, _ := SaturatedDensity(tC)
		tC = 20 + rho
	}
	sink += tC
}

func BenchmarkSaturatedExactly(b *testing.B) {
	tC := 20.0
	for b.Loop() {
		rho, _ := saturatedExactly(tC)
		tC = 20 + rho
	}
	sink += tC
}
