package metnorway

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

func TestComplete(t *testing.T) {
	f := parse(t, file(t, "metnorway_complete.json"), Options{})

	assert.Equal(t, "MET Norway", f.Service)
	assert.Equal(t, "Based on data from MET Norway", f.Attribution)
	assert.Contains(t, f.Licence, "CC BY 4.0")
	assert.Equal(t, forecast.Place{Latitude: 43.07, Longitude: -70.74, ElevationM: 3, HasElevation: true}, f.Place)
	assert.Equal(t, utc("2026-09-10T14:31:07Z"), f.Issued)
	assert.Empty(t, f.Timezone)
	assert.Empty(t, f.Warnings)
	assert.Equal(t, utc("2026-09-10T15:00:00Z"), f.Start)
	assert.Equal(t, 16, f.N, "15:00 to 06:00, the last with an hour of its own")

	// Hourly to 18:00, then straight lines over six hours.
	near(t, []any{19., 19.5, 19.2, 18., 17., 16., 15., 14., 13., 12., 11.5, 11., 10.5, 10., 9.5, 9.},
		values(f, forecast.AirTemperature))
	near(t, []any{70., 68., 72., 80., 82., 84., 86., 88., 90., 92., 93., 94., 95., 96., 97., 98.},
		values(f, forecast.Humidity))
	near(t, []any{4., 4.4, 5., 6., 5.5, 5., 4.5, 4., 3.5, 3., 2.7, 2.4, 2.1, 1.8, 1.5, 1.2},
		values(f, forecast.WindSpeed))
	assert.Equal(t, 40.0, values(f, forecast.CloudCover)[9])
	assert.Equal(t, 40.0, values(f, forecast.CloudLow)[9])
	assert.Equal(t, 0.0, values(f, forecast.CloudHigh)[9])
	// Direction is held: halfway from 350 to 10 by the numbers would be south.
	near(t, []any{350., 10., 20., 90., 90., 90., 90., 90., 90., 270., 270., 270., 270., 270., 270., 280.},
		values(f, forecast.WindFrom))
	near(t, []any{7., 8.1, 9.9, nil, nil}, values(f, forecast.Gust)[:5])

	// Rain by the hour, then 3 mm over six hours, then none; the last stamp has
	// instants only and says nothing of rain.
	near(t, []any{0., 0.2, 1.1, .5, .5, .5, .5, .5, .5, 0., 0., 0., 0., 0., 0., nil},
		values(f, forecast.Precipitation))
	near(t, []any{nil, nil, nil, 6., 6., 6., 6., 6., 6., 6., 6., 6., 6., 6., 6., nil},
		values(f, forecast.PrecipitationSpan))
	near(t, []any{3.1, 22., 55., 60., 60., 60., 60., 60., 60., 1., 1., 1., 1., 1., 1., nil},
		values(f, forecast.PrecipitationProbability))
	near(t, []any{0.2, 1., 31., 5., 5., 5., 5., 5., 5., 0., 0., 0., 0., 0., 0., nil},
		values(f, forecast.ThunderProbability))
	near(t, []any{2., 80., 95., 65., 65., 65., 65., 65., 65., 45., 45., 45., 45., 45., 45., nil},
		values(f, forecast.WeatherCode))

	// Clear-sky UV: means of 5.2 5.8, 5.8 5.4, 5.4 4.0, and nothing beyond.
	near(t, []any{5.5, 5.6, 4.7, nil, nil}, values(f, forecast.UVIndexClearSky)[:5])
	assert.Nil(t, f.Members[0].Columns[forecast.UVIndex].Known)
	assert.Nil(t, f.Members[0].Columns[forecast.GlobalRadiation].Known)

	// 3 m above the sea the pressure is 0.36 hPa lower.
	p, _ := f.Members[0].Columns[forecast.Pressure].At(0)
	assert.InDelta(t, 1016.0-0.36, p, 0.01)
}

