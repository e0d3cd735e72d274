package app

import (
	"context"
	"time"

	"dewgap/cmd/internal/book"
)

// Book is what the use cases ask of a book. [Stored] makes one of a *book.Book.
type Book interface {
	// Record keeps everything that write adds, or nothing of it.
	Record(ctx context.Context, write func(*book.Tx) error) error

	Jobs(ctx context.Context) ([]book.Job, error)
	Answers(ctx context.Context, f book.AnswerFilter) ([]book.Answer, error)
	// These take the key of any text of the job's file.
	DoneOf(ctx context.Context, job book.Key) ([]book.Done, error)
	OutcomesOf(ctx context.Context, job book.Key) ([]book.Outcome, error)
	ReadingsSince(ctx context.Context, job book.Key, since time.Time) ([]book.Reading, error)
	Plans(ctx context.Context, job book.Key) ([]book.Plan, error)

	Body(ctx context.Context, key book.Key) ([]byte, error)
	Boat(ctx context.Context, key book.Key) (book.Boat, error)
	Place(ctx context.Context, key book.Key) (book.Place, error)
	Job(ctx context.Context, key book.Key) (book.Job, error)
	Forecast(ctx context.Context, key book.Key) (book.Forecast, error)
	Done(ctx context.Context, key book.Key) (book.Done, error)
	Reading(ctx context.Context, key book.Key) (book.Reading, error)
	Plan(ctx context.Context, key book.Key) (book.Plan, error)

	// These take the short number of a row.
	AnswerNumber(ctx context.Context, id int64) (book.Answer, error)
	DoneNumber(ctx context.Context, id int64) (book.Done, error)
	ReadingNumber(ctx context.Context, id int64) (book.Reading, error)
	OutcomeNumber(ctx context.Context, id int64) (book.Outcome, error)
}

// Stored is a book in a file.
type Stored struct{ *book.Book }

var _ Book = Stored{}

// Boat gives the boat with a key.
func (s Stored) Boat(ctx context.Context, key book.Key) (book.Boat, error) {
	return book.Get[book.Boat](ctx, s.Book, key)
}

// Place gives the place with a key.
func (s Stored) Place(ctx context.Context, key book.Key) (book.Place, error) {
	return book.Get[book.Place](ctx, s.Book, key)
}

// Job gives the text of a job's file with a key.
func (s Stored) Job(ctx context.Context, key book.Key) (book.Job, error) {
	return book.Get[book.Job](ctx, s.Book, key)
}

// Forecast gives the forecast with a key.
func (s Stored) Forecast(ctx context.Context, key book.Key) (book.Forecast, error) {
	return book.Get[book.Forecast](ctx, s.Book, key)
}

// Done gives the work with a key.
func (s Stored) Done(ctx context.Context, key book.Key) (book.Done, error) {
	return book.Get[book.Done](ctx, s.Book, key)
}

// Reading gives the reading with a key.
func (s Stored) Reading(ctx context.Context, key book.Key) (book.Reading, error) {
	return book.Get[book.Reading](ctx, s.Book, key)
}

// Plan gives the version of a plan with a key.
func (s Stored) Plan(ctx context.Context, key book.Key) (book.Plan, error) {
	return book.Get[book.Plan](ctx, s.Book, key)
}

// AnswerNumber gives the answer with a number.
func (s Stored) AnswerNumber(ctx context.Context, id int64) (book.Answer, error) {
	return book.Find[book.Answer](ctx, s.Book, id)
}

// DoneNumber gives the work with a number.
func (s Stored) DoneNumber(ctx context.Context, id int64) (book.Done, error) {
	return book.Find[book.Done](ctx, s.Book, id)
}

// ReadingNumber gives the reading with a number.
func (s Stored) ReadingNumber(ctx context.Context, id int64) (book.Reading, error) {
	return book.Find[book.Reading](ctx, s.Book, id)
}

// OutcomeNumber gives the outcome with a number.
func (s Stored) OutcomeNumber(ctx context.Context, id int64) (book.Outcome, error) {
	return book.Find[book.Outcome](ctx, s.Book, id)
}

// jobInBook finds a text of the request's job in the book; "" where there is no book
// or no job of that name in it.
func (a *App) jobInBook(ctx context.Context, r Request) (book.Key, error) {
	if a.Book == nil || r.File == nil {
		return "", nil
	}
	j, err := r.Job(r.Timezone)
	if err != nil {
		return "", err
	}
	same, _, err := JobNamed(ctx, a.Book, j.Name, j.Boat)
	return same, err
}

// JobNamed finds a text of the job of that name for the boat of that name, and a
// text of any job of the boat; "" where there is none.
func JobNamed(ctx context.Context, b Book, job, boat string) (same, any book.Key, err error) {
	list, err := b.Jobs(ctx)
	if err != nil {
		return "", "", err
	}
	names := map[book.Key]string{}
	for _, j := range list {
		name, asked := names[j.Boat]
		if !asked {
			of, err := b.Boat(ctx, j.Boat)
			if err != nil {
				return "", "", err
			}
			name = of.Name
			names[j.Boat] = name
		}
		switch {
		case name != boat:
			continue
		case any == "":
			any = j.Key
		}
		if j.Name == job {
			return j.Key, any, nil
		}
	}
	return "", any, nil
}
