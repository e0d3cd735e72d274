package window

import (
	"sort"
	"time"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// Film is a film that was put on and has not yet stood as long without rain as its class
// wants.
type Film struct {
	Step, Zone int // of the job
	On         time.Time
	// Hard and Until are when it has stood the hours within which rain spoils it, and
	// the usual ones; zero where the result does not reach so far.
	Hard, Until time.Time
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
		d, ok := doneOn(j, x.Zone, j.Steps[x.Step])
		if !ok || d.Share <= 0 || d.At.IsZero() || d.At.After(now) || !x.Class.RainFree.Given {
			continue
		}
		if f, wants := s.film(x, d, now); wants {
			out = append(out, f)
		}
	}
	return out
}

// film is what a film still wants, nothing where it has stood its hours.
func (s *spoiler) film(r *Row, d boat.Done, now time.Time) (f Film, wants bool) {
	hard := r.Class.RainFree.Default
	if r.Class.RainFree.HasHard {
		hard = r.Class.RainFree.Hard
	}
	f = Film{Step: r.Step, Zone: r.Zone, On: d.At}
	f.Hard, f.Until = s.stood(r.Zone, r.Class, d.At, hard), s.stood(r.Zone, r.Class, d.At, r.Class.RainFree.Default)
	if !f.Until.IsZero() && !now.Before(f.Until) {
		return f, false
	}
	wet := ZoneFate{Zone: r.Zone, Rain: -1}
	if s.rain(&wet, now); wet.Rain < 0 {
		return f, true
	}
	at := s.Rain[wet.Rain].From
	if at.Before(now) {
		at = now
	}
	if !f.Until.IsZero() && !at.Before(f.Until) {
		return f, true
	}
	f.WetAt = at
	if f.Fate = Inspect; !wet.Driven && (f.Hard.IsZero() || at.Before(f.Hard)) {
		f.Fate = Redo
	}
	return f, true
}

// stood is when a film has stood so many hours as its class counts them, zero where the
// result does not reach so far.
func (s *spoiler) stood(zone int, c products.Class, on time.Time, hours float64) time.Time {
	if !c.Equivalent || c.HalvesPerK <= 0 {
		return on.Add(time.Duration(hours * float64(time.Hour)))
	}
	const step = 10 * time.Minute
	n := int(s.Result.Grid.At(s.Result.To).Sub(on) / step)
	i := sort.Search(n+1, func(i int) bool { return s.hours(zone, c, on, on.Add(time.Duration(i)*step)) >= hours })
	if i > n {
		return time.Time{}
	}
	return on.Add(time.Duration(i) * step)
}
