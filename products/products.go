// Package products says what each generic class of product demands of the
// weather: the bounds while it is applied, and the clocks before and after.
//
// The catalogue is data (classes.yaml, embedded); a person's own file in the
// same shape overrides it, for the label in hand outranks the class. The
// package knows nothing of forecasts, boats or screens.
package products

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
	ID      string // lower-case slug
	Name    string // in words, for screens
	Like    string // the class that a person's own product departs from, else ""
	Own     bool   // from a person's own file
	Do      string // the kind of step: wash, decontaminate, correct, wipe down, seal, protect, coat, bed
	Machine bool   // needs machine hours
	Water   Water
	Surface Surface
	People  int // fewest people, at least 1

	// While applying. Wind is at the work, sustained; Gust defaults to 1.5 × Wind.
	AirC, SurfaceC, HumidityPct Limit
	SpreadK                     Limit // Min only: surface temperature − dew point, K
	WindMS, GustMS              Limit // Max only, m/s
	SunlightWM2, UVIndex        Limit // Max only, on the plane of the panel
	FilmMaxGM2                  float64
	HasFilmMax                  bool // false: water on the panel does no harm

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
	CureMinC   float64 // surface temperature below which it does not cure
	HasCureMin bool
	CureHumid  Band     // humidity band of the cure, %
	FullCureH  Range    // equivalent hours at 20 °C
	HalvesPerK float64  // working times halve per this many kelvin; 0: do not scale
	RateM2H    Range    // labour, per hour and person, in RateUnit
	RateUnit   string   // "m2", "m" (of rail or joint) or "count" (repairs a day)
	HazeMin    Range    // minutes from application to wipe-off, rinse or levelling at 20 °C
	HazeWord   string   // what those minutes are: "haze", "dwell", "flash", "level", "wet edge", "tool"
	HazeInDamp bool     // haze is slower in damp air (non-reactive classes)
	RecoatH    Range    // hours to the next coat
	HandleH    Range    // hours until touched or walked on
	LifeSunMo  Range    // months that it lasts in full subtropical sun
	LifeMildMo Range    // months in temperate sun
	LifeRoofMo Range    // months under a hardtop or cover
	Allowed    []string // finishes that the class suits; empty: all
	Never      []string // finishes that it must not touch
	IfViolated string   // what a broken clock costs
	Cautions   []string // usual cautions for the people
	Notes      string
}
