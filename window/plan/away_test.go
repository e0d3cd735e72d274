package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawTaken draws where the people of a job are besides.
func drawTaken(t *rapid.T, in *Input, people int) {
	n := len(in.Day)
	for range rapid.IntRange(1, 3).Draw(t, "taken") {
		x := Taken{Person: rapid.IntRange(1, people+1).Draw(t, "person"), From: rapid.IntRange(0, n-1).Draw(t, "from")}
		x.To = min(n, x.From+rapid.IntRange(0, 4).Draw(t, "for"))
		if x.Day = in.Day[x.From]; rapid.Bool().Draw(t, "at a machine") {
			x.Machine = rapid.IntRange(0, 6).Draw(t, "machine")
			x.ToolTo = rapid.IntRange(x.From, x.To).Draw(t, "keeps one until")
		}
		in.Taken = append(in.Taken, x)
	}
}

// nobodyTwice holds the persons of a plan against where they are elsewhere, and what they
// work at machines there and here against what one person may in a day.
func nobodyTwice(t require.TestingT, in *Input, r Result) {
	load := map[[2]int]int{}
	here := map[[2]int]bool{}
	for _, b := range r.Blocks {
		for _, p := range b.People {
			for _, x := range in.Taken {
				require.False(t, x.Person == p && x.From < x.To && b.From < x.To && x.From < b.To, "person %d is in two places: %+v and %+v", p, b, x)
			}
			if in.Tasks[b.Task].Machine {
				k := [2]int{in.Day[b.From], p}
				load[k], here[k] = load[k]+b.WorkTo-b.From, true
			}
		}
		require.Len(t, b.People, len(slices.Compact(slices.Clone(b.People))))
	}
	for _, x := range in.Taken {
		load[[2]int{x.Day, x.Person}] += x.Machine
	}
	for k := range here {
		require.True(t, in.MachineSlots == 0 || load[k] <= in.MachineSlots, "day and person %v work a machine for too long", k)
	}
}

// With people elsewhere the plan is the best of all in which nobody is in two places.
func TestAway_BestOfAll(t *testing.T) {
	t.Parallel()
	found, none := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		z := size{zones: 2, steps: 2, people: 2, days: 2, slots: 7, members: 4}
		in := drawInput(t, z)
		drawTaken(t, in, z.people)
		holdAgainstAll(t, in, &found, &none)
		if r, err := Solve(*in); err == nil && r.Found {
			nobodyTwice(t, in, r)
		}
	})
	require.Positive(t, found)
	require.Positive(t, none)
}

// The same for jobs that no brute force goes through: nobody is in two places, and one
// who is not needed there all the time still works here.
func TestAway_LargerJobs(t *testing.T) {
	found, both := 0, 0
	for number := range uint64(24) {
		in := drawn(900 + number)
		in.Budget = 60_000
		for d, day := range in.Days {
			for p := range (day.People + 1) / 2 {
				from := day.Open + 4*p + d%3
				in.Taken = append(in.Taken, Taken{Person: p + 1, From: from, To: from + 9, Machine: 5, Day: d})
			}
		}
		r, err := Solve(*in)
		require.NoError(t, err)
		if !r.Found {
			continue
		}
		found++
		holdRules(t, in, r)
		nobodyTwice(t, in, r)
		for _, b := range r.Blocks {
			if slices.Contains(b.People, 1) {
				both++
			}
		}
	}
	assert.Greater(t, found, 6)
	assert.Positive(t, both, "who is elsewhere for a while works here before or after")
}

// A stretch that takes nobody of the job, by its hours or by its number, changes nothing.
func TestAway_OfNoAccount(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 2, days: 2, slots: 7, members: 4})
		want, err := Solve(*in)
		require.NoError(t, err)
		n := len(in.Day)
		at := rapid.IntRange(0, n).Draw(t, "at")
		in.Taken = []Taken{{Person: 1, From: at, To: at}, {Person: 3, From: 0, To: n, Machine: 9}}
		got, err := Solve(*in)
		require.NoError(t, err)
		require.Equal(t, want, got)
	})
}

// Wherever a block of a plan stands, its people and its machines are there; not where they
// are elsewhere, nor after their time at machines.
func TestMans(t *testing.T) {
	in := job(2, open(8))
	in.add(2, open(8))
	b := Block{To: 2, WorkTo: 2, People: []int{1, 2}}
	assert.True(t, in.Mans(b)(3))
	in.Taken = []Taken{{Person: 2, From: 4, To: 6, Machine: 2, ToolTo: 6}}
	for from, here := range []bool{true, true, true, false, false, false, true} {
		assert.Equal(t, here, in.Mans(b)(from), "%d", from)
	}
	b.People = []int{1}
	assert.True(t, in.Mans(b)(4), "the other one is here")
	in.Tasks[0].Machine, in.Machines = true, 1
	assert.False(t, in.Mans(b)(4), "the machine is not")
	in.MachineSlots, in.Taken = 3, []Taken{{Person: 1, Machine: 2}, {Person: 2, Machine: 2}}
	assert.False(t, in.Mans(b)(0), "nobody has time left at machines")
	b.WorkTo = 1
	assert.True(t, in.Mans(b)(0), "haze is waited for without")
	in.Days[0].People = 0
	assert.False(t, in.Mans(b)(0))
}

func TestAway_RefusesWhatCannotBe(t *testing.T) {
	for name, x := range map[string]Taken{
		"nobody": {Person: 0, To: 1}, "before the first slot": {Person: 1, From: -1, To: 1}, "after the last": {Person: 1, To: 99},
		"backwards": {Person: 1, From: 2, To: 1}, "no such day": {Person: 1, To: 1, Day: 9}, "less than nothing": {Person: 1, To: 1, Machine: -1},
	} {
		in := drawn(1)
		in.Day, in.Taken = in.Day[:len(in.Day):len(in.Day)], []Taken{x}
		if name == "after the last" {
			in.Taken[0].To = len(in.Day) + 1
		}
		_, err := Solve(*in)
		require.ErrorIs(t, err, ErrInput, name)
	}
}
