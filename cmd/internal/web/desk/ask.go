package desk

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/window/job"
	"dewgap/window/surface"
)

// Week answers a week ahead for the job with an id.
func (d *Desk) Week(ctx context.Context, id string) (*Snapshot[answer.Week], error) {
	j, t, err := d.textOf(id)
	if err != nil {
		return nil, err
	}
	return ask(ctx, d, question[answer.Week]{
		job: j, text: t, kind: book.Week, cell: &j.week, inputs: d.inputs(t) + d.crewOf(ctx, j, t),
		answer: func(ctx context.Context, a *app.App, r app.Request) (*answer.Week, error) { return a.Week(ctx, r) },
		source: func(w *answer.Week) answer.Source { return w.Source },
		after: func(w *answer.Week) {
			j.mu.Lock()
			defer j.mu.Unlock()
			j.zone = w.Place.Timezone
		},
	})
}

// Morning answers for now, by what was recorded.
func (d *Desk) Morning(ctx context.Context, id string) (*Snapshot[answer.Morning], error) {
	j, t, err := d.textOf(id)
	if err != nil {
		return nil, err
	}
	return ask(ctx, d, question[answer.Morning]{
		job: j, text: t, kind: book.Morning, cell: &j.morning, inputs: fmt.Sprintf("%s.%d", d.inputs(t), d.plans.Load()),
		answer: func(ctx context.Context, a *app.App, r app.Request) (*answer.Morning, error) {
			return a.Morning(ctx, r)
		},
		source: func(m *answer.Morning) answer.Source { return m.Source },
	})
}

// MorningWith answers for now by readings besides those that were recorded, in the
// form of a readings file. Where there is a book they are recorded with the answer.
func (d *Desk) MorningWith(ctx context.Context, id string, readings []byte) (*answer.Morning, error) {
	j, t, err := d.textOf(id)
	if err != nil {
		return nil, err
	}
	now := d.Now()
	a, r := d.app(d.book()), d.request(j, t)
	a.Clock = app.At(now)
	r.Readings = func(x *job.Job) ([]job.Reading, error) {
		return job.ParseReadings("readings", readings, job.ReadingOptions{Location: x.Location(), Zones: x.Zones, Classes: d.cfg.Classes, Now: now})
	}
	var out *answer.Morning
	err = d.inTurn(ctx, "morning with readings", func(ctx context.Context) error {
		out, err = a.Morning(ctx, r)
		return err
	})
	if err == nil && d.HasBook() {
		d.entries.Add(1)
	}
	return out, err
}

// mostWhys is how many explanations of a job are kept.
const mostWhys = 256

// Why tells every limit of a product on a zone in the slot of a moment; the zero
// moment is now.
func (d *Desk) Why(ctx context.Context, id, zone, product string, at time.Time) (*Snapshot[answer.Why], error) {
	j, t, err := d.textOf(id)
	if err != nil {
		return nil, err
	}
	if _, ok := d.cfg.Classes.Class(product); !ok {
		return nil, d.unknownProduct(product)
	}
	when := at.UTC().Truncate(surface.Slot)
	key := fmt.Sprintf("%q %q %d", zone, product, when.Unix())
	if at.IsZero() {
		key = fmt.Sprintf("%q %q", zone, product)
	}
	return ask(ctx, d, question[answer.Why]{
		job: j, text: t, kind: "why", cell: j.whyCell(key), inputs: d.inputs(t),
		answer: func(ctx context.Context, a *app.App, r app.Request) (*answer.Why, error) {
			return a.Why(ctx, app.WhyRequest{Request: r, Zone: zone, Class: product, At: func(*time.Location) (time.Time, error) {
				if at.IsZero() {
					return a.Clock.Now(), nil
				}
				return at, nil
			}})
		},
	})
}

