package plan

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// messOnPaper counts what a person sees on a plan: panels soiled between their wash and
// their film, or washed before what runs down onto them, and how often a step is taken up
// on a day: another step, or before less than an hour's work twenty minutes of none, lie between.
func messOnPaper(in *Input, blocks []Block) (soiled, down, taken int) {
	at := map[int]Block{}
	for _, x := range blocks {
		at[x.Task] = x
	}
	has := func(tasks ...int) bool {
		return !slices.ContainsFunc(tasks, func(t int) bool { _, ok := at[t]; return t >= 0 && !ok })
	}
	for _, s := range in.Soils {
		if has(s.By, s.Clean, s.Film) && at[s.By].From < at[s.Film].From && (s.Clean < 0 || at[s.By].WorkTo > at[s.Clean].WorkTo) {
			soiled++
		}
	}
	for _, x := range in.Downs {
		down += one(has(x.Above, x.Below) && in.Day[at[x.Above].From] == in.Day[at[x.Below].From] && at[x.Above].To > at[x.Below].From)
	}
	slices.SortFunc(blocks, func(x, y Block) int { return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.Task, y.Task)) })
	step := func(x Block) int { return in.Tasks[x.Task].Step }
	for k, x := range blocks {
		goesOn := false
		for i := range k {
			y := blocks[i]
			if in.Day[y.From] != in.Day[x.From] || step(y) != step(x) {
				continue
			}
			between := slices.ContainsFunc(blocks[i+1:k], func(z Block) bool { return step(z) != step(x) && z.From >= y.To })
			goesOn = goesOn || !between && (x.From-y.To <= 1 || x.To-x.From >= 6)
		}
		if !goesOn {
			taken++
		}
	}
	return soiled, down, taken
}

// oneDay is a job for one person on one day: a deck to be compounded for two slots, and
// the side below it to be stripped and sealed, one slot each.
func oneDay(deck, strip, seal string) *Input {
	in := job(1, "........")
	in.add(1, strip).Step = 1
	in.add(2, deck).Zone = 1
	last := in.add(1, seal)
	last.Step, last.After = 2, []After{{Task: 0}}
	in.Soils = []Soil{{By: 1, Clean: 0, Film: 2}}
	return in
}

// Rule of the trade (common practice, no source): nothing is compounded above what is
// stripped for its film. Of plans alike in all else the one is taken that keeps to it.
func TestNeat_NothingDirtyAboveAStrippedSide(t *testing.T) {
	for _, x := range []struct {
		why, deck, strip, seal string
		soiled                 int
	}{
		{"the deck first", "gggggggg", "gggggggg", "gggggggg", 0},
		{"the deck last, for its morning is wet", "rrgggggg", "gggggggg", "gggggggg", 0},
		{"the side is stripped at noon only", "gggggggg", "rrrrgrrr", "gggggggg", 0},
		{"no hours leave another way", "rggrrrrr", "grrrrrrr", "rrrgrrrr", 1},
	} {
		in := oneDay(x.deck, x.strip, x.seal)
		r := solved(t, in)
		soiled, _, _ := messOnPaper(in, r.Blocks)
		assert.Equal(t, x.soiled, soiled, "%s: %+v", x.why, r.Blocks)
		in.Soils = nil
		assert.Equal(t, solved(t, in).Score, r.Score, "nothing is given up for it")
	}
}

// A side is soiled by what is at work above between the end of its wash and the start of
// its film: not by what ends with the one or begins with the other.
func TestSoiled(t *testing.T) {
	for _, x := range []struct {
		strip, deck, seal int
		soiled            bool
	}{
		{2, 0, 4, false}, {2, 1, 4, false}, {2, 2, 4, true}, {2, 3, 6, true}, {2, 4, 5, true}, {2, 4, 4, false}, {2, 5, 4, false},
	} {
		in := oneDay("gggggggg", "gggggggg", "gggggggg")
		in.Days[0].People = 3
		m := newModel(in)
		b := m.newBook()
		for task, start := range []int{x.strip, x.deck, x.seal} {
			assert.False(t, b.soiled(&in.Soils[0]), "not all of them booked")
			b.place(task, slices.IndexFunc(m.options[task], func(o option) bool { return int(o.start) == start }))
		}
		assert.Equal(t, x.soiled, b.soiled(&in.Soils[0]), "%+v", x)
	}
}

