package window

import (
	"slices"

	"dewgap/window/boat"
)

// levels tells for every zone on which level it is worked out, so that what
// drains onto it comes on an earlier one. Of zones that drain onto each other in
// a ring, only the earlier drips onto the later.
func levels(zones []boat.Zone) []int {
	depth := make([]int, len(zones))
	for range zones { // the longest chain settles within as many rounds
		for i, z := range zones {
			for _, below := range above(zones, z) {
				if d := depth[i] + 1; d < len(zones) {
					depth[below] = max(depth[below], d)
				}
			}
		}
	}
	return depth
}

// above are the zones that a zone drains onto.
func above(zones []boat.Zone, z boat.Zone) []int {
	var out []int
	for i, below := range zones {
		if below.Name != z.Name && slices.Contains(z.DrainsTo, below.Name) {
			out = append(out, i)
		}
	}
	return out
}

// Water on an overhang: it drips while more than runoffGM2 is left of a rain,
// until it is down to dryGM2 (common practice, no source).
const (
	runoffGM2 = 5
	dryGM2    = 1
)

// dripping tells, per member and slot, whether rain or wash water still stands
// on a zone that something lies below. Dew does not run.
func (w *zoneWork) dripping() [][]bool {
	if len(w.zone.DrainsTo) == 0 {
		return nil
	}
	out := make([][]bool, len(w.members))
	for m, t := range w.tracks {
		out[m] = make([]bool, w.grid.N)
		rained := false
		for i, film := range t.Film {
			rained = (rained || t.Wets[i]) && film > dryGM2
			out[m][i] = rained && film > runoffGM2
		}
	}
	return out
}

// dripsOn reports whether a zone drips onto another one, which is worked out after it.
func (e *evaluation) dripsOn(above, below int) bool {
	return e.level[above] < e.level[below] && slices.Contains(e.Job.Zones[above].DrainsTo, e.Job.Zones[below].Name)
}

// dripped joins the water of every zone above for one member; nil where there is
// none.
func (w *zoneWork) dripped(m int) []bool {
	var out []bool
	for i := range w.Job.Zones {
		if !w.dripsOn(i, w.z) || w.drips[i] == nil {
			continue
		}
		if out == nil {
			out = make([]bool, w.grid.N)
		}
		for k, wet := range w.drips[i][m] {
			out[k] = out[k] || wet
		}
	}
	return out
}

// runOff tells in which slots rain runs down onto a zone from those above it. Nil where
// nothing drains onto it.
func (e *evaluation) runOff(z boat.Zone) func(i int) bool {
	over := overhanging(e.Job.Zones, z.Name)
	if len(over) == 0 {
		return nil
	}
	return func(i int) bool { return rainRuns(e.Job, over, e.grid.Middle(i)) }
}

// hangs tells in which slots water reaches the zone from above alone: what arrives
// there arrives for as long as it drips. Nil where nothing drains onto it.
func (w *zoneWork) hangs() []bool {
	if w.level[w.z] == 0 {
		return nil
	}
	out := make([]bool, w.grid.N)
	for i := range out {
		out[i] = !rainFalls(w.Job, &w.zone, w.grid.Middle(i))
	}
	return out
}

// trickle has what drips on a zone that hangs under others arrive there.
func (w *zoneWork) trickle(m int) {
	if w.below[m] == nil {
		return
	}
	for i, drips := range w.below[m] {
		w.tracks[m].Wets[i] = w.tracks[m].Wets[i] || drips && w.hanging[i]
	}
}
