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

// moist is psychrolib 2.5 at 101325 Pa beside the Magnus dew point. Below 0 °C
// psychrolib counts humidity over ice, which this package does not, so those rows are
// held against their Magnus column only.
var moist = []struct{ temp, rh, dew, dewMagnus float64 }{
	{5, 90, 3.4985, 3.4959},
	{10, 50, 0.0626, 0.0467},
	{10, 80, 6.7130, 6.7079},
	{15, 85, 12.5012, 12.4983},
	{20, 50, 9.2724, 9.2611},
	{20, 65, 13.2272, 13.2211},
	{20, 85, 17.4027, 17.4009},
	{25, 50, 13.8640, 13.8576},
	{25, 60, 16.7011, 16.6977},
	{25, 80, 21.3094, 21.3089},
	{30, 40, 14.9358, 14.9330},
	{30, 70, 23.9279, 23.9305},
	{35, 50, 23.0204, 23.0293},
	{40, 20, 12.7831, 12.7935},
	{0.5, 95, -0.1814, -0.2082},
	{-2, 80, -4.6436, -4.9891},
}

func TestMoistAirTable(t *testing.T) {
	for _, c := range moist {
		dew := DewPoint(c.temp, c.rh)
		assert.InDelta(t, c.dewMagnus, dew, 1e-3, "%+v", c)
		if c.temp < 0 {
			continue
		}
		assert.InDelta(t, c.dew, dew, 0.03, "%+v", c)
	}
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
		hm := MassTransfer(c.h, 101325/(GasDry*((c.surface+c.temp)/2+Kelvin)))
		assert.InDelta(t, c.hm, hm, 2e-5, "%+v", c)
		e := hm * (VapourDensity(SaturationPressure(c.surface), c.surface) -
			VapourDensity(VapourPressure(DewPoint(c.temp, c.rh)), c.temp))
		assert.InDelta(t, c.mm, e*3600, 0.004, "%+v", c)
		assert.InDelta(t, c.watts, e*LatentHeat(c.surface), 2.5, "%+v", c)
	}
}

func TestDewPointInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp, rh := rapid.Float64Range(-30, 50).Draw(t, "t"), rapid.Float64Range(1, 100).Draw(t, "rh")
		dew := DewPoint(temp, rh)
		assert.LessOrEqual(t, dew, temp)
		assert.InDelta(t, rh, Humidity(temp, dew), 1e-9)
	})
}

var sink float64

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

// The table is held against the formula that it is of.
func TestSaturationPressure_Table(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp := rapid.Float64Range(-120, 120).Draw(t, "°C")
		want := 610.94 * math.Exp(17.625*max(temp, -100)/(243.04+max(temp, -100)))
		require.InEpsilon(t, want, SaturationPressure(temp), 1e-10)
	})
	assert.True(t, math.IsNaN(SaturationPressure(math.NaN())))
}
