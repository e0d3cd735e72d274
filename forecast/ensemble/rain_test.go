package ensemble

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

// fill gives a column one value throughout.
func fill(f *forecast.Forecast, q forecast.Quantity, v float64) {
	c := forecast.NewColumn(f.N)
	for i := range f.N {
		c.Set(i, v)
	}
	f.Members[0].Columns[q] = c
}

// shareWet is the share of futures with rain in a slot.
func shareWet(f *forecast.Forecast, out []forecast.Member, slot int) float64 {
	wet := 0
	for i := range out {
		if wetIn(f, &out[i], slot) {
			wet++
		}
	}
	return float64(wet) / float64(len(out))
}

func TestRain_ShareIsTheProbability(t *testing.T) {
	f := otterQuay(week)
	for _, n := range []int{1, 7, 30, 51} {
		for _, p := range []float64{0, 5, 30, 50, 95, 100} {
			fill(f, forecast.PrecipitationProbability, p)
			out := Dress(f, n, start, Options{})
			for _, slot := range []int{0, 5, 40, 100, week - 1} {
				require.InDelta(t, p/100, shareWet(f, out, slot), 0.5/float64(n)+1e-9,
					"%d futures, %v %%, slot %d: to the nearest whole future", n, p, slot)
			}
		}
	}
}

func TestRain_ShareIsTheProbabilityOfAny(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := otterQuay(48)
		chance := f.Members[0].Columns[forecast.PrecipitationProbability]
		for i := range f.N {
			chance.Set(i, rapid.Float64Range(0, 100).Draw(t, "p"))
		}
		out := Dress(f, 20, start, Options{})
		for i := range f.N {
			p, _ := chance.At(i)
			require.InDelta(t, p/100, shareWet(f, out, i), 0.5/20+1e-9)
		}
	})
}

// Hours of rain come in a row, not as a coin tossed anew every hour: with 40 %
// the chance that the next hour is alike is 0.52 for coins.
func TestRain_HangsTogether(t *testing.T) {
	f := otterQuay(week)
	out := Dress(f, 100, start, Options{})
	alike, all := 0, 0
	for m := range out {
		for i := 1; i < week; i++ {
			if wetIn(f, &out[m], i) == wetIn(f, &out[m], i-1) {
				alike++
			}
			all++
		}
	}
	assert.Greater(t, float64(alike)/float64(all), 0.75)
}

func TestRain_DryTurnedWet(t *testing.T) {
	f := otterQuay(week)
	fill(f, forecast.Precipitation, 0)
	out := Dress(f, 50, start, Options{})
	seen := 0
	for m := range out {
		for i := range week {
			mm, _ := out[m].Columns[forecast.Precipitation].At(i)
			if mm > 0 {
				require.True(t, mm >= 0.3 && mm <= 1, "%v mm", mm)
				seen++
			}
		}
	}
	assert.Greater(t, seen, 1000)
}

func TestRain_WithoutProbability(t *testing.T) {
	t.Parallel()
	f := otterQuay(week, forecast.PrecipitationProbability)
	out := Dress(f, 2000, start, Options{}) // a share of about 0.765, sure to 0.01
	assert.Greater(t, shareWet(f, out, 22), 0.72, "wet stays mostly wet on the day")
	assert.InDelta(t, 0.6, shareWet(f, out, 24*6+22), 0.25, "less surely in a week")
	assert.Less(t, shareWet(f, out, 10), 0.03, "dry stays dry on the day")
	late := shareWet(f, out, 24*6+10)
	assert.True(t, late > 0.02 && late < 0.2, "a dry hour in a week may turn out wet: %v", late)
	fill(f, forecast.Precipitation, 2)
	out = Dress(f, 400, start, Options{})
	sum, wet, logs := 0.0, 0.0, 0.0
	for m := range out {
		mm, _ := out[m].Columns[forecast.Precipitation].At(30)
		if mm > 0 {
			sum, wet, logs = sum+mm, wet+1, logs+math.Abs(math.Log(mm/2))
		}
	}
	assert.InDelta(t, 2, sum/wet, 0.25, "the mean amount of those that have rain")
	assert.Greater(t, logs/wet, 0.3, "but not all the same")
}

// With rain at 20 to 24 h each day, futures begin earlier and later, more so with
// the days.
func TestRain_ComesEarlyOrLate(t *testing.T) {
	f := otterQuay(week, forecast.PrecipitationProbability)
	certain := Default()
	certain.RainHit, certain.RainMiss = Growth{100, 100, 100, 100}, Growth{}
	out := Dress(f, 300, start, Options{Errors: certain})
	off := func(day int) float64 {
		sum, n := 0.0, 0
		for m := range out {
			for i := 24*day + 14; i < 24*day+24; i++ {
				if wetIn(f, &out[m], i) {
					sum += math.Abs(float64(i - 24*day - 20))
					n++
					break
				}
			}
		}
		require.Greater(t, n, 280)
		return sum / float64(n)
	}
	today, tomorrow, third := off(0), off(1), off(3)
	assert.InDelta(t, 1.1/nineInTen/sigma*math.Sqrt(3), today, 0.5)
	assert.Greater(t, tomorrow, today)
	assert.Greater(t, third, tomorrow)
	assert.Less(t, third, 3.0)
}

