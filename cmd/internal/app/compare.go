package app

import (
	"context"
	"errors"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"
	"dewgap/forecast/source"
	"dewgap/window/job"
)

// Candidate is a service that may be asked for a comparison.
type Candidate struct {
	Name     string // as a command takes it
	Source   Source // nil: it is not asked
	Why, Fix string // why not, and what to do
	Command  string // that asks for a plan by it
}

// Candidates are the services that could be asked by the settings, each with a
// Source of from, or the reason why it is not asked. With names only those are
// there, and a service named is asked whatever the settings say.
func Candidates(s *settings.Settings, p forecast.Place, names []string, from func(name string) Source) []Candidate {
	cfg := s.SourceConfig(nil)
	var out []Candidate
	for _, name := range source.Names() {
		c := Candidate{Name: name}
		switch {
		case name == source.Auto || len(names) > 0 && !slices.Contains(names, name):
			continue
		case len(names) == 0:
			c.Why, c.Fix = cfg.Unasked(name, p)
		}
		if c.Why == "" {
			c.Source = from(name)
		}
		out = append(out, c)
	}
	return out
}

// Sources asks one service after the other and shows what they say side by side.
// A service that fails is part of the answer; only a job that cannot be read, or
// a caller that gave up, is an error. Nothing is recorded.
func (a *App) Sources(ctx context.Context, r Request, candidates func(*job.Job) []Candidate) (*answer.Sources, error) {
	j, err := r.Job(r.Timezone)
	if err != nil {
		return nil, err
	}
	now := a.Clock.Now().Truncate(time.Second)
	if j.Place.Location != nil {
		now = now.In(j.Place.Location)
	}
	var list []answer.ServiceFacts
	for _, c := range candidates(j) {
		f := answer.ServiceFacts{Name: c.Name, Why: c.Why, Fix: c.Fix, Command: c.Command}
		if c.Source != nil {
			facts, err := a.by(ctx, r, c.Source)
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			if f.Facts = facts; err != nil {
				f.Why, f.Fix = whyNot(err)
			}
		}
		list = append(list, f)
	}
	return answer.NewSources(j, now, list), nil
}

// by judges the job by one service, and plans it where the verdict hangs on that.
func (a *App) by(ctx context.Context, r Request, s Source) (*answer.Facts, error) {
	one := *a
	one.Source = s
	facts, _, err := one.facts(ctx, r)
	if err == nil && answer.WantsPlan(facts) {
		facts.Planned, err = planFor(ctx, facts)
	}
	if err != nil {
		return nil, err
	}
	return &facts, nil
}

// whyNot is an error as a reason and what to do.
func whyNot(err error) (why, fix string) {
	if p, ok := errors.AsType[*Problem](err); ok {
		return p.Text, p.Fix
	}
	return err.Error(), ""
}