// To keep a side clean a plan may end later by the minutes that it would take to mask it,
// and no more; it says so, and what of it is not proven then. The side is stripped first
// and can be sealed from a slot on; the deck can be done while it waits, or after.
func TestNeat_EndsLaterByTheMaskingAtMost(t *testing.T) {
	for later := 1; later <= soilSlots+1; later++ { // in the gap before the seal, or behind that
		in := job(1, "..........")
		in.add(1, "grrrrrrrrr").Step = 1
		in.add(later, "gggggggggg").Zone = 1
		seal := in.add(2, strings.Repeat("r", 1+later)+strings.Repeat("g", 9-later))
		seal.Step, seal.After = 2, []After{{Task: 0}}
		in.Soils = []Soil{{By: 1, Clean: 0, Film: 2}}
		r, err := Solve(*in)
		require.NoError(t, err)
		soiled, _, _ := messOnPaper(in, r.Blocks)
		got := []int{soiled, r.Score.Finish, r.Later, r.Proven}
		if later > soilSlots {
			assert.Equal(t, []int{1, 3 + later, 0, Criteria}, got, "%+v", r.Blocks)
			continue
		}
		assert.Equal(t, []int{0, 3 + 2*later, later, 3}, got, "%+v", r.Blocks)
	}
}

// One person with three panels in three steps of the same length takes each step up once,
// not panel by panel.
func TestNeat_StepByStep(t *testing.T) {
	in := job(1, ".........")
	for zone := range 3 {
		for step := range 3 {
			x := in.add(1, "ggggggggg")
			if x.Zone, x.Step = zone, step; step > 0 {
				x.After = []After{{Task: len(in.Tasks) - 2}}
			}
		}
	}
	r := solved(t, in)
	_, _, taken := messOnPaper(in, r.Blocks)
	assert.Equal(t, 3, taken, "%+v", r.Blocks)
	assert.Equal(t, Criteria, r.Proven)
}

// Small washes are done one after the other, not strewn over the hours in which others dry,
// for a wait is part of a visit: two panels can be washed early or late, the third late only.
func TestNeat_SmallWashesStandTogether(t *testing.T) {
	in := job(1, "..............")
	for zone, state := range []string{"gggggggrrrrrrr", "gggggggrrrrrrr", "rrrrrgggrrrrrr"} {
		in.add(1, state).Zone = zone
	}
	seal := in.add(2, "gggggggggggggg")
	seal.Step, seal.After = 1, []After{{Task: 2, Hard: 5, Go: 5}}
	r := solved(t, in)
	_, _, taken := messOnPaper(in, r.Blocks)
	assert.Equal(t, 2, taken, "%+v", r.Blocks)
	assert.Equal(t, Criteria, r.Proven)
}

// What the search counts is what a person counts on paper, and what an option is said to
// add to the mess is what it adds.
func TestMess(t *testing.T) {
	dirtier, neater, twice := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawSoils(t, sunnyJob(rapid.Uint64Range(1, 1<<20).Draw(t, "job"), 6, 3, 3, 2))
		drawRain(t, in)
		m := newModel(in)
		m.dry, m.tidy = true, true
		if m.propagate() >= 0 {
			t.Skip("no plan")
		}
		e := m.newRebuilder(m.newBest(), m.newBuilder(), 1)
		e.neat = true
		e.begin(true)
		for _, task := range e.out {
			i := rapid.IntRange(0, len(m.options[task])-1).Draw(t, "option")
			if ok, _ := e.b.book.fits(task, i); !ok {
				continue
			}
			was, order := e.b.book.mess(), slices.Clone(e.b.book.at)
			e.changed(int(m.options[task][i].day))
			told, off := e.untidies(task, &m.options[task][i]), e.mostTidied(&m.options[task][i])
			require.GreaterOrEqual(t, told, -off, "no option tidies more than it is said to at most")
			require.Equal(t, order, e.b.book.at, "only looked at")
			require.Equal(t, was, e.b.book.mess(), "only looked at")
			e.b.book.place(task, i)
			require.Equal(t, e.b.book.mess()-was, told)
			dirtier += one(told > 1)
			neater += one(told < 1)
		}
		var blocks []Block
		for task, i := range e.b.book.at {
			if i < 0 {
				continue
			}
			o := e.b.book.option(task)
			blocks = append(blocks, Block{Task: task, From: int(o.start), To: int(o.end), WorkTo: int(o.workTo)})
		}
		soiled, down, taken := messOnPaper(in, blocks)
		again, slots := repeatsOnPaper(in, blocks)
		require.Equal(t, repeatCost*again+soilCost*soiled+downCost*down+taken, e.b.book.mess())
		require.Equal(t, soilSlots*soiled+slots, e.b.book.unbooked())
		twice += one(again > 0)
		if m.dry = false; again > 0 {
			require.Equal(t, soilCost*soiled+downCost*down+taken, e.b.book.mess(), "not while it does not count")
		}
	})
	assert.Positive(t, dirtier)
	assert.Positive(t, neater)
	assert.Positive(t, twice)
}

