package answer

import (
	"math"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// Facts is everything that an answer is made from. All of it has been checked
// and belongs together: the result is that of the job under the forecast.
type Facts struct {
	Job      *job.Job
	Classes  window.Classes
	Forecast *forecast.Forecast
	Result   *window.Result
	Now      time.Time
	Trust    Trust
	Warnings []string // of whoever gathered the facts

	Planned *window.Planned // nil where nothing was planned
	Agreed  []PlanBlock     // of the plan that is in the book; nil without one
	// AgreedAt is when that was made; zero where nobody knows.
	AgreedAt time.Time
	Stock    *window.Stock // of what is done; nil where nothing is
	Crew     *Crew         // where its people are besides; nil where all are here
}

// Part is the zone that a zone of the job is to be called by where work is booked and
// logged, and whether it is a part of that to be redone.
func (f *Facts) Part(zone int) (name string, redo bool) {
	if name, redo = f.Stock.Whole(zone); redo {
		return name, true
	}
	return f.Job.Zones[zone].Name, false
}

// Trust is how far a forecast may be believed by its age.
type Trust struct {
	Age      time.Duration // since it was issued, else since it was received; 0 or more
	AgeKnown bool          // false where neither is known
	Stale    bool          // something that was asked is too old to be judged
	// From and Until bound what is too old: a zero From is nothing, a zero Until
	// everything from there on.
	From, Until time.Time
	Why         string // the cause in words, "" where nothing is too old
}

// Distrusts reports whether t lies in the stretch that is too old.
func (t Trust) Distrusts(at time.Time) bool {
	return !t.From.IsZero() && !at.Before(t.From) && (t.Until.IsZero() || at.Before(t.Until))
}

// builder turns facts into an answer.
type builder struct {
	Facts
	loc    *time.Location
	needs  *window.Needs     // once asked for
	ready  map[int]int       // by row, once asked for
	booked []window.RowBlock // of today, in the answer of a morning
}

func newBuilder(f Facts) *builder { return &builder{Facts: f, loc: f.Result.Location} }

// at is the beginning of slot i by the clock at the place.
func (b *builder) at(i int) time.Time { return b.Result.Grid.At(i).In(b.loc) }

// dayOf is the civil day of slot i at the place.
func (b *builder) dayOf(i int) job.Date { return job.DateOf(b.at(i)) }

// hours are the hours of the answer that slots [from, to) touch, half-open.
func (b *builder) hours(from, to int) (first, end int) {
	if len(b.Result.Weather) == 0 || to <= from {
		return 0, 0
	}
	start := b.Result.Weather[0].At
	first = int(b.Result.Grid.At(from).Sub(start) / time.Hour)
	end = int(b.Result.Grid.At(to-1).Sub(start)/time.Hour) + 1
	return max(first, 0), min(end, len(b.Result.Weather))
}

// step and zone of a row.
func (b *builder) step(r *window.Row) job.Step { return b.Job.Steps[r.Step] }
func (b *builder) zone(r *window.Row) string   { return b.Job.Zones[r.Zone].Name }

// moment is a time as answers carry it: whole seconds, by the place's clock.
func (b *builder) moment(t time.Time) time.Time { return t.Truncate(time.Second).In(b.loc) }

func (b *builder) place() Place {
	p := b.Job.Place
	return Place{
		Name: p.Name, Latitude: round(p.Latitude, 1e-6), Longitude: round(p.Longitude, 1e-6),
		Timezone: b.loc.String(),
	}
}

func (b *builder) source() Source {
	f := b.Forecast
	s := Source{
		Name: f.Service, Model: f.Model, Members: b.Result.Members, Dressed: b.Result.Dressed,
		Stale: b.Trust.Stale, Licence: f.Licence, Attribution: f.Attribution,
	}
	if !f.Issued.IsZero() {
		t := b.moment(f.Issued)
		s.Issued = &t
	}
	if b.Trust.AgeKnown {
		age := int64(b.Trust.Age / time.Second)
		s.AgeS = &age
	}
	return s
}

// MadeAfter reports whether a forecast is of after a moment. One that came while it was
// asked for, by clocks that are minutes off, is of that moment.
func MadeAfter(made, now time.Time) bool { return made.After(now.Add(surface.Slot)) }

// AgeWords is the age of a forecast as every screen tells it, "40 min old", "3 days
// old", rounded up; nil is an age that nobody knows.
func AgeWords(seconds *int64) string {
	if seconds == nil {
		return "age not known"
	}
	return fetch.Age(time.Duration(*seconds)*time.Second) + " old"
}

// round brings a number to a multiple of a step, without the dust of binary
// fractions and without a negative zero.
func round(v, step float64) float64 {
	n := math.Round(v / step)
	if step < 1 {
		per := math.Round(1 / step)
		return math.Round(v*per)/per + 0
	}
	return n*step + 0
}

// some is a number that is there, rounded.
func some(v, step float64) *float64 {
	r := round(v, step)
	return &r
}

// number is a value of the result, nil where it is absent.
func number(v window.Value, step float64) *float64 {
	if !v.Known {
		return nil
	}
	return some(v.V, step)
}

// share is a confidence, to a tenth of a point.
func share(c float64) float64 { return round(c, thousandth) }

// workableBy is the worst state that may be worked in, given the person's
// standing yes or its absence.
func (b *builder) workableBy() verdict.State {
	if b.Job.AcceptMargin {
		return verdict.Marginal
	}
	return verdict.Go
}
