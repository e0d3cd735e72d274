package ensemble

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/forecast/air"
)

// The longitude of Otter Quay puts local midnight near 5 h UTC.
var (
	night = start.Add(7 * time.Hour)  // 2 h by the sun
	noon  = start.Add(17 * time.Hour) // 12 h by the sun
)

func miss(v Variable, r Regime, at time.Time, off float64) Miss {
	return Miss{At: at, Of: v, Regime: r, Off: off}
}

// every gives n errors of the same kind, a day apart, the last a day before now.
func every(n int, v Variable, r Regime, now time.Time, off float64) []Miss {
	var out []Miss
	for k := range n {
		out = append(out, miss(v, r, now.Add(-time.Duration(k+1)*24*time.Hour), off))
	}
	return out
}

func TestRegimeAt(t *testing.T) {
	for _, c := range []struct {
		at    time.Time
		cloud float64
		want  Regime
	}{{night, 0, ClearNight}, {night, 49.9, ClearNight}, {night, 50, CloudyNight}, {noon, 10, ClearDay}, {noon, 100, CloudyDay}} {
		assert.Equal(t, c.want, RegimeAt(c.at, 43.07, -70.74, c.cloud), "%v %v", c.at, c.cloud)
	}
	assert.Equal(t, ClearDay, RegimeAt(noon.Add(-12*time.Hour), -43.07, 109.26, 0), "the antipode has its day when it is night here")
	assert.Equal(t, "clear night", ClearNight.String())
	assert.Equal(t, "wind", WindError.String())
}

// The age weight halves in 30 days, and n/(n+5): by hand.
func TestWeights_ByHand(t *testing.T) {
	assert.InDelta(t, 0.5, AgeWeight(30*24*time.Hour), 1e-12)
	assert.InDelta(t, 0.25, AgeWeight(60*24*time.Hour), 1e-12)
	assert.Equal(t, 1.0, AgeWeight(-time.Hour))
	assert.InDelta(t, 1.0/6, Shrink(1), 1e-12)
	assert.InDelta(t, 0.5, Shrink(5), 1e-12)
	assert.Equal(t, 0.0, Shrink(0))
	assert.Equal(t, 1.0, LeadWeight(-time.Hour))
	assert.Equal(t, 1.0, LeadWeight(6*time.Hour))
	assert.InDelta(t, 0.5, LeadWeight(51*time.Hour), 1e-12)
	assert.Equal(t, 0.0, LeadWeight(96*time.Hour))
	assert.Equal(t, 0.0, LeadWeight(200*time.Hour))
}

// Common practice asks that what was learned counts whole at short leads, is gone by
// a few days, and that a reading's half-life is some weeks.
func TestSettings_InTheUsualSpans(t *testing.T) {
	assert.True(t, WholeLeadH >= 6 && GoneLeadH >= 72 && GoneLeadH <= 120)
	assert.True(t, HalfLifeDays >= 14 && HalfLifeDays <= 45)
	assert.Equal(t, 5.0, shrinkK)
	assert.Equal(t, 5, EnoughReadings)
}

// Five readings 2 K warmer than forecast, of weights 2^(−1/30) to 2^(−5/30): together
// 4.6677 by hand, so that 4.6677/9.6677 of the 2 K are believed.
func TestLearn_ByHand(t *testing.T) {
	now := start.Add(30 * 24 * time.Hour)
	l := Learn(every(5, AirError, ClearNight, now, 2), now)
	b := l.Biases[AirError][ClearNight]
	assert.Equal(t, 5, b.Readings)
	assert.InDelta(t, 2, b.Mean, 1e-9)
	assert.InDelta(t, 4.6677/9.6677, b.Weight, 1e-4)
	assert.InDelta(t, 2*4.6677/9.6677, l.At(AirError, ClearNight), 1e-3)
	assert.Equal(t, now.Add(-5*24*time.Hour), b.From)
	assert.Equal(t, now.Add(-24*time.Hour), b.To)
	assert.True(t, b.Enough())
	for r := CloudyNight; r <= CloudyDay; r++ {
		assert.Zero(t, l.At(AirError, r), "%v has no readings", r)
	}
	assert.Zero(t, l.At(DewError, ClearNight))
}

