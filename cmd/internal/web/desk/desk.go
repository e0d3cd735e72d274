// Package desk is the one place that pages, programs, calendars and watches ask
// while dewgap serves: it holds the open jobs, works their answers out through
// package app, and keeps each until what it was made from changes.
//
// An answer lasts for its ten-minute slot. It is made anew at once when the job's
// file, the book or anything recorded here changes: who has written something down
// never sees an answer that does not know of it. When merely time has moved on, the
// answer of the slot before is given, marked as such, while the new one is made; one
// that is older than [StaleFor] is waited for instead. However many ask, an answer is
// made once, and never more than [AtOnce] are in the making.
//
// The desk keeps an answer in the book once for each forecast, text of the job and
// state of what was recorded, and not once for every slot.
//
// All methods may be called from many goroutines at once.
package desk

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/products"
	"dewgap/window/surface"
)

// Limits of the desk's work.
const (
	// StaleFor is how long an answer of an earlier slot is given while a new one is
	// made.
	StaleFor = 30 * time.Minute
	// AtOnce is how many answers are in the making at most; each uses all cores.
	AtOnce = 2
	// Waiting is how many may wait for their turn; more are refused with ErrBusy.
	Waiting = 32
	// longestWork is the time after which the making of an answer is given up.
	longestWork = 2 * time.Minute
	// failedFor is how long a failure is told again before another try.
	failedFor = 20 * time.Second
)

// What the desk refuses.
var (
	ErrNoJob    = errors.New("there is no such job")
	ErrReadOnly = errors.New("this job has no file that could be changed")
	ErrChanged  = errors.New("the job was changed in the meantime")
	ErrNoPlan   = errors.New("there is no plan to move yet")
	ErrNoBook   = errors.New("there is no book to write into")
	ErrBusy     = errors.New("too many answers are in the making")
)

// Config is what a desk works with. Source, Clock and Classes are required, and a
// file or Demo.
type Config struct {
	Files  []string     // job files; read anew when they change
	Demo   *app.JobFile // a job without a file on the disk
	Source app.Source
	Clock  app.Clock

	Classes  *products.Set
	Products *app.JobFile // the person's own, nil without
	Timezone string       // for jobs that name none
	Model    string       // weather model, "" for the source's choice
	Futures  int          // of a single forecast
	MaxAge   settings.Age // how old a forecast may be to be believed; zero is as usual
	Warnings []string     // to stand in every answer
	Version  string       // of the program

	// Book takes what is recorded; nil: nothing can be.
	Book app.Book
	// BookFile is where it lies, so that what others write into it is seen; "" is
	// not looked for.
	BookFile string
	// KeepAnswers has answers kept in the book too, and not only what people record.
	KeepAnswers bool

	// Watch is told what the desk does; its zero value is nobody.
	Watch Watch
}

// Watch is told what the desk does. Any function may be nil.
type Watch struct {
	Fetched    func(service string, took time.Duration, err error) // a forecast was asked for
	Made       func(kind string, took time.Duration, err error)    // an answer was made
	Asked      func(kind string, had Had)                          // an answer was asked for
	Unrecorded func(err error)                                     // an answer could not be kept
}

// Had is how an answer was to hand.
type Had string

// The ways.
const (
	Hit   Had = "hit"   // ready
	Stale Had = "stale" // that of an earlier slot, while the new one is made
	Miss  Had = "miss"  // it had to be made
)

// Desk holds open jobs and their answers.
type Desk struct {
	cfg  Config
	ctx  context.Context
	stop context.CancelFunc
	work sync.WaitGroup
	jobs []*openJob
	gate gate

	skies surface.Skies // of all jobs

	entries atomic.Int64 // counts what was recorded, here or by others
	plans   atomic.Int64 // counts plans kept
	serial  atomic.Int64 // counts answers made
	news    atomic.Int64 // counts weeks and mornings made
	outside outside
}

// New opens the jobs. Their files need not be right: what is wrong is told by who
// asks.
func New(cfg Config) (*Desk, error) {
	if cfg.Source == nil || cfg.Clock == nil || cfg.Classes == nil {
		return nil, errors.New("a desk needs a source, a clock and a catalogue")
	}
	d := &Desk{cfg: cfg, gate: newGate(AtOnce, Waiting)}
	ids := IDs(cfg.Files, cfg.Demo != nil)
	if cfg.Demo != nil {
		d.jobs = append(d.jobs, &openJob{id: demoID, demo: cfg.Demo})
	}
	for i, path := range cfg.Files {
		d.jobs = append(d.jobs, &openJob{id: ids[len(ids)-len(cfg.Files)+i], path: path})
	}
	if len(d.jobs) == 0 {
		return nil, errors.New("a desk needs a job")
	}
	if cfg.BookFile != "" {
		d.outside = outside{path: cfg.BookFile}
		d.outside.look(time.Time{})
	}
	d.ctx, d.stop = context.WithCancel(context.Background())
	return d, nil
}

// Close gives up what is in the making and waits for it.
func (d *Desk) Close() {
	d.stop()
	d.work.Wait()
}

