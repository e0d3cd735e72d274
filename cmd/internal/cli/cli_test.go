package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
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
	"dewgap/forecast/fetch"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const monday = "2026-09-07T06:00:00-04:00"

// run is one command line with its own home and clock.
type run struct {
	out, err bytes.Buffer
	env      Env
	code     int
}

func newRun(t *testing.T) *run {
	t.Helper()
	t.Setenv("DEWGAP_HOME", t.TempDir())
	for _, k := range settings.Keys() {
		if os.Getenv(k.Env) != "" {
			t.Setenv(k.Env, "")
		}
	}
	now, err := time.Parse(time.RFC3339, monday)
	require.NoError(t, err)
	r := &run{}
	r.env = Env{
		Stdout: &r.out, Stderr: &r.err, Getenv: func(string) string { return "" },
		Terminal: func() (int, bool) { return 0, false }, Now: func() time.Time { return now }, Version: "v0.0.0-test",
	}
	return r
}

func (r *run) do(args ...string) *run {
	r.out.Reset()
	r.err.Reset()
	r.code = Execute(context.Background(), args, r.env)
	return r
}

func TestCodeOfVerdict(t *testing.T) {
	for verdict, want := range map[string]int{
		answer.Go: 0, answer.Wait: 10, answer.NoGo: 11, answer.Unknown: 12, answer.Marginal: 13, "": 1, "ideal": 1,
	} {
		assert.Equal(t, want, codeOfVerdict(verdict), verdict)
	}
}

func TestCodeOfError(t *testing.T) {
	assert.Equal(t, CodeUsage, codeOf(&usageError{"a", "b"}))
	assert.Equal(t, CodeUsage, codeOf(fmt.Errorf("wrapped: %w", &usageError{"a", "b"})))
	assert.Equal(t, CodeFailed, codeOf(errors.New("a")))
}

// Every kind of error is told as what, where and what to do.
func TestFailures(t *testing.T) {
	for name, c := range map[string]struct {
		err  error
		want []answer.Failure
	}{
		"usage":    {&usageError{"a", "b"}, []answer.Failure{{Error: "a", Fix: "b"}}},
		"settings": {&settings.Error{Where: "s.yaml:1:2", Text: "a", Fix: "b"}, []answer.Failure{{Error: "a", Where: "s.yaml:1:2", Fix: "b"}}},
		"problem":  {&app.Problem{Where: "f", Text: "a", Fix: "b"}, []answer.Failure{{Error: "a", Where: "f", Fix: "b"}}},
		"a job's mistakes": {job.Errors{{File: "j", Line: 3, Column: 5, Message: "a", Fix: "b"}, {File: "j", Message: "c"}},
			[]answer.Failure{{Error: "a", Where: "j:3:5", Fix: "b"}, {Error: "c", Where: "j"}}},
		"products' mistakes": {products.Errors{{File: "p", Line: 3, Column: 5, Message: "a", Fix: "b"}},
			[]answer.Failure{{Error: "a", Where: "p:3:5", Fix: "b"}}},
		"a reply":   {&forecast.ReadError{Service: "NWS", Reason: "a", Fix: "b"}, []answer.Failure{{Error: "NWS reply: a", Fix: "b"}}},
		"a service": {&fetch.Error{Service: "NWS", Kind: fetch.Timeout, Fix: "b"}, []answer.Failure{{Error: "NWS: no complete answer in time", Fix: "b"}}},
		"cancelled": {&app.Problem{Text: "a", Err: context.Canceled}, []answer.Failure{{Error: "stopped before there was an answer", Fix: "run it again"}}},
		"other":     {errors.New("a"), []answer.Failure{{Error: "a"}}},
	} {
		assert.Equal(t, c.want, failures(c.err), name)
	}
}

func TestReport(t *testing.T) {
	mistakes := job.Errors{{File: "j", Line: 3, Column: 5, Message: "a", Fix: "b"}, {File: "j", Line: 4, Column: 1, Message: "c"}}
	var out bytes.Buffer
	report(&out, mistakes, false, 0)
	assert.Equal(t, "dewgap: j:3:5: a\n   fix: b\ndewgap: j:4:1: c\n", out.String())
	out.Reset()
	report(&out, mistakes, true, 0)
	var f answer.Failure
	require.NoError(t, json.Unmarshal(out.Bytes(), &f))
	assert.Equal(t, "j:3:5", f.Where)
	require.Len(t, f.More, 1)
	assert.Equal(t, "c", f.More[0].Error)
	assert.Equal(t, 1, strings.Count(out.String(), "\n"), "one object")
}

