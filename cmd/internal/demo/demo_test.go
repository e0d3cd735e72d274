package demo

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func moment(t testing.TB, text string) time.Time {
	v, err := time.Parse(time.RFC3339, text)
	require.NoError(t, err)
	return v
}

func TestJob(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	j, err := Job(set)
	require.NoError(t, err)
	assert.Empty(t, j.Warnings, "the demo is a good example")
	assert.Equal(t, "Kittiwake", j.Boat)
	assert.InDelta(t, place.Latitude, j.Place.Latitude, 0, "the weather is that of the job's place")
	assert.InDelta(t, place.Longitude, j.Place.Longitude, 0)
	assert.Equal(t, zoneName, j.Place.Timezone)
	var do []string
	for _, s := range j.Steps {
		do = append(do, s.Do)
	}
	assert.Equal(t, []string{"wash", "correct", "strip wash", "seal"}, do)
	JobFile()[0] = 'x'
	_, err = Job(set)
	assert.NoError(t, err, "nobody can spoil it")
}

func TestTable(t *testing.T) {
	w, err := readWeather(table)
	require.NoError(t, err)
	assert.Equal(t, -3, w.first, "three days of past")
	assert.Len(t, w.days, 13, "and ten from today on")
	for i, d := range w.days {
		assert.Less(t, d.low, d.high, "day %d", w.first+i)
	}
}

func TestReadWeather(t *testing.T) {
	const good = "0 10 20 8 3 10 20 30 40 13-16:0.8 20-21:2"
	w, err := readWeather("# a remark\n\n" + good)
	require.NoError(t, err)
	assert.Equal(t, []day{{low: 10, high: 20, dew: 8, wind: 3, cloud: [4]float64{10, 20, 30, 40},
		rain: []shower{{13, 16, 0.8}, {20, 21, 2}}}}, w.days)
	for text, want := range map[string]string{
		"":                               "no days",
		"0 10 20":                        "3 columns are too few",
		"0 10 warm 8 3 10 20 30 40 -":    "warm",
		"0 10 20 8 3 10 20 30 40 rainy":  "rainy",
		good + "\n2 10 20 8 3 1 2 3 4 -": "does not follow",
	} {
		_, err := readWeather(text)
		assert.ErrorContains(t, err, want, text)
	}
}

func FuzzReadWeather(f *testing.F) {
	f.Add(table)
	f.Add("0 10 20 8 3 10 20 30 40 13-16:0.8")
	f.Fuzz(func(t *testing.T, text string) {
		w, err := readWeather(text)
		if err == nil && len(w.days) == 0 {
			t.Error("no days and no error")
		}
	})
}

// The hours hang together whatever the member: air between the table's bounds
// at the control run, dew point never above the air, no negative wind or rain.
func TestHours(t *testing.T) {
	w, err := readWeather(table)
	require.NoError(t, err)
	assert.InDelta(t, 12, w.hour(5, member{}).air, 1e-9, "the low at five")
	assert.InDelta(t, 19, w.hour(15, member{}).air, 1e-9, "the high at three in the afternoon")
	assert.InDelta(t, 13, w.hour(12, member{}).dew, 1e-9, "the dew point at noon")
	assert.InDelta(t, 0.8, w.hour(13, member{}).rain, 0)
	assert.InDelta(t, 0, w.hour(16, member{}).rain, 0)
	assert.InDelta(t, 1.2, w.hour(-34, member{}).rain, 0, "the rain of the day before yesterday, at two")
	rapid.Check(t, func(t *rapid.T) {
		h := float64(rapid.IntRange(-72, 239).Draw(t, "h"))
		x := w.hour(h, newMember(rapid.IntRange(0, members-1).Draw(t, "k")))
		assert.Less(t, x.dew, x.air)
		assert.Positive(t, x.wind)
		assert.GreaterOrEqual(t, x.rain, 0.0)
		assert.True(t, x.cloud >= 0 && x.cloud <= 100)
		next := w.hour(h+1, member{})
		assert.Less(t, math.Abs(next.air-w.hour(h, member{}).air), 3.0, "no jumps")
	})
}

