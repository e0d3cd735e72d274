package window

import (
	"slices"
	"time"

	"dewgap/forecast"
)

// WithRain is a forecast in which observed rain has fallen, in every member: the
// steps that it touches are wet, with the amount measured or half a millimetre an
// hour. Nothing else is changed.
func WithRain(f *forecast.Forecast, rain []Rain) *forecast.Forecast {
	if !slices.ContainsFunc(rain, func(r Rain) bool { return r.Observed }) || f.Step <= 0 {
		return f
	}
	out := *f
	out.Members = RainedOn(f, f.Members, rain)
	return &out
}

// RainedOn is WithRain for members that belong to a forecast, such as those that
// a single one is dressed into.
func RainedOn(f *forecast.Forecast, members []forecast.Member, rain []Rain) []forecast.Member {
	out := slices.Clone(members)
	for i := range out {
		for _, q := range rainColumns {
			c := out[i].Columns[q]
			out[i].Columns[q].Values, out[i].Columns[q].Known = slices.Clone(c.Values), slices.Clone(c.Known)
		}
		for _, r := range rain {
			if r.Observed && r.To.After(r.From) {
				fall(f, &out[i], r)
			}
		}
	}
	return out
}

// rainColumns are what observed rain outranks.
var rainColumns = [...]forecast.Quantity{forecast.Precipitation, forecast.PrecipitationSpan, forecast.PrecipitationProbability}

// fall puts a spell of rain into a member whose columns are its own.
func fall(f *forecast.Forecast, m *forecast.Member, r Rain) {
	rate := unstatedRain
	if r.HasMM {
		rate = r.MM / r.To.Sub(r.From).Hours()
	}
	for i := range f.N {
		from := f.Start.Add(time.Duration(i) * f.Step)
		to := from.Add(f.Step)
		if from.Before(r.From) {
			from = r.From
		}
		if to.After(r.To) {
			to = r.To
		}
		if !to.After(from) {
			continue
		}
		for _, q := range rainColumns {
			if len(m.Columns[q].Known) == 0 {
				m.Columns[q] = forecast.NewColumn(f.N)
			}
		}
		mm := max(rate*to.Sub(from).Hours(), leastWetMM*f.Step.Hours())
		if was, ok := m.Columns[forecast.Precipitation].At(i); ok {
			mm = max(mm, was)
		}
		m.Columns[forecast.Precipitation].Set(i, mm)
		// Of an amount over more than an hour a probability would decide.
		m.Columns[forecast.PrecipitationSpan].Known[i] = false
		m.Columns[forecast.PrecipitationProbability].Known[i] = false
	}
}

// leastWetMM is the least rain an hour that wets (common practice).
const leastWetMM = 0.1

// ForecastRain lists the spells of rain of a result in [from, to): the hours in
// which the median of the members has at least 0.1 mm, joined.
func ForecastRain(r *Result, from, to time.Time) []Rain {
	var out []Rain
	for _, h := range r.Weather {
		end := h.At.Add(time.Hour)
		if !h.At.Before(to) || !end.After(from) || !h.Rain.Known || h.Rain.V < leastWetMM {
			continue
		}
		if n := len(out); n > 0 && out[n-1].To.Equal(h.At) {
			out[n-1].To = end
			out[n-1].MM += h.Rain.V
			continue
		}
		out = append(out, Rain{From: h.At, To: end, MM: h.Rain.V, HasMM: true})
	}
	return out
}
