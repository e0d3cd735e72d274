package plan

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window/verdict"
)

// The tests of this file are jobs larger than any brute force, of which one can say
// beforehand how well they can be done.

// open is a word of so many slots that go.
func open(slots int) string { return strings.Repeat("g", slots) }

// k zones are washed and then sealed, a slot each, with d slots of drying between. Who
// washes them all first and seals them in the same order is done after 2k/p slots, or,
// where that dries too slowly, d slots and a seal after the last wash: no order is
// sooner, for the last wash ends after k/p slots and its seal comes after its drying.
func TestWashThenSeal(t *testing.T) {
	t.Parallel()
	for _, people := range []int{1, 2, 3} {
		for k := people; k <= 9; k += people {
			for _, d := range []int{0, 1, 3, 5} {
				const slots = 30
				in := job(people, open(slots))
				for zone := range k {
					in.add(1, open(slots)).Zone = zone
					seal := in.add(1, open(slots))
					seal.Zone, seal.Step, seal.After = zone, 1, []After{{Task: 2 * zone, Hard: d, Go: d}}
				}
				r := solved(t, in)
				want := max(2*k/people, k/people+d+1)
				assert.Equal(t, Score{FivePoints: 20, Days: 1, Finish: want}, r.Score, "%d zones, %d people, %d slots of drying", k, people, d)
				holdFigures(t, in, r)
			}
		}
	}
}

// Blocks that are not cut fill days like bins: of ten slots hold three of three, or two
// of four; the last day is worked as far as what is left goes.
func TestWholeBlocksToADay(t *testing.T) {
	const slots = 10
	for _, x := range []struct{ blocks, length, people int }{
		{7, 3, 1}, {6, 3, 1}, {5, 4, 1}, {4, 6, 1}, {9, 5, 2}, {8, 3, 2}, {3, 10, 1},
	} {
		perDay := x.people * (slots / x.length)
		days := (x.blocks + perDay - 1) / perDay
		var texts, states []string
		for range days + 1 {
			texts, states = append(texts, open(slots)), append(states, open(slots))
		}
		in := job(x.people, texts...)
		for range x.blocks {
			in.add(x.length, strings.Join(states, " "))
		}
		r := solved(t, in)
		last := x.blocks - (days-1)*perDay // on the last day
		want := (days-1)*slots + x.length*((last+x.people-1)/x.people)
		assert.Equal(t, []int{days, want}, []int{r.Score.Days, r.Score.Finish}, "%+v", x)
	}
}

// All tasks alike, one person, and a last one that must stand at the end: the others
// take the coolest hours there are before it.
func TestCoolestHours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "tasks")
		slots := n + rapid.IntRange(0, 5).Draw(t, "to spare")
		in := job(1, open(slots+1))
		heat := make([]int32, slots+1)
		for s := range slots {
			heat[s] = int32(rapid.IntRange(0, 30).Draw(t, "heat"))
		}
		for range n {
			in.add(1, open(slots+1)).Heat = heat
		}
		in.add(1, strings.Repeat("r", slots)+"g")
		r, err := Solve(*in)
		require.NoError(t, err)
		coolest := slices.Sorted(slices.Values(heat[:slots]))
		want := int64(0)
		for _, h := range coolest[:n] {
			want += int64(h)
		}
		require.Equal(t, Score{FivePoints: 20, Days: 1, Finish: slots + 1, Heat: want}, r.Score)
		require.Equal(t, Criteria, r.Proven)
	})
}

// Each of some blocks may stand on one of two days, in other futures on each: the plan
// takes the choice in which most futures hold all of them, of all 2^n choices.
func TestSurestChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const members = 20
		n := rapid.IntRange(1, 6).Draw(t, "blocks")
		in := job(n, "g", "g")
		in.Voters = []uint64{1<<members - 1}
		sets := make([][2]uint64, n)
		for i := range n {
			x := in.add(1, "gg")
			for d := range 2 {
				out := rapid.SliceOfN(rapid.IntRange(0, members-1), 0, 7).Draw(t, "futures that do not hold")
				set := in.Voters[0]
				for _, v := range out {
					set &^= 1 << v
				}
				sets[i][d], x.Go[d], x.Marginal[d] = set, set, set
			}
		}
		best := 0
		for choice := range 1 << n {
			joint := in.Voters[0]
			for i := range n {
				joint &= sets[i][choice>>i&1]
			}
			best = max(best, count([]uint64{joint}))
		}
		r, err := Solve(*in)
		require.NoError(t, err)
		require.True(t, r.Found)
		require.Zero(t, r.Score.Consents, "each holds in more than half")
		require.Equal(t, fivePoints(best, members), r.Score.FivePoints, "%d of 20", best)
	})
}

