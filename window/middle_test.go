package window

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// What is found is what sorting finds, and nothing is lost on the way.
func TestNth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.IntRange(-9, 9), 1, 80).Draw(t, "values")
		k := rapid.IntRange(0, len(values)-1).Draw(t, "place")
		sorted := slices.Sorted(slices.Values(values))
		got := slices.Clone(values)
		assert.Equal(t, sorted[k], nth(got, k))
		assert.ElementsMatch(t, values, got)
		assert.LessOrEqual(t, slices.Max(got[:k+1]), got[k])
		assert.GreaterOrEqual(t, slices.Min(got[k:]), got[k])
	})
}

func TestMiddle(t *testing.T) {
	for want, values := range map[float64][]float64{
		3: {3}, 2: {3, 1}, 4: {9, 4, 1}, 2.5: {4, 1, 3, 2}, 5: {5, 5, 5, 5, 5, 5}, -1: {0, -2, 7, -5},
	} {
		assert.Equal(t, want, middle(values))
	}
}

// BenchmarkNth takes medians of 51 values in no order at all.
func BenchmarkNth(b *testing.B) {
	x := uint32(1)
	var values [4096][51]float32
	for r := range values {
		for i := range values[r] {
			x ^= x << 13
			x ^= x >> 17
			x ^= x << 5
			values[r][i] = float32(x >> 8)
		}
	}
	k := 0
	for b.Loop() {
		row := values[k%len(values)]
		nth(row[:], len(row)/2)
		k++
	}
}
