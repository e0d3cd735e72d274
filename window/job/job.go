// Package job turns the file that a person writes into a checked job: place,
// boat, zones, steps, people and hours, with every mistake told by line and
// column and what to do about it.
package job

import (
	"iter"
	"maps"
	"math"
	"time"

	"dewgap/window/boat"
)

// WindExposure is how sheltered the berth is from the forecast wind.
type WindExposure uint8

// The exposures, with the share of the wind at 10 m that reaches the deck.
const (
	WindOpen   WindExposure = iota // 0.89
	WindLee                        // 0.7
	WindBasin                      // 0.5
	WindAtWork                     // 1: the forecast wind is the wind at the panel
)

// Share is the part of the 10 m wind that blows at deck height (3 m).
func (w WindExposure) Share() float64 { return [...]float64{0.89, 0.7, 0.5, 1}[w] }

// Minutes counts minutes from local midnight, 0–1440.
type Minutes int

// ClockSpan is a half-open stretch of the local clock.
type ClockSpan struct{ From, To Minutes }

// Date is a civil day.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// Schedule is when something is allowed, by the local clock: on every day, on
// a weekday, or on one date, the narrower outranking the wider. The zero
// Schedule allows always.
type Schedule struct {
	Set     bool
	Default []ClockSpan
	Weekday map[time.Weekday][]ClockSpan
	Dates   map[Date][]ClockSpan
}

// Open reports whether the schedule allows work at t, whose location is the
// place's own.
func (s Schedule) Open(t time.Time) bool {
	if !s.Set {
		return true
	}
	spans := s.Default
	if w, ok := s.Weekday[t.Weekday()]; ok {
		spans = w
	}
	if len(s.Dates) > 0 {
		if d, ok := s.Dates[DateOf(t)]; ok {
			spans = d
		}
	}
	hour, minute, _ := t.Clock()
	m := Minutes(hour*60 + minute)
	for _, c := range spans {
		if m >= c.From && m < c.To {
			return true
		}
	}
	return false
}

// DateOf is the civil day of t in its own location.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// Place is where the boat lies.
type Place struct {
	Name                string
	Latitude, Longitude float64
	Timezone            string         // IANA name, "" if the file leaves it to the service
	Location            *time.Location // nil until the zone is known
	ElevationM          float64
	HasElevation        bool
	WaterC              float64 // temperature of the water behind a hull afloat
	HasWaterC           bool
	Water               string // what may run off: none, rinse, soap, all
	Wind                WindExposure
	Machines            Schedule // when machines may run; quiet days are closed in it
	OnshoreFrom         float64  // true bearings from which the wind blows off the sea; may wrap north
	OnshoreTo           float64
	HasOnshore          bool

	WaterKind              string   // salt, brackish, fresh, "" not said
	Washing                Schedule // when the marina allows washing
	Sprinklers             Schedule // when sprinklers wet the berth; where not Set, never
	ExposedFrom, ExposedTo float64  // true bearings of the winds that bring spray; may wrap north
	HasExposed             bool
	DustFrom, DustTo       float64  // true bearings from which the wind brings dust, or pollen; may wrap north
	DustHours              Schedule // when it does
	HasDust                bool
}

// Berth is how the boat lies from a moment on.
type Berth struct {
	From time.Time // zero: from the beginning
	Bow  float64   // degrees true
}

// Cover is a sheet, canvas or tent over some zones for a time.
type Cover struct {
	Zones    []string
	Kind     boat.Shelter
	From, To time.Time // zero: unbounded
	Tent     bool      // it has sides: an enclosed space, and half the wind
}

// Step is one kind of work with one product on some zones.
type Step struct {
	Name    string // unique; its Do unless the file names it; what JSON and done call it
	Do      string // wash, decontaminate, correct, wipe down, strip wash, seal, protect, coat, bed, inspect
	With    string // id of the product class; "" for inspect
	On      []int  // indices into Zones
	Coats   int
	PerDay  int // coats a day at most; 0: not said, the product's recoat window tells
	Sand    bool
	Tape    bool    // what lies beside it is masked with tape
	Hours   float64 // the person's own hours for the whole step; 0: from the rate
	HazeMin float64 // the test patch's clock in minutes; 0: the class's
}

// Two shares of what is to be done that are this near are the same: of all of it, and of
// one coat of several.
const (
	nearShare = 0.02
	nearCoat  = 0.05
)

// Whole is how much of a step is done, of 1, where somebody says that a share is: who
// writes 33 % of three coats means the first, and nobody comes back for the last hundredth
// of a side.
func (s Step) Whole(share float64) float64 {
	coats := float64(max(1, s.Coats))
	near := math.Round(share * coats)
	if near > 0 && math.Abs(share*coats-near) <= min(nearShare*coats, nearCoat)+1e-9 {
		return near / coats
	}
	return share
}

// Since is what the person knows of the past that the forecast does not reach.
type Since struct {
	Rain, Wash time.Time // last rain, last wash; zero: not said
	HasRain    bool
	HasWash    bool
	Spray      string // yes, no, "" not said
}

// Job is a whole job, checked.
type Job struct {
	Name    string
	Place   Place
	Boat    string // the boat's name
	Kind    string // preset, "" for none
	LengthM float64
	// LengthFt is LengthM as the job has it in feet; 0 where it has metres.
	LengthFt float64
	HasBow   bool
	Berths   []Berth // at least one when HasBow; the first from the beginning
	Afloat   bool
	Inside   string // ambient, cooled, heated
	// Swinging: she lies to an anchor or a buoy and turns with the wind, so that
	// HasBow is false and her faces are named by the compass.
	Swinging bool
	Zones    []boat.Zone
	Covers   []Cover
	Steps    []Step

	Crew          string // "" not said; jobs of one crew share the same numbered persons
	People        int    // at least 1, on the days that the two maps leave out
	PeopleWeekday map[time.Weekday]int
	PeopleDates   map[Date]int // outranks PeopleWeekday; 0: nobody
	Polishers     int          // machines of the crew's, 1–50; 0: not said, one for each person
	Hours         Schedule
	Days          map[time.Weekday]bool // nil: every day
	Away          map[Date]bool
	Lamps         bool
	Towel         bool
	Rinse         string  // tap, softened, deionised
	Sure          float64 // share of members that must agree, 0–1
	ShortestH     float64
	AcceptMargin  bool
	From, By      Date // zero: not said
	Since         Since
	Must          map[string]time.Time

	// NeedsTimezone: the file has local times, but neither it nor the Options
	// name a zone. They were read as if in UTC: Parse again once the zone is
	// known, before anything but the place is used.
	NeedsTimezone bool

	Past     []Past   // the moments that the file tells as over, in its order
	Warnings []string // what was read but deserves a word
}

// MostPeople is how many people come on the day on which the most do.
func (j *Job) MostPeople() int {
	most := j.People
	for _, more := range []iter.Seq[int]{maps.Values(j.PeopleWeekday), maps.Values(j.PeopleDates)} {
		for n := range more {
			most = max(most, n)
		}
	}
	return most
}

// Past is a moment of which the file says that something has happened then. Parse knows
// no now: whoever asks holds it against theirs.
type Past struct {
	What         string // "`wash` under `done` of port side"
	At           time.Time
	Line, Column int // of the moment
}
