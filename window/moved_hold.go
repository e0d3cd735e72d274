package window

import (
	"cmp"
	"math"
	"slices"
	"time"

	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// hold ties a task to the block that an earlier plan has for it.
type hold struct {
	old int // index into the old blocks, −1 without one
	plan.Held
	work int // of one person, slots
	// begun: its time has come and nobody said anything of it, so that it is presumed to
	// be under way; ends is where its last work ends and to where it ends, in slots. On:
	// all of it is on the panel and hazes.
	begun, on bool
	ends, to  int
}

// marks are what became of old blocks before anything was planned.
type marks struct {
	done    []bool // what it was for is done
	unknown []bool // the job has no such step or zone
}

// elsewhere is a place that no block can take: the task has to move.
const elsewhere = -1

// solve books what is left with the fewest blocks moved. What is presumed to be under
// way and has no place where it stood was not begun: all of it is booked anew.
func (m *mover) solve() (*Planned, error) {
	m.idle = map[int]bool{}
	for {
		p, err := m.solveOnce()
		if err != nil || !m.stopped(p) {
			return p, err
		}
	}
}

// stopped notes what is presumed to be under way and does not go on in a plan, and
// reports whether there is any.
func (m *mover) stopped(p *Planned) bool {
	going := map[int]bool{}
	for _, b := range p.Blocks {
		going[b.Task] = !m.movedBlock(b)
	}
	any := false
	for t, h := range m.holds {
		if h.begun && !going[t] {
			m.idle[h.old], any = true, true
		}
	}
	return any
}

// solveOnce is solve, given what was not begun.
func (m *mover) solveOnce() (*Planned, error) {
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

// planned is a result of the planner's.
func (p *planner) planned(r plan.Result) *Planned {
	notes := p.notes
	if r.Later > 0 {
		notes = append(slices.Clone(notes), endsLater)
	}
	return &Planned{
		Result: r, Tasks: p.tasks, Input: p.in, Notes: notes, Wetted: p.wetted(r.Blocks), SinceRain: p.sinceRain(r.Blocks),
		Soiled: p.soiled(r.Blocks), SinceDamp: p.sinceDamp(r.Blocks),
	}
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
		if !m.unlogged[i] && b.Step == m.p.j.Steps[w.step].Name && b.Zone == m.p.j.Zones[of].Name && b.Redo == (of != w.zone) && max(b.Coat, 1) == w.coat {
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
		if !m.idle[blocks[k]] && m.begun(b) {
			h.presume(m, b)
		}
		out = append(out, h)
	}
	slices.Reverse(out)
	// What is under way comes before what was missed: the parts of a work are alike.
	slices.SortStableFunc(out, func(a, b hold) int { return btoi(b.begun) - btoi(a.begun) })
	return out
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// begun reports whether an old block is presumed to be under way: its time has come
// and is not over, nobody has logged anything of it, and no rain that reaches the zone
// has fallen on it since.
func (m *mover) begun(b *Booked) bool {
	z, okZone := m.in.Job.Zone(b.Zone)
	s, okStep := m.in.Job.Step(b.Step)
	if !okZone || !okStep || !b.From.Before(m.in.Now) || !b.To.After(m.in.Now) || m.logged(s, z, b.From) {
		return false
	}
	return !m.rainedOn(b)
}

// logged reports whether work on a zone is said to have been done after a moment.
func (m *mover) logged(step, zone int, after time.Time) bool {
	d, ok := doneOn(m.in.Job, zone, m.in.Job.Steps[step])
	return ok && d.Share > 0 && d.At.After(after) ||
		slices.ContainsFunc(m.in.Worked, func(w Worked) bool { return w.Step == step && w.Zone == zone && w.To.After(after) })
}

// rainedOn reports whether rain has fallen on an old block between its start and now.
func (m *mover) rainedOn(b *Booked) bool {
	z, ok := m.in.Job.Zone(b.Zone)
	return ok && slices.ContainsFunc(m.out.Rain, func(r Rain) bool {
		return r.To.After(b.From) && r.From.Before(m.in.Now) && rainReaches(m.in.Job, z, r.From)
	})
}

// presume has what is left of a block go on from now to its end.
func (h *hold) presume(m *mover, b *Booked) {
	end := b.WorkTo
	if end.IsZero() || end.After(b.To) {
		end = b.To
	}
	slots := func(t time.Time) int { return int(math.Ceil(t.Sub(m.p.at(0)).Hours()/verdict.SlotHours - 1e-9)) }
	h.begun, h.on, h.From = true, !end.After(m.p.at(0)), 0
	h.ends = max(1, slots(end))
	h.to = max(h.ends, slots(b.To))
	h.work = h.ends * h.People
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
			m.goOn(t, h)
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

// goOn makes room for a block that goes on, or comes later on a day on which work has
// begun: its visit began before now, however little of it is left, and the last
// sections of what is under way haze as long as was planned.
func (m *mover) goOn(t *plan.Task, h hold) {
	if h.From >= 0 && m.p.in.Day[min(h.From, m.p.n-1)] == 0 && m.atWork {
		t.Alone = true
	}
	if !h.begun || h.ends > m.p.n {
		return
	}
	tail := make([]uint8, m.p.n)
	copy(tail, t.Tail)
	tail[h.ends-1] = uint8(min(250, h.to-h.ends))
	t.Tail = tail
	for i := range t.After {
		t.After[i].Overnight = 0 // it was washed when it was begun
	}
	if h.on {
		m.only(t, min(h.to, m.p.n))
	}
}

// only takes the verdict off the slots in which a task has nothing more to put on.
func (m *mover) only(t *plan.Task, to int) {
	words := len(m.p.in.Voters)
	t.State, t.Limit, t.Go, t.Marginal = slices.Clone(t.State), slices.Clone(t.Limit), slices.Clone(t.Go), slices.Clone(t.Marginal)
	for i := range min(to, len(t.State)) {
		t.State[i], t.Limit[i] = verdict.Go, verdict.None
		copy(t.Go[i*words:], m.p.in.Voters)
		copy(t.Marginal[i*words:], m.p.in.Voters)
	}
}

// arrive lets the crew be there from when the first block of today's old plan wanted
// it: who is to begin at half past seven sets up before, not half an hour from now.
func (m *mover) arrive() {
	today := job.DateOf(m.p.at(0))
	for i := range m.in.Old {
		b := &m.in.Old[i]
		if job.DateOf(b.From.In(m.loc)) != today {
			continue
		}
		m.atWork = m.atWork || b.From.Before(m.in.Now)
		since := int(math.Floor(b.From.Sub(m.p.at(0)).Hours()/verdict.SlotHours + 1e-9))
		if d := &m.p.in.Days[0]; d.Close > 0 {
			d.Open = min(d.Open, since-m.p.in.SetUp)
		}
	}
}

// keepOff keeps the strip wash of a spoiled part away from its neighbours on the
// same zone until they stand the water.
func (m *mover) keepOff(t *plan.Task) {
	of := m.out.Origin[t.Zone]
	c := m.p.classOf(t.Step, t.Zone)
	if of == t.Zone || !dirty(c, m.p.j.Steps[t.Step].Do) {
		return
	}
	for _, f := range m.out.Fates {
		if f.Zone != of || f.WantH == 0 || f.Fate == Redo {
			continue
		}
		film, _ := m.in.Classes.Class(m.in.Job.Steps[f.Step].With)
		until := standing{m.p.r, film, of, f.To}.until(noWaterH(&film))
		switch wiped := f.To.Add(hazing(m.p.r, m.in.Job, f.Step, of, &film)); {
		case until.IsZero():
			until = m.p.at(m.p.n)
		case wiped.After(until):
			until = wiped
		}
		a := plan.After{Task: -1, Limit: verdict.Order.String()}
		a.End, a.EndDay = m.p.slotOf(until)
		t.After = append(t.After, a)
	}
}
