package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/settings"
	"dewgap/cmd/internal/text"
	"dewgap/window/surface"

	"github.com/spf13/cobra"
)

func newBook(env Env) *cobra.Command {
	c := &cobra.Command{
		Use:   "book",
		Short: "The book of what was recorded and answered",
		Long: `The book keeps work done, rain, readings and outcomes, and every answer with its own
bytes, the forecast that it was made from, the version of the program and the hash of
the catalogue. Once there is one, answers to a job file are recorded in it.

dewgap book init makes it, and so does the first dewgap log or dewgap reading add.
Without a book every command works from files alone; --no-book leaves one out.`,
		Args: noArgs,
	}
	c.AddCommand(newBookInit(env), newBookShow(env), newBookExport(env), newBookImport(env), newBookBackup(env))
	return c
}

// bookOptions are those of the commands beneath dewgap book.
type bookOptions struct {
	book bookFlags
	json bool
}

func (o *bookOptions) flags(c *cobra.Command) {
	o.book.flags(c, false)
	c.Flags().BoolVar(&o.json, "json", false, "the answer as one line of JSON; failures as JSON on stderr")
}

// on opens the book for a command and closes it after.
func (o *bookOptions) on(c *cobra.Command, env Env, w wanted, do func(ctx context.Context, b *book.Book, s *settings.Settings) error) error {
	s, err := loadSettings(c)
	if err != nil {
		return err
	}
	b, err := o.book.open(c.Context(), env, s, w)
	if err != nil {
		return err
	}
	defer func() { _ = b.Close() }() // what was recorded is on the disk
	return do(c.Context(), b, s)
}

// done tells that something was done.
func (o *bookOptions) done(env Env, out answer.BookDone, text string) error {
	out.Format = answer.BookDoneFormat
	if o.json {
		return write(env, out)
	}
	_, err := fmt.Fprintln(env.Stdout, text)
	return err
}

func newBookInit(env Env) *cobra.Command {
	var o bookOptions
	c := &cobra.Command{
		Use: "init", Short: "Make the book, from which on answers are recorded", Args: noArgs,
		Example: "  dewgap book init\n  dewgap book init --book season.sqlite",
	}
	o.flags(c)
	c.RunE = runE(func(c *cobra.Command, _ []string) error {
		s, err := loadSettings(c)
		if err != nil {
			return err
		}
		path := o.book.file
		if path == "" {
			path = s.Book()
		}
		was := path != "" && book.Exists(path)
		return o.on(c, env, bookMade, func(_ context.Context, b *book.Book, _ *settings.Settings) error {
			word := "Made the book "
			if was {
				word = "There is a book already: "
			}
			return o.done(env, answer.BookDone{What: "init", File: b.Path()}, word+b.Path())
		})
	})
	return c
}

// showOptions are those of dewgap book show.
type showOptions struct {
	bookOptions
	screen
	again bool
	hours bool
	last  int
}

func newBookShow(env Env) *cobra.Command {
	var o showOptions
	c := &cobra.Command{
		Use:   "show [NUMBER]",
		Short: "List what the book has, or show an answer again as it was",
		Long: `Show lists the newest answers and all work, readings and outcomes with their numbers.
With a number it shows that answer as it was given: --json writes its own bytes.
--again works it out anew from what it was made from and tells the difference.`,
		Example: `  dewgap book show
  dewgap book show 12
  dewgap book show 12 --again`,
	}
	o.book.flags(c, false)
	f := c.Flags()
	f.StringVar(&o.units, "units", "", "us or metric, on screen (default: as the settings say)")
	f.BoolVar(&o.screen.json, "json", false, "the answer's own bytes, or the list as one line of JSON; failures as JSON on stderr")
	f.BoolVar(&o.again, "again", false, "work it out anew and tell the difference")
	f.BoolVar(&o.hours, "hours", false, "the hours of every zone as well")
	f.IntVar(&o.last, "last", 20, "how many answers to list")
	complete(c, "units", func() []string { return []string{settings.Metric, settings.US} })
	c.Args = func(_ *cobra.Command, args []string) error { return o.args(args) }
	c.RunE = runE(func(c *cobra.Command, args []string) error {
		if err := o.check("see " + c.CommandPath() + " --help"); err != nil {
			return err
		}
		return o.on(c, env, bookNeeded, func(ctx context.Context, b *book.Book, s *settings.Settings) error {
			a := &app.App{Book: app.Stored{Book: b}, Version: env.Version, MaxAge: s.Age, Skies: &surface.Skies{}}
			if len(args) == 0 {
				return o.list(ctx, env, s, a, b.Path())
			}
			id, _ := strconv.ParseInt(args[0], 10, 64) // args looked at it
			if o.again {
				return o.anew(ctx, env, s, a, id)
			}
			return o.asItWas(ctx, env, s, a, id)
		})
	})
	return c
}

