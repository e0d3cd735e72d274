package book

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOpenMakesTheBookAndItsFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "not", "yet", "there", "book.sqlite")
	assert.False(t, Exists(path))
	b := openAt(t, path)
	assert.True(t, Exists(path))
	assert.Equal(t, path, b.Path())
	require.NoError(t, b.Verify(t.Context()))

	if runtime.GOOS == "windows" {
		return
	}
	theJob(t, b)
	for _, name := range []string{path, path + "-wal", path + "-shm"} {
		info, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "%s is for the person's eyes only", name)
	}
}

func TestEveryConnectionFlushesAndChecksReferences(t *testing.T) {
	b := newBook(t)
	for range connections { // held until the end, so that each is another one
		c, err := b.db.Conn(t.Context())
		require.NoError(t, err)
		defer c.Close()
		for pragma, want := range map[string]string{
			"journal_mode": "wal", "synchronous": "3", "foreign_keys": "1", "busy_timeout": "10000", "trusted_schema": "0",
		} {
			var got string
			require.NoError(t, c.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got))
			assert.Equal(t, want, got, pragma)
		}
	}
}

func TestTablesAreStrict(t *testing.T) {
	b := newBook(t)
	rows, err := b.db.QueryContext(t.Context(), `SELECT name, strict FROM pragma_table_list
		WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite%' AND name <> 'goose_db_version'`)
	require.NoError(t, err)
	defer rows.Close()
	n := 0
	for rows.Next() {
		var name string
		var strict bool
		require.NoError(t, rows.Scan(&name, &strict))
		assert.True(t, strict, name)
		n++
	}
	require.NoError(t, rows.Err())
	assert.Equal(t, len(sections())+1, n, "each section and the bodies")
}

func TestTheColumnsAreThoseOfTheRecords(t *testing.T) {
	b := newBook(t)
	for _, s := range sections() {
		rows, err := b.db.QueryContext(t.Context(), "SELECT name FROM pragma_table_info(?)", s.table)
		require.NoError(t, err)
		var names []string
		for rows.Next() {
			var name string
			require.NoError(t, rows.Scan(&name))
			names = append(names, name)
		}
		require.NoError(t, rows.Err())
		assert.Equal(t, columnsCSV(s.blank()), names, s.table)
	}
}

func TestReopenedBookHasEverything(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.sqlite")
	now := func() time.Time { return dawn }
	b, err := Open(t.Context(), path, now)
	require.NoError(t, err)
	s, err := fill(t.Context(), b)
	require.NoError(t, err)
	require.NoError(t, b.Close())

	b = openAt(t, path)
	require.NoError(t, b.Verify(t.Context()))
	d, err := Get[Done](t.Context(), b, s.done)
	require.NoError(t, err)
	assert.Equal(t, "port side", d.Zone)
}

func TestOddPaths(t *testing.T) {
	for _, name := range []string{"a book.sqlite", "50%.sqlite", "who?.sqlite", "a#b&c=d.sqlite", "Möwe 露.sqlite", "file:x.sqlite"} {
		if runtime.GOOS == "windows" && name != "a book.sqlite" {
			continue
		}
		path := filepath.Join(t.TempDir(), name)
		b := openAt(t, path)
		theJob(t, b)
		assert.FileExists(t, path)
	}
}

func TestRelativePath(t *testing.T) {
	t.Chdir(t.TempDir())
	b := openAt(t, "book.sqlite")
	assert.True(t, filepath.IsAbs(b.Path()))
	assert.FileExists(t, "book.sqlite")
}

// TestUpgrade brings a book from its first version up to a later one, keeps what
// is in it, and is then too new for a program that knows only the first.
func TestUpgrade(t *testing.T) {
	b, s := filled(t)
	first, err := migrations.ReadFile("migrations/00001_book.sql")
	require.NoError(t, err)
	later := fstest.MapFS{
		"00001_book.sql": {Data: first},
		"00002_crew.sql": {Data: []byte("-- +goose Up\nALTER TABLE done ADD COLUMN crew TEXT;\nCREATE TABLE crews (id INTEGER PRIMARY KEY) STRICT;\n")},
	}
	require.NoError(t, b.migrateFrom(t.Context(), later))
	require.NoError(t, b.migrateFrom(t.Context(), later), "again does nothing")
	require.NoError(t, b.Verify(t.Context()))
	_, err = Get[Done](t.Context(), b, s.done)
	require.NoError(t, err)

	_, err = Open(t.Context(), b.Path(), time.Now)
	require.ErrorIs(t, err, ErrNewer)
	assert.ErrorContains(t, err, "version 2")
}

func TestABrokenUpgradeLeavesTheBookAsItWas(t *testing.T) {
	b, _ := filled(t)
	first, err := migrations.ReadFile("migrations/00001_book.sql")
	require.NoError(t, err)
	require.Error(t, b.migrateFrom(t.Context(), fstest.MapFS{
		"00001_book.sql": {Data: first},
		"00002_bad.sql":  {Data: []byte("-- +goose Up\nCREATE TABLE extra (id INTEGER) STRICT;\nSELECT nonsense;\n")},
	}))
	again := openAt(t, b.Path())
	require.NoError(t, again.Verify(t.Context()))
	var n int
	require.NoError(t, again.db.QueryRow("SELECT count(*) FROM sqlite_schema WHERE name = 'extra'").Scan(&n))
	assert.Zero(t, n)
}

// TestNoVersionTwice holds the index that keeps two programs from bringing one
// book up to date at once.
func TestNoVersionTwice(t *testing.T) {
	b := newBook(t)
	_, err := b.db.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (1, true)")
	assert.ErrorContains(t, err, "UNIQUE")
}

func TestOpenStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Open(ctx, filepath.Join(t.TempDir(), "book.sqlite"), time.Now)
	assert.ErrorIs(t, err, context.Canceled)
}
