package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/demo"
	"dewgap/window/boat"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A file that new writes is what check accepts and week answers, for every kind
// of boat.
func TestNewThenCheck(t *testing.T) {
	r := newRun(t)
	for _, kind := range boat.Kinds() {
		file := filepath.Join(t.TempDir(), "job.yaml")
		r.do("new", file, "--kind", kind, "--length", "11m", "--name", "Petrel", "--place", "Otter Quay")
		require.Equal(t, 0, r.code, r.err.String())
		assert.Contains(t, r.out.String(), "dewgap check "+file)
		r.do("check", file)
		assert.Equal(t, 0, r.code, r.err.String())
		assert.Contains(t, r.out.String(), "no mistakes")
		assert.Empty(t, r.err.String())
		r.do("check", file, "--json")
		var c answer.Check
		require.NoError(t, json.Unmarshal(r.out.Bytes(), &c))
		assert.Equal(t, "Petrel", c.Boat)
		assert.NotEmpty(t, c.Zones)
		assert.Len(t, c.Steps, 4)
	}
}

func TestNewContent(t *testing.T) {
	good := newOptions{file: "job.yaml", kind: "catamaran", length: "12m"}
	with := func(change func(*newOptions)) newOptions {
		o := good
		change(&o)
		return o
	}
	data, err := with(func(o *newOptions) {
		o.name, o.place, o.at, o.zone, o.bow = "Petrel", "Heron Basin", "-33.85,151.2", "Australia/Sydney", "NE"
		o.since, o.by = "2026-02-01", "2026-02-08"
	}).content()
	require.NoError(t, err)
	j, err := job.Parse("", data, nil, job.Options{})
	require.NoError(t, err)
	assert.Equal(t, "Petrel", j.Boat)
	assert.Equal(t, "Heron Basin", j.Place.Name)
	assert.InDelta(t, -33.85, j.Place.Latitude, 0)
	assert.InDelta(t, 151.2, j.Place.Longitude, 0)
	assert.Equal(t, "Australia/Sydney", j.Place.Timezone)
	assert.Equal(t, job.Date{Year: 2026, Month: 2, Day: 1}, j.From)
	assert.Equal(t, job.Date{Year: 2026, Month: 2, Day: 8}, j.By)
	for want, o := range map[string]newOptions{
		"--kind and --length are needed": with(func(o *newOptions) { o.kind = "" }),
		"--length: ":                     with(func(o *newOptions) { o.length = "twelve" }),
		"--at: ":                         with(func(o *newOptions) { o.at = "91,0" }),
		"no time zone":                   with(func(o *newOptions) { o.zone = "Sydney" }),
		"--from: ":                       with(func(o *newOptions) { o.since = "monday" }),
		"--by: ":                         with(func(o *newOptions) { o.by = "2026-02-30" }),
		"before it begins":               with(func(o *newOptions) { o.since, o.by = "2026-02-08", "2026-02-01" }),
		"no preset":                      with(func(o *newOptions) { o.kind = "canoe" }),
		"no bearing":                     with(func(o *newOptions) { o.bow = "361" }),
	} {
		_, err := o.content()
		assert.Contains(t, usage(t, err), want)
	}
}

// An existing file is left alone, even where the new one could not be made.
func TestNewKeepsFiles(t *testing.T) {
	r := newRun(t)
	file := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(file, []byte("mine"), 0o600))
	content := func() string {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		return string(data)
	}
	assert.Equal(t, 1, r.do("new", file, "--kind", "catamaran", "--length", "12m").code)
	assert.Contains(t, r.err.String(), "is there already")
	assert.Equal(t, "mine", content())
	assert.Equal(t, 2, r.do("new", file, "--kind", "canoe", "--length", "12m", "--force").code)
	assert.Equal(t, "mine", content())
	assert.Equal(t, 0, r.do("new", file, "--kind", "catamaran", "--length", "12m", "--force").code)
	assert.Contains(t, content(), "catamaran")
	assert.Equal(t, 1, r.do("new", filepath.Join(file, "x"), "--kind", "catamaran", "--length", "12m", "--force").code)
	assert.Contains(t, r.err.String(), "cannot be written")
	assert.Equal(t, 2, r.do("new", file, "second.yaml").code)
}

