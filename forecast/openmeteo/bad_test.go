package openmeteo

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

// refusal parses a bad reply and gives the error.
func refusal(t testing.TB, data []byte) *forecast.ReadError {
	t.Helper()
	f, err := Parse(data, Options{})
	require.Nil(t, f, "nothing of a refused reply may be used")
	var bad *forecast.ReadError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, "Open-Meteo", bad.Service)
	require.NotEmpty(t, bad.Fix)
	return bad
}

func TestDamagedReplies(t *testing.T) {
	good := simple(nil)
	half := good[:len(good)/2]
	for name, c := range map[string]struct {
		data   []byte
		reason string
	}{
		"empty":             {nil, "it is empty"},
		"blank":             {[]byte(" \n"), "it is empty"},
		"web page":          {[]byte("<!DOCTYPE html><html>502</html>"), "it is a web page, not JSON"},
		"broken off":        {half, "it breaks off after"},
		"words after half":  {append(bytes.Clone(half), "\nUnexpected error while streaming data: timeoutReached\n"...), `"Unexpected error while streaming data: timeoutReached"`},
		"words after all":   {append(bytes.Clone(good), "Unexpected error"...), "more text follows the JSON"},
		"two replies":       {append(bytes.Clone(good), good...), "more text follows the JSON"},
		"NaN":               {bytes.Replace(good, []byte("14.5"), []byte("NaN"), 1), "it is not JSON"},
		"just a word":       {[]byte("Service Unavailable"), "it is not JSON"},
		"a number":          {[]byte("12"), `it is "12", not an object`},
		"no places":         {[]byte("[]"), "it is an array of no places"},
		"array of nonsense": {[]byte("[1]"), `it is "1", not an object`},
		"error body":        {file(t, "openmeteo_error.json"), `the service refused: "Hourly API request limit exceeded. Please try again in the next hour."`},
	} {
		assert.Contains(t, refusal(t, c.data).Reason, c.reason, name)
	}
}

func TestByteOrderMarkIsNoDamage(t *testing.T) {
	parse(t, append([]byte("\xef\xbb\xbf\r\n"), simple(nil)...), Options{})
}

