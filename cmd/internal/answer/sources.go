package answer

import (
	"math"
	"slices"
	"time"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// SourcesFormat is the format of the answer of dewgap sources.
const SourcesFormat = "dewgap.sources.v1"

// Sources is the answer of dewgap sources: what each service says, side by side.
type Sources struct {
	Format   string        `json:"format"`
	Job      string        `json:"job"`
	Boat     string        `json:"boat"`
	Now      time.Time     `json:"now"`
	Place    Place         `json:"place"`
	Services []Service     `json:"services"`
	Steps    []SourcesStep `json:"steps"` // those that seal; all, where none does
	Days     []SourcesDay  `json:"days"`
	// DifferBy is from which difference on two services are said to differ.
	DifferBy DifferBy `json:"differ_by"`
	Warnings []string `json:"warnings"`
}

// Service is one service: what it gave, or why nothing.
type Service struct {
	Name     string     `json:"name"` // as --source takes it
	Usable   bool       `json:"usable"`
	Why      string     `json:"why"` // why it is not, "" where it is
	Fix      string     `json:"fix"` // what to do about that
	Source   *Source    `json:"source"`
	Ends     *time.Time `json:"ends"`      // of its forecast
	HorizonH *float64   `json:"horizon_h"` // from now to there, hours
	Verdict  string     `json:"verdict"`   // as week gives it by this service
	Command  string     `json:"command"`   // that asks for its plan
	Warnings []string   `json:"warnings"`
}

// SourcesStep is when a step may first be done, by each usable service.
type SourcesStep struct {
	Step    string         `json:"step"`
	Do      string         `json:"do"`
	Product string         `json:"product"`
	First   []ServiceFirst `json:"first"`
	ApartH  *float64       `json:"apart_h"` // between the earliest and the latest; null where not all have one
	Differ  bool           `json:"differ"`
}

// ServiceFirst is a step's first window by one service: the first in which it may be
// begun and is go or better, else the first that is marginal. Where there is none, it is
// the first block that the plan has of it within a visit.
type ServiceFirst struct {
	Service string     `json:"service"`
	At      *time.Time `json:"at"`    // null without a window
	Zone    string     `json:"zone"`  // where; "" without
	State   string     `json:"state"` // of the window; no-go or unknown without one
}

// SourcesDay is one day's weather by each usable service that knows of it.
type SourcesDay struct {
	Date     string       `json:"date"` // the civil day at the place, 2026-09-10
	Services []ServiceDay `json:"services"`
	// Differ are the kinds of weather in which those that know the same hours
	// differ: air, dew_point, wind, rain.
	Differ []string `json:"differ"`
}

// ServiceDay is one day's weather by one service, over the hours from now on that
// it knows. What is null it does not say.
type ServiceDay struct {
	Service   string      `json:"service"`
	Hours     int         `json:"hours"`
	AirC      *[2]float64 `json:"air_c"` // least and most
	DewPointC *[2]float64 `json:"dew_point_c"`
	WindMS    *float64    `json:"wind_m_s"` // most, at deck height
	GustMS    *float64    `json:"gust_m_s"` // most, at deck height
	RainMM    *float64    `json:"rain_mm"`
	RainFrom  *time.Time  `json:"rain_from"` // the first hour with 0.1 mm or more; null when dry
	RainTo    *time.Time  `json:"rain_to"`   // the end of the last
}

// DifferBy are the differences from which on services are said to differ. Common
// practice: what would move work by hours, no source.
type DifferBy struct {
	AirC      float64 `json:"air_c"`
	DewPointC float64 `json:"dew_point_c"`
	WindMS    float64 `json:"wind_m_s"`
	RainH     float64 `json:"rain_h"`  // between the beginnings of rain; rain against none always
	FirstH    float64 `json:"first_h"` // between the first windows; a window against none always
}

// differBy are those in use.
var differBy = DifferBy{AirC: 2, DewPointC: 2, WindMS: 2, RainH: 2, FirstH: 2}

// rainHour is the least amount in an hour that counts as rain, mm.
const rainHour = 0.1

// ServiceFacts is what one service gave, or why nothing.
type ServiceFacts struct {
	Name     string
	Facts    *Facts // nil where it gave nothing; with the plan where [WantsPlan]
	Why, Fix string // why, and what to do
	Command  string
}

// WantsPlan reports whether a week's verdict hangs on its plan: its hours alone make it no
// go. A plan makes no verdict worse.
func WantsPlan(f Facts) bool { return newBuilder(f).weekVerdict(nil) != Go }

// NewSources makes the answer. j is the job, for an answer without any usable
// service.
func NewSources(j *job.Job, now time.Time, list []ServiceFacts) *Sources {
	out := &Sources{
		Format: SourcesFormat, Job: j.Name, Boat: j.Boat, Now: now, Services: []Service{}, Steps: []SourcesStep{}, Days: []SourcesDay{},
		Place:    Place{Name: j.Place.Name, Latitude: round(j.Place.Latitude, 1e-6), Longitude: round(j.Place.Longitude, 1e-6), Timezone: j.Place.Timezone},
		DifferBy: differBy, Warnings: []string{},
	}
	var usable []named
	for _, s := range list {
		x := Service{Name: s.Name, Why: s.Why, Fix: s.Fix, Command: s.Command, Warnings: []string{}}
		if s.Facts != nil {
			b := named{s.Name, newBuilder(*s.Facts), NewPlan(*s.Facts, s.Facts.Planned)}
			b.tell(&x)
			usable = append(usable, b)
		}
		out.Services = append(out.Services, x)
	}
	if len(usable) == 0 {
		return out
	}
	b := usable[0]
	out.Place, out.Now = b.place(), b.moment(now)
	out.Steps, out.Days = stepsBy(usable), daysBy(usable)
	out.Warnings = append(out.Warnings, OwnLimitsOf(b.ownLimits(), func(string) bool { return true })...)
	return out
}

// named is a service's builder with its name, and the plan by it; nil where none was
// made.
type named struct {
	name string
	*builder
	plan *Plan
}

// tell says of a service what it gave.
func (b named) tell(out *Service) {
	source := b.source()
	ends := b.moment(b.Forecast.End())
	out.Usable, out.Source, out.Ends, out.Verdict, out.Warnings = true, &source, &ends, b.weekVerdict(b.plan), b.warnings()
	out.HorizonH = some(max(0, b.Forecast.End().Sub(b.Now).Hours()), tenth)
}

// stepsBy is when each step that seals may first be done.
func stepsBy(usable []named) []SourcesStep {
	out := []SourcesStep{}
	j := usable[0].Job
	seals := slices.ContainsFunc(j.Steps, func(s job.Step) bool { return s.Do == "seal" })
	for i, s := range j.Steps {
		if seals && s.Do != "seal" {
			continue
		}
		x := SourcesStep{Step: s.Name, Do: s.Do, Product: s.With}
		for _, b := range usable {
			x.First = append(x.First, b.first(i))
		}
		x.ApartH, x.Differ = apart(x.First)
		out = append(out, x)
	}
	return out
}

// first is a step's first window: go or better, else marginal.
func (b named) first(step int) ServiceFirst {
	for _, worst := range []verdict.State{verdict.Go, verdict.Marginal} {
		if out, ok := b.firstWindow(step, worst); ok {
			return out
		}
		if out, ok := b.firstBlock(step, worst); ok {
			return out
		}
	}
	out := ServiceFirst{Service: b.name, State: verdict.NoGo.String()}
	if b.onlyData(step) {
		out.State = verdict.Unknown.String()
	}
	return out
}

// firstWindow is the first window of a step in which it may be begun in a state no worse
// than one.
func (b named) firstWindow(step int, worst verdict.State) (out ServiceFirst, ok bool) {
	at := -1
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		if r.Step != step {
			continue
		}
		for k, w := range r.Windows {
			if state := b.begins(window.Ref{Row: i, Window: k}); state <= worst && (at < 0 || w.From < at) {
				at, out.Zone, out.State = w.From, b.zone(r), state.String()
			}
		}
	}
	if at < 0 {
		return out, false
	}
	t := b.at(at)
	out.Service, out.At = b.name, &t
	return out, true
}

