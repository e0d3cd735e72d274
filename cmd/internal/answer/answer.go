// Package answer holds the answers as programs read them: the types behind
// --json. Their keys are a promise; more may be added, none renamed. Everything
// that a screen, a page or a picture shows comes from these types, so that no
// two of them can differ.
//
// Times are RFC 3339 with the place's offset, numbers are SI whatever units a
// screen shows, and an absent number is null.
package answer

import (
	"slices"
	"time"

	"dewgap/window"
)

// Place is where the boat lies.
type Place struct {
	Name      string  `json:"name"`
	Latitude  float64 `json:"latitude"`
	Longitude float64 `json:"longitude"`
	Timezone  string  `json:"timezone"`
}

// Source is where the forecast comes from.
type Source struct {
	Name        string     `json:"name"`
	Model       string     `json:"model,omitempty"`
	Issued      *time.Time `json:"issued"`
	AgeS        *int64     `json:"age_s"`
	Members     int        `json:"members"`
	Dressed     int        `json:"dressed"` // futures made of a single forecast; 0 for an ensemble
	Stale       bool       `json:"stale"`
	Licence     string     `json:"licence"`
	Attribution string     `json:"attribution"`
}

// Hour is one hour of one zone: the weather and what it makes of the surface.
type Hour struct {
	At           time.Time `json:"at"`
	AirC         *float64  `json:"air_c"`
	DewPointC    *float64  `json:"dew_point_c"`
	HumidityPct  *float64  `json:"humidity_pct"`
	WindMS       *float64  `json:"wind_m_s"` // at deck height
	GustMS       *float64  `json:"gust_m_s"` // at deck height
	RainMM       *float64  `json:"rain_mm"`
	CloudPct     *float64  `json:"cloud_pct"`
	SunElevation *float64  `json:"sun_elevation_deg"`
	SunAzimuth   *float64  `json:"sun_azimuth_deg"`
	SunlightWM2  *float64  `json:"sunlight_w_m2"` // on the zone's plane
	SurfaceC     *float64  `json:"surface_c"`
	SpreadK      *float64  `json:"spread_k"`
	FilmGM2      *float64  `json:"film_g_m2"`
	UVIndex      *float64  `json:"uv_index"` // on the zone's plane
}

// Zone is one zone's hours.
type Zone struct {
	Name    string   `json:"name"`
	Faces   *float64 `json:"faces_deg"` // true bearing at the horizon's start, null when level or unknown
	Tilt    float64  `json:"tilt_deg"`
	AreaM2  *float64 `json:"area_m2"`
	Finish  string   `json:"finish"`
	Shelter string   `json:"shelter"`
	Hours   []Hour   `json:"hours"`
}

// Binding is the limit that decides a state.
type Binding struct {
	Limit  string   `json:"limit"`
	Value  *float64 `json:"value"`
	Bound  *float64 `json:"bound"`
	Unit   string   `json:"unit"`
	Text   string   `json:"text"`   // one line in words, SI
	Source string   `json:"source"` // where the bound comes from
	// Since says which water a dry-off counts from, where a product has one for rain and
	// wash water and one for dew: "rain or wash water", "dew", or both.
	Since string `json:"since,omitempty"`
	// AtLeast is of a dry-off as far back as the water is known, none of which came: the value
	// is the least that it can be.
	AtLeast bool `json:"at_least,omitempty"`
}

// Block is a stretch of work.
type Block struct {
	From       time.Time `json:"from"`
	To         time.Time `json:"to"`
	State      string    `json:"state"`
	Confidence float64   `json:"confidence"`
}

