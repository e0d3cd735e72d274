// Package app holds the use cases: what a person asks, from the question to the
// answer, whoever shows it. Screens, pages and feeds call it and render what it
// gives back.
//
// The life of one question:
//
//	read     the job, as far as it can be without the place's time zone
//	fetch    the forecast for the job's place, from a Source
//	zone     the job's own, else the flag's, else the service's, else an error
//	age      how far the forecast may be believed ([Age])
//	dress    a single forecast into futures, for the confidence
//	judge    window.Evaluate
//	answer   answer.NewWeek or answer.NewMorning
//
// The package has no state. Where the forecast comes from and what time it is
// are small ports, so that a test gives its own.
package app

import (
	"context"
	"errors"
	"runtime"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast"
	"dewgap/forecast/ensemble"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"
)

// Source gives forecasts.
type Source interface {
	// Forecast gives the forecast for a place. Its error says what to do about
	// it, in a form that Fix knows.
	Forecast(ctx context.Context, q Query) (*forecast.Forecast, error)
}

// Query is what a source is asked.
type Query struct {
	Place forecast.Place
	Model string // the model to take where there are several; "": the source's choice
}

// Clock tells the time.
type Clock interface{ Now() time.Time }

// ClockFunc is a function that serves as a Clock.
type ClockFunc func() time.Time

// Now calls the function.
func (f ClockFunc) Now() time.Time { return f() }

// At is a clock that stands still.
func At(t time.Time) Clock { return ClockFunc(func() time.Time { return t }) }

// Futures is how many futures a single forecast is dressed into; they come in
// pairs, so the number is even.
const Futures = 30

// App answers questions.
type App struct {
	Source  Source
	Clock   Clock
	Classes *products.Set
	Futures int // of a single forecast; 0: its confidence is 0 or 1
}

// Request is a question about one job.
type Request struct {
	// Job reads the job. timezone is the IANA name for a job that has none of its
	// own, "" while none is known: the job's location may then be nil.
	Job      func(timezone string) (*job.Job, error)
	Timezone string   // of a flag, "" without
	Model    string   // "" without
	Warnings []string // to stand in the answer
}

// Problem is an error with what to do about it.
type Problem struct {
	Where string // file, or file:line:column; "" where there is none
	Text  string // what is wrong
	Fix   string // what to do
	Err   error  // the error beneath, nil if there is none
}

// Error is the place and what is wrong; the fix is left to whoever shows it.
func (p *Problem) Error() string {
	if p.Where == "" {
		return p.Text
	}
	return p.Where + ": " + p.Text
}

// Unwrap gives the error beneath, for errors.Is and errors.As.
func (p *Problem) Unwrap() error { return p.Err }

// Week answers which days, which sides, in which order.
func (a *App) Week(ctx context.Context, r Request) (*answer.Week, error) {
	f, in, err := a.facts(ctx, r)
	if err != nil {
		return nil, err
	}
	f.Breaks = breaks(f, in)
	return answer.NewWeek(f), nil
}

// Morning answers whether work may begin now, later today or not at all.
func (a *App) Morning(ctx context.Context, r Request) (*answer.Morning, error) {
	f, _, err := a.facts(ctx, r)
	if err != nil {
		return nil, err
	}
	return answer.NewMorning(f), nil
}

// facts gathers what an answer is made from.
func (a *App) facts(ctx context.Context, r Request) (answer.Facts, window.Input, error) {
	j, f, err := a.jobAndForecast(ctx, r)
	if err != nil {
		return answer.Facts{}, window.Input{}, err
	}
	now := a.Clock.Now()
	j = within(j, f, now)
	trust, warnings := Age(f, now, j.Location())
	in := window.Input{
		Forecast: f, Job: j, Classes: a.Classes, Location: j.Location(), Now: now,
		UnknownFrom: trust.From, UnknownUntil: trust.Until, Workers: runtime.GOMAXPROCS(0),
	}
	if len(f.Members) == 1 {
		in.Dressed = ensemble.Dress(f, a.Futures, now, ensemble.Options{})
	}
	result, err := window.Evaluate(in)
	if err != nil {
		return answer.Facts{}, in, judging(err)
	}
	return answer.Facts{
		Job: j, Classes: a.Classes, Forecast: f, Result: result, Now: now, Trust: trust,
		Warnings: append(warnings, r.Warnings...),
	}, in, nil
}

// jobAndForecast reads the job, fetches for its place, and reads the job again
// where only the service knows the time zone.
func (a *App) jobAndForecast(ctx context.Context, r Request) (*job.Job, *forecast.Forecast, error) {
	j, err := r.Job(r.Timezone)
	if err != nil {
		return nil, nil, err
	}
	f, err := a.Source.Forecast(ctx, Query{Place: placeOf(j), Model: r.Model})
	if err != nil {
		return nil, nil, err
	}
	if j.Place.Location != nil {
		return j, f, nil
	}
	if f.Timezone == "" {
		return nil, nil, &Problem{
			Text: "no time zone is known for the place: neither the job nor " + f.Service + " names one",
			Fix:  "write timezone under place in the job, or give --timezone America/New_York",
		}
	}
	j, err = r.Job(f.Timezone)
	return j, f, err
}

func placeOf(j *job.Job) forecast.Place {
	return forecast.Place{
		Latitude: j.Place.Latitude, Longitude: j.Place.Longitude,
		ElevationM: j.Place.ElevationM, HasElevation: j.Place.HasElevation,
	}
}

// within gives a job without a last day that begins after the forecast's end
// one day to be judged, so that the answer is "unknown" and not an error.
func within(j *job.Job, f *forecast.Forecast, now time.Time) *job.Job {
	from := now
	if t, ok := j.Opens(); ok && t.After(from) {
		from = t
	}
	if !j.By.IsZero() || from.Before(f.End()) {
		return j
	}
	out := *j
	out.By = job.DateOf(from.In(j.Location()))
	return &out
}

// judging words the engine's errors.
func judging(err error) error {
	p := &Problem{Text: err.Error(), Err: err}
	switch {
	case errors.Is(err, window.ErrNoHorizon):
		p.Text, p.Fix = "the job's last day is over", "write a later day as by in the job, or leave it out"
	case errors.Is(err, window.ErrNoForecast):
		p.Fix = "choose another source"
	}
	return p
}