func TestSpoiledReplies(t *testing.T) {
	type spoil = func(top, units, hourly object)
	for name, c := range map[string]struct {
		spoil  spoil
		reason string
	}{
		"no latitude":        {func(top, _, _ object) { delete(top, "latitude") }, "it names no latitude and longitude"},
		"latitude null":      {func(top, _, _ object) { top["latitude"] = nil }, "it names no latitude and longitude"},
		"latitude off globe": {func(top, _, _ object) { top["latitude"] = 430.7 }, "latitude 430.7 is outside -90 to 90"},
		"latitude in words":  {func(top, _, _ object) { top["latitude"] = "43N" }, `latitude is "43N" where a number should be`},
		"offset nonsense":    {func(top, _, _ object) { top["utc_offset_seconds"] = 90000 }, "utc_offset_seconds is 90000, which no zone has"},
		"no hourly":          {func(top, _, _ object) { delete(top, "hourly") }, "it has no hourly values"},
		"hourly a list":      {func(top, _, _ object) { top["hourly"] = []any{1} }, `its "hourly" is no object`},
		"no time":            {func(_, _, h object) { delete(h, "time") }, "it has no hourly values"},
		"no times":           {func(_, _, h object) { h["time"] = []any{} }, "its list of times is empty"},
		"time in words":      {func(_, _, h object) { h["time"] = []any{"noon", "one", "two"} }, `time 1 is "noon", not like "2026-09-10T06:00"`},
		"time null":          {func(_, _, h object) { h["time"] = []any{"2026-09-10T00:00", nil, "2026-09-10T02:00"} }, "time 2 is null"},
		"time too big":       {func(_, _, h object) { h["time"] = []any{1e18, 2e18, 3e18} }, "no whole second between 1900 and 2200"},
		"time repeated":      {func(_, _, h object) { h["time"] = []any{"2026-09-10T00:00", "2026-09-10T00:00", "2026-09-10T01:00"} }, "the time 2026-09-10T00:00Z is there twice"},
		"time shuffled":      {func(_, _, h object) { h["time"] = []any{"2026-09-10T02:00", "2026-09-10T00:00", "2026-09-10T01:00"} }, "its times are out of order: 2026-09-10T00:00Z comes after 2026-09-10T02:00Z"},
		"seconds shuffled":   {func(_, _, h object) { h["time"] = []any{7200, 0, 3600} }, "its times are out of order"},
		"hour left out":      {func(_, _, h object) { h["time"] = []any{"2026-09-10T00:00", "2026-09-10T01:00", "2026-09-10T03:00"} }, "its times are uneven: 2h0m0s from 2026-09-10T01:00Z to 2026-09-10T03:00Z, but 1h0m0s before"},
		"daily steps":        {func(_, _, h object) { h["time"] = []any{"2026-09-10T00:00", "2026-09-11T00:00", "2026-09-12T00:00"} }, "its steps of 24h0m0s cannot be laid onto hours"},
		"odd steps":          {func(_, _, h object) { h["time"] = []any{0, 420, 840} }, "its steps of 7m0s cannot be laid onto hours"},
		"local, no zone":     {func(top, _, _ object) { delete(top, "utc_offset_seconds"); top["timezone"] = "Otter/Quay" }, "it names neither an offset nor a known time zone"},
		"short column":       {func(_, _, h object) { h["temperature_2m"] = []any{15, 14.5} }, "column temperature_2m has 2 values for 3 times"},
		"long column":        {func(_, _, h object) { h["wind_speed_10m"] = []any{1, 2, 3, 4} }, "column wind_speed_10m has 4 values for 3 times"},
		"number as text":     {func(_, _, h object) { h["temperature_2m"] = []any{15, "NaN", 14} }, `column temperature_2m: value 2 is "NaN" where a number should be`},
		"column no list":     {func(_, _, h object) { h["temperature_2m"] = 15 }, "column temperature_2m: is no list of numbers"},
		"column of lists":    {func(_, _, h object) { h["temperature_2m"] = []any{[]any{1}, 2, 3} }, "value 1 is [1] where a number should be"},
		"unknown unit":       {func(_, u, _ object) { u["wind_speed_10m"] = "furlong/h" }, "column wind_speed_10m has an unknown unit: furlong/h"},
		"unit of another":    {func(_, u, _ object) { u["temperature_2m"] = "%" }, "column temperature_2m has an unknown unit: %"},
		"no unit":            {func(_, u, _ object) { delete(u, "temperature_2m") }, "column temperature_2m has no unit"},
		"time in fortnights": {func(_, u, _ object) { u["time"] = "fortnights" }, `its times have an unknown unit: "fortnights"`},
		"time without unit":  {func(_, u, _ object) { u["time"] = "" }, `its times have an unknown unit: ""`},
		"nothing of use":     {func(_, _, h object) { clear(h); h["time"] = []any{"2026-09-10T00:00"}; h["soil_moisture"] = []any{1} }, "none of its hourly columns is one that dewgap reads"},
	} {
		assert.Contains(t, refusal(t, simple(c.spoil)).Reason, c.reason, name)
	}
}

func TestColumnTwice(t *testing.T) {
	data := strings.Replace(string(simple(nil)), `"temperature_2m":[`, `"temperature_2m":[1,2,3],"temperature_2m":[`, 1)
	assert.Equal(t, "column temperature_2m is there twice", refusal(t, []byte(data)).Reason)
}

func TestUnreadColumnsMayBeOdd(t *testing.T) {
	f := parse(t, simple(func(_, units, hourly object) {
		hourly["soil_moisture"], units["soil_moisture"] = []any{1}, "furlong"
		hourly["snowfall"], units["snowfall"] = []any{nil, nil, nil}, "undefined"
		hourly["rain"], units["rain"] = []any{0, 0, 0}, "pinch" // precipitation makes it needless
		hourly["precipitation"], units["precipitation"] = []any{0, 0, 0}, "mm"
	}), Options{})
	assert.Empty(t, f.Warnings)
}

func TestAdviceFitsTheReason(t *testing.T) {
	for reason, part := range map[string]string{
		"Minutely API request limit exceeded. Please try again in one minute.": "wait",
		"Too many concurrent requests":                                         "wait",
		"The service is overloaded":                                            "some minutes",
		"Something went wrong.":                                                "some minutes",
		"The supplied API key is invalid.":                                     "check the key",
		"No data is available for this location":                               "another model",
		"Cannot initialize WeatherVariable from X":                             "mend the request",
		"Latitude must be in range of -90 to 90°. Given:":                      "mend the request",
	} {
		assert.Contains(t, adviceFor(reason), part, reason)
	}
}

// However a reply is cut, it is refused as a whole.
func TestCutAnywhereIsRefused(t *testing.T) {
	good := file(t, "openmeteo_hourly.json")
	good = bytes.TrimSpace(good)
	rapid.Check(t, func(r *rapid.T) {
		cut := rapid.IntRange(0, len(good)-1).Draw(r, "cut")
		if f, err := Parse(good[:cut], Options{}); err == nil || f != nil {
			r.Fatalf("cut at %d was read", cut)
		}
	})
}
