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
	free    []*course
	columns [][]float32
}

// take gives room for n slots, to be written over.
func (l *courses) take(n int) *course {
	l.Lock()
	defer l.Unlock()
	if c, ok := pop(&l.free); ok {
		return c
	}
	return &course{surface.NewTrack(n), make([]float32, n), make([]float32, n), make([]bool, n)}
}

func (l *courses) column(n int) []float32 {
	l.Lock()
	defer l.Unlock()
	if c, ok := pop(&l.columns); ok {
		return c
	}
	return make([]float32, n)
}

func (l *courses) give(cs []*course, columns [][]float32) {
	l.Lock()
	defer l.Unlock()
	l.free, l.columns = append(l.free, cs...), append(l.columns, columns...)
}

// column is a number for every slot, to be written over, until the zone is done.
func (w *zoneWork) column() []float32 {
	c := w.courses.column(w.grid.N)
	w.columns = append(w.columns, c)
	return c
}

// leave gives the zone's memory back, once nothing more is asked of it, its parts and
// those that it is held against. The water that it lets drip is noted elsewhere.
func (w *zoneWork) leave() {
	for _, o := range append(w.others(), w.parts...) {
		o.leave()
	}
	w.courses.give(w.lent, w.columns)
	w.lent, w.columns, w.tracks, w.spread, w.bare, w.ready = nil, nil, nil, nil, nil, nil
}
