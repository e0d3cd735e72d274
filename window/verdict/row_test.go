package verdict

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// futures makes members of one slot each from their states.
func futures(states ...State) [][]Result {
	var out [][]Result
	for i, s := range states {
		r := Result{State: s, Limit: AirMax, Value: float32(30 + i), Bound: 30, Past: float32(i)}
		if s == Unknown {
			r = Result{State: Unknown, Limit: Data}
		}
		out = append(out, []Result{r})
	}
	return out
}

// The best state that enough known members reach is shown; its confidence is
// the share at least that good, that of no-go and unknown the share in exactly
// that state.
func TestRowShows(t *testing.T) {
	for _, c := range []struct {
		name       string
		members    []State
		state      State
		confidence float64
	}{
		{"all ideal", []State{Ideal, Ideal, Ideal, Ideal, Ideal}, Ideal, 1},
		{"four of five", []State{Go, Go, Go, Go, NoGo}, Go, 0.8},
		{"ideal counts as go", []State{Ideal, Ideal, Go, Go, NoGo}, Go, 0.8},
		{"three of five go, all marginal", []State{Go, Go, Go, Marginal, Marginal}, Marginal, 1},
		{"too few workable", []State{Go, Go, Go, NoGo, NoGo}, NoGo, 0.4},
		{"one unknown", []State{Go, Go, Go, Go, Unknown}, Go, 1},
		{"known ones decide", []State{Go, Go, Go, NoGo, Unknown}, NoGo, 0.25},
		{"too few known", []State{Go, Go, Go, Unknown, Unknown}, Unknown, 0.4},
		{"single", []State{Marginal}, Marginal, 1},
	} {
		r := joined(futures(c.members...), 0.8, false)
		assert.Equal(t, c.state, r.Shown[0].State, c.name)
		assert.InDelta(t, c.confidence, r.Shown[0].Confidence, 1e-6, c.name)
	}
}

// A dressed forecast: the first member decides, the others say how sure it is.
func TestRowDressed(t *testing.T) {
	r := joined(futures(Go, NoGo, NoGo, NoGo, Go), 0.8, true)
	assert.Equal(t, Go, r.Shown[0].State)
	assert.InDelta(t, 0.25, r.Shown[0].Confidence, 1e-6)
	assert.InDelta(t, 0.25, r.Joint(0, 1, Go), 1e-6)
	assert.InDelta(t, 30, r.Binding(0).Value, 1e-6, "of the forecast itself")
}

// The binding limit is the one that most often denies the next better state,
// its value the median over the members that it denies.
func TestRowBinding(t *testing.T) {
	m := futures(NoGo, NoGo, NoGo, Go, Go)
	for i, l := range []Limit{RainFree, RainFree, WindMax} {
		m[i][0].Limit, m[i][0].Value, m[i][0].Bound = l, float32(1+i), 2
	}
	b := joined(m, 0.8, false).Binding(0)
	assert.Equal(t, RainFree, b.Limit)
	assert.InDelta(t, 1.5, b.Value, 1e-6)
	assert.InDelta(t, 2, b.Bound, 1e-6)

	five := futures(NoGo, NoGo, NoGo, NoGo, NoGo)
	for i, v := range []float32{9, 1, 7, 2, 3} {
		five[i][0].Limit, five[i][0].Value = RainFree, v
	}
	assert.InDelta(t, 3, joined(five, 0.8, false).Binding(0).Value, 1e-6, "the one in the middle")
}

// The limit shown is the one that holds in most of the members that keep the row from the
// next better state, of equals the first of the list, and its distance the mean of theirs.
func TestRowDeniers(t *testing.T) {
	mixed := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 70).Draw(t, "members")
		m := make([][]Result, n)
		for i := range m {
			m[i] = []Result{{
				State: rapid.SampledFrom([]State{Ideal, Go, Go, Marginal, NoGo, NoGo}).Draw(t, "state"),
				Limit: rapid.SampledFrom([]Limit{AirMax, SpreadMin, WindMax}).Draw(t, "limit"),
				Past:  float32(rapid.IntRange(0, 8).Draw(t, "past")),
			}}
		}
		s := joined(m, rapid.SampledFrom([]float64{0.3, 0.5, 0.8}).Draw(t, "sure"), false).Shown[0]
		var count [Limits]int
		var past [Limits]float64
		for _, x := range m {
			if x[0].State < s.State || s.State == Ideal && x[0].State > Ideal {
				mixed++
				continue
			}
			count[x[0].Limit]++
			past[x[0].Limit] += float64(x[0].Past)
		}
		best := AirMax
		for l := range Limits {
			if count[l] > count[best] {
				best = Limit(l)
			}
		}
		require.Equal(t, best, s.Limit)
		require.InDelta(t, past[best]/float64(count[best]), s.Past, 1e-4)
	})
	require.Positive(t, mixed)
}

