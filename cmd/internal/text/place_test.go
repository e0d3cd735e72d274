package text

import (
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func placeText(t *testing.T, a *answer.Learned, o Options) string {
	var b strings.Builder
	require.NoError(t, Place(&b, a, o))
	for _, l := range strings.Split(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(l), 80, l)
	}
	return b.String()
}

// place is something learned of everything, from 25 readings.
func place() *answer.Learned {
	at := time.Date(2026, 9, 2, 5, 0, 0, 0, time.UTC)
	a := &answer.Learned{
		Boat: "Kittiwake", Place: answer.Place{Name: "Otter Quay"}, Now: at.AddDate(0, 0, 9),
		Rules: answer.LearnedRules{Enough: 5, HalfLifeDays: 30, FromHours: 36, LeadWholeH: 6, LeadGoneH: 96, EnoughCases: 20, LeastCases: 10},
		Biases: []answer.LearnedBias{
			{Variable: "air temperature", Regime: "clear night", Unit: "K", Mean: 2, Weight: 0.5, Used: 1, Readings: 7, From: at, To: at.AddDate(0, 0, 6)},
			{Variable: "wind", Regime: "clear day", Mean: 0.49, Weight: 0.5, Used: 0.7, Readings: 1, Stations: 12, From: at, To: at},
		},
		Zones: []answer.LearnedZone{{
			Zone: "port side", Absorptance: answer.LearnedValue{Table: 0.35, Fitted: 0.47, Weight: 0.58, Used: 0.42, Readings: 7},
			Sky:     answer.LearnedValue{Table: 1, Fitted: 1, Used: 1, Readings: 2},
			Surface: []answer.LearnedBias{{Regime: "clear day", Unit: "K", Mean: -1, Weight: 0.5, Used: -0.5, Readings: 5, From: at, To: at}},
		}},
		Spreads: []answer.LearnedSpread{
			{Variable: "air temperature", Cases: 15, Missing: 5, SaidK: 2, FoundK: 2.8, Weight: 0.75, Factor: 1.3},
			{Variable: "dew point", Cases: 1, Missing: 19, Factor: 1},
		},
		Rain:     "rain is not calibrated",
		Stations: []answer.LearnedStation{{Text: "KOTQ, 7 km off, 9 m above the place: 30 observations"}},
		Lines:    []string{"the forecast's air temperature is taken 1.0 K warmer here on clear nights: 7 readings"},
		Changes:  []answer.LearnedShift{{Step: "seal", Zone: "port side", Text: "1.5 h better than without what was learned"}},
	}
	for i := range 25 {
		a.Readings = append(a.Readings, answer.LearnedFrom{At: at.Add(time.Duration(i) * time.Hour), Text: fmt.Sprintf("air %d.0 °C", i), Age: 0.9})
	}
	return a
}

func TestPlace(t *testing.T) {
	got := placeText(t, place(), Options{})
	for _, want := range []string{
		"Kittiwake at Otter Quay, Fri 11 Sep 05:00",
		"The forecast's air temperature is taken 1.0 °C warmer here on clear nights: 7",
		"air temperature, clear nights: +2.0 °C on average, 50 % of it believed:",
		"(7 readings, Wed 2 Sep to Tue 8 Sep)",
		"wind, clear days: × 0.49 on average, 50 % of it believed: × 0.70 (1 reading, 12",
		"port side: absorbs 42 %, tables 35, fitted 47, 58 % of the difference believed",
		"100 % as in the tables (2 readings by night, too few)",
		"left over on clear days: -1.0 °C on average",
		"air temperature: it was off by 2.8 °C where it reckoned with 2.0 °C, 75 % of that believed: futures 1.30 times as far apart (15 cases of six hours, 5 more to count whole)",
		"dew point: as it comes (1 case of six hours; it takes 10 to count at all and 20 to count whole, 19 more)",
		"Rain is not calibrated.",
		"KOTQ, 7 km off, 9 m above the place: 30 observations.",
		"SEAL, port side: 1.5 h better than without what was learned.",
		"Thu 3 Sep 05:00 air 24.0 °C · counts 90 %",
		"and 5 more; --json lists all",
		"--no-learned answers without",
	} {
		assert.Contains(t, strings.ToLower(flat(got)), strings.ToLower(want))
	}
	assert.NotContains(t, got, "PLEASE NOTE")
	us := flat(placeText(t, place(), Options{Units: "us"}))
	assert.Contains(t, us, "1.8 °F warmer")
	assert.Contains(t, us, "+3.6 °F on average")
	assert.NotContains(t, us, "°C")
}

// flat is a page with its lines joined.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestPlace_Nothing(t *testing.T) {
	a := &answer.Learned{Boat: "Kittiwake", Rules: answer.LearnedRules{FromHours: 36}, Warnings: []string{"a word"}}
	got := placeText(t, a, Options{})
	assert.Contains(t, got, "Nothing is learned yet. A reading teaches once it is 36 h old")
	assert.Contains(t, got, "- a word.")
	assert.NotContains(t, got, "USED")
	a.Stations = place().Stations
	assert.Contains(t, placeText(t, a, Options{}), "WEATHER STATIONS")
	little := place()
	little.Lines, little.Changes, little.Zones, little.Readings = nil, []answer.LearnedShift{}, nil, nil
	got = placeText(t, little, Options{})
	assert.Contains(t, got, "Nothing yet")
	assert.Contains(t, got, "No state of any hour.")
	little.Changes = nil
	assert.NotContains(t, placeText(t, little, Options{}), "WHAT IT CHANGES")
}
