package forecast

import "time"

// Observation is what one station measured at one moment.
type Observation struct {
	Station string    // the station's identifier
	Place   Place     // of the station
	At      time.Time // of the measurement, UTC

	Air      Measured // °C
	DewPoint Measured // °C
	Humidity Measured // %, 0–100
	Wind     Measured // m/s, as the station stands: mostly at 10 m, in the open
	WindFrom Measured // degrees true, 0–360; not known where it is variable
	Gust     Measured // m/s; not known where there were none worth reporting
	Pressure Measured // hPa at the ground

	// Flags are what speaks against a value, in plain words: that it failed a
	// check, or was not checked. What is flagged as failed is not known.
	Flags []string
}

// Measured is a value that may be absent. Like a column's it counts only where
// Known is true.
type Measured struct {
	V     float64
	Known bool
}