// WhyAt is Why of a moment by the clock at the place, see Moment.
func (d *Desk) WhyAt(ctx context.Context, id, zone, product, at string) (*Snapshot[answer.Why], error) {
	if at == "" {
		return d.Why(ctx, id, zone, product, time.Time{})
	}
	_, _, j, err := d.located(ctx, id)
	if err != nil {
		return nil, err
	}
	t, err := Moment(at)(d.Now(), j.Location())
	if err != nil {
		return nil, err
	}
	return d.Why(ctx, id, zone, product, t)
}

func (d *Desk) unknownProduct(id string) error {
	fix := "look at the list of products"
	if near, ok := d.cfg.Classes.Nearest(id); ok {
		fix = "did you mean " + near + "?"
	}
	return &app.Problem{Text: fmt.Sprintf("no product %q", id), Fix: fix}
}

func (j *openJob) whyCell(key string) *cell[answer.Why] {
	j.mu.Lock()
	defer j.mu.Unlock()
	c := j.whys[key]
	if c == nil {
		if j.whys == nil || len(j.whys) >= mostWhys {
			j.whys = map[string]*cell[answer.Why]{}
		}
		c = &cell[answer.Why]{}
		j.whys[key] = c
	}
	return c
}

// question is how an answer of one kind is made.
type question[T any] struct {
	job    *openJob
	text   jobText
	kind   string
	cell   *cell[T]
	inputs string
	answer func(context.Context, *app.App, app.Request) (*T, error)
	source func(*T) answer.Source // nil: never kept
	after  func(*T)               // nil: nothing

	entries int64 // what was recorded when it was asked
}

// ask gives the answer of a cell, made anew if need be. What makes it does not stop
// when the one who asked goes away: others may wait for it. A slip of ours in making it
// is a fault of this one answer, for nobody else would catch it here.
func ask[T any](ctx context.Context, d *Desk, q question[T]) (*Snapshot[T], error) {
	w := wanted{q.inputs, d.Now().Truncate(surface.Slot)}
	q.entries = d.entries.Load()
	s, had, err := q.cell.get(ctx, w, func(f *flight[T]) {
		d.work.Go(func() {
			defer func() {
				if fault := recover(); fault != nil {
					f.err = fmt.Errorf("fault: %v\n%s", fault, debug.Stack())
				}
				q.cell.land(f)
			}()
			f.err = d.inTurn(d.ctx, q.kind, func(ctx context.Context) (err error) {
				f.snap, err = q.makeIn(ctx, d)
				return err
			})
		})
	})
	if tell := d.cfg.Watch.Asked; tell != nil {
		tell(q.kind, had)
	}
	return s, err
}

// makeIn makes the answer.
func (q question[T]) makeIn(ctx context.Context, d *Desk) (*Snapshot[T], error) {
	now := d.Now()
	a, later := d.app(d.book()).PuttingOff()
	a.Clock = app.At(now)
	out, err := q.answer(ctx, a, d.request(q.job, q.text))
	if err != nil {
		return nil, err
	}
	var data bytes.Buffer
	if err := answer.Write(&data, out); err != nil {
		return nil, err
	}
	if q.after != nil {
		q.after(out)
	}
	if q.source != nil {
		defer d.news.Add(1)
		keep(ctx, d, q, basis(q.source(out), q.inputs), later)
	}
	return &Snapshot[T]{
		Answer: out, JSON: NewBody(data.Bytes()), At: now,
		inputs: q.inputs, slot: now.Truncate(surface.Slot), serial: d.serial.Add(1),
	}, nil
}

// basis is what an answer was made from besides the moment.
func basis(s answer.Source, inputs string) string {
	issued := ""
	if s.Issued != nil {
		issued = s.Issued.UTC().Format(time.RFC3339)
	}
	return s.Name + " " + issued + " " + inputs
}

