package app_test

import (
	"context"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/forecast"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// besideJob has machines for an hour and twenty minutes a day: no visit by themselves,
// but hours within one that begins with the wash.
const besideJob = `job: Correct a side
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York, wind: at-work, machines: "08:00-09:20"}
boat: {name: Kittiwake, bow: 200}
people: 2
zones:
  - {name: port side, faces: 90, tilt: 90, finish: white-gelcoat, area_m2: 5}
  - {name: transom, faces: 180, tilt: 90, finish: white-gelcoat, area_m2: 60}
steps:
  - {do: wash, with: soap-wash, on: [transom]}
  - {do: correct, with: compound-rotary, on: [port side]}
hours: "07:00-17:00"
by: 2026-09-10
since: {rain: 2026-09-04T08:00}
`

// given is a forecast made before.
type given struct{ f *forecast.Forecast }

func (g given) Forecast(context.Context, app.Query) (*forecast.Forecast, error) { return g.f, nil }

// weekAndSources are both answers for a job under the demo's weather with some of it
// changed, all members alike.
func weekAndSources(t testing.TB, text string, spoil func(f *forecast.Forecast, m *forecast.Member)) (*answer.Week, *answer.Sources) {
	f := weather(t, monday)
	f.Members = f.Members[:1]
	spoil(f, &f.Members[0])
	a, r := fixture{now: monday, forecast: f, job: text}.app(t)
	a.Futures = 0
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	s, err := a.Sources(t.Context(), r, func(*job.Job) []app.Candidate {
		return []app.Candidate{{Name: "nws", Source: given{f}, Command: "dewgap week"}}
	})
	require.NoError(t, err)
	return w, s
}

// Hours that a step has within the plan's visits alone count in the verdict of a service
// as they do in that of week, and its first hours are those of the plan.
func TestSources_CountsThePlan(t *testing.T) {
	w, s := weekAndSources(t, besideJob, func(*forecast.Forecast, *forecast.Member) {})
	require.Equal(t, answer.Go, w.Verdict)
	for _, x := range w.Windows {
		require.NotEqual(t, "correct", x.Step, "or this test is about nothing")
	}
	assert.Equal(t, answer.Go, s.Services[0].Verdict)
	require.Len(t, s.Steps, 2)
	first := s.Steps[1].First[0]
	require.NotNil(t, first.At)
	assert.Equal(t, "nws", first.Service)
	assert.Equal(t, "port side", first.Zone)
	assert.Contains(t, []string{"ideal", "go"}, first.State)
	for _, x := range w.Plan.Blocks {
		if x.Step == "correct" {
			assert.True(t, first.At.Equal(x.From), "%v, in the plan %v", first.At, x.From)
		}
	}
}

// Whatever the weather and the hours of machines, a service has the verdict that week has
// by it.
func TestLaws_SourcesSaysWhatWeekSays(t *testing.T) {
	t.Parallel()
	said := map[string]int{}
	rapid.Check(t, func(rt *rapid.T) {
		wind := rapid.Float64Range(0, 9).Draw(rt, "wind")
		wetFrom := rapid.IntRange(0, 80).Draw(rt, "rain from")
		blindFrom := rapid.IntRange(0, 80).Draw(rt, "no air from")
		blind := rapid.SampledFrom([]int{0, 0, 200}).Draw(rt, "hours without air")
		until := rapid.SampledFrom([]string{"09:20", "10:30"}).Draw(rt, "machines until")
		accept := rapid.SampledFrom([]string{"", "accept: marginal\n"}).Draw(rt, "accept")
		text := strings.Replace(besideJob, "09:20", until, 1) + accept
		w, s := weekAndSources(t, text, func(f *forecast.Forecast, m *forecast.Member) {
			for i := range f.N {
				m.Columns[forecast.WindSpeed].Set(i, wind)
				m.Columns[forecast.Gust].Set(i, 1.4*wind)
			}
			m.Columns[forecast.Precipitation].Set(hourAt(t, f, wetFrom), 3)
			for h := blindFrom; h < blindFrom+blind && hourAt(t, f, 0)+h < f.N; h++ {
				m.Columns[forecast.AirTemperature].Known[hourAt(t, f, 0)+h] = false
			}
		})
		assert.Equal(rt, w.Verdict, s.Services[0].Verdict)
		said[w.Verdict]++
	})
	t.Log(said)
	assert.Positive(t, said[answer.Go])
	assert.Greater(t, len(said), 1, "not one verdict alone")
}