func TestCompactWithoutElevation(t *testing.T) {
	data := file(t, "metnorway_compact.json")

	f := parse(t, data, Options{})
	assert.Equal(t, 2, f.N)
	near(t, []any{19., 19.5}, values(f, forecast.AirTemperature))
	near(t, []any{0., nil}, values(f, forecast.Precipitation))
	near(t, []any{0., nil}, values(f, forecast.WeatherCode))
	assert.Nil(t, f.Members[0].Columns[forecast.Pressure].Known)
	assert.Equal(t, []string{"pressure is for sea level and the elevation is unknown: it is left out"}, f.Warnings)

	f = parse(t, data, Options{Near: &forecast.Place{Latitude: 43.07, Longitude: -70.74, ElevationM: 100, HasElevation: true}})
	p, _ := f.Members[0].Columns[forecast.Pressure].At(0)
	// US Standard Atmosphere 1976, table: 100 m has 1001.29 hPa for 1013.25.
	assert.InDelta(t, 1016.0*1001.29/1013.25, p, 0.05)
	assert.Empty(t, f.Warnings)
}

func TestFarAway(t *testing.T) {
	f := parse(t, file(t, "metnorway_complete.json"), Options{Near: &forecast.Place{Latitude: 43.5, Longitude: -70.74}})
	assert.Equal(t, []string{"the forecast is for 43.07, -70.74, 48 km from the place asked about"}, f.Warnings)
}

func TestNullAndLackingValues(t *testing.T) {
	f := parse(t, changed(t, func(_, _ object, steps []any) {
		instant(steps[1])["air_temperature"] = nil
		delete(instant(steps[0]), "wind_speed")
		delete(instant(steps[1]), "wind_speed")
		next(steps[0], "next_1_hours")["details"] = object{}
	}), Options{})
	near(t, []any{19., nil}, values(f, forecast.AirTemperature))
	assert.Nil(t, f.Members[0].Columns[forecast.WindSpeed].Known)
	near(t, []any{0., nil}, values(f, forecast.Precipitation))
	near(t, []any{6., nil}, values(f, forecast.PrecipitationSpan))
	assert.Contains(t, f.Warnings, "the reply has no wind speed")
}

func TestNothingIsDrawnAcrossAGap(t *testing.T) {
	f := parse(t, changed(t, func(_, _ object, steps []any) {
		steps[1].(object)["time"] = "2026-09-11T03:00:00Z"
	}), Options{})
	require.Equal(t, 13, f.N)
	got := values(f, forecast.AirTemperature)
	near(t, []any{19., nil, nil}, got[:3])
	near(t, []any{nil, 19.5}, got[11:])
	from := values(f, forecast.WindFrom)
	near(t, []any{350., nil}, from[5:7])
}

// A null between two hours is a gap too.
func TestNothingIsDrawnAcrossANull(t *testing.T) {
	f := parse(t, changed(t, func(_, properties object, steps []any) {
		middle := object{"time": "2026-09-10T16:00:00Z", "data": object{"instant": object{"details": object{"air_temperature": nil}}}}
		steps[1].(object)["time"] = "2026-09-10T17:00:00Z"
		properties["timeseries"] = []any{steps[0], middle, steps[1]}
	}), Options{})
	near(t, []any{19., nil, 19.5}, values(f, forecast.AirTemperature))
}

func TestImpossibleValuesAreLeftOut(t *testing.T) {
	f := parse(t, changed(t, func(_, _ object, steps []any) {
		instant(steps[0])["relative_humidity"] = 140
		next(steps[0], "next_1_hours")["details"].(object)["precipitation_amount"] = -1
		delete(steps[0].(object)["data"].(object), "next_6_hours")
	}), Options{})
	near(t, []any{nil, 68.}, values(f, forecast.Humidity))
	assert.Nil(t, f.Members[0].Columns[forecast.Precipitation].Known)
	assert.Contains(t, fmt.Sprint(f.Warnings), "column relative_humidity: 1 impossible value left out")
	assert.Contains(t, fmt.Sprint(f.Warnings), "column precipitation_amount: 1 impossible value left out")
}

