package air

import "math"

// Coefficients of the psychrometric equation over liquid water, kJ/kg and
// kJ/(kg K): ASHRAE Fundamentals 2017, ch. 1, eq. 33.
const (
	latent0    = 2501.0
	latentWick = 2.326
	capAir     = 1.006
	capVapour  = 1.86
	capWater   = 4.186
)

// wetBulbStep ends the iteration of WetBulb once it moves by less, K.
const wetBulbStep = 1e-6

// WetBulb gives the thermodynamic wet-bulb temperature in °C of air at tC °C
// with a relative humidity of rhPct % over water, at the pressure pHPa hPa. It
// solves the psychrometric equation (ASHRAE Fundamentals 2017, ch. 1, eq. 33)
// for an unfrozen wick; below 0 °C that is supercooled water, which reads some
// tenths of a kelvin off an iced wick. Humidity is limited to 0.1 to 100 %. The
// result lies between the dew point and the air temperature.
func WetBulb(tC, rhPct, pHPa float64) float64 {
	if rhPct >= 100 {
		return tC
	}
	p := 100 * pHPa
	lo, hi := DewPoint(tC, rhPct), tC
	w := HumidityRatio(SaturationPressure(tC)*math.Max(rhPct, lowestRH)/100, p)
	// Newton from above: the residual is convex and rises with the wet bulb, so
	// the steps come down on the root from one side; the bracket only guards.
	x := hi
	for range 50 {
		f, slope := psychrometer(tC, x, w, p)
		next := math.Min(math.Max(x-f/slope, lo), hi)
		if math.Abs(next-x) < wetBulbStep {
			return next
		}
		x = next
	}
	return x
}

// psychrometer gives how far the wet bulb x is off for air at t with humidity
// ratio w at pressure p (positive: x is too warm), and the slope of that.
func psychrometer(t, x, w, p float64) (residual, slope float64) {
	ps := SaturationPressure(x)
	ws := HumidityRatio(ps, p)
	dws := MassRatio * p / ((p - ps) * (p - ps)) * SaturationSlope(x)
	l := latent0 - latentWick*x
	residual = l*ws - capAir*(t-x) - w*(latent0+capVapour*t-capWater*x)
	slope = l*dws - latentWick*ws + capAir + w*capWater
	return residual, slope
}
