package window

import (
	"cmp"
	"math"
	"slices"

	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// hold ties a task to the block that an earlier plan has for it.
type hold struct {
	old int // index into the old blocks, −1 without one
	plan.Held
	work int // of one person, slots
}

// marks are what became of old blocks before anything was planned.
type marks struct {
	done    []bool // what it was for is done
	unknown []bool // the job has no such step or zone
}

// elsewhere is a place that no block can take: the task has to move.
const elsewhere = -1

// solve books what is left with the fewest blocks moved.
func (m *mover) solve() (*Planned, error) {
	parts := m.assign()
	m.anew = nil
	for range mostSplits {
		m.input(parts)
		r, err := m.least()
		if err != nil {
			return nil, err
		}
		if r.Found {
			return m.settle(m.stayMore(&r))
		}
		work := m.p.workOf(r.Refusal)
		if work < 0 || !m.p.splitMore(r.Refusal) {
			return m.p.planned(r), nil
		}
		parts[work] = nil // in more parts it stands nowhere yet
	}
	m.input(parts)
	r, err := m.least()
	if err != nil || !r.Found {
		return m.p.planned(r), err
	}
	return m.settle(m.stayMore(&r))
}

// least is the plan that moves the fewest; where none is found so, whatever plan
// there is, or why there is none.
func (m *mover) least() (plan.Result, error) {
	r, err := m.stay(m.p.in.Budget)
	if err != nil || r.Found {
		return r, err
	}
	if r, err = plan.Solve(m.p.in); r.Found {
		m.anew = &r
		out := r
		out.Score.Consents, out.Proven, out.Bound = m.moves(&r), 0, plan.Score{}
		return out, err
	}
	return r, err
}

// stay looks for the plan that moves the fewest of what is not pinned.
func (m *mover) stay(budget int) (plan.Result, error) {
	in := m.p.in
	in.Stay, in.Budget = true, budget
	return plan.Solve(in)
}

// What looking whether more blocks can stay may take: steps of one try, and tries.
const (
	tryBudget = 40_000
	mostTries = 24
)

// stayMore works on a plan that is not proven to move the fewest: it pins blocks to
// where they stood and keeps to whatever the planner finds a plan for, first those
// that the plan moved, then all of them anew; and it looks at the plan that would
// be made without an old one.
func (m *mover) stayMore(r *plan.Result) *plan.Result {
	out := *r
	if r.Proven > 0 {
		return &out
	}
	m.tries = mostTries
	best := m.fresh(r)
	for _, from := range []*plan.Result{best, nil} {
		if best.Score.Consents <= r.Bound.Consents {
			break
		}
		if x := m.pinMore(from); x != nil && x.Score.Consents < best.Score.Consents {
			best = x
		}
	}
	out = *best
	out.Bound.Consents = r.Bound.Consents
	if out.Proven = 0; out.Score.Consents == r.Bound.Consents {
		out.Proven = 1
	}
	return &out
}

// pinMore pins what a plan leaves where it stood and then as many of the other
// blocks as there is a plan for; nil where it found none.
func (m *mover) pinMore(r *plan.Result) *plan.Result {
	m.unpin()
	if r != nil {
		m.pin(r, nil)
	}
	var tasks []int
	for t, h := range m.holds {
		if h.old >= 0 && h.From >= 0 && !m.p.in.Tasks[t].Pinned {
			tasks = append(tasks, t)
		}
	}
	slices.SortStableFunc(tasks, func(a, b int) int { return cmp.Compare(m.holds[a].From, m.holds[b].From) })
	best := m.pinSome(tasks)
	m.unpin()
	if best == nil {
		return r
	}
	return best
}

func (m *mover) unpin() {
	for t := range m.p.in.Tasks {
		m.p.in.Tasks[t].Pinned = false
	}
}

// pinSome pins all of some tasks if there is a plan with them, else the half of
// them and the other half in the same way. It gives the last plan found.
func (m *mover) pinSome(tasks []int) *plan.Result {
	if len(tasks) == 0 || m.tries == 0 {
		return nil
	}
	m.tries--
	for _, t := range tasks {
		m.p.in.Tasks[t].Pinned = true
	}
	if got, err := m.stay(tryBudget); err == nil && got.Found {
		return &got
	}
	for _, t := range tasks {
		m.p.in.Tasks[t].Pinned = false
	}
	if len(tasks) == 1 {
		return nil
	}
	half := len(tasks) / 2
	best := m.pinSome(tasks[half:])
	if x := m.pinSome(tasks[:half]); x != nil {
		best = x
	}
	return best
}

// fresh is the plan that would be made without regard for the old one, where it
// moves fewer blocks than another.
func (m *mover) fresh(r *plan.Result) *plan.Result {
	if m.anew == nil {
		got, err := plan.Solve(m.p.in)
		if err != nil || !got.Found {
			return r
		}
		m.anew = &got
	}
	out := *m.anew
	if out.Score.Consents = m.moves(m.anew); out.Score.Consents >= r.Score.Consents {
		return r
	}
	return &out
}

// pinEach pins what a plan leaves where it stood, then the other tasks one by one
// where there is a plan with them; nil where it found none.
func (m *mover) pinEach(r *plan.Result, tasks []int, left *int) *plan.Result {
	for t := range m.p.in.Tasks {
		m.p.in.Tasks[t].Pinned = false
	}
	if r != nil {
		m.pin(r, nil)
	}
	best := r
	for _, t := range tasks {
		x := &m.p.in.Tasks[t]
		if x.Pinned || *left <= 0 {
			continue
		}
		x.Pinned = true
		got, err := m.stay(min(tryBudget, *left))
		*left -= got.Steps + 1
		if err != nil || !got.Found {
			x.Pinned = false
			continue
		}
		best = &got
		if r != nil {
			m.pin(best, nil)
		}
	}
	for t := range m.p.in.Tasks {
		m.p.in.Tasks[t].Pinned = false
	}
	return best
}

// planned is a result of the planner's.
func (p *planner) planned(r plan.Result) *Planned {
	return &Planned{Result: r, Tasks: p.tasks, Input: p.in, Notes: p.notes}
}

// workOf is the work of the task that found no place, −1 where it is none.
func (p *planner) workOf(r *plan.Refusal) int {
	for i := range p.works {
		if r != nil && r.Task >= p.first[i] && r.Task <= p.last[i] {
			return i
		}
	}
	return -1
}

// assign finds the old blocks of every work: as many of its latest as it takes to
// do what is left. Their number is that of the work's parts.
func (m *mover) assign() [][]hold {
	p := m.p
	m.marks = marks{done: make([]bool, len(m.in.Old)), unknown: make([]bool, len(m.in.Old))}
	for i, b := range m.in.Old {
		_, okZone := p.j.Zone(b.Zone)
		_, okStep := p.j.Step(b.Step)
		m.marks.unknown[i] = !okZone || !okStep
		m.marks.done[i] = okZone && okStep
	}
	out := make([][]hold, len(p.works))
	for i := range p.works {
		w := &p.works[i]
		out[i] = m.left(m.blocksOf(w), w.person)
		for _, h := range out[i] {
			m.marks.done[h.old] = false
		}
		if len(out[i]) > 0 {
			w.parts = len(out[i])
		}
	}
	return out
}

// blocksOf are the old blocks of a work, by their start.
func (m *mover) blocksOf(w *work) []int {
	var out []int
	for i, b := range m.in.Old {
		of := m.out.Origin[w.zone]
		if b.Step == m.p.j.Steps[w.step].Name && b.Zone == m.p.j.Zones[of].Name && b.Redo == (of != w.zone) && max(b.Coat, 1) == w.coat {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return m.in.Old[a].From.Compare(m.in.Old[b].From) })
	return out
}

// left takes, from the last block back, as many as the work needs, each with its
// own share of it; the first of them gets the rest.
func (m *mover) left(blocks []int, work int) []hold {
	var out []hold
	for k := len(blocks) - 1; k >= 0 && work > 0; k-- {
		b := &m.in.Old[blocks[k]]
		h := hold{old: blocks[k], Held: m.held(b), work: min(work, m.workOf(b))}
		if k == 0 {
			h.work = work
		}
		work -= h.work
		out = append(out, h)
	}
	slices.Reverse(out)
	return out
}

// workOf is the work of an old block, in slots of one person.
func (m *mover) workOf(b *Booked) int {
	h := b.PersonHours
	if h <= 0 {
		end := b.WorkTo
		if end.IsZero() {
			end = b.To
		}
		h = end.Sub(b.From).Hours() * float64(max(1, len(b.People)))
	}
	return max(1, int(math.Ceil(h/verdict.SlotHours-0.05)))
}

// held is where an old block stands in the horizon; what was to have begun before
// it stands elsewhere.
func (m *mover) held(b *Booked) plan.Held {
	h := plan.Held{From: elsewhere, People: max(1, len(b.People))}
	if since := b.From.Sub(m.p.at(0)); since >= 0 && !b.From.Before(m.in.Now) {
		h.From = int(math.Round(since.Hours() / verdict.SlotHours))
	}
	return h
}

// input makes the tasks, holds them where they stood, and keeps water off what
// was sealed next to a part that is stripped again.
func (m *mover) input(parts [][]hold) {
	p := m.p
	p.input()
	m.holds = make([]hold, len(p.in.Tasks))
	for i := range p.works {
		for k := p.first[i]; k <= p.last[i]; k++ {
			if m.holds[k].old = -1; parts[i] == nil {
				continue
			}
			h := parts[i][k-p.first[i]]
			t, said := &p.in.Tasks[k], &p.tasks[k]
			m.holds[k], t.Held = h, h.Held
			share := float64(h.work) / float64(p.works[i].person)
			said.AreaM2 = p.works[i].task.AreaM2 * share
			said.Share, said.PersonHours = share, float64(h.work)*verdict.SlotHours
			t.Work = h.work
		}
	}
	for t := range p.in.Tasks {
		m.keepOff(&p.in.Tasks[t])
	}
}

// keepOff keeps the strip wash of a spoiled part away from its neighbours on the
// same zone until they stand the water.
func (m *mover) keepOff(t *plan.Task) {
	of := m.out.Origin[t.Zone]
	c := m.p.classOf(t.Step, t.Zone)
	if of == t.Zone || !wet(c, m.p.j.Steps[t.Step].Do) {
		return
	}
	for _, f := range m.out.Fates {
		if f.Zone != of || f.WantH == 0 || f.Fate == Redo {
			continue
		}
		a := plan.After{Task: -1, Go: slotsOfHours(f.WantH), Limit: verdict.RainFree.String()}
		a.Hard = min(a.Go, slotsOfHours(f.HardH))
		a.End, a.EndDay = m.p.slotOf(f.To)
		t.After = append(t.After, a)
	}
}

// settle pins what need not move and plans the rest for the best.
func (m *mover) settle(stay *plan.Result) (*Planned, error) {
	m.out.Moved, m.out.Blocks = stay.Score.Consents, 0
	m.out.Proven, m.out.Least = stay.Proven > 0, stay.Bound.Consents
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
			m.out.Moved = m.moves(&r)
		}
	}
	m.sameFaces(&r)
	return m.p.planned(r), nil
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
		if h.old < 0 || m.movedBlock(b) {
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
// work stood before: within a day they can be exchanged.
func (m *mover) sameFaces(r *plan.Result) {
	for d, day := range m.p.in.Days {
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
