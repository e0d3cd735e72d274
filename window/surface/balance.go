package surface

import (
	"math"

	"dewgap/forecast/air"
)

// windPower is the power of the wind in forced convection outdoors.
const windPower = 0.78

// forcedConvection is the part of h that the wind makes, W/m²K: as a straight
// line with its own calm share (Watmuff, Charters & Proctor 1977: 2.8 + 3 v), or
// alone, for a rough outdoor plate (Emmel, Abadie & Mendes 2007, roof:
// 5.11 v^0.78).
func forcedConvection(wind float64, linear bool) float64 {
	if linear {
		return 2.8 + 3*wind
	}
	if wind <= 0 {
		return 0
	}
	return 5.11 * math.Exp(windPower*math.Log(wind)) // as quick again as math.Pow
}

// natural sets how a face's natural convection grows with the temperature
// difference, by the cosine of its tilt: h³ per kelvin after Walton 1983 (as
// TARP): 9.482 ΔT^⅓/(7.238 − |cos|) where the warm side looks up or the face is
// upright, 1.810 ΔT^⅓/(1.382 + |cos|) where it looks down.
func (b *balance) natural(up float64) {
	cube := func(x float64) float64 { return x * x * x }
	a := math.Abs(up)
	b.warm, b.cool = cube(9.482/(7.238-a)), cube(1.810/(1.382+a))
	if up < 0 {
		b.warm, b.cool = b.cool, b.warm
	}
}

// exchange is h summed over the faces, W/m²K, with the derivative of h·ΔT by ΔT:
// the wind's part and the natural part joined as the cube root of the sum of
// their cubes (Churchill 1977). A plate has one face for each direction.
func (b *balance) exchange(diff float64) (h, slope float64) {
	one, other := b.warm, b.cool
	if diff < 0 {
		diff, one, other = -diff, other, one
	}
	h, slope = joined(b.forced3, one*diff)
	if b.faces > 1 {
		h2, slope2 := joined(b.forced3, other*diff)
		h, slope = h+h2, slope+slope2
	}
	return h, slope
}

// joined is h from the cubes of its forced and its natural part, the latter
// proportional to ΔT, with the derivative of h·ΔT.
func joined(forced3, natural3 float64) (h, slope float64) {
	sum := forced3 + natural3 + 1e-9 // air is never quite still
	h = cubeRoot(sum)
	return h, h * (1 + natural3/(3*sum))
}

// cubeRoot is the cube root of a positive number to a relative 3e-5, which is
// 0.01 W/m² of convection at most: a first guess from the exponent's bits and one
// step of Halley's method. math.Cbrt takes five times as long, and this is called
// twice a zone-slot (see BenchmarkTrack).
func cubeRoot(x float64) float64 {
	y := math.Float64frombits(math.Float64bits(x)/3 + 0x2A9F7893782DA1CE)
	y3 := y * y * y
	return y * (y3 + 2*x) / (2*y3 + x)
}

// Newton's method stops once a step is shorter than settled, K, on a wet panel
// settledWet, for its slope is less exact: that leaves less than 0.1 W/m² of the
// balance open, on a wet one less than 0.5. Slow weather needs two steps.
const (
	mostPasses = 20
	settled    = 0.03
	settledWet = 0.02
)

// No panel outdoors is colder or hotter, K.
const (
	coldestK = 150.0
	hottestK = 500.0
)

// same is how near the wet and the bare panel must come to go on as one, K.
const same = 0.005

// step moves the panel on by one slot.
func (b *balance) step() {
	if b.unseen > 0 {
		b.drain()
	}
	switch {
	case b.steady:
		b.settle()
	case b.film > 0 || b.water > 0 || math.Abs(b.bare-b.temp) > same:
		b.bare = b.dry(b.bare)
		b.wet()
	default:
		t := b.dry(b.temp)
		if t < b.dew {
			b.wet()
		} else {
			b.temp = t
		}
		b.bare = t
	}
}

// flood begins to reckon with as much unseen water as the panel holds. The hand
// check keeps no film, so it has none to reckon with.
func (b *balance) flood() {
	if !b.steady {
		b.unseen, b.soaked = b.holding, b.temp
	}
}

// drain moves the unseen water on by one slot, on a panel of its own, for it
// cools what it lies on.
func (b *balance) drain() {
	temp, film := b.temp, b.film
	b.temp, b.film = b.soaked, b.unseen
	b.wet()
	b.soaked, b.unseen = b.temp, b.film
	b.temp, b.film = temp, film
	if b.unseen <= b.film { // all of it is seen by now
		b.unseen = 0
	}
}

