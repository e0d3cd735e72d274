package cli

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// usage is the text of a usage error, "" for none; other errors fail.
func usage(t *testing.T, err error) string {
	t.Helper()
	if err == nil {
		return ""
	}
	u, ok := errors.AsType[*usageError](err)
	require.True(t, ok, "%v", err)
	assert.NotEmpty(t, u.fix, "every usage error says what to do: %v", err)
	return u.text
}

func TestQuestionCheck(t *testing.T) {
	quick := question{at: "43.07,-70.74", kind: "catamaran", length: "12m"}
	with := func(q question, change func(*question)) question {
		change(&q)
		return q
	}
	demoed := question{demo: true}
	for name, c := range map[string]struct {
		q    question
		want string
	}{
		"a job":                 {question{job: "job.yaml"}, ""},
		"the demo":              {demoed, ""},
		"a quick boat":          {quick, ""},
		"nothing":               {question{}, "no boat to answer for"},
		"two of them":           {question{job: "job.yaml", demo: true}, "--job, --at and --demo exclude one another"},
		"all of them":           {with(quick, func(q *question) { q.job, q.demo = "job.yaml", true }), "--job, --at and --demo exclude one another"},
		"a kind alone":          {question{kind: "catamaran"}, "--kind, --length, --bow and --seal go with --at"},
		"a bow with a job":      {question{job: "job.yaml", bow: "NW"}, "--kind, --length, --bow and --seal go with --at"},
		"a seal with the demo":  {question{demo: true, seal: "carnauba-wax"}, "--kind, --length, --bow and --seal go with --at"},
		"a place alone":         {question{at: "43.07,-70.74"}, "--at needs --kind and --length"},
		"a place and a kind":    {question{at: "43.07,-70.74", kind: "catamaran"}, "--at needs --kind and --length"},
		"the demo elsewhere":    {with(demoed, func(q *question) { q.source = "nws" }), "--demo brings its own weather"},
		"the demo with a file":  {with(demoed, func(q *question) { q.forecast = "reply.json" }), ""},
		"two forecasts":         {question{job: "job.yaml", forecast: "reply.json", source: "nws"}, "--forecast and --source exclude one another"},
		"an unknown source":     {question{job: "job.yaml", source: "almanac"}, "--source: no source almanac"},
		"a known source":        {question{job: "job.yaml", source: "openmeteo-ensemble"}, ""},
		"an unknown zone":       {with(demoed, func(q *question) { q.timezone = "Atlantis" }), `--timezone: no time zone "Atlantis"`},
		"the computer's zone":   {with(demoed, func(q *question) { q.timezone = "Local" }), `--timezone: no time zone "Local"`},
		"a moment":              {with(demoed, func(q *question) { q.now = monday }), ""},
		"a moment in UTC":       {with(demoed, func(q *question) { q.now = "2026-09-07T10:00:00Z" }), ""},
		"the last year":         {with(demoed, func(q *question) { q.now = "2199-12-31T23:59:59Z" }), ""},
		"a year too far":        {with(demoed, func(q *question) { q.now = "2199-12-31T23:59:59-05:00" }), `--now "2199-12-31T23:59:59-05:00" is out of range`},
		"the last of four":      {with(demoed, func(q *question) { q.now = "9999-12-31T23:59:59Z" }), `--now "9999-12-31T23:59:59Z" is out of range`},
		"a year of five":        {with(demoed, func(q *question) { q.now = "10000-01-01T00:00:00Z" }), `--now "10000-01-01T00:00:00Z" is no moment`},
		"the first year":        {with(demoed, func(q *question) { q.now = "1900-01-01T00:00:00Z" }), ""},
		"a year too early":      {with(demoed, func(q *question) { q.now = "1899-12-31T23:59:59Z" }), `--now "1899-12-31T23:59:59Z" is out of range`},
		"fetched, no file":      {with(demoed, func(q *question) { q.fetched = monday }), "--fetched goes with --forecast"},
		"fetched, of a file":    {with(demoed, func(q *question) { q.forecast, q.fetched = "reply.json", monday }), ""},
		"fetched, no moment":    {with(demoed, func(q *question) { q.forecast, q.fetched = "reply.json", "09:00" }), `--fetched "09:00" is no moment`},
		"fetched, no offset":    {with(demoed, func(q *question) { q.forecast, q.fetched = "reply.json", "2026-09-07T06:00:00" }), `--fetched "2026-09-07T06:00:00" is no moment`},
		"a moment, no offset":   {with(demoed, func(q *question) { q.now = "2026-09-07T10:00:00" }), `--now "2026-09-07T10:00:00" is no moment`},
		"a day":                 {with(demoed, func(q *question) { q.now = "2026-09-07" }), `--now "2026-09-07" is no moment`},
		"unknown units":         {with(demoed, func(q *question) { q.units = "nautical" }), "--units: no units nautical"},
		"American units":        {with(demoed, func(q *question) { q.units = "us" }), ""},
		"units of the settings": {with(demoed, func(q *question) { q.units = "metric" }), ""},
	} {
		c.q.ways = waysWithQuick
		assert.Equal(t, c.want, usage(t, c.q.check(&cobra.Command{Use: "week"})), name)
	}
}

