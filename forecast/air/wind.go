package air

import "math"

// Roughness lengths in m for [WindAt].
const (
	RoughnessWater  = 0.0002 // open water
	RoughnessGrass  = 0.03   // open flat grass, the exposure of a weather station
	RoughnessHedges = 0.1    // low crops, few obstacles
	RoughnessSuburb = 0.5    // bushes, scattered buildings
	RoughnessYard   = 1.0    // among hulls on stands and sheds
)

// WindAt moves the wind speed v (any unit) from the height fromZ to the height
// toZ by the logarithmic law v ln(toZ/z0)/ln(fromZ/z0), with the roughness
// length z0; all three in m, fromZ above z0 above 0. It holds for neutral air
// over even ground. At or below z0 there is no wind: toZ there gives 0.
func WindAt(v, fromZ, toZ, z0 float64) float64 {
	if toZ <= z0 {
		return 0
	}
	return v * math.Log(toZ/z0) / math.Log(fromZ/z0)
}

// EquivalentHours gives how many hours at 20 °C one hour at tC °C is worth to a
// reaction whose rate doubles every halvesPerK kelvin: 2^((t−20)/k). The
// halvesPerK is the warming that halves the time, 10 by common practice; it must
// be above 0.
func EquivalentHours(tC, halvesPerK float64) float64 {
	return math.Exp2((tC - 20) / halvesPerK)
}
