package sky

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// pvlib tests/test_irradiance.py, test_aoi_and_aoi_projection.
func TestCosIncidence(t *testing.T) {
	for _, c := range []struct{ tilt, azimuth, zenith, sunAzimuth, aoi, cos float64 }{
		{0, 0, 0, 0, 0, 1},
		{30, 180, 30, 180, 0, 1},
		{30, 180, 150, 0, 180, -1},
		{90, 0, 30, 60, 75.5224878, 0.25},
		{90, 0, 30, 170, 119.4987042, -0.4924038},
	} {
		got := Plane{c.tilt, c.azimuth}.CosIncidence(90-c.zenith, c.sunAzimuth)
		assert.InDelta(t, c.cos, got, 1e-6, "%+v", c)
		assert.InDelta(t, c.aoi, math.Acos(math.Min(math.Max(got, -1), 1))*degree, 1e-5, "%+v", c)
	}
}

// Transposition by pvlib's own tests (test_irradiance.py): tilt 40, facing south,
// 1321.1655834833093 W/m² above the atmosphere, ground as sand, to 1e-4.
func TestTranspositionLibrary(t *testing.T) {
	p := Plane{40, 180}
	for _, c := range []struct{ zenith, azimuth, ghi, dni, dhi, isotropic, hayDavies, ground float64 }{
		{82.85457044, 66.71410338, 79.73860422, 316.1949056, 40.46149818, 35.728402, 27.1775, 3.731058},
		{10.56413562, 144.76567754, 1042.48031487, 939.95469881, 118.45831879, 104.601328, 102.9949, 48.778813},
		{72.41687122, 287.04104128, 257.20751138, 646.22886049, 62.03376265, 54.777191, 33.1909, 12.035025},
	} {
		l := Light{DNI: c.dni, DHI: c.dhi, GHI: c.ghi, CosZ: math.Cos(c.zenith * radian), E0n: 1321.1655834833093}
		cos := p.CosIncidence(90-c.zenith, c.azimuth)
		hd := HayDavies(l, cos, p.Tilt, AlbedoSand)
		assert.InDelta(t, c.hayDavies, hd.Sky, 1e-4)
		assert.InDelta(t, c.ground, hd.Ground, 1e-4)
		assert.InDelta(t, c.isotropic, Isotropic(l, cos, p.Tilt, AlbedoSand).Sky, 1e-4)
	}
	flat := Isotropic(Light{GHI: 900, DHI: 100}, 0, 40, 0.25)
	assert.InDelta(t, 26.32000014911496, flat.Ground, 1e-6)
	assert.InDelta(t, 88.30222215594891, flat.Sky, 1e-6)
}

