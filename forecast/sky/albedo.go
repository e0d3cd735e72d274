package sky

import "math"

// Albedos of ground for sunlight, as solar engineering's libraries list them.
const (
	AlbedoSea       = 0.06
	AlbedoConcrete  = 0.30
	AlbedoAsphalt   = 0.12
	AlbedoSand      = 0.40
	AlbedoGrass     = 0.20
	AlbedoUrban     = 0.18
	AlbedoSoil      = 0.17
	AlbedoSnow      = 0.65
	AlbedoFreshSnow = 0.75
)

// Water is the state of a water surface for [Water.Albedo]: the colour
// coefficient c and the wave coefficient r of Dvoracek and Hannabas 1990,
// "Prediction of albedo for use in evapotranspiration and irrigation
// scheduling", ASAE Publication 04-90.
type Water struct{ Colour, Roughness float64 }

// States of inland water.
var (
	WaterCalm      = Water{0.13, 0.29} // clear, no waves
	WaterRippled   = Water{0.16, 0.70} // clear, ripples to 2.5 cm
	WaterRough     = Water{0.23, 1.25} // clear, ripples with occasional whitecaps
	WaterWhitecaps = Water{0.30, 2.0}  // clear, frequent whitecaps
	WaterGreen     = Water{0.22, 0.70} // green, ripples to 2.5 cm
	WaterMuddy     = Water{0.19, 0.29} // muddy, no waves
)

// Albedo gives the water's albedo for sunlight under a sun at an elevation in
// degrees: c^(r sin e + 1), with elevations below 0 taken as 0.
func (w Water) Albedo(elevDeg float64) float64 {
	return math.Pow(w.Colour, w.Roughness*math.Sin(math.Max(elevDeg, 0)*radian)+1)
}
