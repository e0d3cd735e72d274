// Package verdict holds one slot of one zone against one class of product: the
// state, and the limit that decides it.
package verdict

import "fmt"

// State is how good one slot is for one product on one zone.
type State uint8

// The states, worst last; a slot takes the worst that any limit gives it
// (no-go outranks unknown, unknown outranks marginal).
const (
	Ideal    State = iota // every limit inside its ideal band
	Go                    // every limit inside its default band
	Marginal              // outside a default band, inside every hard one: needs a yes
	Unknown               // a needed value is missing
	NoGo                  // a hard limit is broken
)

var stateNames = [...]string{"ideal", "go", "marginal", "unknown", "no-go"}

// String is the state's name, as the JSON answer promises it.
func (s State) String() string {
	if int(s) < len(stateNames) {
		return stateNames[s]
	}
	return fmt.Sprintf("State(%d)", s)
}

// Workable reports whether work may be done in the state, given consent.
func (s State) Workable() bool { return s <= Marginal }

// Limit names what decides a state. The order is that in which equals are told
// apart: the yes/no limits first, then the measured ones.
type Limit uint8

// The limits. Hours to Fog are yes or no and outrank the measured ones.
const (
	None Limit = iota // nothing binds

	Hours    // the crew's working hours
	Away     // a day on which nobody works
	Daylight // civil twilight, unless lamps are used
	Machines // when the marina allows machine noise
	Reach    // when the zone can be reached
	Water    // what the marina lets run off
	People   // fewer people than the class needs
	Order    // a step that must come first
	Finish   // the product does not suit the finish
	Recoat   // outside the time in which the next coat may follow those that are on
	Thunder  // thunder, and 30 minutes after
	Salt     // salt on the panel
	Film     // water on the panel
	Fog      // fog wets the panel

	AirMin
	AirMax
	SurfaceMin
	SurfaceMax
	HumidityMin
	HumidityMax
	SpreadMin
	WindMax
	GustMax
	DustWind // wind that brings dust
	DustGust // gusts that do
	SunlightMax
	UVMax
	DryOff
	RainFree
	DewFree
	Cure
	Access   // gusts at the height of a ladder or harness
	Section  // too small a section dries before it is towelled
	Moisture // of wood, by a meter
	Block    // shorter than the shortest useful block
	Data     // a needed value is missing

	limits
)

// Limits is the number of limits; they run from 0 to Limits−1.
const Limits = int(limits)

var limitNames = [Limits]string{
	"", "hours", "away", "daylight", "machines", "reach", "water", "people", "order", "finish", "recoat",
	"thunder", "salt", "film", "fog",
	"air_min", "air_max", "surface_min", "surface_max", "humidity_min", "humidity_max",
	"spread_min", "wind_max", "gust_max", "dust_wind", "dust_gust", "sunlight_max", "uv_max", "dry_off", "rain_free",
	"dew_free", "cure", "access", "section", "moisture", "block", "data",
}

var limitUnits = [Limits]string{
	Film: "g/m²", AirMin: "°C", AirMax: "°C", SurfaceMin: "°C", SurfaceMax: "°C",
	HumidityMin: "%", HumidityMax: "%", SpreadMin: "K", WindMax: "m/s", GustMax: "m/s", DustWind: "m/s", DustGust: "m/s",
	SunlightMax: "W/m²", UVMax: "", DryOff: "h", RainFree: "h", DewFree: "h", Cure: "°C",
	Access: "m/s", Section: "m²", Moisture: "%", Block: "h",
}

// String is the limit's name, as the JSON answer promises it.
func (l Limit) String() string {
	if int(l) < Limits {
		return limitNames[l]
	}
	return fmt.Sprintf("Limit(%d)", l)
}

// Unit is the SI unit of the limit's value and bound, "" for yes/no limits.
func (l Limit) Unit() string { return limitUnits[l] }

// YesNo reports whether the limit is one of those that hold or do not, and so
// outranks the measured ones.
func (l Limit) YesNo() bool { return l >= Hours && l <= Fog }
