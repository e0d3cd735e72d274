package reply

import (
	"math"
	"strings"

	"dewgap/forecast"
)

// Linear turns a service's unit into ours: ours = A·theirs + B.
type Linear struct{ A, B float64 }

// Of converts one value.
func (l Linear) Of(v float64) float64 { return l.A*v + l.B }

var same = Linear{A: 1}

type unitTable map[string]Linear

// The units that the services use or can be told to use, lower-cased and
// without the "wmoUnit:" that NWS puts before them. Factors are exact by
// definition: inch 25.4 mm, foot 0.3048 m, mile 1609.344 m, knot 1852 m/h.
var (
	temperatures = unitTable{
		"°c": same, "celsius": same, "degc": same, "c": same,
		"°f": fahrenheit, "fahrenheit": fahrenheit, "degf": fahrenheit, "f": fahrenheit,
		"k": {1, -273.15}, "kelvin": {1, -273.15},
	}
	percents  = unitTable{"%": same, "percent": same}
	pressures = unitTable{"hpa": same, "mbar": same, "mb": same, "pa": {A: 0.01}, "kpa": {A: 10}, "inhg": {A: 33.86389}}
	speeds    = unitTable{
		"m/s": same, "ms": same, "m_s-1": same,
		"km/h": {A: 1 / 3.6}, "kmh": {A: 1 / 3.6}, "km_h-1": {A: 1 / 3.6},
		"mp/h": {A: 1609.344 / 3600}, "mph": {A: 1609.344 / 3600}, "mi_h-1": {A: 1609.344 / 3600},
		"kn": {A: 1852.0 / 3600}, "kt": {A: 1852.0 / 3600}, "kts": {A: 1852.0 / 3600}, "knots": {A: 1852.0 / 3600},
	}
	angles      = unitTable{"°": same, "degree": same, "degrees": same, "degree_(angle)": same}
	depths      = unitTable{"mm": same, "cm": {A: 10}, "m": {A: 1000}, "inch": {A: 25.4}, "in": {A: 25.4}, "kg/m²": same, "kg_m-2": same}
	distances   = unitTable{"m": same, "km": {A: 1000}, "ft": {A: 0.3048}, "mi": {A: 1609.344}}
	irradiances = unitTable{"w/m²": same, "w/m2": same, "w_m-2": same}
	codes       = unitTable{"wmo code": same, "": same}
	indices     = unitTable{"": same, "1": same}
)

var fahrenheit = Linear{5.0 / 9, -160.0 / 9}

var unitsOf = [forecast.Quantities]unitTable{
	forecast.AirTemperature: temperatures, forecast.DewPoint: temperatures,
	forecast.Humidity: percents, forecast.Pressure: pressures,
	forecast.WindSpeed: speeds, forecast.WindFrom: angles, forecast.Gust: speeds,
	forecast.CloudCover: percents, forecast.CloudLow: percents,
	forecast.CloudMiddle: percents, forecast.CloudHigh: percents,
	forecast.Precipitation: depths, forecast.PrecipitationProbability: percents,
	forecast.ThunderProbability: percents, forecast.WeatherCode: codes,
	forecast.Visibility: distances, forecast.GlobalRadiation: irradiances,
	forecast.DirectRadiation: irradiances, forecast.DiffuseRadiation: irradiances,
	forecast.UVIndex: indices, forecast.UVIndexClearSky: indices,
}

// Unit gives the conversion from a service's unit into that of the quantity;
// ok is false for a unit that is unknown or of another dimension.
func Unit(q forecast.Quantity, unit string) (Linear, bool) {
	l, ok := unitsOf[q][bare(unit)]
	return l, ok
}

// Metres converts a height or distance; ok as for [Unit].
func Metres(v float64, unit string) (m float64, ok bool) {
	l, ok := distances[bare(unit)]
	return l.Of(v), ok
}

// bare strips the vocabulary's name and the case from a unit.
func bare(unit string) string {
	if i := strings.LastIndexByte(unit, ':'); i >= 0 {
		unit = unit[i+1:]
	}
	return strings.ToLower(strings.TrimSpace(unit))
}

// GroundPressure takes a pressure reduced to sea level, hPa, back to the
// ground at an elevation in metres by the standard atmosphere: temperature
// 288.15 K at sea level, falling by 6.5 K/km (US Standard Atmosphere 1976,
// equation 33a). Services reduce with the day's own temperature, so that the
// result is good to about 1 hPa below 300 m.
func GroundPressure(seaLevelHPa, elevationM float64) float64 {
	return seaLevelHPa * math.Pow(1-0.0065*elevationM/288.15, 5.25588)
}
