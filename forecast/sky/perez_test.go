package sky

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Light that does not go with the sun's height is not heaped round a sun that is all
// but down: however much is stated, the beam and what comes from round the sun are
// together, across their direction, no more than the sunlight above the air. What it
// makes of planes is held against published figures in window/surface.
func TestBrighteningIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cosZ := math.Sin(rapid.Float64Range(-20, 90).Draw(t, "elevation") * radian)
		dni, _ := Erbs(rapid.Float64Range(0, 1200).Draw(t, "ghi"), cosZ, 1366)
		dhi := rapid.Float64Range(0, 1000).Draw(t, "dhi")
		h := HeightOf(cosZ, 1366)
		f1, _ := h.Brightening(dni, dhi)
		assert.GreaterOrEqual(t, f1, 0.0)
		assert.LessOrEqual(t, f1, 1.0)
		round := f1 * dhi / math.Max(cosZ, PerezLowestCosZ)
		assert.LessOrEqual(t, round+math.Min(dni, 1366), 1366+1e-6)
	})
}
