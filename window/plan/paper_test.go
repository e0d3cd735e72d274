package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window/verdict"
)

// jobs draws the same jobs for the same numbers, so that a test may go through more
// of them than a property does.
func jobs(z size) *rapid.Generator[*Input] {
	return rapid.Custom(func(t *rapid.T) *Input { return drawInput(t, z) })
}

// onPaper puts a plan down block by block under the rules of the brute force, and adds
// it up from there: they share nothing with the search.
func onPaper(t require.TestingT, in *Input, r Result) *brute {
	b := &brute{in: in, from: make([]int, len(in.Tasks)), with: make([]int, len(in.Tasks))}
	for _, x := range r.Blocks {
		b.from[x.Task], b.with[x.Task] = x.From, len(x.People)
	}
	for i := range in.Tasks {
		require.True(t, b.sound(i), "task %d where the plan has it", i)
	}
	b.whole()
	require.True(t, b.found, "long enough visits and nobody too long at the machine")
	return b
}

// holdFigures holds every figure that a plan tells against the plan on paper.
func holdFigures(t require.TestingT, in *Input, r Result) {
	b := onPaper(t, in, r)
	require.Equal(t, b.best, r.Score)
	joint := append([]uint64(nil), in.Voters...)
	voters := float64(count(in.Voters))
	misses := map[int]int{} // by member
	for k, x := range r.Blocks {
		if k > 0 {
			before := r.Blocks[k-1]
			require.True(t, before.From < x.From || before.From == x.From && before.Task < x.Task, "by start, then by task")
		}
		work, end := b.end(x.Task)
		require.Equal(t, []int{work, end}, []int{x.WorkTo, x.To}, "the work, then its haze")
		marginal := b.marginal(x.Task, end)
		require.Equal(t, marginal, x.State == verdict.Marginal)
		own := heldIn(in, x, marginal)
		for w := range joint {
			joint[w] &= own[w]
		}
		for m := range 64 * len(own) {
			misses[m] += int(in.Voters[m/64] &^ own[m/64] >> (m % 64) & 1)
		}
		require.InDelta(t, float64(count(own))/voters, x.Confidence, 1e-12)
		require.Equal(t, marginal || x.Confidence < 0.5, x.Consent)
		require.Equal(t, b.dried(x), x.Dried)
		require.Equal(t, b.rewashed(x.Task), x.Rewash)
	}
	require.InDelta(t, float64(count(joint))/voters, r.Confidence, 1e-12)
	var told []int
	for m := range 64 * len(in.Voters) {
		if in.Voters[m/64]>>(m%64)&1 == 1 {
			told = append(told, misses[m])
		}
	}
	require.Equal(t, told, r.Misses)
}

// heldIn is the members in which a block holds from end to end.
func heldIn(in *Input, x Block, marginal bool) []uint64 {
	own := append([]uint64(nil), in.Voters...)
	members := in.Tasks[x.Task].Go
	if marginal {
		members = in.Tasks[x.Task].Marginal
	}
	for i := x.From; i < x.To; i++ {
		for w := range own {
			own[w] &= members[i*len(own)+w]
		}
	}
	return own
}

// dried is how long the surface has had since the latest wash that it had to dry
// after in this plan; −1 where there was none.
func (b *brute) dried(x Block) int {
	least := -1
	for _, a := range b.in.Tasks[x.Task].After {
		if a.Task < 0 || a.Go == 0 || a.Limit != "dry_off" {
			continue
		}
		if gap := x.From - b.endBefore(a); least < 0 || gap < least {
			least = gap
		}
	}
	return least
}

// rewashed reports whether a bare panel lay overnight before a block.
func (b *brute) rewashed(t int) bool {
	for _, a := range b.in.Tasks[t].After {
		if a.Overnight > 0 && b.in.Day[b.from[t]] > b.dayBefore(a) {
			return true
		}
	}
	return false
}

