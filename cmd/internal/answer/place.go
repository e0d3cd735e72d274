package answer

import (
	"fmt"
	"math"
	"strings"
	"time"

	"dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/surface/fit"
	"dewgap/window/verdict"
)

// PlaceFormat is the format of Learned.
const PlaceFormat = "dewgap.place.v1"

// Learned is the answer of dewgap place show: what readings have taught of a place
// and a boat, from which readings, how much of it counts, and what it changes.
type Learned struct {
	Format  string          `json:"format"`
	Job     string          `json:"job"`
	Boat    string          `json:"boat"`
	Place   Place           `json:"place"`
	Now     time.Time       `json:"now"`
	Rules   LearnedRules    `json:"rules"`
	Biases  []LearnedBias   `json:"biases"`  // of the forecast at the place
	Spreads []LearnedSpread `json:"spreads"` // of its members, or of the futures of a single one
	// Rain is why the probability of rain is not calibrated.
	Rain     string           `json:"rain"`
	Stations []LearnedStation `json:"stations"` // that teach, or may not
	Zones    []LearnedZone    `json:"zones"`    // of the boat's panels, in the job's order
	Readings []LearnedFrom    `json:"readings"`
	Lines    []string         `json:"lines"`   // what is used, in words, as every answer names it
	Changes  []LearnedShift   `json:"changes"` // null where there is no forecast to see it by
	Warnings []string         `json:"warnings"`
}

// LearnedRules are the settings of learning.
type LearnedRules struct {
	Enough       int     `json:"enough"`         // readings of a regime before it may make a verdict better
	HalfLifeDays float64 `json:"half_life_days"` // of a reading
	FromHours    float64 `json:"from_h"`         // age at which a reading stops being this morning's and teaches
	LeadWholeH   float64 `json:"lead_whole_h"`   // hours ahead for which the weather's counts whole
	LeadGoneH    float64 `json:"lead_gone_h"`    // hours ahead from which it counts no more
	EnoughCases  int     `json:"enough_cases"`   // cases that a spread takes to count whole
	LeastCases   int     `json:"least_cases"`    // cases that it takes to count at all
}

// LearnedBias is the mean error of one variable in one regime.
type LearnedBias struct {
	Variable string `json:"variable"` // air temperature, dew point, wind or surface temperature
	Regime   string `json:"regime"`   // clear night, cloudy night, clear day or cloudy day
	Unit     string `json:"unit"`     // K; of the wind "", a factor
	// Mean is measured less forecast, of the wind measured ÷ forecast; Used is what
	// is made of it at no lead.
	Mean     float64   `json:"mean"`
	Weight   float64   `json:"weight"` // the share of the mean that is believed, 0–1
	Used     float64   `json:"used"`
	Readings int       `json:"readings"` // at the place; those of one hour count once
	Stations int       `json:"stations"` // observations of weather stations near it
	From     time.Time `json:"from"`
	To       time.Time `json:"to"`
	Improves bool      `json:"improves"` // it may make a verdict better
	Text     string    `json:"text"`     // in words; "" where nothing is used
}

// LearnedSpread is how far apart the members of the forecasts lay, or the futures of
// single ones, and how far they ought to have, by what was measured.
type LearnedSpread struct {
	Variable string     `json:"variable"` // air temperature or dew point
	Cases    int        `json:"cases"`    // spells of six hours that hold a measurement
	Readings int        `json:"readings"` // of these, those with a reading at the place
	Missing  int        `json:"missing"`  // cases that it still takes to count whole
	From     *time.Time `json:"from"`     // null without a case
	To       *time.Time `json:"to"`
	SaidK    float64    `json:"said_k"`  // standard deviation of the members; 0 with fewer than ten cases
	FoundK   float64    `json:"found_k"` // what it ought to have been
	Weight   float64    `json:"weight"`  // the share of that which is believed, 0–1
	Factor   float64    `json:"factor"`  // how many times as far apart they are taken; 1: as they are
	Improves bool       `json:"improves"`
	Text     string     `json:"text"` // in words; "" where nothing is done
}

