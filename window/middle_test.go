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
	})
}

func TestMiddle(t *testing.T) {
	for want, values := range map[float64][]float64{
		3: {3}, 2: {3, 1}, 4: {9, 4, 1}, 2.5: {4, 1, 3, 2}, 5: {5, 5, 5, 5, 5, 5}, -1: {0, -2, 7, -5},
	} {
		assert.Equal(t, want, middle(values))
	}
}
