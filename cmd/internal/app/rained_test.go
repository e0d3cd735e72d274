package app_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/forecast"
)

// Rain that was logged is on the panel as the same rain of the forecast is, for whoever
// asks of it.
func TestLoggedRainWetsThePanel(t *testing.T) {
	t.Parallel()
	const eleven = "2026-09-10T11:00:00-04:00"
	a, r := kept(t, newBook(t), eleven)
	why := func(a *app.App, r app.Request) *answer.Why {
		out, err := a.Why(t.Context(), app.WhyRequest{
			Request: r, Zone: "foredeck", Class: "compound-rotary",
			At: func(*time.Location) (time.Time, error) { return at(t, "2026-09-10T11:10:00-04:00"), nil },
		})
		require.NoError(t, err)
		return out
	}
	film := func(w *answer.Why) float64 {
		for _, l := range w.Limits {
			if l.Limit == "film" && l.Value != nil {
				return *l.Value
			}
		}
		return 0
	}
	dry := why(a, r)
	assert.Zero(t, film(dry))
	mm := 2.0
	_, err := a.LogRain(t.Context(), app.RainRequest{Request: r, From: on("2026-09-10T10:00:00-04:00"), To: on(eleven), MM: &mm})
	require.NoError(t, err)
	logged := why(a, r)

	f := weather(t, eleven)
	i, ok := f.Index(at(t, "2026-09-10T10:00:00-04:00"))
	require.True(t, ok)
	for k := range f.Members {
		f.Members[k].Columns[forecast.Precipitation].Set(i, mm)
	}
	b, q := fixture{now: eleven, forecast: f}.app(t)
	foreseen := why(b, q)
	assert.Positive(t, film(foreseen))
	assert.Equal(t, foreseen.Limits, logged.Limits)
	assert.Equal(t, foreseen.State, logged.State)

	mornings := [2]*answer.Morning{}
	mornings[0], err = a.Morning(t.Context(), r)
	require.NoError(t, err)
	mornings[1], err = b.Morning(t.Context(), q)
	require.NoError(t, err)
	assert.Equal(t, mornings[1].Verdict, mornings[0].Verdict)
}
