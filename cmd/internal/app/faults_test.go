package app_test

import (
	"context"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast/fetch"
	"dewgap/forecast/fetch/fetchtest"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sealing is a small job: one side to seal, in the shade until noon, dry for
// days.
const sealing = `job: Seal the port side
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: Kittiwake, bow: 20}
zones:
  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 18, done: {wash: DAYT08:00}}
steps:
  - {do: seal, with: polymer-sealant}
since: {rain: DAYT08:00, spray: no}
hours: "07:00-18:00"
`

// commands asks week and morning as the command line does, of one service that
// is about to fail.
type commands struct {
	t     *testing.T
	fault fetchtest.Fault
	*fetchtest.Server
	now     time.Time
	classes *products.Set
	cache   string
}

func newCommands(t *testing.T, f fetchtest.Fault, classes *products.Set) *commands {
	// 07:00 at the quay, on a day on which work can begin at once.
	c := &commands{t: t, fault: f, now: time.Date(2026, 9, 7, 11, 0, 0, 0, time.UTC), classes: classes, cache: t.TempDir()}
	if !f.Now.IsZero() {
		c.now = f.Now
	}
	c.Server = fetchtest.Serve(f.Good(c.weather()))
	t.Cleanup(func() { c.CloseClientConnections(); c.Close() })
	return c
}

func (c *commands) weather() fetchtest.Weather { return fetchtest.OtterQuay(c.now) }

// reply is both answers, or the error.
type reply struct {
	week    *answer.Week
	morning *answer.Morning
	err     error
	took    time.Duration // the longer of the two
}

const (
	shortTimeout = 150 * time.Millisecond
	longTimeout  = 30 * time.Second
)

func (c *commands) ask() reply { return c.askWithin(longTimeout) }

func (c *commands) askWithin(timeout time.Duration) (r reply) {
	s := &settings.Settings{
		Contact: "harbour@otter-quay.example", Source: "openmeteo", Timeout: timeout, Tries: 2, Cache: c.cache,
		OpenMeteo: settings.OpenMeteo{URL: c.URL}, MetNorway: settings.Host{URL: c.URL}, NWS: settings.Host{URL: c.URL},
	}
	if c.fault.MetNorway {
		s.Source = "metnorway"
	}
	a := &app.App{
		Clock: app.At(c.now), Classes: c.classes, Skies: &skies,
		Source: app.Live{Settings: s, Version: "test", Wall: func() time.Time { return c.now }, Adjust: func(cfg *fetch.Config) {
			cfg.Wait, cfg.PerSecond, cfg.Limit = time.Millisecond, 1e6, 4<<20
		}},
	}
	text := []byte(strings.ReplaceAll(sealing, "DAY", c.now.AddDate(0, 0, -3).Format(time.DateOnly)))
	request := app.Request{Job: func(zone string) (*job.Job, error) {
		return job.Parse("job.yaml", text, c.classes, job.Options{Timezone: zone})
	}}
	start := time.Now()
	if r.week, r.err = a.Week(context.Background(), request); r.err != nil {
		r.took = time.Since(start)
		return r
	}
	r.took = time.Since(start)
	start = time.Now()
	r.morning, r.err = a.Morning(context.Background(), request)
	r.took = max(r.took, time.Since(start))
	return r
}

// saved are the replies in the cache by their files.
func (c *commands) saved() map[string]string {
	files, err := filepath.Glob(filepath.Join(c.cache, "*.reply"))
	require.NoError(c.t, err)
	out := map[string]string{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(c.t, err)
		out[f] = string(data)
	}
	return out
}

// judgedOnly wants every window to lie in hours whose weather is known and young
// enough: nothing is go on missing or too old data.
func (c *commands) judgedOnly(w *answer.Week) {
	require.Len(c.t, w.Zones, 1)
	known := map[int64]bool{}
	for _, h := range w.Zones[0].Hours {
		known[h.At.Unix()] = h.AirC != nil && h.DewPointC != nil && h.HumidityPct != nil && h.WindMS != nil && h.RainMM != nil && h.SurfaceC != nil
	}
	for _, x := range w.Windows {
		for at := x.From.Truncate(time.Hour); at.Before(x.To); at = at.Add(time.Hour) {
			assert.True(c.t, known[at.Unix()], "%s at %v, of which nothing is known", x.State, at)
		}
		if w.Source.Stale {
			assert.NotEqual(c.t, w.Now.Format(time.DateOnly), x.From.Format(time.DateOnly), "%s today, by what is too old", x.State)
		}
	}
}

// TestFaultsEndToEnd asks week and morning under every fault: without a copy, with
// a young one, with one too old for today, and with one too old for anything. In
// none does a command say go on missing or old data, hang, panic, or lose the
// good copy.
func TestFaultsEndToEnd(t *testing.T) {
	classes, err := products.Catalogue()
	require.NoError(t, err)
	for _, f := range fetchtest.Faults() {
		t.Run(f.Name, func(t *testing.T) {
			t.Parallel()
			c := newCommands(t, f, classes)
			good := c.ask()
			require.NoError(t, good.err)
			require.Equal(t, answer.Go, good.week.Verdict, "%v", good.week.Warnings)
			require.Equal(t, answer.Go, good.morning.Verdict)
			c.judgedOnly(good.week)
			c.underCopies(good)
			newCommands(t, f, classes).withoutCopy()
		})
	}
}

// broken asks while the service fails, and holds the time.
func (c *commands) broken() reply {
	if !c.fault.Closed {
		c.Break(c.fault, c.fault.Good(c.weather()))
	}
	timeout, limit := longTimeout, longTimeout
	if c.fault.Slow { // the good replies before and after may take their time on a slow machine
		timeout = shortTimeout
		limit = timeout + 10*time.Second // of which the judging takes some
	}
	r := c.askWithin(timeout)
	assert.Less(c.t, r.took, limit, "no longer than its timeout")
	return r
}

func (c *commands) withoutCopy() {
	if c.fault.Closed {
		c.Break(c.fault, nil)
	}
	r := c.broken()
	switch c.fault.Outcome {
	case fetchtest.Fails:
		p, ok := errors.AsType[*app.Problem](r.err)
		require.True(c.t, ok, "%v", r.err)
		assert.Contains(c.t, p.Fix, "--forecast FILE")
		assert.Empty(c.t, c.saved())
		return
	case fetchtest.Passes:
		require.NoError(c.t, r.err)
		assert.Equal(c.t, answer.Go, r.week.Verdict, "%v", r.week.Warnings)
	case fetchtest.Old:
		require.NoError(c.t, r.err)
		assert.True(c.t, r.week.Source.Stale)
		assert.Equal(c.t, answer.Unknown, r.morning.Verdict)
	case fetchtest.Holed:
		require.NoError(c.t, r.err)
		if c.fault.Name == "missing column" {
			assert.Equal(c.t, answer.Unknown, r.week.Verdict)
			assert.Equal(c.t, answer.Unknown, r.morning.Verdict)
		}
	}
	c.judgedOnly(r.week)
}

// underCopies lets the fault begin, and the copy grow old.
func (c *commands) underCopies(good reply) {
	copies, start := c.saved(), c.now
	require.Len(c.t, copies, 1)
	if c.fault.Closed {
		c.Break(c.fault, nil)
	}
	for _, age := range []time.Duration{2 * time.Hour, 24 * time.Hour, 48 * time.Hour, 9 * 24 * time.Hour} {
		c.now = start.Add(age)
		r := c.broken()
		require.NoError(c.t, r.err, "after %v", age)
		c.judgedOnly(r.week)
		if c.fault.Outcome != fetchtest.Fails { // the copy is renewed: there is no more to see
			break
		}
		assert.Equal(c.t, copies, c.saved(), "the good copy stays as it was")
		require.NotNil(c.t, r.week.Source.AgeS, "its age is shown")
		assert.Equal(c.t, int64(age/time.Second), *r.week.Source.AgeS)
		assert.Contains(c.t, strings.Join(r.week.Warnings, "\n"), "a copy received ")
		assert.Contains(c.t, strings.Join(r.morning.Warnings, "\n"), "a copy received ")
		switch {
		case age <= 12*time.Hour:
			assert.Equal(c.t, good.week.Verdict, r.week.Verdict)
			assert.False(c.t, r.week.Source.Stale)
		case age <= 36*time.Hour:
			assert.True(c.t, r.week.Source.Stale)
			assert.Equal(c.t, answer.Unknown, r.morning.Verdict, "today is too old")
		default:
			assert.Equal(c.t, answer.Unknown, r.week.Verdict)
			assert.Equal(c.t, answer.Unknown, r.morning.Verdict)
			assert.Empty(c.t, r.week.Windows)
		}
	}
	c.renewed(start, maps.Clone(copies))
}

// renewed wants the copy replaced once the trouble is over.
func (c *commands) renewed(start time.Time, copies map[string]string) {
	if c.fault.Closed || c.fault.Outcome != fetchtest.Fails {
		return
	}
	c.now = start.Add(11 * 24 * time.Hour)
	c.Mend(c.fault.Good(c.weather()))
	r := c.ask()
	require.NoError(c.t, r.err)
	assert.Equal(c.t, answer.Go, r.week.Verdict)
	assert.Equal(c.t, int64(0), *r.week.Source.AgeS)
	assert.NotEqual(c.t, copies, c.saved())
}
