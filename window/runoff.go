package window

import (
	"slices"
	"time"

	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
)

// drains and runs are what water does: what stands on an overhang drips down from it,
// and what is let run on a panel runs on over all that lies below.
func drains(z *boat.Zone) []string { return z.DrainsTo }

func runs(z *boat.Zone) []string { return slices.Concat(z.DrainsTo, z.RunsOnto) }

// RunsOnto tells, by zone of a job, whether water that is let run on one of them reaches
// it.
func RunsOnto(j *job.Job, zone int) []bool { return reaching(j.Zones, runs)[zone] }

// reaching tells, by zone and zone, whether water of the first reaches the second in
// the end, over whatever lies between. No zone reaches itself.
func reaching(zones []boat.Zone, below func(*boat.Zone) []string) [][]bool {
	next := make([][]int, len(zones))
	for i := range zones {
		for _, name := range below(&zones[i]) {
			if k := slices.IndexFunc(zones, func(z boat.Zone) bool { return z.Name == name }); k >= 0 {
				next[i] = append(next[i], k)
			}
		}
	}
	out := make([][]bool, len(zones))
	for i := range zones {
		out[i] = make([]bool, len(zones))
		for left := []int{i}; len(left) > 0; {
			at := left[len(left)-1]
			left = left[:len(left)-1]
			for _, k := range next[at] {
				if k != i && !out[i][k] {
					out[i][k], left = true, append(left, k)
				}
			}
		}
	}
	return out
}

// rainReaches reports whether rain at a moment wets a zone: falls on it, or runs down
// onto it from what lies above. The tracks wet by the same rule.
func rainReaches(j *job.Job, zone int, at time.Time) bool {
	return rainReachesBy(j, zone, at, len(j.Zones))
}

// rainReachesBy is rainReaches, over so many zones above one another at most.
func rainReachesBy(j *job.Job, zone int, at time.Time, most int) bool {
	z := j.ZoneAt(zone, at)
	if surface.RainFalls(z.Tilt, roofOf(z.Shelter)) {
		return true
	}
	for i := range j.Zones {
		if i != zone && most > 0 && slices.Contains(j.Zones[i].DrainsTo, z.Name) && rainReachesBy(j, i, at, most-1) {
			return true
		}
	}
	return false
}
