package surface

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A sky of days that were kept is the one that is computed anew, bit by bit, wherever the
// spans begin and whatever was asked for before.
func TestSkies_AreThoseComputed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var kept Skies
		lats := []float64{rapid.Float64Range(-89, 89).Draw(t, "lat"), 43.07}
		lon := rapid.Float64Range(-180, 180).Draw(t, "lon")
		for range rapid.IntRange(1, 4).Draw(t, "times") {
			begin := time.Date(2026, 12, 30, 0, 0, 0, 0, time.UTC).Add(time.Duration(rapid.IntRange(-200, 400).Draw(t, "begin")) * Slot)
			g := Grid{Start: begin, N: rapid.IntRange(0, 500).Draw(t, "slots")}
			lat := rapid.SampledFrom(lats).Draw(t, "place")
			m := rapid.SampledFrom([]Model{{}, HandCheck(), {Albedo: 0.3}}).Draw(t, "model")
			require.Equal(t, NewSky(g, lat, lon, m), kept.Over(g, lat, lon, m))
		}
	})
}

// Days are computed once, and kept up to a bound.
func TestSkies_KeepDays(t *testing.T) {
	var kept Skies
	week := Grid{Start: time.Date(2026, 9, 7, 3, 0, 0, 0, time.UTC), N: 7 * slotsADay}
	kept.Over(week, 43.07, -70.74, Model{})
	require.Len(t, kept.kept, 8, "from inside of a day to inside of another")
	first := kept.day(week.Start, 43.07, -70.74, Model{})
	later := Grid{Start: week.Start.Add(24 * time.Hour), N: 8 * slotsADay}
	kept.Over(later, 43.07, -70.74, Model{})
	assert.Len(t, kept.kept, 10)
	assert.Same(t, first, kept.day(week.Start, 43.07, -70.74, Model{}))
	for d := range 3 * mostSkyDay {
		kept.day(week.Start.Add(time.Duration(d)*24*time.Hour), 43.07, -70.74, Model{})
		require.LessOrEqual(t, len(kept.kept), mostSkyDay)
	}
	kept = Skies{}
	kept.Over(Grid{Start: week.Start, N: 366 * slotsADay}, 43.07, -70.74, Model{})
	assert.Empty(t, kept.kept, "a season turns nothing out")
}

// What is done to a sky that was handed out is not done to the next.
func TestSkies_AreApart(t *testing.T) {
	var kept Skies
	g := Grid{Start: time.Date(2026, 9, 7, 0, 0, 0, 0, time.UTC), N: slotsADay}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			s := kept.Over(g, 43.07, -70.74, Model{})
			s.CosZ[70], s.height[70] = 9, s.height[0]
		})
	}
	all.Wait()
	assert.Equal(t, NewSky(g, 43.07, -70.74, Model{}), kept.Over(g, 43.07, -70.74, Model{}))
}

// No Skies at all keep nothing.
func TestSkies_None(t *testing.T) {
	var none *Skies
	g := Grid{Start: time.Date(2026, 9, 7, 0, 0, 0, 0, time.UTC), N: 6}
	assert.Equal(t, NewSky(g, 43.07, -70.74, Model{}), none.Over(g, 43.07, -70.74, Model{}))
}