// An ideal row binds on the limit nearest its bound in the members that are ideal;
// one that is not does not speak for it.
func TestRowBindingOfIdeal(t *testing.T) {
	m := futures(Ideal, Ideal, Ideal, Ideal, Go)
	for i, l := range []Limit{WindMax, WindMax, HumidityMax, WindMax, RainFree} {
		m[i][0].Limit, m[i][0].Value = l, float32(1+i)
	}
	r := joined(m, 0.8, false)
	require.Equal(t, Ideal, r.Shown[0].State)
	assert.Equal(t, WindMax, r.Shown[0].Limit)
	assert.InDelta(t, 2, r.Binding(0).Value, 1e-6, "median of 1, 2 and 4")
}

// Joint is the share of members in which every slot holds: one member failing
// in one slot counts once.
func TestJoint(t *testing.T) {
	m := make([][]Result, 70) // more than one word of bits
	for i := range m {
		m[i] = []Result{{State: Go}, {State: Go}, {State: Go}}
	}
	m[0][1].State, m[69][2].State = NoGo, Marginal
	r := joined(m, 0.8, false)
	assert.InDelta(t, 68.0/70, r.Joint(0, 3, Go), 1e-6)
	assert.InDelta(t, 69.0/70, r.Joint(0, 3, Marginal), 1e-6)
	assert.InDelta(t, 1, r.Joint(0, 1, Go), 1e-6)
	assert.Zero(t, r.Joint(2, 2, Go))
}

// shownRow is a single forecast's row by a word of letters: g go, m marginal,
// i ideal, x no-go by film, h no-go by hours, u unknown.
func shownRow(word string) *Row {
	results := make([]Result, len(word))
	for i, c := range word {
		results[i] = map[rune]Result{
			'i': {State: Ideal, Limit: AirMax}, 'g': {State: Go, Limit: AirMax, Past: 0.1},
			'm': {State: Marginal, Limit: DewFree, Past: float32(i)}, 'x': {State: NoGo, Limit: Film},
			'h': {State: NoGo, Limit: Hours}, 'u': {State: Unknown, Limit: Data},
		}[c]
	}
	return joined([][]Result{results}, 0.8, false)
}

// Windows are maximal runs of one state, refusals of one state and limit;
// together they cover every slot once.
func TestRuns(t *testing.T) {
	r := shownRow("hhxggggggmmmmmmxxhu")
	r.BlockShort(0, 19, 12)
	windows, refusals := r.Runs(0, 19)
	require.Len(t, windows, 2)
	assert.Equal(t, []int{3, 9, 9, 15}, []int{windows[0].From, windows[0].To, windows[1].From, windows[1].To})
	assert.Equal(t, []int{3, 15}, []int{windows[0].WorkFrom, windows[1].WorkTo})
	assert.Equal(t, Go, windows[0].State)
	assert.Equal(t, Marginal, windows[1].State)
	assert.Equal(t, DewFree, windows[1].Limit)
	require.Len(t, refusals, 5)
	assert.Equal(t, Hours, refusals[0].Limit)
	assert.Equal(t, Film, refusals[1].Limit)
}

// A workable run shorter than the shortest useful block is no-go by block, with
// its own length as the value; where data are missing beside it, unknown.
func TestBlockShort(t *testing.T) {
	r := shownRow("xxggggmmmxxxgggguuu")
	r.BlockShort(0, 19, 12)
	windows, refusals := r.Runs(0, 19)
	require.Empty(t, windows)
	block := refusals[1]
	assert.Equal(t, NoGo, block.State)
	assert.Equal(t, Block, block.Limit)
	assert.InDelta(t, 7.0/6, block.Binding.Value, 1e-3)
	assert.InDelta(t, 2.0, block.Binding.Bound, 1e-3)
	last := refusals[len(refusals)-1]
	assert.Equal(t, Unknown, last.State)
	assert.Equal(t, 12, last.From, "the run before the gap may be longer than it shows")
}

// Whatever the states, windows and refusals cover the horizon without overlap,
// and no window lies in a workable run that is too short.
func TestRunsCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringOfN(rapid.SampledFrom([]rune("ggggmmmixhu")), 1, 80, -1).Draw(t, "word")
		least := rapid.IntRange(1, 15).Draw(t, "least")
		from := rapid.IntRange(0, len(word)-1).Draw(t, "from")
		r := shownRow(word)
		r.BlockShort(from, len(word), least)
		windows, refusals := r.Runs(from, len(word))
		seen := make([]int, len(word))
		for _, w := range windows {
			require.True(t, w.State.Workable())
			require.GreaterOrEqual(t, w.WorkTo-w.WorkFrom, least)
			for i := w.From; i < w.To; i++ {
				seen[i]++
			}
		}
		for _, x := range refusals {
			require.False(t, x.State.Workable())
			for i := x.From; i < x.To; i++ {
				seen[i]++
			}
		}
		for i := from; i < len(word); i++ {
			require.Equal(t, 1, seen[i])
		}
	})
}

