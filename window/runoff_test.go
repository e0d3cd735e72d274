package window

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
)

// Rain wets what it falls on and what lies under something that it wets, under roofs that
// come and go, through rings and by as many zones as lie between: the same on the grid of
// the tracks and for whoever asks of a moment.
func TestRainReaches_OneRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := &job.Job{}
		n := rapid.IntRange(1, 5).Draw(t, "zones")
		start := time.Date(2026, 9, 3, 8, 0, 0, 0, time.UTC)
		for i := range n {
			z := boat.Zone{Name: string(rune('a' + i)), Tilt: rapid.SampledFrom([]float64{0, 90, 140, 180}).Draw(t, "tilt")}
			z.Shelter = rapid.SampledFrom([]boat.Shelter{boat.Open, boat.Open, boat.Hardtop, boat.Shed}).Draw(t, "roof")
			for k := range n + 1 { // one of them is no zone of the job
				if rapid.IntRange(0, 3).Draw(t, "drains") == 0 {
					z.DrainsTo = append(z.DrainsTo, string(rune('a'+k)))
				}
			}
			j.Zones = append(j.Zones, z)
		}
		j.Covers = []job.Cover{{Zones: []string{"a"}, Kind: boat.Canvas, From: start.Add(20 * time.Minute), To: start.Add(40 * time.Minute)}}
		e := &evaluation{Input: Input{Job: j}, grid: surface.Grid{Start: start, N: 6}}
		for i := range e.grid.N {
			at := e.grid.Middle(i)
			wet := make([]bool, n)
			for range n {
				for k, z := range j.Zones {
					falls := z.Tilt <= 90 && j.ZoneAt(k, at).Shelter == boat.Open
					wet[k] = wet[k] || falls || slices.ContainsFunc(j.Zones, func(over boat.Zone) bool {
						return slices.Contains(over.DrainsTo, z.Name) && wet[over.Name[0]-'a']
					})
				}
			}
			for k := range j.Zones {
				z := &j.Zones[k]
				assert.Equal(t, wet[k], rainReaches(j, k, at), "%s at %s", z.Name, at)
				runs := e.runOff(*z)
				assert.Equal(t, wet[k], rainFalls(j, z, at) || runs != nil && runs(i), "%s on the grid at %s", z.Name, at)
			}
		}
	})
}
