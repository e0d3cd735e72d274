package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Chile and Cuba put their clocks forward at midnight: 24:00 of the day before is 01:00
// (IANA time zone database, rules Chile and Cuba). The day begins at one and has
// 23 hours; the day before ends there.
func TestMidnight_Skipped(t *testing.T) {
	for _, c := range []struct {
		zone   string
		year   int
		month  time.Month
		day    int
		begins string
		hours  float64
	}{
		{"America/Santiago", 2026, time.September, 6, "2026-09-06T01:00:00-03:00", 23},
		{"America/Havana", 2026, time.March, 8, "2026-03-08T01:00:00-04:00", 23},
		{"America/New_York", 2026, time.March, 8, "2026-03-08T00:00:00-05:00", 23},
		{"America/New_York", 2026, time.November, 1, "2026-11-01T00:00:00-04:00", 25},
		{"America/Santiago", 2026, time.April, 5, "2026-04-05T00:00:00-04:00", 24}, // 23:00 comes twice on the 4th
		{"UTC", 2028, time.February, 29, "2028-02-29T00:00:00Z", 24},
		{"Pacific/Kiritimati", 2027, time.January, 1, "2027-01-01T00:00:00+14:00", 24},
	} {
		loc, err := time.LoadLocation(c.zone)
		require.NoError(t, err)
		noon := time.Date(c.year, c.month, c.day, 12, 0, 0, 0, loc)
		begins := Midnight(noon)
		assert.Equal(t, c.begins, begins.Format(time.RFC3339), c.zone)
		assert.True(t, begins.Equal(Midnight(begins)), "the first moment is of the day that it begins: %s", c.zone)
		assert.Equal(t, c.begins, NextMidnight(noon.AddDate(0, 0, -1)).Format(time.RFC3339), "the day before ends there: %s", c.zone)
		assert.Equal(t, c.hours, NextMidnight(begins).Sub(begins).Hours(), c.zone)
	}
}

// Days follow one another without a gap and without an end, whatever the zone: each
// moment is in its own, and none has fewer than 22 hours or more than 26.
func TestMidnight_DaysFollowOneAnother(t *testing.T) {
	zones := []string{
		"America/Santiago", "America/Havana", "Asia/Beirut", "Africa/Cairo", "America/New_York", "Europe/London", "Australia/Lord_Howe",
		"Asia/Kathmandu", "Pacific/Pago_Pago", "UTC",
	}
	rapid.Check(t, func(rt *rapid.T) {
		loc, err := time.LoadLocation(rapid.SampledFrom(zones).Draw(rt, "zone"))
		require.NoError(rt, err)
		at := time.Date(2024, 1, 1, 0, 0, 0, 0, loc).Add(time.Duration(rapid.IntRange(0, 6*366*144).Draw(rt, "slot")) * 10 * time.Minute)
		from, to := Midnight(at), NextMidnight(at)
		require.False(rt, at.Before(from))
		require.True(rt, at.Before(to))
		require.Equal(rt, at.Format(time.DateOnly), from.Format(time.DateOnly))
		require.NotEqual(rt, at.Format(time.DateOnly), to.Format(time.DateOnly))
		require.Equal(rt, at.Format(time.DateOnly), to.Add(-time.Second).Format(time.DateOnly))
		require.True(rt, Midnight(to).Equal(to))
		require.GreaterOrEqual(rt, to.Sub(from), 22*time.Hour)
		require.LessOrEqual(rt, to.Sub(from), 26*time.Hour)
	})
}
