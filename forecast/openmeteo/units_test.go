package openmeteo

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/forecast"
)

// Every unit that the service can be told to use, by its own spelling, against
// exact definitions: inch 25.4 mm, foot 0.3048 m, mile 1609.344 m, knot
// 1852 m/h, 0 °C = 32 °F, 100 °C = 212 °F.
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		column, unit string
		given, want  float64
		quantity     forecast.Quantity
	}{
		{"temperature_2m", "°C", 15, 15, forecast.AirTemperature},
		{"temperature_2m", "°F", 59, 15, forecast.AirTemperature},
		{"temperature_2m", "K", 288.15, 15, forecast.AirTemperature},
		{"dew_point_2m", "fahrenheit", 32, 0, forecast.DewPoint},
		{"dew_point_2m", "celsius", -3, -3, forecast.DewPoint},
		{"relative_humidity_2m", "%", 88, 88, forecast.Humidity},
		{"wind_speed_10m", "km/h", 36, 10, forecast.WindSpeed},
		{"wind_speed_10m", "m/s", 10, 10, forecast.WindSpeed},
		{"wind_speed_10m", "mp/h", 10, 4.4704, forecast.WindSpeed},
		{"wind_speed_10m", "mph", 10, 4.4704, forecast.WindSpeed},
		{"wind_speed_10m", "kn", 10, 5.144444, forecast.WindSpeed},
		{"wind_direction_10m", "°", 360, 360, forecast.WindFrom},
		{"surface_pressure", "hPa", 1013, 1013, forecast.Pressure},
		{"surface_pressure", "kPa", 101.3, 1013, forecast.Pressure},
		{"surface_pressure", "Pa", 101300, 1013, forecast.Pressure},
		{"visibility", "m", 5000, 5000, forecast.Visibility},
		{"visibility", "ft", 10000, 3048, forecast.Visibility},
		{"cloud_cover", "%", 50, 50, forecast.CloudCover},
		{"weather_code", "wmo code", 63, 63, forecast.WeatherCode},
	} {
		f := parse(t, simple(func(_, units, hourly object) {
			hourly[c.column], units[c.column] = []any{c.given, c.given, c.given}, c.unit
		}), Options{})
		got, known := f.Members[0].Columns[c.quantity].At(0)
		assert.True(t, known, "%s in %s", c.column, c.unit)
		assert.InDelta(t, c.want, got, 1e-5, "%s in %s", c.column, c.unit)
	}
	for unit, want := range map[string]float64{"mm": 0.2, "inch": 5.08, "cm": 2} {
		f := parse(t, simple(func(_, units, hourly object) {
			hourly["precipitation"], units["precipitation"] = []any{0, 0.2, 0}, unit
		}), Options{})
		near(t, []any{want, 0., nil}, values(f, 0, forecast.Precipitation))
	}
}
