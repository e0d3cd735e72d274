package answer

import (
	"slices"
	"time"

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

// causeWords are planWords of a limit by its name, or of the one that it is told as.
func causeWords(limit string) string {
	for l, told := range kin {
		if l.String() == limit {
			limit = told.String()
		}
	}
	return planWords[limit]
}

// AlsoFor words what marginal windows told in one need a yes for beside the limit of the
// first, those of the others and their Besides, each once: "in other hours the air is too
// cold"; "" where that is nothing.
func AlsoFor(ws []Window) string {
	where := "in other hours "
	var out []string
	for i := range ws {
		if ws[i].State != "marginal" {
			continue
		}
		if ws[i].Zone != ws[0].Zone {
			where = "in other hours or on other zones "
		}
		for _, words := range append([]string{causeWords(ws[i].Binding.Limit)}, ws[i].Besides...) {
			if words != "" && words != causeWords(ws[0].Binding.Limit) && !slices.Contains(out, words) {
				out = append(out, words)
			}
		}
	}
	if len(out) == 0 {
		return ""
	}
	return where + Listed(out)
}

// ReadyAt is when the work that comes first can be done at the soonest on all of some windows'
// zones, where a block that is told of one of them begins before that: the ranks are those
// of the step's own hours. It is nil where none does.
func ReadyAt(ws []Window) *time.Time {
	var last *time.Time
	for i := range ws {
		block, _ := ws[i].Told()
		if at := ws[i].ReadyAt; block != nil && at != nil && block.From.Before(*at) && (last == nil || at.After(*last)) {
			last = at
		}
	}
	return last
}