func TestMoment(t *testing.T) {
	clock := time.Date(2026, 9, 7, 10, 0, 0, 0, time.UTC)
	now, err := (&question{}).moment(clock)
	require.NoError(t, err)
	assert.Equal(t, clock, now)
	now, err = (&question{now: "2026-09-08T06:00:00-04:00"}).moment(clock)
	require.NoError(t, err)
	assert.Equal(t, "2026-09-08T10:00:00Z", now.UTC().Format(time.RFC3339))
}

// Where the forecast comes from: a file outranks the demo, the demo the network.
func TestFrom(t *testing.T) {
	r := newRun(t)
	s, err := settings.Load("")
	require.NoError(t, err)
	fetched := time.Date(2026, 9, 7, 9, 0, 0, 0, time.UTC)
	source := func(q question) app.Source { return q.from(r.env, s, r.env.Now(), fetched) }
	assert.Equal(t, app.File{Path: "reply.json", Fetched: fetched}, source(question{demo: true, forecast: "reply.json"}))
	assert.IsType(t, demo.Source{}, source(question{demo: true}))
	live, ok := source(question{job: "job.yaml", source: "nws"}).(app.Live)
	require.True(t, ok)
	assert.Equal(t, "nws", live.Name)
	assert.Equal(t, "v0.0.0-test", live.Version)
}

// A quick boat whose flags cannot be meant is wrong usage, before anything is
// fetched.
func TestQuick(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	good := question{at: "43.07,-70.74", kind: "catamaran", length: "12m", bow: "NW", seal: "carnauba-wax"}
	read, err := good.quick(set)
	require.NoError(t, err)
	j, err := read("America/New_York")
	require.NoError(t, err)
	assert.Equal(t, "America/New_York", j.Place.Timezone)
	assert.Equal(t, "carnauba-wax", j.Steps[len(j.Steps)-1].With)
	assert.True(t, j.HasBow)
	j, err = read("")
	require.NoError(t, err)
	assert.Nil(t, j.Place.Location, "the service may tell it yet")
	for name, change := range map[string]func(*question){
		"place":   func(q *question) { q.at = "here" },
		"length":  func(q *question) { q.length = "12" },
		"short":   func(q *question) { q.length = "2.5m" },
		"kind":    func(q *question) { q.kind = "yacht" },
		"bow":     func(q *question) { q.bow = "up" },
		"product": func(q *question) { q.seal = "glue" },
		"no seal": func(q *question) { q.seal = "soap-wash" },
	} {
		q := good
		change(&q)
		_, err := q.quick(set)
		assert.NotEmpty(t, usage(t, err), name)
	}
}

// The job is read from the file once; the zone that is found later is used.
func TestReaderOfAFile(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "job.yaml")
	bare := strings.Replace(string(demo.JobFile()), "  timezone: America/New_York\n", "", 1)
	require.NoError(t, os.WriteFile(file, []byte(bare), 0o600))
	read, kept, err := (&question{job: file}).reader(set)
	require.NoError(t, err)
	require.NoError(t, os.Remove(file))
	assert.Equal(t, &app.JobFile{Name: file, Data: []byte(bare)}, kept)
	j, err := read("")
	require.NoError(t, err)
	assert.Nil(t, j.Place.Location)
	j, err = read("America/Chicago")
	require.NoError(t, err)
	assert.Equal(t, "America/Chicago", j.Place.Timezone)

	_, _, err = (&question{job: file}).reader(set)
	_, isProblem := errors.AsType[*app.Problem](err)
	assert.True(t, isProblem)
	require.NoError(t, os.WriteFile(file, []byte("place: 3\n"), 0o600))
	read, _, err = (&question{job: file}).reader(set)
	require.NoError(t, err)
	_, err = read("")
	mistakes, ok := errors.AsType[job.Errors](err)
	require.True(t, ok)
	assert.Equal(t, file, mistakes[0].File)
}

func TestNoDress(t *testing.T) {
	r := newRun(t)
	s, err := settings.Load("")
	require.NoError(t, err)
	a, _, _, err := (&question{demo: true}).app(t.Context(), r.env, s)
	require.NoError(t, err)
	assert.Equal(t, app.Futures, a.Futures)
	a, _, _, err = (&question{demo: true, noDress: true}).app(t.Context(), r.env, s)
	require.NoError(t, err)
	assert.Zero(t, a.Futures)
}

// Warnings of settings, and of the products that the job uses, reach the answer.
func TestWarningsReachTheAnswer(t *testing.T) {
	r := newRun(t)
	s, err := settings.Load("")
	require.NoError(t, err)
	s.Warnings = []string{"no folder for settings"}
	file := filepath.Join(t.TempDir(), "mine.yaml")
	require.NoError(t, os.WriteFile(file, []byte("products:\n  - id: polymer-sealant\n    limits:\n      air_c: {hard: [1, 50], source: my label}\n"+
		"  - id: my-wax\n    like: carnauba-wax\n    limits:\n      air_c: {hard: [1, 50], source: my label}\n"), 0o600))
	o := weekOptions{question: question{demo: true, screen: screen{products: file}}}
	a, request, _, err := o.app(t.Context(), r.env, s)
	require.NoError(t, err)
	week, err := a.Week(context.Background(), request)
	require.NoError(t, err)
	all := strings.Join(week.Warnings, "\n")
	assert.Contains(t, all, "no folder for settings")
	assert.Contains(t, all, "mine.yaml:4:14: polymer-sealant air minimum 1 °C is looser")
	assert.NotContains(t, all, "my-wax", "which the job does not use")
}
