package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Each criterion is worth any amount of all that come after it.
func TestConsentBeforeConfidence(t *testing.T) {
	in := job(1, "......", "......")
	in.add(3, "mmmmmm gggggg")
	for i := 6; i < 12; i++ {
		in.Tasks[0].Go[i] = 0x7 // one future of four does not hold
	}
	r := solved(t, in)
	assert.Equal(t, Score{Consents: 0, FivePoints: 15, Days: 1, Finish: 9}, r.Score)
}

func TestConfidenceBeforeDays(t *testing.T) {
	in := job(1, "......", "......")
	in.add(3, "gggggg gggggg")
	in.add(3, "gggggg gggggg")
	for i := 3; i < 6; i++ {
		in.Tasks[0].Go[i], in.Tasks[1].Go[i] = 0x7, 0x7
	}
	for i := 9; i < 12; i++ {
		in.Tasks[0].Go[i], in.Tasks[1].Go[i] = 0x7, 0x7
	}
	assert.Equal(t, Score{FivePoints: 20, Days: 2, Finish: 9}, solved(t, in).Score)
}

func TestDaysBeforeFinish(t *testing.T) {
	in := job(1, "....", "......")
	in.add(3, "gggg gggggg")
	in.add(3, "gggg gggggg")
	assert.Equal(t, Score{FivePoints: 20, Days: 1, Finish: 10}, solved(t, in).Score)
}

func TestFinishBeforeHeat(t *testing.T) {
	in := job(1, "......")
	in.add(2, "gggggg").Heat = []int32{50, 50, 10, 10, 0, 0}
	assert.Equal(t, Score{FivePoints: 20, Days: 1, Finish: 2, Heat: 100}, solved(t, in).Score)
	in.add(2, "rrrrgg").Heat = make([]int32, 6)
	assert.Equal(t, Score{FivePoints: 20, Days: 1, Finish: 6, Heat: 20}, solved(t, in).Score,
		"the finish is settled by the other, so the first waits for cooler hours")
}

// A go block that holds in fewer than half of the futures counts as needing a yes.
func TestUnsureGoNeedsConsent(t *testing.T) {
	in := job(1, "....")
	in.add(2, "gggg")
	for i := range 4 {
		in.Tasks[0].Go[i] = 0x1
	}
	r := solved(t, in)
	assert.Equal(t, 1, r.Score.Consents)
	assert.True(t, r.Blocks[0].Consent)
	assert.Equal(t, "go", r.Blocks[0].State.String())
	assert.InDelta(t, 0.25, r.Blocks[0].Confidence, 0)
}

// Between the hard and the usual dry-off a block is marginal, with the members of
// a marginal block; after it, go.
func TestDryOff(t *testing.T) {
	in := job(1, "..........")
	in.add(1, "gggggggggg")
	in.add(2, "rrrrggrrrr").After = []After{{Task: 0, Hard: 1, Go: 3, Limit: "dry_off"}}
	r := solved(t, in)
	assert.Equal(t, 0, r.Score.Consents)
	assert.Equal(t, 3, r.Blocks[1].Dried, "washed in the first slot, dry for three")
	in.Tasks[1].State, in.Tasks[1].Limit = job2("rrrggrrrrr")
	r = solved(t, in)
	assert.Equal(t, 1, r.Score.Consents)
	assert.Equal(t, "marginal", r.Blocks[1].State.String())
	in.Tasks[1].State, in.Tasks[1].Limit = job2("rggrrrrrrr")
	assert.Equal(t, "dry_off", refused(t, in).Limit)
}

// A panel left bare overnight is washed again before the next step.
func TestOvernight(t *testing.T) {
	in := job(1, "....", "......")
	in.add(3, "gggg rrrrrr")
	in.add(3, "gggg gggggg").After = []After{{Task: 0, Overnight: 2}}
	r := solved(t, in)
	assert.True(t, r.Blocks[1].Rewash)
	assert.Equal(t, 5, r.Blocks[1].To-r.Blocks[1].From)
}

// A second coat goes on inside its recoat window, or once it may be begun anew.
func TestRecoat(t *testing.T) {
	in := job(1, "............")
	in.add(1, "ggrrrrrrrrrr")
	in.add(1, "rrrrrrrrgggg").After = []After{{Task: 0, Hard: 1, Go: 1, Most: 4, Limit: "recoat"}}
	assert.Equal(t, "recoat", refused(t, in).Limit)
	in.Tasks[1].After[0].Anew = 8
	assert.Equal(t, 10, solved(t, in).Score.Finish, "8 slots after the first, which ended in slot 1")
}

