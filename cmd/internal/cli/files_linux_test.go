package cli

import (
	"os"
	"path/filepath"
	"strings"
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

// Links that lead to a file that is not there yet are written through; those that lead
// to no file are refused, and stand.
func TestReplaceWritesThroughLinks(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.MkdirAll(in("sub/deep"), 0o700))
	require.NoError(t, os.Symlink("sub/deep", in("folder")))
	require.NoError(t, os.Symlink("../beside", in("sub/deep/up")))
	for name, to := range map[string]string{
		"near": "fresh", "far": filepath.Join(dir, "sub", "fresh"), "over": "near2", "near2": "sub/fresh2",
		"nowhere": "none/fresh", "round": "about", "about": "round",
	} {
		require.NoError(t, os.Symlink(to, in(name)))
	}
	for link, file := range map[string]string{"near": "fresh", "far": "sub/fresh", "over": "sub/fresh2", "folder/up": "sub/beside"} {
		require.NoError(t, replace(in(link), []byte(link)), link)
		got, err := os.ReadFile(in(file))
		require.NoError(t, err)
		assert.Equal(t, link, string(got))
	}
	assert.ErrorContains(t, replace(in("nowhere"), nil), "no such file or directory")
	assert.ErrorContains(t, replace(in("round"), nil), "too many levels of symbolic links")
	for _, name := range []string{"near", "far", "over", "nowhere", "round"} {
		is, err := os.Lstat(in(name))
		require.NoError(t, err)
		assert.Equal(t, os.ModeSymlink, is.Mode().Type(), name)
	}
}

// A full disk is told as one, whatever is written, and takes nothing that was there.
func TestFullDisk(t *testing.T) {
	r := newRun(t)
	t.Chdir(t.TempDir())
	r.do("new", "/dev/full", "--force", "--kind", "sailing-yacht", "--length", "11m")
	assert.Equal(t, CodeFailed, r.code)
	assert.Equal(t, "dewgap: /dev/full: cannot be written: no space left on device\n   fix: free some space, or name a file elsewhere\n", r.err.String())

	f, err := os.Create("cut-short")
	require.NoError(t, err)
	require.NoError(t, f.Close())
	require.ErrorIs(t, fill(f, []byte("x")), os.ErrClosed)
	assert.NoFileExists(t, "cut-short", "half a file is none")

	require.NoError(t, os.WriteFile("old.yaml", []byte("old"), 0o600))
	before, err := os.Stat("old.yaml")
	require.NoError(t, err)
	r.do("new", "old.yaml", "--force", "--kind", "sailing-yacht", "--length", "11m")
	require.Zero(t, r.code, r.err.String())
	after, err := os.Stat("old.yaml")
	require.NoError(t, err)
	assert.False(t, os.SameFile(before, after), "the old text stands until the new one is whole")
	assert.Equal(t, before.Mode(), after.Mode())
}

// No command ends well whose words nobody got, and all tell it alike.
func TestFullOutput(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	require.NoError(t, err)
	defer func() { _ = full.Close() }()
	r := newRun(t)
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("job.yaml", []byte(sideJob), 0o600))
	r.env.Stdout = full
	for _, line := range []string{
		"where", "version", "products", "products polymer-sealant", "week --demo", "week --demo --json", "morning --demo",
		"calendar --demo", "draw week --demo -o -", "draw day --demo --table", "draw boat --demo -o boat.svg", "check job.yaml",
		"new fresh.yaml --kind sailing-yacht --length 11m", "--help", "week --help", "completion bash", "book init",
	} {
		r.do(strings.Fields(line)...)
		assert.Equal(t, CodeFailed, r.code, line)
		said := r.err.String()
		assert.Contains(t, said, "the output cannot be written: no space left on device", line)
		assert.NotContains(t, said, "/dev/full", line)
	}
	r.do("week", "--demo", "--units", "furlong")
	assert.Equal(t, CodeUsage, r.code, "a command line that cannot be meant is that first")
}
