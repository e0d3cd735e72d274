package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// job2 is the states and limits of a task by letters.
func job2(states string) ([]verdict.State, []verdict.Limit) {
	in := &Input{Voters: []uint64{0xf}}
	x := in.add(1, states)
	return x.State, x.Limit
}

// A task that nothing allows names the limit that binds in most of the crew's
// hours; one whose stretches are too short names the block.
func TestRefuseWeather(t *testing.T) {
	in := job(1, "..........")
	in.add(2, "gggggggggg")
	in.add(2, "rrrrrrwwww")
	assert.Equal(t, &Refusal{Certain: true, Task: 1, Limit: "rain_free", Share: 0.6, Needed: 2}, refused(t, in))
	in.Days[0].Open = 5
	r := refused(t, in)
	assert.Equal(t, "wind_max", r.Limit, "the night's rain is no matter")
	assert.InDelta(t, 0.8, r.Share, 0)

	in = job(1, "..........")
	in.add(4, "gggrrgggrr")
	r = refused(t, in)
	assert.Equal(t, []any{"block", 3, 4}, []any{r.Limit, r.Longest, r.Needed})
}

func TestRefuseOrder(t *testing.T) {
	for name, c := range map[string]struct {
		change func(in *Input)
		limit  string
	}{
		"too few people":      {func(in *Input) { in.Tasks[1].Least, in.Tasks[1].Most = 2, 2 }, "people"},
		"machine time":        {func(in *Input) { in.Tasks[1].Machine, in.MachineSlots = true, 1 }, "machines"},
		"the launch":          {func(in *Input) { in.Tasks[1].Until, in.Tasks[1].UntilLimit = 2, "launch" }, "launch"},
		"the dry-off":         {func(in *Input) { in.Tasks[1].After[0].Hard, in.Tasks[1].After[0].Go = 9, 9 }, "dry_off"},
		"another day is none": {func(in *Input) { in.Tasks[1].After[0].NextDay = true }, "dry_off"},
	} {
		t.Run(name, func(t *testing.T) {
			in := job(1, "..........")
			in.add(2, "gggggggggg")
			in.add(2, "gggggggggg").After = []After{{Task: 0, Limit: "dry_off"}}
			c.change(in)
			r := refused(t, in)
			assert.Equal(t, c.limit, r.Limit)
			assert.True(t, r.Certain)
			assert.Equal(t, 1, r.Task)
		})
	}
}

// Of what leaves a task no place the one is named without which it has one; where it is all
// of them together, the one that ends last.
func TestRefuseOrder_NamesWhatIsBefore(t *testing.T) {
	behind := func(first, second int, after ...After) []int {
		in := job(1, "..........")
		in.add(first, "gggggggggg")
		in.add(second, "gggggggggg")
		in.add(2, "gggggggggg").After = after
		return refused(t, in).Behind
	}
	assert.Equal(t, []int{1}, behind(2, 2, After{Task: 0, Limit: "order"}, After{Task: 1, Hard: 9, Go: 9, Limit: "order"}))
	assert.Equal(t, []int{0}, behind(2, 2, After{Task: 0, Hard: 9, Go: 9, Limit: "order"}, After{Task: 1, Limit: "order"}))
	assert.Equal(t, []int{1}, behind(9, 10, After{Task: 0, Limit: "order"}, After{Task: 1, Limit: "order"}), "each alone leaves it none")
	assert.Empty(t, behind(2, 2, After{Task: -1, End: 9, Limit: "order"}), "what is done is no task")
}

// Where every task has a place but not all together, it is told what would have
// to give way.
func TestRefuseTogether(t *testing.T) {
	in := job(1, "......")
	for range 2 {
		in.add(4, "gggggg")
	}
	r := refused(t, in)
	assert.Equal(t, []any{"people", -1, true}, []any{r.Limit, r.Task, r.Certain})

	in = job(1, "......")
	in.MachineSlots = 4
	for range 2 {
		in.add(3, "gggggg").Machine = true
	}
	assert.Equal(t, "machines", refused(t, in).Limit)
}

// The shortest useful visit: one of two days that hold a scrap of work each.
func TestRefuseVisit(t *testing.T) {
	in := job(1, "......", "......")
	in.Shortest = 5
	in.add(2, "ggrrrr rrrrrr")
	in.add(4, "rrrrrr ggggrr")
	assert.Equal(t, "block", refused(t, in).Limit)
	in.Shortest = 2
	solved(t, in)
}

