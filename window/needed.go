package window

import "dewgap/window/job"

// Needs tells how long blocks of a job have to be at the least. It remembers what it
// has told, so that one goroutine at a time may ask it.
type Needs struct {
	p     *planner
	known map[int]need // by row
}

// NewNeeds is for the blocks of a job and the result that was worked out for it.
func NewNeeds(r *Result, j *job.Job) *Needs {
	return &Needs{p: newPlanner(r, j, PlanSettings{}), known: map[int]need{}}
}

// Of is how long, in slots, a block of a row's work has to be at the least: the work
// itself, done by everybody of the best manned day, as far as there are machines for them,
// and its haze; or the shortest useful block where that is shorter, or where the zone has
// no size.
func (n *Needs) Of(row int) int {
	return n.need(row).block
}

// Worked is how long of that, in slots, is work.
func (n *Needs) Worked(row int) int { return n.need(row).work }

// need is how long a block has to be, and how long of that is work.
type need struct{ block, work int }

func (n *Needs) need(row int) need {
	x, ok := n.known[row]
	if !ok {
		x = n.of(row)
		n.known[row] = x
	}
	return x
}

func (n *Needs) of(row int) need {
	p := n.p
	p.works = p.works[:0]
	p.add(row)
	if len(p.works) == 0 || p.works[0].task.Assumed {
		return need{p.in.Shortest, p.in.Shortest}
	}
	w := &p.works[0]
	people := max(1, w.class.People)
	for _, d := range p.in.Days {
		people = max(people, d.People)
	}
	if m := p.in.Machines; m > 0 && w.class.Machine {
		people = max(1, w.class.People, min(people, m))
	}
	haze := 0
	for i, t := range p.tail(w) {
		if i == 0 || int(t) < haze {
			haze = int(t)
		}
	}
	work := (w.person + people - 1) / people
	return need{min(p.in.Shortest, work+haze), min(p.in.Shortest, work)}
}
