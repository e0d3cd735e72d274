package score

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The values that the tests of the Python library properscoring assert in
// tests/test_crps.py, CRPS of an ensemble.
func TestCRPS_Properscoring(t *testing.T) {
	for _, c := range []struct {
		y       float64
		members []float64
		want    float64
	}{
		{0, []float64{0, 1}, 0.25},
		{2, []float64{0, 1}, 1.25},
		{0, []float64{-1, 1}, 0.5},
		{0, []float64{0, 0, 1}, 1.0 / 9},
		{1, []float64{0, 0, 1}, 4.0 / 9},
		{0, []float64{-1, 0, 0, 1}, 0.125},
		{0, []float64{1}, 1},
	} {
		got, ok := CRPS(c.y, c.members)
		require.True(t, ok)
		assert.InDelta(t, c.want, got, 1e-12, "%v of %v", c.y, c.members)
	}
}

// Threshold Brier scores of the same tests: what shares of members score.
func TestBrier_Properscoring(t *testing.T) {
	for _, c := range []struct {
		above, members int // members above the threshold, of how many
		came           bool
		want           float64
	}{
		{1, 4, false, 0.0625},                                  // 0 in [0 0 0 1] above 0
		{2, 2, true, 0}, {1, 2, false, 0.25}, {0, 2, false, 0}, // 0 in [−1 1] above −2, 0, 2
	} {
		got, ok := Brier([]Case{{float64(c.above) / float64(c.members), c.came}})
		require.True(t, ok)
		assert.InDelta(t, c.want, got, 1e-12)
	}
}

// Worked out apart from this package, by the closed form in double precision.
func TestCRPS_WorkedOut(t *testing.T) {
	for _, c := range []struct{ y, mean, sd, want float64 }{
		{0, 0, 1, 0.23369498}, {1, 0, 1, 0.60244136}, {2, 0, 1, 1.45279182},
		{20, 18, 2, 1.20488272}, {0.5, 0.1, 0.2, 0.29055836},
	} {
		assert.InDelta(t, c.want, CRPSNormal(c.y, c.mean, c.sd), 5e-9)
	}
	got, _ := CRPS(21, []float64{18, 19, 20, 22, 25})
	assert.InDelta(t, 0.84, got, 1e-12)
}

// eight cases whose scores were worked out apart from this package: Brier 0.155,
// that of saying one half 0.25, skill 0.38.
var eight = []Case{
	{0.1, false}, {0.3, false}, {0.7, true}, {0.9, true}, {0.2, true}, {0.6, false}, {0.8, true}, {0, false},
}

func TestBrier_WorkedOut(t *testing.T) {
	got, ok := Brier(eight)
	require.True(t, ok)
	assert.InDelta(t, 0.155, got, 1e-12)
	skill, ok := Skill(got, 0.25)
	require.True(t, ok)
	assert.InDelta(t, 0.38, skill, 1e-12)
}

// By hand: each of the eight has a bin to itself, so that reliability is the Brier
// score, resolution ½² and uncertainty ½·½.
func TestDecompose_ByHand(t *testing.T) {
	p, ok := Decompose(eight, 10)
	require.True(t, ok)
	assert.InDelta(t, 0.155, p.Reliability, 1e-12)
	assert.InDelta(t, 0.25, p.Resolution, 1e-12)
	assert.InDelta(t, 0.25, p.Uncertainty, 1e-12)
	assert.InDelta(t, 0, p.Within, 1e-12)

	// In two bins: said 0.15, 0.75 on average, came 1/4, 3/4.
	p, ok = Decompose(eight, 2)
	require.True(t, ok)
	assert.InDelta(t, 0.5*0.1*0.1, p.Reliability, 1e-12)
	assert.InDelta(t, 0.25*0.25, p.Resolution, 1e-12)
	ece, ok := CalibrationError(eight, 2)
	require.True(t, ok)
	assert.InDelta(t, 0.05, ece, 1e-12)
	ece, _ = CalibrationError(eight, 10)
	assert.InDelta(t, (0.1+0.3+0.3+0.1+0.8+0.6+0.2+0)/8, ece, 1e-12)
}

