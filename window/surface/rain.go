package surface

import (
	"time"

	"dewgap/forecast"
)

// rain decides whether the slot is wet, from the first link that is known: the
// amount, where it was stated for no more than an hour; else a probability;
// else the amount of a longer time, which wets all of it.
func (r *reader) rain(w *Weather, i int) {
	code, coded := r.whole(forecast.WeatherCode)
	r.signs(w, i, code, coded)
	mm, okMM := r.whole(forecast.Precipitation)
	p, okP := r.whole(forecast.PrecipitationProbability)
	span, okSpan := r.whole(forecast.PrecipitationSpan)
	if !okSpan {
		span = r.step
	}
	wet, known := false, true
	switch {
	case okMM && span <= 1:
		wet = mm/r.step >= wetRate
	case okP:
		wet = p >= rainProbability
		w.Derived.Rain++
	case okMM:
		wet = mm*span/r.step >= wetRate
		w.Derived.Rain++
	default:
		known = false
	}
	if coded && okMM && (drizzles(code) || (falls(code) && mm > 0)) {
		wet = true // below the amount that counts as rain
	}
	if okMM {
		w.Flags[i] |= KnownAmount
		w.Rain[i] = float32(max(mm, 0) * Slot.Hours() / r.step)
	}
	if known {
		w.Flags[i] |= KnownRain
	}
	if known && wet {
		w.Flags[i] |= Wets
	}
}

// signs reads fog and thunder.
func (r *reader) signs(w *Weather, i int, code float64, coded bool) {
	vis, okVis := r.instant(forecast.Visibility)
	if (coded && (code == 45 || code == 48)) || (okVis && vis < 1000) {
		w.Flags[i] |= Fog
	}
	p, okP := r.whole(forecast.ThunderProbability)
	if (coded && code >= 95) || (okP && p >= rainProbability) {
		w.Flags[i] |= Thunder
	}
}

// drizzles reports whether a WMO 4677 code means drizzle, which wets whatever
// its amount.
func drizzles(code float64) bool { return code >= 51 && code <= 57 }

// falls reports whether a WMO 4677 code means water falling.
func falls(code float64) bool { return code >= 51 }

// doubt marks the slots before a wet spell that rests on a bare probability:
// its start may come earlier by one hour today, two tomorrow, three after
// (common practice).
func (r *reader) doubt(w *Weather) {
	for i := 1; i < w.Grid.N; i++ {
		if w.Flags[i]&Wets == 0 || w.Flags[i-1]&Wets != 0 || !r.bare(i) {
			continue
		}
		lead := w.Grid.At(i).Sub(r.site.Now)
		slots := PerHour * min(3, 1+int(lead/(24*time.Hour)))
		for j := i - 1; j >= 0 && j >= i-slots; j-- {
			w.Flags[j] |= Shifted
		}
	}
}

// bare reports whether the slot's rain rests on a probability alone.
func (r *reader) bare(i int) bool {
	k, ok := r.f.Index(r.sky.Grid.Middle(i))
	if !ok {
		return false
	}
	span, ok := r.m.Columns[forecast.PrecipitationSpan].At(k)
	_, amount := r.m.Columns[forecast.Precipitation].At(k)
	return !amount || (ok && span > 1)
}
