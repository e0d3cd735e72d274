package surface

import (
	"time"

	"dewgap/forecast"
)

// wet is what an interval of the forecast says of rain, fog and thunder.
type wet struct {
	flags   Flag
	mm      float32 // in a slot
	derived bool
}

// falling decides whether the interval is wet, from the first link that is known: the
// amount, where it was stated for no more than an hour; else a probability; else the
// amount of a longer time, which wets all of it.
func (r *reader) falling() wet {
	code, amount := r.whole(forecast.WeatherCode), r.whole(forecast.Precipitation)
	p, span := r.whole(forecast.PrecipitationProbability), r.whole(forecast.PrecipitationSpan)
	if !span.ok {
		span.v = r.step
	}
	mm := amount.v
	x := wet{flags: r.signs(code)}
	falls, known := false, true
	switch {
	case amount.ok && span.v <= 1:
		falls = mm/r.step >= wetRate
	case p.ok:
		falls, x.derived = p.v >= rainProbability, true
	case amount.ok:
		falls, x.derived = mm*span.v/r.step >= wetRate, true
	default:
		known = false
	}
	if code.ok && amount.ok && (drizzles(code.v) || (rains(code.v) && mm > 0)) {
		falls = true // below the amount that counts as rain
	}
	if amount.ok {
		x.flags |= KnownAmount
		x.mm = float32(max(mm, 0) * Slot.Hours() / r.step)
	}
	if known {
		x.flags |= KnownRain
	}
	if known && falls {
		x.flags |= Wets
	}
	return x
}

// signs reads fog and thunder.
func (r *reader) signs(code number) (f Flag) {
	if code.ok && forecast.Fog(code.v) {
		f |= Fog
	}
	p := r.whole(forecast.ThunderProbability)
	if (code.ok && code.v >= 95) || (p.ok && p.v >= rainProbability) {
		f |= Thunder
	}
	return f
}

func (r *reader) rain(w *Weather, i int) {
	w.Flags[i] |= r.wet.flags
	w.Rain[i] = r.wet.mm
	if r.wet.derived {
		w.Derived.Rain++
	}
	if r.visibility.ok && r.visibility.at(r.frac) < 1000 {
		w.Flags[i] |= Fog
	}
}

// drizzles reports whether a WMO 4677 code means drizzle, which wets whatever
// its amount.
func drizzles(code float64) bool { return code >= 51 && code <= 57 }

// rains reports whether a WMO 4677 code means water falling.
func rains(code float64) bool { return code >= 51 }

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
	if i < r.from || i >= r.to {
		return false
	}
	k := int(r.interval[i])
	span, ok := r.m.Columns[forecast.PrecipitationSpan].At(k)
	_, amount := r.m.Columns[forecast.Precipitation].At(k)
	return !amount || (ok && span > 1)
}
