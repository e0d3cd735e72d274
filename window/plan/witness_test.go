package plan

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// turnedRound is a job with its zones listed the other way round, and where each task
// went.
func turnedRound(in *Input) (*Input, []int) {
	out := cloned(in)
	out.Tasks = nil
	at := make([]int, len(in.Tasks))
	last := 0
	for _, x := range in.Tasks {
		last = max(last, x.Zone)
	}
	for zone := last; zone >= 0; zone-- {
		for i, x := range in.Tasks {
			if x.Zone == zone {
				at[i] = len(out.Tasks)
				x.After = slices.Clone(x.After)
				out.Tasks = append(out.Tasks, x)
			}
		}
	}
	eachAfter(out, func(a *After) {
		if a.Task >= 0 {
			a.Task = at[a.Task]
		}
	})
	for k, a := range out.Apart {
		out.Apart[k].Wet, out.Apart[k].Dry = at[a.Wet], at[a.Dry]
	}
	return out, at
}

// agree holds what one search says of a job against what another found for it: a plan
// that is called best in some criteria is not beaten in them, and a bound is not.
func agree(t require.TestingT, says, found Result, what string) {
	if !found.Found {
		return
	}
	if !says.Found {
		require.False(t, says.Refusal != nil && says.Refusal.Certain, "%s: there is none, it says", what)
		return
	}
	a, b, c := says.Score.parts(), says.Bound.parts(), found.Score.parts()
	for i := range Criteria {
		if i == says.Proven {
			require.LessOrEqual(t, b[i], c[i], "%s: the bound of %s\n%+v\n%+v", what, CriterionName(i), says, found.Score)
			return
		}
		require.LessOrEqual(t, a[i], c[i], "%s: best in %s, it says\n%+v\n%+v", what, CriterionName(i), says, found.Score)
		if a[i] < c[i] {
			return
		}
	}
}

// Searches of one job are witnesses of each other, however it is told: with more and
// with fewer steps, its zones in another order, each of its futures three times. What
// one finds none of the others may call impossible. No brute force could go through
// jobs as large as these.
func TestSearchesAgree(t *testing.T) {
	t.Parallel()
	pairs, proven := 0, 0
	for number := range uint64(14) {
		in := drawn(500 + number)
		in.Machines = int(number % 2) // every second one with one machine
		var all []Result
		for _, budget := range []int{3_000, 30_000, 150_000} {
			tight := cloned(in)
			tight.Budget = budget
			turned, _ := turnedRound(tight)
			for _, job := range []*Input{tight, turned, thrice(tight)} {
				r, err := Solve(*job)
				require.NoError(t, err)
				if r.Found {
					holdRules(t, job, r)
					holdFigures(t, job, r)
				}
				all = append(all, r)
			}
		}
		for i, says := range all {
			proven += says.Proven
			for k, found := range all {
				agree(t, says, found, fmt.Sprintf("job %d, search %d and %d", number, i, k))
				pairs++
			}
		}
	}
	assert.Greater(t, proven, pairs/9, "they do claim something")
}

// thrice is a job with each of its futures three times.
func thrice(in *Input) *Input {
	n := count(in.Voters)
	triple := func(set uint64) uint64 { return set | set<<n | set<<(2*n) }
	out := cloned(in)
	out.Voters = []uint64{triple(in.Voters[0])}
	eachTask(out, func(x *Task) {
		for s := range x.Go {
			x.Go[s], x.Marginal[s] = triple(x.Go[s]), triple(x.Marginal[s])
		}
	})
	return out
}

// A job that is made of two that have nothing to do with each other, each with its own
// people: what is proven of both together is not worse than the two apart, nor better.
func TestTwoBoatsApart(t *testing.T) {
	all := jobs(size{zones: 1, steps: 2, people: 1, days: 2, slots: 6, members: 3})
	both := 0
	for number := range 300 {
		in := cloned(all.Example(number))
		in.Shortest, in.MachineSlots, in.Machines, in.Apart = 0, 0, 0, nil
		for d := range in.Days {
			in.Days[d].People = 1
		}
		two := cloned(in)
		for d := range two.Days {
			two.Days[d].People = 2
		}
		n := len(in.Tasks)
		for _, x := range in.Tasks {
			x.Zone += 1
			x.After = slices.Clone(x.After)
			for k := range x.After {
				if x.After[k].Task >= 0 {
					x.After[k].Task += n
				}
			}
			two.Tasks = append(two.Tasks, x)
		}
		eachTask(in, func(x *Task) { x.Most = 1 })
		eachTask(two, func(x *Task) { x.Most = 1 })
		a, b := plans(t, in), plans(t, two)
		require.Equal(t, a.Found, b.Found, "job %d", number)
		if !a.Found {
			continue
		}
		both++
		want := a.Score
		want.Consents, want.Heat = 2*want.Consents, 2*want.Heat
		require.Equal(t, want, b.Score, "job %d: each boat as it would be by itself", number)
	}
	assert.Greater(t, both, 50)
}

