package pages

import (
	"context"
	"net/url"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"
	"dewgap/window/job"
)

// fitted is the server's desk as the pages know one, much as the server fits it.
type fitted struct {
	*desk.Desk
	calendar func(id string) string
}

var _ Desk = fitted{}

// Boats lists the open jobs. One whose file cannot be read goes by the file's name.
func (f fitted) Boats(context.Context) ([]Boat, error) {
	var out []Boat
	for _, j := range f.Desk.Jobs() {
		b := Boat{ID: j.ID, Job: j.Job, Boat: j.Boat, Place: j.Place.Name}
		if b.Job == "" {
			b.Job = j.File
		}
		if f.calendar != nil {
			b.Calendar = f.calendar(url.PathEscape(j.ID))
		}
		out = append(out, b)
	}
	return out, nil
}

func answerOf[T any](s *desk.Snapshot[T], err error) (*T, error) {
	if err != nil {
		return nil, err
	}
	return s.Answer, nil
}

// Week is the desk's.
func (f fitted) Week(ctx context.Context, id string) (*answer.Week, error) {
	return answerOf(f.Desk.Week(ctx, id))
}

// Morning is the desk's.
func (f fitted) Morning(ctx context.Context, id string) (*answer.Morning, error) {
	return answerOf(f.Desk.Morning(ctx, id))
}

// Why is the desk's.
func (f fitted) Why(ctx context.Context, id, zone, product string, at time.Time) (*answer.Why, error) {
	return answerOf(f.Desk.Why(ctx, id, zone, product, at))
}

// File is the desk's.
func (f fitted) File(_ context.Context, id string) (File, error) {
	t, err := f.Desk.JobText(id)
	return File{t.Name, t.Text, t.Tag}, err
}

// Check is the desk's.
func (f fitted) Check(_ context.Context, id string, text []byte) (*job.Job, error) {
	return f.Desk.CheckJob(id, text)
}

// Save is the desk's.
func (f fitted) Save(_ context.Context, id string, text []byte, tag string) error {
	_, err := f.Desk.SaveJob(id, text, tag)
	return err
}

// Products are the desk's.
func (f fitted) Products(context.Context) (*answer.Products, error) { return f.Desk.Products(), nil }

// AddReadings is the desk's.
func (f fitted) AddReadings(ctx context.Context, id string, list []job.Reading) error {
	_, err := f.Desk.AddReadings(ctx, id, list)
	return err
}

// LogDone is the desk's.
func (f fitted) LogDone(ctx context.Context, id string, w Work) error {
	_, err := f.Desk.LogDone(ctx, id, w.desk())
	return err
}

// LogOutcome is the desk's.
func (f fitted) LogOutcome(ctx context.Context, id string, w Work) error {
	_, err := f.Desk.LogOutcome(ctx, id, w.desk())
	return err
}

func (w Work) desk() desk.Work {
	return desk.Work{Step: w.Step, Zones: w.Zones, Share: w.Share, Coat: w.Coat, Found: w.Found, At: w.At, By: w.By, Note: w.Note}
}

// Move is the desk's.
func (f fitted) Move(ctx context.Context, id string, m Rained) (*answer.Move, error) {
	var by desk.Moving
	if m.From != "" {
		by.Rain = []desk.Rain{{From: m.From, To: m.To, MM: m.MM}}
	}
	for _, l := range m.Left {
		by.Left = append(by.Left, desk.Left{Step: l.Step, Zone: l.Zone, How: l.How, Share: l.Share, From: l.From, To: l.To})
	}
	return f.Desk.Move(ctx, id, by)
}
