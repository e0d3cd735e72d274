package answer_test

import (
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// better orders the states that may be worked in.
var better = map[string]int{"ideal": 0, "go": 1, "marginal": 2}

// The demo's plan, held against its own windows and against what a person on the
// dock could check with paper and pencil.
func TestPlanOfTheDemo(t *testing.T) {
	w := week(t, "2026-09-07T06:00:00-04:00")
	p := w.Plan
	require.NotNil(t, p)
	require.NotEmpty(t, p.Blocks)
	assert.Equal(t, "go", p.State)
	assert.NotEmpty(t, p.Why)
	assert.NotEmpty(t, p.Proven)
	type key struct{ step, zone string }
	areas := map[key]float64{}
	ends := map[key]time.Time{}
	busy := map[int]map[time.Time]bool{}
	for i, x := range p.Blocks {
		assert.True(t, i == 0 || !x.From.Before(p.Blocks[i-1].From), "in order")
		assert.NotEmpty(t, x.Reason)
		assert.Equal(t, x.State == "marginal" || x.Confidence < 0.5, x.NeedsConsent)
		assert.Equal(t, x.NeedsConsent, x.ConsentFor != "", "nobody is asked for a yes without being told what for")
		assert.False(t, x.WorkTo.After(x.To))
		areas[key{x.Step, x.Zone}] += *x.AreaM2
		ends[key{x.Step, x.Zone}] = x.To
		for _, person := range x.People {
			if busy[person] == nil {
				busy[person] = map[time.Time]bool{}
			}
			for at := x.From; at.Before(x.To); at = at.Add(10 * time.Minute) {
				assert.False(t, busy[person][at], "person %d twice at %v", person, at)
				busy[person][at] = true
			}
		}
		covered(t, w, x)
		if x.Do == "seal" && x.State != "marginal" {
			assert.GreaterOrEqual(t, x.SpreadK[0], 3.0, "nothing is sealed nearer the dew point (ISO 8502-4), and no answer says so")
		}
	}
	assert.LessOrEqual(t, len(busy), 2, "two people")
	for _, z := range w.Zones {
		for _, step := range []string{"wash", "correct", "strip wash", "seal"} {
			if at, ok := ends[key{step, z.Name}]; ok {
				assert.InDelta(t, *z.AreaM2, areas[key{step, z.Name}], 0.11, "%s on %s", step, z.Name)
				assert.False(t, at.After(*p.Ends))
			}
		}
		for _, order := range [][2]string{{"wash", "correct"}, {"correct", "strip wash"}, {"strip wash", "seal"}} {
			a, b := ends[key{order[0], z.Name}], ends[key{order[1], z.Name}]
			assert.False(t, !a.IsZero() && !b.IsZero() && !a.Before(b), "%s before %s on %s", order[0], order[1], z.Name)
		}
	}
}

// covered: each slot of a block lies in a window at least as good.
func covered(t *testing.T, w *answer.Week, x answer.PlanBlock) {
	t.Helper()
	for at := x.From; at.Before(x.To); at = at.Add(10 * time.Minute) {
		found := false
		for _, win := range w.Windows {
			found = found || win.Step == x.Step && win.Zone == x.Zone && !at.Before(win.From) && at.Before(win.To) &&
				better[win.State] <= better[x.State]
		}
		assert.True(t, found, "%s on %s at %v", x.Step, x.Zone, at)
	}
}
