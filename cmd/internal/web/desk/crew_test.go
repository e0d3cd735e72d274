package desk_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twoBoats is a desk on two boats with one crew, and a book.
func twoBoats(t testing.TB) (*fixture, string) {
	b := webtest.Book(t)
	other := filepath.Join(t.TempDir(), "tern.yaml")
	text := strings.Replace(smallJob, "by: 2026-09-09", "by: 2026-09-13", 1) + "crew: Ada\n"
	require.NoError(t, os.WriteFile(other, []byte(strings.Replace(text, "Kittiwake", "Tern", 1)), 0o600))
	f := open(t, func(c *desk.Config) {
		c.Files = append(c.Files, other)
		c.Book, c.BookFile, c.KeepAnswers = app.Stored{Book: b}, b.Path(), true
	})
	f.book = b
	require.NoError(t, os.WriteFile(f.file, []byte(text), 0o600))
	return f, other
}

// One boat's answers are made anew when the other's plan takes other hours of the crew,
// and only then: two boats that are looked at in turn do not make each other's work.
func TestTwoBoatsWithOneCrew(t *testing.T) {
	f, other := twoBoats(t)
	ctx := t.Context()
	one, err := f.Week(ctx, "small")
	require.NoError(t, err)
	require.NotEmpty(t, one.Answer.Plan.Blocks)
	two, err := f.Week(ctx, "tern")
	require.NoError(t, err)
	require.NotNil(t, two.Answer.Crew)
	require.NotEmpty(t, two.Answer.Plan.Blocks)
	for _, x := range one.Answer.Plan.Blocks {
		for _, y := range two.Answer.Plan.Blocks {
			assert.False(t, y.From.Before(x.To.Add(30*time.Minute)) && x.From.Add(-30*time.Minute).Before(y.To), "one person, two boats")
		}
	}
	one, err = f.Week(ctx, "small") // whose crew is on the other boat by now
	require.NoError(t, err)
	require.NotNil(t, one.Answer.Crew)
	made := f.made.Load()
	kept, err := f.book.Answers(ctx, book.AnswerFilter{})
	require.NoError(t, err)
	for range 4 {
		for _, id := range []string{"small", "tern"} {
			_, err := f.Week(ctx, id)
			require.NoError(t, err)
		}
	}
	assert.Equal(t, made, f.made.Load(), "nothing has changed")
	later, err := f.book.Answers(ctx, book.AnswerFilter{})
	require.NoError(t, err)
	assert.Len(t, later, len(kept))

	// She names no crew any longer: once she has been asked, the first boat has hers back.
	require.NoError(t, os.WriteFile(other, []byte(strings.Replace(smallJob, "Kittiwake", "Tern", 1)), 0o600))
	_, err = f.Week(ctx, "tern")
	require.NoError(t, err)
	eventually(t, func() bool {
		one, err = f.Week(ctx, "small")
		return err == nil && one.Answer.Crew == nil
	})
}
