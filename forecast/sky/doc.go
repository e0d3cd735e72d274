// Package sky computes what comes down from above: the position of the sun,
// sunlight and how the sky spreads it, longwave from clear and clouded sky, and
// ultraviolet light.
//
// # Conventions
//
// Angles are in degrees unless a name begins with Cos. Elevation is
// above the horizon, azimuth clockwise from true north. Irradiances are in W/m²,
// cloud is a fraction from 0 to 1. DNI is the direct beam across its own direction,
// DHI the diffuse and GHI the whole irradiance of the level.
//
// Everything is pure and allocates nothing. Missing data are the caller's
// affair: no function returns NaN for inputs in the stated ranges.
package sky

import "math"

const (
	radian = math.Pi / 180
	degree = 180 / math.Pi
)

// clamp01 limits x to 0..1.
func clamp01(x float64) float64 { return min(max(x, 0), 1) }
