package answer

import (
	"slices"

	"dewgap/window"
)

// Part is what of a job a plan is for, where the whole of it finds none.
type Part struct {
	What string     `json:"what"` // in words, such as "all but the transom"
	Rest int        `json:"rest"` // steps on zones with work left that are not in it
	Why  string     `json:"why"`  // why the whole job had no plan when this one was made
	Out  []WorkName `json:"out"`  // all that is not in it
}

// WorkName is a step on a zone, by their names; Redo where it is a part of the zone to be done
// again.
type WorkName struct {
	Step string `json:"step"`
	Zone string `json:"zone"`
	Redo bool   `json:"redo,omitempty"`
}

// newPart is the part of a job that a way to get on plans; nil where that is none that is
// done before the rest of it.
func newPart(f Facts, r window.Rung) *Part {
	if r.Way != window.WayRest || !r.Tried || !r.Planned.Found {
		return nil
	}
	out := &Part{What: r.What, Rest: r.Rest, Out: []WorkName{}}
	for s, step := range f.Job.Steps {
		for _, z := range step.On {
			if !slices.Contains(r.Job.Steps[s].On, z) {
				zone, redo := f.Part(z)
				out.Out = append(out.Out, WorkName{step.Name, zone, redo})
			}
		}
	}
	return out
}

// Still is a part whose plan was moved, of which so many steps on zones are left out by now.
// Why there was no plan of the whole is of a forecast of then.
func (p *Part) Still(rest int) *Part {
	out := *p
	out.Rest, out.Why = rest, ""
	return &out
}

// LeavesOut reports whether work is not in a part of the job; all of it is in nil.
func (p *Part) LeavesOut(w WorkName) bool { return p != nil && slices.Contains(p.Out, w) }

// Of puts a plan that was made of a part of a job as one of that part. Its first lines say so.
func (p *Plan) Of(part *Part) {
	p.Part = part
	lines := []string{"a part of the job, " + part.What}
	if part.Why != "" {
		lines = append(lines, "why not the whole job: "+part.Why)
	}
	p.Why = append(lines, p.Why...)
}

// TakePart puts in the place of a plan that was not found the part of the job that has one,
// where the ways to get on have such a part, and takes that off them.
func (w *Week) TakePart(f Facts) {
	if plan := w.Plan.part(w.Ladder); plan != nil {
		w.Ladder = slices.DeleteFunc(w.Ladder, func(r Rung) bool { return r.Plan == plan })
		w.TakePlan(f, plan)
	}
}

// part is the plan of a part of the job for which there is no plan; nil where no way has one.
func (p *Plan) part(ways []Rung) *Plan {
	why := ""
	if len(p.Why) > 0 {
		why = p.Why[0]
	}
	for _, r := range ways {
		if r.part != nil {
			r.part.Why = why
			r.Plan.Of(r.part)
			r.Plan.ForOwner = p.ForOwner
			return r.Plan
		}
	}
	return nil
}

// InPart says, without a full stop, which part of the job the plan is for; "" where it is for all
// of it, or there is none.
func (w *Week) InPart() string {
	if w.Plan == nil || w.Plan.Part == nil {
		return ""
	}
	return "Planned is a part of the job, " + w.Plan.Part.What
}

// handoverOfPart says when the part of the job that was moved is done, and that nothing is known
// of the rest; last is the day that was promised, or the last of the old plan.
func (b *moveBuilder) handoverOfPart(last string) string {
	h := b.in.Moved.Handover
	text := "a part of the job alone"
	if !h.Ends.IsZero() {
		text += ", done " + h.Ends.In(b.loc).Format(stamp)
	}
	text += "; the rest has no plan yet"
	if h.Promised {
		text += ", and hand-over " + last + " hangs on that"
	}
	return text
}

// standsInPart is stands of a plan of a part of the job.
func standsInPart(h Handover) string {
	text := "For the rest there is no day yet."
	if h.Promised {
		text = "For the rest there is no day yet, so the promised day is open."
	}
	if h.Ends == nil {
		return text
	}
	return "This part of the work is done " + h.Ends.Format("Monday 2 January") + ". " + text
}
