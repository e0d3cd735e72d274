package app

import "dewgap/cmd/internal/answer"

// goneBy reports whether there is a plan that people go by: one with work ahead, which no
// later move found impossible.
func (g *gathered) goneBy() bool {
	return !g.past.force.failed && len(g.past.force.plan.Ahead(g.facts.Now)) > 0
}

// today is what the plan in force has on the day, held against the newest forecast; where
// people go by none, what the plan has that was made for this answer.
func (g *gathered) today() *answer.Today {
	f, now := g.facts, g.facts.Now.In(g.facts.Job.Location())
	h, plan := &holder{Facts: f}, g.made
	if g.goneBy() {
		plan, _ = hold(f, g.past.force.plan, g.past.force.at)
	}
	return answer.NewToday(plan, h.done, now)
}
