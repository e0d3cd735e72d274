package sky

import "math"

// Units of ultraviolet light.
const (
	// WattPerUVI is the erythemal irradiance in W/m² of one unit of the UV index
	// (WHO, Global Solar UV Index: 1 per 25 mW/m²).
	WattPerUVI = 0.025
	// SEDPerHour is the dose in standard erythemal doses (100 J/m²) that one
	// unit of the UV index gives in one hour.
	SEDPerHour = WattPerUVI * 3600 / 100
	// DefaultOzone is the ozone column in DU where no forecast tells it.
	DefaultOzone = 300.0
	// uvPerKm is the growth of the UV index per km of altitude.
	uvPerKm = 0.08
)

// Reflectances of surfaces for erythemal UV: Sliney 1986, Am. J. Optom. Physiol.
// Opt. 63; concrete and sand are middles of his ranges.
const (
	AlbedoUVDeck     = 0.091 // fibreglass boat deck
	AlbedoUVWood     = 0.066 // wood boat deck
	AlbedoUVPaint    = 0.22  // white house paint
	AlbedoUVWater    = 0.033 // open water
	AlbedoUVSea      = 0.08  // open ocean
	AlbedoUVConcrete = 0.10
	AlbedoUVGrass    = 0.035
	AlbedoUVSand     = 0.165 // dry
	AlbedoUVSnow     = 0.88  // new
)

// ClearUVI gives the UV index of the level under a clear, unpolluted sky at sea
// level over dark ground, from the cosine of the zenith angle and the ozone
// column in DU: 12.5 c^2.42 (Ω/300)^−1.23, Madronich 2007, Photochem.
// Photobiol. 83, 1537–1538. It is rather an upper value in hazy air. An ozone
// column of 0 or less is taken as [DefaultOzone].
func ClearUVI(cosZ, ozoneDU float64) float64 {
	if cosZ <= 0 {
		return 0
	}
	if ozoneDU <= 0 {
		ozoneDU = DefaultOzone
	}
	return 12.5 * math.Pow(cosZ, 2.42) * math.Pow(ozoneDU/DefaultOzone, -1.23)
}

// CloudUV gives the share of the clear sky's UV index that is left under a cloud
// fraction from 0 to 1 (limited to that): 1 − 0.7 N^2.5. From memory, after
// Josefsson and Landelius; UV gets through cloud somewhat better than sunlight
// as a whole when it is overcast.
func CloudUV(cloudFraction float64) float64 {
	return 1 - 0.7*math.Pow(clamp01(cloudFraction), 2.5)
}

// AltitudeUV gives the factor by which the UV index grows with altitude in km
// above the sea: 1 + 0.08 h.
func AltitudeUV(altitudeKm float64) float64 { return 1 + uvPerKm*altitudeKm }

// rayleighUV is the optical depth of clean air at 310 nm, about the middle of
// the erythemal spectrum at the ground: 0.008569 λ⁻⁴ (1 + 0.0113 λ⁻² + 0.00013
// λ⁻⁴) at 0.31 µm, Hansen and Travis 1974, Space Sci. Rev. 16, 527–610.
const rayleighUV = 1.05

// UVDirectShare gives the share of the level's UV index that comes straight
// from the sun, for the cosine of the zenith angle and the cloud fraction
// (0..1): [ClearUVDirect], and of the beam what the gaps between the clouds let
// through, of the whole [CloudUV].
func UVDirectShare(cosZ, cloudFraction float64) float64 {
	if cosZ <= 0 {
		return 0
	}
	return UVDirectUnder(ClearUVDirect(cosZ), cloudFraction, CloudUV(cloudFraction))
}

// UVDirectUnder is [UVDirectShare] from its [ClearUVDirect] and its [CloudUV], either
// of which a loop may keep.
func UVDirectUnder(clear, cloudFraction, cloudUV float64) float64 {
	return clamp01(clear * ((1 - clamp01(cloudFraction)) / cloudUV))
}

// ClearUVDirect gives the share of the level's UV index that comes straight from the
// sun under a clear sky, for the cosine of the zenith angle: Beer's law for the beam
// and the Eddington solution for the whole of it in air that only scatters
// (Rayleigh), over black ground, which gives 0.54 with the sun overhead, 0.48 at 60°
// of elevation and 0.25 at 30°; 0 without sun. The model is this package's own; that
// most of the UV is diffuse is textbook knowledge.
func ClearUVDirect(cosZ float64) float64 {
	if cosZ <= 0 {
		return 0
	}
	beam := math.Exp(-rayleighUV / cosZ)
	whole := (2.0/3 + cosZ + (2.0/3-cosZ)*beam) / (4.0/3 + rayleighUV)
	return beam / whole
}

// PlaneUVI gives the UV index on a plane from that of the level:
//
//	uvi·(share·Rb + (1−share)·V + albedoUV·(1−V))
//
// with the share of [UVDirectShare], [Rb], and V the [SkyView]; a loop may keep
// all three. The sky's part is taken as even, which UV's nearly is.
func PlaneUVI(uvi, share, rb, view, albedoUV float64) float64 {
	return uvi * (share*rb + (1-share)*view + albedoUV*(1-view))
}