func (o *showOptions) args(args []string) error {
	switch {
	case len(args) > 1:
		return &usageError{"one answer is shown at a time", "for example dewgap book show 12"}
	case len(args) == 0 && o.again:
		return &usageError{"--again needs the number of an answer", "dewgap book show lists them"}
	case o.last < 1:
		return &usageError{"--last " + strconv.Itoa(o.last) + " is no number of answers", "give 1 or more"}
	case len(args) == 0:
		return nil
	}
	if id, err := strconv.ParseInt(args[0], 10, 64); err != nil || id < 1 {
		return &usageError{fmt.Sprintf("%q is no number of an answer", args[0]), "dewgap book show lists them"}
	}
	return nil
}

func (o *showOptions) list(ctx context.Context, env Env, s *settings.Settings, a *app.App, file string) error {
	list, err := a.Listed(ctx, o.last)
	if err != nil {
		return err
	}
	list.File = file
	if o.screen.json {
		return write(env, list)
	}
	return text.Book(env.Stdout, list, o.options(env, s))
}

func (o *showOptions) anew(ctx context.Context, env Env, s *settings.Settings, a *app.App, id int64) error {
	again, err := a.Again(ctx, id)
	if err != nil {
		return err
	}
	if o.screen.json {
		return write(env, again)
	}
	return text.Again(env.Stdout, again, o.options(env, s))
}

// asItWas writes an answer's own bytes, or renders them.
func (o *showOptions) asItWas(ctx context.Context, env Env, s *settings.Settings, a *app.App, id int64) error {
	was, err := a.Show(ctx, id)
	if err != nil {
		return err
	}
	if o.screen.json {
		_, err := env.Stdout.Write(was.Body)
		return err
	}
	options := o.options(env, s)
	options.Hours = o.hours
	fmt.Fprintf(env.Stdout, "Answer %d, given %s by dewgap %s with catalogue %.12s:\n\n", id,
		was.Row.Recorded.Format("2006-01-02 15:04 MST"), was.Row.Program, was.Row.Catalogue)
	switch was.Row.Kind {
	case book.Week:
		return render(was.Body, func(w *answer.Week) error { return text.Week(env.Stdout, w, options) })
	case book.Move:
		return render(was.Body, func(m *answer.Move) error { return text.Move(env.Stdout, m, options) })
	case book.Morning:
		return render(was.Body, func(m *answer.Morning) error { return text.Morning(env.Stdout, m, options) })
	}
	_, err = env.Stdout.Write(was.Body)
	return err
}

// render reads an answer's bytes and hands it on.
func render[T any](body []byte, show func(*T) error) error {
	var v T
	if err := answer.Restore(body, &v); err != nil {
		return &app.Problem{Text: "this dewgap cannot show the answer: " + err.Error(), Fix: "look at its bytes with --json", Err: err}
	}
	return show(&v)
}

