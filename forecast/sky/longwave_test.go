package sky

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dewgap/forecast/air"
)

// Emissivity and irradiance of a clear sky by the published formulas, worked out
// by an independent script with the same vapour pressures.
func TestClearSkyNumbers(t *testing.T) {
	for _, c := range []struct{ temp, rh, bm, bmFlux, prata, prataFlux float64 }{
		{0, 80, 0.69466, 219.27, 0.73209, 231.09},
		{10, 50, 0.71126, 259.24, 0.74277, 270.73},
		{10, 90, 0.76343, 278.26, 0.78608, 286.51},
		{20, 30, 0.72186, 302.29, 0.74887, 313.60},
		{20, 60, 0.78871, 330.29, 0.80492, 337.07},
		{20, 90, 0.83800, 350.93, 0.84739, 354.86},
		{30, 40, 0.81090, 388.34, 0.82074, 393.05},
		{30, 70, 0.88682, 424.69, 0.88229, 422.53},
	} {
		dew := air.DewPoint(c.temp, c.rh)
		bm := ClearEmissivityBerdahlMartin(dew)
		prata := ClearEmissivityPrata(c.temp, air.VapourPressure(dew))
		assert.InDelta(t, c.bm, bm, 1e-4, "%+v", c)
		assert.InDelta(t, c.bmFlux, bm*BlackBody(c.temp), 0.05, "%+v", c)
		assert.InDelta(t, c.prata, prata, 1e-4, "%+v", c)
		assert.InDelta(t, c.prataFlux, prata*BlackBody(c.temp), 0.05, "%+v", c)
		assert.InDelta(t, c.prataFlux, Longwave(c.temp, dew, 0), 0.05, "%+v", c)
	}
}

// Cloud over a clear sky of 0.78871: Campbell and Norman 1998 (0.84), and Martin
// and Berdahl 1984 with cloud emittance × exp(−h/8.2 km).
func TestCloudNumbers(t *testing.T) {
	const clear = 0.78871
	for n, want := range map[float64]float64{0.25: 0.83308, 0.5: 0.87745, 0.75: 0.92182, 1: 0.96619} {
		assert.InDelta(t, want, CloudEmissivity(clear, n, 0.84), 1e-4)
	}
	for km, want := range map[float64]float64{0.5: 0.9408, 1: 0.8852, 2: 0.7836, 4: 0.6140, 8: 0.3770} {
		assert.InDelta(t, want, CloudHeightFactor(km), 1e-4)
	}
	for _, c := range []struct{ n, emittance, km, want float64 }{
		{0.5, 1, 2, 0.87149}, {1, 1, 2, 0.95427}, {1, 1, 0.5, 0.98750}, {1, 0.5, 8, 0.82853},
	} {
		assert.InDelta(t, c.want, CloudEmissivity(clear, c.n, c.emittance*CloudHeightFactor(c.km)), 1e-4)
	}
}

// An overcast sky over Bondville (SURFRAD, 1995-05-10, 15 to 20 UTC): air at 287.4
// to 288.3 K, 388.5 to 392.9 W/m² measured, in damp air. A cloud emissivity short
// of 1 leaves at most 15 W/m².
func TestOvercast(t *testing.T) {
	got := Longwave(14.7, air.DewPoint(14.7, 86), 1)
	assert.InDelta(t, 390.7, got, 15)
	for _, c := range []struct{ temp, dew float64 }{{-15, -18}, {0, -5}, {15, 10}, {30, 24}} {
		e := emissivityUnder(c.temp, air.VapourPressure(c.dew), 1)
		assert.True(t, e >= 0.95 && e <= 1, "%+v: %v", c, e)
	}
}

func TestLongwaveProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp := rapid.Float64Range(-35, 45).Draw(t, "temp")
		dew := temp - rapid.Float64Range(0, 30).Draw(t, "deficit")
		cloud := rapid.Float64Range(0, 0.9).Draw(t, "cloud")
		vapour := air.VapourPressure(dew)
		clear, some := emissivityUnder(temp, vapour, 0), emissivityUnder(temp, vapour, EffectiveCloud(cloud))
		assert.Greater(t, emissivityUnder(temp, vapour, EffectiveCloud(cloud+0.1)), some, "more cloud, warmer sky")
		assert.Greater(t, emissivityUnder(temp, vapour, 1), clear)
		assert.GreaterOrEqual(t, some, clear)
		assert.Less(t, some, 1.0)
		assert.Greater(t, clear, 0.6)
		assert.Greater(t, Longwave(temp, dew+0.5, cloud), Longwave(temp, dew, cloud), "damper air, warmer sky")
		assert.Less(t, Longwave(temp, dew, cloud), BlackBody(temp))
	})
}

func TestBlackBody(t *testing.T) {
	// σ T⁴ at 300 K: 5.670374419e-8 × 8.1e9.
	assert.InDelta(t, 459.300328, BlackBody(26.85), 1e-5)
}

func BenchmarkLongwave(b *testing.B) {
	for b.Loop() {
		sink += Longwave(15, 10, 0.5)
	}
}