// Window is a run of workable slots in one state.
type Window struct {
	Rank       int       `json:"rank"`
	Step       string    `json:"step"`
	Do         string    `json:"do"`
	Product    string    `json:"product"`
	Zone       string    `json:"zone"`
	From       time.Time `json:"from"`
	To         time.Time `json:"to"`
	State      string    `json:"state"`
	Confidence float64   `json:"confidence"`
	Binding    Binding   `json:"binding"`
	// Besides are, in words, up to two limits that other slots of a marginal window need the
	// yes for, that of most slots first.
	Besides []string `json:"besides,omitempty"`
	// Short marks a window of ideal or go that is too short for a block, together with
	// those beside it that are no worse: work begun in it runs into marginal hours.
	Short bool `json:"short,omitempty"`

	// ReadyAt is when the work that comes first on the zone can be done at the soonest, where
	// that is after the window begins. Windows and their ranks are those of the step alone.
	ReadyAt   *time.Time `json:"ready_at,omitempty"`
	LastStart time.Time  `json:"last_start"` // the last slot in which begun work passes
	// LastSection is when the last section goes on that can haze and be wiped off
	// before the crew's day ends and the panel is wet again: last_start or earlier;
	// null where nothing hazes, or no section of the window would be wiped in time.
	LastSection *time.Time `json:"last_section"`
	WipeBy      *time.Time `json:"wipe_by"` // the last section, at the latest: the longest haze, within the crew's day and before it is wet
	// Best is the block of the needed length that ranks it. Work begun in the window
	// may run on in its neighbours that are workable too, so the block may reach over
	// the window's own end, and its state is that of its worst slot.
	Best *Block `json:"best"`
	// GoBlock is the block that screens name beside a window of ideal or go: of the needed
	// length, or as short as the work allows, and at least go throughout. Its confidence is
	// the share in which all of it is at least go, by which windows are ranked. Null where
	// no whole block is go (see Short) and where the window is marginal.
	GoBlock *Block `json:"go_block"`
	// GoConfidence is the share in which all of the window is at least go; null where the
	// answer does not tell the forecasts apart.
	GoConfidence *float64    `json:"go_confidence"`
	RainFreeH    *float64    `json:"rain_free_until_h"` // hours the class wants without rain, default band
	DewFreeH     *float64    `json:"dew_free_until_h"`  // hours the class wants without dew, default band
	WetAt        *time.Time  `json:"next_wet_at"`       // when the zone is next wet after the window
	WetBy        string      `json:"next_wet_by"`       // rain, dew, fog or ""
	SectionM2    *float64    `json:"section_m2"`        // washing: the smallest of the largest sections in it
	RewetMin     *float64    `json:"rewet_min"`         // washing: keep it wet every so many minutes; null where it stays wet by itself
	HazeMin      *[2]float64 `json:"haze_min"`          // minutes at the block's surface temperature and humidity
	SurfaceC     *[2]float64 `json:"surface_c"`         // least and most in the window
	SpreadK      *[2]float64 `json:"spread_k"`
	Sunlit       *bool       `json:"sunlit"` // more than 250 W/m² on the plane in half of the window
}

// Refusal is a run of slots in which the step must not be done.
type Refusal struct {
	Step    string     `json:"step"`
	Do      string     `json:"do"`
	Product string     `json:"product"`
	Zone    string     `json:"zone"`
	From    time.Time  `json:"from"`
	To      time.Time  `json:"to"`
	State   string     `json:"state"`
	Binding Binding    `json:"binding"`
	Clears  *time.Time `json:"clears"` // when the next window begins, null if none does
}

// Caution is a word for the people. It never blocks and never certifies.
type Caution struct {
	Kind   string     `json:"kind"`
	From   *time.Time `json:"from"`
	To     *time.Time `json:"to"`
	Level  string     `json:"level"`
	Value  *float64   `json:"value"`
	Unit   string     `json:"unit"`
	Text   string     `json:"text"`
	Source string     `json:"source"`
	// Unjudged is what the level unknown is about; absent where that is no hazard of the weather.
	Unjudged *Unjudged `json:"unjudged,omitempty"`
}

