// Package app holds the use cases: what a person asks, from the question to the
// answer, whoever shows it. Screens, pages and feeds call it and render what it
// gives back.
//
// The life of one question:
//
//	read     the job, as far as it can be without the place's time zone
//	fetch    the forecast for the job's place, from a Source
//	zone     the job's own, else the flag's, else the service's, else an error
//	recall   the work done, the rain and the readings that the book has of it, and where
//	         its crew is besides
//	stock    what of that work is spoiled counts as done no longer
//	learn    what older readings taught of the place and the boat
//	age      how far the forecast may be believed ([Age])
//	dress    a single forecast into futures, for the confidence
//	judge    window.Evaluate, then window.Plan
//	answer   answer.NewWeek or answer.NewMorning
//	record   the answer and all that it was made from, where there is a book
//
// The package has no state. Where the forecast comes from, what time it is and
// what was recorded are small ports, so that a test gives its own.
package app

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"
	"dewgap/forecast/ensemble"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/surface"
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

	// MaxAge is how old a forecast may be to be believed; zero is as usual.
	MaxAge settings.Age

	// Skies keeps the sun's path for all that is judged on the way to an answer; nil:
	// nothing is kept.
	Skies *surface.Skies

	// Stations are asked what was measured near the place, to learn from; nil: none.
	Stations Stations

	Book    Book   // nil: nothing is recalled and nothing recorded
	Version string // of the program, as the book notes it beside an answer
	// Unrecorded is told when an answer that is given could not be recorded; nil
	// is nobody.
	Unrecorded func(error)
}

// Request is a question about one job.
type Request struct {
	// Job reads the job. timezone is the IANA name for a job that has none of its
	// own, "" while none is known: the job's location may then be nil.
	Job      func(timezone string) (*job.Job, error)
	Timezone string   // of a flag, "" without
	Model    string   // "" without
	Warnings []string // to stand in the answer

	// File is the job's file as it is recorded; nil for a job without one, of which
	// the book knows nothing.
	File *JobFile
	// Products are the person's own, nil without.
	Products *JobFile
	// Readings reads what was measured besides what the book has; nil: nothing.
	Readings func(*job.Job) ([]job.Reading, error)
	// NoLearned leaves out what readings of the past have taught.
	NoLearned bool
	// WorkAlone leaves out the hours of zones on which nothing is to be done. A week in
	// the book has them all.
	WorkAlone bool

	// Hold has a week show the plan in force, where that was moved or takes its course,
	// held against the newest forecast, and puts no other one into force. Anew says that
	// the week's own plan is wanted on purpose: it is in force whatever was before.
	Hold, Anew bool
	// Held is the plan to hold, and HeldAt when it was agreed, where there is no book to
	// know it; nil: none.
	Held   *answer.Plan
	HeldAt time.Time

	past *past // what to recall in place of the book, for an answer of the past
}

// JobFile is a file that a person wrote.
type JobFile struct {
	Name string // without its folder
	Data []byte
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
	week, _, err := a.weekAndAll(ctx, r)
	return week, err
}

// weekAndAll is Week, with what the answer was made from.
func (a *App) weekAndAll(ctx context.Context, r Request) (*answer.Week, gathered, error) {
	if a.Book != nil && r.File != nil {
		r.WorkAlone = false
	}
	g, err := a.judge(ctx, r)
	if err != nil {
		return nil, g, err
	}
	var held *answer.Plan
	if r.Hold && !r.Anew {
		held = g.past.held(g.facts.Now)
	}
	facts := g.facts
	var week *answer.Week
	planned, err := aside(ctx, func() (planned *window.Planned, err error) {
		var beside sync.WaitGroup // all of the answer that does not hang on the plan
		beside.Go(func() { week = answer.NewWeek(facts) })
		planned, err = window.Plan(g.facts.Result, g.input.Job, window.PlanSettings{})
		beside.Wait()
		return planned, err
	})
	if err != nil {
		return nil, g, err
	}
	anew := answer.NewPlan(g.facts, planned)
	if held != nil {
		holdPlan(g.facts, week, held, g.past.force.at)
		if s := answer.Anew(week.Plan, anew, g.facts.Job.Location()); s != "" {
			week.Plan.Why = append(week.Plan.Why, s)
		}
	} else {
		g.facts.Planned = planned
		week.TakePlan(g.facts, anew)
		if err := a.waysOn(ctx, g, week); err != nil {
			return nil, g, err
		}
	}
	if err := a.tellBreaks(ctx, g, week); err != nil {
		return nil, g, err
	}
	week, err = a.week(ctx, r, g, held != nil, week)
	return week, g, err
}