func newBookExport(env Env) *cobra.Command {
	var o bookOptions
	var folder string
	c := &cobra.Command{
		Use: "export", Short: "Write all of the book: JSON to the output, or CSV into a folder", Args: noArgs,
		Long: `Export writes the whole book as one JSON document, which dewgap book import reads, or
with --csv one CSV file per table into a folder, for a spreadsheet.`,
		Example: "  dewgap book export --json > book.json\n  dewgap book export --csv tables",
	}
	o.flags(c)
	c.Flags().StringVar(&folder, "csv", "", "`FOLDER` to write CSV files into, made if it is not there")
	c.RunE = runE(func(c *cobra.Command, _ []string) error {
		if folder == "-" {
			return &usageError{"--csv writes several files, and - is no folder", "name a folder, such as --csv tables"}
		}
		return o.on(c, env, bookNeeded, func(ctx context.Context, b *book.Book, _ *settings.Settings) error {
			if folder == "" {
				return b.ExportJSON(ctx, env.Stdout)
			}
			var archive bytes.Buffer
			if err := b.ExportCSV(ctx, &archive); err != nil {
				return err
			}
			n, err := unpack(archive.Bytes(), folder)
			if err != nil {
				return err
			}
			return o.done(env, answer.BookDone{What: "export", File: b.Path(), To: folder, Added: n}, fmt.Sprintf("Wrote %d files into %s", n, folder))
		})
	})
	return c
}

func newBookImport(env Env) *cobra.Command {
	var o bookOptions
	c := &cobra.Command{
		Use: "import FILE", Short: "Take in what another book exported as JSON",
		Long: `Import reads a document of dewgap book export, all of it or nothing, into the book,
which is made if there is none. What is there already is left as it is.`,
		Example: "  dewgap book import book.json --book other.sqlite",
		Args:    oneFile("dewgap book import book.json"),
	}
	o.flags(c)
	c.RunE = runE(func(c *cobra.Command, args []string) error {
		if info, err := os.Stat(args[0]); err == nil && info.IsDir() {
			return &app.Problem{Where: args[0], Text: "is a folder", Fix: "name a file"}
		}
		f, err := os.Open(args[0])
		if err != nil {
			return &app.Problem{Where: args[0], Text: "cannot be read: " + app.Bare(err), Fix: "check the path", Err: err}
		}
		defer func() { _ = f.Close() }() // it was only read
		return o.on(c, env, bookMade, func(ctx context.Context, b *book.Book, _ *settings.Settings) error {
			n, err := b.Import(ctx, f)
			if e, ok := errors.AsType[*book.Error](err); ok && errors.Is(err, book.ErrImport) {
				return &app.Problem{Where: args[0], Text: e.Text, Fix: e.Fix, Err: err} // it only knows its lines
			}
			if err != nil {
				return err
			}
			return o.done(env, answer.BookDone{What: "import", File: b.Path(), Added: n.Added, Skipped: n.Skipped},
				fmt.Sprintf("Took in %d rows; %d were there already", n.Added, n.Skipped))
		})
	})
	return c
}

func newBookBackup(env Env) *cobra.Command {
	var o bookOptions
	c := &cobra.Command{
		Use: "backup FILE", Short: "Write a whole copy of the book, whatever others write meanwhile",
		Example: "  dewgap book backup /media/stick/book-2026-09-10.sqlite",
		Args:    oneFile("dewgap book backup book-copy.sqlite"),
	}
	o.flags(c)
	c.RunE = runE(func(c *cobra.Command, args []string) error {
		if args[0] == "-" {
			return &usageError{"a copy of the book is a file, and - is none", "name one, such as dewgap book backup book-copy.sqlite; dewgap book export writes to the output"}
		}
		return o.on(c, env, bookNeeded, func(ctx context.Context, b *book.Book, _ *settings.Settings) error {
			to, err := filepath.Abs(args[0])
			if err != nil {
				return unwritten(args[0], err)
			}
			if err := b.Backup(ctx, to); err != nil {
				return err
			}
			return o.done(env, answer.BookDone{What: "backup", File: b.Path(), To: args[0]}, "Wrote "+args[0])
		})
	})
	return c
}

// oneFile asks for the name of one file.
func oneFile(example string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return &usageError{"one file is needed", "for example " + example}
		}
		return nil
	}
}
