package cli

import (
	"context"
	"errors"
	"os"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/settings"

	"github.com/spf13/cobra"
)

// bookFlags say which book is used.
type bookFlags struct {
	file string
	none bool
}

// flags adds them; may tells that the command works without a book too.
func (b *bookFlags) flags(c *cobra.Command, may bool) {
	f := c.Flags()
	f.StringVar(&b.file, "book", "", "book `FILE` to use (default: the one that dewgap where names)")
	if may {
		f.BoolVar(&b.none, "no-book", false, "leave the book alone: nothing of it counts and nothing is recorded")
	}
}

func (b *bookFlags) check() error {
	if b.none && b.file != "" {
		return &usageError{"--book and --no-book exclude one another", "give one of them"}
	}
	return nil
}

// wanted is what a command does where there is no book yet.
type wanted uint8

const (
	bookIfThere wanted = iota // does without, unless one was named
	bookNeeded                // fails
	bookMade                  // makes one
)

// open opens the book; nil where the command does without.
func (b *bookFlags) open(ctx context.Context, env Env, s *settings.Settings, w wanted) (*book.Book, error) {
	if b.none {
		return nil, nil
	}
	path := b.file
	if path == "" {
		path = s.Book()
	}
	if path == "" && w == bookIfThere {
		return nil, nil
	}
	if w != bookMade && !book.Exists(path) {
		if w == bookIfThere && b.file == "" {
			return nil, nil
		}
		return nil, &app.Problem{Where: path, Text: "there is no book", Fix: "dewgap book init makes one; so does the first dewgap log or dewgap reading add"}
	}
	err := notEmpty(ctx, path)
	var out *book.Book
	if err == nil {
		out, err = book.Open(ctx, path, env.Now)
	}
	if err == nil || w != bookIfThere {
		return out, err
	}
	if e, ok := errors.AsType[*book.Error](err); ok {
		bare := *e
		bare.Fix += "; or give --no-book to answer from files alone"
		return nil, &bare
	}
	return nil, err
}

// emptyFor is how long a file may stay without a byte before it is no book: another
// dewgap may be making its book there.
const emptyFor = time.Second

// notEmpty refuses a file that is there and has nothing in it. A book never is so: it
// was lost, or the name is another's, and whoever begins a new one there should know.
func notEmpty(ctx context.Context, path string) error {
	for waited := time.Duration(0); isEmpty(path); waited += emptyFor / 20 {
		if waited >= emptyFor {
			return &book.Error{
				Path: path, Text: "the file is empty, so it is no book", Err: book.ErrNotBook,
				Fix: "if it was a book, put the last backup in its place; else remove it, and dewgap book init makes a new book there",
			}
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(emptyFor / 20):
		}
	}
	return nil
}

// isEmpty reports whether there is a file without a byte.
func isEmpty(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular() && info.Size() == 0
}

// warn tells of something that did not keep an answer from being given.
func warn(env Env, what string, err error) {
	sayFailure(env.Stderr, "dewgap: warning: "+what+": ", failures(err)[0], env.lines())
}
