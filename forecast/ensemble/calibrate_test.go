package ensemble

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/score"
)

// offBy is a case of two members, at 9 and 11, and a measurement that far from
// their mean.
func offBy(place string, off float64) Past {
	return Past{Place: place, Members: []float64{9, 11}, Observed: 10 + off}
}

// By hand: ten cases at each of two places, off by +1 and −1 every time. All
// together there is no bias, each place has 10/15 of its own.
func TestCalibrate_BiasByHand(t *testing.T) {
	var past []Past
	for range 10 {
		past = append(past, offBy("pier", 1), offBy("mole", -1))
	}
	c, err := Calibrate(past)
	require.NoError(t, err)
	assert.InDelta(t, 0, c.Bias, 1e-12)
	assert.InDelta(t, 2.0/3, c.ByPlace["pier"], 1e-12)
	assert.InDelta(t, -2.0/3, c.ByPlace["mole"], 1e-12)
	assert.Equal(t, 20, c.Cases)
	mean, _ := c.Normal("pier", []float64{4, 6})
	assert.InDelta(t, 5+2.0/3, mean, 1e-12)
	mean, _ = c.Normal("a new place", []float64{4, 6})
	assert.InDelta(t, 5, mean, 1e-12)
}

func TestCalibrate_OneMeasurementSaysASixth(t *testing.T) {
	past := []Past{offBy("pier", 6)}
	for range 11 {
		past = append(past, offBy("mole", 0))
	}
	c, err := Calibrate(past)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, c.Bias, 1e-12)
	assert.InDelta(t, 5.5/6, c.ByPlace["pier"], 1e-12)
}

func TestCalibrate_TooFew(t *testing.T) {
	past := slices.Repeat([]Past{offBy("pier", 1)}, 9)
	_, err := Calibrate(append(past, Past{Place: "pier", Observed: 3}))
	require.ErrorIs(t, err, ErrTooFew)
	_, err = Calibrate(nil)
	require.ErrorIs(t, err, ErrTooFew)
	_, err = CalibrateRain(slices.Repeat([]RainPast{{[]float64{1}, true}, {nil, true}}, 9))
	require.ErrorIs(t, err, ErrTooFew)
}

// drawn are forecasts of twenty members whose spread changes from day to day, with
// measurements from a normal that is known.
func drawn(r *rand.Rand, n int, bias, floor, stretch float64) []Past {
	out := make([]Past, n)
	for i := range out {
		mean, sd := 10+5*r.NormFloat64(), 0.3+3*r.Float64()
		x := make([]float64, 20)
		for k := range x {
			x[k] = mean + sd*r.NormFloat64()
		}
		m, s := meanAndSpread(x)
		out[i] = Past{"pier", x, m + bias + math.Hypot(floor, stretch*s)*r.NormFloat64()}
	}
	return out
}

func TestCalibrate_FindsWhatTheCasesWereDrawnFrom(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(11, 12))
	for _, want := range []Calibration{
		{Bias: 1.5, Floor: 1, Stretch: 0.7}, {Bias: -2, Floor: 0, Stretch: 1.4}, {Bias: 0, Floor: 2, Stretch: 0},
	} {
		c, err := Calibrate(drawn(r, 4000, want.Bias, want.Floor, want.Stretch))
		require.NoError(t, err)
		assert.InDelta(t, want.Bias, c.Bias+c.ByPlace["pier"], 0.1)
		for _, s := range []float64{0.5, 1.5, 3} {
			truth := math.Hypot(want.Floor, want.Stretch*s)
			assert.InDelta(t, truth, math.Hypot(c.Floor, c.Stretch*s), 0.1*truth+0.05, "spread for a spread of %v", s)
		}
	}
}

// On new cases of the same kind 80 % hold 80 %, whatever the members said.
func TestCalibrate_HoldsOnNewCases(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	c, err := Calibrate(drawn(r, 2000, 1, 1.5, 0.5))
	require.NoError(t, err)
	var own, raw []score.Case
	for _, x := range drawn(r, 4000, 1, 1.5, 0.5) {
		own = append(own, score.Case{P: c.Below("pier", x.Members, 10), Came: x.Observed < 10})
		raw = append(raw, score.Case{P: shareBelow(x.Members, 10), Came: x.Observed < 10})
	}
	eceOwn, _ := score.CalibrationError(own, 10)
	eceRaw, _ := score.CalibrationError(raw, 10)
	assert.Less(t, eceOwn, 0.02)
	assert.Greater(t, eceRaw, 2*eceOwn)
}

