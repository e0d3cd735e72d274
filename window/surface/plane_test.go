package surface

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dewgap/forecast/sky"
)

// rays are a sun and its light, in degrees and W/m².
type rays struct {
	elevation, azimuth float64
	global, beam       float64 // on the level, across the beam
	diffuse, extra     float64 // on the level, across the beam above the air
	uv, straight       float64 // index on the level, share of it straight from the sun
}

// onPlane is the sunlight in W/m² and the UV index of a panel in the open, of a tilt
// and a facing, over ground of an albedo.
func (r rays) onPlane(tilt, facing float64, m Model) (sun, uv float64) {
	el, az := r.elevation*math.Pi/180, r.azimuth*math.Pi/180
	cosZ := math.Sin(el)
	g := NewGrid(time.Unix(0, 0).UTC(), time.Unix(600, 0).UTC())
	s := &Sky{
		Grid: g, CosZ: []float64{cosZ}, Elevation: []float64{r.elevation}, Azimuth: []float64{r.azimuth},
		East: []float64{math.Cos(el) * math.Sin(az)}, North: []float64{math.Cos(el) * math.Cos(az)}, Up: []float64{cosZ},
	}
	e := benchExposed()
	e.Tilt, e.Facing = tilt, func(int) float64 { return facing }
	w := allocate(g)
	w.Global[0], w.Normal[0], w.Diffuse[0] = float32(r.global), float32(r.beam), float32(r.diffuse)
	w.UV[0], w.UVBeam[0] = float32(r.uv), float32(r.straight)
	if !m.IsotropicSky {
		h := sky.HeightOf(cosZ, r.extra)
		f1, f2 := h.Brightening(r.beam, r.diffuse)
		w.Circle[0], w.Horizon[0] = float32(f1), float32(f2)
	}
	tr := NewTrack(g.N)
	tr.light(0, NewExposure(e, s, m), w)
	return float64(tr.Sunlight[0]), float64(tr.UV[0])
}

// Panels of a boat by pvlib.irradiance.get_total_irradiance and .perez, albedo 0.2,
// extraterrestrial irradiance by Spencer, air mass by Kasten and Young: deck (0),
// cambered deck (10), coachroof side (45), topsides (90), hull flare (110), underside
// (180). What the beam and the ground give is the same under both skies.
func TestSunlightOnPanels(t *testing.T) {
	for _, c := range []struct {
		zenith, azimuth, global, beam, diffuse float64
		day                                    int
		tilt, facing                           float64
		straight, ground, isotropic, perez     float64
	}{
		{30, 150, 800, 700, 194, 172, 0, 180, 606.218, 0.000, 194.000, 194.000},
		{30, 150, 800, 700, 194, 172, 10, 180, 649.642, 1.215, 192.526, 209.382},
		{30, 150, 800, 700, 194, 172, 45, 180, 642.991, 23.431, 165.589, 218.391},
		{30, 150, 800, 700, 194, 172, 90, 180, 303.109, 80.000, 97.000, 131.515},
		{30, 150, 800, 700, 194, 172, 90, 90, 175.000, 80.000, 97.000, 102.541},
		{30, 150, 800, 700, 194, 172, 90, 270, 0.000, 80.000, 97.000, 62.961},
		{30, 150, 800, 700, 194, 172, 90, 0, 0.000, 80.000, 97.000, 62.961},
		{30, 150, 800, 700, 194, 172, 110, 90, 0.000, 107.362, 63.824, 51.150},
		{30, 150, 800, 700, 194, 172, 180, 180, 0.000, 160.000, 0.000, 0.000},
		{55, 240, 450, 500, 163, 100, 0, 180, 286.788, 0.000, 163.000, 163.000},
		{55, 240, 450, 500, 163, 100, 45, 180, 347.597, 13.180, 139.129, 180.123},
		{55, 240, 450, 500, 163, 100, 90, 180, 204.788, 45.000, 81.500, 118.286},
		{55, 240, 450, 500, 163, 100, 90, 90, 0.000, 45.000, 81.500, 66.629},
		{55, 240, 450, 500, 163, 100, 90, 270, 354.703, 45.000, 81.500, 156.101},
		{30, 150, 250, 0, 250, 172, 10, 180, 0.000, 0.380, 248.101, 247.419},
		{30, 150, 250, 0, 250, 172, 90, 180, 0.000, 25.000, 125.000, 111.049},
		{30, 150, 250, 0, 250, 172, 110, 90, 0.000, 33.551, 82.247, 61.909},
		{75, 90, 180, 400, 76, 172, 0, 180, 103.528, 0.000, 76.000, 76.000},
		{75, 90, 180, 400, 76, 172, 90, 90, 386.370, 18.000, 38.000, 124.508},
		{75, 90, 180, 400, 76, 172, 90, 270, 0.000, 18.000, 38.000, 35.675},
		{75, 90, 180, 400, 76, 172, 110, 90, 327.661, 24.156, 25.003, 101.506},
		{75, 270, 180, 400, 76, 172, 110, 90, 0.000, 24.156, 25.003, 26.172},
	} {
		r := rays{
			elevation: 90 - c.zenith, azimuth: c.azimuth, global: c.global, beam: c.beam, diffuse: c.diffuse,
			extra: sky.Extraterrestrial(c.day),
		}
		for _, even := range []bool{false, true} {
			want := c.straight + c.ground + c.perez
			if even {
				want = c.straight + c.ground + c.isotropic
			}
			got, _ := r.onPlane(c.tilt, c.facing, Model{Albedo: 0.2, IsotropicSky: even})
			assert.InDelta(t, want, got, 0.02, "%+v, even sky %v", c, even)
		}
	}
}