// Blocks with short gaps make one visit, and so does a wait for a panel to dry;
// a job that is shorter than the shortest visit needs no longer one.
func TestVisits(t *testing.T) {
	wait := func(between, lag, shortest int) *Input {
		in := job(1, strings.Repeat(".", 20))
		in.Shortest = shortest
		in.add(2, "gg"+strings.Repeat("r", 18))
		in.add(3, strings.Repeat("r", 2+between)+"ggg"+strings.Repeat("r", 15-between)).After = []After{{Task: 0, Hard: lag, Go: lag}}
		return in
	}
	assert.Equal(t, 7, solved(t, wait(2, 0, 5)).Score.Finish)
	assert.Equal(t, "block", refused(t, wait(3, 0, 5)).Limit, "three slots are a gap")
	assert.Equal(t, 11, solved(t, wait(6, 6, 5)).Score.Finish, "six slots of drying are none")
	assert.Equal(t, "block", refused(t, wait(9, 6, 5)).Limit, "three more are")

	in := job(1, "......")
	in.Shortest = 5
	in.add(2, "gggggg")
	assert.Equal(t, 2, solved(t, in).Score.Finish, "all there is to do")
}

// Setting up and packing up take from both ends of the crew's hours.
func TestSetUp(t *testing.T) {
	in := job(1, "..........")
	in.SetUp, in.PackUp = 3, 2
	in.add(5, "gggggggggg")
	assert.Equal(t, 8, solved(t, in).Score.Finish)
	in.PackUp = 3
	refused(t, in)
}

// The haze of the last section belongs to the block and must lie in hours that
// can be worked in; it is as long as the slot it begins in says.
func TestHaze(t *testing.T) {
	in := job(1, "........")
	in.add(2, "ggggrrrr").Tail = []uint8{1, 3, 1, 1, 1, 1, 1, 1}
	r := solved(t, in)
	assert.Equal(t, []int{1, 3, 4}, []int{r.Blocks[0].From, r.Blocks[0].WorkTo, r.Blocks[0].To})
}

// Two people at one block halve it; each is named, and nobody twice at once.
func TestPeople(t *testing.T) {
	in := job(2, "........")
	in.add(6, "gggggggg").Most = 2
	in.add(3, "gggggggg")
	in.add(3, "gggggggg")
	r := solved(t, in)
	assert.Equal(t, 6, r.Score.Finish)
	assert.Equal(t, 6, count2(r))
}

// count2 is the most person-slots of one person.
func count2(r Result) int {
	n := map[int]int{}
	most := 0
	for _, b := range r.Blocks {
		for _, p := range b.People {
			n[p] += b.To - b.From
			most = max(most, n[p])
		}
	}
	return most
}

func TestInputErrors(t *testing.T) {
	for name, spoil := range map[string]func(in *Input){
		"no slots":            func(in *Input) { in.Day = nil },
		"no members":          func(in *Input) { in.Voters = []uint64{0} },
		"days out of order":   func(in *Input) { in.Day[0] = 1 },
		"no work":             func(in *Input) { in.Tasks[0].Work = 0 },
		"nobody":              func(in *Input) { in.Tasks[0].Least = 0 },
		"too few states":      func(in *Input) { in.Tasks[0].State = in.Tasks[0].State[1:] },
		"too few hazes":       func(in *Input) { in.Tasks[0].Tail = []uint8{1} },
		"after a later one":   func(in *Input) { in.Tasks[0].After = []After{{Task: 1}} },
		"go before hard":      func(in *Input) { in.Tasks[1].After = []After{{Hard: 2, Go: 1}} },
		"two nights":          func(in *Input) { in.Tasks[1].After = []After{{Overnight: 1}, {Overnight: 1}} },
		"apart from itself":   func(in *Input) { in.Apart = []Apart{{Wet: 1, Dry: 1}} },
		"go and not marginal": func(in *Input) { in.Tasks[0].Marginal[0] = 0 },
	} {
		in := job(1, "....", "....")
		in.add(1, "gggg gggg")
		in.add(1, "gggg gggg")
		spoil(in)
		_, err := Solve(*in)
		require.ErrorIs(t, err, ErrInput, name)
	}
}

func TestNothingToDo(t *testing.T) {
	r, err := Solve(*job(1, "...."))
	require.NoError(t, err)
	assert.True(t, r.Found)
	assert.Empty(t, r.Blocks)
	assert.Equal(t, Criteria, r.Proven)
}

// Nobody is there on a day without people, whatever the weather.
func TestDayOff(t *testing.T) {
	in := job(1, "....", "....")
	in.Days[0].People = 0
	in.add(2, "gggg gggg")
	assert.Equal(t, 6, solved(t, in).Score.Finish)
}
