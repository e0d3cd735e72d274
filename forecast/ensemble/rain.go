package ensemble

import (
	"math"

	"dewgap/forecast"
)

const (
	// wetMM is the least amount in an hour, or over the span that the service
	// stated, that counts as rain, mm.
	wetMM = 0.1
	// showerMM and moreMM: an hour that the forecast has dry and a future wet
	// gets from the one to the sum of both, mm. An assumption.
	showerMM = 0.3
	moreMM   = 0.7
	// wetCloud is the least cloud cover of an hour with rain, %. An assumption.
	wetCloud = 70
)

// events finds for every slot the slot in which its rain event begins: itself,
// or, where the service stated one amount for several hours, the first of them.
func events(m *forecast.Member, f *forecast.Forecast) []int {
	begin := make([]int, f.N)
	same := func(q forecast.Quantity, i int) bool {
		a, okA := m.Columns[q].At(i - 1)
		b, okB := m.Columns[q].At(i)
		return okA == okB && a == b
	}
	for i := range begin {
		begin[i] = i
		span := spanSlots(m, f, i)
		if i == 0 || span <= 1 || i-begin[i-1] >= span {
			continue
		}
		if same(forecast.PrecipitationSpan, i) && same(forecast.Precipitation, i) &&
			same(forecast.PrecipitationProbability, i) {
			begin[i] = begin[i-1]
		}
	}
	return begin
}

// spanSlots is the number of slots over which the amount of slot i was stated.
func spanSlots(m *forecast.Member, f *forecast.Forecast, i int) int {
	h, ok := m.Columns[forecast.PrecipitationSpan].At(i)
	if !ok {
		return 1
	}
	return max(1, int(math.Round(h/f.Step.Hours())))
}

// shifted is the slot from which slot i takes its amount when rain comes early or
// late. Rain does not move out of hours gone by, nor into or out of amounts over
// several hours, nor from beyond the forecast.
func (d *dresser) shifted(i int, sign float64) int {
	if spanSlots(d.in, d.f, i) > 1 {
		return i
	}
	j := i - int(math.Round(sign*d.size.shift[i]*d.pair.shift[i]/d.stepH))
	if j < d.first || j >= d.f.N || spanSlots(d.in, d.f, j) > 1 {
		return i
	}
	return j
}

// dressRain decides in every slot whether this future has rain, and how much.
func (d *dresser) dressRain(m *forecast.Member, future int, sign float64) {
	amount := &m.Columns[forecast.Precipitation]
	chance := &m.Columns[forecast.PrecipitationProbability]
	for i := range d.f.N {
		mm, hasMM := amount.At(i)
		p, hasP := chance.At(i)
		d.wet[i] = hasMM && mm*d.hourly(i) >= wetMM
		if i < d.first {
			if hasMM && hasP {
				chance.Set(i, percent(d.wet[i]))
			}
			continue
		}
		if !hasMM && !hasP {
			continue
		}
		if hasMM {
			mm = d.amountAt(i, sign, mm)
		}
		p = math.Min(math.Max(p/100, 0), 1)
		if !hasP {
			p = d.assumed(i, mm)
		}
		begin := max(d.event[i], d.first)
		rank := d.rank[future][begin]
		d.wet[i] = rank > 1-p
		if hasP {
			chance.Set(i, percent(d.wet[i]))
		}
		if hasMM {
			amount.Set(i, d.fallen(i, begin, sign, mm, (rank-1+p)/p))
		}
	}
}

// amountAt is the forecast's amount for slot i, perhaps from an hour nearby.
func (d *dresser) amountAt(i int, sign, own float64) float64 {
	if mm, ok := d.in.Columns[forecast.Precipitation].At(d.shifted(i, sign)); ok {
		return mm
	}
	return own
}

// assumed is the probability of rain where the forecast gives an amount only.
func (d *dresser) assumed(i int, mm float64) float64 {
	if mm*d.hourly(i) >= wetMM {
		return d.size.hit[i]
	}
	return d.size.miss[i]
}

// fallen is the amount in a slot of this future. How far the future stands above
// the line between dry and wet, 0–1, says how much falls where the forecast has
// none.
func (d *dresser) fallen(i, begin int, sign, mm, above float64) float64 {
	least := wetMM / d.hourly(i)
	switch {
	case !d.wet[i]:
		return 0
	case mm < least:
		return (showerMM + moreMM*above) / d.hourly(i)
	}
	s := d.size.amount[i]
	return math.Max(least, mm*math.Exp(sign*s*d.pair.amount[begin]-s*s/2))
}

// hourly turns the amount of slot i into that of an hour, or of the span over
// which the service stated it, whichever is longer.
func (d *dresser) hourly(i int) float64 {
	return math.Max(1, math.Max(1/d.stepH, float64(spanSlots(d.in, d.f, i))))
}

func percent(certain bool) float64 {
	if certain {
		return 100
	}
	return 0
}

// Weather codes (WMO 4677 subset of the open services).
const (
	codeOvercast = 3
	codeRain     = 61
	codeSnow     = 71
	snowC        = 0.5 // °C of air at and below which a new shower is snow
)

// wetCode reports whether a weather code tells of something falling.
func wetCode(code float64) bool { return code >= 51 }

// dressCode makes the weather code agree with this future's rain. Where nothing
// is known of rain the code stays.
func (d *dresser) dressCode(m *forecast.Member) {
	code := &m.Columns[forecast.WeatherCode]
	if !code.Any() {
		return
	}
	for i := d.first; i < d.f.N; i++ {
		c, ok := code.At(i)
		_, hasMM := m.Columns[forecast.Precipitation].At(i)
		_, hasP := m.Columns[forecast.PrecipitationProbability].At(i)
		if !ok || !hasMM && !hasP || d.wet[i] == wetCode(c) {
			continue
		}
		if !d.wet[i] {
			code.Set(i, cloudCode(m, i))
			continue
		}
		code.Set(i, codeRain)
		if t, ok := m.Columns[forecast.AirTemperature].At(i); ok && t <= snowC {
			code.Set(i, codeSnow)
		}
	}
}

// cloudCode is the code of a dry sky: 0 clear to 3 overcast.
func cloudCode(m *forecast.Member, i int) float64 {
	n, ok := m.Columns[forecast.CloudCover].At(i)
	switch {
	case !ok || n >= 85:
		return codeOvercast
	case n >= 50:
		return 2
	case n >= 15:
		return 1
	}
	return 0
}
