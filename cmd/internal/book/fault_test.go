package book

import (
	"bytes"
	"database/sql"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// refused opens what is no good book and looks at what the person is told.
func refused(t *testing.T, path string, want error) *Error {
	_, err := Open(t.Context(), path, time.Now)
	require.ErrorIs(t, err, want)
	e, ok := errors.AsType[*Error](err)
	require.True(t, ok, "%v", err)
	assert.NotEmpty(t, e.Fix)
	assert.Contains(t, err.Error(), filepath.Base(path), "the file is named")
	return e
}

func TestWrongFiles(t *testing.T) {
	dir := t.TempDir()
	file := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, data, 0o600))
		return path
	}
	for _, path := range []string{
		file("notes.txt", bytes.Repeat([]byte("a note\n"), 200)),
		file("short.txt", []byte("hello")),
		file("zeros", make([]byte, 8192)),
		otherProgram(t, dir),
	} {
		before, err := os.ReadFile(path)
		require.NoError(t, err)
		refused(t, path, ErrNotBook)
		after, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, before, after, "%s is somebody else's", path)
	}
}

// otherProgram makes a database that is no book.
func otherProgram(t *testing.T, dir string) string {
	path := filepath.Join(dir, "other.sqlite")
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	_, err = db.Exec("CREATE TABLE birds (name TEXT)")
	require.NoError(t, err)
	require.NoError(t, db.Close())
	return path
}

// What is no file at all is told as that.
func TestAFolderInTheWay(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "book.sqlite"), 0o700))
	assert.Contains(t, refused(t, filepath.Join(dir, "book.sqlite"), ErrAccess).Text, "is a folder")
	refused(t, os.DevNull, ErrAccess) // and no disk that failed

	file := filepath.Join(dir, "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	refused(t, filepath.Join(file, "book.sqlite"), ErrAccess)
}

func TestNoFolderAtAll(t *testing.T) {
	_, err := Open(t.Context(), "", time.Now)
	assert.ErrorIs(t, err, ErrAccess)
}

// closedBook is the file of a book with enough in it to be damaged anywhere.
func closedBook(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "book.sqlite")
	b, err := Open(t.Context(), path, time.Now)
	require.NoError(t, err)
	s, err := fill(t.Context(), b)
	require.NoError(t, err)
	for i := range 200 {
		recordOne(t, b, func(tx *Tx) (Row, error) {
			return tx.AddReading(Reading{Job: s.job, At: at(10, 0).Add(time.Duration(i) * time.Minute), AirC: some(float64(i))})
		})
	}
	require.NoError(t, b.Close())
	return path
}

// TestDamage overwrites, cuts and swaps pages: Open says so, and what to do.
func TestDamage(t *testing.T) {
	whole, err := os.ReadFile(closedBook(t))
	require.NoError(t, err)
	const page = 4096
	pages := len(whole) / page
	require.Greater(t, pages, 30)
	path := filepath.Join(t.TempDir(), "book.sqlite")
	check := func(name string, want error, damage func([]byte) []byte) {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, os.WriteFile(path, damage(bytes.Clone(whole)), 0o600))
			e := refused(t, path, want)
			assert.Contains(t, e.Fix, "backup")
		})
	}
	check("cut to a half", ErrDamaged, func(b []byte) []byte { return b[:pages/2*page] })
	check("the header gone", ErrNotBook, func(b []byte) []byte { clear(b[:16]); return b })
	check("a page of noise", ErrDamaged, func(b []byte) []byte {
		copy(b[20*page:], bytes.Repeat([]byte{0xa7}, page))
		return b
	})
	check("two pages swapped", ErrDamaged, func(b []byte) []byte {
		one := bytes.Clone(b[2*page : 3*page])
		copy(b[2*page:], b[3*page:4*page])
		copy(b[3*page:], one)
		return b
	})
}

