package answer

import (
	"fmt"

	"dewgap/window"
)

// Rung is one way to get on where there is no plan, as the planner found it.
type Rung struct {
	Way   string   `json:"way"`   // sheltered_zone, wet_step, shorter_clock, sheet, turn, next_window, wash_first, rest, hands or helper
	Tried bool     `json:"tried"` // false where there is nothing to try
	Works bool     `json:"works"` // the planner has a plan for it
	Whole bool     `json:"whole"` // for all that is left; else for a part of it
	Rest  int      `json:"rest"`  // steps on zones that it leaves undone
	What  string   `json:"what"`  // what is changed
	Asks  string   `json:"asks"`  // whose yes it needs: owner, marina or ""
	Why   string   `json:"why"`   // why it does not work; "" where it does
	Plan  *Plan    `json:"plan"`
	Other []string `json:"notes"`
	part  *Part    // that the plan is for, where it may be taken up as the job's
}

// NewLadder makes the ladder of an answer, in the order in which it is offered.
// The facts are those of the answer but for job, result and plan.
func NewLadder(f Facts, rungs []window.Rung) []Rung {
	out := []Rung{}
	for _, r := range rungs {
		out = append(out, newRung(f, r))
	}
	return out
}

func newRung(f Facts, r window.Rung) Rung {
	out := Rung{Way: r.Way.String(), Tried: r.Tried, Whole: r.Whole, Rest: r.Rest, What: r.What, Why: r.Why, Other: []string{}}
	switch r.Way {
	case window.WayClass:
		out.Asks = "owner"
	case window.WayTurn:
		out.Asks = "marina"
	case window.WayHands:
		out.What = newBuilder(f).allHere()
		f.Crew = nil
	}
	if !r.Tried {
		return out
	}
	out.part = newPart(f, r)
	f.Job, f.Result, f.Planned = r.Job, r.Result, r.Planned
	out.Plan = NewPlan(f, r.Planned)
	if out.Works = r.Planned.Found; !out.Works && len(out.Plan.Why) > 0 {
		out.Why = out.Plan.Why[0]
	}
	if r.Way == window.WaySheet {
		out.Other = append(out.Other, "a sheet keeps sun and rain off and dew away; lash it down, and take it away in wind")
	}
	if r.Way == window.WayHands && out.Works {
		out.Other = append(out.Other, "the other plan has to move then: dewgap move with the other job")
	}
	if r.Way == window.WayHelper && out.Works {
		out.Other = append(out.Other, "write people in the job when the helper is found")
	}
	if r.Way == window.WayNext && out.Works && out.Plan.Ends != nil {
		out.Other = append(out.Other, fmt.Sprintf("the promised day is not kept: done %s", out.Plan.Ends.Format(stamp)))
	}
	if out.part != nil {
		out.Other = append(out.Other, "dewgap week takes it up as the plan")
	}
	if out.Works && !out.Whole {
		rest := countOf(r.Rest, "step") + " on zones stay for later"
		if r.Rest == 1 {
			rest = "1 step on one zone stays for later"
		}
		out.Other = append(out.Other, rest)
	}
	return out
}
