package sky

import (
	"math"

	"dewgap/forecast/power"
)

// solarConstant is the mean irradiance above the atmosphere in W/m² that
// [Extraterrestrial] scales.
const solarConstant = 1366.1

// Extraterrestrial gives the irradiance in W/m² across the beam above the
// atmosphere on a day of the year, 1 to 366: Spencer 1971, Fourier series of the
// sun's position, Search 2 (5), 172, with the solar constant 1366.1.
func Extraterrestrial(dayOfYear int) float64 {
	sin1, cos1 := math.Sincos(2 * math.Pi * float64(dayOfYear-1) / 365)
	sin2, cos2 := 2*sin1*cos1, 1-2*sin1*sin1
	return solarConstant * (1.00011 + 0.034221*cos1 + 0.00128*sin1 + 0.000719*cos2 + 0.000077*sin2)
}

// The clear-sky law of Haurwitz 1945: haurwitzScale·c·exp(−haurwitzDepth/c) with
// c the cosine of the zenith angle.
const (
	haurwitzScale = 1098.0 // W/m²
	haurwitzDepth = 0.059
)

// Haurwitz gives the global irradiance of the level in W/m² under a clear sky
// for the cosine of the zenith angle; 0 without sun. Haurwitz 1945, J. Meteor.
// 2, 154–166, in the form of Reno, Hansen and Stein 2012, SAND2012-2389.
func Haurwitz(cosZ float64) float64 { return HaurwitzThrough(cosZ, haurwitzDepth) }

// HaurwitzThrough is [Haurwitz] in air of another optical depth than its own 0.059, such
// as the 0.057 of the trade's hand checks.
func HaurwitzThrough(cosZ, depth float64) float64 {
	if cosZ <= 0 {
		return 0
	}
	return haurwitzScale * cosZ * math.Exp(-depth/cosZ)
}

// airMass gives the relative optical air mass at an apparent zenith angle in
// degrees: Kasten and Young 1989, Appl. Opt. 28, 4735–4738. Angles beyond 90°
// are taken as 90°, where it is 37.92.
func airMass(zenithDeg float64) float64 {
	z := math.Min(math.Abs(zenithDeg), 90)
	return 1 / (math.Cos(z*radian) + 0.50572*math.Pow(96.07995-z, -1.6364))
}

// Kasten and Czeplak 1980, Solar Energy 24, 177–189.
const (
	cloudLoss  = 0.75
	cloudPower = 3.4
)

// CloudFactor gives the share of the clear sky's global irradiance that is left
// under a cloud fraction from 0 to 1 (limited to that): 1 − 0.75 N^3.4, Kasten
// and Czeplak 1980.
func CloudFactor(cloudFraction float64) float64 {
	return EffectiveCloudFactor(EffectiveCloud(cloudFraction))
}

// EffectiveCloudFactor is [CloudFactor] from an [EffectiveCloud] that is known already.
func EffectiveCloudFactor(effective float64) float64 { return 1 - cloudLoss*effective }

// EffectiveCloud gives the share of overcast's effect that a cloud fraction from
// 0 to 1 (limited to that) has: N^3.4, the shape that Kasten and Czeplak 1980
// found for global irradiance. Scattered cloud counts for less than its area.
func EffectiveCloud(cloudFraction float64) float64 { return cloudEffect.Of(clamp01(cloudFraction)) }

var cloudEffect = power.New(cloudPower)

// CloudFromClearness gives the cloud fraction from 0 to 1 that makes
// [CloudFactor] the measured share of the clear sky's global irradiance.
// Clearness at or above 1 gives 0, at or below 0.25 gives 1. Means over an hour
// serve better than moments, in which broken cloud is either on or off.
func CloudFromClearness(clearness float64) float64 {
	return math.Pow(clamp01((1-clearness)/cloudLoss), 1/cloudPower)
}

// Limits of Erbs, as pvlib has them.
const (
	erbsLowestCos   = 0.065                // of the zenith angle in the clearness index
	erbsHorizonCos  = 0.052335956242943835 // cos 87°: no beam below
	erbsLow         = 0.22
	erbsHigh        = 0.80
	erbsHighDiffuse = 0.165
)

// Erbs splits the global irradiance ghi of the level into beam and diffuse
// light, from the cosine of the zenith angle and the irradiance e0n above the
// atmosphere, all W/m²: Erbs, Klein and Duffie 1982, Solar Energy 28, 293–302,
// with the clearness index limited to 0..1, the cosine in it to at least 0.065,
// and no beam beyond 87° from the zenith. Negative ghi is taken as 0.
func Erbs(ghi, cosZ, e0n float64) (dni, dhi float64) {
	ghi = max(ghi, 0)
	if cosZ < erbsHorizonCos || e0n <= 0 {
		return 0, ghi
	}
	kt := min(ghi/(e0n*max(cosZ, erbsLowestCos)), 1)
	dhi = ghi * erbsDiffuse(kt)
	return (ghi - dhi) / cosZ, dhi
}

// erbsDiffuse gives the diffuse share for a clearness index.
func erbsDiffuse(kt float64) float64 {
	switch {
	case kt <= erbsLow:
		return 1 - 0.09*kt
	case kt <= erbsHigh:
		return 0.9511 + kt*(-0.1604+kt*(4.388+kt*(-16.638+kt*12.336)))
	}
	return erbsHighDiffuse
}
