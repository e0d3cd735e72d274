// Package window answers when the weather meets what a product demands, on
// every zone of a boat: it takes a forecast, a job and the catalogue, and gives
// back for each step on each zone the windows, the refusals with the limit that
// binds, and the ranking.
//
// It is pure: no clock, file, network, log or global state of its own; the same
// input gives the same answer to the last bit. The parts are [window/surface]
// (temperature, film, sunlight and UV of a zone), [window/verdict] (one slot
// against one class), [window/boat] and [window/job] (what the person said) and
// [window/crew] (cautions for the people).
package window

import (
	"errors"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// Classes is where the product classes come from.
type Classes interface {
	// Class gives a class by its id.
	Class(id string) (products.Class, bool)
}

// Input is all that an answer depends on.
type Input struct {
	Forecast *forecast.Forecast
	// Dressed are futures of a single forecast with plausible errors; they give
	// the confidence and nothing else. Empty for an ensemble.
	Dressed  []forecast.Member
	Job      *job.Job
	Classes  Classes
	Location *time.Location // of the place; local days and hours are cut by it
	Now      time.Time
	// UnknownFrom is the moment from which the forecast is too old to be trusted;
	// zero: never. UnknownUntil is the moment from which it may be trusted again,
	// for what lies further ahead ages more slowly; zero: never again.
	UnknownFrom, UnknownUntil time.Time
	// Readings are what was measured on the dock. Air, humidity and wind correct the
	// forecast and the Dressed from their moment on, surfaces and water the panels,
	// and salt, moisture and test patches what the job says. Result.Readings tells
	// what became of each.
	Readings []job.Reading
	// Rained is rain that was seen to fall; spells that are not Observed count for
	// nothing. It wets the panels as rain of the forecast does, and on its days, up to
	// RainedUntil, none but it fell. RainedUntil zero: Now.
	Rained      []Rain
	RainedUntil time.Time
	// Learned is what readings of the past have taught, nil for nothing. It corrects
	// the forecast, the Dressed and the panels; the answer is held against the one
	// without, so that it never relaxes a hard limit.
	Learned *Learned
	// Elsewhere is when people of the crew are at work at other boats.
	Elsewhere []Elsewhere
	Model     surface.Model
	Skies     *surface.Skies // of answers about the same place; nil: the sun's path is computed for this one
	Workers   int            // zones and members worked on at once; 0: 1
	// HorizonDays is how far ahead is judged at most; 0: 16 days.
	HorizonDays int
	// WorkAlone leaves out the zones that no step of the job hangs on: nothing is to be
	// done or was done there, nothing was read there, and no water runs from there onto
	// the others. Their Hours stay empty.
	WorkAlone bool
	// unasked: the last step is none of the job's own, but one that Explain is asked about.
	unasked bool
}

// The longest horizon, and how far back the surfaces are started.
const (
	horizonDays = 16
	pastHours   = 72
)

// Errors of Evaluate.
var (
	ErrNoForecast = errors.New("no forecast to judge by")
	ErrNoHorizon  = errors.New("nothing left to judge: the job's last day lies before now, or the forecast ends before it begins")
	ErrNoLocation = errors.New("the place has no time zone")
)

// Result is the answer.
type Result struct {
	Grid     surface.Grid
	From, To int // the horizon, in slots of the grid
	Location *time.Location
	Members  int // futures that decide
	Dressed  int // futures that only tell how sure a single forecast is
	Zones    []Zone
	Rows     []Row   // step by step, within a step zone by zone
	Ranked   [][]Ref // per step: the windows of all zones, best first
	Weather  []Hour
	Derived  surface.Derived
	Slots    int // slots that Derived counts over
	Warnings []string

	Readings []ReadingUse      // what was read, in the order of the times
	HazeMin  map[Patch]float64 // minutes that test patches took, which outrank the class
	Dark     []bool            // per slot of the grid: too dark to work; nil where lamps are used
	Salted   []int             // zones that are salty, as read or by the wind: flood rinse and wash come first
	Salty    []int             // all zones on which salt lies now: those, and those of which the job says so
	Blown    time.Time         // until when onshore wind brought salt to some of them; zero: it did not
	// SprayUnknown: the place has winds that bring salt, and neither the forecast's
	// past nor anybody's word tells whether they have blown in the last two days.
	SprayUnknown bool
	Elsewhere    []Elsewhere // as it was given: plans book nobody then
	saltSince    [][]int32   // per zone, see zoneWork.saltSince
	foggy        []bool      // by slot of the grid, see evaluation.fogs
	lain         [][]bool    // per zone, by slot of the grid, see zoneWork.lain
	Futures      []Wet       // when it rains in each, see RainIn; none where nothing is done yet
	Dewy         [][]Wet     // per zone, when dew forms on it in each, see DewIn; likewise
}

// Zone is a zone's hours: medians over the members. A zone that was left out has none,
// see [Input].WorkAlone.
type Zone struct {
	Name  string
	Hours []ZoneHour
}

// Row is one step on one zone.
type Row struct {
	Step     int // index into the job's steps
	Zone     int // index into the job's zones
	Class    products.Class
	Windows  []Window
	Refusals []verdict.Run
	// Short are the windows of stretches that Refusals refuse by their length, for a
	// visit of its own; [Result.Visited] takes them for work within a longer one.
	Short   []Window
	Section []float32 // for wet steps: m² of one section by slot of the horizon, else nil
	Slots   *Slots    // of the horizon, as a planner reads them; shared by rows alike
	Panel   *Met      // of the horizon; shared by the zone's rows that meet it alike
}

// Window is a run of workable slots in one state, with its best block.
type Window struct {
	verdict.Run
	Rank int // within the step, from 1
	// Best is the block of the needed length by which the window is ranked.
	BestFrom, BestTo int
	BestState        verdict.State
	BestConfidence   float64
	bestAsGo         float64 // its confidence where an ideal block counts as go
	BestHeat         float64 // K of mean heat index above the screening line
	// What the panel is like in the window, slot by slot, as the step meets it:
	// surface temperature and its distance over the dew point, least and most.
	Panel, OverDew Extent
	Sunlit         bool // more than 250 W/m² on the plane in half of the slots
	// WetAt is the slot in which the zone is next wet after the window, and By
	// what; the grid's end where the data show nothing.
	WetAt int
	WetBy string // "rain", "dew", "fog", ""
}

// Extent is the least and the most of a number over a window: the median of the
// members' own. Absent where nothing is known.
type Extent struct {
	Least, Most float64
	Known       bool
}

// Hour is one hour's weather: medians over the members; rain the sum, gust the
// most, the rest means. Known is false where too few members know it.
type Hour struct {
	At                                     time.Time
	Air, Dew, Humidity, Wind, Gust, Rain   Value
	Cloud, GustHigh, Global, UV            Value
	SunElevation, SunAzimuth, CosZ, Direct float64
	Thunder                                bool

	// Of an hour of whose rain somebody told, a bit for each slot in which it fell or is still
	// to fall; 0 of any other.
	wet uint8
}

// ZoneHour is one hour of one zone: surface temperature, spread, sunlight and
// UV as means over the hour, film at its end.
type ZoneHour struct {
	Surface, Spread, Film, Sunlight, UV Value
}

// Value is a number that may be absent.
type Value struct {
	V     float64
	Known bool
}

// Evaluate judges the whole job. Its errors are ErrNoForecast, ErrNoLocation,
// ErrNoHorizon and ErrElsewhere.
func Evaluate(in Input) (*Result, error) {
	e, err := newEvaluation(in)
	if err != nil {
		return nil, err
	}
	e.weathers()
	e.heatIndices()
	e.hours()
	e.zones()
	e.result.Ranked = make([][]Ref, len(e.Job.Steps))
	e.result.rank()
	return e.result, nil
}
