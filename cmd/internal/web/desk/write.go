package desk

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/window/job"
)

// JobText is the text of a job's file.
type JobText struct {
	Name string // of the file, without its folder
	Text []byte
	Tag  string // changes with the text
}

// JobText reads the file of the job with an id.
func (d *Desk) JobText(id string) (JobText, error) {
	j, t, err := d.textOf(id)
	if err != nil {
		return JobText{}, err
	}
	return JobText{j.name(), slices.Clone(t.data), t.tag}, nil
}

// CheckJob reads a text as that of the job, without keeping it: a checked job, or
// job.Errors.
func (d *Desk) CheckJob(id string, text []byte) (*job.Job, error) {
	j, err := d.open(id)
	if err != nil {
		return nil, err
	}
	if len(text) > LargestJob {
		return nil, &app.Problem{Where: j.name(), Text: fmt.Sprintf("is larger than %d kB", LargestJob>>10), Fix: "send the right text"}
	}
	return d.parser(j, text)(d.zoneOf(j))
}

// SaveJob checks a text and puts it in place of the one with the tag, which is kept
// beside it (NAME.<moment>.bak, the newest 20). It is written whole or not at all.
// The error is ErrChanged where the file has changed since the tag was given,
// ErrReadOnly for a job without a file, and job.Errors for a text that is wrong.
func (d *Desk) SaveJob(id string, text []byte, tag string) (JobText, error) {
	j, err := d.open(id)
	if err != nil {
		return JobText{}, err
	}
	if j.path == "" {
		return JobText{}, ErrReadOnly
	}
	if _, err := d.CheckJob(id, text); err != nil {
		return JobText{}, err
	}
	j.save.Lock()
	defer j.save.Unlock()
	j.forget()
	old, err := j.text()
	switch {
	case err != nil:
		return JobText{}, err
	case old.tag != tag:
		return JobText{}, ErrChanged
	case old.tag != TagOf(text):
		if err := j.write(old, text); err != nil {
			return JobText{}, err
		}
	}
	return d.JobText(id)
}

// forget has the file read anew.
func (j *openJob) forget() {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.seen = seen{}
}

// write replaces the file, in place of a link the file that it points to.
func (j *openJob) write(old jobText, text []byte) error {
	path, err := filepath.EvalSymlinks(j.path)
	if err != nil {
		path = j.path
	}
	perm := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		perm = info.Mode().Perm()
	}
	if err := keepOld(path, old.data, time.Now()); err != nil {
		return err
	}
	defer j.forget()
	return replace(path, text, perm)
}

// Work is work done, or what became of it.
type Work struct {
	Step  string
	Zones []string
	Share float64 // of each zone, 0 < share ≤ 1; 0 is all of it
	Coat  int     // that is on now, of a step with several, from 1; 0: all of them
	Found string  // of an outcome: ok, inspect or redo
	At    string  // by the clock at the place, see Moment
	By    string
	Note  string

	Corrects int64 // number of the entry that this one corrects, 0 for none
}

// LogDone records work.
func (d *Desk) LogDone(ctx context.Context, id string, w Work) (*answer.Logged, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	if w.Share == 0 {
		w.Share = 1
	}
	if !(w.Share > 0 && w.Share <= 1) {
		return nil, &app.Problem{Text: fmt.Sprintf("%g is no share of a zone", w.Share), Fix: "give more than 0 and at most 1"}
	}
	return d.log(ctx, id, func(a *app.App, r app.Request) (*answer.Logged, error) {
		return a.LogDone(ctx, app.DoneRequest{Request: r, Step: w.Step, Zones: w.Zones, Share: w.Share, Coat: w.Coat,
			At: Moment(w.At), By: w.By, Note: w.Note, Corrects: w.Corrects})
	})
}

