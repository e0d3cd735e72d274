// Package reply holds what the readers of the open services share: taking a
// reply's JSON apart strictly and fast, turning units into those of
// [forecast.Quantity], refusing values that cannot exist, and laying instants
// and intervals of any length onto whole UTC hours.
//
// Nothing here knows a service's own words; those live in the readers.
package reply

import (
	"fmt"
	"time"

	"dewgap/forecast"
)

// Again is the usual advice for a reply that is damaged as a whole.
const Again = "fetch the reply again; a damaged one is never used in part"

// Errorf makes a [forecast.ReadError] with a formatted reason.
func Errorf(service, fix, format string, args ...any) *forecast.ReadError {
	return &forecast.ReadError{Service: service, Fix: fix, Reason: fmt.Sprintf(format, args...)}
}

// farKM is the distance from which a grid cell may have other weather than the
// place asked about, most of all across a coast (common practice, no source:
// about one cell of the coarse ensemble models).
const farKM = 25

// elsewhereKM is the distance from which a reply is for another place: no grid
// of these services has cells so wide (common practice, no source).
const elsewhereKM = 100

// Far compares the place of a reply with the one asked about, nil if unknown: a
// warning when it is more than 25 km off, else "", and an error when it is more
// than 100 km off, for such weather is not the boat's.
func Far(service string, near *forecast.Place, got forecast.Place) (warning string, bad *forecast.ReadError) {
	if near == nil {
		return "", nil
	}
	switch d := near.DistanceKM(got); {
	case d > elsewhereKM:
		return "", Errorf(service, "fetch it for the job's place, or mend latitude and longitude in the job",
			"it is for a place %.0f km away, %.2f, %.2f", d, got.Latitude, got.Longitude)
	case d > farKM:
		return fmt.Sprintf("the forecast is for %.2f, %.2f, %.0f km from the place asked about",
			got.Latitude, got.Longitude, d), nil
	}
	return "", nil
}

// CheckPlace says what is wrong with a latitude and longitude, "" if nothing.
func CheckPlace(p forecast.Place) string {
	switch {
	case !(p.Latitude >= -90 && p.Latitude <= 90):
		return fmt.Sprintf("latitude %v is outside -90 to 90", p.Latitude)
	case !(p.Longitude >= -180 && p.Longitude <= 180):
		return fmt.Sprintf("longitude %v is outside -180 to 180", p.Longitude)
	case p.HasElevation && !(p.ElevationM >= -500 && p.ElevationM <= 9000):
		return fmt.Sprintf("elevation %v m is outside -500 to 9000", p.ElevationM)
	}
	return ""
}

// Missing lists, in words, what no verdict can do without and the member does
// not have at any time.
func Missing(m *forecast.Member) []string {
	var out []string
	if !m.Columns[forecast.AirTemperature].Any() {
		out = append(out, "air temperature")
	}
	if !m.Columns[forecast.Humidity].Any() && !m.Columns[forecast.DewPoint].Any() {
		out = append(out, "humidity or dew point")
	}
	if !m.Columns[forecast.WindSpeed].Any() {
		out = append(out, "wind speed")
	}
	return out
}

// Zone finds an IANA time zone by name, nil if there is none. "Local" is none:
// a reply cannot mean the reader's own machine.
func Zone(name string) *time.Location {
	if name == "" || name == "Local" {
		return nil
	}
	zone, err := time.LoadLocation(name)
	if err != nil {
		return nil
	}
	return zone
}
