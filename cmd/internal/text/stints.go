package text

import (
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// stint is blocks of a plan that are told together: panels that the same people wash one
// after the other, with nothing to mind but the water. Any other block is a stint of its
// own.
type stint []answer.PlanBlock

// Panels are told together from so many on, where each begins soon after the one before.
const (
	stintLeast = 3
	stintGap   = 30 * time.Minute
)

// stints gathers the blocks of a plan, in the order in which they begin.
func stints(blocks []answer.PlanBlock) []stint {
	var all, out []stint
	of, latest := make([]int, len(blocks)), map[int]int{} // the stint of each block, and the last of each person
	for i, b := range blocks {
		k := len(all)
		for _, p := range b.People {
			if before, ok := latest[p]; ok && all[before].goesOn(b) {
				k = before
			}
		}
		if slices.ContainsFunc(b.People, func(p int) bool { return latest[p] != k }) { // who comes from other work begins anew
			k = len(all)
		}
		if k == len(all) {
			all = append(all, nil)
		}
		of[i], all[k] = k, append(all[k], b)
		for _, p := range b.People {
			latest[p] = k
		}
	}
	for i, b := range blocks {
		switch r := all[of[i]]; {
		case len(r) < stintLeast:
			out = append(out, stint{b})
		case slices.Index(of, of[i]) == i:
			out = append(out, r)
		}
	}
	return out
}

// goesOn reports whether a block is the next of a stint.
func (r stint) goesOn(b answer.PlanBlock) bool {
	last := r[len(r)-1]
	return simplyWashed(last) && simplyWashed(b) && last.Step == b.Step && last.Product == b.Product &&
		slices.Equal(last.People, b.People) && sameDay(last.From, b.From) && b.From.Sub(last.To) < stintGap
}

// simplyWashed reports whether there is nothing to be said of a block but how much is
// washed at a time.
func simplyWashed(b answer.PlanBlock) bool {
	return finite(b.SectionM2) && (b.State == "ideal" || b.State == "go") && !b.NeedsConsent && !b.FloodRinse && !b.Redo && !b.Rewash &&
		b.Coats <= 1 && b.Parts <= 1 && b.Mind == "" && b.RainBefore == nil && b.StaleWash == nil
}

// one is a stint as one block, with the worse of its states.
func (r stint) one() answer.PlanBlock {
	b := r[0]
	b.To = r[len(r)-1].To
	for _, x := range r[1:] {
		if x.State == "go" {
			b.State = x.State
		}
	}
	return b
}

// panels names the panels of a stint, each with when it is begun.
func (r stint) panels() string {
	parts := make([]string, len(r))
	for i, b := range r {
		parts[i] = tie(name(b.Zone, zoneCells) + " " + clock(b.From))
	}
	return strings.Join(parts, ", ")
}
