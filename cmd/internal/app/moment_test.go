package app_test

import (
	"errors"
	"testing"
	"time"

	"dewgap/cmd/internal/app"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A moment is that of the place's clock, wherever the computer stands: the later of
// two where the clock is put back, none where it is put forward, as in a job file.
func TestReadMoment(t *testing.T) {
	const utc = "2006-01-02T15:04:05Z"
	for _, c := range []struct{ zone, now, text, want string }{
		{"America/New_York", "2026-09-10T01:30:00Z", "", "2026-09-10T01:30:00Z"},
		{"America/New_York", "2026-09-10T01:30:00Z", "09:00", "2026-09-09T13:00:00Z"}, // still the ninth there
		{"America/New_York", "2026-09-10T01:30:00Z", "2026-09-10T09:00", "2026-09-10T13:00:00Z"},
		{"America/New_York", "2026-09-10T01:30:00Z", "2026-09-10 09:00", "2026-09-10T13:00:00Z"},
		{"America/New_York", "2026-09-10T01:30:00Z", "2026-09-10T09:00:30", "2026-09-10T13:00:30Z"},
		{"America/New_York", "2026-09-10T01:30:00Z", "2026-09-10T09:00+02:00", "2026-09-10T07:00:00Z"},
		{"America/New_York", "2026-09-10T01:30:00Z", "2026-09-10T09:00:00Z", "2026-09-10T09:00:00Z"},
		{"America/New_York", "2026-11-01T17:00:00Z", "01:30", "2026-11-01T06:30:00Z"}, // EST, not EDT
		{"America/New_York", "2026-11-01T17:00:00Z", "2026-11-01T01:30", "2026-11-01T06:30:00Z"},
		{"America/New_York", "2026-11-01T17:00:00Z", "2026-11-01T01:30-04:00", "2026-11-01T05:30:00Z"},
		{"America/New_York", "2026-11-01T17:00:00Z", "02:00", "2026-11-01T07:00:00Z"},
		{"Europe/London", "2026-10-25T12:00:00Z", "01:30", "2026-10-25T01:30:00Z"},
		{"Australia/Lord_Howe", "2026-04-05T02:00:00Z", "01:45", "2026-04-04T15:15:00Z"}, // put back by half an hour
		{"Pacific/Kiritimati", "2026-12-31T11:00:00Z", "09:00", "2026-12-31T19:00:00Z"},  // New Year's Day there
		{"Pacific/Pago_Pago", "2027-01-01T08:00:00Z", "09:00", "2026-12-31T20:00:00Z"},
		{"Asia/Kathmandu", "2026-09-10T00:00:00Z", "05:45", "2026-09-10T00:00:00Z"},
	} {
		loc, err := time.LoadLocation(c.zone)
		require.NoError(t, err)
		now, err := time.Parse(time.RFC3339, c.now)
		require.NoError(t, err)
		got, err := app.ReadMoment(c.text, now, loc)
		require.NoError(t, err, "%+v", c)
		assert.Equal(t, c.want, got.UTC().Format(utc), "%+v", c)
	}
}

func TestReadMomentRefuses(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	spring, err := time.Parse(time.RFC3339, "2026-03-08T17:00:00Z")
	require.NoError(t, err)
	for text, says := range map[string]string{
		"02:30":                     "does not exist: the clock in America/New_York skips it",
		"2026-03-08T02:00":          "does not exist",
		"2026-03-08T02:59:59":       "does not exist",
		"noon":                      "is no moment",
		"9":                         "is no moment",
		"24:00":                     "is no moment",
		"2026-02-29T09:00":          "is no moment",
		"2026-09-10":                "is no moment",
		"1899-12-31T09:00":          "is out of range",
		"2200-01-01T09:00:00Z":      "is out of range",
		"0001-01-01T00:00:00Z":      "is out of range",
		"2026-09-10T09:00:00+99:00": "is no moment",
	} {
		_, err := app.ReadMoment(text, spring, loc)
		p, ok := errors.AsType[*app.Problem](err)
		if assert.True(t, ok, text) {
			assert.Contains(t, p.Text, says, text)
			assert.Contains(t, p.Text, text)
			assert.NotEmpty(t, p.Fix)
		}
	}
	for _, text := range []string{"01:59", "03:00", "1900-01-01T00:00", "2199-12-31T23:59:59Z"} {
		_, err := app.ReadMoment(text, spring, loc)
		assert.NoError(t, err, text)
	}
}

// Every minute that a clock shows is read back as a moment at which it shows it, and
// no later one shows the same.
func TestReadMomentTurnsBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		loc, err := time.LoadLocation(rapid.SampledFrom([]string{"America/New_York", "Europe/London", "Australia/Lord_Howe", "Pacific/Apia", "Asia/Kathmandu", "UTC"}).Draw(rt, "zone"))
		require.NoError(rt, err)
		at := time.Unix(60*rapid.Int64Range(28e6, 31e6).Draw(rt, "minute"), 0).In(loc)
		text := at.Format("2006-01-02T15:04")
		got, err := app.ReadMoment(text, at, loc)
		require.NoError(rt, err)
		require.Equal(rt, text, got.Format("2006-01-02T15:04"))
		require.False(rt, got.Before(at))
		require.LessOrEqual(rt, got.Sub(at), time.Hour)
		full, err := app.ReadMoment(at.Format("2006-01-02T15:04Z07:00"), at, loc)
		require.NoError(rt, err)
		require.True(rt, full.Equal(at), "an offset says which of the two")
	})
}