// PlanBlock is work booked in a window.
type PlanBlock struct {
	From       time.Time `json:"from"`
	To         time.Time `json:"to"`
	Step       string    `json:"step"`
	Product    string    `json:"product"`
	Zone       string    `json:"zone"`
	People     []int     `json:"people"` // numbers, from 1
	State      string    `json:"state"`
	Confidence float64   `json:"confidence"`

	Do           string      `json:"do"`
	Coat         int         `json:"coat"` // from 1
	Coats        int         `json:"coats"`
	Part         int         `json:"part"` // from 1: of a zone that takes several blocks
	Parts        int         `json:"parts"`
	AreaM2       *float64    `json:"area_m2"` // of this block; null where the zone's is not known
	PersonHours  float64     `json:"person_hours"`
	WorkTo       time.Time   `json:"work_to"`  // from here on the last section hazes, then it is wiped
	HazeMin      *[2]float64 `json:"haze_min"` // minutes until it may and must be wiped
	WipeBy       *time.Time  `json:"wipe_by"`  // the last section, at the latest
	SectionM2    *float64    `json:"section_m2"`
	RewetMin     *float64    `json:"rewet_min"`
	SurfaceC     *[2]float64 `json:"surface_c"`
	SpreadK      *[2]float64 `json:"spread_k"`
	NeedsConsent bool        `json:"needs_consent"`
	ConsentFor   string      `json:"consent_for"`           // what it needs the yes for, in words; "" where it needs none
	Reason       string      `json:"reason"`                // one line, SI
	Rewash       bool        `json:"rewash,omitempty"`      // it lay bare overnight: washed and dried first, in the block's time
	FloodRinse   bool        `json:"flood_rinse,omitempty"` // a wash of a panel with salt on it: flood it first
	Redo         bool        `json:"redo,omitempty"`        // of a part of the zone that rain had spoiled
	RainBefore   *RainBefore `json:"rain_before,omitempty"` // on the bare panel: absent where none is forecast
	StaleWash    *StaleWash  `json:"stale_wash,omitempty"`  // absent where the panel is washed in time
	WashAgain    string      `json:"wash_again,omitempty"`  // what either asks for and until when, in words
	TapeBy       *time.Time  `json:"tape_by,omitempty"`     // its masking tape has to be off; absent without, and under a roof
	TapeAnew     bool        `json:"tape_anew,omitempty"`   // the tape of the work before is too old by its end: fresh tape first
	Mind         string      `json:"mind,omitempty"`        // of other work on the boat, in words
	Reach        string      `json:"reach,omitempty"`       // ladder, harness, float, or climb (a ladder leads up to her deck): what it is reached by; absent where by nothing
}

// Worked is when a block's last section has been worked: its end, where that is not told.
func (x *PlanBlock) Worked() time.Time {
	if x.WorkTo.IsZero() || x.WorkTo.After(x.To) {
		return x.To
	}
	return x.WorkTo
}

// Machine reports whether a block is worked with machines: as its class says, and of one that
// is not known by what is done.
func (x *PlanBlock) Machine(known window.Classes) bool {
	if c, ok := known.Class(x.Product); ok {
		return c.Machine
	}
	return x.Do == "correct"
}

// AllAtOnce reports a wash whose section is no smaller than what is washed.
func (x PlanBlock) AllAtOnce() bool {
	return x.SectionM2 != nil && x.AreaM2 != nil && *x.SectionM2 >= *x.AreaM2
}

// RainBefore is rain that is forecast on a panel between the work that left it bare or
// stripped and the block that follows. Once it has fallen, the panel is to be washed anew.
type RainBefore struct {
	From    time.Time `json:"from"` // the first of it
	To      time.Time `json:"to"`   // and the last, before the block
	After   string    `json:"after"`
	WashMin float64   `json:"wash_min"` // minutes of one person for washing it anew; not in the plan
	WashBy  time.Time `json:"wash_by"`  // when it has to be washed anew for the block to begin in time
	NoTime  bool      `json:"no_time"`  // the hours before that allow no such wash
}

// StaleWash is a wash before a block that is too old by then for what is put on: the panel
// is to be washed anew.
type StaleWash struct {
	After   string    `json:"after"`
	WaitsH  float64   `json:"waits_h"`
	WashMin float64   `json:"wash_min"`
	WashBy  time.Time `json:"wash_by"`
	NoTime  bool      `json:"no_time"`
}

