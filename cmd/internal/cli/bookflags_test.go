package cli

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A book is opened, done without, asked for or made, as the command wants it.
func TestOpenBook(t *testing.T) {
	r := newRun(t)
	s, err := settings.Load("")
	require.NoError(t, err)
	open := func(b bookFlags, w wanted) (*book.Book, error) {
		got, err := b.open(t.Context(), r.env, s, w)
		if got != nil {
			t.Cleanup(func() { assert.NoError(t, got.Close()) })
		}
		return got, err
	}
	got, err := open(bookFlags{}, bookIfThere)
	require.NoError(t, err)
	assert.Nil(t, got, "there is none")
	for _, c := range []struct {
		b bookFlags
		w wanted
	}{{bookFlags{}, bookNeeded}, {bookFlags{file: filepath.Join(t.TempDir(), "b")}, bookIfThere}} {
		_, err = open(c.b, c.w)
		p, ok := errors.AsType[*app.Problem](err)
		require.True(t, ok)
		assert.Contains(t, p.Fix, "dewgap book init")
	}
	got, err = open(bookFlags{}, bookMade)
	require.NoError(t, err)
	assert.Equal(t, s.Book(), got.Path())
	got, err = open(bookFlags{}, bookIfThere)
	require.NoError(t, err)
	assert.NotNil(t, got)
	got, err = open(bookFlags{none: true}, bookIfThere)
	require.NoError(t, err)
	assert.Nil(t, got)
}

// Who only asks may do without a broken book; who records may not.
func TestOpenBrokenBook(t *testing.T) {
	r := newRun(t)
	s, err := settings.Load("")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(s.Book(), []byte("not a book, and long enough to be told from an empty one"), 0o600))
	for w, want := range map[wanted]bool{bookIfThere: true, bookNeeded: false, bookMade: false} {
		_, err := (&bookFlags{}).open(t.Context(), r.env, s, w)
		e, ok := errors.AsType[*book.Error](err)
		require.True(t, ok)
		assert.ErrorIs(t, err, book.ErrNotBook)
		assert.Equal(t, want, strings.HasSuffix(e.Fix, "; or give --no-book to answer from files alone"), e.Fix)
	}
}

// An empty file is no book and is not made one: where a book was lost, a new one in its
// place would hide that. What another dewgap is just making is waited for.
func TestOpenEmptyFile(t *testing.T) {
	r := newRun(t)
	s, err := settings.Load("")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(s.Book(), nil, 0o600))
	for w, want := range map[wanted]bool{bookIfThere: true, bookNeeded: false, bookMade: false} {
		_, err := (&bookFlags{}).open(t.Context(), r.env, s, w)
		e, ok := errors.AsType[*book.Error](err)
		require.True(t, ok, "%v", err)
		assert.ErrorIs(t, err, book.ErrNotBook)
		assert.Equal(t, s.Book(), e.Path)
		assert.Contains(t, e.Fix, "put the last backup in its place")
		assert.Equal(t, want, strings.HasSuffix(e.Fix, "; or give --no-book to answer from files alone"), e.Fix)
	}
	info, err := os.Stat(s.Book())
	require.NoError(t, err)
	assert.Zero(t, info.Size(), "it is as it was")
	assert.Equal(t, 1, r.do("book", "init").code)
	assert.Contains(t, r.err.String(), "the file is empty")

	whole := filepath.Join(t.TempDir(), "whole.sqlite")
	b, err := book.Open(t.Context(), whole, r.env.Now)
	require.NoError(t, err)
	require.NoError(t, b.Close())
	written := make(chan error, 1)
	time.AfterFunc(100*time.Millisecond, func() { written <- os.Rename(whole, s.Book()) }) // whole at once
	got, err := (&bookFlags{}).open(t.Context(), r.env, s, bookNeeded)
	require.NoError(t, err)
	require.NoError(t, <-written)
	require.NoError(t, got.Close())
}

func TestWarn(t *testing.T) {
	r := newRun(t)
	warn(r.env, "this answer is not in the book", &book.Error{Path: "b.sqlite", Text: "the disk is full", Fix: "free some space", Err: book.ErrDisk})
	assert.Equal(t, "dewgap: warning: this answer is not in the book: b.sqlite: the disk is full\n   fix: free some space\n", r.err.String())
	r.err.Reset()
	warn(r.env, "not kept", errors.New("a"))
	assert.Equal(t, "dewgap: warning: not kept: a\n", r.err.String())
}

// A CSV export goes into a folder without overwriting anything or leaving it.
func TestUnpack(t *testing.T) {
	_, err := unpack([]byte("no archive"), t.TempDir())
	assert.Error(t, err)
	r := newRun(t)
	require.Equal(t, 0, r.do("book", "init").code, r.err.String())
	folder := filepath.Join(t.TempDir(), "tables")
	require.Equal(t, 0, r.do("book", "export", "--csv", folder).code, r.err.String())
	assert.Equal(t, 1, r.do("book", "export", "--csv", folder).code)
	assert.Contains(t, r.err.String(), "name a new folder")
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Greater(t, len(entries), 2)

	// What stands in the way of a later file stays alone: half an export is none.
	last := entries[len(entries)-1].Name()
	half := filepath.Join(t.TempDir(), "half")
	require.NoError(t, os.Mkdir(half, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(half, last), []byte("mine"), 0o600))
	assert.Equal(t, 1, r.do("book", "export", "--csv", half).code)
	assert.Contains(t, r.err.String(), last+": is there already")
	left, err := os.ReadDir(half)
	require.NoError(t, err)
	require.Len(t, left, 1)
	got, err := os.ReadFile(filepath.Join(half, last))
	require.NoError(t, err)
	assert.Equal(t, "mine", string(got))
}
