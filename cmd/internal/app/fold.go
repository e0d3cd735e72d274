package app

import (
	"slices"
	"time"

	"dewgap/window"
)

// folded adds rain that was told to what was told before it, so that a shower told twice
// falls once: asking again with the same --rain, or writing it down with dewgap log rain as
// well, would double it, and 3 mm that never fell would count as a rinse. Of two spells that
// begin together the later word stands; of two of which one lies within the other, the longer,
// with what was measured of either.
// What a forecast had is left alone, and showers beside each other are two.
func folded(before, more []window.Rain) []window.Rain {
	out := slices.Clone(before)
	for _, n := range more {
		if !n.Observed {
			out = append(out, n)
			continue
		}
		within := false
		for i := range out {
			o := &out[i]
			if o.Observed && o.From.Before(n.From) && !n.To.After(o.To) {
				within = true
				measured(o, n)
			}
		}
		out = slices.DeleteFunc(out, func(o window.Rain) bool {
			swallowed := o.Observed && !n.From.After(o.From) && (o.From.Equal(n.From) || !o.To.After(n.To))
			if swallowed && !o.To.After(n.To) {
				measured(&n, o)
			}
			return swallowed
		})
		if !within {
			out = append(out, n)
		}
	}
	return out
}

// measured keeps what was measured of a part of a spell of which nothing else was: so much
// has fallen at the least.
func measured(whole *window.Rain, part window.Rain) {
	if !whole.HasMM {
		whole.MM, whole.HasMM = part.MM, part.HasMM
	}
}

// sameDays is the rain that earlier moves were told on the days of some more: the newest
// answer's word on a day is all that later ones have of it.
func sameDays(before, more []window.Rain) []window.Rain {
	return slices.DeleteFunc(slices.Clone(before), func(o window.Rain) bool {
		return !slices.ContainsFunc(more, func(n window.Rain) bool { return rainDay(o) == rainDay(n) })
	})
}

// rainDay numbers the day of a spell of rain, in UTC.
func rainDay(r window.Rain) int64 { return r.From.Unix() / int64(24*time.Hour/time.Second) }
