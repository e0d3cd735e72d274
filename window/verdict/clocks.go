package verdict

import (
	"math"
	"slices"
)

// plainHours fills in the time on the clock from the end of each slot of a stretch to
// the end of the stretch.
func plainHours(hours []float32, _, _ int) {
	for k := range hours {
		hours[k] = float32(len(hours)-1-k) * SlotHours
	}
}

// until counts forward from the end of each slot to the first that stops the clock, by
// what fill puts into the slots [from, to) before it. Where the data end first it is
// blind: nobody knows how much longer it runs.
func (x *Sight) until(stops, known []bool, fill func(hours []float32, from, to int)) view {
	n := len(stops)
	known = known[:n]
	hours, blind := x.mem.floats.take(n), x.mem.bools.take(n)
	unseen := true
	for to := n; to > 0; {
		from := to - 1
		for from > 0 && known[from] && !stops[from] {
			from--
		}
		if to-from > 1 {
			fill(hours[from:to], from, to)
		}
		if unseen {
			for i := range blind[from:to] {
				blind[from+i] = true
			}
		}
		to, unseen = from, !known[from]
	}
	return x.look(hours, blind)
}

// damp marks the slots with less than 1 K of spread, in which a dew clock stops; the
// next call writes over it.
func (x *Sight) damp() []bool {
	x.mem.damp = slices.Grow(x.mem.damp[:0], x.series.Len())[:x.series.Len()]
	for i, k := range x.series.Spread {
		x.mem.damp[i] = k < 1
	}
	return x.mem.damp
}

// drying counts back to the end of the slot in which water last arrived. Where
// nobody knows what fell before the data begin, or in a gap, the clock is blind: it
// holds only the known past. What the person said holds up to now, and no gap
// before then undoes it.
func (x *Sight) drying(p Past) view {
	s := x.series
	out, blind := x.mem.floats.take(s.Len()), x.mem.bools.take(s.Len())
	told := p.WashedAt
	last, since := told, 0 // last wet slot; first slot of the known past
	if p.Roofed {
		since = never
	}
	if p.PastKnown {
		told, since = max(told, p.RainedAt), never
		last = told
	}
	for i := range out {
		switch {
		case last > never && last >= since-1:
			out[i] = float32(max(i-last-1, 0)) * SlotHours
		case since == never:
			out[i] = far
		default:
			out[i], blind[i] = float32(i-since)*SlotHours, true
		}
		switch {
		case s.KnownRain[i]:
			if s.Wets[i] {
				last = max(last, i)
			}
		case p.PastKnown && i < p.Now, p.Roofed:
		default:
			since = i + 1
			if last <= i {
				last = never
			}
		}
	}
	return x.look(out, blind)
}

// dewDrying counts back to the last slot with dew, for classes whose dry-off it
// restarts. Dew that nobody could see, before the data or in a gap, leaves the
// clock blind.
func (x *Sight) dewDrying() view {
	s := x.series
	out, blind := x.mem.floats.take(s.Len()), x.mem.bools.take(s.Len())
	last, since := never, 0
	for i := range out {
		out[i] = float32(i-max(since, last+1)) * SlotHours
		blind[i] = last == never
		switch {
		case !s.KnownSurface[i] || s.Doubt != nil && s.Doubt[i]:
			last, since = never, i+1
		case s.Film[i] > 1:
			last = i
		}
	}
	return x.look(out, blind)
}

// warmth is the after-clocks on equivalent hours at 20 °C.
type warmth struct {
	perK                     float64
	rainFree, rainSure, dews view
}

// warmth counts the after-clocks in equivalent hours at 20 °C, Σ 2^((T−20)/k)·Δt,
// the rate of a reaction that halves every k kelvin. Their hours hang on the
// surface, so they are blind where it is not known.
func (x *Sight) warmth(perK float64) *warmth {
	for i := range x.memo.warmth {
		if w := &x.memo.warmth[i]; w.perK == perK {
			return w
		}
	}
	s := x.series
	sum := append(x.mem.sum[:0], 0) // 32 bits would turn on dust
	for i, c := range s.Surface {
		e := 0.0
		if s.KnownSurface[i] {
			e = math.Exp2((float64(c)-20)/perK) * SlotHours
		}
		sum = append(sum, sum[i]+e)
	}
	x.mem.sum = sum
	span := func(hours []float32, from, to int) {
		for k := range hours {
			hours[k] = float32(sum[to] - sum[from+k+1])
		}
	}
	w := warmth{perK: perK, rainFree: x.until(s.Wets, s.KnownSurface, span)}
	if s.Shifted != nil {
		w.rainSure = x.until(s.Shifted, s.KnownSurface, span)
	}
	w.dews = x.until(x.damp(), s.KnownSurface, span)
	x.memo.warmth = append(x.memo.warmth, w)
	return &x.memo.warmth[len(x.memo.warmth)-1]
}