// Whatever else happens, no water runs onto what cures below.
func TestApart(t *testing.T) {
	in := job(2, "..............")
	in.add(2, "rrrggggggggggg") // the wash above
	in.add(2, "gggggggggggggg") // the seal below
	in.Apart = []Apart{{Wet: 0, Dry: 1, Before: 3, Keep: 5}}
	r := solved(t, in)
	assert.Equal(t, 9, r.Score.Finish, "sealed first, the water kept off for five slots")
}

// The bound of a search that stops early is one that the best plan keeps to, and
// what it calls proven is so.
func TestBoundsHold(t *testing.T) {
	stopped := 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 2, days: 3, slots: 6, members: 5})
		in.Budget = rapid.IntRange(1, 60).Draw(t, "budget")
		got, err := Solve(*in)
		require.NoError(t, err)
		want := bruteForce(in)
		if !got.Found {
			require.False(t, want.found && got.Refusal.Certain)
			return
		}
		require.True(t, want.found)
		if got.Proven < Criteria {
			stopped++
		}
		holdBounds(t, got, want.best)
		holdRules(t, in, got)
	})
	require.Positive(t, stopped)
}

// holdBounds holds what a plan claims against the best score of all.
func holdBounds(t require.TestingT, got Result, best Score) {
	a, b, c := got.Score.parts(), got.Bound.parts(), best.parts()
	for i := range Criteria {
		if i < got.Proven {
			require.Equal(t, c[i], a[i], "criterion %d: %+v", i, got)
			require.Equal(t, c[i], b[i], "criterion %d: %+v", i, got)
			continue
		}
		require.LessOrEqual(t, b[i], c[i], "criterion %d: %+v", i, got)
	}
}

// A bound falls with the plan that it was worked out for. In each of these jobs the
// search may stop at a plan on two days that a last move made of one on three: no
// plan on three ends as early.
func TestBoundOfAnotherPlan(t *testing.T) {
	apart := func(in *Input) {
		in.Gap = 0
		for k := range in.Tasks {
			x := &in.Tasks[k]
			x.Step, x.Zone, x.Alone, x.Heat = k%2, k/2, true, make([]int32, len(in.Day))
		}
	}
	for _, x := range []struct {
		name string
		make func() *Input
		best Score
	}{
		{"the night after the larger zone", func() *Input {
			in := job(1, "....", "....", "....")
			in.add(1, "gggg gggg gggg")
			in.add(1, "gggg gggg gggg").After = []After{{Task: 0, Go: 1}}
			in.add(2, "gggg gggg gggg")
			in.add(3, "gggg gggg gggg").After = []After{{Task: 2, NextDay: true}}
			apart(in)
			in.Tasks[0].Heat[9], in.Tasks[3].Go[9] = 1, 0
			return in
		}, Score{FivePoints: 20, Days: 2, Finish: 7}},
		{"the night after the smaller zone", func() *Input {
			in := job(1, "....", "....", "......")
			in.add(1, "gggg gggg gggggg").Tail = append([]uint8{1}, make([]uint8, 13)...)
			in.add(3, "gggg gggg ggrggg").After = []After{{Task: 0, NextDay: true}}
			in.add(1, "gggg gggg gggggg")
			in.add(1, "gggg gggg gggggg").After = []After{{Task: 2}}
			apart(in)
			in.Tasks[0].Go[1], in.Tasks[1].Tail = 0, append(make([]uint8, 13), 1)
			in.Tasks[2].Go[0], in.Tasks[2].Heat[12] = 0x7, 1
			return in
		}, Score{FivePoints: 20, Days: 2, Finish: 7}},
	} {
		t.Run(x.name, func(t *testing.T) {
			in := x.make()
			require.Equal(t, x.best, bruteForce(in).best)
			for in.Budget = 1; in.Budget <= 100; in.Budget++ {
				got, err := Solve(*in)
				require.NoError(t, err)
				if !got.Found {
					require.False(t, got.Refusal.Certain)
					continue
				}
				holdBounds(t, got, x.best)
				holdRules(t, in, got)
			}
			in.Budget = 0
			assert.Equal(t, x.best, solved(t, in).Score)
		})
	}
}

// More people or more machine time never make a plan worse, and the same input
// gives the same plan.
func TestMoreIsNoWorse(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 2, days: 2, slots: 7, members: 4})
		in.Shortest = 0 // a bigger crew leaves shorter visits
		less, err := Solve(*in)
		require.NoError(t, err)
		again, err := Solve(*in)
		require.NoError(t, err)
		require.Equal(t, less, again)
		if !less.Found {
			return
		}
		in.Days = append([]Day(nil), in.Days...)
		for d := range in.Days {
			in.Days[d].People++
		}
		if in.MachineSlots > 0 {
			in.MachineSlots++
		}
		more, err := Solve(*in)
		require.NoError(t, err)
		require.True(t, more.Found)
		require.False(t, less.Score.Less(more.Score), "%+v, %+v", less.Score, more.Score)
	})
}
