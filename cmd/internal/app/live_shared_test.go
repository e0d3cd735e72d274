package app_test

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Run after run, each with a client of its own as every command has: a service
// that fails is left alone by all of them after the third, the error says so and
// until when, and afterwards one tries again.
func TestLiveLeavesAloneAcrossRuns(t *testing.T) {
	asked, up := 0, false
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		asked++
		if !up {
			w.WriteHeader(http.StatusServiceUnavailable)
			return
		}
		_, _ = w.Write(demoReply(t))
	}))
	defer server.Close()
	l := live(t, server.URL, "openmeteo")
	l.Adjust = func(cfg *fetch.Config) { cfg.PerSecond = 1e6 }
	now := at(t, monday)
	l.Wall = func() time.Time { return now }
	ask := func() error {
		_, err := l.Forecast(context.Background(), app.Query{Place: otterQuay})
		return err
	}
	for range 3 {
		assert.ErrorContains(t, ask(), "HTTP 503")
	}
	err := ask()
	assert.ErrorContains(t, err, "left alone for a while: it failed 3 times in a row")
	assert.ErrorContains(t, err, "it is asked again in 2 min (10:02 UTC)")
	assert.Equal(t, 3, asked)
	up, now = true, now.Add(2*time.Minute)
	require.NoError(t, ask())
	assert.Equal(t, 4, asked)
}

// Runs at once keep one pace: the second begins where the first left off.
func TestLiveKeepsOnePaceAcrossRuns(t *testing.T) {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNotFound) }))
	defer server.Close()
	l := live(t, server.URL, "openmeteo")
	l.Adjust = func(cfg *fetch.Config) { cfg.PerSecond, cfg.Burst = 10, 1 }
	start := time.Now()
	for range 3 {
		_, err := l.Forecast(context.Background(), app.Query{Place: otterQuay})
		assert.ErrorContains(t, err, "HTTP 404")
	}
	assert.GreaterOrEqual(t, time.Since(start), 200*time.Millisecond)
}

// A person at a terminal sees who is being asked while that takes long, and
// nothing of it afterwards.
func TestLiveShowsWhoIsAsked(t *testing.T) {
	t.Parallel()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		time.Sleep(700 * time.Millisecond)
		_, _ = w.Write(demoReply(t))
	}))
	defer server.Close()
	l := live(t, server.URL, "openmeteo")
	var screen bytes.Buffer
	l.Passing = &screen
	_, err := l.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	assert.Contains(t, screen.String(), "asking Open-Meteo for the weather")
	assert.True(t, strings.HasSuffix(screen.String(), "\r"))
	before := screen.Len()
	_, err = l.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	assert.Equal(t, before, screen.Len(), "the saved reply asks nobody")
}

// BenchmarkWarmCache is what a warm cache costs beyond the judging: reading the
// saved reply of the demo's size, checking and parsing it, without a network.
func BenchmarkWarmCache(b *testing.B) {
	asked := 0
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		asked++
		_, _ = w.Write(demoReply(b))
	}))
	defer server.Close()
	l := live(b, server.URL, "openmeteo-ensemble")
	for b.Loop() {
		_, err := l.Forecast(context.Background(), app.Query{Place: otterQuay})
		require.NoError(b, err)
	}
	require.Equal(b, 1, asked)
}
