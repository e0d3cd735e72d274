// Package forecast holds what the air and the sky are expected to do at one
// place: members (one, or the futures of an ensemble) of evenly spaced columns
// in UTC and fixed units, with absence marked explicitly.
//
// The package has types only. The folders beneath it read the open services
// ([dewgap/forecast/openmeteo], [dewgap/forecast/metnorway],
// [dewgap/forecast/nws]), compute moist air ([dewgap/forecast/air]) and sun,
// sunlight and sky ([dewgap/forecast/sky]).
//
// # One convention
//
// Value i of every column belongs to the half-open interval
// [Start+i·Step, Start+(i+1)·Step). What it says about that interval is the
// quantity's [Kind]: an Instant is the value at its beginning (linear to the
// next), a Mean the average over it, a Sum the total in it, a Maximum the
// largest in it, a Label a code or number that holds throughout. Readers turn
// every service's own stamps ("the hour before", "the six hours after") into
// this once, on input.
package forecast

import (
	"math"
	"time"
)

// Quantity names one column. The unit is fixed per quantity; readers convert.
type Quantity uint8

// The quantities that dewgap uses, each with its unit and kind.
const (
	AirTemperature           Quantity = iota // °C at 2 m, Instant
	DewPoint                                 // °C at 2 m, Instant
	Humidity                                 // % relative to water, 0–100, Instant
	Pressure                                 // hPa at the ground, Instant
	WindSpeed                                // m/s at 10 m, Instant
	WindFrom                                 // degrees true, 0–360, Label
	Gust                                     // m/s at 10 m, Maximum
	CloudCover                               // %, 0–100, Instant
	CloudLow                                 // %, 0–100, Instant
	CloudMiddle                              // %, 0–100, Instant
	CloudHigh                                // %, 0–100, Instant
	Precipitation                            // mm of water, Sum
	PrecipitationSpan                        // hours over which the service stated the amount, Label (absent: one step)
	PrecipitationProbability                 // %, 0–100, Label
	ThunderProbability                       // %, 0–100, Label
	WeatherCode                              // WMO 4677 subset as used by open services, Label
	Visibility                               // m, Instant
	GlobalRadiation                          // W/m² on the level, Mean
	DirectRadiation                          // W/m² of beam on the level, Mean
	DiffuseRadiation                         // W/m² of sky light on the level, Mean
	UVIndex                                  // WHO/WMO index under cloud, Mean
	UVIndexClearSky                          // WHO/WMO index without cloud, Mean

	quantities // how many there are
)

// Quantities is the number of quantities; they run from 0 to Quantities−1.
const Quantities = int(quantities)

// Kind says what a column's value tells of its interval.
type Kind uint8

// The kinds of column.
const (
	Instant Kind = iota // the value at the beginning of the interval, linear to the next
	Mean                // the average over the interval
	Sum                 // the total in the interval
	Maximum             // the largest in the interval
	Label               // a code or number that holds throughout
)

var kinds = [Quantities]Kind{
	WindFrom: Label, Gust: Maximum, Precipitation: Sum, PrecipitationSpan: Label,
	PrecipitationProbability: Label, ThunderProbability: Label, WeatherCode: Label,
	GlobalRadiation: Mean, DirectRadiation: Mean, DiffuseRadiation: Mean,
	UVIndex: Mean, UVIndexClearSky: Mean,
}

var names = [Quantities]string{
	"air temperature", "dew point", "humidity", "pressure", "wind speed", "wind direction",
	"gust", "cloud cover", "low cloud", "middle cloud", "high cloud", "precipitation",
	"precipitation span", "precipitation probability", "thunder probability", "weather code",
	"visibility", "global radiation", "direct radiation", "diffuse radiation", "UV index",
	"clear-sky UV index",
}

// Kind tells what the quantity's values say of their interval.
func (q Quantity) Kind() Kind { return kinds[q] }

// String is the quantity in words, as messages use it.
func (q Quantity) String() string { return names[q] }

// Column is one quantity through time. A value counts only where Known is
// true; the number beneath a false is meaningless and must not be read, for a
// bare NaN would pass every "greater than" test. The zero Column knows nothing.
type Column struct {
	Values []float64
	Known  []bool
}

// NewColumn makes a column of n absent values.
func NewColumn(n int) Column {
	return Column{Values: make([]float64, n), Known: make([]bool, n)}
}

// At gives value i and whether it is known; outside the column nothing is.
func (c Column) At(i int) (float64, bool) {
	if i < 0 || i >= len(c.Known) || !c.Known[i] {
		return 0, false
	}
	return c.Values[i], true
}

// Set makes value i known. A NaN or infinity is not a value: it is marked
// absent.
func (c Column) Set(i int, v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		c.Known[i] = false
		return
	}
	c.Values[i], c.Known[i] = v, true
}

// Any reports whether at least one value is known.
func (c Column) Any() bool {
	for _, k := range c.Known {
		if k {
			return true
		}
	}
	return false
}

// Fog reports whether a [WeatherCode] is one of fog: 45, or 48 with rime, of the subset of
// WMO table 4677 that the open services give.
func Fog(code float64) bool { return code == 45 || code == 48 }

// Member is one future: all quantities hang together and must not be mixed
// with another member's.
type Member struct {
	Name    string // the service's own name for it, "" for a single forecast
	Columns [Quantities]Column
}

// Place is where a forecast holds.
type Place struct {
	Latitude   float64 // degrees north, −90–90
	Longitude  float64 // degrees east, −180–180
	ElevationM float64 // metres above the sea, valid if HasElevation
	// HasElevation is false where the service did not say.
	HasElevation bool
}

// DistanceKM is the great-circle distance to another place on a sphere of
// radius 6371 km (haversine formula).
func (p Place) DistanceKM(o Place) float64 {
	const rad = math.Pi / 180
	dLat, dLon := (o.Latitude-p.Latitude)*rad, (o.Longitude-p.Longitude)*rad
	a := math.Pow(math.Sin(dLat/2), 2) +
		math.Cos(p.Latitude*rad)*math.Cos(o.Latitude*rad)*math.Pow(math.Sin(dLon/2), 2)
	return 2 * 6371 * math.Asin(math.Min(1, math.Sqrt(a)))
}

// Forecast is one service's word on one place.
type Forecast struct {
	Service     string    // "Open-Meteo", "MET Norway", "NWS", or the name of a file's maker
	Model       string    // the model chosen, "" if the service did not say
	Attribution string    // the credit line that must stand where the data are shown
	Licence     string    // its licence in a few words
	Place       Place     // the centre of the grid cell that the values are for
	Timezone    string    // IANA name if the service told it, else ""
	Issued      time.Time // when the service made it; zero if it did not say
	Fetched     time.Time // when it was received; zero for a saved reply

	Start   time.Time // of the first interval, UTC, on a whole Step
	Step    time.Duration
	N       int // intervals; every known column has this length
	Members []Member

	// Alerts are the warnings of the authorities for the place, as far as the
	// service tells of them. None here does not mean none in force: where they
	// could not be asked for, Warnings says so.
	Alerts []Alert

	Warnings []string // what the reader noticed, in plain words
}

// End is the end of the last interval.
func (f *Forecast) End() time.Time { return f.Start.Add(time.Duration(f.N) * f.Step) }

// Index gives the interval that holds t; ok is false outside the forecast.
func (f *Forecast) Index(t time.Time) (i int, ok bool) {
	if f.Step <= 0 || t.Before(f.Start) || !t.Before(f.End()) {
		return 0, false
	}
	return int(t.Sub(f.Start) / f.Step), true
}