func TestWantsJSON(t *testing.T) {
	assert.True(t, wantsJSON([]string{"week", "--json"}))
	assert.True(t, wantsJSON([]string{"week", "--json=true"}))
	assert.False(t, wantsJSON([]string{"week"}))
	assert.False(t, wantsJSON([]string{"products", "--", "--json"}))
}

// Nothing is kept between two runs: flags of the first are not those of the
// second.
func TestRunsAreApart(t *testing.T) {
	r := newRun(t)
	assert.Equal(t, 0, r.do("week", "--demo", "--json").code)
	assert.True(t, json.Valid(r.out.Bytes()))
	assert.Equal(t, 0, r.do("week", "--demo").code)
	assert.False(t, json.Valid(r.out.Bytes()))
	assert.Equal(t, 2, r.do("week").code)
}

func TestColour(t *testing.T) {
	const escape = "\x1b["
	r := newRun(t)
	r.do("week", "--demo")
	assert.NotContains(t, r.out.String(), escape, "no terminal")
	plain := r.out.String()

	r.env.Terminal = func() (int, bool) { return 80, true }
	r.do("week", "--demo")
	assert.Contains(t, r.out.String(), escape, "a terminal")

	r.env.Getenv = func(name string) string { return map[string]string{"NO_COLOR": "1"}[name] }
	r.do("week", "--demo")
	assert.Equal(t, plain, r.out.String(), "its owner wants none")

	r.env.Getenv = func(name string) string { return map[string]string{"TERM": "dumb"}[name] }
	r.do("week", "--demo")
	assert.NotContains(t, r.out.String(), escape, "it cannot show any")

	r.env.Getenv = func(string) string { return "" }
	r.do("week", "--demo", "--json")
	assert.NotContains(t, r.out.String(), escape, "JSON has none")
}

func TestWidth(t *testing.T) {
	longest := func(text string) int {
		most := 0
		for line := range strings.Lines(text) {
			most = max(most, len([]rune(strings.TrimRight(line, "\n"))))
		}
		return most
	}
	r := newRun(t)
	assert.LessOrEqual(t, longest(r.do("week", "--demo").out.String()), 80)
	r.env.Terminal = func() (int, bool) { return 120, true }
	r.env.Getenv = func(name string) string { return map[string]string{"NO_COLOR": "1"}[name] }
	assert.Greater(t, longest(r.do("week", "--demo").out.String()), 80, "a wide terminal is used")

	for columns, want := range map[string]int{"40": 40, "48": 48, "12": 40, "wide": 100, "-3": 100, "0": 100} {
		r.env.Getenv = func(name string) string { return map[string]string{"NO_COLOR": "1", "COLUMNS": columns}[name] }
		got := longest(r.do("week", "--demo").out.String())
		assert.LessOrEqual(t, got, want, "COLUMNS=%s", columns)
		assert.Greater(t, got, want-10, "COLUMNS=%s", columns)
	}
}

// The whole way with a live service: settings by environment, fetch, cache,
// answer; then without it.
func TestLive(t *testing.T) {
	r := newRun(t)
	up, asked := true, 0
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		asked++
		if !up {
			http.Error(w, "down", http.StatusBadGateway)
			return
		}
		data, err := demo.Reply(r.env.Now())
		assert.NoError(t, err)
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(data)
	}))
	defer server.Close()
	t.Setenv("DEWGAP_OPENMETEO_URL", server.URL)
	t.Setenv("DEWGAP_TRIES", "1")
	file := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(file, demo.JobFile(), 0o600))

	var week answer.Week
	ask := func(want int) {
		t.Helper()
		r.do("week", "--job", file, "--source", "openmeteo-ensemble", "--json")
		require.Equal(t, want, r.code, r.err.String())
		week = answer.Week{}
		require.NoError(t, json.Unmarshal(r.out.Bytes(), &week))
	}
	ask(0)
	assert.Equal(t, "Open-Meteo", week.Source.Name)
	assert.Equal(t, 11, week.Source.Members)
	assert.Equal(t, int64(0), *week.Source.AgeS)
	assert.Equal(t, 1, asked)

	up = false
	wall := r.env.Now().Add(13 * time.Hour)
	r.env.Now = func() time.Time { return wall }
	ask(0)
	assert.Equal(t, int64(13*3600), *week.Source.AgeS)
	assert.True(t, week.Source.Stale, "today is too old, Thursday is not")
	assert.Contains(t, strings.Join(week.Warnings, "\n"), "a copy received 13 h ago")

	wall = wall.Add(24 * time.Hour)
	ask(12)
	assert.Empty(t, week.Windows, "too old to trust")

	t.Setenv("DEWGAP_HOME", t.TempDir())
	r.do("week", "--job", file, "--source", "openmeteo-ensemble")
	assert.Equal(t, 1, r.code, "no copy either")
	assert.Contains(t, r.err.String(), "Open-Meteo")
	assert.Contains(t, r.err.String(), "fix: ")
	assert.Contains(t, r.err.String(), "--forecast FILE")
}

