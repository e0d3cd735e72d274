package surface

import (
	"math"

	"dewgap/forecast/air"
	"dewgap/forecast/sky"
)

// Track is one zone of one member through time.
type Track struct {
	Surface []float32 // °C, mean of the slot's end state
	Film    []float32 // g/m² of water at the slot's end
	// Bare is the surface temperature of the same panel kept dry, °C: what a
	// towel leaves. It differs from Surface only while there is water.
	Bare     []float32
	Sunlight []float32 // W/m² on the panel's plane
	UV       []float32 // UV index on the panel's plane
	// Wets tells in which slots water arrives on the zone: rain, driven rain or
	// fog. Known beneath it is the weather's.
	Wets []bool
	// Settled is false while the track still forgets how it was started: its
	// temperature and film are not to be trusted there.
	Settled []bool
	// Doubt tells in which slots water may lie that nobody has seen arrive, rain or
	// dew on a panel open to the sky: after the beginning of the data or a gap,
	// until as much as it holds would have dried.
	Doubt []bool
}

// NewTrack makes room for n slots.
func NewTrack(n int) *Track {
	t := &Track{Wets: make([]bool, n), Settled: make([]bool, n), Doubt: make([]bool, n)}
	block := make([]float32, 5*n)
	for i, c := range []*[]float32{&t.Surface, &t.Film, &t.Bare, &t.Sunlight, &t.UV} {
		*c = block[i*n : (i+1)*n : (i+1)*n]
	}
	return t
}

// Physical constants, SI.
const (
	sigma  = sky.StefanBoltzmann // W/m²K⁴
	kelvin = air.Kelvin

	stepS = SlotMinutes * 60.0
	// fogRate is what fog leaves on a panel, kg/m²s: 30 g/m² in an hour (common
	// practice, no source).
	fogRate = 0.030 / 3600
	// damp is the unseen water below which a panel is dry for all work, kg/m².
	damp = 0.001
	// rainFill is what a wet slot without a stated amount brings, kg/m²s: 0.5 mm
	// in an hour, enough to fill any holding within the hour.
	rainFill = 0.5 / 3600
	// settleS is how long a track needs after a gap before it is trusted, in
	// multiples of its own time constant.
	settle = 4.0
)

func pow4(x float64) float64 { x *= x; return x * x }

func clamp01(x float64) float64 { return max(0, min(1, x)) }

// Run computes the track of a panel under one member's weather. It allocates
// nothing beyond what the track holds already.
func (t *Track) Run(p Panel, x *Exposure, w *Weather, m Model) { t.RunFrom(p, x, w, m, nil) }

// stretch computes the slots [from, to).
func (t *Track) stretch(r *run, from, to int) {
	b, x, w, p, left := &r.balance, r.x, r.w, r.p, r.left
	for i := from; i < to; i++ {
		t.light(i, x, w)
		// Mostly nothing does, which is told here in place of a call.
		t.Wets[i] = (w.Flags[i]&(Fog|Wets) != 0 || x.Sprayed[i]) && wets(i, p.Tilt, x, w)
		if w.Flags[i]&KnownSurface == 0 {
			r.started, left = false, r.wait
			t.Surface[i], t.Film[i], t.Bare[i] = 0, 0, 0
			t.Settled[i], t.Doubt[i] = false, true
			continue
		}
		fresh := !r.started
		if fresh {
			b.start(float64(w.Air[i]))
			r.started = true
		}
		b.load(i, x, w, float64(t.Sunlight[i]), t.Wets[i])
		if x.Wetted[i] && (fresh || w.Flags[i]&KnownRain == 0) {
			b.flood()
		}
		b.step()
		t.keep(i, b)
		t.Settled[i] = left <= 0
		left--
	}
	r.left = left
}

// keep writes down where the balance stands at the end of slot i.
func (t *Track) keep(i int, b *balance) {
	t.Surface[i], t.Film[i] = float32(b.temp-kelvin), float32(b.film*1000)
	t.Bare[i], t.Doubt[i] = float32(b.bare-kelvin), b.unseen > damp
}

// wets reports whether water from above arrives on the panel.
func wets(i int, tilt float64, x *Exposure, w *Weather) bool {
	f := w.Flags[i]
	if f&Fog != 0 || x.Sprayed[i] {
		return true
	}
	if f&Wets == 0 {
		return false
	}
	if x.Wetted[i] || tilt < 45 || tilt > lowestWetted {
		return x.Wetted[i]
	}
	if f&KnownWind == 0 {
		return x.Driven.somewhere()
	}
	return x.Driven.into(float64(w.Wind[i]), float64(w.From[i]), float64(x.Facing[i]))
}

// mostSunlight is more than any panel gets for ten minutes, W/m²: the sun between
// bright clouds (common practice). It holds where what a service states does not go
// with the sun's height, as beam or bright sky when the sun is all but down.
const mostSunlight = 1500

