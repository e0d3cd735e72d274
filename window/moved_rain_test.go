package window_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/plan"
)

// nowAt is when a block of a moved plan begins and ends.
func nowAt(m *window.Moved, block int) (from, to time.Time) {
	x := m.Planned.Blocks[block]
	at := func(slot int) time.Time { return m.Result.Grid.At(m.Result.From + slot).In(m.Result.Location) }
	return at(x.From), at(x.To)
}

// heldBack is the plan with a block where it stood before and all others as they are.
func heldBack(t *testing.T, b booked, m *window.Moved, c window.Change) plan.Result {
	in := m.Planned.Input
	in.Tasks, in.Stay = slices.Clone(in.Tasks), false
	for _, x := range m.Planned.Blocks {
		in.Tasks[x.Task].Held, in.Tasks[x.Task].Pinned = plan.Held{From: x.From, People: len(x.People)}, true
	}
	old := b.Blocks[c.Old]
	from := int(b.at(old.From).Sub(m.Result.Grid.At(m.Result.From)) / (10 * time.Minute))
	in.Tasks[m.Planned.Blocks[c.New].Task].Held = plan.Held{From: from, People: len(old.People)}
	r, err := plan.Solve(in)
	require.NoError(t, err)
	return r
}

// A strip wash whose seal the rain drives behind it goes there too: where it stood it would
// be paid twice. It says for whose sake, and costs nothing: with it where it stood the plan
// would ask for no less, be no surer, take no fewer days and end on no earlier one.
func TestMove_WashesBehindTheRain(t *testing.T) {
	t.Parallel()
	behind, held, told := 0, 0, 0
	for people := 1; people <= 2; people++ {
		for _, length := range []int{1, 3, 6} {
			j := washAnyDay(t, calm(10)).j
			j.People = people
			b := planned(t, calm(10), j)
			strip, seal := b.one(t, "strip wash", "port side"), b.one(t, "seal", "port side")
			for hour := b.at(strip.From).Add(-2 * time.Hour); hour.Before(b.at(seal.To)); hour = hour.Add(time.Hour) {
				from := int(hour.Sub(calm(1).Start).Hours())
				m := b.move(t, rainOn(calm(10), from, from+length), calm(1).Start, nil)
				require.True(t, m.Planned.Found)
				holdPlanned(t, m.Planned)
				told += len(m.Planned.Wetted)
				for _, c := range m.Changes {
					if c.Why == window.WhyDrier {
						behind++
						if holdBehind(t, b, m, c, calm(1).Start.Add(time.Duration(from)*time.Hour)) {
							held++
						}
					}
				}
			}
		}
	}
	assert.Greater(t, 2*held, behind)
	t.Log(behind, held, told)
}

// holdBehind holds a wash that was moved behind the rain against what may be said of it, and
// reports whether it could have stood where it did.
func holdBehind(t *testing.T, b booked, m *window.Moved, c window.Change, rain time.Time) bool {
	require.Equal(t, window.Shifted, c.Became)
	assert.Equal(t, "strip wash", b.j.Steps[b.Tasks[b.Blocks[c.Old].Task].Step].Name)
	washed, clean := nowAt(m, c.New)
	sealed, _ := nowAt(m, c.Other)
	assert.False(t, washed.Before(rain), "%v: washed %v", rain, washed)
	assert.True(t, sealed.After(rain), "%v: sealed %v", rain, sealed)
	assert.False(t, clean.After(sealed))
	assert.Less(t, m.Least, m.Moved, "the wash is no part of the fewest")
	assert.True(t, m.Handover.Kept)
	assert.Zero(t, m.AddedH)
	was, is := heldBack(t, b, m, c), m.Planned.Score
	if !was.Found {
		return false // what has moved stands where the wash stood
	}
	assert.LessOrEqual(t, is.Consents, was.Score.Consents)
	assert.GreaterOrEqual(t, is.FivePoints, was.Score.FivePoints)
	assert.LessOrEqual(t, is.Days, was.Score.Days)
	if is.Days == was.Score.Days {
		assert.LessOrEqual(t, b.day(is.Finish-1), b.day(was.Score.Finish-1))
	}
	return true
}