// Check tells every mistake, in the order of the lines.
func TestCheckMistakes(t *testing.T) {
	r := newRun(t)
	file := filepath.Join(t.TempDir(), "job.yaml")
	text := strings.Replace(string(demo.JobFile()), "latitude", "lattitude", 1)
	text = strings.Replace(text, "flybridge-cruiser", "flybrige-cruiser", 1)
	text = strings.Replace(text, "people: 2", "people: many", 1)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	r.do("check", file)
	assert.Equal(t, 1, r.code)
	assert.Empty(t, r.out.String())
	var lines []string
	for line := range strings.Lines(r.err.String()) {
		if strings.HasPrefix(line, "dewgap: "+file+":") {
			lines = append(lines, line)
		}
	}
	require.GreaterOrEqual(t, len(lines), 3, r.err.String())
	assert.Contains(t, lines[0], "lattitude")
	assert.Contains(t, lines[1], "flybrige-cruiser")
	assert.Contains(t, lines[len(lines)-1], "many")
	assert.Contains(t, r.err.String(), "fix: did you mean `latitude`?")

	var f answer.Failure
	r.do("check", file, "--json")
	require.NoError(t, json.Unmarshal(r.err.Bytes(), &f))
	assert.Len(t, f.More, len(lines)-1)

	assert.Equal(t, 2, r.do("check", file, "--timezone", "Atlantis").code)
	assert.Equal(t, 2, r.do("check", file, "--units", "nautical").code)
	assert.Equal(t, 2, r.do("check").code)
	assert.Equal(t, 1, r.do("check", file+"x").code)
}

// Local times need a zone; check takes it from the flag.
func TestCheckTimezone(t *testing.T) {
	r := newRun(t)
	file := filepath.Join(t.TempDir(), "job.yaml")
	text := strings.Replace(string(demo.JobFile()), "  timezone: America/New_York\n", "", 1)
	require.NoError(t, os.WriteFile(file, []byte(text+"must: {launch: 2026-09-14T08:00}\n"), 0o600))
	assert.Equal(t, 0, r.do("check", file, "--timezone", "America/New_York").code, r.err.String())
	assert.Equal(t, 0, r.do("check", file).code, r.err.String())
}

func TestProducts(t *testing.T) {
	r := newRun(t)
	r.do("products")
	require.Equal(t, 0, r.code)
	for _, id := range catalogueIDs() {
		assert.Contains(t, r.out.String(), id)
	}
	var p answer.Products
	r.do("products", "--json")
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &p))
	assert.Len(t, p.Products, len(catalogueIDs()))
	r.do("products", "varnish", "antifouling", "--json")
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &p))
	assert.Equal(t, "varnish", p.Products[0].ID)
	assert.Equal(t, "antifouling", p.Products[1].ID)
	r.do("products", "varnish", "antifouling")
	assert.Less(t, strings.Index(r.out.String(), "varnish"), strings.LastIndex(r.out.String(), "antifouling"))
	assert.Equal(t, 2, r.do("products", "varnish", "antifoling").code)
	assert.Contains(t, r.err.String(), "did you mean antifouling?")
	assert.Empty(t, r.out.String(), "no half answers")
}

// One's own products file: the flag outranks the settings, and a file that is
// not there is told with where its name came from.
func TestOwnProducts(t *testing.T) {
	r := newRun(t)
	dir := t.TempDir()
	write := func(name, id string) string {
		file := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(file, []byte("products:\n  - {id: "+id+", like: polymer-sealant}\n"), 0o600))
		return file
	}
	first, second := write("first.yaml", "first-sealant"), write("second.yaml", "second-sealant")
	t.Setenv("DEWGAP_PRODUCTS", first)
	assert.Equal(t, 0, r.do("products", "first-sealant").code, r.err.String())
	assert.Equal(t, 2, r.do("products", "second-sealant").code)
	assert.Equal(t, 0, r.do("products", "second-sealant", "--products", second).code)
	assert.Equal(t, 2, r.do("products", "first-sealant", "--products", second).code)
	t.Setenv("DEWGAP_PRODUCTS", filepath.Join(dir, "none.yaml"))
	assert.Equal(t, 1, r.do("products").code)
	assert.Contains(t, r.err.String(), "DEWGAP_PRODUCTS")
	assert.Equal(t, 1, r.do("products", "--products", dir).code)
	assert.Contains(t, r.err.String(), "is a folder")
}

func TestWhere(t *testing.T) {
	r := newRun(t)
	home := t.TempDir()
	t.Setenv("DEWGAP_HOME", home)
	r.do("where")
	require.Equal(t, 0, r.code)
	assert.Contains(t, r.out.String(), filepath.Join(home, "settings.yaml")+"  (not there yet)")
	require.NoError(t, os.WriteFile(filepath.Join(home, "settings.yaml"), []byte("units: us\n"), 0o600))
	r.do("where", "--json")
	var w answer.Where
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &w))
	assert.Equal(t, answer.WhereFormat, w.Format)
	assert.Equal(t, "settings", w.Kept[0].What)
	assert.True(t, w.Kept[0].Exists)
	assert.Equal(t, 2, r.do("where", "else").code)
	assert.Equal(t, 1, r.do("where", "--settings", filepath.Join(home, "none.yaml")).code)
}

