package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// packed looks for a plan without consents on all days by packing alone.
func packed(t require.TestingT, in *Input) (found, sure bool) {
	m := newModel(in)
	require.Negative(t, m.propagate())
	m.Budget = DefaultBudget
	x := m.newBest()
	p := newPacking(m.newBuilder(), x, m.relax(m.bounds(), 0, 0), Score{})
	require.NotNil(t, p)
	sure = p.run(1, m.n, 1<<len(in.Days)-1, m.steps+1_000_000)
	return x.found, sure
}

// Who begins later may be done sooner, for the haze is shorter then; but the one machine
// is wanted then by another. What looks like the better start is not.
func TestPacking_MachineFreeSooner(t *testing.T) {
	in := job(2, "......")
	in.Machines = 1
	first := in.add(1, "gggggr")
	first.Machine, first.Tail = true, []uint8{4, 1, 4, 4, 4, 4}
	in.add(1, "rgrrrr").Machine = true
	found, _ := packed(t, in)
	assert.True(t, found)
	assert.Equal(t, 5, solved(t, in).Score.Finish)
}

// One machine for handwork and machine work of two people: whatever is packed is held
// against every plan there is.
func TestPacking_OneMachine(t *testing.T) {
	found, none := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 5).Draw(t, "slots")
		in := job(2, "......"[:n])
		in.Machines = 1
		for range rapid.IntRange(3, 5).Draw(t, "tasks") {
			states := []byte("gggggg")[:n]
			if k := rapid.IntRange(0, 3*n).Draw(t, "rain"); k < n {
				states[k] = 'r'
			}
			x := in.add(rapid.IntRange(1, 2).Draw(t, "work"), string(states))
			x.Machine = rapid.Bool().Draw(t, "machine")
		}
		m := newModel(in)
		if m.propagate() >= 0 {
			return
		}
		all := bruteForce(in)
		got, sure := packed(t, in)
		require.Equal(t, all.found, got)
		require.Equal(t, !all.found, sure)
		if got {
			found++
		} else {
			none++
		}
	})
	require.Positive(t, found)
	require.Positive(t, none)
}

// What is left to do is not the same where as many people are at work, but at other
// machines: the only plan of this job is not given up for one that led nowhere.
func TestPacking_OthersAtTheMachines(t *testing.T) {
	in := job(3, "....")
	in.Machines = 2
	for _, x := range []struct {
		work    int
		states  string
		machine bool
	}{
		{2, "gggg", false}, {1, "rrgg", true}, {3, "gggr", false}, {2, "gggg", true}, {1, "gggg", true}, {2, "grgg", true}, {1, "gggg", true},
	} {
		in.add(x.work, x.states).Machine = x.machine
	}
	found, _ := packed(t, in)
	assert.True(t, found)
	solved(t, in)
}
