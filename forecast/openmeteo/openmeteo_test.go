package openmeteo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

func TestHourly(t *testing.T) {
	f := parse(t, file(t, "openmeteo_hourly.json"), Options{Near: &quay})

	assert.Equal(t, "Open-Meteo", f.Service)
	assert.Equal(t, "Weather data by Open-Meteo.com", f.Attribution)
	assert.Contains(t, f.Licence, "CC BY 4.0")
	assert.Contains(t, f.Licence, "https://open-meteo.com/")
	assert.Equal(t, forecast.Place{Latitude: 43.07, Longitude: -70.74, ElevationM: 3, HasElevation: true}, f.Place)
	assert.Equal(t, "America/New_York", f.Timezone)
	assert.True(t, f.Issued.IsZero(), "the service does not say when it made the forecast")
	assert.Empty(t, f.Warnings)
	assert.Equal(t, utc("2026-09-10T14:00:00Z"), f.Start, "10:00 at four hours west")
	assert.Equal(t, 6, f.N)
	require.Len(t, f.Members, 1)
	assert.Empty(t, f.Members[0].Name)

	// Instants stand at their stamp.
	near(t, []any{16.2, 17.4, 18.5, 19.3, 19.8, 20.0}, values(f, 0, forecast.AirTemperature))
	near(t, []any{82., 76., 71., 68., 66., 65.}, values(f, 0, forecast.Humidity))
	near(t, []any{13.1, 13.1, 13.2, 13.3, 13.3, 13.3}, values(f, 0, forecast.DewPoint))
	near(t, []any{1016.4, 1016.2, 1015.9, 1015.5, 1015.1, 1014.8}, values(f, 0, forecast.Pressure))
	near(t, []any{2., 2.5, 3., 3.5, 4., 5.}, values(f, 0, forecast.WindSpeed)) // km/h ÷ 3.6
	near(t, []any{350., 355., 0., 5., 10., 20.}, values(f, 0, forecast.WindFrom))
	near(t, []any{10., 20., 30., 100., 100., nil}, values(f, 0, forecast.CloudCover))
	near(t, []any{0., 0., 10., 80., 90., nil}, values(f, 0, forecast.CloudLow))
	near(t, []any{0., 10., 10., 60., 70., nil}, values(f, 0, forecast.CloudMiddle))
	near(t, []any{10., 10., 20., 100., 100., nil}, values(f, 0, forecast.CloudHigh))
	near(t, []any{1., 1., 2., 3., 61., 95.}, values(f, 0, forecast.WeatherCode))
	near(t, []any{24140., 24140., 24000., 18000., 9000., 4000.}, values(f, 0, forecast.Visibility))

	// What describes the hour before its stamp moves one interval up.
	near(t, []any{5., 6., 7., 8., 10., nil}, values(f, 0, forecast.Gust))
	near(t, []any{0., 0., 0., 0.4, 1.2, nil}, values(f, 0, forecast.Precipitation))
	near(t, []any{2., 5., 20., 45., 70., nil}, values(f, 0, forecast.PrecipitationProbability))
	near(t, []any{452., 561., 628., 240., 95., nil}, values(f, 0, forecast.GlobalRadiation))
	near(t, []any{340., 441., 500., 30., 0., nil}, values(f, 0, forecast.DirectRadiation))
	near(t, []any{112., 120., 128., 210., 95., nil}, values(f, 0, forecast.DiffuseRadiation))
	near(t, []any{3.2, 4.55, 5.3, 2.1, 0.9, nil}, values(f, 0, forecast.UVIndex))
	near(t, []any{3.3, 4.8, 5.9, 5.6, 4.7, nil}, values(f, 0, forecast.UVIndexClearSky))

	assert.Nil(t, f.Members[0].Columns[forecast.PrecipitationSpan].Known, "every amount is over one hour")
	assert.Nil(t, f.Members[0].Columns[forecast.ThunderProbability].Known, "the reply has none")
}

