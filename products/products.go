// Package products says what each generic class of product demands of the
// weather: the bounds while it is applied, and the clocks before and after.
//
// The catalogue is data (classes.yaml, embedded); a person's own file in the
// same shape overrides it, for the label in hand outranks the class. The
// package knows nothing of forecasts, boats or screens.
//
// Catalogue reads the classes, Set.With puts a person's file over them and
// Class.Explain lists what a class demands with the provenance of each value.
// Mistakes in a file come as Errors, each with its line, its column and what
// to do. Not here: whether a given hour is good enough, which is for window.
package products

import "strings"

// Band is a closed range that may be open at either end.
type Band struct {
	Min, Max       float64
	HasMin, HasMax bool
}

// Limit is one bound of a class while it is being applied, in three bands that
// lie inside one another: inside Ideal nothing is lost, inside Default it is
// the trade's usual practice, outside Hard the work fails. A band that the
// class does not give is wide open: no Ideal means Ideal = Default (the loader
// copies it), no Hard means that the limit alone never makes no-go.
type Limit struct {
	Given                bool // false: the class has no such limit
	Ideal, Default, Hard Band
	Source               string // provenance in words: a standard, "common practice", "your label"
	// Loosened is true where a person's own file sets a bound looser than the
	// class's hard bound; the warning stays on every verdict made with it.
	Loosened bool
}

// Provenance is where the limit comes from, and that it is looser than the class's hard
// bound where it is.
func (l Limit) Provenance() string { return provenanceOf(l.Source, l.Loosened) }

// Provenance is where the clock comes from, and that it is looser than the class's hard
// one where it is.
func (c Clock) Provenance() string { return provenanceOf(c.Source, c.Loosened) }

func provenanceOf(source string, loosened bool) string {
	if !loosened {
		return source
	}
	own, others, more := strings.Cut(source, otherBands)
	if own += ", looser than the class's hard bound"; more {
		own += otherBands + others
	}
	return own
}

// Clock is a time that must have passed before application, or must stay
// undisturbed after it, in hours: at least Ideal, Default, Hard.
type Clock struct {
	Given                bool
	Ideal, Default, Hard float64 // hours, Ideal ≥ Default ≥ Hard ≥ 0
	HasHard              bool    // false: the clock alone never makes no-go
	Source               string
	Loosened             bool
}

// Range is a least and a most, in the unit of the field that holds it.
type Range struct {
	Given    bool
	Min, Max float64
	NoMax    bool // at least Min, with no most; Max is then equal to Min
	Source   string
}

// Water is what a step lets run off the boat.
type Water uint8

// What a step needs of the marina, from nothing to everything.
const (
	WaterNone  Water = iota // dry work
	WaterRinse              // fresh water only
	WaterSoap               // water and mild soap
	WaterAll                // acid, alkali, slurry or solvent: usually a pad with capture
)

// Surface is how wet the panel may be when work starts.
type Surface uint8

// What the class asks of the panel.
const (
	SurfaceDry  Surface = iota // no water on it
	SurfaceDamp                // dry or damp
	SurfaceWet                 // wetted by the work itself
)

// Class is one generic class of product or one person's own product.
type Class struct {
	ID      string   // lower-case slug
	Name    string   // in words, for screens
	Like    string   // the class that a person's own product departs from, else ""
	Own     bool     // from a person's own file
	Do      string   // the kind of step: wash, decontaminate, correct, wipe down, seal, protect, coat, bed
	AlsoDo  []string // further kinds of step that it serves, such as strip wash
	Source  string   // provenance of whatever does not name its own
	Machine bool     // needs machine hours
	Water   Water
	Surface Surface
	People  int // fewest people, at least 1

	// While applying. Wind is at the work, sustained; Gust defaults to 1.5 × Wind.
	AirC, SurfaceC, HumidityPct Limit
	// PaintSurfaceC takes the place of SurfaceC on the finishes listed under
	// Conditional; not given where the class makes no difference.
	PaintSurfaceC        Limit
	SpreadK              Limit // Min only: surface temperature − dew point, K
	WindMS, GustMS       Limit // Max only, m/s
	SunlightWM2, UVIndex Limit // Max only, on the plane of the panel
	FilmMaxGM2           float64
	HasFilmMax           bool // false: water on the panel does no harm
	FilmSource           string

	// CoolSun: sunlight and UV do not count while the panel is inside its ideal
	// temperature band, make marginal above it, and never block alone.
	CoolSun bool
	// Towel: dew may be taken off by towel; false for wood, and for films where
	// dew restarts a drying time (DewDryOff).
	Towel bool

	// Before and after.
	DryOff    Clock // since rain or wash water last arrived, plain hours
	DewDryOff Clock // since dew last lay, plain hours; given only where Towel is false
	RainFree  Clock // from the end of application to rain
	DewFree   Clock // from the end of application to spread < 1 K
	// Equivalent: RainFree and DewFree run in equivalent hours at 20 °C,
	// Σ 2^((T−20)/HalvesPerK)·Δt, not in plain hours.
	Equivalent bool
	LaunchH    Clock   // from the last coat to the water, equivalent hours; antifouling only
	CureMinC   float64 // surface temperature below which it does not cure
	HasCureMin bool
	CureHumid  Band    // humidity band of the cure, %
	FullCureH  Range   // equivalent hours at 20 °C
	HalvesPerK float64 // working times halve per this many kelvin; 0: do not scale
	RateM2H    Range   // labour, per hour and person, in RateUnit
	RateUnit   string  // "m2", "m" (of rail or joint) or "count" (repairs, a day and not an hour)
	CureSource string  // provenance of the cure's temperature, humidity and full hours
	FlashMin   Range   // minutes that it stays workable at 20 °C, before haze or dwell is over
	FlashWord  string  // what those minutes are: "flash", "wet edge", "to haze", "skin", "gel", "soak"
	PotMin     Range   // minutes that a mix of two parts stays usable
	HazeMin    Range   // minutes from application to wipe-off, rinse or levelling at 20 °C
	HazeSoft   float64 // minutes by which it had better be done, before the most; 0: none
	HazeWord   string  // what those minutes are: "haze", "dwell", "wipe", "level", "tool"
	HazeInDamp bool    // haze is slower in damp air (non-reactive classes)
	FastInDamp bool    // working times shrink in damp air (cures by moisture)
	RecoatH    Range   // hours to the next coat or step: the earliest and the usual latest
	RecoatEndH float64 // hours after which the film must be abraded or redone first; 0: never
	RecoatAnew float64 // hours from which coating may go on again after RecoatEndH; 0: not at all
	HandleH    Range   // hours until touched or walked on
	NoSoapH    Range   // hours until it stands soap
	HoursPerFt Range   // labour of a whole boat by its length, hours per foot and person
	LifeSunMo  Range   // months that it lasts in full subtropical sun
	LifeMildMo Range   // months in temperate sun
	LifeRoofMo Range   // months under a hardtop or cover
	// Allowed are the finishes that the class suits: a step without zones of
	// its own goes there. Never are those that it must not touch. Conditional
	// are those that it may touch only where the zone is known to be buffable.
	// A finish in none of the three is for a step that names the zone.
	Allowed, Never, Conditional []string
	IfViolated                  string   // what a broken clock costs
	Cautions                    []string // usual cautions for the people
	Notes                       string
	// Warnings are the words for every bound looser than the class's hard one, each beginning
	// with the id; they stay on every verdict made with the product.
	Warnings []string
	// Remarks are all that a person's file is warned of this product, with file, line and
	// column: the warnings, and every band of the class that had to move.
	Remarks []string `json:"-"` // no content of the set: see Hash
}
