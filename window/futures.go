package window

import (
	"slices"
	"time"

	"dewgap/window/surface"
)

// Wet are the slots of the grid in which water comes in one future, a bit each, the first
// slot lowest.
type Wet []uint64

func newWet(n int, wets func(slot int) bool) Wet {
	out := make(Wet, (n+63)/64)
	for i := range n {
		if wets(i) {
			out[i/64] |= 1 << (i % 64)
		}
	}
	return out
}

func (w Wet) at(slot int) bool { return w[slot/64]>>(slot%64)&1 != 0 }

// futures are the members that are told one by one, from the first on: those of an
// ensemble, else those of a dressed single forecast, which is not one of its futures.
func (e *evaluation) futures() (first int, several bool) {
	if e.result.Dressed > 0 {
		first = e.result.Members
	}
	return first, len(e.weather)-first > 1
}

// rainies keeps when it rains in each future, where something is done already that the
// rain may spoil.
func (e *evaluation) rainies() {
	some := false
	for _, z := range e.Job.Zones {
		some = some || len(z.Done) > 0
	}
	first, several := e.futures()
	if !some || !several {
		return
	}
	for _, w := range e.weather[first:] {
		e.result.Futures = append(e.result.Futures, newWet(w.Grid.N, func(i int) bool { return w.Flags[i]&surface.Wets != 0 }))
	}
}

// dewy is when dew forms on the zone, or on a part of it, in each future, where something
// is done on it already: the slots that stop the dew clock of a film.
func (w *zoneWork) dewy() []Wet {
	first, several := w.futures()
	if len(w.Job.Zones[w.z].Done) == 0 || !several {
		return nil
	}
	var out []Wet
	all := append(slices.Clone(w.parts), w)
	for m := first; m < len(w.members); m++ {
		out = append(out, newWet(w.grid.N, func(i int) bool {
			return slices.ContainsFunc(all, func(p *zoneWork) bool { return p.ready[m][i] && p.spread[m][i] < dewSpreadK })
		}))
	}
	return out
}

// RainIn counts the futures in which it rains on a zone of the job that lies open, in
// some slot of [from, to) as far as the result reaches, and how many there are; none for
// a single forecast that was not dressed and for a job on which nothing is done.
func (r *Result) RainIn(open func(time.Time) bool, from, to time.Time) (in, of int) {
	return r.wetIn(r.Futures, open, from, to)
}

// DewIn counts likewise the futures in which dew forms on a zone of the job; none where
// nothing is done on it.
func (r *Result) DewIn(zone int, from, to time.Time) (in, of int) {
	if zone >= len(r.Dewy) {
		return 0, 0
	}
	return r.wetIn(r.Dewy[zone], func(time.Time) bool { return true }, from, to)
}

func (r *Result) wetIn(futures []Wet, open func(time.Time) bool, from, to time.Time) (in, of int) {
	for _, x := range futures {
		for i := max(0, r.Grid.Index(from)); i < r.Grid.N && r.Grid.At(i).Before(to); i++ {
			if x.at(i) && open(r.Grid.At(i)) {
				in++
				break
			}
		}
	}
	return in, len(futures)
}
