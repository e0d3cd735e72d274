package surface

import (
	"sync"
	"time"
)

// Skies keeps the sun's path of the days that were asked for, so that whoever judges a
// place again, for other weather or another last day, does not compute it anew. Its zero
// value is ready, and it may be used by several at once.
type Skies struct {
	mu   sync.Mutex
	kept map[skyDay]*Sky
}

// skyDay is a day of UTC at a place, by all of the model that the sky hangs on.
type skyDay struct {
	begins     int64 // Unix seconds
	lat, lon   float64
	clearDepth float64
}

const (
	slotsADay  = 24 * PerHour
	mostSkyDay = 128 // days kept, of 17 kB each
)

// Over is what [NewSky] computes. A nil Skies keeps nothing, and a span of more days than
// would be kept, as a season's, is computed for itself.
func (k *Skies) Over(g Grid, lat, lon float64, m Model) *Sky {
	if k == nil || g.N > (mostSkyDay-2)*slotsADay {
		return NewSky(g, lat, lon, m)
	}
	s := emptySky(g)
	for i := 0; i < g.N; {
		d := k.day(g.At(i), lat, lon, m)
		i += s.take(i, d, d.Grid.Index(g.At(i)))
	}
	return s
}

// day is the sky of the day that holds t.
func (k *Skies) day(t time.Time, lat, lon float64, m Model) *Sky {
	begins := t.UTC().Truncate(24 * time.Hour)
	key := skyDay{begins.Unix(), lat, lon, m.ClearDepth}
	k.mu.Lock()
	defer k.mu.Unlock()
	if d, ok := k.kept[key]; ok {
		return d
	}
	if k.kept == nil || len(k.kept) >= mostSkyDay {
		k.kept = map[skyDay]*Sky{}
	}
	d := NewSky(Grid{Start: begins, N: slotsADay}, lat, lon, m)
	k.kept[key] = d
	return d
}

// take copies another sky from one of its slots on to s from slot i on, and tells how many
// slots that were.
func (s *Sky) take(i int, from *Sky, at int) int {
	own, other := s.columns(), from.columns()
	for c := range own {
		copy((*own[c])[i:], (*other[c])[at:])
	}
	return copy(s.height[i:], from.height[at:])
}
