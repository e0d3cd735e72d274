package window

import (
	"slices"
	"time"
)

// leastGrace is the least grace after a block (common practice: hands are washed and
// the panel is looked at before anybody writes).
const leastGrace = 30 * time.Minute

// GraceUntil is until when a block that is over and that nobody logged is taken to be
// done and only not written down: half an hour after its planned end, or as long as the
// block itself took, whichever is longer.
func GraceUntil(from, to time.Time) time.Time { return to.Add(max(leastGrace, to.Sub(from))) }

// takeAsDone counts as done, from their planned end, the blocks that are over and of
// which nobody had to write yet: what comes after them stays where it was agreed.
func (m *mover) takeAsDone() {
	m.unlogged = make([]bool, len(m.in.Old))
	order := make([]int, len(m.in.Old))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return m.in.Old[a].From.Compare(m.in.Old[b].From) })
	for _, i := range order {
		b := &m.in.Old[i]
		z, okZone := m.in.Job.Zone(b.Zone)
		s, okStep := m.fixed.Step(b.Step)
		if !okZone || !okStep || b.Redo || !m.inGrace(b) || !m.ready(s, z) {
			continue
		}
		if given, ok := m.in.Job.Step(b.Step); !ok || m.logged(given, z, b.From) || m.rainedOn(b) {
			continue
		}
		m.unlogged[i] = m.finish(s, z, b)
	}
}

// inGrace reports whether a block is over and nobody had to write it down yet.
func (m *mover) inGrace(b *Booked) bool {
	return b.From.Before(m.in.Now) && !b.To.After(m.in.Now) && m.in.Now.Before(GraceUntil(b.From, b.To))
}

// ready reports whether all that comes before a step on a zone is done, or taken to be:
// else it cannot have been begun.
func (m *mover) ready(step, zone int) bool {
	p := planner{j: m.fixed}
	for _, s := range m.fixed.Steps[:step] {
		if slices.Contains(s.On, zone) && s.Do != "inspect" && p.doneShare(zone, s) < 1 {
			return false
		}
	}
	return true
}

// finish marks a block's share of what is left of its step on a zone as done at its end;
// false where nothing is left.
func (m *mover) finish(step, zone int, b *Booked) bool {
	s := m.fixed.Steps[step]
	d, _ := doneOn(m.fixed, zone, s)
	if d.Share >= 1-1e-9 || !slices.Contains(s.On, zone) {
		return false
	}
	mine, all := m.workOf(b), 0
	for i := range m.in.Old {
		x := &m.in.Old[i]
		if x.Step == b.Step && x.Zone == b.Zone && !x.Redo && !m.unlogged[i] && (d.Share <= 0 || !x.From.Before(d.At)) {
			all += m.workOf(x)
		}
	}
	share := d.Share + (1-d.Share)*float64(mine)/float64(max(all, mine))
	setDone(m.fixed, zone, s.Name, b.To, min(1, share))
	return true
}

// lastUnlogged is when the last of what is taken to be done ended; zero where nothing is.
func (m *mover) lastUnlogged() time.Time {
	var last time.Time
	for i, is := range m.unlogged {
		if is && m.in.Old[i].To.After(last) {
			last = m.in.Old[i].To
		}
	}
	return last
}
