package window

import (
	"reflect"
	"slices"

	"dewgap/window/boat"
)

// twins gives, per zone, the first one that fares in every way as it does: itself, or one
// before it, which then is worked out for both, as of two level decks of one finish.
func (e *evaluation) twins() []int {
	out := make([]int, len(e.Job.Zones))
	for z := range out {
		out[z] = z
		if !e.singled(z) {
			out[z] = slices.IndexFunc(out[:z+1], func(first int) bool {
				return first == z || out[first] == first && !e.singled(first) && e.sameFor(first, z)
			})
		}
	}
	return out
}

// stands calls f with a zone and its twins, for all of which it is worked out.
func (e *evaluation) stands(zone int, f func(z int)) {
	for z, first := range e.twin {
		if first == zone {
			f(z)
		}
	}
}

// singled reports whether something is known of a zone that holds for it alone: what was
// read there or learned of it.
func (e *evaluation) singled(z int) bool {
	if _, learned := e.learnedOf(e.Job.Zones[z].Name); learned {
		return true
	}
	if e.reads == nil {
		return false
	}
	for _, r := range e.reads.list {
		if k, ok := e.reads.zones[r.Zone]; ok && k == z {
			return true
		}
	}
	return false
}

// sameFor reports whether two zones of which nothing was read or learned are alike in all
// that a verdict hangs on: the panel and what it was through, what stands over it, what
// runs onto it and from it, and the steps.
func (e *evaluation) sameFor(a, b int) bool {
	zones := e.Job.Zones
	names := func(list []string) bool {
		return slices.Contains(list, zones[a].Name) == slices.Contains(list, zones[b].Name)
	}
	if e.level[a] != e.level[b] || !reflect.DeepEqual(judgedBy(zones[a]), judgedBy(zones[b])) {
		return false
	}
	for i := range zones {
		if !names(zones[i].DrainsTo) || !names(zones[i].RunsOnto) {
			return false
		}
	}
	for _, s := range e.Job.Steps {
		if slices.Contains(s.On, a) != slices.Contains(s.On, b) {
			return false
		}
	}
	for _, c := range e.Job.Covers {
		if !names(c.Zones) {
			return false
		}
	}
	return true
}

// judgedBy is what of a zone a verdict hangs on: not its name, nor how much of it there
// is, nor where a level one faces.
func judgedBy(z boat.Zone) boat.Zone {
	z.Name, z.AreaM2, z.LengthM, z.Count = "", 0, 0, 0
	if z.Tilt == 0 {
		z.Faces, z.FacesTrue = 0, false
	}
	return z
}
