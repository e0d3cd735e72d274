package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is gathered once round a task says of each of its options what the book says.
func TestNearby(t *testing.T) {
	late, pushes, barred := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in := jobs(few).Draw(t, "job")
		m := newModel(in)
		if m.propagate() >= 0 {
			t.Skip("no plan")
		}
		b := m.newBuilder()
		for task := range m.Tasks {
			if len(m.options[task]) == 0 || rapid.Bool().Draw(t, "out") {
				continue
			}
			i := rapid.IntRange(0, len(m.options[task])-1).Draw(t, "option")
			if ok, _ := b.book.fits(task, i); ok {
				b.book.place(task, i)
			}
		}
		var n nearby
		for task, at := range b.book.at {
			if at >= 0 {
				continue
			}
			n.gather(b.book, task)
			for i := range m.options[task] {
				o := &m.options[task][i]
				wantOK, wantLate := b.book.ordered(task, o)
				ok, isLate := n.ordered(m, o)
				require.Equal(t, [2]bool{wantOK, wantLate}, [2]bool{ok, isLate}, "task %d, option %d", task, i)
				require.Equal(t, int(b.pushed(task, o)), n.pushed(o), "task %d, option %d", task, i)
				late, pushes, barred = late+one(isLate), pushes+n.pushed(o), barred+one(!ok)
			}
		}
	})
	assert.Positive(t, late)
	assert.Positive(t, pushes)
	assert.Positive(t, barred)
}

// A search that passes over what cannot be cheaper finds what one finds that looks at all.
func TestCheapestOfAll(t *testing.T) {
	for _, way := range []struct{ neat, sure bool }{{}, {neat: true}, {sure: true}} {
		m := newModel(sunnyJob(5, 14, 3, 3, 2))
		require.Negative(t, m.propagate())
		e := m.newRebuilder(m.newBest(), m.newBuilder(), 0)
		e.neat, e.sure = way.neat, way.sure
		e.keepTo(limits{r: m.relax(m.bounds(), many, 0), finish: int32(m.n)})
		e.begin(true)
		passed := 0
		for range 50 {
			e.fill()
			for d, n := range e.taken {
				require.True(t, n < 0 || n == e.b.book.takenUp(d), "day %d is not what it was", d)
			}
			e.tear()
			for d := range e.taken {
				e.changed(d)
			}
			e.b.holds()
			for _, task := range e.out {
				passed += passedOver(t, e, task)
			}
		}
		assert.Positive(t, passed, "%+v", way)
	}
}

// passedOver looks for a task's earliest cheapest option among all, holds the search against
// it, and counts the options with room that the search passes over.
func passedOver(t *testing.T, e *rebuilder, task int) int {
	best, least, passed := -1, int(never), 0
	_, to := e.between(task)
	e.near.gather(e.b.book, task)
	for i := range e.m.options[task] {
		if !e.allowed(task, i) {
			continue
		}
		cost, ok := e.costAt(task, i, to, int(never))
		consent := one(!e.m.clean[task][i]) * e.yes
		if !ok || consent > least || !e.b.book.crew.mayAdd(e.b.book, task, i, nil) {
			continue
		}
		if _, looked := e.costAt(task, i, to, least); !looked {
			require.Greater(t, cost, least, "option %d", i)
			passed++
		}
		if cost < least {
			best, least = i, cost
		}
	}
	e.early = true
	require.Equal(t, best, e.cheapest(task))
	return passed
}