// The service's list of symbols, without the three endings for day and night.
func TestWeatherCodes(t *testing.T) {
	for symbol, want := range map[string]int{
		"clearsky_day": 0, "fair_night": 1, "partlycloudy_polartwilight": 2, "cloudy": 3, "fog": 45,
		"lightrain": 61, "rain": 63, "heavyrain": 65, "lightsleet": 68, "sleet": 69, "heavysleet": 69,
		"lightsnow": 71, "snow": 73, "heavysnow": 75,
		"lightrainshowers_day": 80, "rainshowers_day": 81, "heavyrainshowers_night": 82,
		"lightsleetshowers_day": 83, "sleetshowers_day": 84, "heavysleetshowers_day": 84,
		"lightsnowshowers_day": 85, "snowshowers_day": 86, "heavysnowshowers_day": 86,
		"rainandthunder": 95, "heavyrainshowersandthunder_day": 95, "snowandthunder": 95,
		"lightssnowshowersandthunder_day": 95, // spelt so by the service
	} {
		code, ok := weatherCode(symbol)
		assert.True(t, ok, symbol)
		assert.Equal(t, want, code, symbol)
	}
	f := parse(t, changed(t, func(_, _ object, steps []any) {
		next(steps[0], "next_1_hours")["summary"].(object)["symbol_code"] = "hurricane"
		next(steps[0], "next_6_hours")["summary"].(object)["symbol_code"] = "typhoon_day"
	}), Options{})
	assert.Nil(t, f.Members[0].Columns[forecast.WeatherCode].Known)
	assert.Contains(t, f.Warnings, "symbol hurricane is not known: the weather code is left out there")
}

func TestBadReplies(t *testing.T) {
	good := file(t, "metnorway_compact.json")
	refuse := func(data []byte) string {
		f, err := Parse(data, Options{})
		require.Nil(t, f)
		var bad *forecast.ReadError
		require.ErrorAs(t, err, &bad)
		require.Equal(t, "MET Norway", bad.Service)
		require.NotEmpty(t, bad.Fix)
		return bad.Reason
	}
	assert.Equal(t, "it is empty", refuse(nil))
	assert.Equal(t, "it is a web page, not JSON", refuse([]byte("<html>400 Bad Request</html>")))
	assert.Contains(t, refuse(good[:len(good)/2]), "it breaks off after")
	assert.Contains(t, refuse(append(good[:len(good):len(good)], "oops"...)), "more text follows the JSON")
	assert.Contains(t, refuse([]byte("[]")), "it is of type array where an object should be")
	assert.Equal(t, "it has no properties.timeseries", refuse([]byte("{}")))

	for name, c := range map[string]struct {
		spoil  func(top, properties object, steps []any)
		reason string
	}{
		"no place":        {func(top, _ object, _ []any) { delete(top, "geometry") }, "its geometry names no longitude and latitude"},
		"off the globe":   {func(top, _ object, _ []any) { top["geometry"].(object)["coordinates"] = []any{-370, 43} }, "longitude -370 is outside -180 to 180"},
		"empty series":    {func(_, p object, _ []any) { p["timeseries"] = []any{} }, "it has no properties.timeseries"},
		"bad issue":       {func(_, p object, _ []any) { p["meta"].(object)["updated_at"] = "today" }, `updated_at is "today"`},
		"bad time":        {func(_, _ object, s []any) { s[1].(object)["time"] = "16:00" }, `time 2 is "16:00", not a whole hour`},
		"broken hour":     {func(_, _ object, s []any) { s[1].(object)["time"] = "2026-09-10T16:20:00Z" }, "time 2 is"},
		"time twice":      {func(_, _ object, s []any) { s[1].(object)["time"] = "2026-09-10T15:00:00Z" }, "the time 2026-09-10T15:00:00Z is there twice"},
		"shuffled":        {func(_, _ object, s []any) { s[1].(object)["time"] = "2026-09-10T14:00:00Z" }, "its times are out of order: 2026-09-10T14:00:00Z comes after 2026-09-10T15:00:00Z"},
		"endless":         {func(_, _ object, s []any) { s[1].(object)["time"] = "2126-09-10T14:00:00Z" }, "more than 60 days"},
		"unknown unit":    {func(_, p object, _ []any) { p["meta"].(object)["units"].(object)["wind_speed"] = "beaufort" }, `wind_speed has an unknown unit: "beaufort"`},
		"no unit":         {func(_, p object, _ []any) { delete(p["meta"].(object)["units"].(object), "air_temperature") }, `air_temperature has an unknown unit: ""`},
		"unit of rain":    {func(_, p object, _ []any) { p["meta"].(object)["units"].(object)["precipitation_amount"] = "%" }, `precipitation_amount has an unknown unit: "%"`},
		"number as text":  {func(_, _ object, s []any) { instant(s[0])["air_temperature"] = "NaN" }, "instant.details is of type string where a number should be"},
		"details no list": {func(_, _ object, s []any) { next(s[0], "next_1_hours")["details"] = 1 }, "details is of type number where an object should be"},
	} {
		assert.Contains(t, refuse(changed(t, c.spoil)), c.reason, name)
	}
}

