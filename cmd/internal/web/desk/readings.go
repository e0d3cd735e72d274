package desk

import (
	"context"
	"errors"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/window/job"
)

// AddReadings records readings, all of them or none. A zero At is now. One that says
// what the book has of that second already is not recorded again, so that to send it
// twice does no harm; the entry that is there comes back.
func (d *Desk) AddReadings(ctx context.Context, id string, list []job.Reading) (*answer.Logged, error) {
	if len(list) == 0 {
		return nil, &app.Problem{Text: "there is no reading", Fix: "send at least one"}
	}
	had, err := d.readingsThere(ctx, id)
	if err != nil {
		return nil, err
	}
	out := answer.NewLogged("reading")
	_, err = d.log(ctx, id, func(a *app.App, r app.Request) (*answer.Logged, error) {
		a, later := a.PuttingOff()
		var parts []*answer.Logged
		for _, m := range list {
			part, err := d.addReading(ctx, id, a, r, m, had)
			if err != nil {
				return nil, err
			}
			parts = append(parts, part)
		}
		if err := later.Write(ctx); err != nil {
			return nil, err
		}
		for _, part := range parts {
			out.Entries = append(out.Entries, part.Entries...)
		}
		return out, nil
	})
	return out, err
}

// ParseReadings reads a readings file, or the same as JSON, for the job with an id,
// without recording anything. name is for messages.
func (d *Desk) ParseReadings(ctx context.Context, id, name string, data []byte) ([]job.Reading, error) {
	_, _, j, err := d.located(ctx, id)
	if err != nil {
		return nil, err
	}
	return job.ParseReadings(name, data, job.ReadingOptions{Location: j.Location(), Zones: j.Zones, Classes: d.cfg.Classes, Now: d.Now()})
}

// errHad stops the recording of a reading that is there.
var errHad = errors.New("the book has it")

// addReading puts one reading among what is to be written, unless it is there.
func (d *Desk) addReading(ctx context.Context, id string, a *app.App, r app.Request, m job.Reading, had []book.Reading) (*answer.Logged, error) {
	var there book.Reading
	explicit := !m.At.IsZero()
	out, err := a.AddReading(ctx, app.ReadingRequest{Request: r, Compose: func(j *job.Job, now time.Time) (job.Reading, error) {
		if m.At.IsZero() {
			m.At = now
		}
		m.At = m.At.Truncate(time.Second)
		checked, err := d.checkReading(j, m, now)
		if err != nil || !explicit {
			return checked, err
		}
		if i := slices.IndexFunc(had, func(b book.Reading) bool { return says(b, checked) }); i >= 0 {
			there = had[i]
			return checked, errHad
		}
		return checked, nil
	}})
	if errors.Is(err, errHad) {
		return d.loggedAs(ctx, id, there)
	}
	return out, err
}

// checkReading holds a reading to what a line of a readings file is held to.
func (d *Desk) checkReading(j *job.Job, m job.Reading, now time.Time) (job.Reading, error) {
	if _, ok := d.cfg.Classes.Class(m.Product); !ok && m.Product != "" {
		return m, d.unknownProduct(m.Product) // before it becomes part of a line
	}
	list, err := job.ParseReadings("", []byte(m.Text(j.Location())+"\n"), job.ReadingOptions{
		Location: j.Location(), Zones: j.Zones, Classes: d.cfg.Classes, Now: now,
	})
	if wrong, ok := errors.AsType[job.Errors](err); ok {
		out := slices.Clone(wrong)
		for i := range out {
			out[i].File, out[i].Line, out[i].Column = "", 0, 0
		}
		return m, out
	}
	if err != nil {
		return m, err
	}
	return list[0], nil
}

// readingsThere are the readings that the book has of the job's boat.
func (d *Desk) readingsThere(ctx context.Context, id string) ([]book.Reading, error) {
	if d.cfg.Book == nil {
		return nil, ErrNoBook
	}
	_, any, err := d.jobKeys(ctx, id)
	if err != nil || any == "" {
		return nil, err
	}
	return d.cfg.Book.ReadingsSince(ctx, any, time.Unix(0, 0))
}

// loggedAs is the entry of a reading that is in the book already.
func (d *Desk) loggedAs(ctx context.Context, id string, b book.Reading) (*answer.Logged, error) {
	page, err := d.Entries(ctx, id, UndoReading, b.ID+1, 1)
	if err != nil {
		return nil, err
	}
	out := answer.NewLogged("reading")
	out.Entries = append(out.Entries, page.Entries...)
	return out, nil
}

// says reports whether a row of the book says what a reading does.
func says(b book.Reading, m job.Reading) bool {
	kept := app.ReadingOf(b)
	kept.At, m.At, m.Line = kept.At.UTC(), m.At.UTC(), 0
	return b.Rain == nil && kept == m
}