// Panels of a boat by pvlib.irradiance.get_total_irradiance, albedo 0.2,
// extraterrestrial irradiance by Spencer: deck (0), cambered deck (10),
// coachroof side (45), topsides (90), hull flare (110), underside (180).
func TestTranspositionPanels(t *testing.T) {
	for _, c := range []struct {
		zenith, azimuth, ghi, dni, dhi float64
		doy                            int
		tilt, facing                   float64
		aoi, beam, ground, iso, hd     float64
		total                          float64
	}{
		{30, 150, 800, 700, 194, 172, 0, 180, 30.0000, 606.218, 0.000, 194.000, 194.000, 800.218},
		{30, 150, 800, 700, 194, 172, 10, 180, 21.8655, 649.642, 1.215, 192.526, 200.667, 851.525},
		{30, 150, 800, 700, 194, 172, 45, 180, 23.2837, 642.991, 23.431, 165.589, 186.870, 853.293},
		{30, 150, 800, 700, 194, 172, 90, 180, 64.3411, 303.109, 80.000, 97.000, 97.000, 480.109},
		{30, 150, 800, 700, 194, 172, 90, 90, 75.5225, 175.000, 80.000, 97.000, 75.286, 330.286},
		{30, 150, 800, 700, 194, 172, 90, 270, 104.4775, 0.000, 80.000, 97.000, 45.624, 125.624},
		{30, 150, 800, 700, 194, 172, 90, 0, 115.6589, 0.000, 80.000, 97.000, 45.624, 125.624},
		{30, 150, 800, 700, 194, 172, 110, 90, 93.5130, 0.000, 107.362, 63.824, 30.020, 137.381},
		{30, 150, 800, 700, 194, 172, 180, 180, 150.0000, 0.000, 160.000, 0.000, 0.000, 160.000},
		{55, 240, 450, 500, 163, 100, 0, 180, 55.0000, 286.788, 0.000, 163.000, 163.000, 449.788},
		{55, 240, 450, 500, 163, 100, 45, 180, 45.9573, 347.597, 13.180, 139.129, 160.599, 521.376},
		{55, 240, 450, 500, 163, 100, 90, 180, 65.8218, 204.788, 45.000, 81.500, 94.321, 344.109},
		{55, 240, 450, 500, 163, 100, 90, 90, 135.1866, 0.000, 45.000, 81.500, 51.554, 96.554},
		{55, 240, 450, 500, 163, 100, 90, 270, 44.8134, 354.703, 45.000, 81.500, 125.629, 525.332},
		{30, 150, 250, 0, 250, 172, 10, 180, 21.8655, 0.000, 0.380, 248.101, 248.101, 248.481},
		{30, 150, 250, 0, 250, 172, 90, 180, 64.3411, 0.000, 25.000, 125.000, 125.000, 150.000},
		{30, 150, 250, 0, 250, 172, 110, 90, 93.5130, 0.000, 33.551, 82.247, 82.247, 115.798},
		{75, 90, 180, 400, 76, 172, 0, 180, 75.0000, 103.528, 0.000, 76.000, 76.000, 179.528},
		{75, 90, 180, 400, 76, 172, 90, 90, 15.0000, 386.370, 18.000, 38.000, 112.344, 516.714},
		{75, 90, 180, 400, 76, 172, 90, 270, 165.0000, 0.000, 18.000, 38.000, 26.499, 44.499},
		{75, 90, 180, 400, 76, 172, 110, 90, 35.0000, 327.661, 24.156, 25.003, 90.236, 442.053},
		{75, 270, 180, 400, 76, 172, 110, 90, 175.0000, 0.000, 24.156, 25.003, 17.436, 41.592},
	} {
		l := Light{DNI: c.dni, DHI: c.dhi, GHI: c.ghi, CosZ: math.Cos(c.zenith * radian), E0n: Extraterrestrial(c.doy)}
		cos := Plane{c.tilt, c.facing}.CosIncidence(90-c.zenith, c.azimuth)
		assert.InDelta(t, c.aoi, math.Acos(cos)*degree, 1e-4, "%+v", c)
		p := HayDavies(l, cos, c.tilt, 0.2)
		assert.InDelta(t, c.beam, p.Beam, 0.01, "%+v", c)
		assert.InDelta(t, c.ground, p.Ground, 0.01, "%+v", c)
		assert.InDelta(t, c.hd, p.Sky, 0.01, "%+v", c)
		assert.InDelta(t, c.total, p.Total(), 0.01, "%+v", c)
		assert.InDelta(t, c.iso, Isotropic(l, cos, c.tilt, 0.2).Sky, 0.01, "%+v", c)
	}
}

// drawn is a plane and a sun with its light.
func drawn(t *rapid.T) (Plane, float64, float64, Light) {
	p := Plane{rapid.Float64Range(0, 180).Draw(t, "tilt"), rapid.Float64Range(0, 360).Draw(t, "facing")}
	elevation := rapid.Float64Range(-20, 90).Draw(t, "elevation")
	azimuth := rapid.Float64Range(0, 360).Draw(t, "azimuth")
	ghi := rapid.Float64Range(0, 1200).Draw(t, "ghi")
	cosZ := math.Sin(elevation * radian)
	dni, dhi := Erbs(ghi, cosZ, 1366)
	return p, elevation, azimuth, Light{DNI: dni, DHI: dhi, GHI: ghi, CosZ: cosZ, E0n: 1366}
}

func TestTurningPlaneAndSunTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, elevation, azimuth, l := drawn(t)
		turn := rapid.Float64Range(-360, 360).Draw(t, "turn")
		a := HayDavies(l, p.CosIncidence(elevation, azimuth), p.Tilt, 0.2)
		p.Azimuth += turn
		b := HayDavies(l, p.CosIncidence(elevation, azimuth+turn), p.Tilt, 0.2)
		assert.InDelta(t, a.Total(), b.Total(), 1e-6)
	})
}

func TestNoNegativeIrradiance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, elevation, azimuth, l := drawn(t)
		albedo := rapid.Float64Range(0, 1).Draw(t, "albedo")
		cos := p.CosIncidence(elevation, azimuth)
		for _, parts := range []Parts{HayDavies(l, cos, p.Tilt, albedo), Isotropic(l, cos, p.Tilt, albedo)} {
			assert.GreaterOrEqual(t, parts.Beam, 0.0)
			assert.GreaterOrEqual(t, parts.Sky, 0.0)
			assert.GreaterOrEqual(t, parts.Ground, 0.0)
		}
	})
}

// The level gets the global irradiance back, whichever way the sky is shared.
func TestLevelGetsGlobal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, _, _, l := drawn(t)
		if l.CosZ < lowestCosZ {
			t.Skip("no sun")
		}
		assert.InDelta(t, l.GHI, HayDavies(l, l.CosZ, 0, 0.2).Total(), 1e-6)
	})
}

func TestViewsAndIndex(t *testing.T) {
	assert.Equal(t, 1.0, SkyView(0))
	assert.InDelta(t, 0.5, SkyView(90), 1e-12)
	assert.InDelta(t, 0, SkyView(180), 1e-12)
	assert.Equal(t, 0.5, AnisotropyIndex(683, 1366))
	assert.Equal(t, 1.0, AnisotropyIndex(1500, 1366))
	assert.Zero(t, AnisotropyIndex(-5, 1366))
	assert.Zero(t, AnisotropyIndex(100, 0))
	assert.Zero(t, Rb(-0.2, 0.5))
	assert.InDelta(t, 2.0, Rb(1, 0.5), 1e-12)
	assert.InDelta(t, 1/lowestCosZ, Rb(1, -1), 1e-9)
}

// pvlib tests/test_albedo.py, inland_water_dvoracek.
func TestWaterAlbedo(t *testing.T) {
	assert.InEpsilon(t, 0.072, WaterCalm.Albedo(90), 1e-3)
	assert.InDelta(t, 0.08555, WaterCalm.Albedo(45), 1e-5)
	assert.InDelta(t, 0.07787, WaterCalm.Albedo(60), 1e-5)
	assert.InDelta(t, 0.12875, Water{0.2, 0.8}.Albedo(20), 1e-5)
	assert.InDelta(t, 0.06278, Water{0.3, 1.5}.Albedo(60), 1e-5)
	assert.InDelta(t, 0.064, Water{0.4, 2}.Albedo(90), 1e-5)
	assert.InDelta(t, WaterMuddy.Colour, WaterMuddy.Albedo(-3), 1e-12)
}

func BenchmarkCosIncidence(b *testing.B) {
	p := Plane{90, 200}
	for b.Loop() {
		sink += p.CosIncidence(40, 150)
	}
}

func BenchmarkDot(b *testing.B) {
	n, s := Plane{90, 200}.Normal(), Direction(40, 150)
	for b.Loop() {
		sink += n.Dot(s)
	}
}

func BenchmarkHayDavies(b *testing.B) {
	l := Light{DNI: 700, DHI: 194, GHI: 800, CosZ: 0.866, E0n: 1321}
	for b.Loop() {
		sink += HayDavies(l, 0.43, 90, 0.06).Sky
	}
}

func BenchmarkErbs(b *testing.B) {
	for b.Loop() {
		dni, _ := Erbs(600, 0.7, 1366)
		sink += dni
	}
}
