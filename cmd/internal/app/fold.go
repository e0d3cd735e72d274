package app

import (
	"slices"
	"time"

	"dewgap/window"
)

// folded adds rain that was told to what was told before it, so that a shower told twice
// falls once: asking again with the same --rain, or writing it down with dewgap log rain as
// well, would double it, and 3 mm that never fell would count as a rinse. Of two spells that
// begin together the later word stands; of two of which one lies within the other, the longer.
// What a forecast had is left alone, and showers beside each other are two.
func folded(before, more []window.Rain) []window.Rain {
	out := slices.Clone(before)
	for _, n := range more {
		if !n.Observed {
			out = append(out, n)
			continue
		}
		within := false
		out = slices.DeleteFunc(out, func(o window.Rain) bool {
			switch {
			case !o.Observed:
			case o.From.Equal(n.From):
				if o.To.Equal(n.To) && !n.HasMM {
					n.MM, n.HasMM = o.MM, o.HasMM
				}
				return true
			case n.From.Before(o.From) && !o.To.After(n.To):
				return true
			case o.From.Before(n.From) && !n.To.After(o.To):
				within = true
			}
			return false
		})
		if !within {
			out = append(out, n)
		}
	}
	return out
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
