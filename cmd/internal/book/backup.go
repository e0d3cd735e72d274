package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Backup writes a copy of the book to path, where there must be no file yet:
// one state of it, whatever others write meanwhile. The copy is checked and on
// the disk before it has its name, so that a file of that name is a whole book.
// It is opened like any book.
func (b *Book) Backup(ctx context.Context, path string) (err error) {
	if Exists(path) {
		return isThere(path)
	}
	folder, err := os.MkdirTemp(filepath.Dir(path), ".dewgap-backup-*")
	if err != nil {
		return noAccess.about(path, err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	draft := filepath.Join(folder, "book")
	if _, err := b.db.ExecContext(ctx, "VACUUM INTO ?", draft); err != nil {
		if err := explain(b.path, err); errors.Is(err, ErrDamaged) {
			return err
		}
		return backupFailed(path, err)
	}
	if err := checkCopy(ctx, draft); err != nil {
		return backupFailed(path, err)
	}
	if err := settle(draft); err != nil {
		return backupFailed(path, err)
	}
	switch err := name(draft, path); {
	case errors.Is(err, fs.ErrExist): // made meanwhile, or a link to nowhere
		return isThere(path)
	case err != nil:
		return backupFailed(path, err)
	}
	syncFolder(filepath.Dir(path))
	return nil
}

// isThere refuses to put a backup in the place of another file.
func isThere(path string) error {
	return &Error{Path: path, Text: "the file exists already", Fix: "name a new file for the backup", Err: ErrExists}
}

// backupFailed words a failure to write the copy.
func backupFailed(path string, err error) error {
	return &Error{
		Path: path, Text: fmt.Sprintf("the backup failed: %v", err),
		Fix: "check the rights to the folder and the space on the disk", Err: errors.Join(ErrDisk, err),
	}
}

// checkCopy reads all of a copy.
func checkCopy(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", dsn(path))
	if err != nil {
		return err
	}
	defer func() { _ = db.Close() }() // it was only read
	var found string
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&found); err != nil {
		return err
	}
	if found != "ok" {
		return errors.New("the copy is damaged: " + found)
	}
	return nil
}

// settle flushes a file to the disk, for the person's eyes only.
func settle(path string) error {
	if err := os.Chmod(path, 0o600); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// name gives the file its name at once, never over another file where the file
// system can refuse that.
func name(draft, path string) error {
	err := os.Link(draft, path)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	return os.Rename(draft, path)
}
