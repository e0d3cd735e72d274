package surface

import (
	"math"

	"dewgap/forecast/air"
	"dewgap/forecast/power"
)

// windPower is the power of the wind in forced convection outdoors.
const windPower = 0.78

var windEffect = power.New(windPower)

// forcedConvection is the part of h that the wind makes, W/m²K: as a straight
// line with its own calm share (Watmuff, Charters & Proctor 1977: 2.8 + 3 v), or
// alone, for a rough outdoor plate (Emmel, Abadie & Mendes 2007, roof:
// 5.11 v^0.78).
func forcedConvection(wind float64, linear bool) float64 {
	if linear {
		return 2.8 + 3*wind
	}
	return 5.11 * windEffect.Of(max(wind, 0))
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

// natural3 is the cube of the natural part of h of a face, diff K warmer than the air.
func (b *balance) natural3(diff float64) float64 {
	if diff < 0 {
		return -b.cool * diff
	}
	return b.warm * diff
}

// behind adds to the exchange of a plate's front that of its back, which looks the other
// way.
func (b *balance) behind(diff, top, under, slope float64) (_, _, _ float64) {
	top2, under2, slope2 := joined(b.forced3, b.natural3(-diff))
	return top*under2 + top2*under, under * under2, slope*under2 + slope2*under
}

// joined is h, W/m²K, as top over under, and as slope over under the derivative of h·ΔT by
// ΔT: the wind's part and the natural part, which is proportional to ΔT, joined as the cube
// root of the sum of their cubes (Churchill 1977). A balance divides by under once, with all
// else that it divides, for each step has to wait for every division of the one before: 4 ns
// a zone-slot.
func joined(forced3, natural3 float64) (top, under, slope float64) {
	sum := forced3 + 1e-9 + natural3 // air is never quite still
	top, under = cubeRoot(sum)
	return top, under, top * (1 + natural3/(3*sum))
}

// cubeRoot is the cube root of a positive number to a relative 3e-5, as top over under,
// which is 0.01 W/m² of convection at most: a first guess from the exponent's bits and one
// step of Halley's method. math.Cbrt takes five times as long, and this is called
// twice a zone-slot (see BenchmarkTrack).
func cubeRoot(x float64) (top, under float64) {
	y := math.Float64frombits(math.Float64bits(x)/3 + 0x2A9F7893782DA1CE)
	y3 := y * y * y
	return y * (y3 + 2*x), 2*y3 + x
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
	t, ta, es, h := t0, b.ta, b.es, b.calmDry+b.forced*b.faces
	given := b.absorbed + b.through*b.back
	// What the panel itself holds at t0 it neither gives nor takes yet.
	step := (given + h*ta - (h+b.through+es*t*(t*t))*t) * b.easeDry
	given += b.capacity * t0
	fixed := b.through + b.capacity
	for range mostPasses {
		t += step
		top, under, slope := joined(b.forced3, b.natural3(t-ta))
		if b.faces > 1 {
			top, under, slope = b.behind(t-ta, top, under, slope)
		}
		e := es * t * (t * t)
		open := (given-(fixed+e)*t)*under + top*(ta-t)
		once := 1 / ((fixed+4*e)*under + slope)
		step = open * once
		b.calmDry, b.easeDry = top/under-b.forced*b.faces, under*once
		if step < settled && step > -settled {
			break
		}
	}
	return t + step
}

// wet solves the balance together with the film's: what evaporates takes its
// heat from the panel, and no more can go than is there.
func (b *balance) wet() {
	flux := b.solveWet(b.film/b.dt + b.water)
	switch film := b.film + (b.water-flux)*b.dt; {
	case film < 0:
		b.film = 0
	case film > b.holding:
		b.film = b.holding
	default:
		b.film = film
	}
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
	t, ta, es, h := b.temp, b.ta, b.es, b.calmWet+b.forced*b.faces
	given := b.absorbed + b.through*b.back
	latent := air.LatentHeat(t - kelvin)
	each, limit := latent*b.mass*ta, latent*most // W/m² with the vapour, over h and at most
	taken := h * each * (b.lastSat - b.vapour)
	if taken > limit {
		taken = limit
	}
	step := (given + h*ta - taken - (h+b.through+es*t*(t*t))*t) * b.easeWet
	if step > stride || step < -stride { // what was is no guide
		step = 0
	}
	given += b.capacity * t
	fixed := b.through + b.capacity
	between := bracket{coldestK, hottestK}
	var grows, once, open, under, top, slope, sat, steep float64
	for k := range mostPasses {
		t += step
		sat, steep = air.SaturatedDensity(t - kelvin)
		top, under, slope = joined(b.forced3, b.natural3(t-ta))
		if b.faces > 1 {
			top, under, slope = b.behind(t-ta, top, under, slope)
		}
		taken, grows = top*each*(sat-b.vapour), top*each*steep*sat
		if all := limit * under; taken >= all {
			taken, grows = all, 0
		}
		e := es * t * (t * t)
		open = (given-(fixed+e)*t)*under + top*(ta-t) - taken
		once = 1 / ((fixed+4*e)*under + slope + grows)
		step = open * once
		if k >= freePasses || step > stride || step < -stride {
			step = between.limit(t, open, step)
		}
		if step < settledWet && step > -settledWet {
			break
		}
	}
	b.temp, b.lastSat = t+step, sat
	b.calmWet, b.easeWet = top/under-b.forced*b.faces, under*once
	if flux = (taken + grows*step) / (latent * under); flux > most {
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
