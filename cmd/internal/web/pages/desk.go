package pages

import (
	"context"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"
	"dewgap/window"
	"dewgap/window/job"
)

// Desk gives the answers that the pages show, and takes what people write down.
// Every method may be called from several requests at once. An error that a
// person can do something about is one that desk.Known knows; all else is told as a
// fault.
type Desk interface {
	// Boats lists the jobs, in the order in which they are to be shown.
	Boats(ctx context.Context) ([]Boat, error)

	// Week, Morning and Why answer for the job with an id; desk.ErrNoJob where
	// there is none of it. The at of Why is any moment of the slot.
	Week(ctx context.Context, id string) (*answer.Week, error)
	Morning(ctx context.Context, id string) (*answer.Morning, error)
	Why(ctx context.Context, id, zone, product string, at time.Time) (*answer.Why, error)

	// File gives the text of a job's file with its tag, and Check reads a text
	// without keeping it: a checked job, or job.Errors.
	File(ctx context.Context, id string) (File, error)
	Check(ctx context.Context, id string, text []byte) (*job.Job, error)
	// Save keeps a checked text in place of the one with the tag; desk.ErrChanged
	// where somebody else has saved in between, desk.ErrReadOnly where there is no file.
	Save(ctx context.Context, id string, text []byte, tag string) error
	// Products are all product classes and the person's own.
	Products(ctx context.Context) (*answer.Products, error)

	// AddReadings writes readings down, all or none. A zero At is now.
	AddReadings(ctx context.Context, id string, list []job.Reading) error
	LogDone(ctx context.Context, id string, w Work) error
	LogOutcome(ctx context.Context, id string, w Work) error
	// LogRain writes rain down, and Undo takes an entry back: a desk.UndoDone,
	// desk.UndoOutcome or desk.UndoReading by its number. HasBook tells whether there
	// is anything to write into.
	LogRain(ctx context.Context, id string, x desk.Rain) (*answer.Logged, error)
	Undo(ctx context.Context, id, kind string, number int64) (*answer.Logged, error)
	HasBook() bool
	// Log is what was written down of a job, and the answers given, of which
	// AnswerBytes has the JSON.
	Log(ctx context.Context, id string) (*answer.BookList, error)
	AnswerBytes(ctx context.Context, id string, number int64) ([]byte, error)

	// Move moves the plan after rain and keeps the answer; LastMove is that answer,
	// nil where there is none or the job was planned anew since.
	Move(ctx context.Context, id string, m Rained) (*answer.Move, error)
	LastMove(ctx context.Context, id string) (*answer.Move, error)
	// PlanAnew makes a new plan in place of one that was moved or is under way.
	PlanAnew(ctx context.Context, id string) (*answer.Week, error)
}

// Boat names one job and where it is.
type Boat struct {
	ID        string // in addresses: letters, digits and dashes
	Job, Boat string
	Place     string
	Calendar  string // path of its calendar; "" without, or where it takes a link of its own
}

// File is the text of a job's file.
type File struct {
	Name string // without its folder
	Text []byte
	Tag  string // changes with the text; without quotes
}

// Work is work done, or what became of it.
type Work struct {
	Step  string
	Zones []string
	Share float64 // of each zone, 0 < share ≤ 1
	Coat  int     // that is on now, of a step with several, from 1; 0: all of them
	Found string  // of an outcome: ok, inspect or redo
	At    string  // by the clock at the place: 15:04 or 2006-01-02T15:04; "" is now
	By    string
	Note  string
}

// Rained is rain that fell and how the work was left when it came.
type Rained struct {
	From, To string // by the clock at the place, as Work.At; both "" for a lost day without rain
	MM       *float64
	Left     []Left
}

// Left is one step on one zone as it was left.
type Left struct {
	Step, Zone string
	From, To   string // when it was put on; "" where the book or the plan knows
	Share      float64
	How        window.Left
}
