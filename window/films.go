package window

import (
	"math"
	"sort"
	"time"

	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// Film is a film that was put on and is still to be kept dry.
type Film struct {
	Step, Zone int // indices into the job's steps and zones
	On         time.Time
	// Hard is when it has stood the hours within which rain spoils it; Until when it has
	// stood the usual ones of its class; neither before its haze may be wiped off. Both are
	// zero where the result does not reach so far.
	Hard, Until time.Time
	// Dew is when it has stood the usual hours in which no dew may form on it, as far as
	// the result reaches; zero where it need not stand longer for that than Until.
	Dew time.Time
	// DewFree is when those hours are over, however long it is to be kept dry; as far as
	// the result reaches, and zero where its class minds no dew.
	DewFree time.Time
	cut     bool // they are not over where the result ends
	// WetAt is when rain is foreseen on it before that, now where it rains already; zero
	// for none. Fate is what that makes of it: Good, Inspect or Redo.
	WetAt time.Time
	Fate  Fate
}

// Curing lists the films of a job that are to be kept dry at a moment, in the order of
// the result's rows, and the rain that the median of its members has for them. The rain
// before that moment is the matter of [TakeStock].
func Curing(r *Result, j *job.Job, classes Classes, now time.Time) []Film {
	s := spoiler{SpoilInput{Job: j, Classes: classes, Rain: ForecastRain(r, now, r.Grid.At(r.To)), Result: r}}
	var out []Film
	for i := range r.Rows {
		x := &r.Rows[i]
		if f, wants := filmOn(r, j, x.Class, x.Step, x.Zone, now); wants {
			s.wetted(&f, now)
			out = append(out, f)
		}
	}
	return out
}

// Uncured is, of the films that water let run on a zone reaches, its own among them, the
// one that it is to be kept off the longest from now on. What rain will do to it is left out.
func Uncured(r *Result, j *job.Job, classes Classes, zone int, now time.Time) (longest Film, ok bool) {
	for below, reached := range reaching(j.Zones, runs)[zone] {
		if !reached && below != zone {
			continue
		}
		for s, step := range j.Steps {
			c, known := classes.Class(step.With)
			if !known {
				continue
			}
			if f, wants := filmOn(r, j, c, s, below, now); wants && (!ok || f.outlasts(&longest)) {
				longest, ok = f, true
			}
		}
	}
	return longest, ok
}

// FilmsBelow are the films that are on by a moment, however old, on the zones that water
// from a zone runs onto, the latest of each zone, in the order of the zones; none that is
// all to be redone. Only Step, Zone and On are told.
func FilmsBelow(j *job.Job, classes Classes, zone int, by time.Time) []Film {
	var out []Film
	for below, reached := range reaching(j.Zones, runs)[zone] {
		var last Film
		for s, step := range j.Steps {
			c, known := classes.Class(step.With)
			d, done := doneOn(j, below, step)
			if reached && known && c.RainFree.Given && done && d.Share > 0 && !d.Spoiled && d.At.After(last.On) && !d.At.After(by) {
				last = Film{Step: s, Zone: below, On: d.At}
			}
		}
		if !last.On.IsZero() {
			out = append(out, last)
		}
	}
	return out
}

// NoWater is until when no water may be let run on a film: a hose wets it as dew does, so
// until both its hours without rain and those without dew are over. Zero where the result
// does not reach so far.
func (f *Film) NoWater() time.Time {
	switch {
	case f.cut:
		return time.Time{}
	case !f.Until.IsZero() && f.Dew.After(f.Until):
		return f.Dew
	}
	return f.Until
}

// noWaterH is for how many hours, as the class counts them, no water may be let run on its
// film.
func noWaterH(c *products.Class) float64 { return max(c.RainFree.Default, c.DewFree.Default) }

// outlasts reports whether water is to be kept off a film for longer than off another.
func (f *Film) outlasts(g *Film) bool {
	a, b := f.NoWater(), g.NoWater()
	return !b.IsZero() && (a.IsZero() || a.After(b))
}

// filmOn is what a step's film on a zone is; wants is false where none is on, nobody said
// since when, all of it has to come off again, or it has stood its hours without rain and
// dew.
func filmOn(r *Result, j *job.Job, c products.Class, step, zone int, now time.Time) (f Film, wants bool) {
	d, ok := doneOn(j, zone, j.Steps[step])
	if !ok || d.Share <= 0 || d.Spoiled || d.At.IsZero() || d.At.After(now) || !c.RainFree.Given {
		return f, false
	}
	hard := c.RainFree.Default
	if c.RainFree.HasHard {
		hard = c.RainFree.Hard
	}
	s := standing{r, c, zone, d.At}
	f = Film{Step: step, Zone: zone, On: d.At, Hard: s.until(hard), Until: s.until(c.RainFree.Default)}
	wiped := d.At.Add(hazing(r, j, step, zone, &c))
	for _, t := range []*time.Time{&f.Hard, &f.Until} { // before it is wiped off any water spoils it
		if !t.IsZero() && wiped.After(*t) {
			*t = wiped
		}
	}
	if c.DewFree.Given {
		if f.DewFree = s.until(c.DewFree.Default); f.DewFree.IsZero() {
			f.DewFree, f.cut = r.Grid.At(r.To), true
		}
		if !f.Until.IsZero() && f.DewFree.After(f.Until) {
			f.Dew = f.DewFree
		}
	}
	until := f.NoWater()
	return f, until.IsZero() || now.Before(until)
}

// hazing is how long a film has to haze at least.
func hazing(r *Result, j *job.Job, step, zone int, c *products.Class) time.Duration {
	haze := ownHaze(r, j, step, zone, c)
	if haze <= 0 && c.HazeMin.Given {
		haze = c.HazeMin.Min
	}
	return time.Duration(haze * float64(time.Minute))
}

// ownHaze is how many minutes a class hazes by the person's own word, which outranks the
// class: what a test patch was read to take on that zone, else what the job says; 0 for
// none. r may be nil.
func ownHaze(r *Result, j *job.Job, step, zone int, c *products.Class) float64 {
	if r != nil {
		if read, ok := r.HazeMin[Patch{zone, c.ID}]; ok {
			return read
		}
	}
	return j.Steps[step].HazeMin
}

// wetted says when rain is foreseen on a film and what it makes of it.
func (s *spoiler) wetted(f *Film, now time.Time) {
	wet := ZoneFate{Zone: f.Zone, Rain: -1}
	from := over(now, s.Job.Since)
	if s.rain(&wet, from); wet.Rain < 0 {
		return
	}
	at := s.Rain[wet.Rain].From
	if at.Before(from) {
		at = from
	}
	if !f.Until.IsZero() && !at.Before(f.Until) {
		return
	}
	f.WetAt = at
	if f.Fate = Inspect; !wet.Driven && (f.Hard.IsZero() || at.Before(f.Hard)) {
		f.Fate = Redo
	}
}

// over is the moment from which the forecast's rain counts: now or, where somebody said
// that rain ended in this hour, the next full one, for the hour's rain was that one.
func over(now time.Time, ended job.Since) time.Time {
	hour := now.Truncate(time.Hour)
	if ended.HasRain && ended.Rain.After(hour) && ended.Rain.Before(now) {
		return hour.Add(time.Hour)
	}
	return now
}

// standing counts the hours of a film of a class that lies on a zone since a moment.
type standing struct {
	r    *Result // nil: none
	c    products.Class
	zone int
	on   time.Time
}

// byClock reports whether a class counts plain hours.
func byClock(c *products.Class) bool { return !c.Equivalent || c.HalvesPerK <= 0 }

// until is when it has stood so many hours, zero where the result does not reach so far.
func (s standing) until(hours float64) time.Time {
	if byClock(&s.c) {
		return s.on.Add(time.Duration(hours * float64(time.Hour)))
	}
	const step = 10 * time.Minute
	n := int(s.r.Grid.At(s.r.To).Sub(s.on) / step)
	i := sort.Search(n+1, func(i int) bool { return s.hours(s.on.Add(time.Duration(i)*step)) >= hours })
	if i > n {
		return time.Time{}
	}
	return s.on.Add(time.Duration(i) * step)
}

// hours up to a moment as the class counts them: plain ones, or as many as at 20 °C,
// Σ 2^((T−20)/k)·Δt. Hours of which a result does not tell count as at the least
// temperature at which the class cures, for it was not put on below that; without a
// result none have passed.
func (s standing) hours(to time.Time) float64 {
	plain := max(0, to.Sub(s.on).Hours())
	if byClock(&s.c) {
		return plain
	}
	if s.r == nil {
		return 0
	}
	sum, told := 0.0, 0.0
	var hours []ZoneHour
	if s.zone < len(s.r.Zones) {
		hours = s.r.Zones[s.zone].Hours
	}
	for h, z := range hours {
		a := s.r.Weather[h].At
		b := a.Add(time.Hour)
		if a.Before(s.on) {
			a = s.on
		}
		if b.After(to) {
			b = to
		}
		if b.After(a) && z.Surface.Known {
			sum += b.Sub(a).Hours() * s.rate(z.Surface.V)
			told += b.Sub(a).Hours()
		}
	}
	if s.c.HasCureMin {
		sum += max(0, plain-told) * s.rate(min(s.c.CureMinC, 20))
	}
	return sum
}

// rate is how many hours at 20 °C one at a temperature counts for.
func (s standing) rate(celsius float64) float64 { return math.Exp2((celsius - 20) / s.c.HalvesPerK) }

// films reports whether the job tells of a film whose hours hang on its panel's
// temperature, so that all panels are to be known before anything is judged.
func (e *evaluation) films() bool {
	for _, s := range e.Job.Steps {
		c, known := e.Classes.Class(s.With)
		if !known || byClock(&c) || !c.RainFree.Given {
			continue
		}
		for z := range e.Job.Zones {
			if d, ok := doneOn(e.Job, z, s); ok && d.Share > 0 && !d.At.IsZero() && !d.At.After(e.Now) {
				return true
			}
		}
	}
	return false
}

// keeping puts the films below a zone among the yes/no limits of a step that would let
// water or slurry run onto them. Nobody may write to what it is given.
func (w *zoneWork) keeping(step int, c *products.Class, fixed []verdict.Limit) []verdict.Limit {
	until := w.keptUntil(step, c)
	if until <= 0 {
		return fixed
	}
	out := append([]verdict.Limit(nil), fixed...)
	for i := range out[:min(until, len(out))] {
		if out[i] == verdict.None || verdict.Order < out[i] {
			out[i] = verdict.Order
		}
	}
	return out
}

// keptUntil is the slot of the grid until which a step has to keep off what lies below
// the zone, 0 where it need not.
func (w *zoneWork) keptUntil(step int, c *products.Class) int {
	if do := w.Job.Steps[step].Do; do != "correct" && !wet(*c, do) {
		return 0
	}
	f, ok := Uncured(w.result, w.Job, w.Classes, w.z, w.Now)
	switch {
	case !ok:
		return 0
	case f.NoWater().IsZero():
		return w.grid.N
	}
	return int(math.Ceil(f.NoWater().Sub(w.grid.Start).Minutes() / surface.SlotMinutes))
}