// Plan is the whole job booked.
type Plan struct {
	State      string  `json:"state"`              // go, marginal (takes consent) or none
	Accepted   bool    `json:"accepted,omitempty"` // the job says yes to what is marginal
	Confidence float64 `json:"confidence"`
	// Misses is how many of the blocks, or more, do not hold in half of the forecasts, and
	// would have to move there; null where nobody knows.
	Misses *int        `json:"misses"`
	Blocks []PlanBlock `json:"blocks"`
	Why    []string    `json:"why"`
	// ForOwner is what an owner may read of it where other boats are the reason, none of
	// them by its name: why there is no plan, or what of one that stands holds no longer.
	ForOwner []string `json:"for_owner,omitempty"`

	Consents int `json:"consents"` // blocks that need the person's yes
	Days     int `json:"days"`
	// WashDays is on how many more somebody comes for nothing but to wash a panel anew.
	WashDays int      `json:"wash_days"`
	Proven   []string `json:"proven"` // criteria proven best, in their order
	// Open is the first criterion that is not proven, "" where all are, and Bound
	// what no plan can beat in it.
	Open  string     `json:"open"`
	Bound string     `json:"bound"`
	Ends  *time.Time `json:"ends"`           // null without a plan
	Part  *Part      `json:"part,omitempty"` // what of the job it is for; null: all of it
	Held  *time.Time `json:"held,omitempty"` // of an earlier plan that stands: when it was agreed. Its state may then be no-go or unknown too
}

// Waits reports whether a plan waits for the person's yes.
func (p *Plan) Waits() bool { return p.State == Marginal && !p.Accepted }

// Ahead are the blocks of a plan that are not over, for one that was made before and stands
// has the others still; none of no plan.
func (p *Plan) Ahead(now time.Time) []PlanBlock {
	if p == nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(p.Blocks), func(x PlanBlock) bool { return !x.To.After(now) })
}

// Verdict is what a plan comes to for whoever goes by it: its state, and go where what is
// marginal in it has the job's yes.
func (p *Plan) Verdict() string {
	if p.State == Marginal && p.Accepted {
		return Go
	}
	return p.State
}

// BrokenPlan begins the warning that a plan which stands does not hold any longer.
const BrokenPlan = "the plan of "

// Week is the answer of dewgap week.
type Week struct {
	Format   string     `json:"format"` // dewgap.week.v1
	Job      string     `json:"job"`
	Boat     string     `json:"boat"`
	Now      time.Time  `json:"now"`
	Verdict  string     `json:"verdict"` // go, marginal, no-go or unknown: may every sealing step be done?
	Place    Place      `json:"place"`
	Source   Source     `json:"source"`
	SlotMin  int        `json:"slot_min"`
	From     time.Time  `json:"from"`
	To       time.Time  `json:"to"`
	Headline *Headline  `json:"headline"`
	Zones    []Zone     `json:"zones"`
	Windows  []Window   `json:"windows"`
	Refusals []Refusal  `json:"refusals"`
	Plan     *Plan      `json:"plan"`
	Ladder   []Rung     `json:"ladder"` // ways to get on where there is no plan; else empty
	Cautions []Caution  `json:"cautions"`
	Warnings []string   `json:"warnings"`
	Own      []OwnLimit `json:"own_limits,omitempty"` // looser than the hard bounds of their class, of the products that the job uses
	Scene    *Scene     `json:"scene,omitempty"`      // for pictures; answers of older programs have none
	Done     bool       `json:"done,omitempty"`       // every step is done on every zone: the headline names no hours
	KeepDry  []KeepDry  `json:"keep_dry,omitempty"`   // films put on that still want to stay dry
	Care     []Care     `json:"care,omitempty"`       // films put on, or planned, that are to be spared touch or soap
	Lasts    []Lasts    `json:"lasts,omitempty"`      // with everything done: when it is due again
	Crew     *Crew      `json:"crew,omitempty"`       // where its people are besides; absent where all are here
}

