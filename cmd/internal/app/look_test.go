package app_test

import (
	"strings"
	"testing"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A film that got wet between its hard and its usual hours may have stood it: morning and
// week ask for the look at it, until somebody has looked; a move tells it in its own part.
func TestStock_AsksForTheLook(t *testing.T) {
	t.Parallel()
	const one, two, three = "2026-09-07T15:00:00-04:00", "2026-09-07T15:30:00-04:00", "2026-09-07T16:00:00-04:00"
	const look = "the rain of Mon 7 Sep 13:00 reached the seal on port side before its hours were over: look at it in the sun, and log what you find (outcome)"
	b := newBook(t)
	asked := func(now string) (*app.App, app.Request) {
		a, r := fixture{now: now, forecast: rained(t, "2026-09-07", 13, 14), job: oneSide(t)}.app(t)
		a.Book, a.Version, a.Unrecorded = app.Stored{Book: b}, "v1.2.3", func(err error) { assert.NoError(t, err) }
		r.File = &app.JobFile{Name: "job.yaml", Data: []byte(oneSide(t))}
		return a, r
	}
	warned := func(now string) string {
		a, r := asked(now)
		m, err := a.Morning(t.Context(), r)
		require.NoError(t, err)
		w, err := a.Week(t.Context(), r)
		require.NoError(t, err)
		assert.Equal(t, strings.Contains(strings.Join(m.Warnings, "\n"), look), strings.Contains(strings.Join(w.Warnings, "\n"), look), "one truth")
		return strings.Join(m.Warnings, "\n")
	}
	a, r := asked(one)
	_, err := a.LogDone(t.Context(), app.DoneRequest{Request: r, Step: "seal", Zones: []string{"port side"}, Share: 1, At: on("2026-09-07T10:00:00-04:00")})
	require.NoError(t, err)
	assert.Contains(t, warned(one), look)

	for _, c := range []struct {
		now, found string
		asks       bool
	}{{two, book.FoundInspect, true}, {three, book.FoundOK, false}} {
		a, r = asked(c.now)
		_, err = a.LogOutcome(t.Context(), app.OutcomeRequest{Request: r, Step: "seal", Zones: []string{"port side"}, Found: c.found, At: on(c.now)})
		require.NoError(t, err)
		assert.Equal(t, c.asks, strings.Contains(warned(c.now), look), c.found)
	}
}
