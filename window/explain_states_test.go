package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dewgap/window/verdict"
)

// No limit is said to be passed by a value that lies inside its bound: the members that
// deny the better state give the value, as they do in the week.
func TestExplain_NoValueInsideTheBoundThatItPasses(t *testing.T) {
	f := ensemble(3, 11)
	now := f.Start.Add(6 * time.Hour)
	seen := map[verdict.State]int{}
	for at := now; at.Before(f.End().Add(-24 * time.Hour)); at = at.Add(50 * time.Minute) {
		for _, h := range explained(t, f, "polymer-sealant", now, at).Limits {
			if h.Limit != verdict.HumidityMax && h.Limit != verdict.SurfaceMax && h.Limit != verdict.WindMax && h.Limit != verdict.SunlightMax {
				continue
			}
			seen[h.State]++
			switch h.State {
			case verdict.Go:
				assert.Greater(t, h.Value, h.Ideal, "%v %v", at, h.Limit)
			case verdict.Marginal:
				assert.Greater(t, h.Value, h.Default, "%v %v", at, h.Limit)
			}
		}
	}
	assert.Positive(t, seen[verdict.Go])
	assert.Positive(t, seen[verdict.Marginal])
}