func TestCancelled(t *testing.T) {
	r := newRun(t)
	stopped, stop := context.WithCancel(context.Background())
	stop()
	file := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(file, demo.JobFile(), 0o600))
	assert.Equal(t, 1, Execute(stopped, []string{"week", "--job", file, "--source", "openmeteo"}, r.env))
	assert.Contains(t, r.err.String(), "stopped before there was an answer")
}

// A writer that breaks is a failure, not a silent success.
func TestBrokenPipe(t *testing.T) {
	for _, args := range [][]string{{"week", "--demo", "--json"}, {"week", "--demo"}, {"morning", "--demo", "--json"}, {"version"}} {
		r := newRun(t)
		r.env.Stdout = brokenWriter{}
		assert.Equal(t, 1, r.do(args...).code, args)
		assert.Contains(t, r.err.String(), "no room", args)
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestQuickBoat(t *testing.T) {
	r := newRun(t)
	reply := filepath.Join(t.TempDir(), "reply.json")
	data, err := demo.Reply(r.env.Now())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(reply, data, 0o600))
	base := []string{"week", "--at", "43.07,-70.74", "--kind", "sailing-yacht", "--length", "36ft", "--forecast", reply,
		"--now", "2026-09-04T08:00:00-04:00", "--json"}
	var w answer.Week
	r.do(append(base, "--bow", "NW", "--seal", "carnauba-wax")...)
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &w), r.err.String())
	assert.Equal(t, "carnauba-wax", w.Headline.Best[0].Product)
	assert.Contains(t, strings.Join(w.Warnings, "\n"), "taken for granted")
	w = answer.Week{}
	r.do(base...)
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &w), r.err.String())
	zones := map[string]bool{}
	for _, z := range w.Zones {
		zones[z.Name] = true
	}
	assert.True(t, zones["side facing N"], "without a bow by compass face: %v", zones)
	assert.False(t, zones["port side"])
	assert.Equal(t, answer.None, w.Plan.State)
	require.Len(t, w.Plan.Why, 1)
	assert.Contains(t, w.Plan.Why[0], "a plan needs the bow's bearing")
	assert.Empty(t, w.Ladder)
}

func TestWhen(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	now, err := time.Parse(time.RFC3339, "2026-09-10T01:30:00Z") // the evening of the ninth there
	require.NoError(t, err)
	for text, want := range map[string]string{
		"":                          "2026-09-10T01:30:00Z",
		"09:00":                     "2026-09-09T09:00:00-04:00",
		"2026-11-02T09:00":          "2026-11-02T09:00:00-05:00",
		"2026-09-10T09:00:00+02:00": "2026-09-10T09:00:00+02:00",
	} {
		got, err := whyOptions{moment: text}.when(now, loc)
		require.NoError(t, err, text)
		assert.Equal(t, want, got.Format(time.RFC3339), text)
	}
	_, err = whyOptions{moment: "noon"}.when(now, loc)
	assert.Error(t, err)
}

// The help of every command ends with the exit codes, and no flag is without
// words.
func TestHelp(t *testing.T) {
	r := newRun(t)
	for _, c := range newRoot(r.env).Commands() {
		if c.Name() == "help" {
			continue
		}
		r.do(c.Name(), "--help")
		assert.Equal(t, 0, r.code)
		assert.Contains(t, r.out.String(), "10 wait, 11 no-go, 12 unknown", c.Name())
		assert.Contains(t, r.out.String(), "13 marginal", c.Name())
		assert.NotEmpty(t, c.Short, c.Name())
	}
}
