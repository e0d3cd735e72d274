package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// job is an input of some days, one word each: a letter a slot, ignored, so that
// the tasks' words may be held against them.
func job(people int, days ...string) *Input {
	in := &Input{Voters: []uint64{0xf}, Gap: 3}
	for d, text := range days {
		first := len(in.Day)
		for range text {
			in.Day = append(in.Day, d)
		}
		in.Days = append(in.Days, Day{People: people, Open: first, Close: len(in.Day)})
	}
	return in
}

// add puts in a task: its work, and its states a letter each, the days apart by
// spaces: g go, m marginal, r no-go by rain, w no-go by wind, u unknown.
func (in *Input) add(work int, states string) *Task {
	t := Task{Work: work, Least: 1, Most: 1, Zone: len(in.Tasks)}
	for _, c := range strings.ReplaceAll(states, " ", "") {
		state, limit := verdict.Go, verdict.None
		goes, marginal := in.Voters[0], in.Voters[0]
		switch c {
		case 'm':
			state, limit, goes = verdict.Marginal, verdict.DewFree, 0
		case 'r':
			state, limit = verdict.NoGo, verdict.RainFree
		case 'w':
			state, limit = verdict.NoGo, verdict.WindMax
		case 'u':
			state, limit = verdict.Unknown, verdict.Data
		}
		if !state.Workable() {
			goes, marginal = 0, 0
		}
		t.State, t.Limit = append(t.State, state), append(t.Limit, limit)
		t.Go, t.Marginal = append(t.Go, goes), append(t.Marginal, marginal)
	}
	in.Tasks = append(in.Tasks, t)
	return &in.Tasks[len(in.Tasks)-1]
}

// solved is the whole plan, proven, and in step with every rule.
func solved(t testing.TB, in *Input) Result {
	t.Helper()
	r, err := Solve(*in)
	require.NoError(t, err)
	require.True(t, r.Found, "%+v", r.Refusal)
	require.Equal(t, Criteria, r.Proven)
	holdRules(t, in, r)
	return r
}

// refused is why there is no plan.
func refused(t testing.TB, in *Input) *Refusal {
	t.Helper()
	r, err := Solve(*in)
	require.NoError(t, err)
	require.False(t, r.Found)
	require.NotNil(t, r.Refusal)
	return r.Refusal
}
