package surface

import (
	"math"

	"dewgap/forecast/air"
	"dewgap/forecast/sky"
)

// Model selects how the balance is made. The zero Model is the full one; the
// switches turn single terms off, so that a test can show which term moves an
// edge. All of them on is the hand-check model: steady state, isotropic sky,
// h = 2.8 + 3v, insulated back.
type Model struct {
	Steady           bool    // no heat capacity: every slot in balance by itself, no film kept
	IsotropicSky     bool    // sky light from all over alike, in place of Perez et al. 1990
	LinearConvection bool    // h = 2.8 + 3v (Watmuff et al. 1977), in place of mixed convection
	PlainLongwave    bool    // Berdahl & Martin 1984 with 0.84 of the cloud cover, in place of sky.Longwave
	Insulated        bool    // nothing flows through the skin
	FullRoof         bool    // a roof hides the whole sky
	ClearDepth       float64 // optical depth of clear air, see sky.HaurwitzThrough; 0: that of sky.Haurwitz
	Albedo           float64 // of what lies before and below the boat; 0: DefaultAlbedo
}

// DefaultAlbedo is the share of sunlight that water, dock and hulls throw back
// (water 0.06, concrete 0.30; common practice between them).
const DefaultAlbedo = 0.15

// HandCheck is the model of the trade's hand checks: steady state on an
// insulated back under an isotropic sky.
func HandCheck() Model {
	return Model{
		Steady: true, IsotropicSky: true, LinearConvection: true, PlainLongwave: true,
		Insulated: true, FullRoof: true, ClearDepth: 0.057,
	}
}

func (m Model) albedo() float64 {
	if m.Albedo > 0 {
		return m.Albedo
	}
	return DefaultAlbedo
}

// clear is the sunlight on the level under a clear sky, W/m², 0 at night.
func (m Model) clear(cosZ float64) float64 {
	if m.ClearDepth > 0 {
		return sky.HaurwitzThrough(cosZ, m.ClearDepth)
	}
	return sky.Haurwitz(cosZ)
}

// Sky is the sun's path over the grid; all members and zones share it.
type Sky struct {
	Grid      Grid
	CosZ      []float64 // cosine of the apparent zenith angle, negative at night
	Elevation []float64 // degrees, apparent
	Azimuth   []float64 // degrees clockwise from north
	East, Up  []float64 // unit vector to the sun: east and up …
	North     []float64 // … and north
	Extra     []float64 // W/m² above the air on a plane facing the sun
	Clear     []float64 // W/m² on the level under a clear sky, 0 at night

	height   []sky.Height
	uv       []float64 // index on the level under a clear sky
	uvDirect []float64 // share of it that comes straight from the sun
}

// NewSky computes the sun's path at the middle of every slot, at a place in degrees
// north and east.
func NewSky(g Grid, lat, lon float64, m Model) *Sky {
	s := emptySky(g)
	for i := range g.N {
		t := g.Middle(i)
		p := sky.Sun(t, lat, lon, air.StandardPa/100, 15)
		el, az := p.Elevation*math.Pi/180, p.Azimuth*math.Pi/180
		c := math.Sin(el)
		s.CosZ[i], s.Elevation[i], s.Azimuth[i] = c, p.Elevation, p.Azimuth
		s.East[i], s.North[i], s.Up[i] = math.Cos(el)*math.Sin(az), math.Cos(el)*math.Cos(az), c
		s.Extra[i] = sky.Extraterrestrial(t.YearDay())
		s.height[i] = sky.HeightOf(c, s.Extra[i])
		s.uv[i], s.uvDirect[i] = sky.ClearUVI(c, sky.DefaultOzone), sky.ClearUVDirect(c)
		s.Clear[i] = m.clear(c)
	}
	return s
}

// emptySky has room for every slot of a grid.
func emptySky(g Grid) *Sky {
	s := &Sky{Grid: g, height: make([]sky.Height, g.N)}
	for _, c := range s.columns() {
		*c = make([]float64, g.N)
	}
	return s
}

func (s *Sky) columns() [10]*[]float64 {
	return [...]*[]float64{
		&s.CosZ, &s.Elevation, &s.Azimuth, &s.East, &s.Up, &s.North, &s.Extra, &s.Clear, &s.uv, &s.uvDirect,
	}
}
