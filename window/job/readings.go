package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/window/boat"
)

// Measured is a number that may not have been measured.
type Measured struct {
	V     float64
	Known bool
}

// Told is the answer to a question that may not have been asked.
type Told uint8

// The answers.
const (
	NotTold Told = iota // not said, or said to be unknown
	No
	Yes
)

// Instrument is what a surface temperature was read with.
type Instrument uint8

// The instruments.
const (
	NoInstrument Instrument = iota
	Infrared                // from a distance; takes the surface for a black one, or nearly
	Contact                 // a probe on the surface
)

var instrumentWords = []string{"infrared", "contact"}

// SkyCover is what the reader saw overhead.
type SkyCover uint8

// The skies.
const (
	SkyNotTold SkyCover = iota
	SkyClear
	SkyPartly
	SkyOvercast
)

var skyWords = []string{"clear", "partly", "overcast"}

// Reading is what somebody measured on the dock at one moment. What was not
// measured is not Known, or NotTold. All but the place's air, wind, sky, salt and
// spray belong to a Zone.
type Reading struct {
	At   time.Time // UTC
	Zone string    // "" for the place as a whole
	Line int       // of the file, from 1

	AirC, HumidityPct, WindMS Measured // °C and % near the boat; m/s at hand height
	Sky                       SkyCover
	Salt, Spray               Told // salt on the panels, spray coming over

	SurfaceC    Measured // °C; By tells with what
	By          Instrument
	Wet         Told     // water on the panel
	Sun         Told     // the sun on the panel
	MoisturePct Measured // % of the wood's dry weight
	Product     string   // id of the class of which a test patch was made
	HazeMin     Measured // minutes until the test patch wiped off clean
}

// ReadingOptions are what a readings file is held against.
type ReadingOptions struct {
	Location *time.Location // of the place; nil: UTC
	Zones    []boat.Zone    // of the job; a reading must name one of them
	Classes  Classes        // that a test patch may be of; nil leaves them unchecked
	Now      time.Time      // nothing can have been read later; zero leaves it unchecked
}

// ParseReadings turns the bytes of a readings file into readings, in the order of
// their times. file is its name, for messages. Everything that is wrong is told
// at once: the error is then of type Errors, in the order of the lines, and there
// are no readings.
//
// The file is a list; times without an offset are those of the clock at the
// place. Lists that hold nothing are a mistake: nobody gives one on purpose.
func ParseReadings(file string, data []byte, o ReadingOptions) ([]Reading, error) {
	r := &reader{file: file, loc: o.Location, readings: true}
	if r.loc == nil {
		r.loc = time.UTC
	}
	var out []Reading
	if root := r.readYAML(data); root != nil {
		out = r.readingList(root, o)
	}
	if len(r.errs) > 0 {
		return nil, r.errs.told()
	}
	slices.SortStableFunc(out, func(a, b Reading) int { return a.At.Compare(b.At) })
	return out, nil
}

// readingExample is a line to start from.
const readingExample = "- {at: 2026-09-24T06:10, air_c: 12.2, humidity_pct: 93, wind_m_s: 1}"

func (r *reader) readingList(root *node, o ReadingOptions) []Reading {
	if root.shape != list {
		r.fail(root.pos, "the readings are not a list", "begin each with a dash, like "+readingExample)
		return nil
	}
	if len(root.items) == 0 {
		r.fail(root.pos, "there is no reading in the file", "write one like "+readingExample)
	}
	var out []Reading
	for _, n := range root.items {
		if n.shape == broken {
			continue
		}
		if s, ok := r.section(n, "reading"); ok {
			out = append(out, s.reading(o))
		}
	}
	return out
}

// reading reads one item of the list.
func (s *section) reading(o ReadingOptions) Reading {
	m := Reading{Line: s.n.line}
	m.At, _ = s.moment("at", needsClock)
	s.missing("at", momentFix)
	if !o.Now.IsZero() && m.At.After(o.Now) {
		s.fail(s.at("at"), fmt.Sprintf("the reading lies in the future: it is %s now", o.Now.In(s.loc).Format("2006-01-02T15:04")),
			"give the time at which it was read")
	}
	s.readZoneOf(&m, o.Zones)
	s.readAir(&m)
	s.readPanel(&m)
	s.readPatch(&m, o.Classes)
	s.done()
	s.complete()
	return m
}

func (s *section) readZoneOf(m *Reading, zones []boat.Zone) {
	name, ok := s.text("zone")
	if !ok {
		return
	}
	m.Zone = name
	names := make([]string, len(zones))
	for i, z := range zones {
		if names[i] = z.Name; z.Name == name {
			return
		}
	}
	fix := "the zones are " + strings.Join(names, ", ")
	if near := Nearest(name, names); near != "" {
		fix = fmt.Sprintf("did you mean `%s`?", near)
	} else if len(names) == 0 {
		fix = "the job has no zones: list it there first"
	}
	s.fail(s.at("zone"), fmt.Sprintf("unknown zone `%s`", name), fix)
}

// The ranges in which a reading is taken for one: beyond them it is a slip of the
// pen or a broken instrument.
const (
	coldestAirC, hottestAirC         = -40, 60
	coldestSurfaceC, hottestSurfaceC = -40, 95
	driestPct                        = 1
	strongestMS                      = 60
	dampestWoodPct                   = 100
	longestHazeMin                   = 600
)

