package ensemble

import (
	"math"

	"dewgap/forecast"
	"dewgap/forecast/air"
)

// dressAir strays air temperature and dew point together and works the humidity
// out again from both. The dew point never rises above the air temperature.
// Humidity for which the forecast has no air temperature stays as it is.
func (d *dresser) dressAir(m *forecast.Member, sign float64) {
	temp := &m.Columns[forecast.AirTemperature]
	dew := &m.Columns[forecast.DewPoint]
	humid := &m.Columns[forecast.Humidity]
	for i := range d.f.N {
		t, hasT := temp.At(i)
		td, hasDew := dew.At(i)
		rh, hasRH := humid.At(i)
		derived := !hasDew && hasT && hasRH
		if derived {
			td = air.DewPoint(t, rh)
		}
		td += sign * d.size.dew[i] * d.pair.dew[i]
		if hasT {
			t += sign * d.size.air[i] * d.pair.air[i]
			td = math.Min(td, t)
			temp.Set(i, t)
		}
		if hasDew {
			dew.Set(i, td)
		}
		if hasRH && (derived || hasT && hasDew) {
			humid.Set(i, air.Humidity(t, td))
		}
	}
}

// dressWind strays wind and gusts by one factor and the direction by an angle.
// The factor acts on the speed plus 1 m/s: a calm hour may turn into a breath.
func (d *dresser) dressWind(m *forecast.Member, sign float64) {
	wind := &m.Columns[forecast.WindSpeed]
	gust := &m.Columns[forecast.Gust]
	from := &m.Columns[forecast.WindFrom]
	if !wind.Any() && !gust.Any() && !from.Any() {
		return
	}
	for i := range d.f.N {
		s := d.size.wind[i]
		factor := math.Exp(sign*s*d.pair.wind[i] - s*s/2)
		if u, ok := wind.At(i); ok {
			wind.Set(i, math.Max(0, (u+1)*factor-1))
		}
		if g, ok := gust.At(i); ok {
			gust.Set(i, math.Max(0, (g+1)*factor-1))
		}
		if w, ok := from.At(i); ok {
			w = math.Mod(w+sign*d.size.from[i]*d.pair.from[i], 360)
			if w < 0 {
				w += 360
			}
			from.Set(i, w)
		}
	}
}