// drawSoils has works soil panels of other zones, and hold in some members only.
func drawSoils(t *rapid.T, in *Input) *Input {
	for range rapid.IntRange(0, 12).Draw(t, "fails") {
		x, member := &in.Tasks[rapid.IntRange(0, len(in.Tasks)-1).Draw(t, "task")], rapid.IntRange(0, 9).Draw(t, "member")
		from := rapid.IntRange(0, len(in.Day)-1).Draw(t, "from")
		for i := from; i < min(from+30, len(in.Day)); i++ {
			x.Go[i] &^= 1 << member
			x.Marginal[i] &^= 1 << member
		}
	}
	for range rapid.IntRange(0, 8).Draw(t, "soils") {
		film := rapid.IntRange(0, len(in.Tasks)/3-1).Draw(t, "film")*3 + 2
		by := rapid.IntRange(0, len(in.Tasks)-1).Draw(t, "by")
		if by/3 != film/3 {
			in.Soils = append(in.Soils, Soil{By: by, Clean: rapid.SampledFrom([]int{film - 1, -1}).Draw(t, "clean"), Film: film})
		}
	}
	for range rapid.IntRange(0, 8).Draw(t, "downs") {
		above, below := rapid.IntRange(0, len(in.Tasks)-1).Draw(t, "above"), rapid.IntRange(0, len(in.Tasks)-1).Draw(t, "below")
		if above != below {
			in.Downs = append(in.Downs, Down{above, below})
		}
	}
	return in
}

// A deck and the side below it, listed the other way round, are washed from the top down
// on one day, whoever comes first in the list; on two days in any order.
func TestNeat_WashesFromTheTopDown(t *testing.T) {
	in := job(1, "........")
	in.add(1, "gggggggg").Zone = 0
	in.add(2, "gggggggg").Zone = 1
	in.Downs = []Down{{Above: 1, Below: 0}}
	r := solved(t, in)
	_, down, _ := messOnPaper(in, r.Blocks)
	assert.Zero(t, down, "%+v", r.Blocks)
	in.Tasks[1].State = job(1, "........").add(1, "rrggrrrr").State
	in.Tasks[0].State = job(1, "........").add(1, "ggrrrrrr").State
	_, down, _ = messOnPaper(in, solved(t, in).Blocks)
	assert.Equal(t, 1, down, "no hours leave another way")
	for _, bad := range []Down{{-1, 0}, {0, 2}, {1, 1}} {
		in.Downs = []Down{bad}
		_, err := Solve(*in)
		require.ErrorIs(t, err, ErrInput, "%+v", bad)
	}
}

