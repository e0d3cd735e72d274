package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// One machine and three people: they wash in threes and compound one at a time, and the
// next may begin while the haze of the one before is waited for.
func TestMachines(t *testing.T) {
	in := job(3, "............")
	in.add(6, "gggggggggggg").Most = 3
	for range 2 {
		x := in.add(3, "gggggggggggg")
		x.Machine, x.Most, x.After = true, 3, []After{{Task: 0}}
		x.Tail = []uint8{2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2}
	}
	free := solved(t, in)
	assert.Equal(t, 2+3+2, free.Score.Finish, "one at one, two at the other")
	in.Machines = 2
	assert.Equal(t, 2+3+2, solved(t, in).Score.Finish, "one at each")
	in.Machines = 1
	r := solved(t, in)
	assert.Len(t, r.Blocks[0].People, 3)
	assert.Equal(t, 2+3+3+2, r.Score.Finish)
	assert.Equal(t, []int{5, 5}, []int{r.Blocks[1].WorkTo, r.Blocks[2].From}, "the machine changes hands")
	assert.NotEqual(t, r.Blocks[1].People, r.Blocks[2].People, "who waits for the haze does not polish")
	in.Machines = 3
	free.Steps, r = 0, solved(t, in)
	r.Steps = 0
	assert.Equal(t, free, r, "as many machines as people are no limit")
}

// Whatever there is to do, as many machines as people change nothing of what is best.
func TestMachines_ForEverybody(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 3, days: 2, slots: 6, members: 4})
		in.Machines = 0
		free := solve(t, in)
		in.Machines = rapid.IntRange(3, 9).Draw(t, "machines")
		enough := solve(t, in)
		require.Equal(t, free.Found, enough.Found)
		require.Equal(t, free.Score, enough.Score)
	})
}

// Where there are too few machines that is told, and not what else lies in the way.
func TestMachines_Refused(t *testing.T) {
	for name, x := range map[string]struct {
		change func(in *Input)
		task   int
	}{
		"a work for two with one machine": {func(in *Input) { in.Tasks[1].Least = 2 }, 1},
		"too long for one":                {func(in *Input) { in.Tasks[0].Work, in.Tasks[1].Work = 2, 12 }, 1},
		"not done in time by one":         {func(in *Input) { in.Tasks[1].Until = 3 }, 1},
		"each alone, but not both":        {func(in *Input) { in.Tasks[0].Machine = true }, -1},
	} {
		t.Run(name, func(t *testing.T) {
			in := job(2, "........")
			in.Machines = 1
			in.add(5, "gggggggg")
			y := in.add(5, "gggggggg")
			y.Machine, y.Most = true, 2
			solved(t, in)
			x.change(in)
			r := refused(t, in)
			assert.Equal(t, []any{Polishers, x.task, true}, []any{r.Limit, r.Task, r.Certain})
			in.Machines = 2
			solved(t, in)
		})
	}
	in := job(2, "........")
	in.Machines = 1
	in.add(5, "gggwwwww").Machine = true
	assert.Equal(t, "block", refused(t, in).Limit, "a second machine would not help")
	in.Machines = -1
	_, err := Solve(*in)
	require.ErrorIs(t, err, ErrInput)
}

// A machine that is at work on another boat is not to be had here; its person's haze there
// keeps the person alone.
func TestMachines_Elsewhere(t *testing.T) {
	in := job(2, "........")
	in.Machines = 1
	in.add(2, "gggggggg").Machine = true
	in.add(2, "gggggggg")
	in.Taken = []Taken{{Person: 2, From: 0, To: 6, Machine: 3, ToolTo: 4}}
	r := solved(t, in)
	assert.Equal(t, 6, r.Score.Finish)
	assert.Equal(t, []int{1, 0}, []int{r.Blocks[0].Task, r.Blocks[1].From % 4}, "handwork meanwhile")
	in.Taken[0].ToolTo = 7
	_, err := Solve(*in)
	require.ErrorIs(t, err, ErrInput, "longer than its person")
}

// The shortest useful visit of a small job is as long as its machine work takes.
func TestMachines_Visit(t *testing.T) {
	in := job(3, "......", "......")
	in.Shortest, in.Machines = 5, 1
	for range 3 {
		in.add(2, "ggrrrr ggggrr").Machine = true
	}
	assert.Equal(t, "block", refused(t, in).Limit, "two slots today and four tomorrow are no visits")
	in.Machines = 0
	assert.Equal(t, 1, solved(t, in).Score.Days)
}

// Where all the work is at machines and no block takes more than one, a crew with fewer
// machines than people does as well as one of as many people, and no better.
func TestMachines_AreHands(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 3, steps: 2, people: 2, days: 3, slots: 6, members: 4})
		n := rapid.IntRange(1, 2).Draw(t, "n")
		in.MachineSlots, in.Machines, in.Shortest = 0, 0, 0
		for d := range in.Days {
			in.Days[d].People = n
		}
		eachTask(in, func(x *Task) { x.Machine, x.Most, x.Tail = true, 1, nil })
		few := solve(t, in)
		in.Machines = n
		for d := range in.Days {
			in.Days[d].People = n + 1 + d%2
		}
		many := solve(t, in)
		require.Equal(t, few.Found, many.Found)
		require.Equal(t, few.Score, many.Score)
	})
}