func TestReliability_Bins(t *testing.T) {
	table := Reliability([]Case{{0, false}, {0.3, true}, {3 * 0.1, true}, {0.999, true}, {1, true}}, 10)
	require.Len(t, table, 10)
	n := make([]int, 10)
	for i, b := range table {
		n[i] = b.N
		assert.InDelta(t, float64(i)/10, b.From, 1e-12)
	}
	assert.Equal(t, []int{1, 0, 0, 2, 0, 0, 0, 0, 0, 2}, n, "a tenth three times is three tenths, and 1 is in the last")
	assert.InDelta(t, 0.9995, table[9].Said, 1e-12)
}

func TestQuantileAndPinball_ByHand(t *testing.T) {
	x := []float64{4, 1, 3, 2, 5}
	for tau, want := range map[float64]float64{0: 1, 0.25: 2, 0.5: 3, 0.9: 4.6, 1: 5, 7: 5, -1: 1} {
		q, ok := Quantile(x, tau)
		require.True(t, ok)
		assert.InDelta(t, want, q, 1e-12)
	}
	assert.Equal(t, []float64{4, 1, 3, 2, 5}, x, "members stay as they are")
	assert.InDelta(t, 1.8, Pinball(5, 3, 0.9), 1e-12)
	assert.InDelta(t, 0.2, Pinball(1, 3, 0.9), 1e-12)
}

// Of n + 1 numbers drawn alike each place in the order is as likely, so nine members
// part the line in ten: their least and their most hold 80 %.
func TestBetween_ByHand(t *testing.T) {
	nine := []float64{9, 1, 8, 2, 7, 3, 6, 4, 5}
	for _, c := range []struct{ share, low, high float64 }{
		{0.8, 1, 9}, {0.6, 2, 8}, {0.5, 2.5, 7.5}, {0, 5, 5}, {1, 1, 9}, {2, 1, 9}, {-1, 5, 5},
	} {
		low, high, ok := Between(nine, c.share)
		require.True(t, ok)
		assert.InDelta(t, c.low, low, 1e-12, "%v", c.share)
		assert.InDelta(t, c.high, high, 1e-12, "%v", c.share)
	}
	assert.Equal(t, []float64{9, 1, 8, 2, 7, 3, 6, 4, 5}, nine, "members stay as they are")
	low, high, ok := Between([]float64{3}, 0.8)
	assert.True(t, ok)
	assert.Equal(t, []float64{3, 3}, []float64{low, high})
	_, _, ok = Between(nil, 0.8)
	assert.False(t, ok)
}

// What is drawn as the members are lies between as often as was asked, as long as
// there are members enough: (n + 1)(1 - share)/2 at least 1.
func TestBetween_HoldsItsShare(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, n := range []int{9, 30} {
		const runs = 40000
		held := 0
		x := make([]float64, n)
		for range runs {
			for i := range x {
				x[i] = r.ExpFloat64()
			}
			y := r.ExpFloat64()
			if low, high, _ := Between(x, 0.8); low <= y && y <= high {
				held++
			}
		}
		assert.InDelta(t, 0.8, float64(held)/runs, 0.01, "%d members", n)
	}
}

func TestRanks_ByHand(t *testing.T) {
	r := NewRanks(3)
	for _, y := range []float64{0, 1.5, 2.5, 9} {
		assert.True(t, r.Add(y, []float64{3, 1, 2}))
	}
	assert.Equal(t, []float64{1, 1, 1, 1}, r.Counts)
	assert.True(t, r.Add(0, []float64{0, 0, 1}))
	assert.InDeltaSlice(t, []float64{1 + 1.0/3, 1 + 1.0/3, 1 + 1.0/3, 1}, r.Counts, 1e-12)
	assert.False(t, r.Add(0, []float64{1, 2}), "another number of members")
	assert.Equal(t, 5, r.N)
	out, ok := r.Outside()
	require.True(t, ok)
	assert.InDelta(t, (2+1.0/3)/5, out, 1e-12)
}

