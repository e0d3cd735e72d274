package ensemble

import (
	"math"

	"dewgap/forecast"
	"dewgap/forecast/air"
)

// dressAir strays air temperature and dew point together.
func (d *dresser) dressAir(m *forecast.Member, sign float64) {
	for i := range d.f.N {
		shift(m, i, sign*d.size.air[i]*d.pair.air[i], sign*d.size.dew[i]*d.pair.dew[i])
	}
}

// shift moves one interval's air by t and its dew point by td, both in K, and works the
// humidity out again from both. The dew point never rises above the air temperature.
// Humidity for which the forecast has no air temperature stays as it is.
func shift(m *forecast.Member, i int, t, td float64) {
	temp, dew, humid := m.Columns[forecast.AirTemperature], m.Columns[forecast.DewPoint], m.Columns[forecast.Humidity]
	airC, okT := temp.At(i)
	dewC, okDew := dew.At(i)
	rh, okRH := humid.At(i)
	derived := !okDew && okT && okRH
	if derived {
		dewC = air.DewPoint(airC, rh)
	}
	dewC += td
	if okT {
		airC += t
		dewC = math.Min(dewC, airC)
		temp.Set(i, airC)
	}
	if okDew {
		dew.Set(i, dewC)
	}
	if okRH && (derived || okT && okDew) {
		humid.Set(i, air.Humidity(airC, dewC))
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
