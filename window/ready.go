package window

import (
	"cmp"
	"slices"

	"dewgap/window/verdict"
)

// Ready is the first slot in which work of a row may begin at the soonest: what the job asks
// for before it on the zone and is not done has to be done first, by everybody there, or
// as many as there are machines for, in hours that allow it, and a wash has to dry for as
// long as the class wants at the very least. The end of the result where that never comes
// about. It is a bound: a plan, which has other zones to see to, may well be later and is
// never sooner.
func (n *Needs) Ready(row int) int {
	p := n.p
	t := &tally{p: p, at: p.r.From, day: -1}
	washed := -1
	for _, i := range p.rowsBefore(row) {
		t.at = p.dryAfter(i, t.at, washed)
		p.works = p.works[:0]
		p.add(i)
		for k := range p.works {
			t.through(&p.works[k])
		}
		if r := &p.r.Rows[i]; len(p.works) > 0 && wet(r.Class, p.j.Steps[r.Step].Do) {
			washed = t.at
		}
	}
	return min(p.dryAfter(row, t.at, washed), p.r.To)
}

// rowsBefore are the rows of a row's zone with an earlier step, in the job's order.
func (p *planner) rowsBefore(row int) []int {
	var out []int
	target := &p.r.Rows[row]
	for i := range p.r.Rows {
		if r := &p.r.Rows[i]; r.Zone == target.Zone && r.Step < target.Step {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(p.r.Rows[a].Step, p.r.Rows[b].Step) })
	return out
}

// dryAfter is at, or when a row's panel has dried for the least that its class asks for since
// a wash that ended in slot washed; −1 for none.
func (p *planner) dryAfter(row, at, washed int) int {
	r := &p.r.Rows[row]
	if washed < 0 || !r.Class.DryOff.Given || wet(r.Class, p.j.Steps[r.Step].Do) {
		return at
	}
	return max(at, washed+dryOff(r.Class).Hard)
}

// tally is how far the work on one zone has come at the soonest.
type tally struct {
	p       *planner
	at      int // slot from which nobody is at work
	day     int // index of the day that machine counts of, −1 before the first
	machine int // slots of one person at machines that day
}

// through goes on to the end of a work. Slots that a short stretch alone refuses count:
// beside other work they are hours.
func (t *tally) through(w *work) {
	p, r := t.p, &t.p.r.Rows[w.row]
	for left := w.person; t.at < p.r.To && left > 0; t.at++ {
		if d := p.in.Day[t.at-p.r.From]; d != t.day {
			t.day, t.machine = d, 0
		}
		n := t.hands(w)
		if n == 0 || refuses(r, t.at) {
			continue
		}
		left -= n
		if w.class.Machine {
			t.machine += n
		}
	}
}

// hands is how many can work on in a slot of the day: everybody there, or as many as there are
// machines for and hours at them left.
func (t *tally) hands(w *work) int {
	in := &t.p.in
	people := max(1, in.Days[t.day].People)
	n := people
	if w.class.Machine && in.Machines > 0 {
		n = min(n, in.Machines)
	}
	if w.class.Machine && in.MachineSlots > 0 {
		n = min(n, in.MachineSlots*people-t.machine)
	}
	return n
}

// refuses reports whether a row's slot allows no work, whatever stands beside it.
func refuses(r *Row, slot int) bool {
	return slices.ContainsFunc(r.Refusals, func(run verdict.Run) bool {
		return run.From <= slot && slot < run.To && run.Limit != verdict.Block
	})
}
