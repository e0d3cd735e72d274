package window

import "dewgap/window/job"

// AsFound is a plan as the search found it and as it is told, with what each asks to be
// washed anew that nobody has booked.
func AsFound(r *Result, j *job.Job, s PlanSettings) (found, told *Planned, err error) {
	p, result, err := planned(r, j, s, true)
	if err != nil {
		return nil, nil, err
	}
	return p.planned(result), p.book(result), nil
}

// Undone is before how many blocks of a plan there are no hours to wash a panel anew, on how
// many days of its own one is, and how long that takes one person in all.
func (p *Planned) Undone() (noTime, trips int, hours float64) {
	u := unbookedOf(p.Wetted)
	return u.noTime, u.trips, u.hours
}

// PhysicsAndVerdicts is Evaluate up to the state, limit and confidence of every slot of
// every class on every zone: without hours, windows and refusals, and without their rank.
// It gives the number of slots judged.
func PhysicsAndVerdicts(in Input) (int, error) {
	e, err := newEvaluation(in)
	if err != nil {
		return 0, err
	}
	e.weathers()
	shown := make([]int, len(e.Job.Zones))
	e.fromTheTop(func(z int, drained func()) {
		w := newZoneWork(e, z)
		w.drain()
		drained()
		_, trials, _ := w.trials()
		w.verdicts(trials)
		for _, t := range trials {
			shown[z] += len(w.shown(t).Shown)
		}
		w.done(trials...)
		w.leave()
	})
	sum := 0
	for z := range shown {
		sum += shown[e.twin[z]]
	}
	return sum, nil
}
