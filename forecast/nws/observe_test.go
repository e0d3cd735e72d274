package nws

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// parseOne reads an observation as one of a list.
func parseOne(data []byte) (forecast.Observation, error) {
	list, err := ParseObservations(listOf(data))
	if err != nil || len(list) == 0 {
		return forecast.Observation{}, err
	}
	return list[0], nil
}

func TestObservation(t *testing.T) {
	o, err := parseOne(file(t, "nws_observation.json"))
	require.NoError(t, err)
	assert.Equal(t, "KOTQ", o.Station)
	assert.Equal(t, utc("2026-09-10T08:53:00Z"), o.At)
	assert.Equal(t, forecast.Place{Latitude: 43.08, Longitude: -70.82, ElevationM: 30.48, HasElevation: true}, o.Place)
	for name, c := range map[string]struct {
		got  forecast.Measured
		want float64
		off  float64
	}{
		"air": {o.Air, 14.4, 1e-9}, "dew point": {o.DewPoint, 12.2, 1e-9}, "humidity": {o.Humidity, 86.6, 1e-9},
		"wind, 8 kt": {o.Wind, 8 * knot, 1e-3}, "from": {o.WindFrom, 230, 1e-9}, "gust, 16 kt": {o.Gust, 16 * knot, 1e-3},
		// 100 ft up, by the standard atmosphere 1 hPa for 27 ft.
		"pressure": {o.Pressure, 1016.3 - 100/27.3, 0.1},
	} {
		assert.True(t, c.got.Known, name)
		assert.InDelta(t, c.want, c.got.V, c.off, name)
	}
	assert.Empty(t, o.Flags)
}

// observed is the project's own observation after a change.
func observed(t testing.TB, change func(properties object)) []byte {
	t.Helper()
	var top object
	require.NoError(t, json.Unmarshal(file(t, "nws_observation.json"), &top))
	change(top["properties"].(object))
	data, err := json.Marshal(top)
	require.NoError(t, err)
	return data
}

// Marks of quality control decide what is used.
func TestQualityControl(t *testing.T) {
	for mark, c := range map[string]struct {
		known bool
		flag  string
	}{
		"V": {true, ""}, "S": {true, ""}, "C": {true, ""}, "G": {true, ""},
		"Z": {true, "air temperature was not checked"}, "": {true, "air temperature was not checked"},
		"X": {false, "air temperature failed its check (X) and is not used"},
		"Q": {false, "air temperature failed its check (Q) and is not used"},
		"B": {false, "air temperature failed its check (B) and is not used"},
	} {
		o, err := parseOne(observed(t, func(p object) { p["temperature"].(object)["qualityControl"] = mark }))
		require.NoError(t, err)
		assert.Equal(t, c.known, o.Air.Known, "%q: the message's own is not taken in place of what failed", mark)
		assert.Equal(t, c.flag, strings.Join(o.Flags, "\n"), mark)
	}
}

// What the reply leaves out is read from the station's own message.
func TestMessageFillsIn(t *testing.T) {
	o, err := parseOne(observed(t, func(p object) {
		for _, k := range []string{"temperature", "dewpoint", "windDirection", "windSpeed", "windGust", "barometricPressure"} {
			p[k].(object)["value"], p[k].(object)["qualityControl"] = nil, "Z"
		}
		delete(p, "relativeHumidity")
	}))
	require.NoError(t, err)
	whole, err := parseOne(file(t, "nws_observation.json"))
	require.NoError(t, err)
	for name, pair := range map[string][2]forecast.Measured{
		"air": {whole.Air, o.Air}, "dew point": {whole.DewPoint, o.DewPoint}, "wind": {whole.Wind, o.Wind}, "from": {whole.WindFrom, o.WindFrom},
		"gust": {whole.Gust, o.Gust}, "pressure": {whole.Pressure, o.Pressure},
	} {
		assert.True(t, pair[1].Known, name)
		assert.InDelta(t, pair[0].V, pair[1].V, 0.06, name)
	}
	assert.False(t, o.Humidity.Known, "no message has it")
	assert.Len(t, o.Flags, 6)
	assert.Contains(t, o.Flags, "gust is read from the station's message and was not checked")
}

// Groups as they are found in messages; the first two are those of recordings.
func TestReadMessage(t *testing.T) {
	is := func(v float64) forecast.Measured { return forecast.Measured{V: v, Known: true} }
	var not forecast.Measured
	for text, want := range map[string]message{
		"PHNL 141253Z 32007KT 10SM SCT048 OVC060 22/18 A2998 RMK AO2 SLP152 T02170178 $": {is(21.7), is(17.8), is(7 * knot), is(320), not, is(29.98 * inHg)},
		"KOAK 261453Z 35004KT 10SM BKN020 11/09 A3009 RMK AO2 SLP189 T01110089 53019":    {is(11.1), is(8.9), is(4 * knot), is(350), not, is(30.09 * inHg)},
		"KOTQ 100853Z AUTO VRB03KT 14/12 A3001":                                          {is(14), is(12), is(3 * knot), not, not, is(30.01 * inHg)},
		"KOTQ 100853Z 00000KT M02/M05 Q0998":                                             {is(-2), is(-5), is(0), not, not, is(998)},
		"KOTQ 100853Z 27015G25MPS 05/M00":                                                {is(5), is(0), is(15), is(270), is(25), not},
		"KOTQ 100853Z 14/ RMK T10221045":                                                 {is(-2.2), is(-4.5), not, not, not, not},
		"KOTQ 100853Z 14/// /////KT RMK T0144":                                           {not, not, not, not, not, not},
		"KOTQ 23008KT 14/12 TEMPO 30020KT":                                               {is(14), is(12), is(8 * knot), is(230), not, not},
		"":                                                                               {},
	} {
		got := readMessage(text)
		for i, pair := range [][2]forecast.Measured{{want.air, got.air}, {want.dew, got.dew}, {want.wind, got.wind}, {want.from, got.from}, {want.gust, got.gust}, {want.altimeter, got.altimeter}} {
			assert.Equal(t, pair[0].Known, pair[1].Known, "%s: %d", text, i)
			assert.InDelta(t, pair[0].V, pair[1].V, 1e-9, "%s: %d", text, i)
		}
	}
}