func TestImperialUnixTime(t *testing.T) {
	f := parse(t, file(t, "openmeteo_imperial_unixtime.json"), Options{})

	assert.Equal(t, utc("2026-09-10T14:00:00Z"), f.Start, "1789048800 by date -u")
	near(t, []any{10., 15., 20., 25.}, values(f, 0, forecast.AirTemperature))
	near(t, []any{0., 0.98349, 2.01168, 4.4704}, values(f, 0, forecast.WindSpeed)) // 1 mph = 0.44704 m/s
	near(t, []any{2.2352, 4.4704, 8.9408, nil}, values(f, 0, forecast.Gust))
	near(t, []any{2.54, 0., 1.016, nil}, values(f, 0, forecast.Precipitation))
	near(t, []any{304.8, 3048., 16093.44, 16093.44}, values(f, 0, forecast.Visibility))

	// Pressure at sea level only, and the ground 3 m above it: 12 Pa a metre.
	p, _ := f.Members[0].Columns[forecast.Pressure].At(0)
	assert.InDelta(t, 1013.25-3*0.12, p, 0.01)
}

func TestOldNames(t *testing.T) {
	f := parse(t, file(t, "openmeteo_old_names.json"), Options{})

	near(t, []any{91., 90., 88.}, values(f, 0, forecast.Humidity))
	near(t, []any{13.4, 13.4, 13.6}, values(f, 0, forecast.DewPoint))
	near(t, []any{0., 5., 10.}, values(f, 0, forecast.CloudCover))
	near(t, []any{0., 5., 5.}, values(f, 0, forecast.CloudLow))
	near(t, []any{1.02889, 1.54333, 2.57222}, values(f, 0, forecast.WindSpeed)) // 1 kn = 1852/3600 m/s
	near(t, []any{3.08667, 5.14444, nil}, values(f, 0, forecast.Gust))
	near(t, []any{200., 205., 210.}, values(f, 0, forecast.WindFrom))
	near(t, []any{45., 45., 1.}, values(f, 0, forecast.WeatherCode))
}

func TestArrayReply(t *testing.T) {
	data := file(t, "openmeteo_places.json")

	t.Run("nearest place", func(t *testing.T) {
		f := parse(t, data, Options{Near: &quay})
		assert.InDelta(t, -70.75, f.Place.Longitude, 1e-9)
		near(t, []any{15., 14.5}, values(f, 0, forecast.AirTemperature))
		assert.Empty(t, f.Warnings)
	})
	t.Run("first place with a warning", func(t *testing.T) {
		f := parse(t, data, Options{})
		assert.InDelta(t, -71.5, f.Place.Longitude, 1e-9)
		require.Len(t, f.Warnings, 1)
		assert.Contains(t, f.Warnings[0], "3 places")
		assert.Contains(t, f.Warnings[0], "43.50, -71.50")
	})
	t.Run("far away", func(t *testing.T) {
		f := parse(t, data, Options{Near: &forecast.Place{Latitude: 41.5, Longitude: -71}})
		assert.InDelta(t, 42.3, f.Place.Latitude, 1e-9)
		require.Len(t, f.Warnings, 1)
		assert.Contains(t, f.Warnings[0], "89 km from the place asked about") // 0.8° of a great circle
	})
}

func TestTimezoneTellsThePlace(t *testing.T) {
	for zone, want := range map[string]string{
		"America/New_York": "America/New_York",
		"GMT":              "", // what the service says when nobody asked
		"Local":            "",
		"Otter/Quay":       "",
	} {
		f := parse(t, simple(func(top, _, _ object) { top["timezone"] = zone }), Options{})
		assert.Equal(t, want, f.Timezone, zone)
	}
}

func TestMissingIsAbsentAndSaid(t *testing.T) {
	f := parse(t, simple(func(_, units, hourly object) {
		hourly["temperature_2m"] = []any{15, nil, 14}
		hourly["wind_speed_10m"], units["wind_speed_10m"] = []any{nil, nil, nil}, "undefined"
		delete(hourly, "relative_humidity_2m")
	}), Options{})

	assert.Equal(t, []any{15.0, nil, 14.0}, values(f, 0, forecast.AirTemperature), "nothing is drawn across a null")
	assert.Nil(t, f.Members[0].Columns[forecast.WindSpeed].Known)
	assert.Equal(t, []string{"the reply has no humidity or dew point", "the reply has no wind speed"}, f.Warnings)
}

