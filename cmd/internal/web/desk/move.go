package desk

import (
	"context"
	"errors"
	"fmt"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/window"
	"dewgap/window/job"
)

// Moving is by what a plan is moved.
type Moving struct {
	Rain   []Rain // that the book has not; none for a lost day
	Left   []Left
	Ladder bool // try the ways to get on even where there is a plan
}

// Left is how a step on a zone was left.
type Left struct {
	Step, Zone string
	How        window.Left
	Share      float64 // of the zone, 0: what is done of it
	From, To   string  // when it was put on, see Moment; both "" where the book knows
}

// LeftWords are how work is left, in words.
var LeftWords = map[string]window.Left{"hazing": window.LeftHazing, "buffed": window.LeftBuffed, "uncured": window.LeftUncured}

// Move says what became of the work and moves the plan: the newest of the book, else
// the one last answered here. The answer goes into the book, for it is the plan that all
// see from now on: one that cannot be kept has moved nothing, and is an error.
func (d *Desk) Move(ctx context.Context, id string, m Moving) (*answer.Move, error) {
	j, r, parsed, err := d.located(ctx, id)
	if err != nil {
		return nil, err
	}
	now := d.Now()
	q := app.MoveRequest{Request: r, Ladder: m.Ladder, Needed: true}
	c := clock{now, parsed}
	for _, x := range m.Rain {
		spell, err := c.rain(x)
		if err != nil {
			return nil, err
		}
		q.Rain = append(q.Rain, spell)
	}
	for _, x := range m.Left {
		left, err := c.left(x)
		if err != nil {
			return nil, err
		}
		q.Left = append(q.Left, left)
	}
	a := d.app(d.book())
	a.Clock = app.At(now)
	var unkept error
	a.Unrecorded = func(err error) { unkept = err }
	var out *answer.Move
	err = d.inTurn(ctx, book.Move, func(ctx context.Context) error {
		out, err = a.Move(ctx, q)
		if errors.Is(err, app.ErrNoPlan) {
			if q.Plan = j.planned(); q.Plan == nil {
				return ErrNoPlan
			}
			out, err = a.Move(ctx, q)
		}
		return err
	})
	if err == nil && unkept != nil {
		err = fmt.Errorf("keeping the move: %w", unkept)
	}
	if err != nil {
		return nil, err
	}
	d.moved(j, out)
	return out, nil
}

// moved notes a move, nil where the job was planned anew: answers are made anew. One of
// which nothing came for want of data is shown, and what was agreed before it stands.
func (d *Desk) moved(j *openJob, m *answer.Move) {
	j.mu.Lock()
	if j.lastMove = m; m == nil || m.Verdict != answer.Unknown {
		j.agreed = m
	}
	j.mu.Unlock()
	d.entries.Add(1)
	d.plans.Add(1)
}

// PlanAnew makes a new plan on purpose, which takes the place of one that was moved or
// is under way. Where nothing is known of the weather ahead the old one stays.
func (d *Desk) PlanAnew(ctx context.Context, id string) (*answer.Week, error) {
	j, r, _, err := d.located(ctx, id)
	if err != nil {
		return nil, err
	}
	a, later := d.app(d.book()).PuttingOff()
	a.Clock = app.At(d.Now())
	r.Hold, r.Anew, r.Held = false, true, nil
	var out *answer.Week
	err = d.inTurn(ctx, book.Week, func(ctx context.Context) error {
		out, err = a.Week(ctx, r)
		return err
	})
	if err != nil {
		return nil, err
	}
	if out.Verdict == answer.Unknown {
		return nil, &app.Problem{Text: "too little is known of the weather ahead to plan", Fix: "try again when there is a newer forecast; the plan stays as it was"}
	}
	if err := later.Write(ctx); err != nil {
		return nil, err
	}
	d.moved(j, nil)
	return out, nil
}

// planned is the plan that was last answered here, nil without one.
func (j *openJob) planned() *answer.Plan {
	j.mu.Lock()
	m := j.agreed
	j.mu.Unlock()
	if m != nil && m.Plan != nil && m.Plan.State != answer.None {
		return m.Plan
	}
	if s := j.week.peek(); s != nil && s.Answer.Plan != nil && s.Answer.Plan.State != answer.None {
		return s.Answer.Plan
	}
	return nil
}

// LastMove is the newest move, nil where there is none or a week was planned anew
// since.
func (d *Desk) LastMove(ctx context.Context, id string) (*answer.Move, error) {
	j, r, _, err := d.located(ctx, id)
	if err != nil {
		return nil, err
	}
	if d.cfg.Book == nil {
		j.mu.Lock()
		defer j.mu.Unlock()
		return j.lastMove, nil
	}
	return d.app(d.cfg.Book).LastMove(ctx, r)
}

// clock is the clock at a job's place.
type clock struct {
	now time.Time
	job *job.Job
}

// span reads two moments that lie behind, the first before the second.
func (c clock) span(from, to string) (a, b time.Time, err error) {
	if from == "" || to == "" {
		return a, b, &app.Problem{Text: "two moments are needed", Fix: "say when it began and when it ended, as 11:40 and 12:30"}
	}
	if a, err = Moment(from)(c.now, c.job.Location()); err != nil {
		return a, b, err
	}
	if b, err = Moment(to)(c.now, c.job.Location()); err != nil {
		return a, b, err
	}
	switch {
	case b.After(c.now):
		return a, b, &app.Problem{Text: to + " lies in the future", Fix: "give what has happened, with the day if it was not today: 2026-09-10T11:40"}
	case !a.Before(b):
		return a, b, &app.Problem{Text: to + " is not after " + from, Fix: "give the beginning before the end, with the day if it was not today"}
	}
	return a, b, nil
}

func (c clock) rain(x Rain) (window.Rain, error) {
	out := window.Rain{Observed: true}
	if err := x.check(); err != nil {
		return out, err
	}
	var err error
	out.From, out.To, err = c.span(x.From, x.To)
	if x.MM != nil {
		out.MM, out.HasMM = *x.MM, true
	}
	return out, err
}

func (c clock) left(x Left) (app.LeftWork, error) {
	out := app.LeftWork{Step: x.Step, Zone: x.Zone, Left: x.How, Share: x.Share}
	if x.Share < 0 || x.Share > 1 {
		return out, &app.Problem{Text: fmt.Sprintf("%g is no share of a zone", x.Share), Fix: "give more than 0 and at most 1"}
	}
	if x.From == "" && x.To == "" {
		return out, nil
	}
	var err error
	out.From, out.To, err = c.span(x.From, x.To)
	return out, err
}
