package sky

import "math"

// perezBins are the upper ends of the clearness classes 1 to 7 of Perez et al.
// 1990, Solar Energy 44, 271–289, Table 1.
var perezBins = [...]float64{1.065, 1.230, 1.500, 1.950, 2.800, 4.500, 6.200}

// perezCoefficients are F11, F12, F13, F21, F22, F23 by clearness class: Perez et
// al. 1990, Table 6, all sites.
var perezCoefficients = [...][6]float64{
	{-0.008, 0.588, -0.062, -0.060, 0.072, -0.022},
	{0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
	{0.330, 0.487, -0.221, 0.055, -0.064, -0.026},
	{0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
	{0.873, -0.392, -0.362, 0.226, -0.462, 0.001},
	{1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
	{1.060, -1.600, -0.359, 0.264, -1.127, 0.131},
	{0.678, -0.327, -0.250, 0.156, -1.377, 0.251},
}

// PerezLowestCosZ bounds the cosine of the zenith angle from below in the ratio by
// which the light from round the sun goes from the level to a plane (eq. 9): cos 85°.
const PerezLowestCosZ = 0.08715574274765817

// perezBrightest is the brightness up to which the sky is described: the published
// range of the Perez sky, 0.01 to 0.6, in which Radiance's gendaylit keeps it too.
// Beyond it lie twilight, and light that does not go with the sun's height; the
// straight lines in brightness would heap it all round a sun that is all but down.
const perezBrightest = 0.6

// Height is what the [Height.Brightening] of all skies under one sun takes from the
// sun alone. A loop over many forecasts of one moment keeps it: it is most of the cost.
type Height struct {
	cosZ, e0n float64
	zenith    float64 // radians
	bend      float64 // 1.041 zenith³
	airMass   float64
}

// HeightOf takes the cosine of the apparent zenith angle, 0 or below without sun, and
// the irradiance in W/m² across the beam above the atmosphere, see [Extraterrestrial].
func HeightOf(cosZ, e0n float64) Height {
	z := math.Acos(math.Max(-1, math.Min(1, cosZ)))
	return Height{cosZ: cosZ, e0n: e0n, zenith: z, bend: 1.041 * z * z * z, airMass: airMass(z / radian)}
}

// Brightening gives the two coefficients of Perez et al. 1990 that say how the light
// of a sky is spread, from the beam dni and the diffuse light dhi, both W/m²: F1, the
// share of the diffuse light that comes from round the sun (eq. 6, at least 0), and F2,
// that of the band at the horizon (eq. 7, negative where the zenith is the brighter).
// Brightness (eq. 2) counts up to 0.6. The light from round the sun is sunlight turned
// aside a little on its way: across its direction it and the beam together are no more
// than what came in above the air, which bounds F1. Without diffuse light both are 0.
//
// A plane of the tilt t then gets of the diffuse light (eq. 9)
//
//	dhi·((1−F1)·(1+cos t)/2 + F1·a/b + F2·sin t)
//
// where a is the cosine of incidence, at least 0, and b that of the zenith angle, at
// least [PerezLowestCosZ].
func (h *Height) Brightening(dni, dhi float64) (f1, f2 float64) {
	if dhi <= 0 || h.e0n <= 0 {
		return 0, 0
	}
	clearness := ((dhi+dni)/dhi + h.bend) / (1 + h.bend)   // eq. 1
	brightness := min(dhi*h.airMass/h.e0n, perezBrightest) // eq. 2
	bin := 0
	for bin < len(perezBins) && clearness >= perezBins[bin] {
		bin++
	}
	c := &perezCoefficients[bin]
	most := clamp01((h.e0n - dni) * max(h.cosZ, PerezLowestCosZ) / dhi)
	f1 = min(c[0]+c[1]*brightness+c[2]*h.zenith, most)
	return max(0, f1), c[3] + c[4]*brightness + c[5]*h.zenith
}
