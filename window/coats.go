package window

import (
	"math"

	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// CoatsOn is how many coats of a step lie on all of a zone, given the share of its
// coats that is done, and whether the next one is on a part of it. A share of coats is
// no share of the zone: half of two coats is the first coat on all of it.
func CoatsOn(s job.Step, share float64) (whole int, begun bool) {
	n := min(max(share, 0), 1) * float64(max(1, s.Coats))
	whole = int(n + 1e-6)
	return whole, n-float64(whole) > 1e-6
}

// CoveredBy is the share of a zone that a share of a step's coats covers.
func CoveredBy(s job.Step, share float64) float64 {
	return min(1, share*float64(max(1, s.Coats)))
}

// recoat is when the next coat may go on after those that are logged, in slots of the
// grid: not before soon nor, where it ends, from late until anew.
type recoat struct {
	soon, late, anew int
}

const never = math.MaxInt32

// recoatOf is the time for the next coat of a step; ok is false where no coat is on,
// all are, or nobody says when.
func (w *zoneWork) recoatOf(step int, c *products.Class) (out recoat, ok bool) {
	s := w.Job.Steps[step]
	d, known := doneOn(w.Job, w.z, s)
	coats := max(1, s.Coats)
	on, begun := CoatsOn(s, d.Share)
	if !known || d.At.IsZero() || on == 0 || on >= coats {
		return out, false
	}
	end := int(math.Ceil(d.At.Sub(w.grid.Start).Minutes() / surface.SlotMinutes))
	out = recoat{soon: end, late: never, anew: never}
	if c.RecoatH.Given && !begun {
		out.soon += slotsOfHours(c.RecoatH.Min)
	}
	if c.RecoatEndH <= 0 || s.Sand {
		return out, true
	}
	late := end + slotsOfHours(c.RecoatEndH) + 1
	if w.now >= late || on+1 == coats { // else a later coat has a time of its own
		out.late = late
	}
	if c.RecoatAnew > 0 {
		out.anew = end + slotsOfHours(c.RecoatAnew)
	}
	return out, true
}

// recoating puts the time for the next coat among the yes/no limits of a step. Nobody
// may write to what it is given.
func (w *zoneWork) recoating(step int, c *products.Class, fixed []verdict.Limit) []verdict.Limit {
	t, ok := w.recoatOf(step, c)
	if !ok {
		return fixed
	}
	out := make([]verdict.Limit, len(fixed))
	for i, l := range fixed {
		if out[i] = l; (i < t.soon || i >= t.late && i < t.anew) && (l == verdict.None || verdict.Recoat < l) {
			out[i] = verdict.Recoat
		}
	}
	return out
}
