package nws

import (
	"bytes"
	"context"
	"errors"
	"math"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The list by time: without the one that has no time, with what failed its check not
// known, and with what only the station's message has.
func TestParseObservations(t *testing.T) {
	list, err := ParseObservations(file(t, "nws_observations.json"))
	require.NoError(t, err)
	require.Len(t, list, 5)
	var times []string
	for _, o := range list {
		times = append(times, o.At.Format("02 15:04"))
		assert.Equal(t, "KOTQ", o.Station)
	}
	assert.Equal(t, []string{"09 23:53", "10 05:53", "10 06:53", "10 07:53", "10 08:53"}, times)
	assert.Equal(t, forecast.Measured{V: 15.6, Known: true}, list[0].Air)
	assert.Equal(t, forecast.Measured{Known: true}, list[1].Wind, "a calm is known")
	assert.Contains(t, list[1].Flags, "air temperature was not checked")
	assert.Equal(t, 13.3, list[2].Air.V, "of its message")
	assert.InDelta(t, 4*knot, list[2].Wind.V, 1e-9)
	assert.False(t, list[3].Air.Known, "34 °C failed its check")
	assert.Contains(t, list[3].Flags, "air temperature failed its check (X) and is not used")
	assert.True(t, list[3].DewPoint.Known)
	whole, err := parseOne(file(t, "nws_observation.json"))
	require.NoError(t, err)
	assert.Equal(t, whole.At, list[4].At)
	assert.Equal(t, whole.Air, list[4].Air)
	assert.Equal(t, whole.Wind, list[4].Wind)
}

// listOf is a list of observations, each a reply of its own.
func listOf(each ...[]byte) []byte {
	return slices.Concat([]byte(`{"features":[`), bytes.Join(each, []byte(",")), []byte("]}"))
}

func TestParseObservations_Flaws(t *testing.T) {
	none, err := ParseObservations([]byte(`{"type":"FeatureCollection","features":[]}`))
	require.NoError(t, err)
	assert.Empty(t, none, "a silent station")
	for name, c := range map[string]struct {
		data   []byte
		reason string
	}{
		"one alone": {file(t, "nws_observation.json"), "no list of observations"},
		"problem":   {file(t, "nws_problem.json"), "the service refused"},
		"numbers":   {[]byte(`{"features":[7,8]}`), "an observation is no object"},
		"alerts":    {file(t, "nws_alerts.json"), "it is no observation"},
		"unit":      {bytes.ReplaceAll(listOf(file(t, "nws_observation.json")), []byte("wmoUnit:degC"), []byte("wmoUnit:degR")), "air temperature has an unknown unit"},
		"half":      {file(t, "nws_observations.json")[:900], "breaks off"},
		"a number":  {[]byte("7"), "not an object"},
	} {
		_, err := ParseObservations(c.data)
		var bad *forecast.ReadError
		require.ErrorAs(t, err, &bad, name)
		assert.Contains(t, bad.Reason, c.reason, name)
		assert.NotEmpty(t, bad.Fix, name)
	}
}

// Recorded lists, each of a single observation: one with everything, one with nothing
// but its message.
func TestParseObservations_Recordings(t *testing.T) {
	whole := recording(t, "observations_KOAK.json")
	_, err := ParseObservations(whole)
	require.Error(t, err, "its time was taken out")
	list, err := ParseObservations(bytes.ReplaceAll(whole, []byte("date:now -4718 seconds"), []byte("2024-03-26T14:53:00+00:00")))
	require.NoError(t, err)
	require.Len(t, list, 1)
	o := list[0]
	assert.Equal(t, "KOAK", o.Station)
	assert.Equal(t, 11.1, o.Air.V)
	assert.InDelta(t, 2.1, o.Wind.V, 1e-9)
	assert.InDelta(t, 1018.6, o.Pressure.V, 0.1, "1019.0 set, 3 m up")
	assert.False(t, o.Gust.Known)

	list, err = ParseObservations(recording(t, "observations_PHNL_resolved.json"))
	require.NoError(t, err)
	require.Len(t, list, 1)
	o = list[0]
	assert.Equal(t, 21.7, o.Air.V)
	assert.Equal(t, 17.8, o.DewPoint.V)
	assert.InDelta(t, 3.60, o.Wind.V, 0.01)
	assert.InDelta(t, 1014.7, o.Pressure.V, 0.2, "29.98 inHg, 5 m up")
	assert.Len(t, o.Flags, 5)
}

func TestStations(t *testing.T) {
	s, now := newLiveService(t), liveStart
	c := liveClient(t, liveContact, liveCache{}, &now)
	list, _, err := Stations(context.Background(), c, Config{BaseURL: s.URL}, liveQuay)
	require.NoError(t, err)
	require.Len(t, list, 3)
	assert.Equal(t, "KOTQ", list[0].ID)
	assert.Equal(t, []string{"/points/43.07,-70.74", "/gridpoints/OTQ/12,34/stations"}, s.asked())
	now = now.Add(6 * 24 * time.Hour)
	_, _, err = Stations(context.Background(), c, Config{BaseURL: s.URL}, liveQuay)
	require.NoError(t, err)
	assert.Empty(t, s.asked(), "good for a week")

	s.fails["/points"] = 404
	now = now.Add(2 * 24 * time.Hour)
	_, _, err = Stations(context.Background(), liveClient(t, liveContact, nil, &now), Config{BaseURL: s.URL}, liveQuay)
	assert.ErrorIs(t, err, ErrNotCovered)
	_, _, err = Stations(context.Background(), nil, Config{}, forecast.Place{Latitude: 91})
	assert.Error(t, err, "nobody is asked")
}

// The span is asked for, and what lies outside it is left out though it was sent.
func TestObserveSpan(t *testing.T) {
	s, now := newLiveService(t), liveStart
	c := liveClient(t, liveContact, nil, &now)
	station := Station{ID: "KOTQ", Place: forecast.Place{Latitude: 43.08, Longitude: -70.82, ElevationM: 30.48, HasElevation: true}}
	boston := time.FixedZone("", -4*3600)
	list, info, err := ObserveSpan(context.Background(), c, Config{BaseURL: s.URL}, station, utc("2026-09-10T05:53:00Z").In(boston), utc("2026-09-10T08:00:00Z"))
	require.NoError(t, err)
	assert.Equal(t, []string{"/stations/KOTQ/observations"}, s.asked())
	assert.Equal(t, url.Values{"start": {"2026-09-10T05:53:00Z"}, "end": {"2026-09-10T08:00:00Z"}, "limit": {"500"}}, s.span)
	require.Len(t, list, 3)
	assert.Equal(t, utc("2026-09-10T05:53:00Z"), list[0].At, "both ends belong to it")
	assert.Equal(t, utc("2026-09-10T07:53:00Z"), list[2].At)
	assert.Equal(t, station.Place, list[0].Place)
	assert.False(t, info.Stale)

	_, _, err = ObserveSpan(context.Background(), c, Config{BaseURL: s.URL}, Station{ID: "KHRN"}, now.Add(-time.Hour), now)
	e, ok := errors.AsType[*fetch.Error](err)
	require.True(t, ok)
	assert.Equal(t, fetch.NotFound, e.Kind)
}

// Whatever becomes of single observations, the others stand, by time.
func TestParseObservations_AnyDamage(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var parts []string
		good := 0
		for range rapid.IntRange(1, 8).Draw(rt, "n") {
			at := utc("2026-09-10T00:00:00Z").Add(time.Duration(rapid.IntRange(0, 600).Draw(rt, "minute")) * time.Minute)
			whole := `{"properties":{"timestamp":"` + at.Format(time.RFC3339) + `","temperature":{"unitCode":"wmoUnit:degC","value":12,"qualityControl":"V"}}}`
			part := rapid.SampledFrom([]string{whole, `{}`, `[]`, `{"properties":{"timestamp":"noon"}}`}).Draw(rt, "part")
			if part == whole {
				good++
			}
			parts = append(parts, part)
		}
		list, err := ParseObservations([]byte(`{"features":[` + strings.Join(parts, ",") + `]}`))
		assert.Equal(rt, good == 0, err != nil)
		assert.Len(rt, list, good)
		assert.True(rt, slices.IsSortedFunc(list, func(a, b forecast.Observation) int { return a.At.Compare(b.At) }))
	})
}

func FuzzParseObservations(f *testing.F) {
	f.Add(file(f, "nws_observations.json"))
	f.Add([]byte(`{"features":[{"properties":{"timestamp":"2026-09-10T08:53:00Z","rawMessage":"X 00000KT 00/00 A0000"}}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		_, _ = ParseStations(data)
		list, err := ParseObservations(data)
		require.True(t, err == nil || len(list) == 0)
		for _, o := range list {
			require.False(t, math.IsNaN(o.Air.V) || math.IsNaN(o.Pressure.V))
		}
	})
}
