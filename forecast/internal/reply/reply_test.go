package reply

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

func TestUnits(t *testing.T) {
	for _, c := range []struct {
		q           forecast.Quantity
		unit        string
		given, want float64
	}{
		{forecast.AirTemperature, "wmoUnit:degC", 12, 12},
		{forecast.AirTemperature, "unit:degF", 212, 100},
		{forecast.AirTemperature, "K", 273.15, 0},
		{forecast.WindSpeed, "wmoUnit:km_h-1", 36, 10},
		{forecast.WindSpeed, "unit:m_s-1", 7, 7},
		{forecast.Gust, "KN", 3600.0 / 1852, 1},
		{forecast.WindFrom, "wmoUnit:degree_(angle)", 90, 90},
		{forecast.Pressure, "wmoUnit:Pa", 101325, 1013.25},
		{forecast.Pressure, "inHg", 29.92, 1013.21}, // standard altimeter setting
		{forecast.Precipitation, "wmoUnit:mm", 2, 2},
		{forecast.Precipitation, "inch", 1, 25.4},
		{forecast.Visibility, "mi", 1, 1609.344},
		{forecast.UVIndexClearSky, "1", 6, 6},
		{forecast.GlobalRadiation, "W/m2", 6, 6},
	} {
		l, ok := Unit(c.q, c.unit)
		require.True(t, ok, "%v in %s", c.q, c.unit)
		assert.InDelta(t, c.want, l.Of(c.given), 1e-2*math.Max(1, c.want)*1e-2, "%v in %s", c.q, c.unit)
	}
	for _, c := range []struct {
		q    forecast.Quantity
		unit string
	}{
		{forecast.AirTemperature, ""}, {forecast.AirTemperature, "%"}, {forecast.WindSpeed, "undefined"},
		{forecast.Precipitation, "hPa"}, {forecast.UVIndex, "%"}, {forecast.PrecipitationSpan, "h"},
	} {
		_, ok := Unit(c.q, c.unit)
		assert.False(t, ok, "%v in %q", c.q, c.unit)
	}
	m, ok := Metres(10, "wmoUnit:ft")
	assert.True(t, ok)
	assert.InDelta(t, 3.048, m, 1e-12)
	_, ok = Metres(10, "fathom")
	assert.False(t, ok)
}

// Every quantity that a service states has units, bounds and a Kind's worth of
// sense; one added to the forecast must be added here.
func TestEveryQuantityIsCovered(t *testing.T) {
	for q := range forecast.Quantity(forecast.Quantities) {
		assert.Less(t, possible[q].low, possible[q].high, q)
		assert.LessOrEqual(t, possible[q].low, possible[q].floor, q)
		assert.GreaterOrEqual(t, possible[q].high, possible[q].ceiling, q)
		if q != forecast.PrecipitationSpan {
			assert.NotNil(t, unitsOf[q], q)
		}
	}
}

func TestPossible(t *testing.T) {
	for _, c := range []struct {
		q           forecast.Quantity
		given, want float64
		ok          bool
	}{
		{forecast.AirTemperature, -89.2, -89.2, true}, // Vostok 1983
		{forecast.AirTemperature, 56.7, 56.7, true},   // Furnace Creek 1913
		{forecast.AirTemperature, 60.1, 0, false},
		{forecast.AirTemperature, -90.1, 0, false},
		{forecast.Humidity, 104, 100, true},
		{forecast.Humidity, 105.5, 0, false},
		{forecast.Humidity, -1, 0, false},
		{forecast.WindSpeed, -0.1, 0, false},
		{forecast.WindSpeed, 121, 0, false},
		{forecast.Gust, 113.2, 113.2, true}, // Barrow Island 1996
		{forecast.Precipitation, -0.1, 0, false},
		{forecast.Precipitation, math.Copysign(0, -1), 0, true},
		{forecast.Pressure, 870, 870, true}, // Typhoon Tip 1979
		{forecast.Pressure, 499, 0, false},
		{forecast.Pressure, 101325, 0, false},
		{forecast.GlobalRadiation, -4, 0, true},
		{forecast.GlobalRadiation, -21, 0, false},
		{forecast.GlobalRadiation, 1601, 0, false},
		{forecast.UVIndex, 43, 43, true}, // Licancabur 2003
		{forecast.WindFrom, 361, 0, false},
		{forecast.AirTemperature, math.NaN(), 0, false},
		{forecast.AirTemperature, math.Inf(1), 0, false},
	} {
		v, ok := Possible(c.q, c.given)
		assert.Equal(t, c.ok, ok, "%v %v", c.q, c.given)
		if ok {
			assert.Equal(t, c.want, v, "%v %v", c.q, c.given)
			assert.False(t, math.Signbit(v) && v == 0)
		}
	}
}

