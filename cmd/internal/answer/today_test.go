package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is ahead and not done is today's or later, today's stands whole and in order of time,
// and nothing later begins before the next.
func TestToday_PartsWhatIsAhead(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		now := time.Date(2026, 10, 31, rapid.IntRange(0, 23).Draw(t, "hour"), 0, 0, 0, loc) // the clocks go back that night
		p := &Plan{State: Go}
		for range rapid.IntRange(0, 8).Draw(t, "blocks") {
			from := now.Add(time.Duration(rapid.IntRange(-30, 60).Draw(t, "from")) * time.Hour)
			p.Blocks = append(p.Blocks, PlanBlock{
				From: from, To: from.Add(time.Duration(rapid.IntRange(1, 5).Draw(t, "long")) * time.Hour),
				Redo: rapid.Bool().Draw(t, "done"),
			})
		}
		got := NewToday(p, func(x *PlanBlock) bool { return x.Redo }, now)
		var today, later []PlanBlock
		for _, x := range p.Blocks {
			switch {
			case !x.To.After(now) || x.Redo:
			case x.From.In(loc).Format(time.DateOnly) <= now.Format(time.DateOnly):
				today = append(today, x)
			default:
				later = append(later, x)
			}
		}
		if len(today)+len(later) == 0 {
			assert.Nil(t, got)
			return
		}
		require.NotNil(t, got)
		assert.ElementsMatch(t, today, got.Blocks)
		for i := 1; i < len(got.Blocks); i++ {
			assert.False(t, got.Blocks[i].From.Before(got.Blocks[i-1].From))
		}
		assert.Equal(t, len(later) > 0, got.Next != nil)
		for _, x := range later {
			assert.False(t, x.From.Before(got.Next.From))
		}
	})
	assert.Nil(t, NewToday(nil, nil, time.Time{}), "no plan")
}

func TestMorning_Unplanned(t *testing.T) {
	made := time.Date(2026, 9, 8, 6, 0, 0, 0, time.UTC)
	idle, busy := &Today{Made: &made}, &Today{Made: &made, Blocks: []PlanBlock{{}}}
	for _, verdict := range []string{Go, Wait, Marginal} {
		assert.Equal(t, "the plan has nothing today", (&Morning{Verdict: verdict, Today: idle}).Unplanned())
		assert.Equal(t, "a plan made now has nothing today", (&Morning{Verdict: verdict, Today: &Today{}}).Unplanned())
		assert.Empty(t, (&Morning{Verdict: verdict, Today: busy}).Unplanned())
		assert.Empty(t, (&Morning{Verdict: verdict}).Unplanned(), "nobody knows of a plan")
	}
	assert.Empty(t, (&Morning{Verdict: NoGo, Today: idle}).Unplanned(), "nothing may be done")
	assert.Empty(t, (&Morning{Verdict: Unknown, Today: idle}).Unplanned())
}
