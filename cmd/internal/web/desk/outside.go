package desk

import (
	"context"
	"fmt"
	"os"
	"sync"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
)

// own is the desk's way into the book, which tells its own writing from that of
// other programs.
type own struct {
	app.Book
	d *Desk
}

// Record writes.
func (b own) Record(ctx context.Context, write func(*book.Tx) error) error {
	o := &b.d.outside
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.path != "" && o.changed() {
		b.d.entries.Add(1)
	}
	err := b.Book.Record(ctx, write)
	if o.path != "" {
		o.changed()
	}
	return err
}

// outside looks for what other programs write into the book.
type outside struct {
	path string

	mu     sync.Mutex
	stamp  string
	looked time.Time
}

// lookEvery is how often the book's file is looked at.
const lookEvery = time.Second

// look reports whether somebody else has written; at most once in a while, and not
// while the desk itself writes.
func (o *outside) look(now time.Time) bool {
	if o.path == "" || !o.mu.TryLock() {
		return false
	}
	defer o.mu.Unlock()
	if now.Sub(o.looked) < lookEvery {
		return false
	}
	o.looked = now
	return o.changed()
}

// changed compares the file and its log with what they were like.
func (o *outside) changed() bool {
	stamp := ""
	for _, path := range []string{o.path, o.path + "-wal"} {
		if info, err := os.Stat(path); err == nil {
			stamp += fmt.Sprintf("%d %d,", info.Size(), info.ModTime().UnixNano())
		}
	}
	was := o.stamp
	o.stamp = stamp
	return stamp != was
}

// lookOutside notices what other programs have written.
func (d *Desk) lookOutside() {
	if d.outside.look(time.Now()) {
		d.entries.Add(1)
	}
}

// book is the desk's way into the book, nil without one.
func (d *Desk) book() app.Book {
	if d.cfg.Book == nil {
		return nil
	}
	return own{d.cfg.Book, d}
}