// The past may be in any order.
func TestCalibrate_OrderDoesNotCount(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	past := drawn(r, 60, 1, 1, 1)
	a, err := Calibrate(past)
	require.NoError(t, err)
	slices.Reverse(past)
	b, err := Calibrate(past)
	require.NoError(t, err)
	assert.InDelta(t, a.Bias, b.Bias, 1e-9)
	assert.InDelta(t, a.Floor, b.Floor, 1e-2)
	assert.InDelta(t, a.Stretch, b.Stretch, 1e-2)
}

func drawCalibration(t *rapid.T) Calibration {
	return Calibration{
		Bias: rapid.Float64Range(-5, 5).Draw(t, "bias"), Floor: rapid.Float64Range(0, 3).Draw(t, "floor"),
		Stretch: rapid.Float64Range(0, 3).Draw(t, "stretch"), ByPlace: map[string]float64{"pier": 0.5},
	}
}

func TestMembers_KeepTheirOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCalibration(t)
		x := rapid.SliceOfN(rapid.Float64Range(-30, 40), 1, 30).Draw(t, "members")
		was := slices.Clone(x)
		out := c.Members("pier", x)
		require.Equal(t, was, x, "what is given stays")
		require.Len(t, out, len(x))
		mean, sd := c.Normal("pier", x)
		var sum float64
		for i := range x {
			sum += out[i] / float64(len(x))
			for k := range x {
				if x[i] < x[k] {
					require.LessOrEqual(t, out[i], out[k])
				}
			}
		}
		require.InDelta(t, mean, sum, 1e-9)
		_, got := meanAndSpread(out)
		require.LessOrEqual(t, got, sd+1e-9, "so many middles are a little closer than all of the normal")
		if len(x) > 20 {
			require.Greater(t, got, 0.9*sd-1e-9)
		}
	})
}

// Where one member passes another the calibrated ones pass each other too:
// what is continuous through the hours stays so.
func TestMembers_AreContinuousWhereTwoCross(t *testing.T) {
	c := Calibration{Floor: 1, Stretch: 1}
	before := c.Members("", []float64{5, 6 - 1e-9, 6})
	after := c.Members("", []float64{5, 6 + 1e-9, 6})
	slices.Sort(before)
	slices.Sort(after)
	assert.InDeltaSlice(t, before, after, 1e-6, "the same three values, whoever has them")
}

func TestMembers_OneIsOnlyMoved(t *testing.T) {
	c := Calibration{Bias: 1, Floor: 2, Stretch: 1, ByPlace: map[string]float64{"pier": 0.5}}
	assert.InDeltaSlice(t, []float64{11.5}, c.Members("pier", []float64{10}), 1e-12)
	assert.Nil(t, c.Members("pier", nil))
}

func TestBelow_Properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCalibration(t)
		x := rapid.SliceOfN(rapid.Float64Range(-30, 40), 1, 30).Draw(t, "members")
		lo := rapid.Float64Range(-50, 50).Draw(t, "limit")
		hi := lo + rapid.Float64Range(0, 10).Draw(t, "more")
		a, b := c.Below("pier", x, lo), c.Below("pier", x, hi)
		require.True(t, a >= 0 && b <= 1)
		require.LessOrEqual(t, a, b)
	})
	sharp := Calibration{}
	assert.Equal(t, 1.0, sharp.Below("", []float64{3, 5}, 4.1))
	assert.Equal(t, 0.0, sharp.Below("", []float64{3, 5}, 4))
}

func TestLeast_FindsTheValley(t *testing.T) {
	for _, at := range []float64{0, 0.3, 2, 5} {
		got := least(0, 5, func(x float64) float64 { return math.Abs(x - at) })
		assert.InDelta(t, at, got, 0.006)
	}
}

