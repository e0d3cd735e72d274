package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The pages are there, say what the help says, and are the same each time.
func TestManual(t *testing.T) {
	first, second := t.TempDir(), t.TempDir()
	require.NoError(t, run([]string{first}))
	require.NoError(t, run([]string{second}))
	for name, want := range map[string]string{
		"man/dewgap.1": "dewgap-week(1)", "man/dewgap-week.1": "12 unknown", "man/dewgap-book-show.1": "--again",
		"completions/dewgap.bash": "__start_dewgap", "completions/_dewgap": "#compdef dewgap",
		"completions/dewgap.fish": "complete -c dewgap", "completions/dewgap.ps1": "Register-ArgumentCompleter",
	} {
		a, err := os.ReadFile(filepath.Join(first, filepath.FromSlash(name)))
		require.NoError(t, err)
		b, err := os.ReadFile(filepath.Join(second, filepath.FromSlash(name)))
		require.NoError(t, err)
		assert.Contains(t, string(a), want, name)
		assert.Equal(t, string(a), string(b), name)
	}
}

func TestManualWrongUse(t *testing.T) {
	require.ErrorContains(t, run(nil), "name one folder")
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	require.Error(t, run([]string{file}))
}
