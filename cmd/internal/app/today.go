package app

import "dewgap/cmd/internal/answer"

// today is what the plan in force has on the day, held against the newest forecast; where
// it has nothing ahead, or a later move found none, what the plan has that was made for this
// answer.
func (g *gathered) today() *answer.Today {
	f, force := g.facts, g.past.force
	h, now := &holder{Facts: f}, f.Now.In(f.Job.Location())
	if force.failed || len(force.plan.Ahead(now)) == 0 {
		return answer.NewToday(answer.NewPlan(f, f.Planned), h.done, now)
	}
	held, _ := hold(f, force.plan, force.at)
	return answer.NewToday(held, h.done, now)
}
