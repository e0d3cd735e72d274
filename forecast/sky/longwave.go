package sky

import (
	"math"

	"dewgap/forecast/air"
)

// StefanBoltzmann is the constant of black-body radiation in W/(m² K⁴) (CODATA 2018).
const StefanBoltzmann = 5.670374419e-8

// cloudBaseKm is the base that cloud is taken to have, km above the place: among
// stratus and cumulus, which carry most of the cloud that matters to the longwave.
const cloudBaseKm = 1.0

// cloudScaleKm is the scale of a cloud's height in Martin and Berdahl 1984, Solar
// Energy 33, 321–336.
const cloudScaleKm = 8.2

// ClearEmissivityBerdahlMartin gives the emissivity of a clear sky from the dew
// point in °C: Berdahl and Martin 1984, Solar Energy 32, 663–664. It
// falls 25 W/m² short on a cold snow night, so [Longwave] does not use it.
func ClearEmissivityBerdahlMartin(dewC float64) float64 {
	x := dewC / 100
	return 0.711 + x*(0.56+x*0.73)
}

// ClearEmissivityPrata gives the emissivity of a clear sky from the air
// temperature in °C and the vapour pressure in Pa: Prata 1996, Q. J. R.
// Meteorol. Soc. 122, 1127–1151, 1 − (1+w) exp(−√(1.2+3w)) with w = 46.5 e/T in
// cm of water, e in hPa, T in K.
func ClearEmissivityPrata(tC, vapourPa float64) float64 {
	w := 0.465 * vapourPa / (tC + air.Kelvin)
	return 1 - (1+w)*math.Exp(-math.Sqrt(1.2+3*w))
}

// CloudHeightFactor gives how much a black cloud with its base baseKm above the
// place adds to the sky, relative to fog at the ground: exp(−h/8.2 km), Martin
// and Berdahl 1984.
func CloudHeightFactor(baseKm float64) float64 { return math.Exp(-baseKm / cloudScaleKm) }

// CloudEmissivity gives the emissivity of a sky of which the cloud fraction n
// (0..1, limited to that) closes the share factor (0..1) of the gap between the
// clear sky and a black one: clear + (1−clear)·n·factor. With the factor cloud
// emittance × [CloudHeightFactor] it is Martin and Berdahl 1984; with 0.84 it is
// Campbell and Norman 1998, p. 286.
func CloudEmissivity(clear, n, factor float64) float64 {
	return clear + (1-clear)*clamp01(n)*factor
}

// lowFactor is what a full low cloud closes of the gap.
var lowFactor = CloudHeightFactor(cloudBaseKm)

// emissivityUnder gives the emissivity of the whole sky from air temperature in °C,
// vapour pressure in Pa and the [EffectiveCloud]: [ClearEmissivityPrata], closed towards black by
// [CloudEmissivity] with the factor of a low base. Overcast comes to 0.96 to 0.99.
//
// The cloud fraction enters by its effect on sunlight, so that a forecast's cloud
// cover and a measured clearness (through [CloudFromClearness]) mean the same;
// Crawford and Duchon 1999, J. Appl. Meteor. 38, 474–480, weigh clouds likewise.
func emissivityUnder(tC, vapourPa, effective float64) float64 {
	return CloudEmissivity(ClearEmissivityPrata(tC, vapourPa), effective, lowFactor)
}

// Longwave gives the longwave irradiance in W/m² that the sky sends on an
// unobstructed level, from air temperature and dew point in °C at 2 m and the
// cloud fraction (0..1): the emissivity of the sky times the black body at air
// temperature. This is the one formula of the program.
func Longwave(tC, dewC, cloudFraction float64) float64 {
	return LongwaveUnder(tC, air.VapourPressure(dewC), EffectiveCloud(cloudFraction))
}

// LongwaveUnder is [Longwave] from a vapour pressure in Pa and an [EffectiveCloud] that
// are known already.
func LongwaveUnder(tC, vapourPa, effective float64) float64 {
	return emissivityUnder(tC, vapourPa, effective) * BlackBody(tC)
}

// BlackBody gives the radiation of a black surface at tC °C in W/m².
func BlackBody(tC float64) float64 {
	k := tC + air.Kelvin
	k *= k
	return StefanBoltzmann * k * k
}
