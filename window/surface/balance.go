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
	b.buoyant, b.stable = cube(9.482/(7.238-a)), cube(1.810/(1.382+a))
	b.looksUp = up >= 0
}

// exchange is h summed over the faces, W/m²K: the wind's part and the natural
// part joined as the cube root of the sum of their cubes (Churchill 1977). A
// plate has one face for each direction.
func (b *balance) exchange(diff float64) float64 {
	if b.linear {
		return b.forced * b.faces
	}
	one, other := b.buoyant, b.stable
	if b.looksUp != (diff >= 0) {
		one, other = other, one
	}
	diff = math.Abs(diff)
	h := cubeRoot(b.forced3 + one*diff)
	if b.faces > 1 {
		h += cubeRoot(b.forced3 + other*diff)
	}
	return h
}

// cubeRoot is the cube root of a positive number to a relative 1e-9: a first
// guess from the exponent bits, then two steps of Halley's method. math.Cbrt
// corrects to the last bit and takes three times as long; this is called
// several times a zone-slot (see BenchmarkTrack).
func cubeRoot(x float64) float64 {
	if x < 1e-12 {
		return 0
	}
	y := math.Float64frombits(math.Float64bits(x)/3 + 0x2A9F7893782DA1CE)
	y3 := y * y * y
	y *= (y3 + 2*x) / (2*y3 + x)
	y3 = y * y * y
	return y * (y3 + 2*x) / (2*y3 + x)
}

// passes of Newton's method: the lagged part is only how h changes with T.
const (
	passes       = 2
	passesSteady = 12
)

// same is how near the wet and the bare panel must come to go on as one, K.
const same = 0.005

// step moves the panel on by one slot.
func (b *balance) step() {
	switch {
	case b.steady:
		b.settle()
	case b.film > 0 || b.water > 0 || math.Abs(b.bare-b.temp) > same:
		b.bare = b.dry(passes, b.bare)
		b.wet(passes)
	default:
		t := b.dry(passes, b.temp)
		if t < b.dew {
			b.wet(passes)
		} else {
			b.temp = t
		}
		b.bare = t
	}
}

// settle is the hand check's step: the dry balance by itself, and a film only
// while water arrives.
func (b *balance) settle() {
	b.temp, b.film = b.dry(passesSteady, b.temp), 0
	b.bare = b.temp
	if b.water > 0 {
		b.film = b.holding
	}
}

// dry solves the balance of a panel without water.
func (b *balance) dry(n int, t0 float64) float64 {
	t, ta, es := t0, b.ta, b.es
	given := b.absorbed + b.through*b.back + b.capacity*t0
	fixed := b.through + b.capacity
	for range n {
		h := b.exchange(t - ta)
		e := es * t * t * t
		f := given - e*t + h*(ta-t) - fixed*t
		t += f / (4*e + h*4/3 + fixed)
	}
	return t
}

// wet solves the balance together with the film's: what evaporates takes its
// heat from the panel, and no more can go than is there.
func (b *balance) wet(n int) {
	flux := b.solveWet(n+1, b.film/stepS+b.water)
	b.film = math.Min(math.Max(b.film+(b.water-flux)*stepS, 0), b.holding)
}

// settleWet is the flux from a film that lasts, once the panel has settled.
func (b *balance) settleWet() float64 { return b.solveWet(6, math.Inf(1)) }

// solveWet moves the temperature on with a film from which at most most kg/m²s
// may evaporate, and gives the flux.
func (b *balance) solveWet(n int, most float64) (flux float64) {
	t, ta := b.temp, b.ta
	given := b.absorbed + b.through*b.back + b.capacity*t
	fixed := b.through + b.capacity
	mass := gasDry * ta / (airCp * lewis23 * stdPa * b.faces)
	for range n {
		h := b.exchange(t - ta)
		var slope float64
		flux, slope = b.evaporation(t, h*mass, most)
		l := air.LatentHeat(t - kelvin)
		e := b.es * t * t * t
		f := given - e*t + h*(ta-t) - fixed*t - l*flux
		t += f / (4*e + h*4/3 + fixed + l*slope)
	}
	b.temp = t
	return flux
}

// evaporation is the film's flux by the Lewis relation with the mass transfer
// hm in m/s, kg/m²s (negative: dew forms), and how it changes with the panel's
// temperature.
func (b *balance) evaporation(t, hm, most float64) (flux, slope float64) {
	c := t - kelvin
	sat := air.SaturationPressure(c) / (gasVap * t)
	flux = hm * (sat - b.vapour)
	if flux >= most {
		return most, 0
	}
	// d(es/RvT)/dT = es/RvT · (17.625·243.04/(243.04+t)² − 1/T)
	d := 243.04 + c
	return flux, hm * sat * (17.625*243.04/(d*d) - 1/t)
}
