package app

import (
	"context"

	"dewgap/cmd/internal/book"
)

// PutOff is a book that puts off what is to be written into it, so that it can be
// written together or not at all.
type PutOff struct {
	Book
	writes []func(*book.Tx) error
}

// PuttingOff is the app with its book put off; later writes what was. Without a book
// there is never anything to write.
func (a *App) PuttingOff() (once *App, later *PutOff) {
	same := *a
	once, later = &same, &PutOff{Book: a.Book}
	if a.Book != nil {
		once.Book = later
	}
	return once, later
}

// Record only remembers what to write.
func (p *PutOff) Record(_ context.Context, write func(*book.Tx) error) error {
	p.writes = append(p.writes, write)
	return nil
}

// Any reports whether there is anything to write.
func (p *PutOff) Any() bool { return len(p.writes) > 0 }

// Write writes everything that was put off, once, or nothing.
func (p *PutOff) Write(ctx context.Context) error {
	list := p.writes
	if p.writes = nil; len(list) == 0 {
		return nil
	}
	return p.Book.Record(ctx, func(tx *book.Tx) error {
		for _, write := range list {
			if err := write(tx); err != nil {
				return err
			}
		}
		return nil
	})
}