// People at machines: blocks are shared out like weights into bins, and no arithmetic
// on the sum tells whether they go. A block of two counts for both of them; haze and
// hand work do not count.
func TestMachineTimeOfEach(t *testing.T) {
	for name, x := range map[string]struct {
		people, limit int
		blocks        []int // of one person at a machine
		more          func(in *Input)
		found         bool
	}{
		"full to the last slot":            {3, 4, []int{4, 2, 2, 2, 2}, nil, true},
		"as much in all, but not to share": {3, 4, []int{3, 3, 2, 2, 2}, nil, false},
		"a fourth person":                  {4, 4, []int{3, 3, 2, 2, 2}, nil, true},
		"one slot too many":                {2, 4, []int{4, 3, 2}, nil, false},
		"hand work beside it":              {2, 4, []int{4, 4}, func(in *Input) { in.add(6, open(30)) }, true},
		"its haze is no machine time": {2, 4, []int{4, 4}, func(in *Input) {
			eachTask(in, func(x *Task) { x.Tail = slices.Repeat([]uint8{5}, 30) })
		}, true},
		"two at one block": {2, 4, []int{2, 2}, func(in *Input) {
			x := in.add(4, open(30))
			x.Machine, x.Least, x.Most = true, 2, 2
		}, true},
		"two at one block, and one more": {2, 4, []int{2, 2, 1}, func(in *Input) {
			x := in.add(4, open(30))
			x.Machine, x.Least, x.Most = true, 2, 2
		}, false},
	} {
		t.Run(name, func(t *testing.T) {
			in := job(x.people, open(30))
			in.MachineSlots = x.limit
			for _, n := range x.blocks {
				in.add(n, open(30)).Machine = true
			}
			if x.more != nil {
				x.more(in)
			}
			if x.found {
				holdFigures(t, in, solved(t, in))
				return
			}
			r := refused(t, in)
			assert.Equal(t, []any{"machines", true, -1}, []any{r.Limit, r.Certain, r.Task})
			in.Day, in.Days = append(in.Day, slices.Repeat([]int{1}, 30)...), append(in.Days, Day{People: x.people, Open: 30, Close: 60})
			eachTask(in, func(x *Task) {
				x.State, x.Limit = slices.Repeat(x.State, 2), slices.Repeat(x.Limit, 2)
				x.Go, x.Marginal = slices.Repeat(x.Go, 2), slices.Repeat(x.Marginal, 2)
			})
			assert.Equal(t, 2, solved(t, in).Score.Days, "with a second day it goes: arms rest overnight")
		})
	}
}

// Who works alone is the first of the crew, all through; and nobody is called in whom
// it does not take.
func TestAsFewAsItTakes(t *testing.T) {
	in := job(4, open(8), open(8))
	for k := range 5 {
		x := in.add(2, open(8)+" "+open(8))
		if k > 0 {
			x.After = []After{{Task: k - 1}}
		}
	}
	for _, b := range solved(t, in).Blocks {
		assert.Equal(t, []int{1}, b.People)
	}
	in = job(4, open(2))
	for range 3 {
		in.add(2, open(2))
	}
	people := map[int]bool{}
	for _, b := range solved(t, in).Blocks {
		for _, p := range b.People {
			people[p] = true
		}
	}
	assert.Equal(t, map[int]bool{1: true, 2: true, 3: true}, people)
}

// A job of more tasks than are packed: blocks of a slot each, one after the other. It
// takes the days that it takes and ends with the last of them.
func TestLargeAndPlain(t *testing.T) {
	const n = 80
	require.Greater(t, n, mostPacked)
	for people, days := range map[int]int{1: 8, 2: 4, 4: 2} {
		text := slices.Repeat([]string{open(10)}, days+1)
		in := job(people, text...)
		for range n {
			in.add(1, strings.Join(text, " "))
		}
		r, err := Solve(*in)
		require.NoError(t, err)
		require.True(t, r.Found)
		holdRules(t, in, r)
		assert.Equal(t, Score{FivePoints: 20, Days: days, Finish: 10 * days}, r.Score, "%d people", people)
		assert.Equal(t, r.Score.Days, r.Bound.Days, "no plan takes fewer")
	}
	in := job(1, slices.Repeat([]string{open(10)}, 7)...)
	for range n {
		in.add(1, open(70))
	}
	r := refused(t, in)
	assert.Equal(t, []any{"people", true, -1}, []any{r.Limit, r.Certain, r.Task}, "eighty slots of work in seventy")
}

// A large job of the usual kind through the same door as any other: what is found keeps
// every rule, its figures add up and it is no better than its bound; asked twice it is
// the same; and to move little it is not looked at longer than it says.
func TestLargeOfTheUsualKind(t *testing.T) {
	t.Parallel()
	in := large(2, 3)
	one, err := Solve(*in)
	require.NoError(t, err)
	if one.Found {
		holdRules(t, in, one)
		assert.False(t, one.Score.Less(one.Bound))
	} else {
		assert.NotEmpty(t, one.Refusal.Limit)
	}
	in.Stay = true
	eachTask(in, func(x *Task) { x.Held = Held{} })
	r, err := Solve(*in)
	require.NoError(t, err)
	assert.LessOrEqual(t, r.Steps, 2*largeBudget)
	if r.Found {
		assert.Zero(t, r.Score.Consents, "nothing stood anywhere, so nothing has moved")
	}
}

