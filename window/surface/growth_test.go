package surface

import (
	"fmt"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
)

// grower computes tracks of one panel under days of one member's weather.
type grower struct {
	x     *Exposure
	w     *Weather
	track *Track
}

func newGrower(days int) grower {
	f := benchForecast(days)
	s := NewSky(NewGrid(f.Start, f.End()), 43.07, -70.74, Model{})
	return grower{
		NewExposure(benchExposed(), s, Model{}), NewWeather(f, &f.Members[0], s, Site{WindShare: 0.89}, Model{}), NewTrack(s.Grid.N),
	}
}

// BenchmarkGrowth runs from one zone for one day to ten million zone-slots: the
// time for one stays the same, and nothing is allocated beyond the answer, which
// is the track.
func BenchmarkGrowth(b *testing.B) {
	for _, c := range []struct{ days, tracks int }{{1, 1}, {16, 1}, {16, 12}, {16, 51 * 12}, {16, 4341}, {365, 190}} {
		g := newGrower(c.days)
		slots := c.days * 24 * PerHour * c.tracks
		b.Run(fmt.Sprintf("slots=%d", slots), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				for range c.tracks {
					g.track.Run(benchPanel(), g.x, g.w, Model{})
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(slots), "ns/zone-slot")
		})
	}
}

// A track takes 23 bytes a slot (five numbers of four bytes, three truths) and next
// to nothing else, however long it is; running it takes none.
func TestMemoryGrowsWithTheAnswer(t *testing.T) {
	for _, days := range []int{1, 16, 100} {
		g := newGrower(days)
		n := g.w.Grid.N
		bytes := allocated(func() {
			g.track = NewTrack(n)
			g.track.Run(benchPanel(), g.x, g.w, Model{})
		})
		assert.InDelta(t, 23*n, bytes, 0.15*23*float64(n)+4096, "%d slots", n)
		assert.Less(t, allocated(func() { g.track.Run(benchPanel(), g.x, g.w, Model{}) }), 1024.0)
	}
}

// allocated is the fewest bytes that f allocates, over a few goes: others may
// allocate meanwhile.
func allocated(f func()) float64 {
	least := uint64(1 << 62)
	for range 5 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		f()
		runtime.ReadMemStats(&after)
		least = min(least, after.TotalAlloc-before.TotalAlloc)
	}
	return float64(least)
}
