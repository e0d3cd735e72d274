package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What a packing calls impossible is so, and what it finds is a plan: on every set
// of days, held against every plan there is.
func TestPacking(t *testing.T) {
	sure, found, open := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 2, days: 3, slots: 6, members: 3})
		all := bruteForce(in)
		if !all.found {
			return
		}
		m := newModel(in)
		require.Negative(t, m.propagate())
		m.Budget = DefaultBudget
		goal := Score{
			Consents:   all.best.Consents + rapid.IntRange(0, 1).Draw(t, "more consents"),
			FivePoints: rapid.IntRange(0, all.best.FivePoints).Draw(t, "points"),
		}
		r := m.relax(m.bounds(), goal.Consents, needed(goal.FivePoints, m.voters))
		finish := rapid.IntRange(1, m.n).Draw(t, "finish")
		days := rapid.Uint64Range(1, 1<<len(in.Days)-1).Draw(t, "days")
		x := m.newBest()
		x.score = goal
		p := newPacking(m.newBuilder(), x, r, goal)
		if goal.Finish = finish; p == nil {
			require.False(t, all.reaches(goal, days))
			return
		}
		best := all.reaches(goal, days)
		switch isSure := p.run(4, finish, days, m.steps+1_000_000); {
		case x.found:
			found++
			require.True(t, best)
			require.LessOrEqual(t, x.score.Consents, goal.Consents)
			require.GreaterOrEqual(t, x.score.FivePoints, goal.FivePoints)
			require.LessOrEqual(t, x.score.Finish, finish)
		case isSure:
			sure++
			require.False(t, best)
		default:
			open++
		}
	})
	t.Log(sure, found, open)
	require.Greater(t, sure, open)
	require.Greater(t, found, open)
}

// reaches looks for a plan as good as a goal in consents, members and finish, on
// some days.
func (b *brute) reaches(goal Score, days uint64) bool {
	b.goal, b.days, b.met = goal, days, false
	b.task(0)
	return b.met
}
