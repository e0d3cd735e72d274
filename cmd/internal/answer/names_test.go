package answer

import "dewgap/forecast"

// Short names for columns that tests spoil.
const (
	forecastWind     = forecast.WindSpeed
	forecastDew      = forecast.DewPoint
	forecastHumidity = forecast.Humidity
)
