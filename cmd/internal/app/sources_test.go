package app_test

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var otterQuay = forecast.Place{Latitude: 43.07, Longitude: -70.74}

// saved writes a file and gives its name.
func saved(t *testing.T, name string, data []byte) string {
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path
}

func demoReply(t testing.TB) []byte {
	data, err := demo.Reply(at(t, monday))
	require.NoError(t, err)
	return data
}

func TestFile(t *testing.T) {
	f, err := app.File{Path: saved(t, "reply.json", demoReply(t))}.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	assert.Equal(t, "Open-Meteo", f.Service)
	assert.True(t, f.Issued.IsZero())
	assert.True(t, f.Fetched.IsZero(), "a saved reply was received nobody knows when")
}

// A file read ahead gives what it gives otherwise, as often as it is asked and wherever.
func TestFileAhead(t *testing.T) {
	file := app.File{Path: saved(t, "reply.json", demoReply(t)), Fetched: at(t, monday)}
	ahead := file.Ahead()
	want, err := file.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	for range 2 {
		f, err := ahead.Forecast(context.Background(), app.Query{Place: otterQuay})
		require.NoError(t, err)
		assert.Equal(t, want, f)
	}
	_, err = ahead.Forecast(context.Background(), app.Query{Place: forecast.Place{Latitude: -33.87, Longitude: 151.21}})
	assert.ErrorContains(t, err, "km away")
}

// A saved reply with three past days counts once the person says when it was
// fetched, and ages from then on.
func TestFileFetched(t *testing.T) {
	path, now := saved(t, "reply.json", demoReply(t)), at(t, monday)
	age := func(fetched time.Time) (answer.Trust, []string) {
		f, err := app.File{Path: path, Fetched: fetched}.Forecast(context.Background(), app.Query{Place: otterQuay})
		require.NoError(t, err)
		require.True(t, f.Start.Before(now.Add(-48*time.Hour)), "it has past days")
		return app.Age(f, now, time.UTC, settings.Age{})
	}
	trust, _ := age(time.Time{})
	assert.True(t, trust.Stale)
	assert.False(t, trust.AgeKnown)
	trust, warnings := age(now.Add(-2 * time.Hour))
	assert.Equal(t, answer.Trust{Age: 2 * time.Hour, AgeKnown: true}, trust)
	assert.Empty(t, warnings)
	trust, _ = age(now.Add(-37 * time.Hour))
	assert.True(t, trust.Stale)
	assert.Contains(t, trust.Why, "37 h old")
	for _, old := range []time.Duration{37 * time.Hour, 48*time.Hour + 30*time.Minute, 100 * time.Hour} {
		trust, _ = age(now.Add(-old))
		seconds := int64(trust.Age / time.Second)
		assert.Contains(t, trust.Why, "the forecast is "+answer.AgeWords(&seconds)+", more than 36 h", "the age that the screen has")
	}
	_, warnings = age(now.Add(time.Hour))
	assert.Contains(t, strings.Join(warnings, "\n"), "made after now")
}

// A file for elsewhere is refused, however good it is.
func TestFileOfElsewhere(t *testing.T) {
	path := saved(t, "reply.json", demoReply(t))
	_, err := app.File{Path: path}.Forecast(context.Background(), app.Query{Place: forecast.Place{Latitude: -33.87, Longitude: 151.21}})
	p, ok := errors.AsType[*app.Problem](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, path, p.Where)
	assert.Contains(t, p.Text, "km away")
	assert.Contains(t, p.Fix, "mend latitude and longitude")
}