func TestNothing_HasNoScore(t *testing.T) {
	for name, ok := range map[string]bool{
		"crps": second(CRPS(1, nil)), "fair": second(CRPSFair(1, nil)), "quantile": second(Quantile(nil, 0.5)),
		"brier": second(Brier(nil)), "error": second(CalibrationError(nil, 10)),
		"no bins": second(CalibrationError(eight, 0)), "skill": second(Skill(1, 0)), "outside": second(NewRanks(2).Outside()),
	} {
		assert.False(t, ok, name)
	}
	_, ok := Decompose(nil, 10)
	assert.False(t, ok)
	_, ok = Decompose(eight, 0)
	assert.False(t, ok)
	assert.Nil(t, Reliability(eight, -1))
}

func second(_ float64, ok bool) bool { return ok }

func drawMembers(t *rapid.T) []float64 {
	return rapid.SliceOfN(rapid.Float64Range(-40, 40), 1, 30).Draw(t, "members")
}

func drawCases(t *rapid.T) []Case {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Case {
		return Case{rapid.Float64Range(0, 1).Draw(t, "p"), rapid.Bool().Draw(t, "came")}
	}), 1, 60).Draw(t, "cases")
}

// The score is the area between the members' steps and the step of what came
// (the definition), worked out by adding up rectangles.
func TestCRPS_IsTheAreaBetweenSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := drawMembers(t)
		y := rapid.Float64Range(-40, 40).Draw(t, "y")
		edges := slices.Sorted(slices.Values(append(slices.Clone(x), y)))
		var area float64
		for i := 1; i < len(edges); i++ {
			mid := (edges[i-1] + edges[i]) / 2
			var f float64
			for _, v := range x {
				if v <= mid {
					f += 1 / float64(len(x))
				}
			}
			if y <= mid {
				f--
			}
			area += f * f * (edges[i] - edges[i-1])
		}
		got, ok := CRPS(y, x)
		require.True(t, ok)
		require.InDelta(t, area, got, 1e-9)
	})
}

func TestCRPS_Properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := drawMembers(t)
		y := rapid.Float64Range(-40, 40).Draw(t, "y")
		by := rapid.Float64Range(-10, 10).Draw(t, "by")
		plain, _ := CRPS(y, x)
		fair, _ := CRPSFair(y, x)
		require.GreaterOrEqual(t, plain, -1e-9)
		require.LessOrEqual(t, fair, plain+1e-9, "the fair score takes more off")
		moved := make([]float64, len(x))
		var mean float64
		for i, v := range x {
			moved[len(x)-1-i] = v + by
			mean += math.Abs(v-y) / float64(len(x))
		}
		again, _ := CRPS(y+by, moved)
		require.InDelta(t, plain, again, 1e-9, "neither place nor order counts")
		require.LessOrEqual(t, plain, mean+1e-9, "no worse than the mean absolute error")
	})
}

// Members drawn from a normal score what the normal scores: the fair score at any
// number of them, the plain one only with many.
func TestCRPS_FairMeetsTheNormal(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var fair, plain, want float64
	const rounds = 20000
	for range rounds {
		y := 2 * r.NormFloat64()
		x := make([]float64, 5)
		for i := range x {
			x[i] = 1 + 2*r.NormFloat64()
		}
		f, _ := CRPSFair(y, x)
		p, _ := CRPS(y, x)
		fair, plain, want = fair+f/rounds, plain+p/rounds, want+CRPSNormal(y, 1, 2)/rounds
	}
	assert.InDelta(t, want, fair, 0.02)
	assert.Greater(t, plain, want+0.15)
}

