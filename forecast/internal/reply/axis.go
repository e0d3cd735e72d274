package reply

import (
	"cmp"
	"slices"
	"time"

	"dewgap/forecast"
)

// Hour is the step of every forecast that the readers make, in seconds.
const Hour = 3600

// Point is a value at one moment, in seconds since 1970 UTC. A point that is
// not known still stands in the list: nothing is interpolated across it.
type Point struct {
	At    int64
	V     float64
	Known bool
}

// Span is a value that holds in [From, To), in seconds since 1970 UTC.
type Span struct {
	From, To int64
	V        float64
}

// Axis is whole UTC hours: N intervals from Start.
type Axis struct {
	Start int64 // a multiple of Hour
	N     int
}

// FloorHour is the whole UTC hour at or before t, in seconds since 1970.
func FloorHour(t int64) int64 {
	r := t % Hour
	if r < 0 {
		r += Hour
	}
	return t - r
}

// CeilHour is the whole UTC hour at or after t.
func CeilHour(t int64) int64 { return FloorHour(t + Hour - 1) }

// Put gives the forecast this axis.
func (a Axis) Put(f *forecast.Forecast) {
	f.Start, f.Step, f.N = time.Unix(a.Start, 0).UTC(), time.Hour, a.N
}

// end is the end of the last interval.
func (a Axis) end() int64 { return a.Start + int64(a.N)*Hour }

// clip gives the half-open range of intervals that begin in [from, to).
func (a Axis) begins(from, to int64) (first, last int) {
	from, to = max(from, a.Start), min(to, a.end())
	if from >= to {
		return 0, 0
	}
	return int((CeilHour(from) - a.Start) / Hour), int((CeilHour(to) - a.Start) / Hour)
}

// Linear fills an instant column from points in rising order: at each interval's
// beginning the value there, or the straight line between two known neighbours
// that are at most gap seconds apart.
func (a Axis) Linear(points []Point, gap int64) forecast.Column {
	c := forecast.NewColumn(a.N)
	for i, p := range points {
		if !p.Known {
			continue
		}
		next := Point{At: p.At + 1}
		if i+1 < len(points) && points[i+1].Known && points[i+1].At-p.At <= gap {
			next = points[i+1]
		}
		first, last := a.begins(p.At, next.At)
		for k := first; k < last; k++ {
			share := float64(a.Start+int64(k)*Hour-p.At) / float64(next.At-p.At)
			c.Set(k, p.V+share*(next.V-p.V))
		}
	}
	return c
}

// Hold fills a column with the value that holds at each interval's beginning.
func (a Axis) Hold(spans []Span) forecast.Column {
	c := forecast.NewColumn(a.N)
	for _, s := range spans {
		first, last := a.begins(s.From, s.To)
		for k := first; k < last; k++ {
			c.Set(k, s.V)
		}
	}
	return c
}

// parts calls f for each interval that the span touches with the seconds that
// lie in it.
func (a Axis) parts(s Span, f func(k int, seconds int64)) {
	from, to := max(s.From, a.Start), min(s.To, a.end())
	for from < to {
		k := (from - a.Start) / Hour
		next := min(to, a.Start+(k+1)*Hour)
		f(int(k), next-from)
		from = next
	}
}

// gather adds to each interval what the spans give it and keeps those that are
// covered from end to end.
func (a Axis) gather(spans []Span, add func(old, v float64, s Span, seconds int64) float64) forecast.Column {
	c := forecast.NewColumn(a.N)
	covered := make([]int64, a.N)
	for _, s := range spans {
		a.parts(s, func(k int, seconds int64) {
			c.Values[k] = add(c.Values[k], s.V, s, seconds)
			covered[k] += seconds
		})
	}
	for k := range covered {
		if covered[k] == Hour {
			c.Set(k, c.Values[k])
		}
	}
	return c
}

// Mean fills a column with time-weighted averages.
func (a Axis) Mean(spans []Span) forecast.Column {
	return a.gather(spans, func(old, v float64, _ Span, seconds int64) float64 {
		if seconds == Hour {
			return v // exactly, without a detour over 3600/3600
		}
		return old + v*float64(seconds)/Hour
	})
}

// Maximum fills a column with the largest value that touches each interval;
// values are not negative.
func (a Axis) Maximum(spans []Span) forecast.Column {
	return a.gather(spans, func(old, v float64, _ Span, _ int64) float64 { return max(old, v) })
}

// Sum spreads each span's total evenly over its time. The second column is the
// length, in hours, of the span that an interval's amount came from, known only
// where that is more than one hour: there the amount says nothing about the
// single hour.
func (a Axis) Sum(spans []Span) (amount, hours forecast.Column) {
	amount = a.gather(spans, func(old, v float64, s Span, seconds int64) float64 {
		return old + v*float64(seconds)/float64(s.To-s.From)
	})
	hours = forecast.NewColumn(a.N)
	for _, s := range spans {
		length := float64(s.To-s.From) / Hour
		a.parts(s, func(k int, _ int64) {
			if amount.Known[k] && length > 1 && length > hours.Values[k] {
				hours.Set(k, length)
			}
		})
	}
	return amount, hours
}

// Sort puts spans in order and reports whether two of them claim the same time.
func Sort(spans []Span) (overlap bool) {
	slices.SortStableFunc(spans, func(x, y Span) int { return cmp.Compare(x.From, y.From) })
	for i := 1; i < len(spans); i++ {
		if spans[i].From < spans[i-1].To {
			return true
		}
	}
	return false
}
