package window

import (
	"math"
	"time"

	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// Uncured is a film that is on and that no water may reach yet.
type Uncured struct {
	Step, Zone int // indices into the job's steps and zones
	At, Until  time.Time
}

// UncuredBelow is, of the films that lay by now on the zones that water from a zone
// runs onto, the one to be kept dry the longest from now on: for the usual rain-free
// hours of its class, or until its haze may be wiped off where that is later.
func UncuredBelow(j *job.Job, classes Classes, zone int, now time.Time) (longest Uncured, ok bool) {
	longest.Until = now
	for below, reached := range reaching(j.Zones, runs)[zone] {
		if !reached {
			continue
		}
		for s, step := range j.Steps {
			c, known := classes.Class(step.With)
			d, done := doneOn(j, below, step)
			if !known || !c.RainFree.Given || !done || d.Share <= 0 || d.At.IsZero() || d.At.After(now) {
				continue
			}
			if until := d.At.Add(keptDry(step, &c)); until.After(longest.Until) {
				longest, ok = Uncured{Step: s, Zone: below, At: d.At, Until: until}, true
			}
		}
	}
	return longest, ok
}

// keptDry is how long water is kept off a film.
func keptDry(s job.Step, c *products.Class) time.Duration {
	haze := s.HazeMin
	if haze <= 0 && c.HazeMin.Given {
		haze = c.HazeMin.Min
	}
	return time.Duration(max(60*c.RainFree.Default, haze) * float64(time.Minute))
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
	if do := w.Job.Steps[step].Do; !w.KeepDry || do != "correct" && !wet(*c, do) {
		return 0
	}
	u, ok := UncuredBelow(w.Job, w.Classes, w.z, w.Now)
	if !ok {
		return 0
	}
	return int(math.Ceil(u.Until.Sub(w.grid.Start).Minutes() / surface.SlotMinutes))
}
