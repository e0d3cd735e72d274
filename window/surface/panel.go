package surface

import (
	"math"

	"dewgap/forecast/sky"
)

// Panel is what of a zone the balance depends on.
type Panel struct {
	Tilt        float64 // degrees: 0 level, 90 upright, 180 facing down
	Absorptance float64 // of sunlight, 0–1
	Emissivity  float64 // thermal, 0–1
	Capacity    float64 // J/m²K of the skin
	Through     float64 // U, W/m²K to what lies behind; 0 insulated
	TwoSided    bool    // air and surroundings on the back face as well
	HoldingGM2  float64 // most water that stays on it
	Behind      BackKind
	BackC       float64 // °C, where Behind is Fixed
	LagH        float64 // hours of lag, where Behind is Lagged
}

// BackKind is how the temperature behind the skin goes.
type BackKind uint8

// The temperatures behind a skin.
const (
	Lagged BackKind = iota // follows the air with a lag
	Fixed                  // held: water, cooled or heated cabin
)

// Exposure is how a panel meets sun, sky, wind and rain in every slot: it
// turns with the boat, and comes under covers and shadows for a time.
type Exposure struct {
	Beam     []float32 // cosine of incidence of the sun's beam, 0 when hidden
	Ratio    []float32 // Beam over the sun's cosine on the level
	Upright  []float32 // sine of the tilt, 0 under a roof: what it sees of the horizon's band
	SkyLight []float32 // share of the sky's light that it sees
	Thrown   []float32 // share of the global sunlight thrown back at it (albedo × view), or that reaches it under a roof
	UVThrown []float32 // share of the UV that is
	SkyView  []float32 // share of its view that is open sky, for longwave
	Forced   []float32 // share of the deck's forced convection that reaches it
	Wetted   []bool    // rain that falls reaches it, by itself or running down onto it
	Sprayed  []bool    // sprinklers wet it
	Facing   []float32 // true bearing that an upright panel faces
	Driven   Driven    // how rain is driven in under a roof
}

// Driven tells from where wind drives rain in under a roof onto an upright
// panel: at 5 m/s and more within 60° of an open side and of the panel's own
// facing (common practice, no source).
type Driven struct {
	AllRound bool      // open on every side
	Open     []float64 // true bearings of the open sides
}

// lowestWetted is the tilt, degrees, beyond which a face looks down so far that
// no rain reaches it.
const lowestWetted = 120

// RainFalls reports whether rain falls on a panel of a tilt in degrees under a roof.
func RainFalls(tilt float64, r Roof) bool { return r == NoRoof && tilt <= lowestWetted }

// somewhere reports whether any wind drives rain in.
func (d Driven) somewhere() bool { return d.AllRound || len(d.Open) > 0 }

// into reports whether wind at that speed from that bearing drives rain onto a
// panel with that facing; an unknown direction (negative) counts as driving.
func (d Driven) into(speed, from, facing float64) bool {
	if speed < 5 || !d.somewhere() {
		return false
	}
	if from < 0 {
		return true
	}
	if !within(from, facing, 60) {
		return false
	}
	for _, o := range d.Open {
		if within(from, o, 60) {
			return true
		}
	}
	return d.AllRound
}

// within reports whether two bearings lie no further apart than deg.
func within(a, b, deg float64) bool {
	return math.Abs(math.Mod(a-b+540, 360)-180) <= deg
}

// Shade hides the sun below an elevation for a time, from a true bearing over a
// span clockwise, all in degrees.
type Shade struct {
	From, Span       float64 // 0–360
	UpTo             float64 // elevation, 0–90
	FromSlot, ToSlot int     // half-open
}

// hides reports whether the shade hides a sun at that elevation and azimuth.
func (s Shade) hides(i int, elevation, azimuth float64) bool {
	if i < s.FromSlot || i >= s.ToSlot || elevation >= s.UpTo {
		return false
	}
	return math.Mod(math.Mod(azimuth-s.From, 360)+360, 360) <= s.Span
}