func TestLearn_WhatDoesNotCount(t *testing.T) {
	now := start.Add(200 * 24 * time.Hour)
	assert.True(t, Learn(nil, now).Empty())
	assert.True(t, Learn([]Miss{
		miss(AirError, ClearDay, now.Add(time.Hour), 3), miss(AirError, ClearDay, now.Add(-LearnFrom-time.Hour), 3),
	}, now).Empty(), "the future and what is too old")
	assert.True(t, Learn(every(9, AirError, ClearDay, now, 0.1), now).Empty(), "too little to matter")
	assert.False(t, Learn(every(9, AirError, ClearDay, now, 0.5), now).Empty())
	assert.Equal(t, 4.0, Learn(every(99, AirError, ClearDay, now, 7.9), now).At(AirError, ClearDay), "at most 4 K")
	assert.InDelta(t, -math.Ln2, Learn(every(99, WindError, ClearDay, now, -1.5), now).At(WindError, ClearDay), 1e-12, "half the wind")
}

// Readings of one hour are one look; so are those of a station, apart from them.
func TestLearn_HoursCountOnce(t *testing.T) {
	now := start.Add(30 * 24 * time.Hour)
	at := now.Add(-48 * time.Hour)
	list := []Miss{miss(AirError, ClearDay, at, 1), miss(AirError, ClearDay, at.Add(20*time.Minute), 3)}
	one := Learn(list, now).Biases[AirError][ClearDay]
	assert.Equal(t, 1, one.Readings)
	assert.InDelta(t, 2, one.Mean, 1e-9)
	station := miss(AirError, ClearDay, at, 2)
	station.Station, station.Share = true, 1
	both := Learn(append(list, station), now).Biases[AirError][ClearDay]
	assert.Equal(t, [2]int{1, 1}, [2]int{both.Readings, both.Stations})
	w := 1.25 * AgeWeight(48*time.Hour)
	assert.InDelta(t, w/(w+5), both.Weight, 1e-9)
}

// The order in which errors come changes nothing, to the bit, also of those of one
// moment.
func TestLearn_OrderDoesNotMatter(t *testing.T) {
	now := start.Add(30 * 24 * time.Hour)
	at := now.Add(-48 * time.Hour)
	offs := []float64{0.1, 0.2, 0.3, 0.7, 1.1, 1.9}
	in := func(order ...int) Learned {
		var list []Miss
		for _, k := range order {
			list = append(list, miss(AirError, ClearDay, at, offs[k]))
		}
		return Learn(list, now)
	}
	want := in(0, 1, 2, 3, 4, 5)
	assert.Equal(t, want, in(5, 4, 3, 2, 1, 0))
	assert.Equal(t, want, in(3, 0, 5, 1, 4, 2))
}

// However many observations a station has, they are no reading at the place.
func TestBias_StationsAreNotEnough(t *testing.T) {
	now := start.Add(30 * 24 * time.Hour)
	list := every(60, AirError, ClearDay, now, 2)
	for i := range list {
		list[i].Station, list[i].Share = true, 1
	}
	l := Learn(list, now)
	assert.NotZero(t, l.At(AirError, ClearDay))
	assert.True(t, l.Supported().Empty())
}

// One slip among nine pulls the mean no further than its reach allows: by hand, eight
// at 1 and one at 7 with a reach of 1.5 K settle where 8(1−m)+1.5 = 0.
func TestRobustMean_ByHand(t *testing.T) {
	values, weights := []float64{1, 1, 1, 1, 7, 1, 1, 1, 1}, []float64{1, 1, 1, 1, 1, 1, 1, 1, 1}
	assert.InDelta(t, 1+1.5/8, RobustMean(values, weights, 1.5), 1e-6)
	assert.InDelta(t, 15.0/9, RobustMean(values, weights, 100), 1e-6, "a wide reach is the plain mean")
	assert.Zero(t, RobustMean(nil, nil, 1))
	assert.InDelta(t, 3, RobustMean([]float64{3}, []float64{0.2}, 1), 1e-9)
}