// Names and units: every limit has a name of its own.
func TestNames(t *testing.T) {
	seen := map[string]bool{}
	for l := None + 1; int(l) < Limits; l++ {
		require.NotEmpty(t, l.String())
		require.False(t, seen[l.String()], l.String())
		seen[l.String()] = true
	}
	assert.Equal(t, "no-go", NoGo.String())
	assert.Equal(t, "State(9)", State(9).String())
	assert.Equal(t, "Limit(200)", Limit(200).String())
	assert.True(t, Thunder.YesNo())
	assert.False(t, AirMin.YesNo())
	assert.Equal(t, "K", SpreadMin.Unit())
}

// Where some members find the cure too cold and others too dry, the binding is
// that of most, and its median is of one unit.
func TestBindingOfACureInTwoWays(t *testing.T) {
	cold := Result{State: NoGo, Limit: Cure, Value: 5, Bound: 8, Past: 1}
	dry := func(v float32) Result {
		return Result{State: NoGo, Limit: Cure, Way: Arid, Value: v, Bound: 30, Past: 1}
	}
	r := joined([][]Result{{cold}, {dry(12)}, {dry(16)}}, 0.8, false)
	assert.Equal(t, Binding{Limit: Cure, Value: 14, Bound: 30, HasValue: true, Way: Arid}, r.Binding(0))
	r = joined([][]Result{{cold}, {cold}, {dry(12)}, {dry(16)}}, 0.8, false)
	assert.Equal(t, Binding{Limit: Cure, Value: 5, Bound: 8, HasValue: true}, r.Binding(0), "as many: the cold")
}

// More members than a word has bits: the masks go on in the next word, slot by slot.
func TestMasksBeyondOneWord(t *testing.T) {
	const members = 70
	m := make([][]Result, members)
	for k := range m {
		m[k] = []Result{{State: Go}, {State: NoGo}, {State: Ideal}}
		if k == 66 {
			m[k] = []Result{{State: NoGo}, {State: Marginal}, {State: Go}}
		}
	}
	r := joined(m, 0.8, false)
	all := []uint64{^uint64(0), 1<<(members-64) - 1}
	assert.Equal(t, all, r.Voters())
	assert.Equal(t, []uint64{0, 0, all[0], all[1]}, r.AtLeast(Go, 1, 3))
	assert.Equal(t, []uint64{0, 1 << 2, all[0], all[1]}, r.AtLeast(Marginal, 1, 3))
	assert.Equal(t, []uint64{all[0], all[1] &^ (1 << 2)}, r.AtLeast(Ideal, 2, 3))
	assert.InDelta(t, 69.0/70, r.Joint(0, 1, Go), 1e-6)
	assert.InDelta(t, 1.0/70, r.Joint(1, 3, Marginal), 1e-6)
	dressed := joined(m, 0.8, true)
	assert.Equal(t, []uint64{all[0] &^ 1, all[1]}, dressed.Voters(), "the forecast itself has no vote on how sure it is")
}

// How far a row is past its bound is the mean over those that it denies.
func TestRowPast(t *testing.T) {
	m := [][]Result{
		{{State: NoGo, Limit: WindMax, Past: 1}}, {{State: NoGo, Limit: WindMax, Past: 4}},
		{{State: NoGo, Limit: SpreadMin, Past: 9}}, {{State: Go, Limit: WindMax, Past: 0.5}},
	}
	got := joined(m, 0.8, false).Shown[0]
	assert.Equal(t, WindMax, got.Limit, "denied by two, the other by one")
	assert.InDelta(t, 2.5, got.Past, 1e-6)
}

// A run that is too short says how long it is and how long it would have to be.
func TestShortRunBinds(t *testing.T) {
	r := shownRow("xxgggxx")
	r.BlockShort(0, 7, 12)
	_, refusals := r.Runs(0, 7)
	for _, x := range refusals {
		if x.Limit == Block {
			assert.Equal(t, 3, x.Len())
			assert.True(t, x.Binding.HasValue)
			assert.InDelta(t, 0.5, x.Binding.Value, 1e-6)
			assert.InDelta(t, 2, x.Binding.Bound, 1e-6)
			return
		}
	}
	t.Fatal("nothing is too short")
}
