package app

import (
	"slices"

	"dewgap/cmd/internal/answer"
)

// today is what the plan in force has on the day, held against the newest forecast; where
// none has anything ahead, what the plan has that was made for this answer.
func (g *gathered) today() *answer.Today {
	f, force := g.facts, g.past.force
	now := f.Now.In(f.Job.Location())
	if len(force.plan.Ahead(now)) == 0 {
		return answer.NewToday(answer.NewPlan(f, f.Planned).Ahead(now), nil, now)
	}
	held, _ := hold(f, force.plan, force.at)
	h := &holder{Facts: f}
	ahead := slices.DeleteFunc(held.Ahead(now), func(x answer.PlanBlock) bool { return h.done(&x) })
	return answer.NewToday(ahead, held.Held, now)
}
