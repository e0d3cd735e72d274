// Package crew words the cautions for the people who do the work: heat, cold,
// sun, wind at height, thunder, and the hazards of the job itself.
//
// A caution names a hazard and the usual practice, and defers to local rules
// and licensed practice. It never blocks a window, never makes one and never
// certifies that work is safe; that thunder or gusts make a slot no-go is a
// limit of package verdict. Where a number is missing the caution says that the
// hazard was not judged: silence would read as safety.
//
// # What is computed
//
// [HeatIndex] and [WindChill] are the indices of the weather services; [WBGT] is
// the wet bulb globe temperature outdoors by the model of Liljegren and others
// 2008, which leads, because the heat index assumes shade. [ExposureLimit] and
// [AlertLimit] are the NIOSH lines that it is held against, [UVBand] the
// categories of the WHO.
//
// # What is left out
//
// ISO 7243's table (not read), clothing, age and fitness, tides, waves, and
// every law: rules for vessels ashore and afloat differ by country, so topics
// are named, not clauses.
package crew

import "time"

// Caution is one hazard over a stretch of time.
type Caution struct {
	Kind     string    // one of the Kind constants
	From, To time.Time // half-open, UTC
	Level    string    // one of the Level constants
	Value    float64   // the worst in the stretch, in Unit, if HasValue
	HasValue bool
	Unit     string // SI, "" for a bare number
	Text     string // the hazard, the usual practice, and whom to ask; no number in a unit that screens convert
	Unjudged        // where Level is LevelUnknown
	Source   string // provenance in words
}

// Unjudged is a hazard that could not be judged, and why.
type Unjudged struct {
	Hazard string // what it is called: "heat in the sun"
	Why    string // a sentence without its full stop
	Lacks  string // what the forecast lacks for it, where that is why; else ""
}

func (u Unjudged) text() string {
	return "Not judged, " + u.Hazard + ": " + u.Why + ". Judge it on the spot."
}

// The levels of a caution, mildest first. Unknown stands beside them: the
// hazard could not be judged.
const (
	LevelNote    = "note"    // always so with this work
	LevelCaution = "caution" // take the usual care
	LevelWarning = "warning" // work is usually changed, moved or broken up
	LevelDanger  = "danger"  // work usually stops
	LevelUnknown = "unknown" // not judged: a number is missing
)

// The kinds of caution, in the order in which [Cautions] gives them.
const (
	KindWBGT           = "wbgt"            // heat in the sun
	KindHeatIndex      = "heat-index"      // heat in the shade
	KindThunder        = "thunder"         // thunder, and 30 minutes after
	KindGust           = "gust"            // gusts at height
	KindWind           = "wind"            // sustained wind on a ladder or in a harness
	KindFloat          = "float"           // waves and wake on a float
	KindCold           = "cold"            // wind chill
	KindIce            = "ice"             // ice and frost underfoot
	KindUV             = "uv"              // sunburn
	KindColdWater      = "cold-water"      // a fall into cold water
	KindOverWater      = "over-water"      // a fall into the water
	KindHeight         = "height"          // a fall from a ladder or brow
	KindElectricity    = "electricity"     // mains on a dock
	KindCarbonMonoxide = "carbon-monoxide" // engines, heaters
	KindEnclosed       = "enclosed"        // a canopy or tent with sides
	KindIsocyanate     = "isocyanate"      // two-part coatings, some sealants
	KindSolvent        = "solvent"         // vapour, fire
	KindAcid           = "acid"            // acids, and bleach beside them
	KindAlkali         = "alkali"          // caustic cleaners
	KindSensitiser     = "sensitiser"      // epoxy, styrene, peroxide
	KindOilyRags       = "oily-rags"       // rags that heat themselves
	KindDust           = "dust"            // polishing and sanding dust
	KindVibration      = "vibration"       // machine time
	KindSlips          = "slips"           // soap, dust and sealer underfoot
	KindSalt           = "salt"            // salt on decks and plugs
	KindRunOff         = "run-off"         // what goes into the water
	KindProduct        = "product"         // the product's own words
)

// Value is a number that may be missing; the number beneath a false must not
// be read.
type Value struct {
	V     float64
	Known bool
}

// Some is a known value.
func Some(v float64) Value { return Value{v, true} }

// Slot is the weather of one slot in which people work.
type Slot struct {
	At             time.Time // its beginning, UTC
	AirC           Value     // °C
	HumidityPct    Value     // %
	PressureHPa    Value     // absent: 1013.25; 30 hPa move the WBGT by less than 0.01 K
	WindDeckMS     Value     // sustained, at the deck (3 m), m/s
	GustMS         Value     // at 10 m, m/s; absent: 1.5 × WindDeckMS
	SunlightWM2    Value     // on the level, W/m²
	CosZenith      Value     // cosine of the sun's zenith angle
	DirectFraction Value     // beam share of SunlightWM2, 0–1; absent: estimated
	UVIndex        Value     // on the level, under the cloud there is
	// Thunder holds in the slot, or did in the half-hour before (US OSHA and NOAA
	// fact sheet 3863). It counts only where ThunderKnown is true.
	Thunder, ThunderKnown bool
	// Unseen says why the forecast tells nothing of the slot, as "the forecast ends
	// Sat 12 Sep 00:00"; "" where it reaches it.
	Unseen string
}

// Product is what a product class says of its hazards.
type Product struct {
	Name string // for the caution's text
	// Cautions are slugs of hazards (isocyanate, solvent, acid, alkali,
	// peroxide, styrene, epoxy, oil, dust …) or sentences. A hazard is found in
	// either; a sentence is passed on as well.
	Cautions []string
}

// Job is what the work brings along, whatever the weather.
type Job struct {
	WorkW    float64 // metabolic rate in W; 0: [PolishW]
	Machine  bool    // powered machines
	Mains    bool    // leads from shore power
	Wash     bool    // water runs off
	Soap     bool    // with soap or stronger
	Ladder   bool    // some zone is reached by ladder or from a brow
	Harness  bool    // some zone is reached in a harness
	Float    bool    // some zone is reached from a float or dinghy
	Afloat   bool    // the boat is in the water
	Alone    bool    // one person
	Enclosed bool    // a canopy or tent with sides, or a closed shed
	Salt     bool    // salt spray has come over, or a zone is salty
	WaterC   Value   // temperature of the water alongside, °C
	Products []Product
}

// Input is what [Cautions] judges.
type Input struct {
	Slots []Slot        // working slots in order of time; gaps are breaks
	Step  time.Duration // length of a slot, above 0
	Job   Job
}

// Cautions gives the cautions for the working slots and the job, by kind in the
// order of the Kind constants, and within a kind by time. Adjoining slots of one
// level are one caution with the worst value in them; those not judged only where the
// same is missing. Hazards of the job itself
// span from the first slot to the end of the last. The result depends on the
// input alone; no slots give no cautions.
func Cautions(in Input) []Caution {
	if len(in.Slots) == 0 || in.Step <= 0 {
		return nil
	}
	var out []Caution
	for _, h := range hazards() {
		out = append(out, h.runs(in)...)
	}
	span := Caution{From: in.Slots[0].At, To: in.Slots[len(in.Slots)-1].At.Add(in.Step)}
	for _, c := range standing(in.Job) {
		c.From, c.To = span.From, span.To
		out = append(out, c)
	}
	return out
}
