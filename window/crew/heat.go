package crew

import "math"

// fahrenheit turns °C into °F.
func fahrenheit(c float64) float64 { return c*9/5 + 32 }

// celsius turns °F into °C.
func celsius(f float64) float64 { return (f - 32) * 5 / 9 }

// Heat index lines of the US National Weather Service, and the screening line.
const (
	// HeatScreenC is the heat index in °C (85 °F) that CDC MMWR 67(26), 2018,
	// found a usable first screen when no WBGT is at hand.
	HeatScreenC = (85.0 - 32) * 5 / 9

	heatExtremeCautionF = 90  // NWS "extreme caution"
	heatDangerF         = 105 // NWS "danger"
)

// HeatIndex gives the heat index in °C of air at tC °C with a relative humidity
// of rhPct %, 0–100, by the algorithm of the US National Weather Service:
// Steadman's simple mean, and from a mean of 80 °F on the Rothfusz regression
// with its two adjustments (NWS Technical Attachment SR 90-23, as the service
// publishes it). It holds for a person in the shade and a light wind; full sun
// adds up to 8 K, for which see [WBGT]. Cold air gives about its own
// temperature.
func HeatIndex(tC, rhPct float64) float64 {
	t, r := fahrenheit(tC), math.Min(math.Max(rhPct, 0), 100)
	simple := 0.5 * (t + 61 + 1.2*(t-68) + 0.094*r)
	if (simple+t)/2 < 80 {
		return celsius(simple)
	}
	return celsius(rothfusz(t, r) + rothfuszAdjustment(t, r))
}

// rothfusz is the regression in °F and %, valid from about 80 °F on.
func rothfusz(t, r float64) float64 {
	return -42.379 + 2.04901523*t + 10.14333127*r - 0.22475541*t*r -
		0.00683783*t*t - 0.05481717*r*r +
		0.00122874*t*t*r + 0.00085282*t*r*r - 0.00000199*t*t*r*r
}

// rothfuszAdjustment mends the regression in very dry and very damp air, °F.
func rothfuszAdjustment(t, r float64) float64 {
	switch {
	case r < 13 && t >= 80 && t <= 112:
		return -(13 - r) / 4 * math.Sqrt((17-math.Abs(t-95))/17)
	case r > 85 && t >= 80 && t <= 87:
		return (r - 85) / 10 * (87 - t) / 5
	}
	return 0
}

// Metabolic rates in W of a grown person at the work of this trade, by analogy
// with the classes of ISO 7243 (from memory, not read).
const (
	RestW   = 115 // sitting
	PolishW = 300 // machine polishing, scrubbing: moderate work
)

// ExposureLimit gives the WBGT in °C at which NIOSH recommends that people who
// are used to the heat take rest breaks or stop, at a metabolic rate of watts
// W: 56.7 − 11.5 log10 M (NIOSH 2016-106, REL). It holds from about 115 to
// 520 W; outside, the nearer end is taken.
func ExposureLimit(watts float64) float64 { return 56.7 - 11.5*math.Log10(workRate(watts)) }

// AlertLimit is [ExposureLimit] for people who are not yet used to the heat:
// 59.9 − 14.1 log10 M (NIOSH 2016-106, RAL; the two numbers are from memory).
func AlertLimit(watts float64) float64 { return 59.9 - 14.1*math.Log10(workRate(watts)) }

func workRate(watts float64) float64 { return math.Min(math.Max(watts, RestW), 520) }