// Whatever is wrong with a file, the error names it and says what to do.
func TestFileErrors(t *testing.T) {
	whole := demoReply(t)
	for name, c := range map[string]struct {
		path string
		want string
	}{
		"absent":       {filepath.Join(t.TempDir(), "none.json"), "cannot be read: no such file"},
		"a folder":     {t.TempDir(), "is a folder"},
		"empty":        {saved(t, "empty.json", nil), "empty"},
		"a web page":   {saved(t, "page.json", []byte("<!DOCTYPE html><html><body>Log in</body></html>")), ""},
		"broken off":   {saved(t, "half.json", whole[:len(whole)/2]), ""},
		"of no one":    {saved(t, "other.json", []byte(`{"hello":"world"}`)), "no service that dewgap knows"},
		"not a number": {saved(t, "nan.json", []byte(strings.Replace(string(whole), `"dew_point_2m":[`, `"dew_point_2m":["x",`, 1))), "dew_point_2m"},
	} {
		t.Run(name, func(t *testing.T) {
			file := app.File{Path: c.path}
			_, err := file.Forecast(context.Background(), app.Query{Place: otterQuay})
			p, ok := errors.AsType[*app.Problem](err)
			require.True(t, ok, "%v", err)
			assert.Equal(t, c.path, p.Where)
			assert.NotEmpty(t, p.Fix)
			assert.Contains(t, p.Text, c.want)
			_, ahead := file.Ahead().Forecast(context.Background(), app.Query{Place: otterQuay})
			assert.Equal(t, err.Error(), ahead.Error())
		})
	}
}

func TestReadFileIsBounded(t *testing.T) {
	path := saved(t, "big", make([]byte, 2049))
	_, err := app.ReadFile(path, 2048)
	assert.ErrorContains(t, err, "larger than 2 kB")
	data, err := app.ReadFile(path, 2049)
	require.NoError(t, err)
	assert.Len(t, data, 2049)
}

// live asks a service on this computer.
func live(t testing.TB, url, source string) app.Live {
	return app.Live{
		Settings: &settings.Settings{Source: source, Timeout: 5 * time.Second, Tries: 1, OpenMeteo: settings.OpenMeteo{URL: url}, Cache: t.TempDir()},
		Version:  "test", Wall: func() time.Time { return at(t, monday) },
	}
}

func TestLive(t *testing.T) {
	asked := 0
	var question string
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked++
		question = r.URL.String()
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(demoReply(t))
	}))
	defer server.Close()
	l := live(t, server.URL, "openmeteo")
	f, err := l.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	assert.Equal(t, "Open-Meteo", f.Service)
	assert.True(t, at(t, monday).Equal(f.Fetched), "stamped by the computer's clock")
	assert.True(t, f.Fetched.Equal(f.Issued), "made no later than received")
	assert.Contains(t, question, "latitude=43.07")
	_, err = l.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	assert.Equal(t, 1, asked, "the second time the saved reply does")

	l.Name = "openmeteo-ensemble"
	_, err = l.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	assert.Contains(t, question, "/v1/ensemble", "the flag outranks the settings")
}

// Offline works: the last good forecast answers, and says how old it is.
func TestLiveOffline(t *testing.T) {
	up := true
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		if !up {
			w.WriteHeader(http.StatusServiceUnavailable)
			return
		}
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(demoReply(t))
	}))
	defer server.Close()
	l := live(t, server.URL, "openmeteo")
	_, err := l.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	up = false
	later := at(t, monday).Add(14 * time.Hour)
	l.Wall = func() time.Time { return later }
	f, err := l.Forecast(context.Background(), app.Query{Place: otterQuay})
	require.NoError(t, err)
	assert.True(t, at(t, monday).Equal(f.Fetched))
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "copy received 14 h ago")
	trust, _ := app.Age(f, later, time.UTC, settings.Age{})
	assert.True(t, trust.Stale)
}

func TestLiveErrors(t *testing.T) {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = w.Write([]byte("<html>Log in to the marina's Wi-Fi</html>"))
	}))
	defer server.Close()
	_, err := live(t, server.URL, "openmeteo").Forecast(context.Background(), app.Query{Place: otterQuay})
	p, ok := errors.AsType[*app.Problem](err)
	require.True(t, ok, "%v", err)
	assert.Contains(t, p.Text, "Open-Meteo")
	assert.Contains(t, p.Fix, "--forecast FILE")

	_, err = live(t, server.URL, "metnorway").Forecast(context.Background(), app.Query{Place: otterQuay})
	assert.ErrorContains(t, err, "contact", "MET Norway is not asked without one")

	stopped, stop := context.WithCancel(context.Background())
	stop()
	_, err = live(t, server.URL, "openmeteo").Forecast(stopped, app.Query{Place: otterQuay})
	assert.ErrorIs(t, err, context.Canceled)
}
