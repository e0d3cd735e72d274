package window

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
