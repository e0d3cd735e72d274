package cli

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is written takes the place of the text, not of the link to it, of its rights, or
// of a pipe.
func TestReplaceLeavesWhatStandsThere(t *testing.T) {
	dir := t.TempDir()
	file, link, pipe := filepath.Join(dir, "real"), filepath.Join(dir, "link"), filepath.Join(dir, "pipe")
	require.NoError(t, os.WriteFile(file, []byte("old"), 0o600))
	require.NoError(t, os.Symlink(file, link))
	require.NoError(t, replace(link, []byte("new")))
	is, err := os.Lstat(link)
	require.NoError(t, err)
	assert.Equal(t, os.ModeSymlink, is.Mode().Type())
	is, err = os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), is.Mode())
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "new", string(got))

	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	read := make(chan []byte)
	go func() {
		data, _ := os.ReadFile(pipe)
		read <- data
	}()
	require.NoError(t, replace(pipe, []byte("through")))
	assert.Equal(t, "through", string(<-read))
	is, err = os.Lstat(pipe)
	require.NoError(t, err)
	assert.Equal(t, os.ModeNamedPipe, is.Mode().Type())

	require.NoError(t, replace(filepath.Join(dir, "fresh"), []byte("x")))
	assert.ErrorContains(t, replace(dir, nil), "is a folder")
	assert.ErrorContains(t, replace(filepath.Join(dir, "none", "x"), nil), "cannot be written")
}
