package book

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestABackupIsAWholeBook(t *testing.T) {
	b, s := filled(t)
	dir := t.TempDir()
	path := filepath.Join(dir, "backup.sqlite")
	require.NoError(t, b.Backup(t.Context(), path))
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, files, 1, "no leftovers, no log beside it")
	info, err := files[0].Info()
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())

	restored := openAt(t, path)
	require.NoError(t, restored.Verify(t.Context()))
	assert.Equal(t, exported(t, b), exported(t, restored))
	// Numbers are not used again in it either.
	next := addDone(t, restored, washed(s.job, "foredeck", 1))
	assert.Equal(t, int64(2), next.ID)
}

func TestABackupNeverReplacesAFile(t *testing.T) {
	b, _ := filled(t)
	path := filepath.Join(t.TempDir(), "backup.sqlite")
	require.NoError(t, os.WriteFile(path, []byte("last year's"), 0o600))
	require.ErrorIs(t, b.Backup(t.Context(), path), ErrExists)
	require.ErrorIs(t, b.Backup(t.Context(), b.Path()), ErrExists)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "last year's", string(data))
	require.NoError(t, b.Verify(t.Context()))
}

// A link to nowhere is a name that is taken.
func TestABackupLeavesALink(t *testing.T) {
	b, _ := filled(t)
	dir := t.TempDir()
	link := filepath.Join(dir, "link")
	if err := os.Symlink(filepath.Join(dir, "none"), link); err != nil {
		t.Skip("no links on this system:", err)
	}
	require.ErrorIs(t, b.Backup(t.Context(), link), ErrExists)
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, files, 1, "nothing but the link")
}

func TestABackupThatCannotBe(t *testing.T) {
	b, _ := filled(t)
	dir := t.TempDir()
	require.ErrorIs(t, b.Backup(t.Context(), filepath.Join(dir, "not", "there", "backup")), ErrAccess)

	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, b.Backup(ctx, filepath.Join(dir, "backup")), context.Canceled)
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, files, "no leftovers")
}

// TestABackupWhileOthersWrite is one state of the book.
func TestABackupWhileOthersWrite(t *testing.T) {
	b := newBook(t)
	stop := keepWriting(t, b)
	dir := t.TempDir()
	for i := range 4 {
		path := filepath.Join(dir, itoa(i))
		require.NoError(t, b.Backup(t.Context(), path))
		require.NoError(t, openAt(t, path).Verify(t.Context()))
	}
	stop()
}
