package app

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// MoveRequest asks for a plan to be moved after rain or a lost day.
type MoveRequest struct {
	Request
	// Plan is the plan to be moved; nil: the newest of the book.
	Plan *answer.Plan
	// Rain is what fell besides what the book has of it.
	Rain []window.Rain
	// Left is how work was left when it rained, by the names of step and zone.
	Left []LeftWork
	// Ladder has the ways to get on tried even where there is a plan.
	Ladder bool
	// Needed refuses with [ErrNoPlan] where neither Plan nor the book has one.
	Needed bool
}

// ErrNoPlan is that there is no plan to be moved.
var ErrNoPlan = errors.New("there is no plan to move")

// LeftWork is how sections of a step on a zone were left when it rained.
type LeftWork struct {
	Step, Zone string
	From, To   time.Time // when they were put on; a zero From: all at To; a zero To: when the book has it done
	Share      float64   // of the zone; 0: what is done of it
	Left       window.Left
}

// Move says what became of the work and moves the plan the least that it can be.
func (a *App) Move(ctx context.Context, r MoveRequest) (*answer.Move, error) {
	r.Hold = false // the hand-over is held against the job's own last day
	r.WorkAlone = true
	g, err := a.judge(ctx, r.Request)
	if err != nil && !(errors.Is(err, window.ErrNoHorizon) && g.input.Job != nil) {
		return nil, err // though the last day is over, the plan may be moved past it
	}
	old, of := g.past.planned, g.past.force.plan
	if r.Plan != nil {
		old, of = r.Plan.Blocks, r.Plan
	} else if r.Needed && g.past.plan == "" {
		return nil, ErrNoPlan
	}
	in, err := g.moveInput(old, r.Rain, r.Left)
	if err != nil {
		return nil, err
	}
	if of != nil && of.Part != nil {
		in.LeaveOut = func(step, zone string) bool { return of.Part.LeavesOut(answer.WorkName{Step: step, Zone: zone}) }
	}
	in.Old, g.input.Rained = bookedOf(old), in.Rain
	moved, err := aside(ctx, func() (*window.Moved, error) { return window.Move(in) })
	if err != nil {
		return nil, judging(err)
	}
	g.stock, g.news = moved.Stock, heard{Rain: folded(sameDays(g.past.heard.Rain, r.Rain), r.Rain), Left: settled(in.Job, r.Left)}
	f := answer.MoveFacts{Facts: g.facts, Given: in.Job, Moved: moved, Old: old}
	if moved.LeftOut > 0 {
		f.Part = of.Part.Still(moved.LeftOut)
	}
	f.Standing, f.Warnings = g.standing(&f)
	// The fates say it, and with what only this move is told.
	f.Warnings = slices.DeleteFunc(slices.Clone(f.Warnings), func(w string) bool { return slices.Contains(g.spoiled, w) })
	f.Warnings = append(f.Warnings, loggedWords(g.stock)...)
	if len(old) == 0 {
		f.Warnings = append(slices.Clone(f.Warnings), "there is no earlier plan: all of it is new")
	}
	out := answer.NewMove(f)
	if r.Ladder || !moved.Planned.Found && out.Verdict != answer.Unknown { // no way gets on without data
		rungs, err := a.ladder(ctx, g.input, moved.Job, moved.Planned, nil)
		if err != nil {
			return nil, err
		}
		out.Ladder = answer.NewLadder(f.Later(), rungs)
	}
	plan := out.Plan
	if out.Verdict == answer.Unknown {
		plan = nil // the one in force stays so
	}
	a.keep(ctx, r.Request, g, kept{kind: book.Move, verdict: out.Verdict, body: out, plan: plan})
	return out, nil
}

// LastMove is the answer of dewgap move in the book whose plan is in force, or that
// found none since, be it for want of data; nil where there is none or the job was planned
// anew after it.
func (a *App) LastMove(ctx context.Context, r Request) (*answer.Move, error) {
	same, err := a.jobInBook(ctx, r)
	if err != nil || same == "" {
		return nil, err
	}
	var p past
	now := a.Clock.Now()
	if err := p.recallPlan(ctx, a.Book, same, now); err != nil {
		return nil, err
	}
	made, err := movesOf(ctx, a.Book, same, now)
	if err != nil || len(made) == 0 || made[0].Kind != book.Move || p.force.plannedAfter(made[0]) {
		return nil, err
	}
	data, err := a.Book.Body(ctx, made[0].Body)
	if err != nil {
		return nil, err
	}
	var out answer.Move
	if err := answer.Restore(data, &out); err != nil {
		return nil, &Problem{Text: fmt.Sprintf("answer %d of the book cannot be read: %v", made[0].ID, err), Err: err,
			Fix: "use the newer dewgap that wrote it, or ask dewgap move anew"}
	}
	return &out, nil
}

// bookedOf are blocks of a plan as the mover takes them.
func bookedOf(list []answer.PlanBlock) []window.Booked {
	out := make([]window.Booked, len(list))
	for i, x := range list {
		out[i] = window.Booked{
			Step: x.Step, Zone: x.Zone, Coat: x.Coat, From: x.From, To: x.To, WorkTo: x.WorkTo, People: x.People,
			PersonHours: x.PersonHours, State: stateOf(x.State), Confidence: x.Confidence, NeedsConsent: x.NeedsConsent,
			Redo: x.Redo,
		}
	}
	return out
}

