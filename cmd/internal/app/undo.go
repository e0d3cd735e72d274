package app

import (
	"context"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
)

// What may be taken back.
const (
	UndoDone    = "done"
	UndoOutcome = "outcome"
	UndoReading = "reading" // rain is a reading
)

// Undo takes an entry back: it did not happen. The book keeps both.
func (a *App) Undo(ctx context.Context, kind string, id int64) (*answer.Logged, error) {
	line, add, err := a.voided(ctx, kind, id)
	if err != nil {
		return nil, err
	}
	out := answer.NewLogged("undo")
	out.Entries = append(out.Entries, line)
	return out, a.Book.Record(ctx, add)
}

// voided is an entry as it reads, and what adds the one that takes it back.
func (a *App) voided(ctx context.Context, kind string, id int64) (answer.Entry, func(*book.Tx) error, error) {
	heads := map[book.Key]answer.BookJob{}
	switch kind {
	case UndoDone:
		d, err := a.Book.DoneNumber(ctx, id)
		if err != nil {
			return answer.Entry{}, nil, err
		}
		head, err := a.headOf(ctx, heads, d.Job)
		line := doneEntry(d, head, location(head.Timezone))
		d.Entry = void(d.Key)
		return line, func(tx *book.Tx) error { _, err := tx.AddDone(d); return err }, err
	case UndoOutcome:
		o, err := a.Book.OutcomeNumber(ctx, id)
		if err != nil {
			return answer.Entry{}, nil, err
		}
		head, err := a.headOf(ctx, heads, o.Job)
		line := outcomeEntry(o, head, location(head.Timezone))
		o.Entry = void(o.Key)
		return line, func(tx *book.Tx) error { _, err := tx.AddOutcome(o); return err }, err
	}
	m, err := a.Book.ReadingNumber(ctx, id)
	if err != nil {
		return answer.Entry{}, nil, err
	}
	head, err := a.headOf(ctx, heads, m.Job)
	line := readingEntry(m, head, location(head.Timezone))
	m.Entry = void(m.Key)
	return line, func(tx *book.Tx) error { _, err := tx.AddReading(m); return err }, err
}

func void(key book.Key) book.Entry { return book.Entry{Supersedes: key, Void: true} }