// With every task pinned to where the best plan has it, the best plan comes back, with
// its figures; pinned to a worse one, such as comes of fewer steps, the worse.
func TestPinnedToAnotherPlan(t *testing.T) {
	t.Parallel()
	all := jobs(size{zones: 2, steps: 3, people: 2, days: 3, slots: 7, members: 4})
	worse := 0
	for number := range 150 {
		in := cloned(all.Example(number))
		eachAfter(in, func(a *After) { a.Overnight = 0 })
		best := plans(t, in)
		if !best.Found {
			continue
		}
		given := []Result{best}
		for _, in.Budget = range []int{4, 10, 25, 60} {
			quick, err := Solve(*in)
			require.NoError(t, err)
			if quick.Found && best.Score.Less(quick.Score) {
				given = append(given, quick)
			}
		}
		worse += len(given) - 1
		in.Budget = 0
		for _, r := range given {
			for _, x := range r.Blocks {
				in.Tasks[x.Task].Held, in.Tasks[x.Task].Pinned = Held{From: x.From, People: len(x.People)}, true
			}
			require.Equal(t, r.Score, plans(t, in).Score, "job %d", number)
		}
	}
	assert.Positive(t, worse, "some first plans are not the best")
}

// The same of plans that are to move little: an afternoon of rain is put into a plan,
// and each search for the fewest moves is a witness of the others. What stays is where
// it was, and no search calls more moves needed than another one makes.
func TestSearchesAgreeOnMoves(t *testing.T) {
	moves, proven := 0, 0
	for number := range uint64(10) {
		in := drawn(700 + number)
		in.Budget = 60_000
		was, err := Solve(*in)
		require.NoError(t, err)
		if !was.Found {
			continue
		}
		wet := cloned(in)
		eachTask(wet, func(x *Task) {
			for s := range x.State {
				if in.Day[s] == int(number)%len(in.Days) && s%30 > 14 {
					x.State[s], x.Go[s], x.Marginal[s] = verdict.NoGo, 0, 0
				}
			}
		})
		for _, x := range was.Blocks {
			wet.Tasks[x.Task].Held = Held{From: x.From, People: len(x.People)}
		}
		wet.Stay = true
		var all []Result
		for _, budget := range []int{500, 8_000, 120_000} {
			tight := cloned(wet)
			tight.Budget = budget
			turned, _ := turnedRound(tight)
			for _, job := range []*Input{tight, turned} {
				r, err := Solve(*job)
				require.NoError(t, err)
				if all = append(all, r); !r.Found {
					continue
				}
				proven += one(r.Proven > 0)
				moves += r.Score.Consents
				require.Equal(t, r.Score.Consents, moved(job, r), "job %d: as many as it says", number)
				sound(t, job, r)
			}
		}
		for i, says := range all {
			for k, found := range all {
				what := fmt.Sprintf("job %d, search %d and %d", number, i, k)
				switch {
				case !found.Found:
				case !says.Found:
					require.False(t, says.Refusal.Certain, what)
				default:
					require.LessOrEqual(t, says.Bound.Consents, found.Score.Consents, what)
					require.True(t, says.Proven == 0 || says.Score.Consents <= found.Score.Consents, what)
				}
			}
		}
	}
	assert.Positive(t, moves)
	assert.Positive(t, proven)
}

// sound holds a plan against every hard rule, whatever it says of itself.
func sound(t require.TestingT, in *Input, r Result) {
	b := &brute{in: in, from: make([]int, len(in.Tasks)), with: make([]int, len(in.Tasks))}
	require.Len(t, r.Blocks, len(in.Tasks))
	for _, x := range r.Blocks {
		b.from[x.Task], b.with[x.Task] = x.From, len(x.People)
	}
	for i := range in.Tasks {
		require.True(t, b.sound(i), "task %d where the plan has it", i)
	}
	require.True(t, b.visits() && b.machines())
}

// moved counts the blocks that do not stand where they were held.
func moved(in *Input, r Result) int {
	n := 0
	for _, x := range r.Blocks {
		h, work := in.Tasks[x.Task].Held, in.Tasks[x.Task].Work
		if x.Rewash {
			for _, a := range in.Tasks[x.Task].After {
				work += a.Overnight
			}
		}
		n += one(h.People > 0 && (x.From != h.From || x.WorkTo-x.From != (work+h.People-1)/h.People))
	}
	return n
}
