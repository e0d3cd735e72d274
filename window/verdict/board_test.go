package verdict

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawn are random verdicts of some members, as parts of a zone or what was learned
// may leave them.
func drawn(t *rapid.T, members, slots int) [][]Result {
	out := make([][]Result, members)
	for m := range out {
		for range slots {
			r := Result{State: State(rapid.IntRange(0, int(NoGo)).Draw(t, "state")), Limit: Data}
			if r.State != Unknown {
				r.Limit = rapid.SampledFrom([]Limit{Hours, Machines, Film, SpreadMin, WindMax, Cure}).Draw(t, "limit")
				r.Value, r.Bound = rapid.Float32Range(-5, 40).Draw(t, "value"), rapid.Float32Range(0, 10).Draw(t, "bound")
				r.Past = float32(rapid.IntRange(-4, 8).Draw(t, "past")) / 4
			}
			out[m] = append(out[m], r)
		}
	}
	return out
}

// A board gives back what was put on it, used for the first time or again, and joins
// its verdicts one by one.
func TestBoard(t *testing.T) {
	used := &Board{}
	rapid.Check(t, func(t *rapid.T) {
		members, slots := rapid.IntRange(1, 5).Draw(t, "members"), rapid.IntRange(1, 20).Draw(t, "slots")
		first, second := drawn(t, members, slots), drawn(t, members, slots)
		used.Reset(all(slots), members)
		for m := range first {
			for i, r := range first[m] {
				used.keep(m*slots+i, r)
			}
		}
		for m := range first {
			require.Equal(t, first[m], used.of(m))
		}
		used.Join(func(own Result, others []Result) Result { return Worse(own, others[0]) }, boardOf(second...))
		for m := range first {
			for i := range first[m] {
				require.Equal(t, Worse(first[m][i], second[m][i]), used.at(m, i))
			}
		}
	})
}

// One board for one class after another, and for members that come after others: what
// stands there is what a new board has.
func TestBoardUsedAgain(t *testing.T) {
	cat, err := catalogue()
	require.NoError(t, err)
	used := &Board{}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 14).Draw(t, "hours") * hours
		tm := pasts(t, n)
		x := []*Sight{tm.sees(weather(t, n)), tm.sees(weather(t, n)), tm.sees(weather(t, n))}
		asked := all(n)
		for _, s := range x {
			s.Look(s.series, tm.Past, asked)
		}
		j := NewJudge(class(t, rapid.SampledFrom(cat.IDs()).Draw(t, "class")), tm.Terms)
		used.Reset(asked, len(x))
		for m, s := range x {
			j.Run(s, used, m)
		}
		for m, s := range x {
			require.Equal(t, judged(j, s), used.of(m))
		}
	})
}

// What is shown is what counting the members one by one gives.
func TestRowCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		members, slots := rapid.SampledFrom([]int{1, 2, 3, 5, 64, 65}).Draw(t, "members"), rapid.IntRange(1, 3).Draw(t, "slots")
		results, dressed := drawn(t, members, slots), rapid.Bool().Draw(t, "dressed")
		r := joined(results, 0.8, dressed)
		voters := results
		if dressed && members > 1 {
			voters = results[1:]
		}
		for i, s := range r.Shown {
			assert.InDelta(t, plainShare(voters, i, s.State), s.Confidence, 1e-6, "slot %d: %v", i, s)
			if dressed && members > 1 {
				assert.Equal(t, results[0][i].State, s.State)
				continue
			}
			assert.Equal(t, plainState(results, i, 0.8), s.State, "slot %d", i)
			if s.State == Unknown {
				continue
			}
			assert.Equal(t, plainDenier(results, i, s.State), s.Limit, "slot %d: %v", i, s)
		}
	})
}

// plainShare is the share of members that reach a workable state among those known, or
// that are in exactly an unworkable one.
func plainShare(members [][]Result, i int, s State) float64 {
	hit, known := 0, 0
	for _, m := range members {
		x := m[i].State
		if x != Unknown {
			known++
		}
		if x == s || s <= Marginal && x < s {
			hit++
		}
	}
	if s == Unknown || known == 0 {
		known = len(members)
	}
	return float64(hit) / float64(known)
}

// plainState is the best state that enough of the known members reach.
func plainState(members [][]Result, i int, sure float64) State {
	known := 0
	for _, m := range members {
		if m[i].State != Unknown {
			known++
		}
	}
	if float64(known) < sure*float64(len(members))-1e-9 {
		return Unknown
	}
	for s := Ideal; s <= Marginal; s++ {
		n := 0
		for _, m := range members {
			if m[i].State <= s {
				n++
			}
		}
		if float64(n) >= sure*float64(known)-1e-9 {
			return s
		}
	}
	return NoGo
}

// plainDenier is the limit that most often keeps the members from a better state.
func plainDenier(members [][]Result, i int, s State) Limit {
	var count [Limits]int
	for _, m := range members {
		x := m[i]
		if s == Ideal && x.State == Ideal || s != Ideal && x.State >= s && x.State != Unknown {
			count[x.Limit]++
		}
	}
	best := slices.Max(count[:])
	return Limit(slices.Index(count[:], best))
}
