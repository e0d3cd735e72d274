package window

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dewgap/products"
)

// Rewet undoes the rule by which a section's size follows from the film's life:
// the smaller of rate_dry·(0.7 t − 1) and rate_wash·0.7 t.
func TestRewet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		people := rapid.IntRange(1, 6).Draw(t, "people")
		minutes := 0.7 * rapid.Float64Range(3, 240).Draw(t, "life")
		var c products.Class
		if rapid.Bool().Draw(t, "rated") {
			c.RateM2H = products.Range{Given: true, Min: 10, Max: rapid.Float64Range(10, 200).Draw(t, "rate")}
		}
		m2 := float64(people) * math.Min(dryRate*(minutes-1), washRate(c)/60*minutes)
		assert.InDelta(t, minutes, Rewet(m2, people, c), 1e-9)
	})
	// One person who towels 1 m² a minute and washes 40 an hour: 6 m² take 9
	// minutes of washing, longer than the 7 of towelling.
	assert.InDelta(t, 9, Rewet(6, 1, products.Class{}), 1e-9)
	assert.InDelta(t, 4.5, Rewet(6, 2, products.Class{}), 1e-9)
	assert.InDelta(t, 9, Rewet(6, 0, products.Class{}), 1e-9, "at least one")
}
