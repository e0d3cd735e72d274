package window

import (
	"slices"

	"dewgap/window/plan"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// nudgeSlots is by how much a block that has turned marginal may be shifted so that it
// is go again: an hour, for whoever comes then has promised nobody another day (common
// practice).
const nudgeSlots = surface.PerHour

// nudge shifts each block that stays and has turned marginal by at most an hour within
// its stretch, where it is go there and no other block that stays has to move for it.
func (m *mover) nudge(r plan.Result) (plan.Result, error) {
	in := m.p.in
	in.Tasks = slices.Clone(in.Tasks)
	for _, b := range r.Blocks {
		h := m.holds[b.Task]
		if h.old < 0 || h.begun || m.movedBlock(b) || !b.Consent || m.in.Old[h.old].NeedsConsent {
			continue
		}
		was := in.Tasks[b.Task]
		in.Tasks[b.Task] = nearby(was, b, m.p.in.Day)
		got, err := plan.Solve(in)
		if err != nil {
			return r, err
		}
		i := slices.IndexFunc(got.Blocks, func(x plan.Block) bool { return x.Task == b.Task })
		if in.Tasks[b.Task] = was; i < 0 || got.Blocks[i].Consent || got.Score.Consents >= r.Score.Consents {
			continue
		}
		r, m.out.Moved = got, m.moves(&got)
		in.Tasks[b.Task].Held = plan.Held{From: got.Blocks[i].From, People: len(got.Blocks[i].People)}
	}
	return r, nil
}

// nearby is a task that may stand within an hour of a block, in its stretch and with as
// many people.
func nearby(t plan.Task, b plan.Block, day []int) plan.Task {
	first, end := b.From, b.To
	for first > 0 && b.From-first < nudgeSlots && day[first-1] == day[b.From] && t.State[first-1].Workable() {
		first--
	}
	for end < len(t.State) && end-b.To < nudgeSlots && day[end] == day[b.From] && t.State[end].Workable() {
		end++
	}
	t.State = slices.Clone(t.State)
	for i := range t.State {
		if i < first || i >= end {
			t.State[i] = verdict.NoGo
		}
	}
	t.Pinned, t.Least, t.Most = false, len(b.People), len(b.People)
	return t
}

// turnedMarginal is the limit by which a block that asked for no yes would need one now
// where it stood; None where it would not.
func turnedMarginal(t *plan.Task, old *Booked, from, to int) verdict.Limit {
	if old.NeedsConsent || old.State == verdict.Marginal {
		return verdict.None
	}
	for i := from; i < min(to, len(t.State)); i++ {
		if t.State[i] == verdict.Marginal {
			return t.Limit[i]
		}
	}
	return verdict.None
}
