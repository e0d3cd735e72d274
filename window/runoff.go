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

// overhanging are the zones from which what drips reaches one in the end.
func overhanging(zones []boat.Zone, name string) []int {
	var out []int
	below := slices.IndexFunc(zones, func(z boat.Zone) bool { return z.Name == name })
	for i, reached := range reaching(zones, drains) {
		if below >= 0 && reached[below] {
			out = append(out, i)
		}
	}
	return out
}

// rainReaches reports whether rain at a moment wets a zone: falls on it, or runs down
// onto it from what lies above. The tracks wet by the same rule.
func rainReaches(j *job.Job, zone int, at time.Time) bool {
	z := &j.Zones[zone]
	return rainFalls(j, z, at) || rainRuns(j, overhanging(j.Zones, z.Name), at)
}

// rainRuns reports whether rain at a moment falls on one of the zones that drip onto
// another, and so runs down onto it: from the topsides over the bottom of a boat ashore.
func rainRuns(j *job.Job, over []int, at time.Time) bool {
	return slices.ContainsFunc(over, func(i int) bool { return rainFalls(j, &j.Zones[i], at) })
}

// rainFalls reports whether rain at a moment falls on a zone itself.
func rainFalls(j *job.Job, z *boat.Zone, at time.Time) bool {
	roof, _ := roofAt(j, z, at)
	return surface.RainFalls(z.Tilt, roof)
}
