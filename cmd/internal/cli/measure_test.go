package cli

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The units are exact by definition: a knot is 1852 m an hour, a mile 1609.344 m.
func TestMeasured(t *testing.T) {
	for _, c := range []struct {
		text  string
		units map[string]func(float64) float64
		want  float64
	}{
		{"15.0C", celsius, 15}, {"59F", celsius, 15}, {"-40 °f", celsius, -40}, {"91", percent, 91}, {"91%", percent, 91},
		{"2", wind, 2}, {"2 m/s", wind, 2}, {"3.6km/h", wind, 1}, {"10kn", wind, 5.144}, {"10mph", wind, 4.47}, {"38 min", minutes, 38},
	} {
		got, err := measured("x", c.text, "15.0C", c.units)
		require.NoError(t, err, c.text)
		assert.Equal(t, job.Measured{V: c.want, Known: true}, got, c.text)
	}
	got, err := measured("x", "", "15.0C", celsius)
	require.NoError(t, err)
	assert.False(t, got.Known)
	for _, bad := range []string{"15", "C", "15K", "1.5.2C", "NaNC", "1e3C", "15C 16C", "--5C"} {
		_, err := measured("x", bad, "15.0C", celsius)
		u, ok := errors.AsType[*usageError](err)
		require.True(t, ok, bad)
		assert.Contains(t, u.fix, "15.0C")
	}
}

func FuzzMeasured(f *testing.F) {
	f.Add("15.0C")
	f.Add("10 kn")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := measured("x", text, "2", wind)
		if err == nil && text != "" && (!got.Known || got.V != got.V) {
			t.Errorf("%q is %v", text, got)
		}
	})
}

func TestShareOf(t *testing.T) {
	for text, want := range map[string]float64{"1": 1, "0.5": 0.5, "50%": 0.5, "100 %": 1, "1/3": 1.0 / 3, "2 / 3": 2.0 / 3, "3/3": 1} {
		got, err := shareOf(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 0, text)
	}
	for _, bad := range []string{"0", "-1", "1.1", "101%", "half", "NaN", "", "%", "4/3", "0/3", "1/0", "1/-3", "/3", "1/", "1%/2", "1/3%", "1/3/3"} {
		_, err := shareOf(bad)
		assert.Error(t, err, bad)
	}
}

func TestMomentAt(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	now := time.Date(2026, 9, 10, 23, 30, 0, 0, loc).UTC() // the next day in UTC
	for text, want := range map[string]string{
		"": "2026-09-10T23:30:00-04:00", "09:00": "2026-09-10T09:00:00-04:00", "2026-09-08T07:15": "2026-09-08T07:15:00-04:00",
		"2026-09-08T07:15Z": "2026-09-08T03:15:00-04:00", "2026-09-08T07:15:30+02:00": "2026-09-08T01:15:30-04:00",
	} {
		got, err := momentAt("at", text, now, loc)
		require.NoError(t, err, text)
		assert.Equal(t, want, got.In(loc).Format(time.RFC3339), text)
	}
	_, err = momentAt("from", "noon", now, loc)
	assert.ErrorContains(t, err, "--from")
}

// A job without a zone can be recorded for where no moment needs the zone.
func TestZoned(t *testing.T) {
	read := func(string) (*job.Job, error) { return &job.Job{}, nil }
	for _, ok := range [][]string{nil, {""}, {"2026-09-08T07:15Z", "2026-09-08T07:15:00-04:00"}} {
		_, err := zoned(read, ok...)("")
		assert.NoError(t, err, "%v", ok)
	}
	for _, bad := range [][]string{{"09:00"}, {"", "2026-09-08T07:15"}} {
		_, err := zoned(read, bad...)("")
		assert.ErrorContains(t, err, "no time zone", "%v", bad)
	}
	broken := errors.New("broken")
	_, err := zoned(func(string) (*job.Job, error) { return nil, broken })("")
	assert.ErrorIs(t, err, broken)
}

func TestUnplaced(t *testing.T) {
	err := unplaced(job.Errors{{File: "f", Line: 1, Column: 5, Message: "a", Fix: "b"}})
	assert.Equal(t, "a: b", err.Error())
	other := errors.New("other")
	assert.Equal(t, other, unplaced(other))
}

// A line is added behind what is there, on a line of its own, and a file that
// would be broken by it stays as it is.
func TestAppendReading(t *testing.T) {
	file := filepath.Join(t.TempDir(), "readings.yaml")
	j := &job.Job{}
	const line = "- {at: 2026-09-10T06:10Z, air_c: 12}"
	require.NoError(t, appendReading(file, line, j, catalogue(t)))
	require.NoError(t, appendReading(file, line, j, catalogue(t)))
	data, err := app.ReadFile(file, largestJob)
	require.NoError(t, err)
	assert.Equal(t, line+"\n"+line+"\n", string(data))
	assert.Error(t, appendReading(file, "  nonsense: [", j, catalogue(t)))
	after, err := app.ReadFile(file, largestJob)
	require.NoError(t, err)
	assert.Equal(t, data, after)
}