// firstBlock is the first block of the plan of a step, where that may be worked in without
// a yes or, unless worst is go, with one.
func (b named) firstBlock(step int, worst verdict.State) (out ServiceFirst, ok bool) {
	if b.plan == nil {
		return out, false
	}
	for i := range b.plan.Blocks {
		x := &b.plan.Blocks[i]
		asks := x.NeedsConsent && !b.Job.AcceptMargin
		if x.Step != b.Job.Steps[step].Name || !b.plan.Stands(x, b.Now) || asks && worst <= verdict.Go || ok && !x.From.Before(*out.At) {
			continue
		}
		at := x.From
		out, ok = ServiceFirst{Service: b.name, At: &at, Zone: x.Zone, State: x.State}, true
		if asks {
			out.State = Marginal
		}
	}
	return out, ok
}

// apart is how far first windows lie from one another, and whether that is far:
// nil and far where only some have one, or some are only marginal.
func apart(list []ServiceFirst) (*float64, bool) {
	var least, most time.Time
	good, with := 0, 0
	for _, f := range list {
		if f.At == nil {
			continue
		}
		if with++; f.State != verdict.Marginal.String() {
			good++
		}
		if least.IsZero() || f.At.Before(least) {
			least = *f.At
		}
		if f.At.After(most) {
			most = *f.At
		}
	}
	if with == 0 || with < len(list) {
		return nil, with > 0
	}
	h := most.Sub(least).Hours()
	return some(h, tenth), h >= differBy.FirstH || (good > 0 && good < with)
}

