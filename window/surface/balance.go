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
	return 5.11 * math.Pow(wind, windPower)
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

// Newton's method stops once a step is shorter than settled, K, which leaves
// less than 0.1 W/m² of the balance open; slow weather needs two passes.
const (
	mostPasses = 20
	settled    = 0.03
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

// dry solves the balance of a panel without water.
func (b *balance) dry(t0 float64) float64 {
	t, ta, es := t0, b.ta, b.es
	given := b.absorbed + b.through*b.back + b.capacity*t0
	fixed := b.through + b.capacity
	h, slope := b.lastDry, b.lastDry
	for k := range mostPasses {
		if k > 0 {
			h, slope = b.exchange(t - ta)
		}
		e := es * t * t * t
		f := given - e*t + h*(ta-t) - fixed*t
		step := f / (4*e + slope + fixed)
		t += step
		if k > 0 && step < settled && step > -settled {
			break
		}
	}
	b.lastDry = h
	return t
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
func (b *balance) solveWet(most float64) (flux float64) {
	t, ta := b.temp, b.ta
	given := b.absorbed + b.through*b.back + b.capacity*t
	fixed := b.through + b.capacity
	mass := b.mass * ta
	// Saturated vapour at the start; between the passes it follows the
	// exponential series, so that one exponential a slot is enough.
	sat, steep := air.SaturatedDensity(t - kelvin)
	latent := air.LatentHeat(t - kelvin)
	low, high := coldestK, hottestK
	h, slope := b.lastWet, b.lastWet
	for k := range mostPasses {
		if k > 0 {
			h, slope = b.exchange(t - ta)
		}
		hm := h * mass
		flux = hm * (sat - b.vapour)
		grows := hm * sat * steep
		if flux >= most {
			flux, grows = most, 0
		}
		e := b.es * t * t * t
		f := given - e*t + h*(ta-t) - fixed*t - latent*flux
		// The balance falls with t, so its sign bounds the answer: a step that
		// leaves the bounds, as where the film runs out within it, is halved there.
		// The first pass, with the h of the slot before, bounds nothing.
		if k > 0 {
			if f > 0 {
				low = t
			} else {
				high = t
			}
		}
		next := t + f/(4*e+slope+fixed+latent*grows)
		if next <= low || next >= high {
			next = (low + high) / 2
		}
		step := next - t
		t = next
		if k > 0 && step < settled && step > -settled {
			break
		}
		if x := steep * step; x > -0.5 && x < 0.5 {
			sat *= 1 + x*(1+x*(0.5+x*(1.0/6+x/24)))
		} else {
			sat, steep = air.SaturatedDensity(t - kelvin)
		}
	}
	b.temp, b.lastWet = t, h
	return min(flux, most)
}
