package job

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func rainAt(text string) string { return jobWith("since: {rain: " + text + "}") }

func TestMoment_Forms(t *testing.T) {
	for text, want := range map[string]time.Time{
		"2026-09-06T10:30":          utc(2026, 9, 6, 14, 30),
		"2026-09-06 10:30":          utc(2026, 9, 6, 14, 30),
		"2026-09-06T9:05":           utc(2026, 9, 6, 13, 5),
		"2026-09-06T10:30:00":       utc(2026, 9, 6, 14, 30),
		"2026-09-06T10:30Z":         utc(2026, 9, 6, 10, 30),
		"2026-09-06T10:30+02:00":    utc(2026, 9, 6, 8, 30),
		"2026-09-06T10:30-0330":     utc(2026, 9, 6, 14, 0),
		"2026-09-06 10:30 -04:00":   utc(2026, 9, 6, 14, 30),
		"2026-01-06T10:30":          utc(2026, 1, 6, 15, 30),
		"\"2026-09-06T10:30\"":      utc(2026, 9, 6, 14, 30),
		"2026-03-08T01:59":          utc(2026, 3, 8, 6, 59), // last minute of winter time
		"2026-03-08T03:00":          utc(2026, 3, 8, 7, 0),  // first of summer time
		"2026-11-01T00:59":          utc(2026, 11, 1, 4, 59),
		"2026-11-01T01:30":          utc(2026, 11, 1, 6, 30), // the later of the two
		"2026-11-01T01:30:00-04:00": utc(2026, 11, 1, 5, 30), // the earlier, by its offset
		"2026-11-01T02:00":          utc(2026, 11, 1, 7, 0),
	} {
		assert.Equal(t, want, parse(t, rainAt(text)).Since.Rain, text)
	}
}

// London has 23 hours on 2026-03-29 and 25 on 2026-10-25 (tz database).
func TestOnClock_London(t *testing.T) {
	loc := location(t, "Europe/London")
	assert.Empty(t, onClock(utc(2026, 3, 29, 1, 30), loc))
	assert.Equal(t, []time.Time{utc(2026, 10, 25, 0, 30), utc(2026, 10, 25, 1, 30)}, onClock(utc(2026, 10, 25, 1, 30), loc))
	assert.Equal(t, []time.Time{utc(2026, 7, 1, 11, 0)}, onClock(utc(2026, 7, 1, 12, 0), loc))
	begins := Date{2026, 3, 29}.Begins(loc)
	assert.Equal(t, 23*time.Hour, Date{2026, 3, 30}.Begins(loc).Sub(begins))
	assert.Equal(t, 25*time.Hour, Date{2026, 10, 26}.Begins(loc).Sub(Date{2026, 10, 25}.Begins(loc)))
}

// Where the clock changes at midnight a day begins after it, or at the first
// of two: Santiago skips 00:00 on 2026-09-06, Havana repeats it on 2026-11-01;
// Lord Howe changes by half an hour; Apia skipped the whole of 2011-12-30.
func TestDate_BeginsOnOddDays(t *testing.T) {
	for _, c := range []struct {
		zone string
		day  Date
		want time.Time
	}{
		{"America/Santiago", Date{2026, 9, 6}, utc(2026, 9, 6, 4, 0)},
		{"America/Havana", Date{2026, 11, 1}, utc(2026, 11, 1, 4, 0)},
		{"Australia/Lord_Howe", Date{2026, 10, 4}, utc(2026, 10, 3, 13, 30)},
		{"Pacific/Apia", Date{2011, 12, 29}, utc(2011, 12, 29, 10, 0)},
		{"Pacific/Apia", Date{2011, 12, 31}, utc(2011, 12, 30, 10, 0)},
		{"Asia/Kolkata", Date{2026, 9, 6}, utc(2026, 9, 5, 18, 30)},
	} {
		assert.Equal(t, c.want, c.day.Begins(location(t, c.zone)), "%s %s", c.zone, c.day)
	}
}

var zones = []string{"America/New_York", "Europe/London", "Australia/Lord_Howe", "Asia/Kathmandu", "America/St_Johns",
	"Pacific/Auckland", "Africa/Casablanca", "UTC", "America/Santiago", "Pacific/Chatham"}

// Whatever moment it is, the clock's own fields lead back to it.
func TestOnClock_FindsEveryMoment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loc := location(t, rapid.SampledFrom(zones).Draw(t, "zone"))
		moment := time.Unix(rapid.Int64Range(946684800, 4102444800).Draw(t, "unix"), 0).UTC()
		local := moment.In(loc)
		wall := time.Date(local.Year(), local.Month(), local.Day(), local.Hour(), local.Minute(), local.Second(), 0, time.UTC)
		found := onClock(wall, loc)
		assert.Contains(t, found, moment)
		assert.LessOrEqual(t, len(found), 2)
		for i := 1; i < len(found); i++ {
			assert.True(t, found[i-1].Before(found[i]))
		}
	})
}

func TestDate_BeginsIsTheFirstMomentOfItsDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loc := location(t, rapid.SampledFrom(zones).Draw(t, "zone"))
		d := DateOf(time.Unix(rapid.Int64Range(1262304000, 4102444800).Draw(t, "unix"), 0).UTC())
		b := d.Begins(loc)
		assert.Equal(t, d, DateOf(b.In(loc)))
		assert.NotEqual(t, d, DateOf(b.Add(-time.Second).In(loc)))
	})
}

func TestDate_Order(t *testing.T) {
	a, b := Date{2026, 9, 30}, Date{2026, 10, 1}
	assert.Equal(t, b, a.Next())
	assert.Equal(t, Date{2027, 1, 1}, Date{2026, 12, 31}.Next())
	assert.True(t, a.Before(b))
	assert.False(t, b.Before(a))
	assert.False(t, a.Before(a))
	assert.True(t, Date{2025, 12, 31}.Before(a))
	assert.True(t, Date{2026, 9, 29}.Before(a))
	assert.Equal(t, "2026-09-30", a.String())
	assert.True(t, Date{}.IsZero())
}

func TestParseDate(t *testing.T) {
	d, err := ParseDate("2028-02-29")
	require.NoError(t, err)
	assert.Equal(t, Date{2028, 2, 29}, d)
	for _, bad := range []string{"", "2026-2-3", "2026-02-29", "2026-09-07T10:00", "1999-12-31", "2101-01-01", "today"} {
		_, err := ParseDate(bad)
		assert.Error(t, err, bad)
	}
}

// A day given for an end is included, one for a beginning starts at midnight.
func TestMoment_Days(t *testing.T) {
	j := parse(t, jobWith("covers: [{zones: port side, kind: sheet, from: 2026-09-08, to: 2026-09-08}]"))
	assert.Equal(t, utc(2026, 9, 8, 4, 0), j.Covers[0].From)
	assert.Equal(t, utc(2026, 9, 9, 4, 0), j.Covers[0].To)
}
