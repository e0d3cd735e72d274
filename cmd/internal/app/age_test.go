package app_test

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestAge(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	now := at(t, "2026-09-10T06:13:00-04:00")
	slot := at(t, "2026-09-10T06:10:00-04:00")
	midnight := at(t, "2026-09-11T00:00:00-04:00")
	for name, c := range map[string]struct {
		issued, fetched time.Duration // before now; 0: not said
		start           time.Duration // before now
		age             time.Duration
		known, stale    bool
		from, until     time.Time
		warnings        int
	}{
		"fresh":                             {issued: 40 * time.Minute, start: time.Hour, age: 40 * time.Minute, known: true},
		"at twelve hours":                   {issued: 12 * time.Hour, start: time.Hour, age: 12 * time.Hour, known: true},
		"over twelve hours":                 {issued: 12*time.Hour + time.Second, start: time.Hour, age: 12*time.Hour + time.Second, known: true, stale: true, from: slot, until: midnight},
		"at 36 hours":                       {issued: 36 * time.Hour, start: time.Hour, age: 36 * time.Hour, known: true, stale: true, from: slot, until: midnight},
		"over 36 hours":                     {issued: 37 * time.Hour, start: time.Hour, age: 37 * time.Hour, known: true, stale: true, from: slot},
		"by the time of receipt":            {fetched: 13 * time.Hour, start: time.Hour, age: 13 * time.Hour, known: true, stale: true, from: slot, until: midnight},
		"the time of issue outranks it":     {issued: 13 * time.Hour, fetched: time.Hour, start: time.Hour, age: 13 * time.Hour, known: true, stale: true, from: slot, until: midnight},
		"came while it was asked for":       {issued: -time.Minute, start: time.Hour, known: true},
		"made after now":                    {issued: -time.Hour, start: time.Hour, known: true, warnings: 1},
		"undated, of today":                 {start: 6 * time.Hour, warnings: 1},
		"undated, first hour":               {start: 0, warnings: 1},
		"undated, nearly a day":             {start: 24*time.Hour - time.Second, warnings: 1},
		"undated, a day":                    {start: 24 * time.Hour, stale: true, from: slot},
		"undated, with three days of past":  {start: 78 * time.Hour, stale: true, from: slot},
		"undated, begins after now":         {start: -time.Hour, stale: true, from: slot, warnings: 1},
		"dated, begins after now":           {issued: time.Hour, start: -time.Hour, age: time.Hour, known: true, warnings: 1},
		"dated, has ended":                  {issued: time.Hour, start: 100 * time.Hour, age: time.Hour, known: true, warnings: 1},
		"dated, ends at this very moment":   {issued: time.Hour, start: 96 * time.Hour, age: time.Hour, known: true, warnings: 1},
		"dated, ends within the next hours": {issued: time.Hour, start: 95 * time.Hour, age: time.Hour, known: true},
	} {
		t.Run(name, func(t *testing.T) {
			f := &forecast.Forecast{Start: now.Add(-c.start), Step: time.Hour, N: 96}
			if c.issued != 0 {
				f.Issued = now.Add(-c.issued)
			}
			if c.fetched != 0 {
				f.Fetched = now.Add(-c.fetched)
			}
			trust, warnings := app.Age(f, now, loc, settings.Age{})
			assert.Equal(t, c.age, trust.Age)
			assert.Equal(t, c.known, trust.AgeKnown)
			assert.Equal(t, c.stale, trust.Stale)
			assert.True(t, c.from.Equal(trust.From), "from %v", trust.From)
			assert.True(t, c.until.Equal(trust.Until), "until %v", trust.Until)
			assert.Equal(t, c.stale, trust.Why != "", "what is not judged has a cause")
			assert.Len(t, warnings, c.warnings, "%v", warnings)
			undated := c.issued == 0 && c.fetched == 0
			all := strings.Join(append(warnings, trust.Why), "\n")
			assert.Equal(t, undated, strings.Contains(all, "--fetched"), "the flag is named where it helps: %s", all)
		})
	}
}

// On the day that has 25 hours, today ends at its own midnight.
func TestAgeOnALongDay(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	now := at(t, "2026-11-01T00:30:00-04:00")
	f := &forecast.Forecast{Start: now, Step: time.Hour, N: 96, Issued: now.Add(-13 * time.Hour)}
	trust, _ := app.Age(f, now, loc, settings.Age{})
	assert.True(t, at(t, "2026-11-02T00:00:00-05:00").Equal(trust.Until))
}

// An older forecast is never trusted more.
func TestOlderIsNeverTrustedMore(t *testing.T) {
	now := at(t, "2026-09-10T06:13:00-04:00")
	rapid.Check(t, func(rt *rapid.T) {
		young := time.Duration(rapid.Int64Range(0, int64(60*time.Hour)).Draw(rt, "young"))
		old := young + time.Duration(rapid.Int64Range(0, int64(60*time.Hour)).Draw(rt, "more"))
		moment := now.Add(time.Duration(rapid.Int64Range(0, int64(96*time.Hour)).Draw(rt, "at")))
		f := &forecast.Forecast{Start: now.Add(-time.Hour), Step: time.Hour, N: 96}
		f.Issued = now.Add(-young)
		a, _ := app.Age(f, now, time.UTC, settings.Age{})
		f.Issued = now.Add(-old)
		b, _ := app.Age(f, now, time.UTC, settings.Age{})
		if a.Distrusts(moment) {
			assert.True(rt, b.Distrusts(moment), "%v old, then %v", young, old)
		}
	})
}

// The person's own limits hold in place of the usual ones, and are named.
func TestAgeByTheSettings(t *testing.T) {
	now := at(t, "2026-09-10T06:13:00-04:00")
	f := &forecast.Forecast{Start: now.Add(-time.Hour), Step: time.Hour, N: 96}
	for name, c := range map[string]struct {
		limits settings.Age
		age    time.Duration
		stale  bool
		all    bool
		why    string
	}{
		"stricter, of today":  {settings.Age{Today: 3 * time.Hour, Later: 20 * time.Hour}, 4 * time.Hour, true, false, "more than 3 h: today"},
		"stricter, of all":    {settings.Age{Today: 3 * time.Hour, Later: 20 * time.Hour}, 21 * time.Hour, true, true, "more than 20 h: nothing"},
		"laxer, of today":     {settings.Age{Today: 30 * time.Hour, Later: 90 * time.Hour}, 30 * time.Hour, false, false, ""},
		"laxer, of all":       {settings.Age{Today: 30 * time.Hour, Later: 90 * time.Hour}, 89 * time.Hour, true, false, "more than 30 h: today"},
		"no whole hour":       {settings.Age{Today: 90 * time.Minute}, 2 * time.Hour, true, false, "more than 1 h 30 min: today"},
		"as usual, of today":  {settings.Age{}, 13 * time.Hour, true, false, "more than 12 h: today"},
		"as usual, of all":    {settings.Age{}, 37 * time.Hour, true, true, "more than 36 h: nothing"},
		"one of the two only": {settings.Age{Later: 48 * time.Hour}, 47 * time.Hour, true, false, "more than 12 h: today"},
	} {
		f.Issued = now.Add(-c.age)
		trust, _ := app.Age(f, now, time.UTC, c.limits)
		assert.Equal(t, c.stale, trust.Stale, name)
		assert.Equal(t, c.all, trust.Stale && trust.Until.IsZero(), name)
		assert.Contains(t, trust.Why, c.why, name)
	}
}