// settle is the hand check's step: the dry balance by itself, and a film only
// while water arrives.
func (b *balance) settle() {
	b.temp, b.film = b.dry(b.temp), 0
	b.bare = b.temp
	if b.water > 0 {
		b.film = b.holding
	}
}

// dry solves the balance of a panel without water. A first step goes by the
// slope of the slot before, which costs neither root nor division; Newton's method
// goes on from there.
func (b *balance) dry(t0 float64) float64 {
	t, ta, es := t0, b.ta, b.es
	given := b.absorbed + b.through*b.back + b.capacity*t0
	fixed := b.through + b.capacity
	h := b.lastDry
	e := es * t * (t * t)
	step := (given - (e+h+fixed)*t + h*ta) * b.easeDry
	for range mostPasses {
		t += step
		var slope float64
		h, slope = b.exchange(t - ta)
		e = es * t * (t * t)
		b.easeDry = 1 / (4*e + slope + fixed)
		step = (given - fixed*t - e*t + h*(ta-t)) * b.easeDry
		if step < settled && step > -settled {
			break
		}
	}
	b.lastDry = h
	return t + step
}

// wet solves the balance together with the film's: what evaporates takes its
// heat from the panel, and no more can go than is there.
func (b *balance) wet() {
	flux := b.solveWet(b.film/b.dt + b.water)
	b.film = min(max(b.film+(b.water-flux)*b.dt, 0), b.holding)
}

// settleWet is the flux from a film that lasts, once the panel has settled.
func (b *balance) settleWet() float64 { return b.solveWet(math.Inf(1)) }

// solveWet moves the temperature on with a film from which at most most kg/m²s
// may evaporate by the Lewis relation, and gives the flux (negative: dew forms).
// The first step goes by slope and vapour of the slot before, as in dry. How h
// itself moves the flux is left out of the slope, which it would turn round where
// a panel in still air is hardly colder than the air. Branches stand where min
// would do, here and in light, for min has to be waited for: 3 ns a zone-slot.
func (b *balance) solveWet(most float64) (flux float64) {
	t, ta := b.temp, b.ta
	given := b.absorbed + b.through*b.back + b.capacity*t
	fixed := b.through + b.capacity
	mass, latent := b.mass*ta, air.LatentHeat(t-kelvin)
	h, sat, steep, slope, grows := b.lastWet, b.lastSat, 0.0, 0.0, 0.0
	e := b.es * t * (t * t)
	if flux = h * mass * (sat - b.vapour); flux > most {
		flux = most
	}
	step := (given - (e+h+fixed)*t + h*ta - latent*flux) * b.easeWet
	if step > stride || step < -stride { // what was is no guide
		step = 0
	}
	between := bracket{coldestK, hottestK}
	for k := range mostPasses {
		t += step
		sat, steep = air.SaturatedDensity(t - kelvin)
		h, slope = b.exchange(t - ta)
		hm := h * mass
		flux = hm * (sat - b.vapour)
		grows = hm * sat * steep
		if flux >= most {
			flux, grows = most, 0
		}
		e = b.es * t * (t * t)
		f := given - fixed*t - e*t + h*(ta-t) - latent*flux
		b.easeWet = 1 / (4*e + slope + fixed + latent*grows)
		step = f * b.easeWet
		if k >= freePasses || step > stride || step < -stride {
			step = between.limit(t, f, step)
		}
		if step < settledWet && step > -settledWet {
			break
		}
	}
	b.temp, b.lastWet, b.lastSat = t+step, h, sat
	if flux += grows * step; flux > most {
		return most
	}
	return flux
}

// Newton's method may go where it likes for a few passes, which are seldom spent,
// by steps of up to a stride, K.
const (
	freePasses = 3
	stride     = 20.0
)

// bracket holds the answer of a balance between two temperatures, K.
type bracket struct{ low, high float64 }

// limit takes in that the balance is open by f at t, and gives the step to go: the
// balance falls with t, so its sign bounds the answer, and a step that leaves the
// bounds, as where the film runs out within it, is halved there.
func (r *bracket) limit(t, f, step float64) float64 {
	if f > 0 {
		r.low = max(r.low, t)
	} else {
		r.high = min(r.high, t)
	}
	if next := t + step; next <= r.low || next >= r.high {
		return (r.low+r.high)/2 - t
	}
	return step
}
