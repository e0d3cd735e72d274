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
	// strongGaleMS is where Beaufort 9 begins (the WMO scale's equivalent speeds).
	strongGaleMS = 20.8
	// FloatWindMS is the wind in m/s at 10 m at which white horses become
	// fairly frequent (Beaufort 4) and a float is no place to work from.
	FloatWindMS = 5.5
)

// DeckShare is the part of the wind at 10 m that blows at the deck of a boat in
// an open berth, 3 m up: the logarithmic law over water (roughness 0.0002 m).
const DeckShare = 0.89