// LearnedStation is a weather station near the place.
type LearnedStation struct {
	ID           string   `json:"id"`
	Name         string   `json:"name"`
	DistanceKM   float64  `json:"distance_km"`
	HeightM      *float64 `json:"height_m"` // above sea level; null where not known
	RiseM        *float64 `json:"rise_m"`   // above the place; null where either height is not known
	Observations int      `json:"observations"`
	// One is what one of its observations counts in readings at the place, and Most
	// what all of one kind of weather count together; 0 where it stands too high or
	// too low to be heard.
	One  float64 `json:"weight"`
	Most float64 `json:"most"`
	Text string  `json:"text"` // in words
}

// LearnedZone is what was learned of one zone.
type LearnedZone struct {
	Zone        string        `json:"zone"`
	Finish      string        `json:"finish"`
	Absorptance LearnedValue  `json:"absorptance"` // share of the sunlight that it takes in
	Sky         LearnedValue  `json:"sky"`         // share of the sky in its view that is open
	Surface     []LearnedBias `json:"surface"`     // what these leave over
}

// LearnedValue is one value of a panel.
type LearnedValue struct {
	Table    float64 `json:"table"`
	Fitted   float64 `json:"fitted"` // what the readings say; as the table where they say too little
	Weight   float64 `json:"weight"` // share of the difference that is believed, 0–1
	Used     float64 `json:"used"`
	Readings int     `json:"readings"` // those that tell of it; those of one hour count once
	Improves bool    `json:"improves"`
	Text     string  `json:"text"` // in words; "" where the table's is used
}

// LearnedFrom is one reading that taught something, and the forecast it was held
// against.
type LearnedFrom struct {
	At    time.Time `json:"at"`
	Zone  string    `json:"zone"`  // "" for the place
	Text  string    `json:"text"`  // what was read, in words, SI
	Made  time.Time `json:"made"`  // when the forecast was made
	AirK  *float64  `json:"air_k"` // measured less forecast; null where not read or not believed
	DewK  *float64  `json:"dew_k"`
	WindX *float64  `json:"wind_x"` // measured ÷ forecast
	Age   float64   `json:"weight"` // what it still counts by its age, 0–1
}

// LearnedShift is what is otherwise for one step on one zone.
type LearnedShift struct {
	Step    string  `json:"step"`
	Product string  `json:"product"`
	Zone    string  `json:"zone"`
	BetterH float64 `json:"better_h"` // hours in a better state than without
	WorseH  float64 `json:"worse_h"`
	LostH   float64 `json:"lost_h"` // of these: hours that are workable without
	Text    string  `json:"text"`
}

// LearnedFacts is what a Learned is made from.
type LearnedFacts struct {
	Job, Boat string
	Place     Place
	Loc       *time.Location
	Now       time.Time
	FromHours float64
	Learned   *window.Learned // nil for nothing
	Readings  []LearnedFrom
	Stations  []LearnedStation
	Changes   []LearnedShift
	Warnings  []string
}

// noRain is why rain is not calibrated.
const noRain = "how sure rain is said to be is not calibrated: the book knows when it rained, and not when it stayed dry"

// NewLearned makes the answer of dewgap place show.
func NewLearned(f LearnedFacts) *Learned {
	out := &Learned{
		Format: PlaceFormat, Job: f.Job, Boat: f.Boat, Place: f.Place, Now: f.Now.In(f.Loc),
		Rules: LearnedRules{
			Enough: ensemble.EnoughReadings, HalfLifeDays: ensemble.HalfLifeDays, FromHours: f.FromHours,
			LeadWholeH: ensemble.WholeLeadH, LeadGoneH: ensemble.GoneLeadH,
			EnoughCases: ensemble.EnoughCases, LeastCases: ensemble.LeastCases,
		},
		Biases: []LearnedBias{}, Spreads: []LearnedSpread{}, Rain: noRain, Stations: []LearnedStation{}, Zones: []LearnedZone{}, Readings: []LearnedFrom{}, Lines: []string{},
		Changes: f.Changes, Warnings: append([]string{}, f.Warnings...),
	}
	out.Readings = append(out.Readings, f.Readings...)
	for _, s := range f.Stations {
		out.Stations = append(out.Stations, station(s))
	}
	weather := ensemble.Learned{}
	if f.Learned != nil {
		weather = f.Learned.Weather
	}
	for v, s := range weather.Spreads {
		out.Spreads = append(out.Spreads, spread(ensemble.Variable(v), s, f.Loc))
	}
	if f.Learned == nil {
		return out
	}
	for v, by := range f.Learned.Weather.Biases {
		out.Biases = append(out.Biases, biases(ensemble.Variable(v), by, "", f.Loc)...)
	}
	for _, z := range f.Learned.Zones {
		out.Zones = append(out.Zones, LearnedZone{
			Zone: z.Zone, Finish: z.From, Absorptance: learnedValue(z.Absorptance, absorbs(z)), Sky: learnedValue(z.Sky, sees(z)),
			Surface: biases(ensemble.SurfaceError, z.Surface, z.Zone, f.Loc),
		})
	}
	out.Lines = append(out.Lines, LearnedLines(f.Learned)...)
	return out
}

