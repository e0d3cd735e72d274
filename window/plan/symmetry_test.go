package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// few is a size of job of which a test may solve some hundreds.
var few = size{zones: 2, steps: 2, people: 2, days: 3, slots: 6, members: 5}

// plans solves a job to the end.
func plans(t testing.TB, in *Input) Result {
	t.Helper()
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

// cloned is a job whose tasks may be changed.
func cloned(in *Input) *Input {
	out := *in
	out.Tasks, out.Apart, out.Days, out.Day = slices.Clone(in.Tasks), slices.Clone(in.Apart), slices.Clone(in.Days), slices.Clone(in.Day)
	for i := range out.Tasks {
		x := &out.Tasks[i]
		x.After, x.State, x.Limit = slices.Clone(x.After), slices.Clone(x.State), slices.Clone(x.Limit)
		x.Go, x.Marginal = slices.Clone(x.Go), slices.Clone(x.Marginal)
		x.Heat, x.Tail = slices.Clone(x.Heat), slices.Clone(x.Tail)
	}
	return &out
}

// Which future has which number is of no account, nor whether each is told once or
// thirty times over: more of the same futures make nothing surer.
func TestNumbersOfFutures(t *testing.T) {
	t.Parallel()
	const times = 30
	all := jobs(few)
	found := 0
	for number := range 120 {
		in := all.Example(number)
		voters := count(in.Voters)
		words := (voters*times + 63) / 64
		spread := func(set uint64) []uint64 {
			out := make([]uint64, words)
			for k := range times {
				for v := range voters {
					if set&(1<<v) != 0 {
						bit := (voters-1-v)*times + k // the last one first
						out[bit/64] |= 1 << (bit % 64)
					}
				}
			}
			return out
		}
		many := cloned(in)
		many.Voters = spread(in.Voters[0])
		for i := range many.Tasks {
			x := &many.Tasks[i]
			x.Go, x.Marginal = nil, nil
			for s := range in.Day {
				x.Go = append(x.Go, spread(in.Tasks[i].Go[s])...)
				x.Marginal = append(x.Marginal, spread(in.Tasks[i].Marginal[s])...)
			}
		}
		was, is := plans(t, in), plans(t, many)
		require.Equal(t, was.Found, is.Found)
		require.Equal(t, was.Score, is.Score, "job %d", number)
		if is.Found {
			found++
			holdFigures(t, many, is)
			require.InDelta(t, was.Confidence, is.Confidence, 1e-12)
		}
	}
	assert.Greater(t, found, 20)
}

// A future that has no vote, such as one that only says how bad it might get, changes
// neither the plan nor how sure it is.
func TestFuturesWithoutAVote(t *testing.T) {
	t.Parallel()
	all := jobs(few)
	for number := range 80 {
		in := all.Example(number)
		more := cloned(in)
		for i := range more.Tasks {
			for s := range more.Day {
				bits := uint64(number+i+s) << 40
				more.Tasks[i].Go[s] |= bits
				more.Tasks[i].Marginal[s] |= bits
			}
		}
		was, is := plans(t, in), plans(t, more)
		require.Equal(t, was.Found, is.Found)
		require.Equal(t, was.Score, is.Score, "job %d", number)
		require.InDelta(t, was.Confidence, is.Confidence, 0)
	}
}

// mirrored is a job on days that run backwards: what followed now leads, what was kept
// dry before is kept dry after. Only what knows no direction may be in it.
func mirrored(in *Input) *Input {
	n, last := len(in.Day), len(in.Tasks)-1
	out := cloned(in)
	out.SetUp, out.PackUp = in.PackUp, in.SetUp
	for i := range n {
		out.Day[i] = len(in.Days) - 1 - in.Day[n-1-i]
	}
	for d, x := range in.Days {
		out.Days[len(in.Days)-1-d] = Day{People: x.People, Open: n - x.Close, Close: n - x.Open}
	}
	for i := range in.Tasks {
		x := &out.Tasks[last-i]
		*x = in.Tasks[i]
		x.After = nil
		x.State, x.Limit, x.Heat = slices.Clone(x.State), slices.Clone(x.Limit), slices.Clone(x.Heat)
		x.Go, x.Marginal = slices.Clone(x.Go), slices.Clone(x.Marginal)
		slices.Reverse(x.State)
		slices.Reverse(x.Limit)
		slices.Reverse(x.Heat)
		slices.Reverse(x.Go)
		slices.Reverse(x.Marginal)
	}
	for i := range in.Tasks {
		for _, a := range in.Tasks[i].After {
			first := last - i
			a.Task, first = first, last-a.Task
			out.Tasks[first].After = append(out.Tasks[first].After, a)
		}
	}
	for k, a := range in.Apart {
		out.Apart[k] = Apart{Wet: last - a.Wet, Dry: last - a.Dry, Before: a.Keep, Keep: a.Before}
	}
	return out
}

// Rules without a direction allow as much forwards as backwards: as many consents, as
// sure, on as many days, as a week of the same days the other way round.
func TestTheWeekBackwards(t *testing.T) {
	t.Parallel()
	all := jobs(size{zones: 2, steps: 3, people: 2, days: 3, slots: 6, members: 4})
	found, none := 0, 0
	for number := range 250 {
		in := cloned(all.Example(number))
		in.Shortest = 0 // what dries counts into a visit from its end alone
		for i := range in.Tasks {
			x := &in.Tasks[i]
			x.Tail, x.Until, x.UntilGo = nil, 0, 0
			x.After = slices.DeleteFunc(x.After, func(a After) bool { return a.Task < 0 })
			for k := range x.After {
				a := &x.After[k]
				a.Overnight, a.Go, a.Since = 0, a.Hard, nil // it is the later one that is marginal, washed again or salty
			}
		}
		was, is := plans(t, in), plans(t, mirrored(in))
		require.Equal(t, was.Found, is.Found, "job %d", number)
		if !was.Found {
			none++
			continue
		}
		found++
		require.Equal(t, was.Score.Consents, is.Score.Consents, "job %d", number)
		require.Equal(t, was.Score.FivePoints, is.Score.FivePoints, "job %d", number)
		require.Equal(t, was.Score.Days, is.Score.Days, "job %d", number)
	}
	assert.Greater(t, found, 40)
	assert.Greater(t, none, 20)
}

// finer is a job in slots of half the length.
func finer(in *Input) *Input {
	out := cloned(in)
	out.Day = twice(in.Day)
	for d := range out.Days {
		out.Days[d].Open, out.Days[d].Close = 2*in.Days[d].Open, 2*in.Days[d].Close
	}
	out.Shortest, out.Gap, out.SetUp, out.PackUp, out.MachineSlots = 2*in.Shortest, 2*in.Gap, 2*in.SetUp, 2*in.PackUp, 2*in.MachineSlots
	for i := range out.Tasks {
		x := &out.Tasks[i]
		x.Work, x.Until, x.UntilGo = 2*x.Work, 2*x.Until, 2*x.UntilGo
		x.State, x.Limit, x.Heat = twice(x.State), twice(x.Limit), twice(x.Heat)
		x.Go, x.Marginal = twice(x.Go), twice(x.Marginal)
		if x.Tail != nil {
			x.Tail = twice(x.Tail)
			for s := range x.Tail {
				x.Tail[s] *= 2
			}
		}
		for k := range x.After {
			a := &x.After[k]
			a.Hard, a.Go, a.Most, a.Anew, a.End, a.Overnight = 2*a.Hard, 2*a.Go, 2*a.Most, 2*a.Anew, 2*a.End, 2*a.Overnight
			a.Since = twice(a.Since)
			for s := range a.Since {
				a.Since[s] *= 2
			}
		}
	}
	for k := range out.Apart {
		out.Apart[k].Before, out.Apart[k].Keep = 2*out.Apart[k].Before, 2*out.Apart[k].Keep
	}
	return out
}

func twice[T any](list []T) []T {
	var out []T
	for _, x := range list {
		out = append(out, x, x)
	}
	return out
}

// Whoever looks at the clock twice as often misses no plan: of one person, what goes in
// whole slots goes in halves, at the same times.
func TestFinerSlots(t *testing.T) {
	t.Parallel()
	all := jobs(size{zones: 2, steps: 2, people: 1, days: 2, slots: 6, members: 4})
	found, better := 0, 0
	for number := range 250 {
		in := all.Example(number)
		was := plans(t, in)
		if !was.Found {
			continue
		}
		found++
		half := finer(in)
		r, err := Solve(*half)
		require.NoError(t, err)
		require.True(t, r.Found, "job %d", number)
		holdRules(t, half, r)
		want := was.Score
		want.Finish, want.Heat = 2*want.Finish, 2*want.Heat
		require.False(t, want.Less(r.Score), "job %d: %+v, in halves %+v", number, want, r.Score)
		better += one(r.Score.Less(want))
	}
	assert.Greater(t, found, 50)
	assert.Positive(t, better, "some go better in halves")
}

// put is since when what lies before may end, so many slots later.
func put(since []int32, slots int) []int32 {
	if since == nil {
		return nil
	}
	out := make([]int32, slots)
	for _, s := range since {
		out = append(out, s+int32(slots))
	}
	return out
}

// A day off before the first day puts everything off by that day and changes nothing
// else; a clock that had run out by then has run out.
func TestADayOffFirst(t *testing.T) {
	t.Parallel()
	const slots = 5
	all := jobs(few)
	found := 0
	for number := range 150 {
		in := cloned(all.Example(number))
		for i := range in.Tasks {
			in.Tasks[i].After = slices.DeleteFunc(in.Tasks[i].After, func(a After) bool { return a.Task < 0 })
		}
		later := cloned(in)
		later.Days = append([]Day{{Close: slots}}, later.Days...)
		later.Day = append(make([]int, slots), later.Day...)
		for s := slots; s < len(later.Day); s++ {
			later.Day[s]++
		}
		for d := 1; d < len(later.Days); d++ {
			later.Days[d].Open, later.Days[d].Close = later.Days[d].Open+slots, later.Days[d].Close+slots
		}
		for i := range later.Tasks {
			x := &later.Tasks[i]
			x.State, x.Limit = append(make([]verdict.State, slots), x.State...), append(make([]verdict.Limit, slots), x.Limit...)
			x.Go, x.Marginal = append(make([]uint64, slots), x.Go...), append(make([]uint64, slots), x.Marginal...)
			x.Heat = append(make([]int32, slots), x.Heat...)
			if x.Tail != nil {
				x.Tail = append(make([]uint8, slots), x.Tail...)
			}
			for k := range x.After {
				x.After[k].Since = put(x.After[k].Since, slots)
			}
			if x.Until > 0 {
				x.Until += slots
			}
			if x.UntilGo > 0 {
				x.UntilGo += slots
			}
		}
		was, is := plans(t, in), plans(t, later)
		require.Equal(t, was.Found, is.Found, "job %d", number)
		if !was.Found {
			continue
		}
		found++
		want := was.Score
		want.Finish += slots
		require.Equal(t, want, is.Score, "job %d", number)
	}
	assert.Greater(t, found, 40)
}
