package window

import (
	"slices"

	"dewgap/window/plan"
)

// behindBudget is what a search may take in which all but some washes and their films is
// pinned.
const behindBudget = 400_000

// washBehind moves washes that stand before rain whose film a move has put behind it, or
// that would lie too long before their film now: left where they were they would be paid
// twice, or somebody would come for them alone. All else stays where it is but such a film,
// and the plan asks for no more consent, is no less sure and is better by
// [planner.drierThan]. Such a wash is no part of the fewest moves.
func (m *mover) washBehind(r *plan.Result) error {
	m.behind = map[int]int{}
	films := m.parted(r)
	if len(films) == 0 || len(r.Blocks) > dryBlocks {
		return nil
	}
	in := m.p.in
	in.Tasks, in.Budget, in.Stay = slices.Clone(in.Tasks), behindBudget, false
	for _, b := range r.Blocks {
		in.Tasks[b.Task].Held, in.Tasks[b.Task].Pinned = plan.Held{From: b.From, People: len(b.People)}, true
	}
	is, err := plan.Solve(in)
	if err != nil || !is.Found {
		return err
	}
	if done, err := m.washAllBehind(r, in, is.Score, films); done || err != nil || len(films) == 1 {
		return err
	}
	for _, t := range films[:min(len(films), mostSingly)] {
		if _, err := m.washAllBehind(r, in, is.Score, []int{t}); err != nil {
			return err
		}
	}
	return nil
}

// parted are the tasks of a plan that want a wash before them anew though theirs is still
// to come: of those where the film or its wash stands elsewhere than it did.
func (m *mover) parted(r *plan.Result) []int {
	moved := map[int]bool{}
	for _, b := range r.Blocks {
		moved[b.Task] = m.movedBlock(b)
	}
	var out []int
	for t, w := range m.p.wetted(r.Blocks) {
		own := m.washesBefore(t, w.After)
		if w.Told || !washes(m.p.j.Steps[w.After]) || len(own) == 0 {
			continue
		}
		if !slices.ContainsFunc(own, func(k int) bool { return m.holds[k].begun }) &&
			slices.ContainsFunc(append(own, t), func(k int) bool { return moved[k] }) {
			out = append(out, t)
		}
	}
	slices.Sort(out)
	return out
}

// washesBefore are the tasks of a step on a task's zone.
func (m *mover) washesBefore(t, step int) []int {
	var out []int
	for k := range m.p.in.Tasks {
		if x := &m.p.in.Tasks[k]; x.Zone == m.p.in.Tasks[t].Zone && x.Step == step {
			out = append(out, k)
		}
	}
	return out
}

// washAllBehind moves the washes before some films behind the rain in a plan of which all
// is pinned, if that costs nothing; what it finds is pinned then.
func (m *mover) washAllBehind(r *plan.Result, pinned plan.Input, most plan.Score, films []int) (bool, error) {
	was := m.p.wetted(r.Blocks)
	in := pinned
	in.Tasks = slices.Clone(pinned.Tasks)
	for _, b := range r.Blocks { // what has moved may as well stand elsewhere
		if slices.Contains(films, b.Task) && m.movedBlock(b) {
			in.Tasks[b.Task].Pinned = false
		}
	}
	for _, t := range films {
		if w, still := was[t]; still {
			m.p.washAfterRain(&in, t, w.After)
		}
	}
	got, err := plan.Solve(in)
	if err != nil || !got.Found || got.Score.Consents > most.Consents || got.Score.FivePoints < most.FivePoints ||
		!m.p.drierThan(got.Score, m.p.wetted(got.Blocks), most, was) {
		return false, err
	}
	at := func(blocks []plan.Block, task int) *plan.Block {
		return &blocks[slices.IndexFunc(blocks, func(b plan.Block) bool { return b.Task == task })]
	}
	for _, t := range films {
		for _, k := range m.washesBefore(t, was[t].After) {
			if old := at(r.Blocks, k); !m.movedBlock(*old) && old.To <= at(got.Blocks, t).From {
				m.behind[k] = t // else it had to go anyhow
			}
		}
	}
	for _, b := range got.Blocks {
		pinned.Tasks[b.Task].Held = plan.Held{From: b.From, People: len(b.People)}
	}
	r.Proven = min(r.Proven, got.Score.Behind(r.Score))
	r.Blocks, r.Score, r.Confidence, r.Misses = got.Blocks, got.Score, got.Confidence, got.Misses
	return true, nil
}