// light puts the slot's sunlight and UV on the panel's plane: beam, sky light
// by Perez et al. 1990 (brighter round the sun and at the horizon) and what water
// and dock throw back.
func (t *Track) light(i int, x *Exposure, w *Weather) {
	global := float64(w.Global[i])
	uv := float64(w.UV[i])
	if global <= 0 && uv <= 0 {
		t.Sunlight[i], t.UV[i] = 0, 0
		return
	}
	beam, ratio, view := float64(x.Beam[i]), float64(x.Ratio[i]), float64(x.SkyLight[i])
	circle := float64(w.Circle[i])
	fromSky := (1-circle)*view + circle*ratio + float64(w.Horizon[i]*x.Upright[i])
	sun := float64(w.Normal[i])*beam + float64(w.Diffuse[i])*max(fromSky, 0) +
		global*float64(x.Thrown[i])
	if sun > mostSunlight {
		sun = mostSunlight
	}
	t.Sunlight[i] = float32(sun)
	straight := float64(w.UVBeam[i])
	t.UV[i] = float32(uv * (straight*ratio + (1-straight)*view + float64(x.UVThrown[i])))
}

// balance is the running state of one panel.
type balance struct {
	steady, linear bool
	p              Panel
	warm, cool     float64 // cube of the natural part of h per kelvin, panel warmer and cooler than air
	mass           float64 // mass transfer over h per kelvin of air temperature
	es             float64 // εσ over all faces
	dt             float64 // s
	capacity       float64 // C/Δt, W/m²K
	through        float64 // U, W/m²K
	faces          float64 // 1, or 2 for a plate
	holding        float64 // kg/m²

	temp, bare, back float64 // K: as it is, were it kept dry, behind the skin
	film             float64 // kg/m²
	unseen, soaked   float64 // kg/m² of water that may lie unseen, and the panel's K under it
	lag              float64 // share of the way that the back goes in a slot

	// Of the slot before, to begin with: what h has beyond the wind's part, W/m²K, how
	// many K a W/m² moves the panel, and the saturated vapour over it in kg/m³.
	calmDry, calmWet float64
	easeDry, easeWet float64
	lastSat          float64

	ta, dew, vapour float64
	forced, forced3 float64 // W/m²K, and its cube
	absorbed        float64 // αG + longwave received, W/m²
	water           float64 // kg/m²s arriving
}

// newBalance prepares the steps of dt seconds.
func newBalance(p Panel, m Model, dt float64) balance {
	b := balance{
		steady: m.Steady, linear: m.LinearConvection, p: p,
		dt: dt, capacity: p.Capacity / dt, through: p.Through, faces: 1, holding: p.HoldingGM2 / 1000,
	}
	if m.Insulated {
		b.through = 0
	}
	if m.Steady {
		b.capacity = 0
	}
	if p.TwoSided && !m.Insulated {
		b.faces = 2
	}
	b.es = p.Emissivity * sigma * b.faces
	// The mass transfer over h is 1/(ρ c Le^⅔), and ρ goes with 1/T.
	b.mass = air.MassTransfer(1, air.StandardPa/air.GasDry) / b.faces
	if !b.linear {
		b.natural(math.Cos(p.Tilt * math.Pi / 180))
	}
	if p.LagH > 0 {
		b.lag = 1 - math.Exp(-dt/3600/p.LagH)
	}
	return b
}

// settleSlots is how many slots pass until the start is forgotten, with the
// coupling of light air (10 W/m²K).
func (b *balance) settleSlots() int {
	if b.steady {
		return 0
	}
	return int(math.Ceil(settle * b.p.Capacity / (10*b.faces + b.through) / stepS))
}

func (b *balance) start(airC float64) {
	b.temp, b.bare, b.back, b.film = airC+kelvin, airC+kelvin, airC+kelvin, 0
	b.unseen = 0
	if b.p.Behind == Fixed {
		b.back = b.p.BackC + kelvin
	}
}

// load takes in the slot's weather.
func (b *balance) load(i int, x *Exposure, w *Weather, sunlight float64, wet bool) {
	airC := float64(w.Air[i])
	b.ta = airC + kelvin
	b.dew = float64(w.Dew[i]) + kelvin
	b.vapour = float64(w.Vapour[i])
	view := float64(x.SkyView[i])
	b.absorbed = b.p.Absorptance*sunlight +
		b.p.Emissivity*(view*float64(w.Longwave[i])+(b.faces-view)*float64(w.Around[i]))
	b.forced = float64(w.Forced[i]) * float64(x.Forced[i])
	b.forced3 = b.forced * b.forced * b.forced
	if b.p.Behind == Lagged {
		b.back += (b.ta - b.back) * b.lag
	}
	b.water = 0
	if wet {
		switch rain := float64(w.Rain[i]) / stepS; {
		case w.Flags[i]&Wets == 0 && !x.Sprayed[i]:
			b.water = fogRate
		case rain > 0 && w.Flags[i]&Wets != 0:
			b.water = rain
		default:
			b.water = rainFill
		}
	}
}