// tellBreaks says in a week what would break the day of its headline.
func (a *App) tellBreaks(ctx context.Context, g gathered, week *answer.Week) error {
	if week.Headline == nil {
		return nil
	}
	in := g.input
	in.Readings = nil // a blow is dealt to the forecast alone
	found, err := aside(ctx, func() ([]string, error) { return breaks(g.facts, in, week), nil })
	week.Headline.Breaks = found
	return err
}

// week brings the answer to its end, with a plan that is held or with the one just
// made.
func (a *App) week(ctx context.Context, r Request, g gathered, held bool, week *answer.Week) (*answer.Week, error) {
	if held {
		a.keep(ctx, r, g, kept{kind: book.Week, verdict: week.Verdict, body: week, held: true})
		return week, nil
	}
	plan := week.Plan
	if at, stands := g.past.outlasts(week); stands && !r.Anew {
		plan = nil
		week.Warnings = append(week.Warnings, "the plan of "+at.In(g.facts.Job.Location()).Format(stamp)+
			" stays the one that counts: this one is of a forecast too old for today; with a newer one ask again")
	}
	a.keep(ctx, r, g, kept{kind: book.Week, verdict: week.Verdict, body: week, plan: plan, anew: r.Anew})
	return week, nil
}

// Morning answers whether work may begin now, later today or not at all.
func (a *App) Morning(ctx context.Context, r Request) (*answer.Morning, error) {
	g, err := a.gather(ctx, r)
	if err != nil {
		return nil, err
	}
	morning := answer.NewMorning(g.facts)
	morning.Today = g.today()
	a.keep(ctx, r, g, kept{kind: book.Morning, verdict: morning.Verdict, body: morning})
	return morning, nil
}

// gathered is all that an answer is made from.
type gathered struct {
	facts answer.Facts
	input window.Input
	past  *past
	given *job.Job      // with all that is said to be done; the input's is what the rain left of it
	stock *window.Stock // nil where nothing is done
	// spoiled says in words what of it counts as done no longer.
	spoiled []string
	news    heard         // what this answer was told of the fate of work
	fresh   []job.Reading // measured, and not in the book yet
	// taught is what was learned for it; never nil in an answer.
	taught *taught
	made   *answer.Plan // for a morning; nil where people go by an earlier one
}

// facts gathers what an answer is made from, without a plan.
func (a *App) facts(ctx context.Context, r Request) (answer.Facts, window.Input, error) {
	g, err := a.judge(ctx, r)
	return g.facts, g.input, err
}

// gather is judge, and a plan where people go by none.
func (a *App) gather(ctx context.Context, r Request) (gathered, error) {
	r.WorkAlone = true
	g, err := a.judge(ctx, r)
	if err != nil || g.goneBy() {
		return g, err
	}
	if g.facts.Planned, err = planFor(ctx, g.facts); err != nil {
		return g, err
	}
	g.made = answer.NewPlan(g.facts, g.facts.Planned)
	return g, a.partInstead(ctx, &g)
}

// planFor plans the job that was judged.
func planFor(ctx context.Context, f answer.Facts) (*window.Planned, error) {
	return aside(ctx, func() (*window.Planned, error) { return window.Plan(f.Result, f.Job, window.PlanSettings{}) })
}

