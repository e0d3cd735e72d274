package ensemble

import (
	"math"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/sky"
)

// sunRoof is, by slot, what no future may exceed, and the cloud that the
// forecast's own light tells of where it gives no cover.
type sunRoof struct {
	light []float64 // clear-sky sunlight on the level, mean of the slot, W/m²
	uv    []float64 // clear-sky UV index at 300 DU, mean of the slot
	cloud []float64 // 0–1
	lit   []bool    // the sun is up in some part of the slot
}

// unknownCloud is the cover assumed where nothing tells of it, 0–1.
const unknownCloud = 0.5

func newSunRoof(f *forecast.Forecast) sunRoof {
	all := make([]float64, 3*f.N)
	r := sunRoof{all[:f.N], all[f.N : 2*f.N], all[2*f.N:], make([]bool, f.N)}
	const parts = 4
	for i := range f.N {
		at := f.Start.Add(time.Duration(i) * f.Step)
		for k := range parts {
			c := cosZenith(at.Add(time.Duration(2*k+1)*f.Step/(2*parts)), f.Place)
			if c <= 0 {
				continue
			}
			r.lit[i] = true
			r.light[i] += sky.Haurwitz(c) / parts
			r.uv[i] += sky.ClearUVI(c, sky.DefaultOzone) / parts
		}
		r.cloud[i] = unknownCloud
		if total, _ := sunlight(&f.Members[0], i); total > 0 && r.light[i] > 50 {
			r.cloud[i] = sky.CloudFromClearness(total / r.light[i])
		}
	}
	return r
}

// cosZenith is the cosine of the sun's zenith angle without refraction, 0 at
// night. A place that is not on the globe has no sun.
func cosZenith(at time.Time, p forecast.Place) float64 {
	if !(math.Abs(p.Latitude) <= 90 && math.Abs(p.Longitude) <= 360) {
		return 0
	}
	return math.Max(0, sky.Sun(at, p.Latitude, p.Longitude, 0, 0).CosZenith())
}
