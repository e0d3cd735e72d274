package cli

import (
	"context"
	"errors"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/watch"
	"dewgap/forecast/fetch"
	"dewgap/forecast/source"
	"dewgap/window"
)

// watchedJob is a job as it is watched: read anew each time, so that what a person
// writes into it counts.
type watchedJob struct {
	name     string
	question question
	env      Env
	settings *settings.Settings
}

var _ watch.Job = watchedJob{}

// Name is the file's.
func (w watchedJob) Name() string { return w.name }

// Ask asks the week, and moves the plan that is held the least.
func (w watchedJob) Ask(ctx context.Context, now time.Time, held *answer.Plan) watch.Asked {
	env := w.env
	env.Now = func() time.Time { return now }
	a, request, close, err := w.question.app(ctx, env, w.settings)
	if err != nil {
		close()
		return unanswered(err)
	}
	paced := &app.Paced{}
	if live, ok := a.Source.(app.Live); ok {
		paced.Live = live
		a.Source = paced
	}
	out, err := a.Watch(ctx, request, held)
	if err != nil {
		close()
		return unanswered(err)
	}
	return watch.Asked{Week: out.Week, Moves: out.Changes, Again: paced.Again, Keep: out.Keep, Close: close}
}

// unanswered tells what kind of lack an error is.
func unanswered(err error) watch.Asked {
	f := failures(err)[0]
	out := watch.Asked{Failure: &f, Status: answer.WatchBadJob}
	_, failed := errors.AsType[*source.FailedError](err)
	_, fetched := errors.AsType[*fetch.Error](err)
	switch {
	case errors.Is(err, window.ErrNoHorizon):
		out.Status = answer.WatchOver
	case failed || fetched:
		out.Status = answer.WatchOffline
	}
	return out
}
