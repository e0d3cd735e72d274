package book

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"
	"modernc.org/sqlite" // and with it the driver "sqlite"
	lib "modernc.org/sqlite/lib"
)

//go:embed migrations/*.sql
var migrations embed.FS

// applicationID marks a file as a book of ours in SQLite's header: "dewg".
const applicationID = 0x64657767

// connections that one program has to a book: a writer and some readers.
const connections = 4

// Open opens the book at path, or makes it and its folder where there is none,
// brings an older one up to date and checks it. now is the clock by which
// records are dated. The error is an *Error, which tells what to do.
func Open(ctx context.Context, path string, now func() time.Time) (*Book, error) {
	b, err := open(ctx, path, now)
	if err != nil {
		return nil, err
	}
	if err := b.ready(ctx); err != nil {
		return nil, errors.Join(explain(b.path, err), b.db.Close())
	}
	return b, nil
}

// open makes the folder and names the file to the driver.
func open(ctx context.Context, path string, now func() time.Time) (*Book, error) {
	if path == "" {
		return nil, &Error{Text: "there is no folder for the book", Fix: "set DEWGAP_HOME to a folder of your own", Err: ErrAccess}
	}
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, noAccess.about(path, err)
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return nil, noFile.about(path, nil)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, noAccess.about(path, err)
	}
	isNew := !Exists(path)
	db, err := sql.Open("sqlite", dsn(path))
	if err != nil {
		return nil, noAccess.about(path, err)
	}
	db.SetMaxOpenConns(connections)
	b := &Book{path: path, db: db, now: now}
	if err := b.create(ctx, isNew); err != nil {
		return nil, errors.Join(explain(path, err), db.Close())
	}
	return b, nil
}

// dsn is how each connection is opened. EXTRA is FULL, a flush with every
// commit, and holds also where a file system cannot have WAL and SQLite falls
// back to a journal. Writing transactions take their turn at their beginning.
func dsn(path string) string {
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(path)}
	if filepath.VolumeName(path) != "" {
		u.Path = "/" + u.Path // file:///C:/…
	}
	u.RawQuery = url.Values{
		"_busy_timeout": {"10000"}, "_foreign_keys": {"on"}, "_synchronous": {"EXTRA"}, "_txlock": {"immediate"},
		"_defensive": {"true"}, "_dqs": {"false"}, "_error_rc": {"true"},
		"_pragma": {"trusted_schema(off)", "cell_size_check(on)"},
	}.Encode()
	return u.String()
}

// create makes the file, if it is new, for the person's eyes only. SQLite itself
// makes it, and it is never opened by other means: to close such a handle would
// end every lock that this program has on the file (POSIX).
func (b *Book) create(ctx context.Context, isNew bool) error {
	if err := b.db.PingContext(ctx); err != nil {
		return err
	}
	if !isNew {
		return nil
	}
	if err := os.Chmod(b.path, 0o600); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return noAccess.about(b.path, err)
	}
	syncFolder(filepath.Dir(b.path))
	return nil
}

// syncFolder flushes a folder, so that a new file's name outlasts a loss of
// power. Not every system can; where it cannot there is nothing better to do.
func syncFolder(path string) {
	if f, err := os.Open(path); err == nil {
		_ = f.Sync()
		_ = f.Close()
	}
}

// ready makes sure that the file is a whole book of this version.
func (b *Book) ready(ctx context.Context) error {
	for _, step := range []func(context.Context) error{b.claim, b.keepLog, b.quickCheck, b.migrate} {
		if err := step(ctx); err != nil {
			return err
		}
	}
	return nil
}

// claim marks an empty file as a book and refuses what is somebody else's.
func (b *Book) claim(ctx context.Context) error {
	tx, err := b.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer func() { _ = tx.Rollback() }() // after Commit it does nothing
	var id, things int
	const ask = `SELECT (SELECT application_id FROM pragma_application_id), (SELECT count(*) FROM sqlite_schema)`
	if err := tx.QueryRowContext(ctx, ask).Scan(&id, &things); err != nil {
		return err
	}
	switch {
	case id == applicationID:
		return nil
	case id != 0 || things > 0:
		return notBook.about(b.path, errors.New("a database of another program"))
	}
	if _, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return err
	}
	return tx.Commit()
}

// keepLog asks for WAL, which stays with the file. Another program that opens
// the new book in the same moment may be in the way for an instant.
func (b *Book) keepLog(ctx context.Context) error {
	return retry(ctx, func() error {
		_, err := b.db.ExecContext(ctx, "PRAGMA journal_mode = WAL")
		return err
	})
}

// quickCheck looks for damage in every page.
func (b *Book) quickCheck(ctx context.Context) error {
	var found string
	if err := b.db.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&found); err != nil {
		return err
	}
	if found != "ok" {
		return damaged(b.path, found)
	}
	return nil
}

// migrate brings the tables up to date.
func (b *Book) migrate(ctx context.Context) error {
	folder, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	err = b.migrateFrom(ctx, folder)
	if e, ok := errors.AsType[*sqlite.Error](err); ok && primary(e) == lib.SQLITE_ERROR {
		// The program's own migrations are sound: the tables they found are not.
		return damaged(b.path, err.Error())
	}
	return err
}

func (b *Book) migrateFrom(ctx context.Context, folder fs.FS) error {
	return retry(ctx, func() error {
		p, err := goose.NewProvider(goose.DialectSQLite3, b.db, folder, goose.WithDisableGlobalRegistry(true))
		if err != nil {
			return err
		}
		has, knows, err := p.GetVersions(ctx)
		switch {
		case err != nil:
			return err
		case has > knows:
			return &Error{
				Path: b.path, Err: ErrNewer,
				Text: fmt.Sprintf("the book has tables of version %d, this dewgap knows them up to %d", has, knows),
				Fix:  "use the newer dewgap that wrote it",
			}
		case has == knows:
			return nil
		}
		_, err = p.Up(ctx)
		return err
	})
}

// retry repeats what another program may have forestalled in the same moment:
// each migration happens once, and who comes second finds it done. An error that
// is worded already will not go away.
func retry(ctx context.Context, try func() error) error {
	for n := 1; ; n++ {
		err := try()
		if _, worded := errors.AsType[*Error](err); err == nil || worded || n == 5 {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(time.Duration(n) * 20 * time.Millisecond):
		}
	}
}