// LogOutcome records what became of work.
func (d *Desk) LogOutcome(ctx context.Context, id string, w Work) (*answer.Logged, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	if found := []string{book.FoundOK, book.FoundInspect, book.FoundRedo}; !slices.Contains(found, w.Found) {
		return nil, &app.Problem{Text: fmt.Sprintf("%q is no outcome", w.Found), Fix: "give one of " + strings.Join(found, ", ")}
	}
	return d.log(ctx, id, func(a *app.App, r app.Request) (*answer.Logged, error) {
		return a.LogOutcome(ctx, app.OutcomeRequest{Request: r, Step: w.Step, Zones: w.Zones, Found: w.Found,
			At: Moment(w.At), By: w.By, Note: w.Note, Corrects: w.Corrects})
	})
}

// check refuses work that names no step or zone.
func (w Work) check() error {
	switch {
	case w.Step == "" || len(w.Zones) == 0:
		return &app.Problem{Text: "a step and at least one zone are needed", Fix: "name them as the job does"}
	case w.Corrects > 0 && len(w.Zones) > 1:
		return &app.Problem{Text: "one entry is corrected by one", Fix: "name a single zone"}
	}
	return nil
}

// Rain is a spell of rain that fell on the boat.
type Rain struct {
	From, To string   // by the clock at the place, see Moment
	MM       *float64 // nil where nobody measured
	Note     string
}

func (x Rain) check() error {
	if x.From == "" {
		return &app.Problem{Text: "the rain has no beginning", Fix: "say when it began, as 13:10"}
	}
	if x.MM != nil && !(*x.MM > 0 && *x.MM <= 1000) {
		return &app.Problem{Text: fmt.Sprintf("%g mm is no amount of rain", *x.MM), Fix: "give mm above 0, up to 1000, or leave it out"}
	}
	return nil
}

// LogRain records rain that fell.
func (d *Desk) LogRain(ctx context.Context, id string, x Rain) (*answer.Logged, error) {
	if err := x.check(); err != nil {
		return nil, err
	}
	return d.log(ctx, id, func(a *app.App, r app.Request) (*answer.Logged, error) {
		return a.LogRain(ctx, app.RainRequest{Request: r, From: Moment(x.From), To: Moment(x.To), MM: x.MM, Note: x.Note})
	})
}

// What may be taken back with Undo; rain is a reading.
const (
	UndoDone    = app.UndoDone
	UndoOutcome = app.UndoOutcome
	UndoReading = app.UndoReading
)

// Undo takes an entry of the job's boat back; the book keeps both.
func (d *Desk) Undo(ctx context.Context, id, kind string, number int64) (*answer.Logged, error) {
	if kinds := []string{UndoDone, UndoOutcome, UndoReading}; !slices.Contains(kinds, kind) {
		return nil, &app.Problem{Text: fmt.Sprintf("%q is nothing that can be taken back", kind), Fix: "give one of " + strings.Join(kinds, ", ")}
	}
	page, err := d.Entries(ctx, id, kind, number+1, 1)
	if err != nil {
		return nil, err
	}
	if len(page.Entries) == 0 || page.Entries[0].ID != number {
		return nil, &app.Problem{Text: fmt.Sprintf("there is no %s with the number %d", kind, number), Fix: "look at the list for its number", Err: book.ErrNotFound}
	}
	return d.log(ctx, id, func(a *app.App, _ app.Request) (*answer.Logged, error) { return a.Undo(ctx, kind, number) })
}

// log writes into the book what write records, all or nothing.
func (d *Desk) log(ctx context.Context, id string, write func(*app.App, app.Request) (*answer.Logged, error)) (*answer.Logged, error) {
	_, r, _, err := d.located(ctx, id)
	if err != nil {
		return nil, err
	}
	b := d.book()
	if b == nil {
		return nil, ErrNoBook
	}
	out, err := write(d.app(b), r)
	if err != nil {
		return nil, err
	}
	d.entries.Add(1)
	out.File = filepath.Base(d.cfg.BookFile)
	return out, nil
}