func TestRain_AmountsOverSeveralHoursAreOneEvent(t *testing.T) {
	f := otterQuay(48)
	fill(f, forecast.PrecipitationSpan, 6)
	fill(f, forecast.Precipitation, 0.5)
	fill(f, forecast.PrecipitationProbability, 50)
	for i := 12; i < 18; i++ { // one span differs, so the next begins anew
		f.Members[0].Columns[forecast.Precipitation].Set(i, 0.01)
	}
	require.Equal(t, []int{0, 0, 0, 0, 0, 0, 6, 6, 6, 6, 6, 6, 12, 12, 12, 12, 12, 12, 18}, events(&f.Members[0], f)[:19])
	out := Dress(f, 40, start, Options{})
	for m := range out {
		for i := range 48 {
			first, _ := out[m].Columns[forecast.Precipitation].At(i / 6 * 6)
			mm, _ := out[m].Columns[forecast.Precipitation].At(i)
			require.Equal(t, first > 0, mm > 0, "slot %d", i)
		}
		total := 0.0
		for i := 12; i < 18; i++ {
			mm, _ := out[m].Columns[forecast.Precipitation].At(i)
			total += mm
		}
		require.True(t, total == 0 || total >= 0.3 && total <= 1, "0.06 mm in six hours is dry: %v", total)
	}
	assert.InDelta(t, 0.5, shareWet(f, out, 3), 1e-9)
}

func TestRain_ProbabilityWithoutAmount(t *testing.T) {
	f := otterQuay(week, forecast.Precipitation, forecast.PrecipitationSpan)
	out := Dress(f, 10, start, Options{})
	certain := 0
	for m := range out {
		assert.False(t, out[m].Columns[forecast.Precipitation].Any(), "absent stays absent")
		p, ok := out[m].Columns[forecast.PrecipitationProbability].At(50)
		require.True(t, ok)
		require.Contains(t, []float64{0, 100}, p)
		if p == 100 {
			certain++
		}
	}
	assert.Equal(t, 4, certain, "40 % of ten")
}

func TestRain_CodeAgrees(t *testing.T) {
	f := otterQuay(week)
	code := f.Members[0].Columns[forecast.WeatherCode]
	for i := range f.N {
		code.Set(i, []float64{3, 0, 61, 80, 95, 45}[i%6])
	}
	out := Dress(f, 20, start, Options{})
	codes := map[float64]int{}
	for m := range out {
		for i := range f.N {
			c, _ := out[m].Columns[forecast.WeatherCode].At(i)
			was, _ := code.At(i)
			require.Equal(t, wetIn(f, &out[m], i), wetCode(c), "code %v", c)
			if wetCode(was) == wetCode(c) {
				require.Equal(t, was, c, "a code that agrees stays")
			}
			cover, _ := out[m].Columns[forecast.CloudCover].At(i)
			if wetCode(c) {
				require.GreaterOrEqual(t, cover, 70.0, "rain falls from cloud")
			}
			codes[c]++
		}
	}
	for _, c := range []float64{0, 1, 2, 3, 45, 61, 80, 95} {
		assert.Positive(t, codes[c], "code %v", c)
	}
	fill(f, forecast.AirTemperature, -9)
	fill(f, forecast.WeatherCode, 3)
	snowy, _ := firstWet(f, Dress(f, 20, start, Options{}))
	assert.Equal(t, float64(codeSnow), snowy)
}

// firstWet is the weather code of the first wet slot of any future.
func firstWet(f *forecast.Forecast, out []forecast.Member) (float64, bool) {
	for m := range out {
		for i := range f.N {
			if wetIn(f, &out[m], i) {
				return out[m].Columns[forecast.WeatherCode].At(i)
			}
		}
	}
	return 0, false
}

func TestRain_CodeStaysWhereRainIsNotKnown(t *testing.T) {
	f := otterQuay(48, forecast.Precipitation, forecast.PrecipitationProbability)
	fill(f, forecast.WeatherCode, 63)
	for _, m := range Dress(f, 6, start, Options{}) {
		assert.Equal(t, f.Members[0].Columns[forecast.WeatherCode], m.Columns[forecast.WeatherCode])
	}
}

func TestRain_TenMinuteSlots(t *testing.T) {
	f := otterQuay(week)
	f.Step = 10 * time.Minute
	fill(f, forecast.Precipitation, 0.01)
	fill(f, forecast.PrecipitationProbability, 50)
	for _, m := range Dress(f, 10, start, Options{}) {
		for i := range f.N {
			mm, _ := m.Columns[forecast.Precipitation].At(i)
			require.True(t, mm == 0 || mm >= 0.3/6-1e-12 && mm <= 1.0/6+1e-12,
				"0.06 mm/h is dry; wet is an hour's amount by sixths: %v", mm)
		}
	}
}

// The code of a dry sky follows its cloud; an unknown sky is overcast.
func TestCloudCode(t *testing.T) {
	m := forecast.Member{}
	assert.Equal(t, 3.0, cloudCode(&m, 0))
	m.Columns[forecast.CloudCover] = forecast.NewColumn(1)
	for cover, want := range map[float64]float64{0: 0, 14.9: 0, 15: 1, 49.9: 1, 50: 2, 84.9: 2, 85: 3, 100: 3} {
		m.Columns[forecast.CloudCover].Set(0, cover)
		assert.Equal(t, want, cloudCode(&m, 0), "%v %%", cover)
	}
}