// LearnedLines name what was learned and is used, a line each.
func LearnedLines(l *window.Learned) []string {
	var out []string
	if l == nil {
		return nil
	}
	add := func(s string) {
		if s != "" {
			out = append(out, s)
		}
	}
	for v, by := range l.Weather.Biases {
		for r, b := range by {
			add(biasText(ensemble.Variable(v), ensemble.Regime(r), b, ""))
		}
	}
	for v, s := range l.Weather.Spreads {
		add(spreadText(ensemble.Variable(v), s))
	}
	for _, z := range l.Zones {
		add(absorbs(z))
		add(sees(z))
		for r, b := range z.Surface {
			add(biasText(ensemble.SurfaceError, ensemble.Regime(r), b, z.Zone))
		}
	}
	return out
}

// spread tells of a spread, also of one that has too few cases.
func spread(v ensemble.Variable, s ensemble.Spread, loc *time.Location) LearnedSpread {
	out := LearnedSpread{
		Variable: v.String(), Cases: s.Cases, Readings: s.Readings, Missing: s.Missing(), SaidK: round(s.Said, cent), FoundK: round(s.Found, cent),
		Weight: share(s.Weight()), Factor: round(s.Factor(), cent), Improves: s.Enough(), Text: spreadText(v, s),
	}
	if s.Cases > 0 {
		from, to := s.From.In(loc), s.To.In(loc)
		out.From, out.To = &from, &to
	}
	return out
}

// spreadText says what is done to a spread; "" where nothing is.
func spreadText(v ensemble.Variable, s ensemble.Spread) string {
	factor := s.Factor()
	if factor == 1 {
		return ""
	}
	return fmt.Sprintf("the forecast's %s is taken to be %s sure here than it says, its futures %.1f times as far apart: %s of six hours%s",
		v, either(factor-1, "less", "more"), factor, plural(s.Cases, "case"), few(s.Enough()))
}

// station puts a station into words.
func station(s LearnedStation) LearnedStation {
	s.DistanceKM, s.One, s.Most = round(s.DistanceKM, 0.1), round(s.One, cent), round(s.Most, cent)
	s.Text = s.ID
	if s.Name != "" {
		s.Text += ", " + s.Name
	}
	s.Text += fmt.Sprintf(", %.0f km off", s.DistanceKM)
	switch {
	case s.RiseM != nil:
		s.Text += fmt.Sprintf(", %.0f m %s the place", math.Abs(*s.RiseM), either(*s.RiseM, "above", "below"))
	case s.HeightM != nil:
		s.Text += fmt.Sprintf(", %.0f m above the sea (the place's height is not known)", *s.HeightM)
	default:
		s.Text += ", its height not known"
	}
	if s.Most == 0 {
		s.Text += ": too far above or below to teach"
		return s
	}
	s.Text += fmt.Sprintf(": %s, each counting %.2f of a reading, all of one kind of weather at most %.1f readings",
		plural(s.Observations, "observation"), s.One, s.Most)
	return s
}

// biases lists those that have readings.
func biases(v ensemble.Variable, by ensemble.ByRegime, zone string, loc *time.Location) []LearnedBias {
	out := []LearnedBias{}
	for r, b := range by {
		if b.Readings+b.Stations == 0 {
			continue
		}
		x := LearnedBias{
			Variable: v.String(), Regime: ensemble.Regime(r).String(), Unit: "K", Mean: round(b.Mean, cent), Weight: share(b.Weight),
			Used: round(b.Size(v), cent), Readings: b.Readings, Stations: b.Stations, From: b.From.In(loc), To: b.To.In(loc),
			Improves: b.Enough(), Text: biasText(v, ensemble.Regime(r), b, zone),
		}
		if v == ensemble.WindError {
			x.Unit, x.Mean, x.Used = "", round(math.Exp(b.Mean), cent), round(math.Exp(b.Size(v)), cent)
		}
		out = append(out, x)
	}
	return out
}

