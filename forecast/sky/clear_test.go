package sky

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// pvlib tests/test_clearsky.py, global irradiance by elevation.
func TestHaurwitz(t *testing.T) {
	for elevation, want := range map[float64]float64{
		5: 48.6298687941956, 10: 135.741748091813, 30: 487.894132885425,
		50: 778.766689344363, 90: 1035.09203253450,
	} {
		assert.InEpsilon(t, want, Haurwitz(math.Sin(elevation*radian)), 1e-6)
	}
	// The depth is that of the sun overhead: worked out by hand.
	assert.InDelta(t, 1037.16, HaurwitzThrough(1, 0.057), 0.01)
	assert.InDelta(t, 0.5*1098*0.892258, HaurwitzThrough(0.5, 0.057), 0.01)
	assert.Zero(t, HaurwitzThrough(-0.3, 0.057))
	assert.Zero(t, Haurwitz(0))
	assert.Zero(t, Haurwitz(-0.3))
}

// Kasten and Young 1989 by pvlib.atmosphere.get_relative_airmass.
func TestAirMass(t *testing.T) {
	for z, want := range map[float64]float64{
		0: 0.99971, 10: 1.01507, 30: 1.15399, 45: 1.41260, 60: 1.99429, 70: 2.90315,
		75: 3.81291, 80: 5.58604, 85: 10.30579, 87: 15.14774, 88: 19.43325,
		89: 26.31056, 89.9: 36.46679, 90: 37.91961,
	} {
		assert.InDelta(t, want, airMass(z), 1e-5, "zenith %v", z)
	}
	assert.Equal(t, airMass(90), airMass(100), "beyond the horizon as on it")
}

// 1 − 0.75 N^3.4 worked out by hand for quarters of the sky.
func TestCloudFactor(t *testing.T) {
	for n, want := range map[float64]float64{
		0: 1, 0.25: 0.99327, 0.5: 0.92895, 0.75: 0.71799, 1: 0.25, 1.4: 0.25, -1: 1,
	} {
		assert.InDelta(t, want, CloudFactor(n), 1e-5, "cloud %v", n)
	}
	assert.Zero(t, CloudFromClearness(1.1))
	assert.Equal(t, 1.0, CloudFromClearness(0.1))
}

func TestCloudFromClearnessInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Float64Range(0.01, 1).Draw(t, "cloud")
		assert.InDelta(t, n, CloudFromClearness(CloudFactor(n)), 1e-6)
	})
}

// pvlib tests/test_irradiance.py, test_erbs (two January days, one in June), and
// pvlib.irradiance.erbs over Spencer's extraterrestrial irradiance.
func TestErbs(t *testing.T) {
	for _, c := range []struct {
		ghi, zenith float64
		doy         int
		dni, dhi    float64
		tol         float64
	}{
		{50, 85, 1, 96.7192672, 41.5703604, 1e-2},
		{1000, 10, 1, 794.205651, 217.860117, 1e-2},
		{1000, 10, 171, 842.001578, 170.790318, 1e-2},
		{50, 120, 1, 0, 50, 0},
		{200, 60, 172, 21.304, 189.348, 1e-3},
		{500, 60, 172, 822.102, 88.949, 1e-3},
		{650, 60, 172, 1085.500, 107.250, 1e-3},
		{900, 30, 172, 867.791, 148.471, 1e-3},
		{100, 30, 172, 0.908, 99.214, 1e-3},
		{450, 30, 355, 60.479, 397.623, 1e-3},
		{60, 80, 80, 9.271, 58.390, 1e-3},
		{1000, 10, 180, 842.339, 170.458, 1e-3},
	} {
		dni, dhi := Erbs(c.ghi, math.Cos(c.zenith*radian), Extraterrestrial(c.doy))
		assert.InDelta(t, c.dni, dni, c.tol, "%+v", c)
		assert.InDelta(t, c.dhi, dhi, c.tol, "%+v", c)
	}
}

// Beam and diffuse light add up again, and neither is negative, whatever comes.
func TestErbsConserves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ghi := rapid.Float64Range(-20, 1500).Draw(t, "ghi")
		cosZ := rapid.Float64Range(-1, 1).Draw(t, "cosZ")
		e0n := rapid.Float64Range(1320, 1415).Draw(t, "e0n")
		dni, dhi := Erbs(ghi, cosZ, e0n)
		assert.GreaterOrEqual(t, dni, 0.0)
		assert.GreaterOrEqual(t, dhi, 0.0)
		assert.InDelta(t, math.Max(ghi, 0), dhi+dni*math.Max(cosZ, 0), 1e-9)
	})
	dni, dhi := Erbs(300, 0.5, 0)
	assert.Equal(t, []float64{0, 300}, []float64{dni, dhi}, "no sun to split by")
}

func TestClearSkyFallsWithTheSun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0.01, 0.98).Draw(t, "cosZ")
		assert.Less(t, Haurwitz(low), Haurwitz(low+0.01))
		z := math.Acos(low) * degree
		assert.Greater(t, airMass(z), airMass(z-0.5))
	})
}

func BenchmarkErbs(b *testing.B) {
	for b.Loop() {
		dni, _ := Erbs(600, 0.7, 1366)
		sink += dni
	}
}
