package ensemble

import "math"

// A weather station measures every hour and stands elsewhere. So that an airfield
// inland does not shout down who stands on the dock, what it counts falls with its
// distance and is bounded in all; its air temperature is brought to the height of the
// place; and one too far off or too high above it, or below, is not heard. But for the
// lapse rate all figures here are assumptions, common practice without a source.
const (
	// stationWeight is what one observation counts, against a reading at the place.
	stationWeight = 0.25
	// mostStations is what all of one kind of weather may count together, in fresh
	// readings: less than EnoughReadings, so that these have the greater say.
	mostStations = 4.0
	// StationFadeKM is the distance at which a station counts 1/e.
	StationFadeKM = 20.0
	// FarthestStationKM and HighestStationM are how far off and how much higher or
	// lower a station may stand.
	FarthestStationKM = 30.0
	HighestStationM   = 150.0
	// lapseKM is how much colder the air of the standard atmosphere is by the metre,
	// K/m (ICAO Doc 7488/3, 1993, table D: 6.5 K/km up to 11 km, its number from memory).
	lapseKM = 0.0065
)

// StationShare is what a station at a distance in km counts, 0–1: e^(−d/StationFadeKM).
func StationShare(km float64) float64 { return math.Exp(-math.Max(km, 0) / StationFadeKM) }

// StationCounts is what the observations of a station at a distance in km count, in
// fresh readings at the place: one of them, and at most all of one kind of weather.
func StationCounts(km float64) (one, most float64) {
	return stationWeight * StationShare(km), mostStations * StationShare(km)
}

// AtHeight is an air temperature, °C, measured riseM metres above the place, as it
// would be at the place by the standard atmosphere. The dew point stays as measured:
// it falls by less than a third of that in air that was lifted.
func AtHeight(airC, riseM float64) float64 { return airC + lapseKM*riseM }
