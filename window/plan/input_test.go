package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// An input that nobody could read is refused, whichever of its parts is unsound; what
// lies just within is not.
func TestInputBounds(t *testing.T) {
	for name, x := range map[string]struct {
		bad, good func(in *Input)
	}{
		"a day before the first":    {func(in *Input) { in.Day[0] = -1 }, func(in *Input) { in.Day[0] = 0 }},
		"a day past the last":       {func(in *Input) { in.Day[7] = 2 }, func(in *Input) { in.Day[7] = 1 }},
		"days that run back":        {func(in *Input) { in.Day[5] = 0 }, func(in *Input) { in.Day[4] = 0 }},
		"nobody votes":              {func(in *Input) { in.Voters = nil }, func(in *Input) { in.Voters = []uint64{1} }},
		"fewer at most than least":  {func(in *Input) { in.Tasks[0].Least = 2 }, func(in *Input) { in.Tasks[0].Least, in.Tasks[0].Most = 1, 1 }},
		"no work at all":            {func(in *Input) { in.Tasks[1].Work = 0 }, func(in *Input) { in.Tasks[1].Work = 1 }},
		"a limit too few":           {func(in *Input) { in.Tasks[0].Limit = in.Tasks[0].Limit[:7] }, func(*Input) {}},
		"a slot of members too few": {func(in *Input) { in.Tasks[0].Go = in.Tasks[0].Go[:7] }, func(*Input) {}},
		"marginal members too few":  {func(in *Input) { in.Tasks[0].Marginal = in.Tasks[0].Marginal[:7] }, func(*Input) {}},
		"an hour of heat too few":   {func(in *Input) { in.Tasks[0].Heat = make([]int32, 7) }, func(in *Input) { in.Tasks[0].Heat = make([]int32, 8) }},
		"haze for too many slots":   {func(in *Input) { in.Tasks[0].Tail = make([]uint8, 9) }, func(in *Input) { in.Tasks[0].Tail = make([]uint8, 8) }},
		"after itself":              {func(in *Input) { in.Tasks[1].After = []After{{Task: 1}} }, func(in *Input) { in.Tasks[1].After = []After{{Task: 0}} }},
		"after nothing":             {func(in *Input) { in.Tasks[1].After = []After{{Task: -2}} }, func(in *Input) { in.Tasks[1].After = []After{{Task: -1}} }},
		"usual before least":        {func(in *Input) { in.Tasks[1].After = []After{{Hard: 1}} }, func(in *Input) { in.Tasks[1].After = []After{{Hard: 1, Go: 1}} }},
		"a second night": {
			func(in *Input) { in.Tasks[1].After = []After{{Overnight: 1}, {Overnight: 2}} },
			func(in *Input) { in.Tasks[1].After = []After{{Overnight: 1}, {}} },
		},
		"water of a task that is none": {func(in *Input) { in.Apart = []Apart{{Wet: -1}} }, func(in *Input) { in.Apart = []Apart{{Wet: 1}} }},
		"water onto one that is none":  {func(in *Input) { in.Apart = []Apart{{Dry: 2}} }, func(in *Input) { in.Apart = []Apart{{Dry: 1}} }},
	} {
		t.Run(name, func(t *testing.T) {
			two := func() *Input {
				in := job(1, "....", "....")
				in.add(1, "gggg gggg")
				in.add(1, "gggg gggg")
				return in
			}
			in := two()
			x.bad(in)
			_, err := Solve(*in)
			require.ErrorIs(t, err, ErrInput)
			assert.NotEqual(t, ErrInput.Error(), err.Error(), "it says what is wrong")
			in = two()
			x.good(in)
			_, err = Solve(*in)
			require.NoError(t, err)
		})
	}
}

// The names by which a plan speaks of what it weighs, in its order.
func TestCriterionNames(t *testing.T) {
	var names []string
	for i := range Criteria {
		names = append(names, CriterionName(i))
	}
	assert.Equal(t, []string{"consent", "confidence", "days", "finish", "heat"}, names)
}

// Each criterion decides between equals of all before it, and only then.
func TestScoreOrder(t *testing.T) {
	best := Score{Consents: 1, FivePoints: 18, Days: 2, Finish: 40, Heat: 300}
	for i, worse := range []Score{
		{Consents: 2, FivePoints: 20, Days: 1, Finish: 10},
		{Consents: 1, FivePoints: 17, Days: 1, Finish: 10},
		{Consents: 1, FivePoints: 18, Days: 3, Finish: 10},
		{Consents: 1, FivePoints: 18, Days: 2, Finish: 41},
		{Consents: 1, FivePoints: 18, Days: 2, Finish: 40, Heat: 301},
	} {
		assert.True(t, best.Less(worse), CriterionName(i))
		assert.False(t, worse.Less(best), CriterionName(i))
	}
	assert.False(t, best.Less(best), "no plan is better than itself")
}

