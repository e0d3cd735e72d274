package app

import (
	"context"

	"dewgap/cmd/internal/answer"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/plan"
)

// waysOn looks for the ways to get on with a job that finds no plan, and takes up what it
// finds a plan for of it: a large boat takes longer than the forecast reaches, and is begun all
// the same.
func (a *App) waysOn(ctx context.Context, g gathered, week *answer.Week) error {
	if g.facts.Planned.Found || week.Verdict == answer.Unknown { // no way gets on without data
		return nil
	}
	rungs, err := a.ladder(ctx, g.input, g.input.Job, g.facts.Planned, g.facts.Result)
	if err != nil {
		return err
	}
	week.Ladder = answer.NewLadder(g.facts, rungs)
	week.TakePart(g.facts)
	return nil
}

// partInstead takes the part of a job that has a plan in the place of a plan for a morning that
// was not found.
func (a *App) partInstead(ctx context.Context, g *gathered) error {
	if g.facts.Planned.Found {
		return nil
	}
	in := a.ladderInput(g.input, g.input.Job, g.facts.Planned, g.facts.Result)
	r, err := aside(ctx, func() (*window.Rung, error) { return window.Rest(in) })
	if err != nil || r == nil || !r.Tried || !r.Planned.Found {
		return err
	}
	g.made, g.facts.Planned = answer.NewLadder(g.facts, []window.Rung{*r})[0].Plan, r.Planned
	return nil
}

// ladder tries the ways to get on with a job that has no plan, each with the planner.
func (a *App) ladder(ctx context.Context, in window.Input, j *job.Job, refused *window.Planned, result *window.Result) ([]window.Rung, error) {
	all := a.ladderInput(in, j, refused, result)
	return aside(ctx, func() ([]window.Rung, error) { return window.Ladder(all) })
}

// ladderInput is what the ways to get on depend on.
func (a *App) ladderInput(in window.Input, j *job.Job, refused *window.Planned, result *window.Result) window.LadderInput {
	in.Job = j
	var known []products.Class
	for _, id := range a.Classes.IDs() {
		if c, ok := a.Classes.Class(id); ok {
			known = append(known, c)
		}
	}
	// Each way is a whole plan: a fifth of the search tells whether it leads on. The rest of
	// the job is what will be done: on a large one a fifth ended it days later.
	quick := window.PlanSettings{Budget: plan.DefaultBudget / 5}
	return window.LadderInput{
		Input: in, Plan: quick, RestBudget: plan.DefaultBudget, Known: known, Refused: refused, Result: result,
	}
}