// daysBy is the weather day by day, over every day that any service knows.
func daysBy(usable []named) []SourcesDay {
	out := []SourcesDay{}
	at := map[string]int{}
	for _, b := range usable {
		for _, d := range b.days() {
			i, ok := at[d.date]
			if !ok {
				i = len(out)
				at[d.date], out = i, append(out, SourcesDay{Date: d.date})
			}
			out[i].Services = append(out[i].Services, d.ServiceDay)
		}
	}
	slices.SortFunc(out, func(x, y SourcesDay) int {
		if x.Date < y.Date {
			return -1
		}
		return 1
	})
	for i := range out {
		out[i].Differ = differOn(out[i].Services)
	}
	return out
}

// dated is one service's day.
type dated struct {
	date string
	ServiceDay
}

// days gathers the hours of the answer by civil day, those that know the air.
func (b named) days() []dated {
	var out []dated
	for _, w := range b.Result.Weather {
		if !w.Air.Known || b.Trust.Distrusts(w.At) {
			continue
		}
		at := w.At.In(b.loc)
		date := at.Format(time.DateOnly)
		if len(out) == 0 || out[len(out)-1].date != date {
			out = append(out, dated{date, ServiceDay{Service: b.name}})
		}
		d := &out[len(out)-1].ServiceDay
		d.Hours++
		d.AirC = reaching(d.AirC, w.Air.V, true)
		d.DewPointC = reaching(d.DewPointC, w.Dew.V, w.Dew.Known)
		d.WindMS, d.GustMS = greater(d.WindMS, number(w.Wind, cent)), greater(d.GustMS, number(w.Gust, cent))
		if w.Rain.Known {
			d.rain(at, w.Rain.V)
		}
	}
	return out
}

func reaching(e *[2]float64, v float64, known bool) *[2]float64 {
	if !known {
		return e
	}
	v = round(v, cent)
	if e == nil {
		return &[2]float64{v, v}
	}
	return &[2]float64{min(e[0], v), max(e[1], v)}
}

func greater(a, b *float64) *float64 {
	if a == nil || (b != nil && *b > *a) {
		return b
	}
	return a
}

// rain adds one hour's amount.
func (d *ServiceDay) rain(at time.Time, mm float64) {
	sum := mm
	if d.RainMM != nil {
		sum += *d.RainMM
	}
	d.RainMM = some(sum, cent)
	if mm < rainHour {
		return
	}
	if d.RainFrom == nil {
		d.RainFrom = &at
	}
	end := at.Add(time.Hour)
	d.RainTo = &end
}

// differOn names the kinds of weather in which the services that know the most
// hours of a day differ; one that ends within it is not held against them.
func differOn(list []ServiceDay) []string {
	out := []string{}
	hours := 0
	for _, d := range list {
		hours = max(hours, d.Hours)
	}
	list = slices.DeleteFunc(slices.Clone(list), func(d ServiceDay) bool { return d.Hours < hours })
	for _, x := range []struct {
		kind string
		by   float64
		of   func(d ServiceDay) []*float64
	}{
		{"air", differBy.AirC, func(d ServiceDay) []*float64 { return bothEnds(d.AirC) }},
		{"dew_point", differBy.DewPointC, func(d ServiceDay) []*float64 { return bothEnds(d.DewPointC) }},
		{"wind", differBy.WindMS, func(d ServiceDay) []*float64 { return []*float64{d.WindMS} }},
	} {
		if widestApart(list, x.of) >= x.by {
			out = append(out, x.kind)
		}
	}
	if rainDiffers(list) {
		out = append(out, "rain")
	}
	return out
}

// bothEnds are the two ends of an extent, nil where it is not known.
func bothEnds(e *[2]float64) []*float64 {
	if e == nil {
		return nil
	}
	return []*float64{&e[0], &e[1]}
}

// widestApart is the widest distance between the services in any of some numbers.
func widestApart(list []ServiceDay, of func(ServiceDay) []*float64) float64 {
	far := 0.0
	var least, most []float64
	for _, d := range list {
		for i, v := range of(d) {
			if v == nil {
				continue
			}
			if i >= len(least) {
				least, most = append(least, *v), append(most, *v)
			}
			least[i], most[i] = min(least[i], *v), max(most[i], *v)
			far = max(far, round(most[i]-least[i], cent))
		}
	}
	return far
}

// rainDiffers reports rain against none, or rain that begins at other hours.
func rainDiffers(list []ServiceDay) bool {
	first, last := math.Inf(1), math.Inf(-1)
	wet, known := 0, 0
	for _, d := range list {
		if d.RainMM == nil {
			continue
		}
		known++
		if d.RainFrom != nil {
			wet++
			h := float64(d.RainFrom.Unix()) / 3600
			first, last = min(first, h), max(last, h)
		}
	}
	return wet > 0 && (wet < known || last-first >= differBy.RainH)
}
