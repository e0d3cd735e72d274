package app

import (
	"context"
	"errors"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast"
)

// Watched is how a job stands beside the plan that people go by.
type Watched struct {
	// Week is the answer of dewgap week, but for its plan and what that makes of its
	// verdict: the plan is the one that people go by, moved the least that it can be, or a
	// new one that is better by far.
	Week *answer.Week
	// Changes are what became of the blocks of the plan, with the reason; empty where
	// the plan is the week's own.
	Changes []answer.BlockChange
	// Keep records the plan, which is for one that is told to somebody: what is asked
	// again and again would fill the book. It is never nil.
	Keep func(context.Context) error
}

// Watch answers how a job stands. The plan that people go by is the newest of the
// book; where there is none it is held, and nil where they go by none.
//
// A plan made anew each hour would be another each hour, for there are many of nearly
// equal worth. So the one that holds is moved, and replaced only by one that needs no
// yes where it does, is surer by 20 points, or ends a day earlier.
func (a *App) Watch(ctx context.Context, r Request, held *answer.Plan) (*Watched, error) {
	same := *a
	same.Source = &oneForecast{Source: a.Source}
	a = &same
	week, g, later, err := a.putOffWeek(ctx, r)
	if err != nil {
		return nil, err
	}
	out := &Watched{Week: week, Keep: later.Write}
	if week.Verdict == answer.Unknown || week.Plan == nil {
		return out, nil
	}
	m, moved, err := a.moveHeld(ctx, r, held)
	if err != nil || m == nil || m.Plan == nil || m.Plan.State == answer.None {
		return out, err
	}
	if m.Verdict != answer.Unknown && farBetter(week.Plan, m.Plan) { // what is not known is no reason to change it
		return out, nil
	}
	out.Week.TakeMoved(g.facts, m)
	if err := a.tellBreaks(ctx, g, out.Week); err != nil {
		return nil, err
	}
	out.Changes, out.Keep = m.Changes, moved.Write
	// It stands as it was recorded; of what a forecast too old for today moves nobody is told.
	if !anyMoved(m.Changes) || out.Week.Source.Stale {
		out.Keep = func(context.Context) error { return nil }
	}
	return out, nil
}

func (a *App) putOffWeek(ctx context.Context, r Request) (*answer.Week, gathered, *PutOff, error) {
	once, later := a.PuttingOff()
	week, g, err := once.weekAndAll(ctx, r)
	return week, g, later, err
}

// moveHeld moves the plan that holds; nil where there is none.
func (a *App) moveHeld(ctx context.Context, r Request, held *answer.Plan) (*answer.Move, *PutOff, error) {
	once, later := a.PuttingOff()
	m, err := once.Move(ctx, MoveRequest{Request: r, Needed: true})
	if errors.Is(err, ErrNoPlan) && held != nil {
		m, err = once.Move(ctx, MoveRequest{Request: r, Plan: held})
	}
	if errors.Is(err, ErrNoPlan) {
		return nil, later, nil
	}
	return m, later, err
}

// Differences beyond which a new plan is worth more than that people know the old one.
const (
	farSurer   = 0.195 // of confidence, about 20 points
	farEarlier = 24 * time.Hour
)

// farBetter reports whether a new plan is better by far than the old one.
func farBetter(is, was *answer.Plan) bool {
	switch {
	case is.State == answer.None:
		return false
	case (is.Part == nil) != (was.Part == nil):
		return is.Part == nil // all of the job for a part of it
	case is.State != was.State:
		return is.State == answer.Go
	case is.Confidence >= was.Confidence+farSurer:
		return true
	case is.Ends == nil || was.Ends == nil || is.Confidence < was.Confidence-farSurer/2:
		return false
	}
	return !is.Ends.After(was.Ends.Add(-farEarlier))
}

func anyMoved(list []answer.BlockChange) bool {
	return slices.ContainsFunc(list, func(c answer.BlockChange) bool {
		return c.Change == "moved" || c.Change == "added" || c.Change == "dropped"
	})
}

// oneForecast asks its source once, so that two answers are of the same forecast.
type oneForecast struct {
	Source
	had *forecast.Forecast
}

// Forecast gives the one that it was given first.
func (o *oneForecast) Forecast(ctx context.Context, q Query) (*forecast.Forecast, error) {
	if o.had != nil {
		return o.had, nil
	}
	f, err := o.Source.Forecast(ctx, q)
	if err == nil {
		o.had = f
	}
	return f, err
}
