package crew

import "math"

// UVBand names the exposure category of a UV index, rounded to a whole number
// as it is reported (WHO/WMO, Global Solar UV Index: A Practical Guide, 2002):
// "low" 0–2, "moderate" 3–5, "high" 6–7, "very high" 8–10, "extreme" from 11.
func UVBand(index float64) string {
	switch n := math.Round(index); {
	case n >= 11:
		return "extreme"
	case n >= 8:
		return "very high"
	case n >= 6:
		return "high"
	case n >= 3:
		return "moderate"
	}
	return "low"
}

// beaufortFrom are the least speeds in m/s at 10 m of forces 1 to 12.
var beaufortFrom = [...]float64{0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7}

// Beaufort gives the Beaufort force, 0–12, of a wind of windMS m/s at 10 m over
// open ground (the WMO scale's equivalent speeds).
func Beaufort(windMS float64) int {
	force := 0
	for force < len(beaufortFrom) && windMS >= beaufortFrom[force] {
		force++
	}
	return force
}

// Lines for the wind.
const (
	// AccessGustMS is the gust in m/s at which work from a ladder, on a brow or
	// in a harness stops. Common practice, no source; far below the 18 m/s (13
	// when handling material) that a note of US OSHA calls high wind.
	AccessGustMS = 12
	// AccessWindMS is the sustained wind in m/s at the deck at which the same
	// work stops: the strict side of the 8–9 m/s of common practice.
	AccessWindMS = 8
	// HandlingGustMS (30 mph) is high wind when handling material, and
	// HighGustMS (40 mph) high wind for anybody, by a note of US OSHA, m/s.
	HandlingGustMS = 13
	HighGustMS     = 18
	// FloatWindMS is the wind in m/s at 10 m at which white horses become
	// fairly frequent (Beaufort 4) and a float is no place to work from.
	FloatWindMS = 5.5
)

// DeckShare is the part of the wind at 10 m that blows at the deck of a boat in
// an open berth, 3 m up: the logarithmic law over water (roughness 0.0002 m).
const DeckShare = 0.89

// Lines for thunder.
const (
	thunderCode = 95 // WMO 4677: thunderstorm, and above it with hail
	// ThunderPct is the probability of thunder in % that counts as thunder.
	ThunderPct = 30
	// ThunderHoldMin is how many minutes after the last thunder people stay
	// in shelter (US OSHA and NOAA fact sheet 3863).
	ThunderHoldMin = 30
)

// Thunder reports whether a slot counts as thundery: its weather code is a WMO
// code of 95 or more, or the probability of thunder is at least 30 %. Known is
// false where neither was given, and then there is no answer.
func Thunder(code, probabilityPct Value) (thunder, known bool) {
	thunder = code.Known && code.V >= thunderCode ||
		probabilityPct.Known && probabilityPct.V >= ThunderPct
	return thunder, code.Known || probabilityPct.Known
}

// HoldAfter gives a copy of the flags of adjoining slots, slotMin minutes long,
// in which a true one also holds through the slots that begin less than
// [ThunderHoldMin] minutes after its end. A slotMin of zero or less holds
// nothing.
func HoldAfter(flags []bool, slotMin int) []bool {
	held := append([]bool(nil), flags...)
	if slotMin <= 0 {
		return held
	}
	after := (ThunderHoldMin + slotMin - 1) / slotMin
	left := 0
	for i, f := range flags {
		switch {
		case f:
			left = after
		case left > 0:
			held[i] = true
			left--
		}
	}
	return held
}