// Warm makes the weeks of all jobs, so that the first who asks need not wait. What
// goes wrong is told by who asks.
func (d *Desk) Warm() {
	for _, j := range d.jobs {
		d.work.Go(func() { _, _ = d.Week(d.ctx, j.id) })
	}
}

// JobInfo names an open job.
type JobInfo struct {
	ID       string        `json:"id"`       // in addresses: small letters, digits and dashes
	Job      string        `json:"job"`      // "" while the file cannot be read
	Boat     string        `json:"boat"`     //
	Place    answer.Place  `json:"place"`    // its timezone is "" while nobody knows it
	File     string        `json:"file"`     // name without its folder
	Writable bool          `json:"writable"` // whether SaveJob can change it
	Wrong    []WrongInFile `json:"wrong"`    // mistakes in the file, [] if it is right
}

// WrongInFile is a mistake in a file: what, where and what to do.
type WrongInFile = answer.Failure

// Jobs lists the open jobs in the order in which they were named.
func (d *Desk) Jobs() []JobInfo {
	out := make([]JobInfo, len(d.jobs))
	for i, j := range d.jobs {
		out[i] = d.info(j)
	}
	return out
}

// Job is the open job with an id, else ErrNoJob.
func (d *Desk) Job(id string) (JobInfo, error) {
	j, err := d.open(id)
	if err != nil {
		return JobInfo{}, err
	}
	return d.info(j), nil
}

func (d *Desk) info(j *openJob) JobInfo {
	info := JobInfo{ID: j.id, File: j.name(), Writable: j.path != "", Wrong: []WrongInFile{}}
	text, err := j.text()
	if err == nil {
		parsed, perr := d.parse(j, text)
		if err = perr; err == nil {
			info.Job, info.Boat = parsed.Name, parsed.Boat
			p := parsed.Place
			info.Place = answer.Place{Name: p.Name, Latitude: p.Latitude, Longitude: p.Longitude, Timezone: p.Timezone}
			if info.Place.Timezone == "" {
				info.Place.Timezone = d.zoneOf(j)
			}
		}
	}
	if err != nil {
		info.Wrong = Failures(err)
	}
	return info
}

// Harbour is where boats lie, with the ids of the jobs there.
type Harbour struct {
	answer.Place
	Jobs []string `json:"jobs"`
}

// Places lists the places of the jobs that can be read, each once.
func (d *Desk) Places() []Harbour {
	out := []Harbour{}
	for _, info := range d.Jobs() {
		if len(info.Wrong) > 0 {
			continue
		}
		at := -1
		for i := range out {
			if out[i].Place == info.Place {
				at = i
			}
		}
		if at < 0 {
			out, at = append(out, Harbour{Place: info.Place}), len(out)
		}
		out[at].Jobs = append(out[at].Jobs, info.ID)
	}
	return out
}

// Now is the desk's clock.
func (d *Desk) Now() time.Time { return d.cfg.Clock.Now() }

// Products are all product classes and the person's own.
func (d *Desk) Products() *answer.Products {
	var list []products.Class
	for _, id := range d.cfg.Classes.IDs() {
		if c, ok := d.cfg.Classes.Class(id); ok {
			list = append(list, c)
		}
	}
	return answer.NewProducts(list, d.cfg.Warnings)
}

// Classes are the product classes and the person's own, for who reads their limits.
func (d *Desk) Classes() *products.Set { return d.cfg.Classes }

// Catalogue is the hash of the product classes.
func (d *Desk) Catalogue() string { return d.cfg.Classes.Hash() }

// HasBook reports whether anything can be recorded.
func (d *Desk) HasBook() bool { return d.cfg.Book != nil }

// Revision changes whenever anything that the desk could tell has changed. It is
// cheap to ask.
func (d *Desk) Revision() string {
	d.lookOutside()
	files := ""
	for _, j := range d.jobs {
		files += "," + j.stamp()
	}
	slot := d.Now().Truncate(surface.Slot).Unix()
	return fmt.Sprintf("%d.%d.%d.%d%s", slot, d.entries.Load(), d.plans.Load(), d.news.Load(), files)
}

// ForecastMade tells by job when the forecast of its newest answer was issued.
func (d *Desk) ForecastMade() map[string]time.Time {
	out := map[string]time.Time{}
	for _, j := range d.jobs {
		if s := j.week.peek(); s != nil && s.Answer.Source.Issued != nil {
			out[j.id] = *s.Answer.Source.Issued
		}
	}
	return out
}

// open finds a job.
func (d *Desk) open(id string) (*openJob, error) {
	for _, j := range d.jobs {
		if j.id == id {
			return j, nil
		}
	}
	return nil, ErrNoJob
}

// app is the use cases with a book, and with a word for the watch.
func (d *Desk) app(b app.Book) *app.App {
	return &app.App{
		Source: watched{d.cfg.Source, d.cfg.Watch.Fetched}, Clock: d.cfg.Clock, Classes: d.cfg.Classes,
		Futures: d.cfg.Futures, MaxAge: d.cfg.MaxAge, Book: b, Version: d.cfg.Version, Skies: &d.skies, Unrecorded: d.cfg.Watch.Unrecorded,
	}
}