// keep writes an answer into the book if it was made from anything new. An answer
// stands though it cannot be kept; one that something written meanwhile has overtaken, as
// a move has overtaken a week, is not to be kept.
func keep[T any](ctx context.Context, d *Desk, q question[T], from string, later *app.PutOff) {
	j, kind := q.job, q.kind
	if !d.cfg.KeepAnswers || !later.Any() || d.entries.Load() != q.entries || !j.keepNew(kind, from) {
		return
	}
	if err := later.Write(ctx); err != nil {
		j.keepNew(kind, "")
		if d.cfg.Watch.Unrecorded != nil {
			d.cfg.Watch.Unrecorded(err)
		}
		return
	}
	if kind == book.Week {
		d.plans.Add(1)
	}
}

// keepNew notes what the answer of a kind last kept was made from, and reports
// whether that is new.
func (j *openJob) keepNew(kind, from string) bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.kept == nil {
		j.kept = map[string]string{}
	}
	was := j.kept[kind]
	j.kept[kind] = from
	return was != from
}

// inTurn does work when it is its turn, within the time that work may take. Once begun it
// goes on without the one who asked, lest those who come and go have more in the making
// than there are turns; it stops when the desk does.
func (d *Desk) inTurn(ctx context.Context, kind string, do func(context.Context) error) error {
	ctx, stop := context.WithTimeout(ctx, longestWork)
	defer stop()
	leave, err := d.gate.enter(ctx)
	if err != nil {
		return err
	}
	defer leave()
	own, stop := context.WithTimeout(context.WithoutCancel(ctx), longestWork)
	defer stop()
	defer context.AfterFunc(d.ctx, stop)()
	began := time.Now()
	err = do(own)
	if d.cfg.Watch.Made != nil {
		d.cfg.Watch.Made(kind, time.Since(began), err)
	}
	return err
}

// textOf finds a job and reads its file.
func (d *Desk) textOf(id string) (*openJob, jobText, error) {
	j, err := d.open(id)
	if err != nil {
		return nil, jobText{}, err
	}
	t, err := j.text()
	return j, t, err
}

// inputs changes with everything that answers are made from but time.
func (d *Desk) inputs(t jobText) string {
	d.lookOutside()
	return fmt.Sprintf("%s.%d", t.tag, d.entries.Load())
}

// request is a question about a job as the command line would ask it, but for the plan:
// the one in force is shown to everybody who asks here.
func (d *Desk) request(j *openJob, t jobText) app.Request {
	r := app.Request{
		Job: d.parser(j, t.data), Timezone: d.cfg.Timezone, Model: d.cfg.Model,
		Warnings: slices.Clone(d.cfg.Warnings), File: j.file(t), Products: d.cfg.Products, Hold: true,
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if m := j.agreed; d.cfg.Book == nil && m != nil {
		r.Held, r.HeldAt = m.Plan, m.Now
	}
	return r
}

// zoneOf is the time zone that is known for a job that names none.
func (d *Desk) zoneOf(j *openJob) string {
	if d.cfg.Timezone != "" {
		return d.cfg.Timezone
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.zone
}

// located is a request by which moments of the clock at the place can be read, and
// the job. Where only the forecast service knows the zone, the week is asked first.
func (d *Desk) located(ctx context.Context, id string) (*openJob, app.Request, *job.Job, error) {
	j, t, err := d.textOf(id)
	if err != nil {
		return nil, app.Request{}, nil, err
	}
	r := d.request(j, t)
	parsed, err := d.parse(j, t)
	if err == nil && parsed.Place.Location == nil {
		if r.Timezone = d.zoneOf(j); r.Timezone == "" {
			if _, err := d.Week(ctx, id); err != nil {
				return nil, r, nil, err
			}
			r.Timezone = d.zoneOf(j)
		}
		parsed, err = r.Job(r.Timezone)
	}
	return j, r, parsed, err
}

// passing reports whether an error says nothing about the answer itself, so that it
// is not told again to the next who asks.
func passing(err error) bool {
	return errors.Is(err, ErrBusy) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}