// ReadingRange is the range, both ends included, in which a figure of a readings file is
// taken for one, in the unit of its key (air_c, surface_c, humidity_pct, wind_m_s,
// moisture_pct, haze_min); ok is false for any other key.
func ReadingRange(key string) (low, high float64, ok bool) {
	switch key {
	case "air_c":
		return coldestAirC, hottestAirC, true
	case "surface_c":
		return coldestSurfaceC, hottestSurfaceC, true
	case "humidity_pct":
		return driestPct, 100, true
	case "wind_m_s":
		return 0, strongestMS, true
	case "moisture_pct":
		return 0, dampestWoodPct, true
	case "haze_min":
		return 1, longestHazeMin, true
	}
	return 0, 0, false
}

// readAir reads what holds for the place.
func (s *section) readAir(m *Reading) {
	m.AirC = measured(s.celsius("air", coldestAirC, hottestAirC))
	m.HumidityPct = measured(s.number("humidity_pct", span{driestPct, 100, "per cent"}))
	m.WindMS = measured(s.number("wind_m_s", span{0, strongestMS, "metres per second"}))
	if i, ok := s.choice("sky", skyWords); ok {
		m.Sky = SkyClear + SkyCover(i)
	}
	m.Salt, m.Spray = s.told("salt"), s.told("spray")
}

// readPanel reads what holds for the zone.
func (s *section) readPanel(m *Reading) {
	m.SurfaceC = measured(s.celsius("surface", coldestSurfaceC, hottestSurfaceC))
	if i, ok := s.choice("by", instrumentWords); ok {
		m.By = Infrared + Instrument(i)
	}
	m.Wet, m.Sun = s.told("wet"), s.told("sun")
	m.MoisturePct = measured(s.number("moisture_pct", span{0, dampestWoodPct, "per cent of the wood's dry weight"}))
}

// readPatch reads how long a test patch took.
func (s *section) readPatch(m *Reading, classes Classes) {
	m.Product, _ = s.text("product")
	m.HazeMin = measured(s.number("haze_min", span{1, longestHazeMin, "minutes"}))
	if m.Product == "" || classes == nil {
		return
	}
	if _, ok := classes.Class(m.Product); ok {
		return
	}
	fix := "dewgap products lists them"
	if near := Nearest(m.Product, classes.IDs()); near != "" {
		fix = fmt.Sprintf("did you mean `%s`?", near)
	}
	s.fail(s.at("product"), fmt.Sprintf("unknown product `%s`", m.Product), fix)
}

func measured(v float64, ok bool) Measured {
	if !ok {
		return Measured{}
	}
	return Measured{v, true}
}

// told reads true, false or unknown.
func (s *section) told(key string) Told {
	if n := s.n.get(key); n != nil && n.shape == scalar && n.text == "unknown" {
		s.take(key)
		return NotTold
	}
	yes, ok := s.flag(key)
	switch {
	case !ok:
		return NotTold
	case yes:
		return Yes
	}
	return No
}

// complete reports what belongs together and does not stand together.
func (s *section) complete() {
	for _, key := range []string{"surface_c", "surface_f", "moisture_pct", "haze_min", "wet", "sun"} {
		if s.has(key) && !s.has("zone") {
			s.fail(s.at(key), fmt.Sprintf("`%s` belongs to a zone, and none is named", key), "add zone: and its name")
			break
		}
	}
	surface := s.has("surface_c") || s.has("surface_f")
	switch {
	case surface && !s.has("by"):
		s.fail(s.n.pos, "`by` is missing", "write by: infrared or by: contact, for an infrared thermometer misreads some finishes")
	case !surface && s.has("by"):
		s.fail(s.at("by"), "`by` tells how a surface was read, and none is given", "add surface_c or surface_f")
	}
	switch {
	case s.has("haze_min") && !s.has("product"):
		s.fail(s.n.pos, "`product` is missing", "name the product of the test patch")
	case s.has("product") && !s.has("haze_min"):
		s.fail(s.at("product"), "`product` names a test patch, and no time is given", "add haze_min, in minutes")
	}
	if s.empty() {
		s.fail(s.n.pos, "nothing was read here", "add air_c, humidity_pct, wind_m_s, salt, spray or, with a zone, surface_c, wet, moisture_pct or haze_min")
	}
}

// empty reports whether a reading says nothing that an answer could use.
func (s *section) empty() bool {
	for _, p := range s.n.pairs {
		switch p.key {
		case "at", "zone", "sky", "sun": // a half-said surface or patch is told already
		default:
			return false
		}
	}
	return true
}

// Text is the reading as one line of a readings file, its time by the clock of
// loc; ParseReadings reads it back, to the minute.
func (m Reading) Text(loc *time.Location) string {
	parts := []string{"at: " + m.At.In(loc).Format("2006-01-02T15:04Z07:00")}
	word := func(key, v string) {
		if v != "" {
			parts = append(parts, key+": "+v)
		}
	}
	number := func(key string, v Measured) {
		if v.Known {
			word(key, strconv.FormatFloat(v.V, 'f', -1, 64))
		}
	}
	if m.Zone != "" {
		word("zone", strconv.Quote(m.Zone))
	}
	number("air_c", m.AirC)
	number("humidity_pct", m.HumidityPct)
	number("wind_m_s", m.WindMS)
	word("sky", append([]string{""}, skyWords...)[m.Sky])
	word("spray", m.Spray.word())
	word("salt", m.Salt.word())
	number("surface_c", m.SurfaceC)
	word("by", append([]string{""}, instrumentWords...)[m.By])
	word("wet", m.Wet.word())
	word("sun", m.Sun.word())
	word("product", m.Product)
	number("haze_min", m.HazeMin)
	number("moisture_pct", m.MoisturePct)
	return "- {" + strings.Join(parts, ", ") + "}"
}

func (t Told) word() string { return [...]string{"", "false", "true"}[t] }
