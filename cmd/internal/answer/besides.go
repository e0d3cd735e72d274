package answer

import (
	"slices"

	"dewgap/window"
	"dewgap/window/verdict"
)

// bindingOf is the limit that decides a slot of a run: the slot's own where the row tells
// its slots apart, else that of the run.
func (b *builder) bindingOf(r *window.Row, run verdict.Run, i int) verdict.Limit {
	k := i - b.Result.From
	if r.Slots == nil || k < 0 || k >= len(r.Slots.Limit) || r.Slots.State[k] != run.State {
		return run.Limit
	}
	return r.Slots.Limit[k]
}

// kin are limits of one cause: who hears of gusts is not told of the wind as well.
var kin = map[verdict.Limit]verdict.Limit{
	verdict.GustMax: verdict.WindMax, verdict.DustWind: verdict.WindMax, verdict.DustGust: verdict.WindMax,
	verdict.UVMax: verdict.SunlightMax,
}

// causeOf is the limit itself, or the one that it is told as.
func causeOf(l verdict.Limit) verdict.Limit {
	if k, ok := kin[l]; ok {
		return k
	}
	return l
}

// besidesMost is how many of them are told.
const besidesMost = 2

// besides are, in words, the limits that a marginal run needs a yes for beside the one that is
// told of it, those of most slots first: a cold morning that ends in the sun is cold all the
// same, and a sheet over the panel would not do.
func (b *builder) besides(r *window.Row, run verdict.Run) []string {
	if run.State != verdict.Marginal {
		return nil
	}
	var counts [verdict.Limits]int
	var limits []verdict.Limit
	for i := run.From; i < run.To; i++ {
		l := causeOf(b.bindingOf(r, run, i))
		if l == causeOf(run.Limit) || planWords[l.String()] == "" {
			continue
		}
		if counts[l] == 0 {
			limits = append(limits, l)
		}
		counts[l]++
	}
	slices.SortStableFunc(limits, func(x, y verdict.Limit) int { return counts[y] - counts[x] })
	var out []string
	for _, l := range limits[:min(len(limits), besidesMost)] {
		out = append(out, planWords[l.String()])
	}
	return out
}