// stateOf is a state by its name, marginal where there is none of that name.
func stateOf(name string) verdict.State {
	for s := verdict.Ideal; s <= verdict.NoGo; s++ {
		if s.String() == name {
			return s
		}
	}
	return verdict.Marginal
}

// rains are the spells of rain that the book has, and more. What a forecast of then had
// counts where the one of now, which begins at a moment, does not reach back to it.
func (p *past) rains(more []window.Rain, reaches time.Time) []window.Rain {
	var out []window.Rain
	for _, m := range slices.Concat(p.rained, p.readings) {
		if !isRain(m) {
			continue
		}
		x := window.Rain{From: m.At, To: m.Until, Observed: true}
		if m.RainMM != nil {
			x.MM, x.HasMM = *m.RainMM, true
		}
		out = folded(out, []window.Rain{x})
	}
	for _, r := range p.heard.Fell {
		if !r.To.After(reaches) {
			out = append(out, r)
		}
	}
	for _, h := range p.heard.Rain { // which was told last nobody knows: the longer stands
		if !slices.ContainsFunc(out, func(o window.Rain) bool { return o.Observed && o.From.Equal(h.From) && o.To.After(h.To) }) {
			out = folded(out, []window.Rain{h})
		}
	}
	out = folded(out, more)
	slices.SortStableFunc(out, func(a, b window.Rain) int { return a.From.Compare(b.From) })
	return out
}

// workedOf gives the work that is done its times: as they were told, else those of
// the block of the plan in which it ended, or of the plan of its time.
func workedOf(j *job.Job, old []answer.PlanBlock, then []begun, left []LeftWork) ([]window.Worked, error) {
	var out []window.Worked
	told := map[[2]int]float64{}
	for _, l := range left {
		w, err := workedAs(j, l)
		if err != nil {
			return nil, err
		}
		told[[2]int{w.Step, w.Zone}] += w.Share
		out = append(out, w)
	}
	for z := range j.Zones {
		for s, step := range j.Steps {
			d, ok := j.Zones[z].Done[doneKey(j, z, s)]
			share := window.CoveredBy(step, d.Share) - told[[2]int{s, z}]
			if !ok || share <= 1e-9 || d.At.IsZero() || !slices.Contains(step.On, z) {
				continue
			}
			w := window.Worked{Step: s, Zone: z, To: d.At, Share: share}
			from, workTo := begunOf(step.Name, j.Zones[z].Name, d.At, old, then)
			if w.From = from; workTo.After(from) && workTo.Before(d.At) {
				w.To = workTo // its last section hazes from then on
			}
			out = append(out, w)
		}
	}
	return out, nil
}

// begunOf is when work that ended at a moment was begun and when its last section was
// put on; zero where no plan tells.
func begunOf(step, zone string, at time.Time, old []answer.PlanBlock, then []begun) (from, workTo time.Time) {
	if x, ok := blockOfDone(old, step, zone, at); ok {
		return x.From, x.WorkTo
	}
	for _, x := range then {
		if x.Step == step && x.Zone == zone && x.At.Equal(at) {
			return x.From, x.WorkTo
		}
	}
	return from, workTo
}

// settled is how work was left with all that only the book of now says of it.
func settled(j *job.Job, left []LeftWork) []LeftWork {
	var out []LeftWork
	for _, l := range left {
		if w, err := workedAs(j, l); err == nil {
			out = append(out, LeftWork{Step: l.Step, Zone: l.Zone, From: w.From, To: w.To, Share: w.Share, Left: w.Left})
		}
	}
	return out
}

// slack is how long after a block its work may be logged as done and still be that
// of the block.
const slack = time.Hour

// workedAs is work as the person left it.
func workedAs(j *job.Job, l LeftWork) (window.Worked, error) {
	s, okStep := j.Step(l.Step)
	z, okZone := j.Zone(l.Zone)
	switch {
	case !okStep:
		return window.Worked{}, &Problem{Text: "the job has no step " + l.Step, Fix: oneOf(l.Step, stepNames(j))}
	case !okZone || !slices.Contains(j.Steps[s].On, z):
		return window.Worked{}, &Problem{Text: "the job has no " + l.Step + " on a zone " + l.Zone, Fix: oneOf(l.Zone, zoneNames(j, s))}
	case l.Share < 0 || l.Share > 1:
		return window.Worked{}, &Problem{Text: "a share of a zone must lie above 0 and at most at 1", Fix: "write half a zone as 0.5"}
	}
	w := window.Worked{Step: s, Zone: z, From: l.From, To: l.To, Share: l.Share, Left: l.Left}
	d, done := j.Zones[z].Done[doneKey(j, z, s)]
	if w.To.IsZero() && done {
		w.To = d.At
	}
	if w.To.IsZero() {
		return w, &Problem{Text: "nobody says when " + l.Step + " was done on " + l.Zone, Fix: "record it with dewgap log done, or give its times"}
	}
	if w.Share == 0 {
		if w.Share = 1; done && d.Share > 0 {
			w.Share = window.CoveredBy(j.Steps[s], d.Share)
		}
	}
	return w, nil
}

func stepNames(j *job.Job) []string {
	var out []string
	for _, s := range j.Steps {
		out = append(out, s.Name)
	}
	return out
}

func zoneNames(j *job.Job, step int) []string {
	var out []string
	for _, z := range j.Steps[step].On {
		out = append(out, j.Zones[z].Name)
	}
	return out
}
