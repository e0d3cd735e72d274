package cli

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Without a book there is nothing to score, and none is made.
func TestScoreWithoutABook(t *testing.T) {
	r := newRun(t)
	file := filepath.Join(t.TempDir(), "none.sqlite")
	assert.Equal(t, CodeFailed, r.do("score", "--book", file).code)
	assert.Contains(t, r.err.String(), "there is no book")
	assert.NoFileExists(t, file)
}

// A new book has no cases; the answer says so as text and as JSON.
func TestScoreOfANewBook(t *testing.T) {
	r := newRun(t)
	file := filepath.Join(t.TempDir(), "book.sqlite")
	require.Equal(t, CodeDone, r.do("book", "init", "--book", file).code, r.err.String())
	require.Equal(t, CodeDone, r.do("score", "--book", file).code, r.err.String())
	assert.Contains(t, r.out.String(), "Nothing was read yet")
	require.Equal(t, CodeDone, r.do("score", "--book", file, "--json").code, r.err.String())
	var s answer.Score
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &s))
	assert.Equal(t, answer.ScoreFormat, s.Format)
	assert.Equal(t, file, s.File)
	assert.Equal(t, answer.EnoughCases, s.Enough)
	assert.Nil(t, s.Work.Brier)
}

func TestScoreUsage(t *testing.T) {
	r := newRun(t)
	for _, args := range [][]string{{"--units", "miles"}, {"Kittiwake"}, {"--no-book"}} {
		assert.Equal(t, CodeUsage, r.do(append([]string{"score"}, args...)...).code, args)
	}
}