// TestAnyDamage changes bytes by chance, anywhere: either Open or Verify says so,
// or it was in a place that holds nothing, and all that was recorded reads as before.
func TestAnyDamage(t *testing.T) {
	whole, err := os.ReadFile(closedBook(t))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "book.sqlite")
	r := rand.New(rand.NewPCG(8, 8))
	var want string
	noticed := 0
	for i := range 60 {
		data := bytes.Clone(whole)
		for range i { // not at all in the first round
			data[r.IntN(len(data))] ^= byte(1 + r.IntN(255))
		}
		require.NoError(t, os.WriteFile(path, data, 0o600))
		got, err := wholeText(t, path)
		if i == 0 {
			require.NoError(t, err)
			want = got
		}
		if err == nil {
			assert.Equal(t, want, got, "round %d", i)
			continue
		}
		noticed++
		_, ok := errors.AsType[*Error](err)
		assert.True(t, ok, "round %d: %v", i, err)
	}
	assert.Greater(t, noticed, 30)
}

// wholeText is the export of a book that opens and is verified.
func wholeText(t *testing.T, path string) (string, error) {
	for _, rest := range []string{"-wal", "-shm"} {
		_ = os.Remove(path + rest)
	}
	b, err := Open(t.Context(), path, time.Now)
	if err != nil {
		return "", err
	}
	defer b.Close()
	if err := b.Verify(t.Context()); err != nil {
		return "", err
	}
	return exported(t, b), nil
}

// TestChangedContentIsNoticed changes what SQLite itself cannot notice.
func TestChangedContentIsNoticed(t *testing.T) {
	ctx := t.Context()
	change := func(t *testing.T, b *Book, table, statement string) {
		_, err := b.db.Exec("DROP TRIGGER " + table + "_no_update")
		require.NoError(t, err)
		_, err = b.db.Exec(statement)
		require.NoError(t, err)
		require.ErrorIs(t, b.Verify(ctx), ErrDamaged)
	}
	t.Run("a value", func(t *testing.T) {
		b, _ := filled(t)
		change(t, b, "readings", "UPDATE readings SET air_c = air_c + 1")
	})
	t.Run("a body", func(t *testing.T) {
		b, s := filled(t)
		change(t, b, "bodies", "UPDATE bodies SET gzip = (SELECT gzip FROM bodies WHERE id = 1) WHERE id > 1")
		f, err := Get[Forecast](ctx, b, s.forecast)
		require.NoError(t, err)
		_, err = b.Body(ctx, f.Body)
		require.ErrorIs(t, err, ErrDamaged)
		require.ErrorIs(t, b.ExportJSON(ctx, new(bytes.Buffer)), ErrDamaged)
	})
	t.Run("a body that is no gzip", func(t *testing.T) {
		b, _ := filled(t)
		change(t, b, "bodies", "UPDATE bodies SET gzip = x'00'")
	})
	t.Run("a reference", func(t *testing.T) {
		b, _ := filled(t)
		c, err := b.db.Conn(ctx)
		require.NoError(t, err)
		_, err = c.ExecContext(ctx, "PRAGMA foreign_keys = off; DROP TRIGGER places_no_delete; DELETE FROM places")
		require.NoError(t, err)
		require.NoError(t, c.Close())
		err = b.Verify(ctx)
		require.ErrorIs(t, err, ErrDamaged)
		assert.ErrorContains(t, err, "refers to")
	})
}

// TestNothingIsChangedOrDeleted holds the triggers of every table.
func TestNothingIsChangedOrDeleted(t *testing.T) {
	b, _ := filled(t)
	tables := []string{"bodies"}
	for _, s := range sections() {
		tables = append(tables, s.table)
	}
	for _, table := range tables {
		_, err := b.db.Exec("UPDATE " + table + " SET key = key")
		assert.ErrorContains(t, err, "written once", table)
		_, err = b.db.Exec("DELETE FROM " + table)
		assert.ErrorContains(t, err, "written once", table)
	}
}

func TestWhatTheDatabaseSaysIsTold(t *testing.T) {
	assert.NoError(t, explain("x", nil))
	plain := errors.New("plain")
	assert.Equal(t, plain, explain("x", plain))
	worded := invalid("done", "bad")
	assert.Equal(t, worded, explain("x", worded))

	b := newBook(t)
	_, err := b.db.Exec("SELECT nonsense")
	assert.ErrorContains(t, explain("x.sqlite", err), "x.sqlite: ")
}
