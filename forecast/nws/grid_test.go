package nws

import (
	"bytes"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

// times repeats a value.
func times(n int, v any) []any { return slices.Repeat([]any{v}, n) }

func TestGrid(t *testing.T) {
	f := parse(t, file(t, "nws_grid.json"), Options{
		Near: &forecast.Place{Latitude: 43.07, Longitude: -70.74}, Timezone: "America/New_York",
	})

	assert.Equal(t, "NWS", f.Service)
	assert.Equal(t, "NOAA National Weather Service", f.Attribution)
	assert.Contains(t, f.Licence, "US public domain")
	assert.InDelta(t, 43.07, f.Place.Latitude, 1e-9, "the middle of the cell")
	assert.InDelta(t, -70.74, f.Place.Longitude, 1e-9)
	assert.InDelta(t, 3.048, f.Place.ElevationM, 1e-9)
	assert.Equal(t, "America/New_York", f.Timezone)
	assert.Equal(t, utc("2026-09-10T09:12:44Z"), f.Issued)
	assert.Equal(t, utc("2026-09-10T06:00:00Z"), f.Start)
	assert.Equal(t, 28, f.N, "1 + 2 + 25 hours of temperature")
	assert.Empty(t, f.Warnings)

	join := func(parts ...[]any) []any { return slices.Concat(parts...) }
	near(t, join(times(1, 15.5), times(2, 15.), times(25, 14.444444)), values(f, forecast.AirTemperature))
	near(t, times(28, 13.333333), values(f, forecast.DewPoint))
	near(t, join(times(4, 87.), times(24, 93.)), values(f, forecast.Humidity))
	near(t, join(times(1, 4.), times(1, 30.), times(1, 60.), times(24, 95.), times(1, nil)), values(f, forecast.CloudCover))
	near(t, times(28, 340.), values(f, forecast.WindFrom))
	near(t, join(times(3, 5.), times(22, 2.572222), times(3, nil)), values(f, forecast.WindSpeed)) // 18 and 9.26 km/h
	near(t, join(times(3, 10.), times(25, nil)), values(f, forecast.Gust))
	near(t, join(times(6, 10.), times(12, 80.), times(10, nil)), values(f, forecast.PrecipitationProbability))
	near(t, join(times(6, 16093.44), times(22, nil)), values(f, forecast.Visibility))

	// 0.3 mm in an hour, none in five, 3 mm in six, none in twelve.
	near(t, join(times(1, .3), times(5, 0.), times(6, .5), times(12, 0.), times(4, nil)), values(f, forecast.Precipitation))
	near(t, join(times(1, nil), times(5, 5.), times(6, 6.), times(12, 12.), times(4, nil)), values(f, forecast.PrecipitationSpan))

	// Sky code by cover (4, 30, 60 %), then showers likely with thunder only
	// slightly so, then thunder likely, then patches of fog under 95 %, then
	// areas of fog until the layer ends.
	near(t, join(times(1, 0.), times(1, 1.), times(1, 2.), times(3, 80.), times(6, 95.), times(6, 3.), times(6, 45.), times(4, nil)),
		values(f, forecast.WeatherCode))

	assert.Nil(t, f.Members[0].Columns[forecast.ThunderProbability].Known, "an empty layer")
	assert.Nil(t, f.Members[0].Columns[forecast.Pressure].Known)
	assert.Nil(t, f.Members[0].Columns[forecast.GlobalRadiation].Known)
}

func TestOldUnits(t *testing.T) {
	f := parse(t, file(t, "nws_grid_old_units.json"), Options{})
	assert.InDelta(t, 3.048, f.Place.ElevationM, 1e-9, "ten feet")
	near(t, times(4, 10.), values(f, forecast.AirTemperature)) // 50 °F
	near(t, []any{1.543332, 1.543332, 2.57222, 2.57222}, values(f, forecast.WindSpeed))
	near(t, []any{15., 15., 35., 35.}, values(f, forecast.ThunderProbability))
	assert.Equal(t, []string{"layer pressure comes without a unit and is left out"}, f.Warnings)
}

func TestPressureWithAUnit(t *testing.T) {
	f := parse(t, changed(t, func(_, p object) {
		p["pressure"] = layerOf("wmoUnit:Pa", "2026-09-10T06:00:00+00:00/PT2H", 101320)
	}), Options{})
	near(t, []any{1013.2, 1013.2, nil}, values(f, forecast.Pressure)[:3])
}

func TestLayersOutOfOrder(t *testing.T) {
	f := parse(t, changed(t, func(_, p object) {
		p["temperature"] = layerOf("wmoUnit:degC",
			"2026-09-10T08:00:00+00:00/PT1H", 12, "2026-09-10T06:00:00+00:00/PT2H", 10)
		p["dewpoint"] = layerOf("wmoUnit:degC",
			"2026-09-10T06:00:00+00:00/PT2H", 8, "2026-09-10T07:00:00+00:00/PT1H", 9)
	}), Options{})
	near(t, []any{10., 10., 12.}, values(f, forecast.AirTemperature))
	assert.Nil(t, f.Members[0].Columns[forecast.DewPoint].Known)
	assert.Contains(t, f.Warnings, "layer dewpoint states two values for the same time and is left out")
}

func TestGapInALayer(t *testing.T) {
	f := parse(t, changed(t, func(_, p object) {
		p["temperature"] = layerOf("wmoUnit:degC",
			"2026-09-10T05:00:00-01:00/PT1H", 10, "2026-09-10T08:00:00Z/PT1H", 12, "2026-09-10T09:00:00Z/P1D", nil)
	}), Options{})
	near(t, []any{10., nil, 12.}, values(f, forecast.AirTemperature))
}

func TestImpossibleValuesAreLeftOut(t *testing.T) {
	f := parse(t, changed(t, func(_, p object) {
		p["windSpeed"] = layerOf("wmoUnit:km_h-1", "2026-09-10T06:00:00Z/PT1H", -3, "2026-09-10T07:00:00Z/PT1H", 3.6)
		p["quantitativePrecipitation"] = layerOf("wmoUnit:mm", "2026-09-10T06:00:00Z/PT1H", -1)
	}), Options{})
	near(t, []any{nil, 1., nil}, values(f, forecast.WindSpeed)[:3])
	assert.Nil(t, f.Members[0].Columns[forecast.Precipitation].Known)
	assert.Contains(t, fmt.Sprint(f.Warnings), "column windSpeed: 1 impossible value left out")
}

// What is likely or more is coded, in the words of the layer.
func TestThunderAndFogByCoverage(t *testing.T) {
	word := func(s string) *string { return &s }
	for coverage, thunder := range map[string]bool{
		"slight_chance": false, "isolated": false, "chance": false, "scattered": false, "patchy": false, "areas": false, "few": false,
		"likely": true, "numerous": true, "widespread": true, "definite": true,
		"occasional": true, "periods": true, "frequent": true, "intermittent": true, "brief": true, "": true,
	} {
		code, ok := condition{Coverage: word(coverage), Weather: word("thunderstorms")}.code()
		assert.Equal(t, thunder, ok, coverage)
		if ok {
			assert.Equal(t, 95.0, code)
		}
	}
	for _, c := range []struct {
		coverage, weather, intensity string
		want                         float64
	}{
		{"areas", "fog", "", 45}, {"widespread", "freezing_fog", "", 48},
		{"likely", "rain", "light", 61}, {"likely", "rain", "moderate", 63}, {"likely", "rain", "heavy", 65},
		{"definite", "rain_showers", "very_light", 80}, {"numerous", "snow_showers", "heavy", 86},
		{"occasional", "drizzle", "light", 51}, {"likely", "freezing_rain", "moderate", 67},
		{"likely", "snow", "", 71}, {"likely", "sleet", "", 79},
	} {
		code, ok := condition{word(c.coverage), word(c.weather), word(c.intensity)}.code()
		assert.True(t, ok, c.weather)
		assert.Equal(t, c.want, code, c.weather)
	}
	for _, kind := range []string{"haze", "smoke", "frost", ""} {
		_, ok := condition{Coverage: word("definite"), Weather: word(kind)}.code()
		assert.False(t, ok, kind)
	}
}

func TestPlaces(t *testing.T) {
	quay := &forecast.Place{Latitude: 43.07, Longitude: -70.74}
	f := parse(t, changed(t, func(top, _ object) { delete(top, "geometry") }), Options{Near: quay})
	assert.InDelta(t, 43.07, f.Place.Latitude, 1e-9)
	assert.InDelta(t, 3.048, f.Place.ElevationM, 1e-9)
	assert.Contains(t, f.Warnings, "the reply does not say where it is for: the place asked about is taken")

	f = parse(t, changed(t, func(_, p object) { p["elevation"] = object{"unitCode": "wmoUnit:m", "value": nil} }), Options{})
	assert.False(t, f.Place.HasElevation)

	// A cell across the date line, 179.99° E to 179.99° W.
	f = parse(t, changed(t, func(top, _ object) {
		top["geometry"].(object)["coordinates"] = []any{[]any{
			[]any{179.99, 52}, []any{179.99, 51.98}, []any{-179.99, 51.98}, []any{-179.99, 52}, []any{179.99, 52}}}
	}), Options{Near: &forecast.Place{Latitude: 51.99, Longitude: -180}})
	assert.InDelta(t, 51.99, f.Place.Latitude, 1e-9)
	assert.InDelta(t, 180, max(f.Place.Longitude, -f.Place.Longitude), 1e-9)
	assert.Empty(t, f.Warnings)

	f = parse(t, file(t, "nws_grid.json"), Options{Near: &forecast.Place{Latitude: 42.5, Longitude: -70.74}})
	assert.Equal(t, []string{"the forecast is for 43.07, -70.74, 63 km from the place asked about"}, f.Warnings)
}

func TestBadReplies(t *testing.T) {
	good := file(t, "nws_grid.json")
	assert.Equal(t, "it is empty", refusal(t, nil).Reason)
	assert.Equal(t, "it is a web page, not JSON", refusal(t, []byte("<html>")).Reason)
	assert.Contains(t, refusal(t, good[:len(good)/2]).Reason, "it breaks off after")
	assert.Contains(t, refusal(t, append(bytes.Clone(good), '1')).Reason, "more text follows the JSON")
	assert.Contains(t, refusal(t, []byte("[1]")).Reason, "not an object")
	assert.Equal(t, "it has no properties", refusal(t, []byte("{}")).Reason)
	assert.Contains(t, refusal(t, []byte(`{"type":"FeatureCollection","features":[]}`)).Reason, "a list of observations or alerts")
	assert.Equal(t, "it is the worded forecast, which lacks dew point and sky cover",
		refusal(t, []byte(`{"properties":{"periods":[]}}`)).Reason)
	assert.Contains(t, refusal(t, []byte(`{"properties":{"textDescription":"Clear","temperature":{"value":1}}}`)).Reason, "an observation")

	problem := refusal(t, file(t, "nws_problem.json"))
	assert.Equal(t, "the service refused: Not Found: '/gridpoints/OTQ/12,34' is not a valid resource path", problem.Reason)
	index := refusal(t, file(t, "nws_point.json"))
	assert.Equal(t, "it is only the index of the place, not its forecast", index.Reason)
	assert.Equal(t, "fetch https://api.weather.gov/gridpoints/OTQ/12,34", index.Fix)
}

func TestSpoiledGrids(t *testing.T) {
	const six = "2026-09-10T06:00:00+00:00/"
	degrees := func(interval string) object { return layerOf("wmoUnit:degC", interval, 12) }
	for name, c := range map[string]struct {
		spoil  func(top, p object)
		reason string
	}{
		"no temperature":    {func(_, p object) { delete(p, "temperature") }, "it has no temperature layer"},
		"empty temperature": {func(_, p object) { p["temperature"] = object{"values": []any{}} }, "its temperature layer is empty"},
		"null temperature":  {func(_, p object) { p["temperature"] = layerOf("wmoUnit:degC", six+"PT1H", nil) }, "its temperature layer is empty"},
		"no duration":       {func(_, p object) { p["temperature"] = degrees("2026-09-10T06:00:00+00:00") }, "is no interval like"},
		"no length":         {func(_, p object) { p["temperature"] = degrees(six + "PT0H") }, "is no interval like"},
		"month":             {func(_, p object) { p["temperature"] = degrees(six + "P1M") }, "is no interval like"},
		"no start":          {func(_, p object) { p["temperature"] = degrees("noon/PT1H") }, `temperature: "noon/PT1H" is no interval like`},
		"no offset":         {func(_, p object) { p["temperature"] = degrees("2026-09-10T06:00:00/PT1H") }, "is no interval like"},
		"endless":           {func(_, p object) { p["temperature"] = degrees(six + "P360D") }, "its temperature layer is 8640 hours long"},
		"no unit":           {func(_, p object) { p["windSpeed"] = layerOf(nil, six+"PT1H", 5) }, "layer windSpeed has no unit"},
		"unknown unit":      {func(_, p object) { p["windSpeed"] = layerOf("wmoUnit:beaufort", six+"PT1H", 5) }, `layer windSpeed has an unknown unit: "wmoUnit:beaufort"`},
		"text":              {func(_, p object) { p["dewpoint"] = layerOf("wmoUnit:degC", six+"PT1H", "NaN") }, "dewpoint.values.value is of type string where a number should be"},
		"layer a number":    {func(_, p object) { p["dewpoint"] = 3 }, "dewpoint is of type number where an object should be"},
		"weather of text":   {func(_, p object) { p["weather"] = layerOf(nil, six+"PT1H", "rain") }, "weather.values.value is of type string where an array should be"},
		"weather interval":  {func(_, p object) { p["weather"] = layerOf(nil, "PT1H", []any{}) }, `weather: "PT1H" is no interval like`},
		"issue":             {func(_, p object) { p["updateTime"] = "now" }, `updateTime is "now"`},
		"elevation unit":    {func(_, p object) { p["elevation"] = object{"unitCode": "wmoUnit:fathom", "value": 2} }, `elevation has an unknown unit: "wmoUnit:fathom"`},
		"elevation of text": {func(_, p object) { p["elevation"] = object{"value": "3"} }, "elevation.value is of type string"},
		"no polygon":        {func(top, _ object) { top["geometry"] = nil }, "its geometry is no polygon"},
		"flat polygon": {func(top, _ object) {
			top["geometry"].(object)["coordinates"] = []any{[]any{[]any{1}, []any{1}, []any{1}, []any{1}}}
		}, "a corner of its polygon has no longitude and latitude"},
		"latitude": {func(top, _ object) {
			top["geometry"].(object)["coordinates"] = []any{[]any{[]any{1, 95}, []any{1, 95}, []any{1, 95}, []any{1, 95}}}
		}, "latitude 95 is outside -90 to 90"},
	} {
		assert.Contains(t, refusal(t, changed(t, c.spoil)).Reason, c.reason, name)
	}
}

func TestRecordingFlorida(t *testing.T) {
	f := parse(t, recording(t, "gridpoint_TAE_58,65_florida_2022-02-04.json"), Options{})
	assert.Equal(t, utc("2022-02-04T03:15:41Z"), f.Issued)
	assert.Equal(t, utc("2022-02-03T21:00:00Z"), f.Start)
	assert.Equal(t, utc("2022-02-11T11:00:00Z"), f.End())
	assert.InDelta(t, 30.02, f.Place.Latitude, 0.01)
	assert.InDelta(t, -84.98, f.Place.Longitude, 0.01)
	assert.InDelta(t, 3.9624, f.Place.ElevationM, 1e-9)
	assert.Empty(t, f.Warnings)
	near(t, []any{22.777778, 22.222222, 20.555556, 20.}, values(f, forecast.AirTemperature)[:4])
	near(t, []any{5.658889, 5.658889, 4.63}, values(f, forecast.WindSpeed)[:3]) // 20.372 and 16.668 km/h
	near(t, []any{8.231111}, values(f, forecast.Gust)[:1])                      // 29.632 km/h
	near(t, times(5, 17.777778), values(f, forecast.DewPoint)[:5])              // PT5H

	// 4.826 mm from 4 February 12:00 over six hours, after 2.032 mm.
	i, _ := f.Index(utc("2022-02-04T12:00:00Z"))
	near(t, []any{2.032 / 6, 4.826 / 6}, values(f, forecast.Precipitation)[i-1:i+1])
	near(t, []any{6., 6.}, values(f, forecast.PrecipitationSpan)[i-1:i+1])
	near(t, []any{31., 68.}, values(f, forecast.PrecipitationProbability)[i-1:i+1])
	// Showers likely from then; thunder is isolated all the time.
	near(t, []any{80.}, values(f, forecast.WeatherCode)[i:i+1])
	assert.NotContains(t, values(f, forecast.WeatherCode), 95.0)
	// Amounts end on 10 February 12:00.
	i, _ = f.Index(utc("2022-02-10T12:00:00Z"))
	near(t, []any{0., nil}, values(f, forecast.Precipitation)[i-1:i+1])
}

func TestRecordingOldUnits(t *testing.T) {
	f := parse(t, recording(t, "gridpoint_RAH_67,53_2019-01-23_oldunits.json"), Options{})
	assert.Equal(t, utc("2019-01-23T17:00:00Z"), f.Start)
	assert.Equal(t, utc("2019-01-31T13:00:00Z"), f.End())
	near(t, []any{12.777778, 14.444444}, values(f, forecast.AirTemperature)[:2])
	near(t, []any{1.543332, 2.57222}, values(f, forecast.WindSpeed)[:2]) // m/s then
	near(t, []any{0., 0.127, 0.127}, values(f, forecast.Precipitation)[:3])
	near(t, []any{nil, 6., 6.}, values(f, forecast.PrecipitationSpan)[:3])
	i, _ := f.Index(utc("2019-01-25T00:00:00Z"))
	near(t, []any{12.}, values(f, forecast.PrecipitationSpan)[i:i+1])
	assert.Nil(t, f.Members[0].Columns[forecast.Pressure].Known, "29.92 of what?")
	assert.Contains(t, f.Warnings, "layer pressure comes without a unit and is left out")
}

// Every layer that is read refuses a unit of another dimension.
func TestUnitsEverywhere(t *testing.T) {
	for _, l := range layers {
		bad := refusal(t, changed(t, func(_, p object) {
			p[l.name] = layerOf("wmoUnit:smoot", "2026-09-10T06:00:00Z/PT1H", 5)
		}))
		assert.Equal(t, "layer "+l.name+` has an unknown unit: "wmoUnit:smoot"`, bad.Reason)
	}
	bad := refusal(t, changed(t, func(_, p object) {
		p["quantitativePrecipitation"] = layerOf("wmoUnit:degC", "2026-09-10T06:00:00Z/PT1H", 5)
	}))
	assert.Equal(t, `layer quantitativePrecipitation has an unknown unit: "wmoUnit:degC"`, bad.Reason)
}

// Layers that are empty, null or not there are all the same: absent.
func TestAbsentLayers(t *testing.T) {
	for name, absent := range map[string]any{
		"empty": object{"values": []any{}}, "null": nil, "nulls": layerOf("wmoUnit:percent", "2026-09-10T06:00:00Z/PT9H", nil),
	} {
		f := parse(t, changed(t, func(_, p object) {
			p["skyCover"], p["probabilityOfPrecipitation"], p["relativeHumidity"], p["dewpoint"] = absent, absent, absent, absent
			p["quantitativePrecipitation"], p["windSpeed"] = absent, absent
			delete(p, "weather")
		}), Options{})
		for _, q := range []forecast.Quantity{
			forecast.CloudCover, forecast.PrecipitationProbability, forecast.Humidity, forecast.DewPoint,
			forecast.Precipitation, forecast.PrecipitationSpan, forecast.WindSpeed, forecast.WeatherCode,
		} {
			assert.Nil(t, f.Members[0].Columns[q].Known, "%s %v", name, q)
		}
		assert.Equal(t, []string{"the reply has no humidity or dew point", "the reply has no wind speed"}, f.Warnings, name)
	}
}

// Without sky cover an hour without weather has no code: it is not clear.
func TestNoCodeWithoutSkyCover(t *testing.T) {
	f := parse(t, changed(t, func(_, p object) { delete(p, "skyCover") }), Options{})
	codes := values(f, forecast.WeatherCode)
	near(t, []any{nil, nil, nil, 80.}, codes[:4])
}

func TestWeatherTwice(t *testing.T) {
	rain := []any{object{"coverage": "likely", "weather": "rain", "intensity": "light"}}
	f := parse(t, changed(t, func(_, p object) {
		p["weather"] = layerOf(nil, "2026-09-10T06:00:00Z/PT3H", rain, "2026-09-10T08:00:00Z/PT3H", nil, "2026-09-10T07:00:00Z/PT1H", rain)
	}), Options{})
	assert.Nil(t, f.Members[0].Columns[forecast.WeatherCode].Known)
	assert.Contains(t, f.Warnings, "layer weather states two values for the same time and is left out")
}

// WMO code table 4677 by intensity, light, moderate, heavy: 51, 53, 55 drizzle; 56, 57
// freezing drizzle; 61, 63, 65 rain; 66, 67 freezing rain; 71, 73, 75 snow; 79 ice
// pellets; 80, 81, 82 showers; 85, 86 showers of snow; 45 fog, 48 depositing rime; 95
// thunderstorm.
func TestConditionCodes_WMO4677(t *testing.T) {
	word := func(s string) *string { return &s }
	for kind, want := range map[string][3]float64{
		"drizzle": {51, 53, 55}, "freezing_drizzle": {56, 57, 57}, "rain": {61, 63, 65}, "freezing_rain": {66, 67, 67}, "snow": {71, 73, 75},
		"sleet": {79, 79, 79}, "rain_showers": {80, 81, 82}, "snow_showers": {85, 86, 86}, "fog": {45, 45, 45}, "freezing_fog": {48, 48, 48},
		"ice_fog": {48, 48, 48}, "thunderstorms": {95, 95, 95},
	} {
		for k, intensity := range []string{"light", "moderate", "heavy"} {
			code, ok := condition{word("likely"), word(kind), word(intensity)}.code()
			require.True(t, ok, kind)
			assert.Equal(t, want[k], code, "%s %s", intensity, kind)
		}
	}
}
