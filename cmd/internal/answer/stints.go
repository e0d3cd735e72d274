package answer

import (
	"slices"
	"time"
)

// Stint is blocks of a plan that are told together: panels that the same people wash one
// after the other, with nothing to mind but the water. Any other block is a stint of its
// own.
type Stint []PlanBlock

// Panels are told together from so many on, where each begins soon after the one before.
const (
	stintLeast = 3
	stintGap   = 30 * time.Minute
)

// Stints gathers the blocks of a plan, in the order in which they begin.
func Stints(blocks []PlanBlock) []Stint {
	var out []Stint
	for _, r := range Gather(blocks, func(b *PlanBlock) *PlanBlock { return b }) {
		out = append(out, r)
	}
	return out
}

// Gather is Stints of a list whose elements have a block each.
func Gather[T any](list []T, block func(*T) *PlanBlock) [][]T {
	var all, out [][]T
	of, latest := make([]int, len(list)), map[int]int{} // the stint of each block, and the last of each person
	for i := range list {
		b, k := block(&list[i]), len(all)
		for _, p := range b.People {
			if before, ok := latest[p]; ok && b.goesOnFrom(block(&all[before][len(all[before])-1])) {
				k = before
			}
		}
		if slices.ContainsFunc(b.People, func(p int) bool { return latest[p] != k }) { // who comes from other work begins anew
			k = len(all)
		}
		if k == len(all) {
			all = append(all, nil)
		}
		of[i], all[k] = k, append(all[k], list[i])
		for _, p := range b.People {
			latest[p] = k
		}
	}
	for i := range list {
		switch r := all[of[i]]; {
		case len(r) < stintLeast:
			out = append(out, list[i:i+1:i+1])
		case slices.Index(of, of[i]) == i:
			out = append(out, r)
		}
	}
	return out
}

// goesOnFrom reports whether a block is the next of a stint after another.
func (x *PlanBlock) goesOnFrom(last *PlanBlock) bool {
	return simplyWashed(last) && simplyWashed(x) && last.Step == x.Step && last.Product == x.Product &&
		slices.Equal(last.People, x.People) && sameDate(last.From, x.From) && x.From.Sub(last.To) < stintGap
}

// simplyWashed reports whether there is nothing to be said of a block but how much is
// washed at a time.
func simplyWashed(b *PlanBlock) bool {
	return b.SectionM2 != nil && *b.SectionM2 > 0 && (b.State == "ideal" || b.State == Go) && !b.NeedsConsent && !b.FloodRinse && !b.Redo && !b.Rewash &&
		b.Coats <= 1 && b.Parts <= 1 && b.Mind == "" && b.RainBefore == nil && b.StaleWash == nil
}

// One is a stint as one block: from its beginning to its end, the worse of the states, the
// least sure, and the hours of all. Of a stint of several panels zone and water are those of
// the first.
func (r Stint) One() PlanBlock {
	b := r[0]
	for _, x := range r[1:] {
		b.To, b.WorkTo, b.Confidence, b.PersonHours = x.To, x.WorkTo, min(b.Confidence, x.Confidence), b.PersonHours+x.PersonHours
		if x.State == Go {
			b.State = x.State
		}
	}
	return b
}
