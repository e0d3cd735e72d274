package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

// What can be wrong with a book or a question to it, for errors.Is.
var (
	ErrDamaged    = errors.New("the book is damaged")
	ErrNotBook    = errors.New("not a book of dewgap")
	ErrNewer      = errors.New("the book was written by a newer dewgap")
	ErrAccess     = errors.New("the book cannot be opened or written")
	ErrBusy       = errors.New("another program is writing the book")
	ErrDisk       = errors.New("the disk failed or is full")
	ErrExists     = errors.New("the file exists already")
	ErrNotFound   = errors.New("not in the book")
	ErrSuperseded = errors.New("the record was corrected already")
	ErrInvalid    = errors.New("a record that cannot be kept")
	ErrImport     = errors.New("not a whole export of a book")
)

// Error is what went wrong with a book and what to do about it.
type Error struct {
	Path string // the file, "" where no file is to blame
	Text string // what is wrong
	Fix  string // what to do
	Err  error  // one of the errors above, with the error beneath it
}

// Error is the file and what is wrong; the fix is left to whoever shows it.
func (e *Error) Error() string {
	if e.Path == "" {
		return e.Text
	}
	return e.Path + ": " + e.Text
}

// Unwrap gives the error beneath.
func (e *Error) Unwrap() error { return e.Err }

const restore = "move the file away together with those beside it that end in -wal and -shm, " +
	"and put the last backup in its place; dewgap works without a book too"

// complaint is how SQLite's complaints of one code are told.
type complaint struct {
	err       error
	text, fix string
}

var (
	noAccess   = complaint{ErrAccess, "the book cannot be opened or written", "check the rights to the file and its folder, or set DEWGAP_HOME to a folder of your own"}
	notBook    = complaint{ErrNotBook, "the file is no book of dewgap, or its beginning is damaged", "if it was a book, " + restore + "; if it is something else, set DEWGAP_HOME to another folder"}
	noFile     = complaint{ErrAccess, "is a folder or a device, and no file", "move it away, or name another file for the book"}
	isDamaged  = complaint{ErrDamaged, "the book is damaged", restore}
	busy       = complaint{ErrBusy, "another program kept the book for ten seconds, so nothing was recorded", "try again when it is done"}
	diskFull   = complaint{ErrDisk, "the disk is full, so nothing was recorded", "free some space and try again"}
	diskFailed = complaint{ErrDisk, "the disk failed", "check the disk and try again; if it stays so, " + restore}
)

// complaints by SQLite's primary result codes.
var complaints = map[int]complaint{
	lib.SQLITE_PERM: noAccess, lib.SQLITE_READONLY: noAccess, lib.SQLITE_CANTOPEN: noAccess, lib.SQLITE_AUTH: noAccess,
	lib.SQLITE_NOTADB: notBook, lib.SQLITE_CORRUPT: isDamaged,
	lib.SQLITE_BUSY: busy, lib.SQLITE_LOCKED: busy,
	lib.SQLITE_FULL: diskFull, lib.SQLITE_IOERR: diskFailed,
}

// explain words an error of the database; one that is worded already, or comes
// from whoever called, stays as it is.
func explain(path string, err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	if _, ok := errors.AsType[*Error](err); ok {
		return err
	}
	e, ok := errors.AsType[*sqlite.Error](err)
	if !ok {
		return err
	}
	if c, ok := complaints[primary(e)]; ok {
		return c.about(path, err)
	}
	return fmt.Errorf("%s: %w", path, err)
}

// about is the complaint about one file, with the error beneath it if any.
func (c complaint) about(path string, beneath error) error {
	err := c.err
	if beneath != nil {
		err = fmt.Errorf("%w: %w", c.err, beneath)
	}
	return &Error{Path: path, Text: c.text, Fix: c.fix, Err: err}
}

// primary is the result code without what SQLite adds to it.
func primary(e *sqlite.Error) int { return e.Code() & 0xff }

// damaged is the error for content that does not fit its hash or its form.
func damaged(path, what string) error {
	return &Error{Path: path, Text: "the book is damaged: " + what, Fix: restore, Err: ErrDamaged}
}

// invalid is the error for a record that cannot be kept as it is.
func invalid(table, format string, args ...any) error {
	text := fmt.Sprintf("%s: "+format, append([]any{table}, args...)...)
	return &Error{Text: text, Fix: "mend that and record it again", Err: ErrInvalid}
}

// missing turns the database's "no rows" into words.
func missing(err error, what string) error {
	if !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	return &Error{
		Text: what + " is not in the book",
		Fix:  "look at the numbers with dewgap book show",
		Err:  ErrNotFound,
	}
}
