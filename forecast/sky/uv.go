package sky

import "math"

// DefaultOzone is the ozone column in DU where no forecast tells it.
const DefaultOzone = 300.0

// AlbedoUVDeck is the reflectance of a fibreglass deck for erythemal UV: Sliney 1986,
// Am. J. Optom. Physiol. Opt. 63.
const AlbedoUVDeck = 0.091

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
	n := clamp01(cloudFraction)
	return 1 - 0.7*n*n*math.Sqrt(n)
}

// rayleighUV is the optical depth of clean air at 310 nm, about the middle of
// the erythemal spectrum at the ground: 0.008569 λ⁻⁴ (1 + 0.0113 λ⁻² + 0.00013
// λ⁻⁴) at 0.31 µm, Hansen and Travis 1974, Space Sci. Rev. 16, 527–610.
const rayleighUV = 1.05

// UVDirectUnder gives the share of the level's UV index that comes straight from the
// sun under a cloud fraction (0..1), from its [ClearUVDirect] and its [CloudUV], which a
// loop may keep: of the beam what the gaps between the clouds let through, of the
// whole what the clouds leave.
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
