package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window/verdict"
)

// solve is a plan that is proven best, or none.
func solve(t *rapid.T, in *Input) Result {
	r, err := Solve(*in)
	require.NoError(t, err)
	if r.Found {
		require.Equal(t, Criteria, r.Proven)
		holdRules(t, in, r)
	} else {
		require.True(t, r.Refusal.Certain)
	}
	return r
}

// The order in which zones are listed is of no account.
func TestOrderOfZones(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 3, steps: 2, people: 2, days: 2, slots: 6, members: 4})
		turned := *in
		turned.Tasks, turned.Apart = nil, nil
		at := make([]int, len(in.Tasks)) // where each went
		last := in.Tasks[len(in.Tasks)-1].Zone
		for zone := last; zone >= 0; zone-- {
			for i, x := range in.Tasks {
				if x.Zone == zone {
					at[i] = len(turned.Tasks)
					turned.Tasks = append(turned.Tasks, x)
				}
			}
		}
		for i := range turned.Tasks {
			x := &turned.Tasks[i]
			x.After = append([]After(nil), x.After...)
			for k := range x.After {
				if x.After[k].Task >= 0 {
					x.After[k].Task = at[x.After[k].Task]
				}
			}
		}
		for _, a := range in.Apart {
			a.Wet, a.Dry = at[a.Wet], at[a.Dry]
			turned.Apart = append(turned.Apart, a)
		}
		one, other := solve(t, in), solve(t, &turned)
		require.Equal(t, one.Found, other.Found)
		require.Equal(t, one.Score, other.Score)
	})
}

// A day more, a task fewer at the end of its chain, or a clock less never makes a
// plan worse; a day on which nothing can be done changes nothing.
func TestLessIsNoWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 2, days: 2, slots: 6, members: 4})
		in.Shortest = 0 // less work leaves shorter visits
		was := solve(t, in)
		if !was.Found {
			return
		}
		require.Equal(t, was.Score, solve(t, withDay(in, verdict.NoGo)).Score)
		more := solve(t, withDay(in, verdict.Go))
		require.False(t, was.Score.Less(more.Score), "a day more: %+v, %+v", was.Score, more.Score)
		for i := range in.Tasks {
			for k := range in.Tasks[i].After {
				free := *in
				free.Tasks = append([]Task(nil), in.Tasks...)
				free.Tasks[i].After = append([]After(nil), in.Tasks[i].After...)
				free.Tasks[i].After[k].Most = 0
				free.Tasks[i].After[k].NextDay, free.Tasks[i].After[k].Since = false, nil
				less := solve(t, &free)
				require.True(t, less.Found)
				require.False(t, was.Score.Less(less.Score), "a clock less: %+v, %+v", was.Score, less.Score)
			}
		}
		fewer := *in
		fewer.Tasks, fewer.Apart = in.Tasks[:len(in.Tasks)-1], nil
		less := solve(t, &fewer)
		require.True(t, less.Found)
		require.False(t, was.Score.Less(less.Score), "a task fewer: %+v, %+v", was.Score, less.Score)
	})
}

// withDay is a job with one more day of six slots in a state.
func withDay(in *Input, state verdict.State) *Input {
	out := *in
	out.Days = append([]Day(nil), in.Days...)
	out.Day = append([]int(nil), in.Day...)
	first := len(in.Day)
	for range 6 {
		out.Day = append(out.Day, len(in.Days))
	}
	out.Days = append(out.Days, Day{People: in.Days[0].People, Open: first, Close: len(out.Day)})
	out.Tasks = append([]Task(nil), in.Tasks...)
	set := uint64(0)
	if state.Workable() {
		set = in.Voters[0]
	}
	for i := range out.Tasks {
		x := &out.Tasks[i]
		x.State, x.Limit = append([]verdict.State(nil), x.State...), append([]verdict.Limit(nil), x.Limit...)
		x.Go, x.Marginal = append([]uint64(nil), x.Go...), append([]uint64(nil), x.Marginal...)
		x.After = append([]After(nil), x.After...)
		for k := range x.After {
			if s := x.After[k].Since; s != nil {
				x.After[k].Since = append(append([]int32(nil), s...), slices.Repeat(s[len(s)-1:], 6)...)
			}
		}
		x.Heat, x.Tail = append([]int32(nil), x.Heat...), append([]uint8(nil), x.Tail...)
		for range 6 {
			x.State, x.Limit = append(x.State, state), append(x.Limit, verdict.RainFree)
			x.Go, x.Marginal = append(x.Go, set), append(x.Marginal, set)
			x.Heat = append(x.Heat, 0)
			if len(in.Tasks[i].Tail) > 0 {
				x.Tail = append(x.Tail, 0)
			}
		}
	}
	return &out
}