// Formats of the answers.
const (
	WeekFormat    = "dewgap.week.v1"
	MorningFormat = "dewgap.morning.v1"
)

// MorningStep is one step on one zone, this morning.
type MorningStep struct {
	Step    string `json:"step"`
	Do      string `json:"do"`
	Product string `json:"product"`
	Zone    string `json:"zone"`
	State   string `json:"state"` // of work begun now, though it may begin later: ideal, go, marginal, no-go or unknown (also before the hours of a day of which nothing is known)
	Asked   bool   `json:"asked"` // the verdict hangs on it: it is planned for today, else all steps before it are done
	Done    bool   `json:"done"`  // the job says that it is done
	Waits   bool   `json:"waits"` // a step before it is not done yet on its zone
	// First is the first slot from now on in which it may begin: go or better, or
	// marginal where the job has a standing yes or nothing better comes today. Last
	// is the last one of the stretch without a gap that begins there.
	First        *time.Time `json:"first"`
	Last         *time.Time `json:"last"`
	FirstState   string     `json:"first_state"`             // of the slot of first, "" if none
	NeedsConsent bool       `json:"needs_consent"`           // to begin at first needs the person's yes
	FirstBecause string     `json:"first_because,omitempty"` // of a first that is marginal and still to come: why, in words
	Chances      []Chance   `json:"chances"`                 // all such stretches of today from now on, in order of time
	Best         string     `json:"best"`                    // best state of today's windows from now on, "" if none
	// TowelGM2 is the water that has to be towelled off before work begins at first,
	// null if none.
	TowelGM2 *float64 `json:"towel_g_m2"`
	Binding  Binding  `json:"binding"`
	// Today is what takes most of today's working hours from now on, where it may not
	// begin today; null where it may, and where nobody works any more.
	Today *Against `json:"today"`
	// The panel now, as the step meets it: without the dew that is towelled off before.
	SurfaceC *float64   `json:"surface_c"`
	SpreadK  *float64   `json:"spread_k"`
	Wet      bool       `json:"wet,omitempty"` // water is known to lie on it now, be it to be towelled off
	WetAt    *time.Time `json:"next_wet_at"`   // when the zone is next wet after last, null where that is later than the class wants it dry
	WetBy    string     `json:"next_wet_by"`
	RainAt   *time.Time `json:"rain_at"`        // the hour in which rain first falls on the zone between first and last, null if none
	Change   string     `json:"change"`         // what ends the stretch from first to last or, without one, what comes next, in words
	Mind     string     `json:"mind,omitempty"` // what is to be minded of other work on the boat, in words
	// NoHands: too few of the crew are here in hours that the weather allows. HandsAt is when
	// it may begin with enough, null if not today.
	NoHands bool       `json:"no_hands,omitempty"`
	HandsAt *time.Time `json:"hands_at,omitempty"`
	// NoPolisher: hands are there in hours that the weather allows, but the polisher that it
	// takes is on another boat. PolisherAt is when it may begin with one, null if not today.
	NoPolisher bool       `json:"no_polisher,omitempty"`
	PolisherAt *time.Time `json:"polisher_at,omitempty"`
	Wiped                 // of the stretch from first to last
}

// Lies is the water that lies on the panel now: "wet", or on one that freezes "frost or
// ice"; "" for none that is known.
func (s MorningStep) Lies() string {
	switch {
	case !s.Wet:
		return ""
	case s.SurfaceC != nil && *s.SurfaceC < 0:
		return "frost or ice"
	}
	return "wet"
}

// Until is when the work is begun at the latest: the last start, or the last section
// that can still be wiped off; nil without either.
func (s MorningStep) Until() *time.Time {
	if s.LastSection != nil {
		return s.LastSection
	}
	return s.Last
}

// Chance is a stretch of today in which a step may begin in every slot.
type Chance struct {
	From         time.Time `json:"from"`
	Last         time.Time `json:"last"`  // its last start
	State        string    `json:"state"` // of its first slot
	NeedsConsent bool      `json:"needs_consent"`
	// The next water that bears on work begun at the last start.
	WetAt *time.Time `json:"next_wet_at"`
	WetBy string     `json:"next_wet_by"` // rain, dew, fog; "" if none is in sight
	Wiped
}

