package reply

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

// list gives a column with nil where a value is absent.
func list(c forecast.Column) []any {
	out := make([]any, len(c.Known))
	for i := range out {
		if v, known := c.At(i); known {
			out[i] = v
		}
	}
	return out
}

const hour = Hour

func TestFloorAndCeil(t *testing.T) {
	assert.Equal(t, int64(hour), FloorHour(hour))
	assert.Equal(t, int64(0), FloorHour(hour-1))
	assert.Equal(t, int64(-hour), FloorHour(-1))
	assert.Equal(t, int64(hour), CeilHour(1))
	assert.Equal(t, int64(0), CeilHour(0))
	assert.Equal(t, int64(0), CeilHour(-1))
}

func TestPut(t *testing.T) {
	var f forecast.Forecast
	Axis{Start: 1789048800, N: 3}.Put(&f)
	assert.Equal(t, time.Date(2026, 9, 10, 14, 0, 0, 0, time.UTC), f.Start)
	assert.Equal(t, time.Hour, f.Step)
	assert.Equal(t, 3, f.N)
}

func TestLinear(t *testing.T) {
	a := Axis{Start: 0, N: 5}
	assert.Equal(t, []any{10.0, 12.0, 14.0, 16.0, nil},
		list(a.Linear([]Point{{0, 10, true}, {3 * hour, 16, true}}, 3*hour)))
	assert.Equal(t, []any{10.0, nil, nil, 16.0, nil},
		list(a.Linear([]Point{{0, 10, true}, {3 * hour, 16, true}}, 2*hour)), "too far apart")
	assert.Equal(t, []any{10.0, nil, 16.0, nil, nil},
		list(a.Linear([]Point{{0, 10, true}, {hour, 0, false}, {2 * hour, 16, true}}, 6*hour)), "not across a null")
	assert.Equal(t, []any{nil, 11.0, nil, nil, nil},
		list(a.Linear([]Point{{hour / 2, 10, true}, {3 * hour / 2, 12, true}}, hour)), "stamps at the half hour")
	assert.Equal(t, []any{5.0, nil, nil, nil, nil},
		list(a.Linear([]Point{{-hour, 0, true}, {hour - 1800, 7.5, true}}, 2*hour)), "begun before the axis")
}

func TestHold(t *testing.T) {
	a := Axis{Start: 0, N: 4}
	assert.Equal(t, []any{1.0, 1.0, nil, 2.0}, list(a.Hold([]Span{{-5 * hour, 2 * hour, 1}, {3 * hour, 99 * hour, 2}})))
	assert.Equal(t, []any{nil, 1.0, nil, nil}, list(a.Hold([]Span{{1, hour + 1, 1}})), "the value at the beginning counts")
}

func TestMeanSumMaximum(t *testing.T) {
	a := Axis{Start: 0, N: 3}
	quarters := []Span{{0, 900, 4}, {900, 1800, 8}, {1800, 2700, 0}, {2700, 3600, 8}, {3600, 4500, 9}}
	assert.Equal(t, []any{5.0, nil, nil}, list(a.Mean(quarters)))
	assert.Equal(t, []any{8.0, nil, nil}, list(a.Maximum(quarters)))
	amount, span := a.Sum(quarters)
	assert.Equal(t, []any{20.0, nil, nil}, list(amount))
	assert.False(t, span.Any())

	amount, span = a.Sum([]Span{{-hour, 2 * hour, 6}, {2 * hour, 3 * hour, 1}})
	assert.Equal(t, []any{2.0, 2.0, 1.0}, list(amount))
	assert.Equal(t, []any{3.0, 3.0, nil}, list(span))

	assert.Equal(t, []any{0.1, 0.2, 0.3}, list(a.Mean([]Span{{0, hour, 0.1}, {hour, 2 * hour, 0.2}, {2 * hour, 3 * hour, 0.3}})),
		"whole hours pass unchanged")
}