// Neatness costs nothing: the plan keeps every rule, is as good in every criterion and
// holds in as many members, and it is no messier. It may end later by the minutes that a
// panel takes which is soiled no more, and says so.
func TestNeat_CostsNothing(t *testing.T) {
	t.Parallel()
	better := map[bool]int{}
	rapid.Check(t, func(t *rapid.T) {
		in := drawSoils(t, sunnyJob(rapid.Uint64Range(1, 1<<20).Draw(t, "job"), 5, 3, 3, 2))
		drawRain(t, in)
		in.Budget = 60_000
		m := newModel(in)
		if m.propagate() >= 0 {
			t.Skip("no plan")
		}
		s := newSolver(m)
		if s.search(); !s.x.found {
			t.Skip("no plan")
		}
		score, proven := s.x.score, s.proven
		s.m.Budget = 2_000_000
		for _, s.m.dry = range []bool{false, true} {
			most, hits, mess, unbooked := s.x.score, s.x.hits, s.x.book.mess(), s.x.book.unbooked()
			s.neaten()
			most.Finish += max(0, unbooked-s.x.book.unbooked())
			require.False(t, most.Less(s.x.score), "%+v, was %+v", s.x.score, score)
			require.GreaterOrEqual(t, s.x.hits, hits)
			require.LessOrEqual(t, s.x.book.mess(), mess)
			holdRules(t, in, s.result())
			better[s.m.dry] += one(s.x.book.mess() < mess)
		}
		neat, hits, mess := s.x.book.honest(s.x.score), s.x.hits, s.x.book.mess()
		s.topDown()
		require.False(t, neat.Less(s.x.book.honest(s.x.score)), "from the top down")
		require.GreaterOrEqual(t, s.x.hits, hits)
		require.LessOrEqual(t, s.x.book.mess(), mess)
		holdRules(t, in, s.result())
		mess = s.x.book.mess()
		s.x.tidy(s.b, m.relax(s.c, many, 0))
		require.LessOrEqual(t, s.x.book.mess(), mess, "and stays so")
		s.forNeatness(score)
		later := 0
		if s.x.score.Behind(score) == 3 {
			later = s.x.score.Finish - score.Finish
		}
		require.Equal(t, later, s.result().Later)
		require.Equal(t, min(proven, s.x.score.Behind(score)), s.proven, "what is proven of another plan is not of this one")
	})
	assert.Positive(t, better[false])
	assert.Positive(t, better[true])
}

// A plan that is surer ends later for that, not for neatness.
func TestNeat_LaterForNeatnessAlone(t *testing.T) {
	was := Score{FivePoints: 18, Days: 2, Finish: 40}
	for _, c := range []struct {
		is            Score
		later, proven int
	}{
		{was, 0, 5},
		{Score{FivePoints: 18, Days: 2, Finish: 42}, 2, 3},
		{Score{FivePoints: 18, Days: 2, Finish: 39}, 0, 5},
		{Score{FivePoints: 18, Days: 2, Finish: 40, Heat: 1}, 0, 4},
		{Score{FivePoints: 19, Days: 2, Finish: 42}, 0, 5},
		{Score{FivePoints: 18, Days: 1, Finish: 42}, 0, 5},
	} {
		s := &solver{x: &best{score: c.is}, proven: Criteria}
		s.forNeatness(was)
		assert.Equal(t, [2]int{c.later, c.proven}, [2]int{s.later, s.proven}, "%+v", c.is)
	}
}

// A job that names tasks it has not is refused.
func TestSoilsAreChecked(t *testing.T) {
	for _, s := range []Soil{{By: -1, Clean: 0, Film: 2}, {By: 1, Clean: -2, Film: 2}, {By: 1, Clean: 3, Film: 2}, {By: 1, Clean: 0, Film: -1},
		{By: 1, Clean: 1, Film: 2}, {By: 2, Clean: 0, Film: 2}, {By: 1, Clean: 2, Film: 2}} {
		in := oneDay("gggggggg", "gggggggg", "gggggggg")
		in.Soils = []Soil{s}
		_, err := Solve(*in)
		require.ErrorIs(t, err, ErrInput, "%+v", s)
	}
}

// Where most hours fail in one forecast or another, tidying goes by those in which the plan
// holds already: what is built without that in mind holds in fewer, and is thrown away.
func TestNeat_WhereHoursFailInSomeForecasts(t *testing.T) {
	was, is := 0, 0
	for seed := range uint64(12) {
		in := doubtfulJob(seed+1, 24)
		for k := range in.Tasks {
			if in.Tasks[k].Step = k % 3; k >= 3 && k%3 == 0 {
				in.Downs = append(in.Downs, Down{Above: k, Below: k - 3})
			}
		}
		in.Budget = 400_000
		m := newModel(in)
		require.Negative(t, m.propagate())
		s := newSolver(m)
		s.first()
		s.clean()
		s.members()
		require.True(t, s.x.found)
		was += s.x.book.mess()
		most, hits := s.x.score, s.x.hits
		s.neaten()
		assert.False(t, most.Less(s.x.score))
		assert.GreaterOrEqual(t, s.x.hits, hits)
		is += s.x.book.mess()
	}
	t.Logf("mess in all: %d before, %d after", was, is)
	assert.Less(t, 3*is, 2*was)
}