// judge reads, fetches, recalls and evaluates.
func (a *App) judge(ctx context.Context, r Request) (gathered, error) {
	var g gathered
	j, f, err := a.jobAndForecast(ctx, r)
	if err != nil {
		return g, err
	}
	now := a.Clock.Now().Truncate(time.Second) // the book keeps whole seconds
	if err := pastInFuture(j, r.File, now); err != nil {
		return g, err
	}
	if g.past, err = a.recall(ctx, r, j, now); err != nil {
		return g, err
	}
	crewWarnings, err := a.recallCrew(ctx, r, g.past, j, now)
	if err != nil {
		return g, err
	}
	g.past.ofSeason(j) // an answer of the past is given all that it knew
	if g.fresh, err = freshReadings(r, j, g.past); err != nil {
		return g, err
	}
	if g.taught, err = a.learn(ctx, r, j, now, f); err != nil {
		return g, err
	}
	if r.Hold {
		j = g.past.reached(j, now)
	}
	j, warnings := g.past.into(within(j, f, now))
	g.given = j
	trust, aged := Age(f, now, j.Location(), a.MaxAge)
	g.input = window.Input{
		Forecast: f, Job: j, Classes: a.Classes, Location: j.Location(), Now: now,
		UnknownFrom: trust.From, UnknownUntil: trust.Until, Workers: runtime.GOMAXPROCS(0),
		Readings: append(g.past.measured(), g.fresh...), Rained: g.past.rains(nil, f.Start), Learned: g.taught.used(),
		Elsewhere: elsewhereOf(g.past.away), WorkAlone: r.WorkAlone, Skies: a.Skies,
	}
	if len(f.Members) == 1 {
		g.input.Dressed = ensemble.Dress(f, a.Futures, now, ensemble.Options{})
	}
	g.facts = answer.Facts{Job: j, Classes: a.Classes, Forecast: f, Now: now, Trust: trust, Agreed: g.past.planned, AgreedAt: g.past.force.at, Crew: answer.NewCrew(j, g.past.away)}
	if err = g.takeStock(ctx); err != nil {
		return g, err
	}
	g.facts.Warnings = slices.Concat(aged, mustInPast(j, now), r.Warnings, crewWarnings, g.past.formerWords(j), warnings, g.spoiled, g.taught.lines())
	result, err := evaluate(ctx, &g.input)
	if err != nil {
		return g, judging(err)
	}
	if len(result.Salted) > 0 {
		g.given, _ = unwashed(g.given, result.Salted)
	}
	g.facts.Job, g.facts.Result, g.facts.Stock = g.input.Job, result, g.stock
	return g, nil
}

// evaluate judges the job. Salt that was read undoes the washes before it, so
// that a wash is asked and planned anew.
func evaluate(ctx context.Context, in *window.Input) (*window.Result, error) {
	judged := func(in window.Input) (*window.Result, error) {
		return aside(ctx, func() (*window.Result, error) { return window.Evaluate(in) })
	}
	result, err := judged(*in)
	if err != nil || len(result.Salted) == 0 {
		return result, err
	}
	j, undone := unwashed(in.Job, result.Salted)
	if !undone {
		return result, nil
	}
	in.Job = j
	return judged(*in)
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
	f = inSeconds(f)
	if j.Place.Location != nil {
		return j, f, nil
	}
	if f.Timezone == "" {
		return nil, nil, &Problem{
			Text: "no time zone is known for the place: neither the job nor " + f.Service + " names one",
			Fix:  zoneFix(r.File),
		}
	}
	j, err = r.Job(f.Timezone)
	return j, f, err
}

// zoneFix is where to name the time zone: in the job, where there is one.
func zoneFix(file *JobFile) string {
	if file == nil {
		return "give --timezone, such as --timezone America/New_York"
	}
	return "write timezone under place in the job, or give --timezone America/New_York"
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