// Errors are measured less forecast; dew from humidity where there is no dew point;
// what cannot be believed, and what the forecast does not know, gives none.
func TestMisses(t *testing.T) {
	f := plain()
	at := start.Add(30*time.Hour + 30*time.Minute)
	got := Misses(f, []Observed{{At: at, AirC: 20, HasAir: true, DewPointC: 9, HasDewPoint: true, WindMS: 4, HasWind: true}})
	require.Len(t, got, 3)
	wind, _ := Instant(f, &f.Members[0], forecast.WindSpeed, at)
	assert.Equal(t, []Variable{AirError, DewError, WindError}, []Variable{got[0].Of, got[1].Of, got[2].Of})
	assert.InDelta(t, 2, got[0].Off, 1e-9, "18 °C were forecast")
	assert.InDelta(t, -1, got[1].Off, 1e-9, "10 °C were forecast")
	assert.InDelta(t, math.Log(4/wind), got[2].Off, 1e-9)
	assert.Empty(t, Misses(f, []Observed{{At: at, AirC: 28, HasAir: true}}), "10 K off")
	assert.Empty(t, Misses(f, []Observed{{At: at, AirC: 20}}), "not measured")
	assert.Empty(t, Misses(f, []Observed{{At: f.End(), AirC: 20, HasAir: true}, {At: start.Add(-1), AirC: 20, HasAir: true}}))
	assert.Empty(t, Misses(otterQuay(48, forecast.CloudCover), []Observed{{At: at, AirC: 18, HasAir: true}}), "no regime without cloud")
	dry := otterQuay(48, forecast.DewPoint)
	assert.Len(t, Misses(dry, []Observed{{At: at, DewPointC: 10, HasDewPoint: true}}), 1, "from humidity")
}

// What an ensemble forecast is its median.
func TestMisses_OfAnEnsemble(t *testing.T) {
	f := plain()
	f.Members = []forecast.Member{f.Members[0], f.Members[0], f.Members[0]}
	for m, off := range []float64{-1, 0, 5} {
		c := forecast.NewColumn(f.N)
		for i := range f.N {
			c.Set(i, 18+off)
		}
		f.Members[m].Columns[forecast.AirTemperature] = c
	}
	got := Misses(f, []Observed{{At: start.Add(time.Hour), AirC: 19, HasAir: true}})
	require.Len(t, got, 1)
	assert.InDelta(t, 1, got[0].Off, 1e-9)
}

// taught is the same bias in all regimes.
func taught(v Variable, size float64) Learned {
	var l Learned
	for r := range Regimes {
		l.Biases[v][r] = Bias{Readings: 9, Mean: size, Weight: 1}
	}
	return l
}

// The air is moved, humidity follows, and the move fades with the lead: by hand for
// 1 K at now, at 51 h and from 96 h on.
func TestLearnedCorrect_Air(t *testing.T) {
	f := plain()
	got, _ := taught(AirError, 1).Correct(f, nil, start.Add(24*time.Hour))
	temp := column(got, forecast.AirTemperature)
	for i, want := range map[int]float64{0: 19, 24: 19, 30: 19, 75: 18.5, 120: 18, 150: 18} {
		assert.InDelta(t, want, temp[i], 1e-9, "hour %d", i)
	}
	assert.InDelta(t, air.Humidity(19, 10), column(got, forecast.Humidity)[0], 1e-9)
	assert.Equal(t, column(f, forecast.DewPoint), column(got, forecast.DewPoint))
	assert.Equal(t, 18.0, column(f, forecast.AirTemperature)[0], "the forecast is only read")
}

// Only the regime that was learned is moved, and the wind by a factor.
func TestLearnedCorrect_RegimesAndWind(t *testing.T) {
	f := plain()
	var l Learned
	l.Biases[WindError][ClearNight] = Bias{Readings: 9, Mean: math.Log(0.7), Weight: 1}
	cloud := forecast.NewColumn(f.N)
	for i := range f.N {
		cloud.Set(i, 20)
	}
	cloud.Known[8] = false
	f.Members[0].Columns[forecast.CloudCover] = cloud
	got, dressed := l.Correct(f, []forecast.Member{f.Members[0]}, start.Add(48*time.Hour))
	for _, q := range []forecast.Quantity{forecast.WindSpeed, forecast.Gust} {
		was, is := column(f, q), column(got, q)
		assert.InDelta(t, 0.7*was[7], is[7], 1e-9, "clear night")
		assert.Equal(t, was[17], is[17], "by day")
		assert.Equal(t, was[8], is[8], "cloud unknown")
		assert.Equal(t, is, dressed[0].Columns[q].Values, "futures are moved alike")
	}
	assert.Equal(t, column(f, forecast.AirTemperature), column(got, forecast.AirTemperature))
}