// What a refusal says of the weather: the limit that binds in most of the hours in
// which somebody is there, and in what part of them.
func TestRefuseShares(t *testing.T) {
	for name, x := range map[string]struct {
		days   []string
		states string
		change func(in *Input)
		want   Refusal
	}{
		"wind on more slots than rain": {
			[]string{"........"}, "rrrwwwww", func(*Input) {}, Refusal{Limit: "wind_max", Share: 0.625, Needed: 2},
		},
		"as much of each: the one that ranks first": {
			[]string{"........"}, "rrrrwwww", func(*Input) {}, Refusal{Limit: first(verdict.RainFree, verdict.WindMax), Share: 0.5, Needed: 2},
		},
		"the hours of a day off are no matter": {
			[]string{"....", "...."}, "wwww rrrr", func(in *Input) { in.Days[0].People = 0 }, Refusal{Limit: "rain_free", Share: 1, Needed: 2},
		},
		"nor those before and after the crew's": {
			[]string{"........"}, "wwwrrwww", func(in *Input) { in.Days[0].Open, in.Days[0].Close = 3, 5 },
			Refusal{Limit: "rain_free", Share: 1, Needed: 2},
		},
		"nobody there at all": {
			[]string{"....", "...."}, "gggg gggg", func(in *Input) { in.Days[0].People, in.Days[1].Close = 0, 4 },
			Refusal{Limit: "hours", Share: 1},
		},
		"a scrap of an hour": {
			[]string{"........"}, "grrrrrrr", func(*Input) {}, Refusal{Limit: "block", Share: 0.875, Longest: 1, Needed: 2},
		},
		"two scraps are no stretch": {
			[]string{"....", "...."}, "rrrg grrr", func(in *Input) { in.Days[1].Open = 5 }, Refusal{Limit: "block", Share: 6.0 / 7, Longest: 1, Needed: 2},
		},
	} {
		t.Run(name, func(t *testing.T) {
			in := job(1, x.days...)
			in.add(2, x.states)
			x.change(in)
			want := x.want
			want.Certain = true
			got := refused(t, in)
			assert.InDelta(t, want.Share, got.Share, 1e-12)
			got.Share, want.Share = 0, 0
			assert.Equal(t, &want, got)
		})
	}
}

// first is the name of the limit that ranks before the other.
func first(a, b verdict.Limit) string { return min(a, b).String() }

// The shortest block counts as many people as may work on it and are there on the day
// with most, and its shortest haze.
func TestRefuseNeeded(t *testing.T) {
	for name, x := range map[string]struct {
		people, most int
		tail         []uint8
		needed       int
	}{
		"one person":                       {1, 1, nil, 7},
		"two of three":                     {3, 2, nil, 4},
		"three where four may":             {3, 4, nil, 3},
		"three, and the shortest haze":     {3, 4, []uint8{5, 4, 2, 3, 4, 4}, 5},
		"a haze that is nothing by itself": {3, 4, []uint8{0, 9, 9, 9, 9, 9}, 3},
	} {
		t.Run(name, func(t *testing.T) {
			in := job(1, "...", "...")
			in.Days[1].People = x.people
			task := in.add(7, "grr ggr")
			task.Most, task.Tail = x.most, x.tail
			got := refused(t, in)
			assert.Equal(t, "block", got.Limit)
			assert.Equal(t, []int{2, x.needed}, []int{got.Longest, got.Needed})
		})
	}
}

// A task that has a place only where nothing comes before it is refused by what comes
// before it, and the one named is the one that is in the way.
func TestRefuseWhatIsInTheWay(t *testing.T) {
	three := func(after ...After) *Input {
		in := job(1, "........", "........")
		in.add(2, "rrggggrr rrrrrrrr")
		in.add(2, "gggggggg rrrrrrrr")
		in.add(2, "rrrrrggg rrrrrrrr").After = after
		return in
	}
	for name, x := range map[string]struct {
		after []After
		limit string
	}{
		"the recoat window":            {[]After{{Task: 1, Limit: "order"}, {Task: 0, Hard: 5, Go: 5, Limit: "recoat"}}, "recoat"},
		"the drying before the recoat": {[]After{{Task: 0, Hard: 5, Go: 5, Limit: "dry_off"}, {Task: 1, Most: 9, Limit: "recoat"}}, "dry_off"},
		"a night between":              {[]After{{Task: 0, NextDay: true, Limit: "recoat"}}, "recoat"},
		"two things at once":           {[]After{{Task: 0, NextDay: true, Limit: "recoat"}, {Task: 1, NextDay: true, Limit: "recoat"}}, "order"},
		"what has no name":             {[]After{{Task: 0, NextDay: true}}, "order"},
	} {
		t.Run(name, func(t *testing.T) {
			r := refused(t, three(x.after...))
			assert.Equal(t, 2, r.Task)
			assert.Equal(t, x.limit, r.Limit)
			assert.True(t, r.Certain)
		})
	}
	solved(t, three(After{Task: 0, Limit: "order"}, After{Task: 1, Limit: "order"}))
}

// Of a chain that cannot be done at all the task is named that has no place left, not
// the last of the chain.
func TestRefuseInAChain(t *testing.T) {
	in := job(1, "....", "....")
	in.add(2, "gggg gggg")
	in.add(2, "gggg gggg").After = []After{{Task: 0, NextDay: true, Limit: "recoat"}}
	in.add(2, "gggg gggg").After = []After{{Task: 1, NextDay: true, Limit: "recoat"}}
	in.add(2, "gggg gggg").After = []After{{Task: 2, Limit: "order"}}
	r := refused(t, in)
	assert.Equal(t, 2, r.Task, "two nights in two days")
	assert.Equal(t, "recoat", r.Limit)
}

// A plan that is to move little says nothing of why there is none: whoever moves it asks
// again without.
func TestRefuseToStay(t *testing.T) {
	in := job(1, "....")
	in.add(3, "gggg")
	in.add(3, "gggg")
	in.Stay = true
	r, err := Solve(*in)
	require.NoError(t, err)
	require.False(t, r.Found)
	assert.Equal(t, &Refusal{Certain: true, Task: -1, Limit: "order"}, r.Refusal)
}
