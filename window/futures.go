package window

import (
	"time"

	"dewgap/window/surface"
)

// Rainy are the slots of the grid in which it rains in one future, a bit each, the first
// slot lowest.
type Rainy []uint64

func (r Rainy) at(slot int) bool { return r[slot/64]>>(slot%64)&1 != 0 }

// rainies keeps when it rains in each future, where something is done already that the
// rain may spoil: the members of an ensemble, else those of a dressed single forecast.
func (e *evaluation) rainies() {
	some := false
	for _, z := range e.Job.Zones {
		some = some || len(z.Done) > 0
	}
	first := 0
	if e.result.Dressed > 0 {
		first = e.result.Members // the single forecast is not one of its futures
	}
	if !some || len(e.weather)-first < 2 {
		return
	}
	for _, w := range e.weather[first:] {
		r := make(Rainy, (w.Grid.N+63)/64)
		for i, f := range w.Flags {
			if f&surface.Wets != 0 {
				r[i/64] |= 1 << (i % 64)
			}
		}
		e.result.Futures = append(e.result.Futures, r)
	}
}

// RainIn counts the futures in which it rains on a zone of the job that lies open, in
// some slot of [from, to) as far as the result reaches, and how many there are; none for
// a single forecast that was not dressed and for a job on which nothing is done.
func (r *Result) RainIn(open func(time.Time) bool, from, to time.Time) (in, of int) {
	for _, x := range r.Futures {
		for i := max(0, r.Grid.Index(from)); i < r.Grid.N && r.Grid.At(i).Before(to); i++ {
			if x.at(i) && open(r.Grid.At(i)) {
				in++
				break
			}
		}
	}
	return in, len(r.Futures)
}