// Nothing learned is nothing changed: the forecast itself comes back.
func TestLearnedCorrect_Nothing(t *testing.T) {
	f := plain()
	dressed := []forecast.Member{f.Members[0]}
	got, also := Learned{}.Correct(f, dressed, start)
	assert.Same(t, f, got)
	assert.Same(t, &dressed[0], &also[0])
	got, _ = taught(AirError, 1).Correct(nil, nil, start)
	assert.Nil(t, got)
}

// Supported keeps what has five readings, and nothing else.
func TestSupported(t *testing.T) {
	var l Learned
	l.Biases[AirError][ClearDay] = Bias{Readings: 4, Mean: 2, Weight: 0.5}
	l.Biases[AirError][ClearNight] = Bias{Readings: 5, Mean: 2, Weight: 0.5}
	s := l.Supported()
	assert.Zero(t, s.At(AirError, ClearDay))
	assert.Equal(t, 1.0, s.At(AirError, ClearNight))
	assert.Equal(t, 1.0, l.At(AirError, ClearDay), "l is only read")
}

func drawMisses(t *rapid.T, now time.Time) []Miss {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Miss {
		return Miss{
			At: now.Add(-time.Duration(rapid.IntRange(-60, 60*24*200).Draw(t, "age")) * time.Minute),
			Of: Variable(rapid.IntRange(0, Variables-1).Draw(t, "of")), Regime: Regime(rapid.IntRange(0, Regimes-1).Draw(t, "regime")),
			Off: rapid.Float64Range(-8, 8).Draw(t, "off"), Station: rapid.Bool().Draw(t, "station"), Share: rapid.Float64Range(0, 1).Draw(t, "share"), Apart: rapid.Float64Range(0, 4).Draw(t, "apart"),
		}
	}), 0, 40).Draw(t, "misses")
}

// What is used never passes its bounds nor the largest error seen, believes less
// than all of it, and does not hang on the order of the errors.
func TestLearn_Laws(t *testing.T) {
	now := start.Add(300 * 24 * time.Hour)
	rapid.Check(t, func(t *rapid.T) {
		list := drawMisses(t, now)
		l := Learn(list, now)
		for v := range Variables {
			for r := range Regimes {
				b, largest := l.Biases[v][r], 0.0
				for _, m := range list {
					if m.Of == Variable(v) && m.Regime == Regime(r) {
						largest = math.Max(largest, math.Abs(m.Off))
					}
				}
				size := math.Abs(l.At(Variable(v), Regime(r)))
				require.LessOrEqual(t, size, math.Min(largest, most[v]))
				require.True(t, b.Weight >= 0 && b.Weight < 1)
			}
		}
		reversed := make([]Miss, len(list))
		for i, m := range list {
			reversed[len(list)-1-i] = m
		}
		require.Equal(t, l, Learn(reversed, now))
	})
}

// Whatever was learned: nothing becomes known or unknown, the dew point never passes
// the air, humidity stays within 0–100 %, and from four days ahead all is as it was.
func TestLearnedCorrect_Laws(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := otterQuay(week)
		now := start.Add(time.Duration(rapid.IntRange(-24, week).Draw(t, "now")) * time.Hour)
		var l Learned
		for v := range l.Biases {
			for r := range l.Biases[v] {
				l.Biases[v][r] = Bias{Readings: 5, Mean: rapid.Float64Range(-9, 9).Draw(t, "mean"), Weight: rapid.Float64Range(0, 1).Draw(t, "weight")}
			}
		}
		got, _ := l.Correct(f, nil, now)
		for i := range f.N {
			a, b := &f.Members[0], &got.Members[0]
			late := start.Add(time.Duration(i)*time.Hour).Sub(now) >= GoneLeadH*time.Hour
			for q := range a.Columns {
				require.Equal(t, a.Columns[q].Known[i], b.Columns[q].Known[i])
				if late {
					require.Equal(t, a.Columns[q].Values[i], b.Columns[q].Values[i])
				}
			}
			require.LessOrEqual(t, b.Columns[forecast.DewPoint].Values[i], b.Columns[forecast.AirTemperature].Values[i]+1e-9)
			rh := b.Columns[forecast.Humidity].Values[i]
			require.True(t, rh > 0 && rh <= 100+1e-9, "%v", rh)
			require.GreaterOrEqual(t, b.Columns[forecast.WindSpeed].Values[i], 0.0)
			off := math.Abs(b.Columns[forecast.AirTemperature].Values[i] - a.Columns[forecast.AirTemperature].Values[i])
			require.LessOrEqual(t, off, 4+1e-9)
		}
	})
}
