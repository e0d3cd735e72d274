package sky

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Perez by pvlib's own tests (test_irradiance.py): tilt 40, facing south,
// 1321.1655834833093 W/m² above the atmosphere, to 0.01 (the relative air mass
// is Kasten and Young's in both).
func TestPerezLibrary(t *testing.T) {
	p := Plane{40, 180}
	for _, c := range []struct{ zenith, azimuth, ghi, dni, dhi, sky, total float64 }{
		{82.85457044, 66.71410338, 79.73860422, 316.1949056, 40.46149818, 31.46046871, 35.19456561},
		{10.56413562, 144.76567754, 1042.48031487, 939.95469881, 118.45831879, 109.084332, 956.18253696},
		{72.41687122, 287.04104128, 257.20751138, 646.22886049, 62.03376265, 45.45539877, 90.99624896},
	} {
		l := Light{DNI: c.dni, DHI: c.dhi, GHI: c.ghi, CosZ: math.Cos(c.zenith * radian), E0n: 1321.1655834833093}
		got := Perez(l, p.CosIncidence(90-c.zenith, c.azimuth), p.Tilt, AlbedoSand)
		assert.InDelta(t, c.sky, got.Sky, 0.01)
		assert.InDelta(t, c.total, got.Total(), 0.01)
	}
}

// Panels of a boat by pvlib.irradiance.perez (air mass by Kasten and Young,
// extraterrestrial irradiance by Spencer), to 0.01.
func TestPerezPanels(t *testing.T) {
	for _, c := range []struct {
		zenith, azimuth, ghi, dni, dhi float64
		doy                            int
		tilt, facing, sky              float64
	}{
		{30, 150, 800, 700, 194, 172, 0, 180, 194.000},
		{30, 150, 800, 700, 194, 172, 10, 180, 209.382},
		{30, 150, 800, 700, 194, 172, 45, 180, 218.391},
		{30, 150, 800, 700, 194, 172, 90, 180, 131.515},
		{30, 150, 800, 700, 194, 172, 90, 90, 102.541},
		{30, 150, 800, 700, 194, 172, 90, 270, 62.961},
		{30, 150, 800, 700, 194, 172, 90, 0, 62.961},
		{30, 150, 800, 700, 194, 172, 110, 90, 51.150},
		{30, 150, 800, 700, 194, 172, 180, 180, 0.000},
		{55, 240, 450, 500, 163, 100, 0, 180, 163.000},
		{55, 240, 450, 500, 163, 100, 45, 180, 180.123},
		{55, 240, 450, 500, 163, 100, 90, 180, 118.286},
		{55, 240, 450, 500, 163, 100, 90, 90, 66.629},
		{55, 240, 450, 500, 163, 100, 90, 270, 156.101},
		{30, 150, 250, 0, 250, 172, 10, 180, 247.419},
		{30, 150, 250, 0, 250, 172, 90, 180, 111.049},
		{30, 150, 250, 0, 250, 172, 110, 90, 61.909},
		{75, 90, 180, 400, 76, 172, 0, 180, 76.000},
		{75, 90, 180, 400, 76, 172, 90, 90, 124.508},
		{75, 90, 180, 400, 76, 172, 90, 270, 35.675},
		{75, 90, 180, 400, 76, 172, 110, 90, 101.506},
		{75, 270, 180, 400, 76, 172, 110, 90, 26.172},
	} {
		l := Light{DNI: c.dni, DHI: c.dhi, GHI: c.ghi, CosZ: math.Cos(c.zenith * radian), E0n: Extraterrestrial(c.doy)}
		cos := Plane{c.tilt, c.facing}.CosIncidence(90-c.zenith, c.azimuth)
		assert.InDelta(t, c.sky, Perez(l, cos, c.tilt, 0.2).Sky, 0.01, "%+v", c)
	}
}

// A level plane gets the diffuse irradiance whole, whatever the sky; no plane
// gets a negative one.
func TestPerezLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, elevation, azimuth, l := drawn(t)
		got := Perez(l, p.CosIncidence(elevation, azimuth), p.Tilt, 0.2)
		assert.GreaterOrEqual(t, got.Sky, 0.0)
		if l.CosZ > PerezLowestCosZ {
			assert.InDelta(t, l.DHI, Perez(l, l.CosZ, 0, 0.2).Sky, 1e-6*math.Max(1, l.DHI))
		}
	})
}

// Light that does not go with the sun's height is not heaped round a sun that is all
// but down: however much is stated, the beam and what comes from round the sun are
// together, across their direction, no more than the sunlight above the air. Up to
// the brightest diffuse light that a quality check takes for possible (0.95·E0n·cos
// z^1.2 + 50, Long and Dutton 2002, as pvanalytics has it) and without any beam, no
// plane gets more sky light than the clearest air would let through of the beam.
func TestPerezIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, elevation, azimuth, l := drawn(t)
		l.DHI = rapid.Float64Range(0, 1000).Draw(t, "dhi")
		f1, _ := Brightening(l)
		assert.LessOrEqual(t, f1, 1.0)
		round := f1 * l.DHI / math.Max(l.CosZ, PerezLowestCosZ)
		assert.LessOrEqual(t, round+math.Min(l.DNI, l.E0n), l.E0n+1e-6)
		if l.CosZ <= 0 {
			return
		}
		l.DNI, l.DHI = 0, math.Min(l.DHI, 0.95*l.E0n*math.Pow(l.CosZ, 1.2)+50)
		assert.LessOrEqual(t, Perez(l, p.CosIncidence(elevation, azimuth), p.Tilt, 0.2).Sky, 0.8*l.E0n)
	})
}
