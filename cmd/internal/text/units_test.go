package text

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

var (
	metric = Options{Units: "metric"}
	us     = Options{Units: "us"}
)

// The factors are exact by definition: international foot, mile and pound,
// nautical mile of 1852 m.
func TestQuantities(t *testing.T) {
	for _, c := range []struct {
		q    quantity
		si   float64
		want string
	}{
		{metric.temperature(), 13.44, "13.4" + nbsp + "°C"},
		{us.temperature(), -40, "-40" + nbsp + "°F"},
		{us.temperature(), 100, "212" + nbsp + "°F"},
		{us.degrees(), 3, "5.4" + nbsp + "°F"},
		{us.wind(), 0.44704 * 20, "20" + nbsp + "mph"},
		{Options{Units: "us", Wind: "kn"}.wind(), 1852.0 / 3600 * 15, "15" + nbsp + "kn"},
		{Options{Wind: "mph"}.wind(), 10, "22" + nbsp + "mph"},
		{us.area(), 100 * 0.09290304, "100" + nbsp + "sq" + nbsp + "ft"},
		{us.length(), 13, "43" + nbsp + "ft"},
		{us.rain(), 25.4, "1" + nbsp + "in"},
		{metric.rain(), 4, "4" + nbsp + "mm"},
	} {
		assert.Equal(t, c.want, c.q.show(c.si, nearest))
	}
}

func TestRoundTakesDustForRound(t *testing.T) {
	f32 := float64(float32((90.0 - 32) / 1.8)) // a bound that somebody wrote as 90 °F
	assert.Equal(t, "90", figure(us.temperature().of(f32), 0, down, false))
	assert.Equal(t, "90", figure(us.temperature().of(f32), 0, up, false))
	assert.Equal(t, "5.4", figure(3*kelvinF, 1, up, false))
	assert.Equal(t, "0", figure(-0.2, 0, nearest, true), "no minus zero")
	assert.Equal(t, "1.50", figure(1.5, 2, nearest, true))
	assert.Equal(t, "1.5", figure(1.5, 2, nearest, false))
}

func TestRoundSides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1000, 1000).Draw(t, "x")
		n := rapid.IntRange(0, 2).Draw(t, "digits")
		unit := math.Pow(10, -float64(n))
		lo, hi, mid := round(x, n, down), round(x, n, up), round(x, n, nearest)
		require.LessOrEqual(t, lo, x+2*dust*unit)
		require.GreaterOrEqual(t, hi, x-2*dust*unit)
		require.LessOrEqual(t, hi-lo, unit*1.001)
		require.True(t, math.Abs(mid-lo) < unit*0.001 || math.Abs(mid-hi) < unit*0.001)
	})
}

func TestSpan(t *testing.T) {
	assert.Equal(t, "59-69"+nbsp+"°F", us.temperature().span(15.1, 20.4, nearest))
	assert.Equal(t, "15"+nbsp+"°C", metric.temperature().span(15.1, 15.2, nearest))
	assert.Equal(t, "-3"+nbsp+"to"+nbsp+"4"+nbsp+"°C", metric.temperature().span(-3, 4, nearest))
	assert.Equal(t, "6-16"+nbsp+"°F", us.degrees().span(3.4, 8.9, down))
}

// What lies under the dew point says so, and never looks nearer to good than it is.
func TestOverDew(t *testing.T) {
	for _, x := range []struct {
		lo, hi      float64
		wantF, want string
	}{
		{3.4, 8.9, "6-16 °F over dew point", "3-8 °C over dew point"},
		{0, 0.9, "0-1 °F over dew point", "0 °C over dew point"},
		{-0.3, 2.6, "0.6 °F below to 4.6 °F over dew point", "0.3 °C below to 2.6 °C over dew point"},
		{-2.6, -0.3, "0.6-4.7 °F below dew point", "0.3-2.6 °C below dew point"},
	} {
		assert.Equal(t, x.wantF, untie(us.overDew(x.lo, x.hi)))
		assert.Equal(t, x.want, untie(metric.overDew(x.lo, x.hi)))
	}
}

func TestClock(t *testing.T) {
	assert.Equal(t, "08:20-11:40", hours(at("10 08:20"), at("10 11:40")))
	assert.Equal(t, "08:20-24:00", hours(at("10 08:20"), at("11 00:00")))
	assert.Equal(t, "18:00-Fri"+nbsp+"11"+nbsp+"Sep"+nbsp+"06:00", hours(at("10 18:00"), at("11 06:00")))
	assert.Equal(t, "11:39", clock(at("10 11:39").Add(59*time.Second)), "the latest time is never rounded up")
	assert.Equal(t, "Thu"+nbsp+"10"+nbsp+"Sep", day(at("10 08:20")))
}

// In a 25-hour day the two offsets are one day.
func TestDaysOfChange(t *testing.T) {
	before := time.Date(2026, time.November, 1, 0, 30, 0, 0, time.FixedZone("EDT", -4*3600))
	after := time.Date(2026, time.November, 1, 12, 0, 0, 0, time.FixedZone("EST", -5*3600))
	assert.True(t, sameDay(before, after))
	assert.Equal(t, "00:30-12:00", hours(before, after))
}

func TestDuration(t *testing.T) {
	for _, c := range []struct {
		h    float64
		s    side
		want string
	}{
		{0, nearest, "0 min"}, {0.5, nearest, "30 min"}, {4, up, "4 h"}, {2.75, down, "2 h 45"}, {1.05, nearest, "1 h 03"},
		{2.0001, down, "2 h"}, {2.0001, up, "2 h 01"}, {-1, down, "0 min"}, {168, up, "168 h"},
		{float64(float32(1.0/6)) * 8, down, "1 h 20"}, // slots added in single precision
		{5.9999998, down, "6 h"},
	} {
		assert.Equal(t, c.want, untie(duration(c.h, c.s)))
	}
}

func TestAge(t *testing.T) {
	for s, want := range map[int64]string{
		-5: "0 min old", 0: "0 min old", 1: "1 min old", 2400: "40 min old", 7201: "3 h old", 180000: "3 days old",
	} {
		assert.Equal(t, want, untie(age(&s)))
	}
	assert.Equal(t, "age not known", untie(age(nil)))
}

func TestSure(t *testing.T) {
	for n := 1; n <= 51; n++ {
		for k := range n + 1 { // an answer rounds its confidence to three figures
			got := untie(sure(math.Round(1000*float64(k)/float64(n))/1000, answer.Source{Members: 1, Dressed: n}))
			want := fmt.Sprintf("%d of %d future", k, n)
			if k > 0 && 2*k < n {
				want = "only " + want
			}
			assert.True(t, strings.HasPrefix(got, want), got)
		}
	}
	assert.Equal(t, "41 of 51 forecasts", untie(sure(41.0/51, answer.Source{Members: 51})))
	assert.Equal(t, "26 of 30 futures", untie(sure(float64(float32(26.0/30)), answer.Source{Members: 1, Dressed: 30})))
	assert.Equal(t, "25 of 30 futures", untie(sure(0.866, answer.Source{Members: 1, Dressed: 30})), "rounded down")
	assert.Empty(t, sure(0.9, answer.Source{Members: 1}), "one forecast tells nothing of itself")
	assert.Empty(t, sure(math.NaN(), answer.Source{Members: 51}))
}