// What stands in the way is told by what would have to give: a machine task that the
// dry-off keeps out is refused by the dry-off, not by the machine.
func TestRefuseOneThingAtATime(t *testing.T) {
	for name, x := range map[string]struct {
		change func(in *Input)
		limit  string
	}{
		"a machine, and no limit on it": {func(in *Input) { in.Tasks[1].Machine = true }, "dry_off"},
		"a machine, and time enough":    {func(in *Input) { in.Tasks[1].Machine, in.MachineSlots = true, 2 }, "dry_off"},
		"hand work beside a limit":      {func(in *Input) { in.MachineSlots = 1 }, "dry_off"},
		"a machine for too long":        {func(in *Input) { in.Tasks[1].Machine, in.MachineSlots = true, 1 }, "machines"},
		"three hands where one is":      {func(in *Input) { in.Tasks[1].Least, in.Tasks[1].Most = 3, 3 }, "people"},
	} {
		t.Run(name, func(t *testing.T) {
			in := job(1, open(8))
			in.add(2, open(8))
			in.add(2, open(8)).After = []After{{Task: 0, Hard: 7, Go: 7, Limit: "dry_off"}}
			x.change(in)
			r := refused(t, in)
			assert.Equal(t, []any{x.limit, 1, true}, []any{r.Limit, r.Task, r.Certain})
		})
	}
}

// Where all have a place but not together, the rule named is one without which there is
// a plan, and what is named first is what is asked least for.
func TestRefuseWhatWouldHelp(t *testing.T) {
	t.Parallel()
	all := jobs(size{zones: 3, steps: 2, people: 2, days: 2, slots: 6, members: 3})
	named := map[string]int{}
	for number := range 600 {
		in := all.Example(number)
		if number%2 == 0 { // much to do at a machine
			in.MachineSlots = 3
			eachTask(in, func(x *Task) { x.Machine = true })
		}
		r := plans(t, in)
		if r.Found || r.Refusal.Task >= 0 {
			continue
		}
		named[r.Refusal.Limit]++
		free := cloned(in)
		switch r.Refusal.Limit {
		case verdict.Block.String():
			free.Shortest = 0
		case verdict.Machines.String():
			free.MachineSlots = 0
		case verdict.People.String():
			for d := range free.Days {
				free.Days[d].People *= 8
			}
		default:
			continue // no one of them would do
		}
		require.True(t, bruteForceFinds(free), "job %d: without the limit of %s there is a plan", number, r.Refusal.Limit)
	}
	for _, limit := range []string{"block", "people", "machines"} {
		assert.Positive(t, named[limit], fmt.Sprint(limit, " of ", named))
	}
}

// bruteForceFinds reports whether there is any plan.
func bruteForceFinds(in *Input) bool { return bruteForce(in).found }

// A single slot of drying between two blocks is no gap in a visit, where a slot would
// be one; in a visit that is too short it does not count beyond the last block.
func TestDryingFillsAVisit(t *testing.T) {
	visit := func(gap, wait, between int) bool {
		in := job(1, open(12))
		in.Gap, in.Shortest = gap, 5
		in.add(2, "gg"+strings.Repeat("r", 10))
		in.add(2, strings.Repeat("r", 2+between)+"gg"+strings.Repeat("r", 8-between)).After = []After{{Task: 0, Go: wait, Hard: min(wait, between)}}
		in.add(1, strings.Repeat("r", 11)+"g").Alone = true
		r, err := Solve(*in)
		require.NoError(t, err)
		return r.Found
	}
	assert.True(t, visit(1, 1, 1), "two blocks of two and a slot of drying: five")
	assert.False(t, visit(1, 0, 1), "two visits of two")
	assert.True(t, visit(2, 0, 1), "or one, where a slot is no gap")
	assert.False(t, visit(1, 1, 2), "a slot of drying and one of nothing")
	assert.True(t, visit(1, 2, 2))
	assert.False(t, visit(1, 9, 0), "it ends with its last block, however long that dries")
}

// A panel that was compounded on the first day is washed anew before it is sealed on the
// second, though what else must come before the seal is done that same morning.
func TestOvernightBesideAnother(t *testing.T) {
	in := job(1, open(4), open(8))
	in.add(2, "gggg rrrrrrrr") // the compound
	in.add(1, "rrrr gggggggg") // the deck above it
	in.add(2, "rrrr gggggggg").After = []After{{Task: 0, Overnight: 1}, {Task: 1}}
	r := solved(t, in)
	assert.Equal(t, 8, r.Score.Finish, "a slot for the deck, one for the rewash and two for the seal")
	assert.True(t, r.Blocks[2].Rewash)
	in.Tasks[0].State, in.Tasks[0].Limit = job2("rrrrgggggggg")
	for s := range in.Tasks[0].Go {
		free := uint64(0)
		if s >= 4 {
			free = in.Voters[0]
		}
		in.Tasks[0].Go[s], in.Tasks[0].Marginal[s] = free, free
	}
	r = solved(t, in)
	assert.Equal(t, 9, r.Score.Finish, "all on one day: no rewash, two slots of compound")
	assert.False(t, r.Blocks[2].Rewash)
}
