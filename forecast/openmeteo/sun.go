package openmeteo

import (
	"time"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
	"dewgap/forecast/sky"
)

// bySun parts what the sun gave over several hours among them as a clear sky would, so
// that each span keeps its sum: spread evenly it would shine before dawn, and dim with
// every full hour of a clear morning. What is beyond a clear sky counts for all alike.
func (r *filler) bySun(q forecast.Quantity, to *forecast.Column) {
	clear := clearSky(q)
	if r.step <= reply.Hour || clear == nil {
		return
	}
	for _, s := range r.spans {
		first, n := int((s.From-r.axis.Start)/reply.Hour), int((s.To-s.From)/reply.Hour)
		if (s.From-r.axis.Start)%reply.Hour != 0 {
			continue
		}
		light, mean := make([]float64, n), 0.0
		for k := range n {
			light[k] = r.hourly(s.From+int64(k)*reply.Hour, clear)
			mean += light[k] / float64(n)
		}
		for k := range n {
			if _, known := to.At(first + k); !known || mean <= 0 {
				continue
			}
			v := s.V * light[k] / mean
			if s.V > mean {
				v = light[k] + s.V - mean
			}
			to.Set(first+k, v)
		}
	}
}

// clearSky is what a quantity would be under a clear sky, by the cosine of the sun's zenith
// angle; nil for one that is not the sun's.
func clearSky(q forecast.Quantity) func(cosZ float64) float64 {
	switch q {
	case forecast.GlobalRadiation, forecast.DirectRadiation, forecast.DiffuseRadiation:
		return sky.Haurwitz
	case forecast.UVIndex, forecast.UVIndexClearSky:
		return func(c float64) float64 { return sky.ClearUVI(c, sky.DefaultOzone) }
	}
	return nil
}

// hourly is the mean of a clear sky over the hour from a moment on.
func (r *filler) hourly(from int64, clear func(float64) float64) float64 {
	const parts = 6
	sum := 0.0
	for k := range int64(parts) {
		at := time.Unix(from+(2*k+1)*reply.Hour/(2*parts), 0)
		sum += clear(max(0, sky.Sun(at, r.place.place.Latitude, r.place.place.Longitude, 0, 0).CosZenith()))
	}
	return sum / parts
}
