package window

import "dewgap/window/job"

// Needed is how long, in slots, a block of a row's work has to be at the least: the
// work itself, done by everybody of the best manned day, and its haze; or the
// shortest useful block where that is shorter, or where the zone has no size.
func Needed(r *Result, j *job.Job, row int) int {
	p := newPlanner(r, j, PlanSettings{})
	p.add(row)
	if len(p.works) == 0 || p.works[0].task.Assumed {
		return p.in.Shortest
	}
	w := &p.works[0]
	people := max(1, w.class.People)
	for _, d := range p.in.Days {
		people = max(people, d.People)
	}
	haze := 0
	for i, t := range p.tail(w) {
		if i == 0 || int(t) < haze {
			haze = int(t)
		}
	}
	return min(p.in.Shortest, (w.person+people-1)/people+haze)
}