// Of normals the one that what comes is drawn from scores best: a proper score.
func TestCRPSNormal_IsProper(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	y := make([]float64, 5000)
	for i := range y {
		y[i] = 3 + 2*r.NormFloat64()
	}
	mean := func(m, s float64) (sum float64) {
		for _, v := range y {
			sum += CRPSNormal(v, m, s) / float64(len(y))
		}
		return sum
	}
	best := mean(3, 2)
	for _, other := range [][2]float64{{2, 2}, {4, 2}, {3, 1}, {3, 4}, {3, 0}} {
		assert.Greater(t, mean(other[0], other[1]), best+0.01)
	}
}

func TestBrier_PartsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cases := drawCases(t)
		bins := rapid.IntRange(1, 20).Draw(t, "bins")
		p, ok := Decompose(cases, bins)
		require.True(t, ok)
		require.InDelta(t, p.Brier, p.Reliability-p.Resolution+p.Uncertainty+p.Within, 1e-9)
		for _, v := range []float64{p.Reliability, p.Resolution, p.Uncertainty} {
			require.GreaterOrEqual(t, v, 0.0)
		}
		require.LessOrEqual(t, p.Resolution, p.Uncertainty+1e-9, "no bins tell more than there is")
		ece, _ := CalibrationError(cases, bins)
		require.True(t, ece >= 0 && ece <= 1)
		require.LessOrEqual(t, ece*ece, p.Reliability+1e-9, "Jensen")
	})
}

func TestReliability_CountsEveryCase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cases := drawCases(t)
		n, said, came := 0, 0.0, 0.0
		for _, b := range Reliability(cases, 10) {
			n += b.N
			said += float64(b.N) * b.Said
			came += float64(b.N) * b.Came
			if b.N > 0 {
				require.True(t, b.Said >= b.From-1e-9 && b.Said <= b.To+1e-9)
			}
		}
		for _, c := range cases {
			said -= c.P
			came -= c.came()
		}
		require.Equal(t, len(cases), n)
		require.InDelta(t, 0, said, 1e-9)
		require.InDelta(t, 0, came, 1e-9)
	})
}

// What is said and comes as said has a small calibration error; the same said with
// more assurance a large one.
func TestCalibrationError_OfTheHonestAndTheBold(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	var honest, bold []Case
	for range 20000 {
		p := r.Float64()
		came := r.Float64() < p
		honest = append(honest, Case{p, came})
		bold = append(bold, Case{math.Round(p), came})
	}
	small, _ := CalibrationError(honest, 10)
	large, _ := CalibrationError(bold, 10)
	assert.Less(t, small, 0.01)
	assert.InDelta(t, 0.25, large, 0.01)
}

func TestRanks_AddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "members")
		r := NewRanks(n)
		for range rapid.IntRange(1, 10).Draw(t, "cases") {
			whole := rapid.IntRange(-2, 2) // for ties
			x := make([]float64, n)
			for i := range x {
				x[i] = float64(whole.Draw(t, "x"))
			}
			require.True(t, r.Add(float64(whole.Draw(t, "y")), x))
		}
		var sum float64
		for _, c := range r.Counts {
			sum += c
		}
		require.InDelta(t, float64(r.N), sum, 1e-9)
	})
}

func TestPinball_IsLeastAtTheQuantile(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	y := make([]float64, 4001)
	for i := range y {
		y[i] = r.NormFloat64()
	}
	mean := func(q, tau float64) (sum float64) {
		for _, v := range y {
			sum += Pinball(v, q, tau)
		}
		return sum
	}
	for _, tau := range []float64{0.1, 0.5, 0.9} {
		q, _ := Quantile(y, tau)
		assert.LessOrEqual(t, mean(q, tau), mean(q+0.2, tau))
		assert.LessOrEqual(t, mean(q, tau), mean(q-0.2, tau))
	}
}
