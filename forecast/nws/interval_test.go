package nws

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Durations by the rules of ISO 8601-1:2019, 5.5.2.
func TestParseDuration(t *testing.T) {
	for text, hours := range map[string]float64{
		"PT1H": 1, "PT12H": 12, "P1D": 24, "P2DT3H": 51, "P7DT14H": 182, "P1W": 168,
		"PT30M": 0.5, "PT1H30M": 1.5, "PT90S": 0.025, "P0DT1H": 1, "PT0H": 0, "P1WT1H": 169,
	} {
		d, ok := parseDuration(text)
		assert.True(t, ok, text)
		assert.InDelta(t, hours, d.Hours(), 1e-12, text)
	}
	for _, text := range []string{
		"", "P", "PT", "P1", "1D", "PD", "PTH", "P1H", "PT1D", "P1Y", "P1M", "PT1M1H", "PT1H1H",
		"P-1D", "PT1.5H", "P1DT", "PT1H ", "P9999999D", "PT1HT1M", "p1d", "P1D1W",
	} {
		_, ok := parseDuration(text)
		assert.False(t, ok, text)
	}
}

// What is written as days, hours and minutes is read back as the same length.
func TestDurationRoundTrip(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		d, h, m := rapid.IntRange(0, 400).Draw(r, "d"), rapid.IntRange(0, 99).Draw(r, "h"), rapid.IntRange(0, 99).Draw(r, "m")
		got, ok := parseDuration(fmt.Sprintf("P%dDT%dH%dM", d, h, m))
		want := time.Duration(d)*24*time.Hour + time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
		if !ok || got != want {
			r.Fatalf("%v instead of %v", got, want)
		}
	})
}

func TestParseInterval(t *testing.T) {
	from, to, ok := parseInterval("2022-02-03T21:00:00+00:00/P7DT14H")
	assert.True(t, ok)
	assert.Equal(t, utc("2022-02-03T21:00:00Z").Unix(), from)
	assert.Equal(t, utc("2022-02-11T11:00:00Z").Unix(), to)

	from, _, ok = parseInterval("2022-02-03T16:00:00-05:00/PT1H")
	assert.True(t, ok)
	assert.Equal(t, utc("2022-02-03T21:00:00Z").Unix(), from)

	for _, text := range []string{"", "/", "2022-02-03T21:00:00Z", "2022-02-03/PT1H", "0001-01-01T00:00:00Z/PT1H", "2022-02-03T21:00:00Z/P367D"} {
		_, _, ok := parseInterval(text)
		assert.False(t, ok, text)
	}
}
