package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window/verdict"
)

// size bounds a random job.
type size struct{ zones, steps, people, days, slots, members int }

// drawInput draws a job of a few zones and steps, a chain on each zone, with
// everything that may lie between tasks.
func drawInput(t *rapid.T, z size) *Input {
	in := &Input{Gap: rapid.IntRange(0, 3).Draw(t, "gap"), Voters: []uint64{1<<z.members - 1}}
	for d := range rapid.IntRange(1, z.days).Draw(t, "days") {
		first := len(in.Day)
		for range rapid.IntRange(max(2, z.slots-3), z.slots).Draw(t, "slots") {
			in.Day = append(in.Day, d)
		}
		in.Days = append(in.Days, Day{
			People: min(z.people, rapid.IntRange(0, 9).Draw(t, "people")), Open: first, Close: len(in.Day),
		})
	}
	in.SetUp, in.PackUp = rapid.IntRange(0, 1).Draw(t, "set-up"), rapid.IntRange(0, 1).Draw(t, "pack-up")
	in.Shortest = max(0, rapid.IntRange(-3, 4).Draw(t, "shortest"))
	if rapid.IntRange(0, 2).Draw(t, "machines") == 0 {
		in.MachineSlots = rapid.IntRange(2, 5).Draw(t, "machine slots")
	}
	if rapid.IntRange(0, 2).Draw(t, "few machines") == 0 {
		in.Machines = rapid.IntRange(1, z.people).Draw(t, "tools")
	}
	steps := rapid.IntRange(1, z.steps).Draw(t, "steps")
	for zone := range rapid.IntRange(1, z.zones).Draw(t, "zones") {
		for step := range steps {
			in.Tasks = append(in.Tasks, drawTask(t, in, z, zone, step))
		}
	}
	if n := len(in.Tasks); n > 1 && rapid.IntRange(0, 2).Draw(t, "apart") == 0 {
		wet := rapid.IntRange(0, n-1).Draw(t, "wet")
		dry := rapid.IntRange(0, n-1).Draw(t, "dry")
		if wet != dry {
			in.Apart = append(in.Apart, Apart{
				Wet: wet, Dry: dry, Before: rapid.IntRange(0, 2).Draw(t, "before"), Keep: rapid.IntRange(0, 3).Draw(t, "keep"),
			})
		}
	}
	return in
}

func drawTask(t *rapid.T, in *Input, z size, zone, step int) Task {
	n := len(in.Day)
	x := Task{Step: step, Zone: zone, Work: rapid.IntRange(1, 3).Draw(t, "work"), Least: 1, Machine: rapid.Bool().Draw(t, "machine")}
	x.Alone = rapid.IntRange(0, 4).Draw(t, "alone") == 0
	x.Most = rapid.IntRange(1, z.people).Draw(t, "most")
	if rapid.IntRange(0, 3).Draw(t, "tail") == 0 {
		for range n {
			x.Tail = append(x.Tail, uint8(rapid.IntRange(0, 2).Draw(t, "haze")))
		}
	}
	for range n {
		drawSlot(t, &x, z.members)
	}
	if step > 0 {
		x.After = append(x.After, drawAfter(t, len(in.Tasks)-1, n))
	} else if rapid.IntRange(0, 4).Draw(t, "done") == 0 {
		a := drawAfter(t, -1, n)
		a.End, a.EndDay = rapid.IntRange(-6, 1).Draw(t, "end"), rapid.IntRange(-1, 0).Draw(t, "end day")
		x.After = append(x.After, a)
	}
	if step == 2 {
		a := drawAfter(t, len(in.Tasks)-2, n)
		a.Overnight = 0
		x.After = append(x.After, a)
	}
	if rapid.IntRange(0, 9).Draw(t, "must") == 0 {
		x.Until = rapid.IntRange(1, n).Draw(t, "until")
		x.UntilGo = rapid.IntRange(0, x.Until).Draw(t, "until go")
	}
	return x
}

// draw adds a slot. A single draw makes state and members, so that a job takes
// few of them.
// drawSlot adds one more slot to a task.
func drawSlot(t *rapid.T, x *Task, members int) {
	c := rapid.IntRange(0, 19).Draw(t, "slot")
	state := verdict.Go
	switch {
	case c == 6, c == 7, c == 8:
		state = verdict.Marginal
	case c == 9, c == 10:
		state = verdict.NoGo
	}
	all := uint64(1)<<members - 1
	goes, marginal := uint64(0), uint64(0)
	if state.Workable() {
		marginal = all
		if c == 7 || c == 5 {
			marginal = rapid.Uint64Range(0, all).Draw(t, "marginal members")
		}
		if goes = marginal; c == 6 || c == 4 {
			goes &= rapid.Uint64Range(0, all).Draw(t, "go members")
		}
	}
	x.State, x.Limit = append(x.State, state), append(x.Limit, verdict.RainFree)
	x.Go, x.Marginal = append(x.Go, goes), append(x.Marginal, marginal)
	x.Heat = append(x.Heat, int32(c%4))
}

func drawAfter(t *rapid.T, task, n int) After {
	a := After{Task: task, Hard: rapid.IntRange(0, 1).Draw(t, "hard")}
	a.Go = a.Hard + rapid.IntRange(0, 1).Draw(t, "more")
	switch rapid.IntRange(0, 7).Draw(t, "kind") {
	case 0:
		a.Most = a.Go + rapid.IntRange(1, 4).Draw(t, "span")
		if rapid.Bool().Draw(t, "again") {
			a.Anew = a.Most + rapid.IntRange(1, 4).Draw(t, "anew")
		}
	case 1:
		a.NextDay = true
	case 3:
		salt := rapid.IntRange(0, n).Draw(t, "salt")
		for i := range n {
			a.Since = append(a.Since, int32(min(i, salt)/2*2)) // on every second slot until then
		}
	case 2:
		a.Overnight = rapid.IntRange(1, 2).Draw(t, "overnight")
	}
	return a
}

// TestBestOfAll holds the plan against every plan there is.
func TestBestOfAll(t *testing.T) {
	t.Parallel()
	found, none := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 2, days: 2, slots: 7, members: 5})
		holdAgainstAll(t, in, &found, &none)
	})
	require.Positive(t, found)
	require.Positive(t, none)
}

// TestBestOfAllChains is the same with three steps on a zone, or three zones.
func TestBestOfAllChains(t *testing.T) {
	found, none := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		z := size{zones: 1, steps: 3, people: 2, days: 3, slots: 6, members: 4}
		if rapid.Bool().Draw(t, "zones") {
			z.zones, z.steps = 3, 1
		}
		holdAgainstAll(t, drawInput(t, z), &found, &none)
	})
	require.Positive(t, found)
	require.Positive(t, none)
}

func holdAgainstAll(t *rapid.T, in *Input, found, none *int) {
	got, err := Solve(*in)
	require.NoError(t, err)
	want := bruteForce(in)
	require.Equal(t, want.found, got.Found, "%+v", got.Refusal)
	if !want.found {
		*none++
		require.True(t, got.Refusal.Certain)
		return
	}
	*found++
	require.Equal(t, want.best, got.Score)
	require.Equal(t, Criteria, got.Proven)
	require.Equal(t, got.Score, got.Bound)
	holdRules(t, in, got)
}
