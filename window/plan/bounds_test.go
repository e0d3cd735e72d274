package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Each bound by itself is one that the best plan of all keeps to.
func TestEachBound(t *testing.T) {
	sharp := [5]int{}
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 2, days: 3, slots: 6, members: 5})
		want := bruteForce(in)
		if !want.found {
			return
		}
		m := newModel(in)
		require.Negative(t, m.propagate(), "a plan was found")
		c := m.bounds()
		require.LessOrEqual(t, c.total, want.best.Consents)
		require.LessOrEqual(t, m.crowded(c), want.best.Consents)
		most, _ := m.mostMembers(m.relax(c, want.best.Consents, 0))
		require.GreaterOrEqual(t, fivePoints(most, m.voters), want.best.FivePoints)
		db := m.newDayBound(c, m.relax(c, want.best.Consents, needed(want.best.FivePoints, m.voters)))
		require.LessOrEqual(t, db.fewest(want.best.Days), want.best.Days)
		sets := db.earliest(want.best.Days)
		require.NotEmpty(t, sets)
		require.LessOrEqual(t, int(sets[0].finish), want.best.Finish)
		for i, met := range []bool{
			c.total == want.best.Consents, fivePoints(most, m.voters) == want.best.FivePoints,
			db.fewest(want.best.Days) == want.best.Days, int(sets[0].finish) == want.best.Finish,
		} {
			if met {
				sharp[i]++
			}
		}
	})
	for i := range 4 {
		require.Positive(t, sharp[i], "the bound of %s is met at times", CriterionName(i))
	}
}

// Bins (Martello and Toth): a block of 16 slots leaves nothing in a day of 24 that
// a second one could use, so four of them take four persons' days, though they
// are less than three days of work.
func TestBins(t *testing.T) {
	in := job(1, "..............................", "..............................", "..............................",
		"..............................")
	in.MachineSlots = 24
	for range 4 {
		in.add(16, "gggggggggggggggggggggggggggggg gggggggggggggggggggggggggggggg "+
			"gggggggggggggggggggggggggggggg gggggggggggggggggggggggggggggg").Machine = true
	}
	m := newModel(in)
	require.Negative(t, m.propagate())
	c := m.bounds()
	assert.Equal(t, 4, m.newDayBound(c, m.relax(c, 0, 0)).fewest(4))
	assert.Equal(t, 4, solved(t, in).Score.Days)
}

// Sets of members: none within another, the largest first, and nothing lost that
// no other holds.
func TestAntichain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := antichain{most: 64}
		var all [][]uint64
		for range rapid.IntRange(1, 12).Draw(t, "sets") {
			s := []uint64{rapid.Uint64Range(0, 63).Draw(t, "set"), rapid.Uint64Range(0, 1).Draw(t, "high")}
			all = append(all, s)
			c.add(s)
		}
		for i, a := range c.sets {
			require.Contains(t, all, a)
			for k, b := range c.sets {
				require.True(t, i == k || !within(a, b))
			}
			require.True(t, i == 0 || count(a) <= count(c.sets[i-1]))
		}
		for _, s := range all {
			held := false
			for _, a := range c.sets {
				held = held || within(s, a)
			}
			require.True(t, held)
		}
	})
}

// A full antichain keeps the largest sets and says that it let some go.
func TestAntichainFull(t *testing.T) {
	c := antichain{most: 2}
	for _, s := range []uint64{0b001, 0b110, 0b11000, 0b11100000} {
		c.add([]uint64{s})
	}
	assert.True(t, c.full)
	assert.Equal(t, []uint64{0b11100000}, c.sets[0])
	assert.Len(t, c.sets, 2)
}

func TestFivePoints(t *testing.T) {
	for _, x := range []struct{ hit, of, points int }{{51, 51, 20}, {50, 51, 19}, {41, 51, 16}, {1, 51, 0}, {0, 51, 0}, {1, 1, 20}, {2, 3, 13}} {
		assert.Equal(t, x.points, fivePoints(x.hit, x.of), "%d of %d", x.hit, x.of)
		assert.LessOrEqual(t, needed(x.points, x.of), x.hit)
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 130).Draw(t, "members")
		p := rapid.IntRange(0, 20).Draw(t, "points")
		k := needed(p, n)
		require.GreaterOrEqual(t, fivePoints(k, n), p)
		require.True(t, k == 0 || fivePoints(k-1, n) < p, "and no fewer")
	})
}

// The walk through the sets of days finds those that hold the job, each looked at by
// itself, with the ends of their chains.
func TestSized(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 3, steps: 3, people: 2, days: 5, slots: 6, members: 3})
		m := newModel(in)
		if m.propagate() >= 0 {
			return
		}
		c := m.bounds()
		b := m.newDayBound(c, m.relax(c, many, 0))
		for size := 1; size <= len(b.days); size++ {
			var sets []uint64
			var ends []int32
			steps := m.steps
			for set := uint64(1)<<size - 1; set < 1<<len(b.days); set = nextSet(set) {
				if steps++; !b.holds(set) {
					continue
				}
				end := b.lastVisit(set)
				for _, p := range c.paths {
					end = max(end, b.chainEnd(p, set, 0, 0))
				}
				sets, ends = append(sets, set), append(ends, end)
			}
			found := b.sized(size)
			require.Len(t, found, len(sets))
			for i, x := range found {
				require.Equal(t, sets[i], x.set)
				require.Equal(t, ends[i], x.finish)
			}
			require.Equal(t, steps, m.steps)
		}
	})
}

// The order of a rule never puts a task before what it must follow.
func TestOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 3, steps: 3, people: 2, days: 2, slots: 6, members: 3})
		m := newModel(in)
		for _, order := range m.orders(4) {
			place := make([]int, len(order))
			for k, x := range order {
				place[x] = k
			}
			require.Len(t, order, len(in.Tasks))
			for x := range in.Tasks {
				for _, a := range m.preds[x] {
					require.Less(t, place[a.other], place[x])
				}
			}
		}
	})
}

// What can be done in the last slot of the horizon alone still can once the slot
// before it has come.
func TestLastSlot(t *testing.T) {
	in := job(1, "....")
	in.add(2, "ggrr")
	in.add(1, "rrrg").After = []After{{Task: 0}}
	assert.Equal(t, 4, solved(t, in).Score.Finish)
}

// nextSet is the next larger number with as many bits (Gosper's hack).
func nextSet(x uint64) uint64 {
	c := x & -x
	r := x + c
	return (r^x)>>2/c | r
}
