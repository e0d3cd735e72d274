package answer

import (
	"cmp"
	"fmt"
	"slices"

	"dewgap/window"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// consentFor is what a block needs the person's yes for; "" where it needs none.
func (b *builder) consentFor(p *window.Planned, x plan.Block) string {
	switch {
	case x.State == verdict.Marginal:
		return b.marginalBy(p, x)
	case x.Consent:
		return FewHold
	}
	return ""
}

// FewHold is what a block that is go needs a yes for where few forecasts agree.
const FewHold = "it holds in fewer than half of the forecasts"

// lookForDull is what a panel needs that has lain bare of a compound or polish for longer than
// it should.
const lookForDull = "it has lain bare too long: look whether it has dulled, and polish it again where it has"

// manyLimits is how many limits stand against a block in its hours, one in each, for it to be
// looked at first: one or two are weighed on the spot (common practice, no source).
const manyLimits = 3

// against is a limit that a block stands against, and for how many slots.
type against struct {
	word  string
	slots int
}

// againstAll lists the limits of a block's own slots and of what lies before it, each cause
// once, those of most slots first.
func againstAll(p *window.Planned, x plan.Block) []against {
	t := p.Input.Tasks[x.Task]
	out := slotsAgainst(&t, x.From, x.To)
	dry := clockWord(verdict.DryOff.String())
	for _, a := range t.After {
		told := slices.ContainsFunc(out, func(l against) bool { return l.word == dry })
		if a.Task >= 0 && a.Limit == verdict.DryOff.String() && a.Go > a.Hard && !told && x.Dried >= 0 && x.Dried < a.Go {
			out = append(out, against{dry, a.Go - x.Dried})
		}
	}
	if dull := p.Tasks[x.Task].Dull; dull > 0 && x.To > dull {
		out = append(out, against{lookForDull, x.To - max(x.From, dull)})
	}
	slices.SortStableFunc(out, func(k, l against) int { return cmp.Compare(l.slots, k.slots) })
	return out
}

// slotsAgainst lists the limits of marginal slots of a task as they come up.
func slotsAgainst(t *plan.Task, from, to int) []against {
	var out []against
	var causes []verdict.Limit // gusts and wind are one cause
	for i := from; i < to; i++ {
		if t.State[i] != verdict.Marginal || t.Limit[i] == verdict.Recoat { // of that PlanTask.Dull tells
			continue
		}
		l, word := causeOf(t.Limit[i]), clockWord(t.Limit[i].String())
		k := slices.Index(causes, l)
		if k < 0 {
			k = slices.IndexFunc(out, func(x against) bool { return x.word == word })
		}
		if k < 0 {
			k, causes, out = len(out), append(causes, l), append(out, against{word: word})
		}
		out[k].slots++
	}
	return out
}

// marginalBy words what makes a block marginal: the limits of its own slots,
// else what lies before or after it.
func (b *builder) marginalBy(p *window.Planned, x plan.Block) string {
	all := againstAll(p, x)
	if len(all) == 0 {
		return "it is not cured through by the " + b.mustName()
	}
	words := make([]string, len(all))
	for i := range all {
		words[i] = all[i].word
	}
	if len(all) < manyLimits {
		return Listed(words)
	}
	return fmt.Sprintf("%d limits stand against it in its hours%s, longest first: %s", len(all), b.fewerLater(p, x), Listed(words))
}

// fewerLater says in which hours of a later day the work of a block stands against the fewest
// limits, if those are fewer than here; counted alike on both days, with the wash before it
// where the plan has it.
func (b *builder) fewerLater(p *window.Planned, x plan.Block) string {
	t, in := &p.Input.Tasks[x.Task], &p.Input
	best, from, manned := len(againstAll(p, x)), -1, in.Mans(x)
	for s := x.To; s+x.To-x.From <= len(in.Day) && best > 0; s++ {
		end := s + x.To - x.From
		d := &in.Days[in.Day[s]]
		if in.Day[s] == in.Day[x.From] || in.Day[end-1] != in.Day[s] || s-in.SetUp < d.Open || end+in.PackUp > d.Close ||
			t.Until > 0 && end > t.Until || slices.ContainsFunc(t.State[s:end], func(s verdict.State) bool { return !s.Workable() }) {
			continue
		}
		later := x
		later.From, later.To = s, end
		if x.Dried >= 0 {
			later.Dried += s - x.From
		}
		if k := len(againstAll(p, later)); k < best && manned(s) {
			best, from = k, s
		}
	}
	if from < 0 {
		return ""
	}
	many := "none"
	if best > 0 {
		many = fmt.Sprintf("only %d", best)
	}
	return fmt.Sprintf(", %s in as many hours from %s", many, b.at(b.Result.From+from).Format(stamp))
}

// lookFirst says how many blocks of a plan stand against many limits in their hours; "" where
// none does.
func lookFirst(p *window.Planned) string {
	n := 0
	for _, x := range p.Blocks {
		if x.State == verdict.Marginal && len(againstAll(p, x)) >= manyLimits {
			n++
		}
	}
	switch n {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("1 of them stands against %d limits or more in its hours: look at it first", manyLimits)
	}
	return fmt.Sprintf("%d of them stand against %d limits or more in their hours: look at them first", n, manyLimits)
}

// mustName is the first of the moments that the job must meet.
func (b *builder) mustName() string {
	name := ""
	for k := range b.Job.Must {
		if name == "" || k < name {
			name = k
		}
	}
	return name
}
