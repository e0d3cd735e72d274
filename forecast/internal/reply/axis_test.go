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