// Roof is what stands over a panel.
type Roof uint8

// The roofs, with the share of the global sunlight that comes in under them.
const (
	NoRoof   Roof = iota
	Hardtop       // 0.12
	Sheet         // 0.12: canvas or a shade sheet close above
	ShedRoof      // 0.10
)

// passed is the share of the global sunlight that reaches a roofed panel
// (common practice, no source).
var passed = [...]float64{0, 0.12, 0.12, 0.10}

// roofWind is the share of the deck wind under a roof: a hardtop leaves it, a
// sheet or shed holds most of it off (common practice, no source).
var roofWind = [...]float64{1, 1, 0.4, 0.4}

// Exposed builds the exposure of a panel of one tilt.
type Exposed struct {
	Tilt   float64
	Facing func(i int) float64         // true bearing in slot i
	Cover  func(i int) (Roof, float64) // roof in slot i and the share of the upper view it takes
	Shades []Shade
	Spray  func(i int) bool // sprinklers wet it in slot i; nil: never
	RunOff func(i int) bool // rain runs down onto it in slot i from what lies above; nil: never
	AtWork bool             // the wind is stated at the panel: roofs take nothing of it
	Driven Driven
}

// NewExposure works out the exposure over the sky's grid.
func NewExposure(e Exposed, s *Sky, m Model) *Exposure {
	n := s.Grid.N
	x := &Exposure{Wetted: make([]bool, n), Sprayed: make([]bool, n), Driven: e.Driven}
	for _, p := range []*[]float32{
		&x.Beam, &x.SkyLight, &x.Thrown, &x.UVThrown, &x.SkyView, &x.Forced, &x.Facing, &x.Ratio, &x.Upright,
	} {
		*p = make([]float32, n)
	}
	sinT, cosT := math.Sincos(e.Tilt * math.Pi / 180)
	view := (1 + cosT) / 2
	for i := range n {
		roof, share := e.Cover(i)
		x.Forced[i], x.SkyView[i] = 1, float32(view)
		x.Wetted[i] = RainFalls(e.Tilt, roof) || e.RunOff != nil && e.RunOff(i)
		if roof != NoRoof {
			x.under(i, roof, share, view, e.AtWork, m)
			x.Facing[i] = float32(e.Facing(i))
			continue
		}
		x.Sprayed[i] = e.Spray != nil && e.Spray(i)
		x.SkyLight[i] = float32(view)
		x.Thrown[i] = float32(m.albedo() * (1 - cosT) / 2)
		x.UVThrown[i] = float32(sky.AlbedoUVDeck * (1 - view)) // all that is not sky throws it back
		c := beam(e, s, i, sinT, cosT)
		x.Beam[i], x.Ratio[i] = float32(c), float32(c/math.Max(s.CosZ[i], sky.PerezLowestCosZ))
		x.Upright[i] = float32(sinT)
	}
	return x
}

func (x *Exposure) under(i int, roof Roof, share, view float64, atWork bool, m Model) {
	if m.FullRoof {
		share = 1
	}
	x.SkyView[i] = float32(view * (1 - share))
	x.Thrown[i], x.UVThrown[i] = float32(passed[roof]), float32(passed[roof])
	if !atWork {
		// h goes with the wind to the power of 0.78.
		x.Forced[i] = float32(math.Pow(roofWind[roof], windPower))
	}
}

// beam is the cosine of incidence: cos z cos t + sin z sin t cos(az − facing).
func beam(e Exposed, s *Sky, i int, sinT, cosT float64) float64 {
	if s.CosZ[i] <= 0 {
		return 0
	}
	sinF, cosF := math.Sincos(e.Facing(i) * math.Pi / 180)
	c := s.Up[i]*cosT + sinT*(s.East[i]*sinF+s.North[i]*cosF)
	if c <= 0 {
		return 0
	}
	for _, sh := range e.Shades {
		if sh.hides(i, s.Elevation[i], s.Azimuth[i]) {
			return 0
		}
	}
	return c
}
