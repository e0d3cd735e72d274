package window

import (
	mathbits "math/bits"
	"slices"
	"time"

	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// Became is what became of a block.
type Became uint8

// What becomes of a block.
const (
	Kept     Became = iota // it stands where it stood
	Shifted                // it stands elsewhere
	Added                  // it is new
	Done                   // its work is done
	Dropped                // the job has no such work any longer, or rain has it booked anew: WhyRedo, or WhyCovered
	Homeless               // there is no plan in which it has a place
)

var becameNames = [...]string{"kept", "moved", "added", "done", "dropped", "none"}

// String is its name, as the JSON answer promises it.
func (b Became) String() string { return becameNames[b] }

// Why is the reason for a change.
type Why uint8

// The reasons.
const (
	WhyStands    Why = iota // nothing forces it away
	WhyLost                 // it was due before now and nobody logged it as done
	WhyUnderWay             // kept: presumed to be under way; moved: some of it is done and it is not finished
	WhyWeather              // its old hours do not allow it any longer: Limit
	WhyClock                // too soon after what was done before it: Limit
	WhyOrder                // what must come before it moved, or keeps water off it: Other
	WhyRoom                 // others take its people or its hours
	WhyWeak                 // much less sure there than it was
	WhyRedo                 // spoiled by rain
	WhyRewash               // wetted while it lay bare
	WhyNew                  // the old plan had no block for it
	WhyStale                // washed too long ago for what comes next
	WhyEarly                // done before work by machine that came after it
	WhyVisit                // alone there it would be too short a visit: the work beside it is done or elsewhere
	WhyDrier                // a wash: else it would lie before rain, or too long, for the block that it is for: Other
	WhyAhead                // what comes after it stands before the end of its old hours: Other
	WhyUnlogged             // kept without a block of the new plan: over, and taken to be done until nobody logs it in time
	WhyPolishers            // too few machines for it there beside what others do with them
	WhyCovered              // some of it was logged, and then a later step over all of it
)

var whyNames = [...]string{
	"stands", "lost", "under_way", "weather", "clock", "order", "room", "less_sure", "redo", "rewash", "new", "stale_wash", "early_wash", "short_visit", "rain_between", "order_after", "unlogged", "polishers", "covered",
}

// String is its name, as the JSON answer promises it.
func (w Why) String() string { return whyNames[w] }

// Change is what became of one block and why.
type Change struct {
	Became Became
	Old    int // index into the old blocks, −1 without one
	New    int // index into Planned.Blocks, −1 without one
	Why    Why
	Limit  verdict.Limit // for WhyWeather
	Clock  string        // for WhyClock: the limit's name
	Other  int           // for WhyOrder, WhyDrier and WhyAhead: index into Planned.Blocks, else −1
}

// compare lists the changes.
func (m *mover) compare() {
	p := m.out.Planned
	at := map[int]int{} // block by task
	for i, b := range p.Blocks {
		at[b.Task] = i
	}
	told := make([]bool, len(m.in.Old))
	for i, b := range p.Blocks {
		h := m.holds[b.Task]
		c := Change{Old: h.old, New: i, Other: -1}
		switch {
		case h.old < 0:
			c.Became, c.Why = Added, m.whyAdded(b)
		case m.movedBlock(b):
			c.Became = Shifted
			m.whyMoved(&c, b, at)
		case h.begun:
			c.Why = WhyUnderWay
		}
		if h.old >= 0 {
			told[h.old] = true
		}
		m.out.Changes = append(m.out.Changes, c)
		if t := p.Tasks[b.Task]; c.Why == WhyRedo || c.Why == WhyRewash {
			m.out.AddedH += t.PersonHours
		}
	}
	for i := range m.in.Old {
		if told[i] {
			continue
		}
		c := Change{Became: Homeless, Old: i, New: -1, Other: -1}
		switch {
		case m.unlogged[i]:
			c.Became, c.Why = Kept, WhyUnlogged
			m.out.Blocks++
		case m.marks.unknown != nil && m.marks.unknown[i]:
			c.Became = Dropped
		case m.replaced(i):
			c.Became, c.Why = Dropped, WhyRedo
			m.out.AddedH = max(0, m.out.AddedH-float64(m.workOf(&m.in.Old[i]))*verdict.SlotHours) // it was to be done anyway
		case m.covered(i):
			c.Became, c.Why = Dropped, WhyCovered
		case m.marks.done != nil && m.marks.done[i]:
			c.Became = Done
		case p.Found: // its work is now cut otherwise
			c.Became, c.Why = Shifted, WhyRoom
			m.out.Moved, m.out.Blocks, m.out.Proven = m.out.Moved+1, m.out.Blocks+1, false
		}
		m.out.Changes = append(m.out.Changes, c)
	}
}

// coatSlack is how much of a coat may be logged too much by whoever rounds the share.
const coatSlack = 0.05

// replaced reports whether an old block is for a coat that had still to come on all of its
// zone when rain spoiled the one under it: the part to be redone has blocks of its own.
func (m *mover) replaced(old int) bool {
	b := &m.in.Old[old]
	z, okZone := m.in.Job.Zone(b.Zone)
	s, okStep := m.in.Job.Step(b.Step)
	if !okZone || !okStep || b.Redo || !slices.ContainsFunc(m.out.Undone, func(u Undone) bool {
		return u.Step == s && u.Zone == z && u.Fate == Redo && !u.Whole
	}) {
		return false
	}
	return m.coatsOn(s, z) < float64(max(b.Coat, 1)-1)+coatSlack
}

// covered reports whether an old block was for the rest of work that a later step has
// covered since: it ends after the last of the work was logged.
func (m *mover) covered(old int) bool {
	b := &m.in.Old[old]
	return slices.ContainsFunc(m.out.Stock.Taken, func(t Taken) bool {
		s := m.in.Job.Steps[t.Step]
		d, _ := doneOn(m.in.Job, t.Zone, s)
		return t.Logged > 0 && s.Name == b.Step && m.in.Job.Zones[t.Zone].Name == b.Zone && b.To.After(d.At)
	})
}

// coatsOn is how many coats of a step were put on a zone, by the job or by who told of the
// work, though rain has spoiled them since.
func (m *mover) coatsOn(step, zone int) float64 {
	s, told := m.in.Job.Steps[step], 0.0
	for _, w := range m.in.Worked {
		if w.Step == step && w.Zone == zone {
			told += w.Share
		}
	}
	d, _ := doneOn(m.in.Job, zone, s)
	return max(d.Share*float64(max(1, s.Coats)), min(told, 1))
}

// whyAdded says why a block is new.
func (m *mover) whyAdded(b plan.Block) Why {
	t := m.p.in.Tasks[b.Task]
	switch _, given := m.in.Job.Step(m.p.j.Steps[t.Step].Name); {
	case m.out.Origin[t.Zone] != t.Zone:
		return WhyRedo
	case !given:
		return WhyRewash
	}
	return m.taken(t.Step, t.Zone)
}

// taken says why what was done of a step on a zone counts no longer; WhyNew where it does,
// or nothing was.
func (m *mover) taken(step, zone int) Why {
	for _, u := range m.out.Undone {
		if u.Fate != Rewash || u.Zone != zone || m.in.Job.Steps[u.Step].Name != m.p.j.Steps[step].Name {
			continue
		}
		switch {
		case u.Stale:
			return WhyStale
		case u.Early:
			return WhyEarly
		}
		return WhyRewash
	}
	return WhyNew
}

// whyMoved finds what keeps a block from where it stood, in the plan as it is now.
func (m *mover) whyMoved(c *Change, b plan.Block, at map[int]int) {
	h, t := m.holds[b.Task], &m.p.in.Tasks[b.Task]
	old := &m.in.Old[h.old]
	if why := m.taken(t.Step, t.Zone); why != WhyNew && !old.From.After(m.in.Now) {
		c.Why = why
		return
	}
	if h.From < 0 && m.whyNotGoing(c, old) {
		return
	}
	if film, ok := m.behind[b.Task]; ok && h.From >= 0 {
		c.Why, c.Other = WhyDrier, at[film]
		return
	}
	if h.From < 0 { // what would be left of it now
		h.presume(m, old)
	}
	work := h.From + (h.work+h.People-1)/h.People
	end := work
	if t.Tail != nil && work <= len(t.Tail) {
		end += int(t.Tail[work-1])
	}
	c.Limit = m.closed(t, h.From, end)
	if c.Limit == verdict.DryOff && justWashed(t, h.From) {
		c.Limit = verdict.None // no weather: their own water, see the clocks below
	}
	if c.Limit != verdict.None {
		c.Why = WhyWeather
		return
	}
	for _, a := range t.After {
		switch {
		case a.Task < 0 && h.From < a.End+a.Hard:
			c.Why, c.Clock = WhyClock, a.Limit
			return
		case a.Task >= 0 && h.From < m.out.Planned.Blocks[at[a.Task]].To+a.Hard:
			c.Why, c.Other = WhyOrder, at[a.Task]
			return
		}
	}
	if c.Other = m.wetted(b.Task, h.From, end, at); c.Other >= 0 {
		c.Why = WhyOrder
		return
	}
	if c.Why = WhyRoom; old.From.Before(m.in.Now) && m.rainedOn(old) {
		c.Why, c.Limit = WhyWeather, verdict.Film
		return
	}
	m.whyNoRoom(c, b.Task, &h, work, end)
}

// whyNoRoom finds what keeps a task from where it stood, worked until a slot and hazed until
// another, where neither weather nor clocks nor order do.
func (m *mover) whyNoRoom(c *Change, task int, h *hold, work, end int) {
	switch {
	case m.in.Old[h.old].Confidence-m.surely(&m.p.in.Tasks[task], h.From, end) >= muchLess-1e-9:
		c.Why = WhyWeak
	case m.busy(task, h.From, end, h.People):
	case m.machinesBusy(task, h.From, work, h.People):
		c.Why = WhyPolishers
	case m.p.in.TooShort(m.out.Planned.Blocks, task, h.From, end):
		c.Why = WhyVisit
	default:
		if other := m.ahead(task, work); other >= 0 {
			c.Why, c.Other = WhyAhead, other
		}
	}
}

// ahead is the first block of what must come after a task that begins before the task, done
// until a slot, would leave room for it; −1 if none does.
func (m *mover) ahead(task, until int) int {
	first := -1
	blocks := m.out.Planned.Blocks
	for i, x := range blocks {
		for _, a := range m.p.in.Tasks[x.Task].After {
			if a.Task == task && x.From < until+a.Hard && (first < 0 || x.From < blocks[first].From) {
				first = i
			}
		}
	}
	return first
}

// busy reports whether in a stretch others are at work on the task's zone, or too many of
// the crew elsewhere, on this boat or another.
func (m *mover) busy(task, from, to, people int) bool {
	crew := m.p.in.Days[m.p.in.Day[from]].People
	for i := from; i < to; i++ {
		at := people + m.p.gone(i, crew)
		if at > crew {
			return true
		}
		for _, x := range m.out.Planned.Blocks {
			if x.Task == task || i < x.From || i >= x.To {
				continue
			}
			if at += len(x.People); at > crew || m.p.in.Tasks[x.Task].Zone == m.p.in.Tasks[task].Zone {
				return true
			}
		}
	}
	return false
}

// machinesBusy reports whether a task's people would want more machines, from a slot to
// another, than others leave them.
func (m *mover) machinesBusy(task, from, to, people int) bool {
	in := &m.p.in
	if in.Machines == 0 || !in.Tasks[task].Machine {
		return false
	}
	for i := from; i < to; i++ {
		at := people
		for _, x := range in.Taken {
			if x.From <= i && i < x.ToolTo {
				at++
			}
		}
		for _, x := range m.out.Planned.Blocks {
			if x.Task != task && in.Tasks[x.Task].Machine && x.From <= i && i < x.WorkTo {
				at += len(x.People)
			}
		}
		if at > in.Machines {
			return true
		}
	}
	return false
}

// gone is how many of a day's people are on another boat in a slot.
func (p *planner) gone(slot, crew int) int {
	n := 0
	for person := 1; person <= crew; person++ {
		if slices.ContainsFunc(p.in.Taken, func(x plan.Taken) bool { return x.Person == person && x.From <= slot && slot < x.To }) {
			n++
		}
	}
	return n
}

// justWashed reports whether a stretch from a slot on comes too soon after a wash that
// is done.
func justWashed(t *plan.Task, from int) bool {
	return slices.ContainsFunc(t.After, func(a plan.After) bool {
		return a.Task < 0 && a.Limit == "dry_off" && from < a.End+a.Hard
	})
}

// whyNotGoing says why a block whose time has come or is over does not go on where it
// stood; false where something else keeps it away.
func (m *mover) whyNotGoing(c *Change, old *Booked) bool {
	z, okZone := m.in.Job.Zone(old.Zone)
	s, okStep := m.in.Job.Step(old.Step)
	switch {
	case okZone && okStep && m.leftOff(s, z, old):
		c.Why = WhyUnderWay
	case !old.To.After(m.in.Now):
		c.Why = WhyLost
	default:
		return false
	}
	return true
}

// leftOff reports whether some of an old block's work was logged while it lasted, or so soon
// after it that it is no other's.
func (m *mover) leftOff(step, zone int, old *Booked) bool {
	d, ok := doneOn(m.in.Job, zone, m.in.Job.Steps[step])
	within := func(at time.Time) bool { return at.After(old.From) && !at.After(GraceUntil(old.From, old.To)) }
	return ok && d.Share > 0 && within(d.At) ||
		slices.ContainsFunc(m.in.Worked, func(w Worked) bool { return w.Step == step && w.Zone == zone && within(w.To) })
}

// closed is the limit of the worst slot of a stretch that cannot be worked in, or
// what else closes it; None where it is open.
func (m *mover) closed(t *plan.Task, from, to int) verdict.Limit {
	if from >= len(t.State) {
		return verdict.Hours
	}
	for i := from; i < min(to, len(t.State)); i++ {
		if !t.State[i].Workable() {
			return t.Limit[i]
		}
	}
	d := m.p.in.Days[m.p.in.Day[from]]
	if from < d.Open+m.p.in.SetUp || to > d.Close-m.p.in.PackUp {
		return verdict.Hours
	}
	return verdict.None
}

// wetted is the block from which water keeps a task away from a stretch, −1 if
// none does.
func (m *mover) wetted(task, from, to int, at map[int]int) int {
	for _, a := range m.p.in.Apart {
		var w, d [2]int
		other := a.Wet
		switch task {
		case a.Dry:
			b := m.out.Planned.Blocks[at[a.Wet]]
			w, d = [2]int{b.From, b.To}, [2]int{from, to}
		case a.Wet:
			other = a.Dry
			b := m.out.Planned.Blocks[at[a.Dry]]
			w, d = [2]int{from, to}, [2]int{b.From, b.To}
		default:
			continue
		}
		if d[0] < w[1]+a.Before && w[0] < d[1]+a.Keep {
			return at[other]
		}
	}
	return -1
}

// surely is the share of the members in which a stretch is go throughout.
func (m *mover) surely(t *plan.Task, from, to int) float64 {
	words := len(m.p.in.Voters)
	set := append([]uint64(nil), m.p.in.Voters...)
	all := bits(set)
	for i := from; i < min(to, len(t.State)); i++ {
		for k := range set {
			set[k] &= t.Go[i*words+k]
		}
	}
	return float64(bits(set)) / float64(max(all, 1))
}

func bits(set []uint64) int {
	n := 0
	for _, x := range set {
		n += mathbits.OnesCount64(x)
	}
	return n
}