func TestRecordingLondon(t *testing.T) {
	f := parse(t, recording(t, "london_complete_2020-07-20.json"), Options{})
	assert.Equal(t, utc("2020-07-20T01:30:57Z"), f.Issued)
	assert.Equal(t, utc("2020-07-20T11:00:00Z"), f.Start)
	assert.Equal(t, 212, f.N, "20 July 11:00 to 29 July 06:00, and that hour")
	assert.Empty(t, f.Warnings)
	assert.InDelta(t, 25, f.Place.ElevationM, 1e-9)
	near(t, []any{18.8, 19.6}, values(f, forecast.AirTemperature)[:2])
	near(t, []any{349.3, 346.1}, values(f, forecast.WindFrom)[:2])
	codes := values(f, forecast.WeatherCode)
	near(t, []any{0., 3., 2.}, []any{codes[0], codes[54], codes[55]}) // clear sky, cloudy, partly cloudy

	// From 22 July 18:00 the stamps are six hours apart: 23.3 falls to 14.8 °C.
	i, ok := f.Index(utc("2020-07-22T18:00:00Z"))
	require.True(t, ok)
	near(t, []any{23.2, 23.3, 23.3 - 8.5/6}, values(f, forecast.AirTemperature)[i-1:i+2])
	near(t, []any{nil, 6.}, values(f, forecast.PrecipitationSpan)[i-1:i+1])
	assert.NotNil(t, values(f, forecast.UVIndexClearSky)[i-1], "17:00 to 18:00")
	assert.Nil(t, values(f, forecast.UVIndexClearSky)[i], "no index after 18:00")
	// UV of the first hour: mean of 6.4 and 6.7.
	near(t, []any{6.55}, values(f, forecast.UVIndexClearSky)[:1])

	// The tail: 29 July 00:00 has 0.3 mm in six hours, 06:00 instants only.
	tail := values(f, forecast.Precipitation)[f.N-7:]
	near(t, []any{0.05, 0.05, 0.05, 0.05, 0.05, 0.05, nil}, tail)
	near(t, []any{17.4}, values(f, forecast.AirTemperature)[f.N-1:])
	assert.Nil(t, f.Members[0].Columns[forecast.Gust].Known, "no gusts are given for London")
}

func TestRecordingMoretonBay(t *testing.T) {
	f := parse(t, cassette(t), Options{})
	assert.Equal(t, utc("2025-10-29T01:00:00Z"), f.Start)
	assert.Equal(t, utc("2025-10-29T00:47:34Z"), f.Issued)
	assert.Equal(t, 228, f.N, "29 October 01:00 to 7 November 12:00, and that hour")
	near(t, []any{23., 24.3}, values(f, forecast.AirTemperature)[:2])
	near(t, []any{80., 80.}, values(f, forecast.WeatherCode)[:2])
	near(t, []any{0.2, 0.2}, values(f, forecast.Precipitation)[:2])
	i, _ := f.Index(utc("2025-11-01T00:00:00Z"))
	near(t, []any{14.8 / 6, 14.8 / 6}, values(f, forecast.Precipitation)[i:i+2])
	assert.Nil(t, f.Members[0].Columns[forecast.DewPoint].Known, "compact has no dew point")
}

// Straight lines stay between their ends and keep the stamps' own values.
func TestLinesKeepTheStamps(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		gap := rapid.IntRange(1, 6).Draw(r, "gap")
		a := rapid.Float64Range(-30, 45).Draw(r, "a")
		b := rapid.Float64Range(-30, 45).Draw(r, "b")
		f, err := Parse(changed(t, func(_, _ object, steps []any) {
			instant(steps[0])["air_temperature"] = a
			instant(steps[1])["air_temperature"] = b
			steps[1].(object)["time"] = utc("2026-09-10T15:00:00Z").Add(time.Duration(gap) * time.Hour).Format(time.RFC3339)
		}), Options{})
		if err != nil {
			r.Fatal(err)
		}
		c := f.Members[0].Columns[forecast.AirTemperature]
		for i := range f.N {
			v, known := c.At(i)
			if !known || v < min(a, b)-1e-9 || v > max(a, b)+1e-9 {
				r.Fatalf("hour %d: %v, %v", i, v, known)
			}
		}
		if c.Values[0] != a || c.Values[f.N-1] != b {
			r.Fatalf("%v to %v instead of %v to %v", c.Values[0], c.Values[f.N-1], a, b)
		}
	})
}
