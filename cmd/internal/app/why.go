package app

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/window"
	"dewgap/window/job"
)

// WhyRequest asks for every limit of one class on one zone at one moment.
type WhyRequest struct {
	Request
	Zone, Class string
	At          func(loc *time.Location) (time.Time, error) // by the clock at the place
}

// ErrNoZone is a zone that the boat does not have.
var ErrNoZone = errors.New("no such zone")

// Why answers which limits stand for and against a product on a zone.
func (a *App) Why(ctx context.Context, r WhyRequest) (*answer.Why, error) {
	f, in, err := a.facts(ctx, r.Request)
	if err != nil {
		return nil, err
	}
	zone, ok := f.Job.Zone(r.Zone)
	if !ok {
		names := make([]string, len(f.Job.Zones))
		for i, z := range f.Job.Zones {
			names[i] = z.Name
		}
		fix := "take one of " + strings.Join(names, ", ")
		if near := job.Nearest(r.Zone, names); near != "" {
			fix = "did you mean " + near + "?"
		}
		return nil, &Problem{Text: fmt.Sprintf("the boat has no zone %q", r.Zone), Fix: fix, Err: ErrNoZone}
	}
	at, err := r.At(in.Location)
	if err != nil {
		return nil, err
	}
	x, err := aside(ctx, func() (*window.Explanation, error) { return window.Explain(in, zone, r.Class, at) })
	if errors.Is(err, window.ErrNoSlot) {
		from, to := f.Result.Grid.At(f.Result.From), f.Result.Grid.At(f.Result.To)
		layout := stamp
		if at.In(in.Location).Year() != f.Now.In(in.Location).Year() {
			layout = dated // a slip in the year is not seen without it
		}
		return nil, &Problem{Text: "nothing is known of " + at.In(in.Location).Format(layout), Err: err,
			Fix: "give a moment from " + from.In(in.Location).Format(layout) + " to " + to.In(in.Location).Format(layout)}
	}
	if err != nil {
		return nil, judging(err)
	}
	return answer.NewWhy(f, x), nil
}
