package crew

import "math"

// Where wind chill is defined: air at most 50 °F and wind above 3 mph.
const (
	chillMaxC   = 10.0
	chillMinMPH = 3
	metrePerS   = 0.44704 // in a mile per hour
)

// WindChill gives the wind chill temperature in °C of air at tC °C in a wind of
// windMS m/s at 10 m over open ground, by the index of 2001 of the US and
// Canadian weather services: 35.74 + 0.6215 t − 35.75 v^0.16 + 0.4275 t v^0.16
// in °F and mph (the metric form, with rounded coefficients of its own, agrees
// within 0.1 K). Above 10 °C, or in wind of 3 mph (1.3 m/s) and less, there is no wind
// chill and the air temperature is returned.
func WindChill(tC, windMS float64) float64 {
	v := windMS / metrePerS
	if tC > chillMaxC || v <= chillMinMPH {
		return tC
	}
	f, p := fahrenheit(tC), math.Pow(v, 0.16)
	return celsius(35.74 + 0.6215*f - 35.75*p + 0.4275*f*p)
}

// Lines for the cold, as a caution uses them. They are from memory, not cited.
const (
	// ChillCautionC is the wind chill in °C below which bare hands lose their
	// grip within an hour or so.
	ChillCautionC = 4
	// ChillWarningC is the wind chill in °C from which a body loses heat even
	// when it is dressed for work.
	ChillWarningC = -10
	// ChillDangerC is the wind chill in °C from which bare skin freezes within
	// about half an hour.
	ChillDangerC = -28
	// IceC is the air temperature in °C below which a deck under a clear sky
	// may carry ice or frost, being some kelvin colder than the air.
	IceC = 3
	// ColdWaterC is the water temperature in °C below which a fall into it
	// takes the breath away.
	ColdWaterC = 15
)
