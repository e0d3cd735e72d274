package window

import (
	"cmp"
	"slices"

	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// settle pins what need not move and plans the rest for the best.
func (m *mover) settle(stay *plan.Result) (*Planned, error) {
	m.out.Blocks = 0
	for _, h := range m.holds {
		if h.old >= 0 {
			m.out.Blocks++
		}
	}
	m.pin(stay, nil)
	r, err := plan.Solve(m.p.in)
	if err != nil {
		return nil, err
	}
	if !r.Found { // what was found with the fewest moves stands anyhow
		r = m.recast(stay)
	}
	if m.anew != nil && m.moves(m.anew) <= m.moves(&r) && m.anew.Score.Less(r.Score) {
		r = *m.anew
	}
	if weak := m.weak(&r); len(weak) > 0 {
		m.pin(&r, weak)
		again, err := plan.Solve(m.p.in)
		if err != nil {
			return nil, err
		}
		if again.Found && helps(again.Score, r.Score) {
			r = again
		}
	}
	if err := m.washBehind(&r); err != nil {
		return nil, err
	}
	m.claim(stay, &r)
	m.sameFaces(&r)
	out := m.p.planned(r)
	m.p.tellDown(out)
	return out, nil
}

// claim says how many blocks a plan moves and whether no plan moves fewer. What the search
// has proven holds for the work as it is cut; where a work could be cut up more, only the
// blocks that cannot stand where they stood, whatever becomes of all others, are counted.
// Blocks that are moved for being less sure there are no part of the fewest, nor are washes
// that are moved behind the rain.
func (m *mover) claim(stay, r *plan.Result) {
	m.out.Moved, m.out.Least = m.moves(r), m.fallen()
	if m.cuttable() {
		m.out.Proven = m.out.Moved <= m.out.Least
		return
	}
	m.out.Least = max(m.out.Least, stay.Bound.Consents)
	m.out.Proven = m.out.Moved <= m.out.Least || stay.Proven > 0 && m.out.Moved <= stay.Score.Consents
}

// fallen is how many old blocks cannot stand where they stood even if there were nothing
// else to do.
func (m *mover) fallen() int {
	in, n := m.p.in, 0
	in.Stay = true
	for t, h := range m.holds {
		if h.old < 0 {
			continue
		}
		task := in.Tasks[t]
		task.Pinned = true
		if found, _ := in.Place(task); !found {
			n++
		}
	}
	return n
}

// cuttable reports whether some work could be booked in more parts than it is.
func (m *mover) cuttable() bool {
	return slices.ContainsFunc(m.p.works, func(w work) bool { return w.cuttable() })
}

// recast says of a plan that was made to move little what it asks of the person.
func (m *mover) recast(stay *plan.Result) plan.Result {
	r := *stay
	r.Blocks = slices.Clone(stay.Blocks)
	r.Proven, r.Score.Consents = 0, 0
	ends := make([]int, len(m.holds))
	for _, b := range r.Blocks {
		ends[b.Task] = b.To
	}
	for i := range r.Blocks {
		b := &r.Blocks[i]
		for _, a := range m.p.in.Tasks[b.Task].After {
			end := a.End
			if a.Task >= 0 {
				end = ends[a.Task]
			}
			if b.From < end+a.Go {
				b.State = verdict.Marginal
			}
		}
		if b.Consent = b.State == verdict.Marginal || b.Confidence < 0.5; b.Consent {
			r.Score.Consents++
		}
	}
	r.Bound = plan.Score{}
	return r
}

// pin holds every task that a plan leaves where it stood, except some.
func (m *mover) pin(r *plan.Result, except []int) {
	for _, b := range r.Blocks {
		m.p.in.Tasks[b.Task].Pinned = !m.movedBlock(b) && m.holds[b.Task].old >= 0 && !slices.Contains(except, b.Task)
	}
}

func (m *mover) moves(r *plan.Result) int {
	n := 0
	for _, b := range r.Blocks {
		if m.movedBlock(b) {
			n++
		}
	}
	return n
}

// movedBlock reports whether a block stands elsewhere than it did.
func (m *mover) movedBlock(b plan.Block) bool {
	h := m.holds[b.Task]
	if h.old < 0 {
		return false
	}
	work := h.work
	if b.Rewash {
		for _, a := range m.p.in.Tasks[b.Task].After {
			work += a.Overnight
		}
	}
	return b.From != h.From || b.WorkTo-b.From != (work+h.People-1)/h.People
}

// By how much a block must be less sure to be moved, and by how many five points
// the plan must gain by it.
const (
	muchLess   = 0.20
	fourPoints = 4
)

// weak are the blocks that stay where they were and are far less sure there, or
// ask for a yes that was not asked; one of today or tomorrow is locked and stays
// though it is marginal now.
func (m *mover) weak(r *plan.Result) []int {
	var out []int
	for _, b := range r.Blocks {
		h := m.holds[b.Task]
		if h.old < 0 || h.begun || m.movedBlock(b) {
			continue
		}
		old := m.in.Old[h.old]
		asks := b.Consent && !old.NeedsConsent && !m.locked(&old)
		if asks || old.Confidence-b.Confidence >= muchLess-1e-9 {
			out = append(out, b.Task)
		}
	}
	return out
}

// locked reports whether a block stands since the day before it, or will tonight.
func (m *mover) locked(b *Booked) bool {
	tomorrow := job.DateOf(m.in.Now.In(m.loc)).Next()
	return !tomorrow.Before(job.DateOf(b.From.In(m.loc)))
}

// helps reports whether a plan is so much better that a block is worth moving.
func helps(is, was plan.Score) bool {
	return is.Consents < was.Consents || is.Consents == was.Consents && is.FivePoints >= was.FivePoints+fourPoints
}

// sameFaces gives the people of each day the numbers under which most of their
// work stood before: within a day on which nobody is elsewhere they can be exchanged.
func (m *mover) sameFaces(r *plan.Result) {
	for d, day := range m.p.in.Days {
		if slices.ContainsFunc(m.p.in.Taken, func(x plan.Taken) bool {
			return x.Machine > 0 && x.Day == d || x.From < x.To && (m.p.in.Day[x.From] == d || m.p.in.Day[x.To-1] == d)
		}) {
			continue // they are not alike: each has hours of their own
		}
		var blocks []*plan.Block
		for i := range r.Blocks {
			if m.p.in.Day[r.Blocks[i].From] == d {
				blocks = append(blocks, &r.Blocks[i])
			}
		}
		names := m.names(blocks, day.People)
		for _, b := range blocks {
			people := make([]int, len(b.People))
			for i, x := range b.People {
				people[i] = names[x]
			}
			slices.Sort(people)
			b.People = people
		}
	}
}

// names are the numbers of a day's people, old by new: the pairs with most slots
// in common first.
func (m *mover) names(blocks []*plan.Block, people int) []int {
	type pair struct{ is, was, slots int }
	var pairs []pair
	common := make([]int, (people+1)*(people+1))
	for _, b := range blocks {
		h := m.holds[b.Task]
		if h.old < 0 || m.movedBlock(*b) {
			continue
		}
		for _, is := range b.People {
			for _, was := range m.in.Old[h.old].People {
				if was >= 1 && was <= people {
					common[is*(people+1)+was] += b.To - b.From
				}
			}
		}
	}
	for is := 1; is <= people; is++ {
		for was := 1; was <= people; was++ {
			pairs = append(pairs, pair{is, was, common[is*(people+1)+was]})
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(b.slots, a.slots) })
	out, taken := make([]int, people+1), make([]bool, people+1)
	for _, x := range pairs {
		if out[x.is] == 0 && !taken[x.was] {
			out[x.is], taken[x.was] = x.was, true
		}
	}
	return out
}