func TestImpossible(t *testing.T) {
	var p Impossible
	assert.Empty(t, p.Warnings())
	p.Add("windSpeed", forecast.WindSpeed, -3)
	p.Add("relativeHumidity", forecast.Humidity, 140)
	p.Add("windSpeed", forecast.WindSpeed, 300)
	assert.Equal(t, []string{
		"column windSpeed: 2 impossible values left out (the first is -3, wind speed must lie in 0 to 120)",
		"column relativeHumidity: 1 impossible value left out (the first is 140, humidity must lie in 0 to 105)",
	}, p.Warnings())
}

// US Standard Atmosphere 1976, table of pressure by height.
func TestGroundPressure(t *testing.T) {
	for m, hPa := range map[float64]float64{0: 1013.25, 100: 1001.29, 500: 954.61, 1000: 898.75, 2000: 794.95} {
		assert.InDelta(t, hPa, GroundPressure(1013.25, m), 0.15, "%v m", m)
	}
}

func TestFar(t *testing.T) {
	quay := forecast.Place{Latitude: 43.07, Longitude: -70.74}
	for name, c := range map[string]struct {
		near    *forecast.Place
		got     forecast.Place
		warning string
		refusal string
	}{
		"nobody asked": {nil, forecast.Place{Latitude: -33.87, Longitude: 151.21}, "", ""},
		"24.5 km":      {&quay, forecast.Place{Latitude: 43.29, Longitude: -70.74}, "", ""},
		"25.6 km":      {&quay, forecast.Place{Latitude: 43.30, Longitude: -70.74}, "26 km from the place asked about", ""},
		"99.0 km":      {&quay, forecast.Place{Latitude: 43.96, Longitude: -70.74}, "99 km from the place asked about", ""},
		"101.2 km":     {&quay, forecast.Place{Latitude: 43.98, Longitude: -70.74}, "", "it is for a place 101 km away, 43.98, -70.74"},
		"antipodes":    {&quay, forecast.Place{Latitude: -43.07, Longitude: 109.26}, "", "20015 km away"},
	} {
		warning, bad := Far("Open-Meteo", c.near, c.got)
		assert.Equal(t, c.warning == "", warning == "", name)
		assert.Contains(t, warning, c.warning, name)
		if c.refusal == "" {
			assert.Nil(t, bad, name)
			continue
		}
		require.NotNil(t, bad, name)
		assert.Equal(t, "Open-Meteo", bad.Service, name)
		assert.Contains(t, bad.Reason, c.refusal, name)
		assert.Contains(t, bad.Fix, "mend latitude and longitude", name)
	}
}

func TestCheckPlace(t *testing.T) {
	assert.Empty(t, CheckPlace(forecast.Place{Latitude: -90, Longitude: 180}))
	assert.NotEmpty(t, CheckPlace(forecast.Place{Latitude: 90.1}))
	assert.NotEmpty(t, CheckPlace(forecast.Place{Longitude: 180.1}))
	assert.NotEmpty(t, CheckPlace(forecast.Place{Latitude: math.NaN()}))
	assert.NotEmpty(t, CheckPlace(forecast.Place{ElevationM: 12000, HasElevation: true}))
}

func TestMissing(t *testing.T) {
	var m forecast.Member
	assert.Equal(t, []string{"air temperature", "humidity or dew point", "wind speed"}, Missing(&m))
	for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.DewPoint, forecast.WindSpeed} {
		m.Columns[q] = forecast.NewColumn(1)
		m.Columns[q].Set(0, 5)
	}
	assert.Empty(t, Missing(&m))
}

func TestZone(t *testing.T) {
	assert.NotNil(t, Zone("America/New_York"))
	for _, name := range []string{"", "Local", "Otter/Quay", "../etc/passwd"} {
		assert.Nil(t, Zone(name), name)
	}
}
