package window

import (
	"math"

	"dewgap/products"
)

// Wind above which a film hazes quicker, m/s, and by what (common practice).
const (
	breezeMS     = 4
	breezeFactor = 0.8
)

// HazeFactor is how much longer than given, at 20 °C, a class hazes on a surface of
// so many °C in air of a humidity, %, and a wind, m/s: 2^((20−T)/k), k the kelvin that
// halve the time. Damp air slows what dries rather than reacts, and wind quickens it
// (common practice). What is not known changes nothing.
func HazeFactor(c *products.Class, surface, humidity, wind Value) float64 {
	factor := 1.0
	if c.HalvesPerK > 0 && surface.Known {
		factor = math.Exp2((20 - surface.V) / c.HalvesPerK)
	}
	if c.HazeInDamp && humidity.Known {
		factor *= hazeInDamp(humidity.V)
	}
	if c.HazeInDamp && wind.Known && wind.V > breezeMS {
		factor *= breezeFactor
	}
	return factor
}

// hazeInDamp is 1 to 60 % of humidity, 1.5 at 80, 2 at 90, straight lines between, 2
// above (common practice).
func hazeInDamp(humidity float64) float64 {
	switch {
	case humidity <= 60:
		return 1
	case humidity <= 80:
		return 1 + 0.5*(humidity-60)/20
	}
	return min(2, 1.5+0.5*(humidity-80)/10)
}