// biasText says how an error is met; "" where nothing is used.
func biasText(v ensemble.Variable, r ensemble.Regime, b ensemble.Bias, zone string) string {
	size := b.Size(v)
	if size == 0 {
		return ""
	}
	off := fmt.Sprintf("%.1f K ", math.Abs(size))
	var text string
	switch v {
	case ensemble.AirError:
		text = "the forecast's air temperature is taken " + off + either(size, "warmer", "cooler") + " here"
	case ensemble.DewError:
		text = "the forecast's dew point is taken " + off + either(size, "higher", "lower") + " here"
	case ensemble.WindError:
		text = fmt.Sprintf("the forecast's wind is taken %.0f %% %s here", 100*math.Abs(math.Exp(size)-1), either(size, "stronger", "weaker"))
	default:
		text = zone + " is taken " + off + either(size, "warmer", "colder") + " than worked out"
	}
	from := plural(b.Readings, "reading")
	if b.Stations > 0 {
		from += " and " + plural(b.Stations, "observation") + " of weather stations"
	}
	return text + " on " + r.String() + "s: " + from + few(b.Enough())
}

func either(v float64, up, down string) string {
	if v > 0 {
		return up
	}
	return down
}

// few says what too few readings cannot do.
func few(enough bool) string {
	if enough {
		return ""
	}
	return ", too few to make a verdict better"
}

func learnedValue(v fit.Value, text string) LearnedValue {
	return LearnedValue{
		Table: round(v.Prior, cent), Fitted: round(v.Fitted, cent), Weight: share(v.Weight), Used: round(v.Used, cent),
		Readings: v.Readings, Improves: v.Readings >= ensemble.EnoughReadings, Text: text,
	}
}

// absorbs says what a panel takes in; "" where it is as in the tables.
func absorbs(z window.LearnedZone) string {
	v := z.Absorptance
	if v.Used == v.Prior {
		return ""
	}
	return fmt.Sprintf("%s is taken to absorb %.0f %% of the sunlight, not %.0f %%: %s in the sun%s",
		z.Zone, 100*v.Used, 100*v.Prior, plural(v.Readings, "reading"), few(v.Readings >= ensemble.EnoughReadings))
}

// sees says how much sky a panel sees; "" where it is all that its tilt shows.
func sees(z window.LearnedZone) string {
	v := z.Sky
	if v.Used == v.Prior {
		return ""
	}
	return fmt.Sprintf("%s is taken to see %.0f %% of its sky: %s by night%s",
		z.Zone, 100*v.Used, plural(v.Readings, "reading"), few(v.Readings >= ensemble.EnoughReadings))
}

// LearnedShifts compares an answer with what was learned to the same without, step
// by step and zone by zone; those alike are left out.
func LearnedShifts(with, without Facts) []LearnedShift {
	out := []LearnedShift{}
	b := newBuilder(with)
	for i := range with.Result.Rows {
		row := &with.Result.Rows[i]
		is, was := row.Slots.State, without.Result.Rows[i].Slots.State
		var better, worse, lost int
		for k := range min(len(is), len(was)) {
			switch {
			case is[k] < was[k]:
				better++
			case is[k] > was[k]:
				worse++
				if was[k].Workable() && !is[k].Workable() {
					lost++
				}
			}
		}
		if better+worse == 0 {
			continue
		}
		s := LearnedShift{
			Step: with.Job.Steps[row.Step].Name, Product: row.Class.ID, Zone: b.zone(row),
			BetterH: round(float64(better)*verdict.SlotHours, cent), WorseH: round(float64(worse)*verdict.SlotHours, cent),
			LostH: round(float64(lost)*verdict.SlotHours, cent),
		}
		s.Text = shiftText(s)
		out = append(out, s)
	}
	return out
}

func shiftText(s LearnedShift) string {
	var parts []string
	if s.BetterH > 0 {
		parts = append(parts, fmt.Sprintf("%.1f h better", s.BetterH))
	}
	if s.WorseH > 0 {
		parts = append(parts, fmt.Sprintf("%.1f h worse", s.WorseH))
	}
	text := strings.Join(parts, " and ") + " than without what was learned"
	if s.LostH > 0 {
		text += fmt.Sprintf("; %.1f h can no longer be worked", s.LostH)
	}
	return text
}