// Wiped tells of hours at the end of which a section could still be put on, but not be
// wiped off any more before the crew goes home or the panel is wet again. It is empty
// where that does not end them, and of washes, whose last section is rinsed at once.
type Wiped struct {
	LastSection *time.Time `json:"last_section,omitempty"` // when the last section goes on that can be
	WipeBy      *time.Time `json:"wipe_by,omitempty"`      // by when that is wiped off
}

// Morning is the answer of dewgap morning.
type Morning struct {
	Format       string         `json:"format"` // dewgap.morning.v1
	Job          string         `json:"job"`
	Boat         string         `json:"boat"`
	Now          time.Time      `json:"now"`
	Place        Place          `json:"place"`
	Source       Source         `json:"source"`
	Verdict      string         `json:"verdict"` // go, wait, marginal, no-go or unknown
	WaitUntil    *time.Time     `json:"wait_until"`
	Today        *Today         `json:"today"` // what the plan has today; null where no plan has anything ahead
	Steps        []MorningStep  `json:"steps"`
	ReadingsUsed []string       `json:"readings_used"`
	Readings     []ReadingTaken `json:"readings"`     // all that was measured, and what became of it
	Inserted     []Inserted     `json:"inserted"`     // work that readings put before everything else
	Measure      []string       `json:"measure"`      // zones to measure first
	NextReading  *time.Time     `json:"next_reading"` // when to measure again
	Stop         []Binding      `json:"stop"`         // limits at which work stops: limit, bound and unit, no value
	Cautions     []Caution      `json:"cautions"`
	Warnings     []string       `json:"warnings"`
	Done         bool           `json:"done,omitempty"`     // every step is done on every zone: nothing is asked
	KeepDry      []KeepDry      `json:"keep_dry,omitempty"` // films put on that still want to stay dry
	Care         []Care         `json:"care,omitempty"`     // films put on that are to be spared touch or soap
	Lasts        []Lasts        `json:"lasts,omitempty"`    // with everything done: when it is due again
	Crew         *Crew          `json:"crew,omitempty"`     // where its people are besides; absent where all are here
}

// KeepDry is a film that was put on and has not yet stood as long without rain as its
// product wants.
type KeepDry struct {
	Step  string     `json:"step"`
	Zone  string     `json:"zone"`
	On    time.Time  `json:"on"`
	Hard  *time.Time `json:"hard_until"` // rain before it spoils the film; null where the forecast does not reach so far
	Until *time.Time `json:"until"`      // keep it dry until then, likewise
	// DewUntil is until when no dew may form on it, where that is later than until.
	DewUntil *time.Time `json:"dew_until,omitempty"`
	RainAt   *time.Time `json:"rain_at"` // rain foreseen on it before that, null if none
	Spoils   bool       `json:"spoils"`  // that rain would spoil it; else it may mark it
	// RainIn are the futures in which it rains on it before rain_at, or before that where
	// rain_at is null, a fifth of them and more.
	RainIn *RainIn `json:"rain_in,omitempty"`
	DewIn  *DewIn  `json:"dew_in,omitempty"` // those in which dew forms on it, a fifth and more
}

// DewIn counts futures with dew.
type DewIn struct {
	RainIn
	Before *time.Time `json:"before"` // until when the product minds dew; null where the forecast does not reach so far
}

// RainIn counts futures with rain.
type RainIn struct {
	In    int    `json:"in"`
	Of    int    `json:"of"`
	Kinds string `json:"kinds"` // what is counted: forecasts of an ensemble, or futures of one forecast
}

// Failure is what goes to stderr in place of an answer with --json.
type Failure struct {
	Error string `json:"error"`
	Where string `json:"where"` // file:line:column, "" where there is none
	Fix   string `json:"fix"`
	// More are the further mistakes of a file, in the order of its lines.
	More []Failure `json:"more,omitempty"`
}