// threeOf are three futures of the invented week, two kelvins apart.
func threeOf(n int) *forecast.Forecast {
	f := otterQuay(n)
	for i := range 2 {
		m := otterQuay(n).Members[0]
		for k := range n {
			m.Columns[forecast.AirTemperature].Values[k] += 2 * float64(i+1)
			m.Columns[forecast.Humidity].Set(k, air.Humidity(m.Columns[forecast.AirTemperature].Values[k], m.Columns[forecast.DewPoint].Values[k]))
		}
		f.Members = append(f.Members, m)
	}
	return f
}

// By hand: a·(1, 2, 3) = (8, 15, 11).
func TestSolve3_ByHand(t *testing.T) {
	x := solve3([3][3]float64{{4, 2, 0}, {2, 5, 1}, {0, 1, 3}}, [3]float64{8, 15, 11})
	assert.InDeltaSlice(t, []float64{1, 2, 3}, x[:], 1e-12)
}

// rainDrawn are forecasts of rain whose truth is a logistic of the features.
func rainDrawn(r *rand.Rand, n int, w [3]float64) []RainPast {
	out := make([]RainPast, n)
	for i := range out {
		share := r.Float64()
		x := make([]float64, 11)
		for k := range x {
			if r.Float64() < share {
				x[k] = 0.1 + 8*r.Float64()
			}
		}
		out[i] = RainPast{x, r.Float64() < logistic(w, features(x))}
	}
	return out
}

func TestCalibrateRain_FindsWhatTheCasesWereDrawnFrom(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	want := [3]float64{-1, 0.5, 0.6}
	c, err := CalibrateRain(rainDrawn(r, 8000, want))
	require.NoError(t, err)
	assert.Equal(t, 8000, c.Cases)
	var cases []score.Case
	for _, x := range rainDrawn(r, 4000, want) {
		p, ok := c.Probability(x.Members)
		require.True(t, ok)
		require.InDelta(t, logistic(want, features(x.Members)), p, 0.05)
		cases = append(cases, score.Case{P: p, Came: x.Rained})
	}
	ece, _ := score.CalibrationError(cases, 10)
	assert.Less(t, ece, 0.025)
	_, ok := c.Probability(nil)
	assert.False(t, ok)
}

// Where the fit ends, no small change of a coefficient is better, however the
// cases lie; cases that can be told apart wholly do not carry it off.
func TestCalibrateRain_EndsAtTheTop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		past := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) RainPast {
			return RainPast{rapid.SliceOfN(rapid.Float64Range(0, 30), 1, 11).Draw(t, "mm"), rapid.Bool().Draw(t, "rained")}
		}), 10, 40).Draw(t, "past")
		c, err := CalibrateRain(past)
		require.NoError(t, err)
		top := likelihood(past, [3]float64{c.Base, c.Share, c.Amount})
		for i := range 3 {
			for _, by := range []float64{-1e-3, 1e-3} {
				w := [3]float64{c.Base, c.Share, c.Amount}
				w[i] += by
				require.LessOrEqual(t, likelihood(past, w), top+1e-9)
			}
		}
	})
	apart := slices.Repeat([]RainPast{{[]float64{0, 0}, false}, {[]float64{9, 9}, true}}, 50)
	c, err := CalibrateRain(apart)
	require.NoError(t, err)
	dry, _ := c.Probability([]float64{0, 0})
	wet, _ := c.Probability([]float64{9, 9})
	assert.True(t, dry > 0 && dry < 0.1 && wet > 0.9 && wet < 1, "%v %v", dry, wet)
}

func likelihood(past []RainPast, w [3]float64) (sum float64) {
	for i := range w {
		sum -= priorWeight * (w[i] - prior[i]) * (w[i] - prior[i]) / 2
	}
	for _, c := range past {
		p := logistic(w, features(c.Members))
		if !c.Rained {
			p = 1 - p
		}
		sum += math.Log(p)
	}
	return sum
}

// With no past to speak of the members' own share stands.
func TestCalibrateRain_FewCasesMoveLittle(t *testing.T) {
	x := []float64{0, 0, 0, 0, 2, 0, 0, 3}
	past := slices.Repeat([]RainPast{{x, false}, {x, false}, {x, false}, {x, true}}, 3)
	c, err := CalibrateRain(past)
	require.NoError(t, err)
	p, _ := c.Probability(x)
	assert.InDelta(t, 0.25, p, 0.05)
	dry, _ := c.Probability(make([]float64, 8))
	assert.Less(t, dry, 0.2)
}
