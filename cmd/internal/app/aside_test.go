package app_test

import (
	"context"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/forecast"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stopping is a source whose person has enough once it has answered.
type stopping struct {
	app.Source
	stop context.CancelFunc
}

func (s stopping) Forecast(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
	f, err := s.Source.Forecast(ctx, q)
	s.stop()
	return f, err
}

// Whoever stops while an answer is worked out gets none.
func TestStoppedWhileWorkingItOut(t *testing.T) {
	for name, ask := range map[string]func(context.Context, *app.App, app.Request) error{
		"week":    func(ctx context.Context, a *app.App, r app.Request) error { _, err := a.Week(ctx, r); return err },
		"morning": func(ctx context.Context, a *app.App, r app.Request) error { _, err := a.Morning(ctx, r); return err },
		"move": func(ctx context.Context, a *app.App, r app.Request) error {
			_, err := a.Move(ctx, app.MoveRequest{Request: r})
			return err
		},
		"why": func(ctx context.Context, a *app.App, r app.Request) error {
			_, err := a.Why(ctx, app.WhyRequest{Request: r, Zone: "port side", Class: "polymer-sealant", At: func(*time.Location) (time.Time, error) { return time.Parse(time.RFC3339, thursday) }})
			return err
		},
		"sources": func(ctx context.Context, a *app.App, r app.Request) error {
			_, err := a.Sources(ctx, r, func(*job.Job) []app.Candidate { return []app.Candidate{{Name: "one", Source: a.Source}} })
			return err
		},
	} {
		t.Run(name, func(t *testing.T) {
			a, r := fixture{now: monday, forecast: weather(t, monday)}.app(t)
			ctx, stop := context.WithCancel(t.Context())
			a.Source = stopping{a.Source, stop}
			require.ErrorIs(t, ask(ctx, a, r), context.Canceled)
		})
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	a, r := aSeason(t, seasonJob)
	_, err := a.Season(ctx, r)
	assert.ErrorIs(t, err, context.Canceled)
}