// Members stray around the control run, and no two alike.
func TestMembers(t *testing.T) {
	assert.Equal(t, member{}, newMember(0), "the control run does not stray")
	seen := map[string]bool{}
	var sum member
	for k := range members {
		m := newMember(k)
		seen[fmt.Sprint(m)] = true
		sum.air, sum.dew, sum.wind = sum.air+m.air, sum.dew+m.dew, sum.wind+m.wind
	}
	assert.Len(t, seen, members)
	assert.InDelta(t, 0, sum.air, 1e-9)
	assert.InDelta(t, 0, sum.dew, 1e-9)
	assert.InDelta(t, 0, sum.wind, 1e-9)
}

func TestForecast(t *testing.T) {
	now := moment(t, "2026-09-07T06:00:30-04:00")
	f, err := Source{Clock: app.At(now)}.Forecast(context.Background(), app.Query{})
	require.NoError(t, err)
	assert.Equal(t, Service, f.Service)
	assert.True(t, moment(t, "2026-09-04T00:00:00-04:00").Equal(f.Start), "three days before today's midnight")
	assert.Equal(t, 13*24, f.N)
	assert.Len(t, f.Members, members)
	assert.Empty(t, f.Warnings, "nothing is missing")
	named, err := Source{Clock: app.At(now)}.Forecast(context.Background(), app.Query{Model: "tug_global"})
	require.NoError(t, err)
	assert.Equal(t, []string{`the model "tug_global" that was asked for is not used: the weather of the demo is invented`}, named.Warnings)
	assert.Equal(t, "2026-09-07T09:20:00Z", f.Issued.Format(time.RFC3339))
	night, ok := f.Index(moment(t, "2026-09-08T00:00:00-04:00"))
	require.True(t, ok)
	v, known := f.Members[0].Columns[forecast.GlobalRadiation].At(night)
	assert.True(t, known)
	assert.Zero(t, v, "the sun is that of the place")
}

// The same day gives the same bytes, at whatever hour it is asked.
func TestReplyByDay(t *testing.T) {
	a, err := Reply(moment(t, "2026-09-07T00:00:00-04:00"))
	require.NoError(t, err)
	b, err := Reply(moment(t, "2026-09-07T23:59:59-04:00"))
	require.NoError(t, err)
	assert.Equal(t, string(a), string(b))
	c, err := Reply(moment(t, "2026-09-08T00:00:00-04:00"))
	require.NoError(t, err)
	assert.NotEqual(t, string(a), string(c))
}

// The demo shows what it is meant to show in every month: three days to explain
// away, a very good one, a next best.
func TestDemoIsInstructive(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	for month := 1; month <= 12; month++ {
		now := time.Date(2026, time.Month(month), 15, 11, 0, 0, 0, time.UTC)
		a := app.App{Source: Source{Clock: app.At(now)}, Clock: app.At(now), Classes: set}
		w, err := a.Week(context.Background(), app.Request{Job: func(string) (*job.Job, error) { return Job(set) }})
		require.NoError(t, err)
		assert.Equal(t, answer.Go, w.Verdict, "%v", now)
		require.NotEmpty(t, w.Headline.Best, "%v", now)
		assert.Equal(t, 18, w.Headline.Best[0].From.Day(), "%v", now)
		assert.NotEmpty(t, w.Headline.Next, "%v", now)
		assert.GreaterOrEqual(t, len(w.Headline.WhyNot), 3, "%v: more where the plan takes a later day", now)
		why := strings.Join(w.Headline.WhyNot, " ")
		assert.Contains(t, why, "water on the panel", "%v", now)
		assert.Contains(t, why, "gusts", "%v", now)
		assert.Empty(t, w.Warnings, "%v", now)
	}
}