// What a plan tells of itself is what a person finds who adds it up: state, haze,
// confidence, consent, drying and rewash of each block, and the five criteria.
func TestPlanOnPaper(t *testing.T) {
	t.Parallel()
	found, none, rewashed, hazed, unsure := 0, 0, 0, 0, 0
	for _, z := range []size{
		{zones: 2, steps: 2, people: 2, days: 2, slots: 7, members: 5},
		{zones: 1, steps: 3, people: 2, days: 3, slots: 7, members: 3},
		{zones: 3, steps: 1, people: 3, days: 2, slots: 6, members: 2},
	} {
		all := jobs(z)
		for number := range 400 {
			in := all.Example(number)
			want := bruteForce(in)
			got, err := Solve(*in)
			require.NoError(t, err)
			require.Equal(t, want.found, got.Found, "job %d: %+v", number, got.Refusal)
			if !got.Found {
				none++
				continue
			}
			found++
			require.Equal(t, want.best, got.Score, "job %d", number)
			holdRules(t, in, got)
			holdFigures(t, in, got)
			for _, x := range got.Blocks {
				rewashed += one(x.Rewash)
				hazed += one(x.To > x.WorkTo)
				unsure += one(x.Consent && x.State == verdict.Go)
			}
		}
	}
	for what, n := range map[string]int{"found": found, "none": none, "rewashed": rewashed, "hazed": hazed, "unsure": unsure} {
		assert.Greater(t, n, 10, what)
	}
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// The same of jobs of the usual size, with water that runs from zone to zone and
// nights between, which no brute force could go through.
func TestLargerPlansOnPaper(t *testing.T) {
	for number := range uint64(12) {
		in := drawn(900 + number)
		in.Budget = 200_000
		got, err := Solve(*in)
		require.NoError(t, err)
		if got.Found {
			holdRules(t, in, got)
			holdFigures(t, in, got)
		}
	}
}

// places counts the ways to book a task by itself: those that need no consent, and all.
func places(in *Input, t Task) (clean, all int) {
	alone := *in
	t.After = nil
	alone.Tasks, alone.Apart = []Task{t}, nil
	m := newModel(&alone)
	for i := range m.options[0] {
		clean += one(!m.consents(&m.options[0][i], false))
	}
	return clean, len(m.options[0])
}

// The ways to book a piece of work that has the boat to itself are every start with
// every number of people that saves time.
func TestPlaces(t *testing.T) {
	some := 0
	all := jobs(size{zones: 1, steps: 2, people: 3, days: 3, slots: 7, members: 5})
	for number := range 200 {
		in := all.Example(number)
		task := in.Tasks[len(in.Tasks)-1]
		clean, ways := places(in, task)
		task.After = nil
		alone := *in
		alone.Tasks, alone.Apart = []Task{task}, nil
		b := &brute{in: &alone, from: []int{0}, with: []int{0}}
		wantClean, wantWays := 0, 0
		for s := range in.Day {
			last := 0
			for p := task.Least; p <= task.Most; p++ {
				b.from[0], b.with[0] = s, p
				work, end := b.end(0)
				if work == last {
					continue // one more to stand by
				}
				if last = work; !b.sound(0) {
					continue
				}
				wantWays++
				marginal := b.marginal(0, end)
				own := heldIn(&alone, Block{From: s, To: end}, marginal)
				wantClean += one(!marginal && 2*count(own) >= count(in.Voters))
			}
		}
		require.Equal(t, []int{wantClean, wantWays}, []int{clean, ways}, "job %d", number)
		found, needless := in.Place(task)
		require.Equal(t, []bool{ways > 0, clean > 0}, []bool{found, needless}, "job %d", number)
		some += one(wantClean > 0 && wantWays > wantClean)
	}
	assert.Greater(t, some, 20)
}

// Nobody is put to a block who saves no time there: two slots of work are one with two
// people, and with three no less.
func TestPlacesWithoutIdleHands(t *testing.T) {
	in := job(3, "....")
	x := in.add(2, "gggg")
	x.Most = 3
	clean, all := places(in, *x)
	assert.Equal(t, 3+4, all, "alone for two slots, with two for one, and never with three")
	assert.Equal(t, all, clean)
	assert.Len(t, solved(t, in).Blocks[0].People, 2)
}
