package crew

import "math"

// exposure is a WBGT input in kelvin, with the parts of both heat balances that
// do not change while they are solved.
type exposure struct {
	air, pressure, wind  float64 // K, hPa, m/s at 2 m
	vapour               float64 // partial pressure, hPa
	direct               float64 // share of the sunlight
	level, beamLevel     float64 // sunlight on the level, and the beam's part of it, W/m²
	beamNormal, beamSide float64 // beam across its own direction, and on an upright wall, W/m²
	longwave             float64 // mean of sky and ground, W/m²
}

func newExposure(in WBGTInput) exposure {
	e := exposure{
		air: in.AirC + kelvin, pressure: in.PressureHPa, wind: in.windAt2M(), level: in.SolarWM2,
	}
	e.vapour = math.Max(in.HumidityPct, 0.1) / 100 * saturation(e.air)
	emissivity := 0.575 * math.Pow(e.vapour, 0.143)
	e.longwave = 0.5 * stefan * (emissivity + groundEmit) * fourth(e.air)
	e.beam(in)
	return e
}

// beam splits the sunlight. The sun never shines brighter than outside the
// atmosphere, whatever share a caller gives to a sun on the horizon.
func (e *exposure) beam(in WBGTInput) {
	if in.CosZenith < minCosZen {
		return
	}
	e.direct = in.DirectFraction
	if !in.HasDirectFraction {
		distance := in.SunDistanceAU
		if distance == 0 {
			distance = 1
		}
		e.direct = DirectFraction(in.SolarWM2, in.CosZenith, distance)
	}
	e.beamNormal = math.Min(e.direct*e.level/in.CosZenith, solarC)
	e.beamLevel = e.beamNormal * in.CosZenith
	e.beamSide = e.beamNormal * math.Sqrt(math.Max(0, 1-in.CosZenith*in.CosZenith))
	if e.level > 0 {
		e.direct = math.Min(1, e.beamLevel/e.level)
	}
}

// globe solves the heat balance of the black globe (Liljegren 2008), K:
// absorbed sunlight and longwave against its own radiation and convection. Its
// temperature lies between that of the air and that of radiation alone.
func (e *exposure) globe() float64 {
	sun := (1 - globeAlbedo) / 2 *
		(e.beamNormal/2 + e.level - e.beamLevel + groundAlb*e.level)
	gain := sun + globeEmit*e.longwave
	radiant := math.Sqrt(math.Sqrt(gain / (globeEmit * stefan)))
	loss := func(t float64) float64 {
		return globeEmit*stefan*fourth(t) + e.sphere(0.5*(t+e.air))*(t-e.air) - gain
	}
	return root(loss, math.Min(radiant, e.air), math.Max(radiant, e.air))
}

// wickRadiation is what the wick takes up of sunlight and longwave, W/m²
// (Liljegren 2008).
func (e *exposure) wickRadiation() float64 {
	end := 0.25 * wickD / wickL // the wick's top beside its side
	sun := (1 - wickAlbedo) * ((e.level-e.beamLevel)*(1+end) +
		e.beamSide/math.Pi + e.beamLevel*end + groundAlb*e.level)
	return sun + wickEmit*e.longwave
}

// wick solves the heat balance of a wet wick (Liljegren 2008), K. A gain of 0
// leaves radiation out and gives the psychrometric wet bulb. At the lower end of
// the bracket the wick can only warm, at the upper end only cool.
func (e *exposure) wick(gain float64) float64 {
	radiant := e.air
	if gain > 0 {
		radiant = math.Sqrt(math.Sqrt(gain / (wickEmit * stefan)))
	}
	excess := func(t float64) float64 { return e.wickExcess(t, gain) }
	if excess(e.air) >= 0 {
		dew := saturationInverse(e.vapour)
		return root(excess, math.Min(dew, radiant), e.air)
	}
	boiling := saturationInverse(0.98 * e.pressure)
	return root(excess, e.air, math.Min(math.Max(radiant, e.air), boiling))
}

// wickExcess is by how many kelvin a wick at t K is warmer than evaporation and
// the radiation that it gains, W/m², would have it.
func (e *exposure) wickExcess(t, gain float64) float64 {
	tref := 0.5 * (t + e.air)
	density := e.pressure * 100 / (gasAir * tref)
	mu := viscosity(tref)
	schmidt := mu / (density * diffusivity(tref, e.pressure))
	wet := saturation(t)
	cooling := vaporisation(tref) / (cpAir * molAir / molWater) *
		(wet - e.vapour) / (e.pressure - wet) * math.Pow(prandtl/schmidt, 0.56)
	x := t - e.air + cooling
	if gain > 0 {
		x -= (gain - wickEmit*stefan*fourth(t)) / cylinder(density*e.wind*wickD/mu, mu)
	}
	return x
}