// Perez by pvlib's own tests (test_irradiance.py): tilt 40, facing south,
// 1321.1655834833093 W/m² above the atmosphere, ground as sand.
func TestSunlightByTheLibrary(t *testing.T) {
	for _, c := range []struct{ zenith, azimuth, global, beam, diffuse, total float64 }{
		{82.85457044, 66.71410338, 79.73860422, 316.1949056, 40.46149818, 35.19456561},
		{10.56413562, 144.76567754, 1042.48031487, 939.95469881, 118.45831879, 956.18253696},
		{72.41687122, 287.04104128, 257.20751138, 646.22886049, 62.03376265, 90.99624896},
	} {
		r := rays{90 - c.zenith, c.azimuth, c.global, c.beam, c.diffuse, 1321.1655834833093, 0, 0}
		got, _ := r.onPlane(40, 180, Model{Albedo: 0.4})
		assert.InDelta(t, c.total, got, 0.02, "%+v", c)
	}
}

// A plane turned with the sun gets the same; the level gets the global sunlight back,
// whichever way the sky is shared; up to the brightest diffuse light that a quality
// check takes for possible (0.95·E0n·cos z^1.2 + 50, Long and Dutton 2002, as
// pvanalytics has it) and without any beam, no plane gets more of the sky than the
// clearest air would let through of the beam.
func TestSunlightLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tilt := rapid.Float64Range(0, 180).Draw(t, "tilt")
		facing := rapid.Float64Range(0, 360).Draw(t, "facing")
		r := rays{elevation: rapid.Float64Range(0.1, 90).Draw(t, "elevation"), azimuth: rapid.Float64Range(0, 360).Draw(t, "azimuth")}
		cosZ := math.Sin(r.elevation * math.Pi / 180)
		r.extra, r.global = 1366, rapid.Float64Range(0, 1200).Draw(t, "global")
		r.beam, r.diffuse = sky.Erbs(r.global, cosZ, r.extra)
		turn := rapid.Float64Range(-360, 360).Draw(t, "turn")
		a, _ := r.onPlane(tilt, facing, Model{})
		turned := r
		turned.azimuth += turn
		b, _ := turned.onPlane(tilt, facing+turn, Model{})
		assert.InDelta(t, a, b, 0.02)
		assert.GreaterOrEqual(t, a, 0.0)
		if cosZ > sky.PerezLowestCosZ {
			level, _ := r.onPlane(0, facing, Model{})
			assert.InDelta(t, r.global, level, 0.02)
		}
		most := 0.95*r.extra*math.Pow(cosZ, 1.2) + 50
		dull := rays{elevation: r.elevation, azimuth: r.azimuth, extra: r.extra, global: 1e-6} // next to none thrown back
		dull.diffuse = math.Min(rapid.Float64Range(0, 1000).Draw(t, "diffuse"), most)
		bright, _ := dull.onPlane(tilt, facing, Model{})
		assert.LessOrEqual(t, bright, 0.8*r.extra)
	})
}

// An upright panel that faces a high sun gets about half of the level's UV index (from
// memory), in its own shade only what the sky and the deck send; the level keeps its
// index, and what looks down sees the deck alone.
func TestUVOnPanels(t *testing.T) {
	cosZ := math.Sin(60 * math.Pi / 180)
	r := rays{elevation: 60, azimuth: 180, uv: 10, straight: sky.UVDirectUnder(sky.ClearUVDirect(cosZ), 0, 1)}
	for _, c := range []struct{ tilt, facing, want, within float64 }{
		{90, 180, 5, 1}, {90, 0, 2.6 + 10*sky.AlbedoUVDeck/2, 0.2}, {0, 0, 10, 1e-4}, {180, 0, 10 * sky.AlbedoUVDeck, 1e-4},
	} {
		_, got := r.onPlane(c.tilt, c.facing, Model{})
		assert.InDelta(t, c.want, got, c.within, "%+v", c)
	}
}