// However an amount is cut into spans, the total stays.
func TestSumKeepsTheTotal(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var spans []Span
		total, at := 0.0, int64(0)
		for range rapid.IntRange(1, 20).Draw(r, "spans") {
			length := int64(rapid.IntRange(1, 48).Draw(r, "quarters")) * 900
			v := rapid.Float64Range(0, 20).Draw(r, "amount")
			spans = append(spans, Span{at, at + length, v})
			at, total = at+length, total+v
		}
		n := int(CeilHour(at) / hour)
		if rest := int64(n)*hour - at; rest > 0 { // fill the last hour
			spans = append(spans, Span{at, at + rest, 0})
		}
		amount, _ := Axis{Start: 0, N: n}.Sum(spans)
		sum := 0.0
		for i := range n {
			v, known := amount.At(i)
			if !known {
				r.Fatalf("hour %d is unknown", i)
			}
			sum += v
		}
		if math.Abs(sum-total) > 1e-9 {
			r.Fatalf("%v instead of %v", sum, total)
		}
	})
}

func TestSort(t *testing.T) {
	s := []Span{{2, 3, 0}, {0, 2, 1}}
	assert.False(t, Sort(s))
	assert.Equal(t, int64(0), s[0].From)
	assert.True(t, Sort([]Span{{0, 2, 0}, {1, 3, 1}}))
	assert.True(t, Sort([]Span{{0, 2, 0}, {0, 2, 0}}))
	assert.False(t, Sort(nil))
}

// Averaging keeps what the sun delivers, however the means are cut.
func TestMeanKeepsTheIntegral(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(r, "hours")
		var spans []Span
		integral, at := 0.0, int64(0)
		for at < int64(n)*hour {
			to := min(at+int64(rapid.IntRange(1, 24).Draw(r, "quarters"))*900, int64(n)*hour)
			v := rapid.Float64Range(0, 1000).Draw(r, "mean")
			spans = append(spans, Span{at, to, v})
			integral += v * float64(to-at)
			at = to
		}
		c := Axis{Start: 0, N: n}.Mean(spans)
		sum := 0.0
		for i := range n {
			v, known := c.At(i)
			if !known {
				r.Fatalf("hour %d is unknown", i)
			}
			sum += v * hour
		}
		if math.Abs(sum-integral) > 1e-6 {
			r.Fatalf("%v instead of %v", sum, integral)
		}
	})
}

// Straight lines lie between the known neighbours and nothing is known outside.
func TestLinearStaysBetween(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var points []Point
		at := int64(rapid.IntRange(-9, 9).Draw(r, "start")) * 1200
		for range rapid.IntRange(1, 12).Draw(r, "points") {
			points = append(points, Point{at, rapid.Float64Range(-30, 40).Draw(r, "v"), rapid.Bool().Draw(r, "known")})
			at += int64(rapid.IntRange(1, 20).Draw(r, "step")) * 1200
		}
		c := Axis{Start: 0, N: 60}.Linear(points, 6*hour)
		for k := range c.Known {
			v, known := c.At(k)
			if !known {
				continue
			}
			low, high := around(points, int64(k)*hour)
			if v < low-1e-9 || v > high+1e-9 {
				r.Fatalf("hour %d: %v is not in %v to %v", k, v, low, high)
			}
		}
	})
}

// around gives the bounds that the neighbours of a moment set; they are the
// wrong way round where there is nothing to be known.
func around(points []Point, t int64) (low, high float64) {
	for i, p := range points {
		switch {
		case p.At == t && p.Known:
			return p.V, p.V
		case p.At < t && p.Known && i+1 < len(points) && points[i+1].At > t && points[i+1].Known && points[i+1].At-p.At <= 6*hour:
			return min(p.V, points[i+1].V), max(p.V, points[i+1].V)
		}
	}
	return math.Inf(1), math.Inf(-1)
}

// Holding reads the same as asking, for each hour, which span holds it.
func TestHoldIsTheSpanAtTheBeginning(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var spans []Span
		at := int64(-5 * hour)
		for range rapid.IntRange(0, 15).Draw(r, "spans") {
			at += int64(rapid.IntRange(0, 5).Draw(r, "gap")) * 900
			to := at + int64(rapid.IntRange(1, 40).Draw(r, "length"))*900
			spans = append(spans, Span{at, to, float64(len(spans))})
			at = to
		}
		c := Axis{Start: 0, N: 48}.Hold(spans)
		for k := range c.Known {
			var want any
			for _, s := range spans {
				if t := int64(k) * hour; t >= s.From && t < s.To {
					want = s.V
				}
			}
			if got := list(c)[k]; got != want {
				r.Fatalf("hour %d: %v instead of %v", k, got, want)
			}
		}
	})
}