func TestVersion(t *testing.T) {
	r := newRun(t)
	r.do("version")
	assert.Equal(t, 0, r.code)
	assert.Regexp(t, `^dewgap v0\.0\.0-test \(go1\.\d+.*\), catalogue [0-9a-f]{12}\n$`, r.out.String())
}

// Settings reach the screen; flags outrank them.
func TestUnits(t *testing.T) {
	r := newRun(t)
	metric := r.do("week", "--demo").out.String()
	us := r.do("week", "--demo", "--units", "us").out.String()
	assert.Contains(t, us, "°F")
	assert.NotContains(t, metric, "°F over dew point")
	t.Setenv("DEWGAP_UNITS", "us")
	assert.Equal(t, us, r.do("week", "--demo").out.String())
	assert.Equal(t, metric, r.do("week", "--demo", "--units", "metric").out.String())
	file := filepath.Join(t.TempDir(), "settings.yaml")
	require.NoError(t, os.WriteFile(file, []byte("units: metric\n"), 0o600))
	t.Setenv("DEWGAP_UNITS", "")
	assert.Equal(t, metric, r.do("week", "--demo", "--settings", file).out.String())
	require.NoError(t, os.WriteFile(file, []byte("units: furlongs\n"), 0o600))
	r.do("week", "--demo", "--settings", file)
	assert.Equal(t, 1, r.code)
	assert.Contains(t, r.err.String(), file+":1:8")
}

// The hours come only when asked for, and JSON holds them anyway.
func TestHours(t *testing.T) {
	r := newRun(t)
	short := len(r.do("week", "--demo").out.String())
	assert.Greater(t, len(r.do("week", "--demo", "--hours").out.String()), 2*short)
	assert.Equal(t, 2, r.do("morning", "--demo", "--hours").code, "a flag of the week alone")
}

func TestMorning(t *testing.T) {
	r := newRun(t)
	r.do("morning", "--demo")
	assert.Equal(t, CodeWait, r.code)
	assert.Contains(t, r.out.String(), "WAIT")
	assert.Empty(t, r.err.String(), "waiting is an answer, not an error")
	var m answer.Morning
	r.do("morning", "--demo", "--now", "2026-09-10T10:00:00-04:00", "--json")
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &m))
	assert.Equal(t, CodeDone, r.code)
	assert.Equal(t, answer.Go, m.Verdict)
	assert.NotNil(t, m.NextReading)
	assert.NotEmpty(t, m.Stop)
}

func TestWhy(t *testing.T) {
	r := newRun(t)
	why := func(args ...string) *run {
		return r.do(append([]string{"why", "--demo", "--zone", "port side", "--with", "polymer-sealant"}, args...)...)
	}
	why("--at", "2026-09-10T14:00")
	require.Equal(t, 0, r.code, r.err.String())
	head, _, _ := strings.Cut(r.out.String(), "\n")
	assert.Equal(t, "port side with polymer-sealant, Thu 10 Sep 14:00: * IDEAL", head)
	assert.Contains(t, r.out.String(), "[1] common practice")
	why("--at", "2026-09-10T14:00", "--units", "us")
	assert.Contains(t, r.out.String(), "°F")
	var w answer.Why
	why("--at", "2026-09-08T10:00", "--json")
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &w))
	assert.Equal(t, "no-go", w.State)
	assert.Equal(t, "film", w.Binding.Limit)
	assert.Equal(t, 0, r.code, "why explains; it gives no verdict")
	assert.Equal(t, 2, why("--at", "43.07,-70.74").code)
	assert.Equal(t, 2, r.do("why", "--demo", "--with", "polymer-sealant").code)
	assert.Equal(t, 2, r.do("why", "--zone", "port side", "--with", "polymer-sealant").code)
	assert.Contains(t, r.err.String(), "give --job FILE (dewgap new writes one), or --demo")
}

// The shell is offered what can be meant.
func TestCompletion(t *testing.T) {
	r := newRun(t)
	for want, args := range map[string][]string{
		"catamaran":          {"week", "--kind", ""},
		"openmeteo-ensemble": {"morning", "--source", ""},
		"metric":             {"check", "--units", ""},
		"polymer-sealant":    {"why", "--with", ""},
		"carnauba-wax":       {"products", ""},
		"morning":            {""},
	} {
		r.do(append([]string{"__complete"}, args...)...)
		assert.Contains(t, r.out.String(), want)
	}
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		assert.NotEmpty(t, r.do("completion", shell).out.String(), shell)
		assert.Equal(t, 0, r.code)
	}
}
