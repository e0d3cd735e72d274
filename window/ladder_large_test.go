package window_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/plan"
)

// changeable is an invented forecast of days of which a third have rain for three hours,
// each with a wind, a dew point and a cloud cover of its own; always the same for a number.
func changeable(number, days int) *forecast.Forecast {
	f := ensemble(days, 1)
	m := &f.Members[0]
	x := uint64(number)*2654435761 + 12345
	next := func() float64 {
		x = x*6364136223846793005 + 1442695040888963407
		return float64(x>>40) / (1 << 24)
	}
	for d := range days {
		rain, wind, dew, cloud, at := next() < 0.35, 2+7*next(), 9+8*next(), 100*next(), int(8+8*next())
		for h := range 24 {
			i, mm := d*24+h, 0.0
			if rain && h >= at && h < at+3 {
				mm = 1
			}
			m.Columns[forecast.DewPoint].Set(i, dew)
			m.Columns[forecast.WindSpeed].Set(i, wind*(0.6+0.4*math.Sin(float64(h-6)/24*2*math.Pi)))
			m.Columns[forecast.CloudCover].Set(i, cloud)
			m.Columns[forecast.Precipitation].Set(i, mm)
		}
	}
	return f
}

// yacht is a season's work on nine zones, and on a tenth of teak, where it is compounded
// as little as sealed.
func yacht(t testing.TB) *job.Job {
	j := seasonJob()
	j.Zones = j.Zones[:10]
	for s := range j.Steps {
		j.Steps[s].On = j.Steps[s].On[:10]
	}
	j.Zones[9].Finish = finish(t, "teak")
	return j
}

// rested is what the ladder offers for all of a yacht but what has no place.
func rested(t *testing.T, number, longer int) *window.Planned {
	f, j := changeable(number, 16), yacht(t)
	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: time.UTC, Now: f.Start, Workers: 2, Skies: &skies}
	rungs, err := window.Ladder(window.LadderInput{
		Input: in, RestBudget: longer, Plan: window.PlanSettings{Budget: plan.DefaultBudget / 5},
	})
	require.NoError(t, err)
	require.Equal(t, window.WayRest, rungs[0].Way)
	require.True(t, works(rungs[0]))
	holdPlanned(t, rungs[0].Planned)
	return rungs[0].Planned
}

// All but what has no place is a plan that will be gone by: of a large job it is searched
// for longer than what only tells whether a way leads on, and never comes out worse.
func TestLadder_TheRestIsLookedAtLonger(t *testing.T) {
	t.Parallel()
	quick := rested(t, 4, 0)
	assert.Equal(t, quick.Score, rested(t, 4, 1_000).Score, "no longer search than the others'")
	long := rested(t, 4, plan.DefaultBudget)
	assert.True(t, long.Score.Less(quick.Score), "%+v and %+v", long.Score, quick.Score)
	assert.LessOrEqual(t, long.Score.Finish, quick.Score.Finish-144, "a day sooner at the least")
}

// A bound of the days that lies far from the plan does not use up the steps in which one on
// fewer days is found: an earlier search, of as many steps, took 13 and 12 days.
func TestPlan_FewerDaysBeforeTheBound(t *testing.T) {
	t.Parallel()
	for number, days := range map[int]int{5: 10, 7: 10} {
		p := rested(t, number, 0)
		r, err := plan.Solve(p.Input) // before washes are moved that rain leaves no time to do once more
		require.NoError(t, err)
		assert.LessOrEqual(t, r.Score.Days, days, "%d", number)
		assert.Less(t, r.Bound.Days, r.Score.Days, "the bound is not reached")
		assert.Zero(t, p.Score.Consents)
	}
}
