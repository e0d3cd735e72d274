package book

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"time"
)

// Book is an open book. It may be used by several goroutines at once.
type Book struct {
	path string // absolute
	db   *sql.DB
	now  func() time.Time
}

// Exists reports whether there is a book, or something in its place. Open makes
// one where there is none, which a command that only shows may not want.
func Exists(path string) bool {
	_, err := os.Stat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// Path is the book's file, absolute.
func (b *Book) Path() string { return b.path }

// Close ends the use of the book. What was recorded does not depend on it.
func (b *Book) Close() error { return explain(b.path, b.db.Close()) }

// Record calls write and keeps everything that it adds, or, if it fails, nothing
// of it. When Record returns nil, all is on the disk and will be there after a
// loss of power. While write runs other programs wait, so it should only add;
// the keys that it was given hold only if Record returns nil.
func (b *Book) Record(ctx context.Context, write func(*Tx) error) error {
	tx, err := b.db.BeginTx(ctx, nil)
	if err != nil {
		return explain(b.path, err)
	}
	defer func() { _ = tx.Rollback() }() // after Commit it does nothing
	w := &Tx{ctx: ctx, path: b.path, tx: tx, now: b.now().UTC().Truncate(time.Second)}
	if err := cmp.Or(write(w), w.err); err != nil {
		return explain(b.path, err)
	}
	return explain(b.path, tx.Commit())
}

// read calls look with one state of the book, whatever others write meanwhile.
func (b *Book) read(ctx context.Context, look func(*sql.Tx) error) error {
	tx, err := b.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return explain(b.path, err)
	}
	defer func() { _ = tx.Rollback() }() // there is nothing to keep
	return explain(b.path, look(tx))
}