// root finds where f, at most 0 at lo and at least 0 at hi, crosses zero, to
// 0.001: Chandrupatla 1997, "A new hybrid quadratic/bisection algorithm for
// finding the zero of a nonlinear function without using derivatives", Adv. Eng.
// Software 28, 145–149. It always ends and stays inside the bracket.
func root(f func(float64) float64, lo, hi float64) float64 {
	const tolerance = 0.001
	b, a := lo, hi
	fb, fa := f(b), f(a)
	var c, fc float64
	t := 0.5
	for range 60 {
		x := a + t*(b-a)
		fx := f(x)
		if (fx > 0) == (fa > 0) {
			c, fc = a, fa
		} else {
			c, fc, b, fb = b, fb, a, fa
		}
		a, fa = x, fx
		best := a
		if math.Abs(fb) < math.Abs(fa) {
			best = b
		}
		limit := tolerance / math.Max(math.Abs(b-a), tolerance)
		if limit > 0.5 || fx == 0 {
			return best
		}
		t = math.Min(math.Max(step(a, b, c, fa, fb, fc), limit), 1-limit)
	}
	return a
}

// step is the share of the way from a to b at which root looks next: by inverse
// quadratic interpolation where that is safe, else the middle.
func step(a, b, c, fa, fb, fc float64) float64 {
	xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
	if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
		return fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
	}
	return 0.5
}

// prandtl is the Prandtl number of air, from the kinetic theory of gases.
const prandtl = cpAir / (cpAir + 1.25*gasAir)

// sphere is the heat transfer coefficient of the globe in W/(m² K) at the film
// temperature t K: Nu = 2 + 0.6 Re^½ Pr^⅓ (Bird, Stewart and Lightfoot).
func (e *exposure) sphere(t float64) float64 {
	mu := viscosity(t)
	re := e.wind * globeD * e.pressure * 100 / (gasAir * t * mu)
	return (2 + 0.6*math.Sqrt(re)*spherePr) * conductivity(mu) / globeD
}

// Powers of the Prandtl number that the two correlations use.
var (
	spherePr   = math.Pow(prandtl, 1.0/3)
	cylinderPr = math.Pow(prandtl, 0.44)
)

// cylinder is the heat transfer coefficient of the wick in W/(m² K) at the
// Reynolds number re in air of the viscosity mu: Nu = 0.281 Re^0.6 Pr^0.44
// (Bedingfield and Drew).
func cylinder(re, mu float64) float64 {
	return 0.281 * math.Pow(re, 0.6) * cylinderPr * conductivity(mu) / wickD
}

// viscosity of air in kg/(m s) at t K (Bird, Stewart and Lightfoot, by the
// Lennard-Jones potential; the collision integral as a straight line).
func viscosity(t float64) float64 {
	omega := (t/97-2.9)/0.4*-0.034 + 1.048
	return 2.6693e-6 * math.Sqrt(molAir*t) / (3.617 * 3.617 * omega)
}

// conductivity of air in W/(m K) at the viscosity mu.
func conductivity(mu float64) float64 { return (cpAir + 1.25*gasAir) * mu }

// diffusivity of water vapour in air in m²/s at t K and p hPa (Bird, Stewart and
// Lightfoot, by critical temperatures 132 and 647.3 K and pressures 36.4 and
// 218 atm).
func diffusivity(t, p float64) float64 {
	return diffusivityFactor * math.Pow(t, 2.334) / (p / 1013.25)
}

// diffusivityFactor is everything in diffusivity that does not change.
var diffusivityFactor = 3.640e-4 * 1e-4 * math.Pow(132*647.3, -2.334/2) *
	math.Pow(36.4*218, 1.0/3) * math.Pow(132*647.3, 5.0/12) * math.Sqrt(1/molAir+1/molWater)

// vaporisation is the heat of vaporisation of water in J/kg at t K, as the
// reference program has it: right at 40 °C, but falling instead of rising towards
// the cold (2 % low at 30 °C, 6 % at 10 °C). It is kept, for the published results
// contain it; the true slope lowers the WBGT by 0.06 K at 30 °C, by 0.2 K at 10.
func vaporisation(t float64) float64 { return (313.15-t)/30*-71100 + 2.4073e6 }

// saturation is the vapour pressure of water in hPa at t K, with the
// enhancement of moist air (Buck 1981).
func saturation(t float64) float64 {
	return 1.004 * 6.1121 * math.Exp(17.502*(t-kelvin)/(t-32.18))
}

// saturationInverse is the temperature in K at which saturation is e hPa.
func saturationInverse(e float64) float64 {
	z := math.Log(e / (1.004 * 6.1121))
	return kelvin + (kelvin-32.18)*z/(17.502-z)
}

func fourth(x float64) float64 { return x * x * x * x }