func TestImpossibleValuesAreLeftOut(t *testing.T) {
	f := parse(t, simple(func(_, units, hourly object) {
		hourly["temperature_2m"] = []any{15, 999, -200}
		hourly["relative_humidity_2m"] = []any{103, 106, -1}
		hourly["shortwave_radiation"], units["shortwave_radiation"] = []any{0, -3, 2000}, "W/m²"
		hourly["precipitation"], units["precipitation"] = []any{0, -0.1, 0.2}, "mm"
	}), Options{})

	assert.Equal(t, []any{15.0, nil, nil}, values(f, 0, forecast.AirTemperature))
	assert.Equal(t, []any{100.0, nil, nil}, values(f, 0, forecast.Humidity))
	assert.Equal(t, []any{0.0, nil, nil}, values(f, 0, forecast.GlobalRadiation))
	assert.Equal(t, []any{nil, 0.2, nil}, values(f, 0, forecast.Precipitation))
	text := assertOne(t, f.Warnings, "column temperature_2m")
	assert.Contains(t, text, "2 impossible values left out")
	assert.Contains(t, text, "999")
	assertOne(t, f.Warnings, "column precipitation: 1 impossible value left out")
	assertOne(t, f.Warnings, "column shortwave_radiation")
}

func assertOne(t *testing.T, lines []string, part string) (line string) {
	t.Helper()
	n := 0
	for _, l := range lines {
		if len(l) >= len(part) && l[:len(part)] == part {
			line = l
			n++
		}
	}
	require.Equal(t, 1, n, "%q in %q", part, lines)
	return line
}

func TestThirdOfTheRadiations(t *testing.T) {
	add := func(columns map[string][]any) *forecast.Forecast {
		return parse(t, simple(func(_, units, hourly object) {
			for name, v := range columns {
				hourly[name], units[name] = v, "W/m²"
			}
		}), Options{})
	}
	f := add(map[string][]any{"shortwave_radiation": {0, 500, 300}, "direct_radiation": {0, 380, nil}})
	near(t, []any{120., nil, nil}, values(f, 0, forecast.DiffuseRadiation))

	f = add(map[string][]any{"diffuse_radiation": {0, 90, 80}, "direct_radiation": {0, 380, 200}})
	near(t, []any{470., 280., nil}, values(f, 0, forecast.GlobalRadiation))

	f = add(map[string][]any{"shortwave_radiation": {0, 500, 50}, "diffuse_radiation": {0, 120, 51}})
	near(t, []any{380., 0., nil}, values(f, 0, forecast.DirectRadiation))

	f = add(map[string][]any{"shortwave_radiation": {0, 500, 300}})
	assert.Nil(t, f.Members[0].Columns[forecast.DirectRadiation].Known, "one of three makes no second")
}

func TestPrecipitationFromItsParts(t *testing.T) {
	f := parse(t, simple(func(_, units, hourly object) {
		hourly["rain"], units["rain"] = []any{0, 0.5, 0}, "mm"
		hourly["showers"], units["showers"] = []any{0, 0.25, nil}, "mm"
		hourly["snowfall"], units["snowfall"] = []any{0, 0.7, 0}, "cm" // 7 cm melt to 10 mm
	}), Options{})
	near(t, []any{1.75, nil, nil}, values(f, 0, forecast.Precipitation))
	assertOne(t, f.Warnings, "the reply has no precipitation: the sum of ")

	f = parse(t, simple(func(_, units, hourly object) {
		hourly["snowfall"], units["snowfall"] = []any{0, 0, 0}, "cm"
	}), Options{})
	assert.Nil(t, f.Members[0].Columns[forecast.Precipitation].Known, "no snow does not mean no rain")
}