func TestObservationWithFlaws(t *testing.T) {
	o, err := parseOne(observed(t, func(p object) {
		p["temperature"].(object)["value"] = 400
		delete(p, "elevation")
		delete(p, "rawMessage")
	}))
	require.NoError(t, err)
	assert.False(t, o.Air.Known)
	assert.False(t, o.Pressure.Known)
	assert.Equal(t, []string{"air temperature cannot be 400 and is not used", "pressure is not used, for the station's elevation is not known"}, o.Flags)

	for name, c := range map[string]struct {
		data   []byte
		reason string
	}{
		"unit":    {observed(t, func(p object) { p["temperature"].(object)["unitCode"] = "wmoUnit:degR" }), `air temperature has an unknown unit: "wmoUnit:degR"`},
		"time":    {observed(t, func(p object) { p["timestamp"] = "date:now -4718 seconds" }), "its timestamp is \"date:now -4718 seconds\""},
		"no time": {observed(t, func(p object) { delete(p, "timestamp") }), "it is no observation"},
		"a word":  {observed(t, func(p object) { p["temperature"].(object)["value"] = "NaN" }), "properties"},
		"grid":    {file(t, "nws_grid.json"), "it is no observation"},
		"problem": {file(t, "nws_problem.json"), "the service refused"},
	} {
		_, err := parseOne(c.data)
		var bad *forecast.ReadError
		require.ErrorAs(t, err, &bad, name)
		assert.Contains(t, bad.Reason, c.reason, name)
		assert.NotEmpty(t, bad.Fix, name)
	}
}

func TestParseStations(t *testing.T) {
	list, err := ParseStations(file(t, "nws_stations.json"))
	require.NoError(t, err)
	require.Len(t, list, 3)
	assert.Equal(t, Station{"KOTQ", "Otter Quay Airfield", forecast.Place{Latitude: 43.08, Longitude: -70.82, ElevationM: 30.48, HasElevation: true}}, list[0])

	list, err = ParseStations([]byte(`{"features":[7,{},{"properties":{"stationIdentifier":"A"}},
		{"geometry":{"type":"Point","coordinates":[1]},"properties":{"stationIdentifier":"B"}},
		{"geometry":{"type":"Point","coordinates":[1,99]},"properties":{"stationIdentifier":"C"}},
		{"geometry":{"type":"Point","coordinates":[1,2]},"properties":{"stationIdentifier":""}},
		{"geometry":{"type":"Point","coordinates":[1,2]},"properties":{"stationIdentifier":"D"}}]}`))
	require.NoError(t, err)
	assert.Equal(t, []Station{{"D", "", forecast.Place{Latitude: 2, Longitude: 1}}}, list)
	_, err = ParseStations([]byte(`{}`))
	assert.ErrorContains(t, err, "no list of stations")
}

// A message of any groups gives values or none, never a panic, and what it gives
// can exist.
func TestAnyMessage(t *testing.T) {
	group := rapid.OneOf(rapid.StringMatching(`([0-9]{3}|VRB)[0-9]{2,3}(G[0-9]{2,3})?(KT|MPS)`), rapid.StringMatching(`M?[0-9]{2}/M?[0-9]{0,2}`),
		rapid.StringMatching(`T[01][0-9]{3}[01][0-9]{3}`), rapid.StringMatching(`[AQ][0-9]{4}`), rapid.SampledFrom([]string{"RMK", "TEMPO", "$", "10SM"}), rapid.String())
	rapid.Check(t, func(rt *rapid.T) {
		text := strings.Join(rapid.SliceOfN(group, 0, 12).Draw(rt, "groups"), " ")
		o := forecast.Observation{Place: forecast.Place{HasElevation: true}}
		fillFromMessage(&o, text)
		for _, m := range []forecast.Measured{o.Air, o.DewPoint, o.Wind, o.WindFrom, o.Gust, o.Pressure} {
			assert.False(rt, math.IsNaN(m.V))
			assert.True(rt, m.Known || m.V == 0)
		}
		assert.True(rt, !o.Air.Known || o.Air.V > -91 && o.Air.V < 61)
		assert.True(rt, !o.Pressure.Known || o.Pressure.V >= 500)
	})
}
