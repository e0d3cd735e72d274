package window

import (
	"sync"

	"dewgap/window/surface"
)

// course is the memory of one member's time on a zone: its track, and what the judge
// reads beside it.
type course struct {
	track        *surface.Track
	spread, bare []float32
	ready        []bool
}

// courses is memory of zones that are done. Every zone needs as much again, some
// megabytes for an ensemble, and writes all of it.
type courses struct {
	sync.Mutex
	free []*course
}

// take gives room for n slots, to be written over.
func (l *courses) take(n int) *course {
	l.Lock()
	defer l.Unlock()
	k := len(l.free) - 1
	if k < 0 {
		return &course{surface.NewTrack(n), make([]float32, n), make([]float32, n), make([]bool, n)}
	}
	c := l.free[k]
	l.free = l.free[:k]
	return c
}

func (l *courses) give(cs []*course) {
	l.Lock()
	defer l.Unlock()
	l.free = append(l.free, cs...)
}

// leave gives the zone's memory back, once nothing more is asked of it, its parts and
// those that it is held against. The water that it lets drip is noted elsewhere.
func (w *zoneWork) leave() {
	for _, o := range append(w.others(), w.parts...) {
		o.leave()
	}
	w.courses.give(w.lent)
	w.lent, w.tracks, w.spread, w.bare, w.ready = nil, nil, nil, nil, nil
}
