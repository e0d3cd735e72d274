package job

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSchedule_Zero(t *testing.T) {
	assert.True(t, Schedule{}.Open(utc(2026, 9, 7, 3, 0)))
}

func TestSchedule_NarrowerOutranksWider(t *testing.T) {
	j := parse(t, jobWith(`hours: {default: "07:00-18:00", sat: "08:00-12:00", sun: none, 2026-09-12: "10:00-11:00", 2026-09-10: none}`))
	loc := j.Location()
	for _, c := range []struct {
		day, hour, minute int
		open              bool
	}{
		{7, 6, 59, false}, {7, 7, 0, true}, {7, 17, 59, true}, {7, 18, 0, false}, // Monday
		{10, 9, 0, false},                  // the date says none
		{5, 8, 0, true}, {5, 12, 0, false}, // a Saturday
		{12, 8, 30, false}, {12, 10, 30, true}, // a Saturday with hours of its own
		{6, 9, 0, false}, // Sunday
	} {
		at := time.Date(2026, 9, c.day, c.hour, c.minute, 0, 0, loc)
		assert.Equal(t, c.open, j.Hours.Open(at), "%v", at)
		assert.Equal(t, c.open, j.CrewHours(at.UTC()), "%v in UTC", at)
	}
}

func TestSchedule_Forms(t *testing.T) {
	for text, want := range map[string][]ClockSpan{
		`"07:00-18:00"`:                  {{420, 1080}},
		`07:00-18:00`:                    {{420, 1080}},
		`"7:00 – 18:00"`:                 {{420, 1080}},
		`"07:00-12:00, 13:00-18:00"`:     {{420, 720}, {780, 1080}},
		`["07:00-12:00", "13:00-18:00"]`: {{420, 720}, {780, 1080}},
		`"22:00-24:00"`:                  {{1320, 1440}},
		`none`:                           nil,
	} {
		j := parse(t, jobWith("hours: "+text))
		assert.True(t, j.Hours.Set, text)
		assert.Equal(t, want, j.Hours.Default, text)
	}
	assert.False(t, parse(t, jobWith("hours: none")).CrewHours(utc(2026, 9, 7, 16, 0)))
}

func TestSchedule_WithoutDefaultIsOpenAndSaysSo(t *testing.T) {
	j := parse(t, jobWith("hours: {sun: none}"))
	require.Len(t, j.Warnings, 1)
	assert.Contains(t, j.Warnings[0], "job.yaml:7:8: `hours` has no default")
	assert.True(t, j.CrewHours(utc(2026, 9, 7, 7, 0)))
	assert.False(t, j.CrewHours(utc(2026, 9, 7, 3, 0)), "23:00 on Sunday, there")
}

func TestQuietDays(t *testing.T) {
	with := "place: {latitude: 43.07, longitude: -70.74, timezone: America/New_York, quiet: [sun, 2026-09-08]"
	sunday, monday, tuesday := utc(2026, 9, 6, 15, 0), utc(2026, 9, 7, 15, 0), utc(2026, 9, 8, 15, 0)
	j := parse(t, jobWith(with+"}"))
	assert.False(t, j.MachineHours(sunday))
	assert.True(t, j.MachineHours(monday))
	assert.False(t, j.MachineHours(tuesday))
	j = parse(t, jobWith(with+`, machines: "08:00-10:00"}`))
	assert.False(t, j.MachineHours(monday), "11:00 is past the machine hours")
	assert.True(t, j.MachineHours(utc(2026, 9, 7, 13, 0)))
	assert.False(t, j.MachineHours(utc(2026, 9, 6, 13, 0)))
}

func TestParseWeekday(t *testing.T) {
	for text, want := range map[string]time.Weekday{"mon": time.Monday, "Sunday": time.Sunday, "SAT": time.Saturday} {
		w, ok := parseWeekday(text)
		assert.True(t, ok)
		assert.Equal(t, want, w)
	}
	for _, text := range []string{"", "mo", "default", "mondays"} {
		_, ok := parseWeekday(text)
		assert.False(t, ok, text)
	}
}
