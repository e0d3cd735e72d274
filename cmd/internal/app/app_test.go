package app_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/forecast"
	"dewgap/forecast/openmeteo"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/surface"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sourceFunc is a source made of a function.
type sourceFunc func(app.Query) (*forecast.Forecast, error)

func (f sourceFunc) Forecast(_ context.Context, q app.Query) (*forecast.Forecast, error) { return f(q) }

var _ app.Source = sourceFunc(nil)

func at(t testing.TB, text string) time.Time {
	v, err := time.Parse(time.RFC3339, text)
	require.NoError(t, err)
	return v
}

// monday is the day that the tests ask about.
const monday = "2026-09-07T06:00:00-04:00"

func catalogue(t testing.TB) *products.Set {
	set, err := products.Catalogue()
	require.NoError(t, err)
	return set
}

// weathers are the demo's, each read once.
var weathers sync.Map

// weather is the demo's, in hand to be spoilt.
func weather(t testing.TB, now string) *forecast.Forecast {
	read, ok := weathers.Load(now)
	if !ok {
		f, err := demo.Source{Clock: app.At(at(t, now))}.Forecast(context.Background(), app.Query{})
		require.NoError(t, err)
		read, _ = weathers.LoadOrStore(now, f)
	}
	f := *read.(*forecast.Forecast)
	f.Members, f.Warnings = slices.Clone(f.Members), slices.Clone(f.Warnings)
	for i := range f.Members {
		for q, c := range f.Members[i].Columns {
			f.Members[i].Columns[q] = forecast.Column{Values: slices.Clone(c.Values), Known: slices.Clone(c.Known)}
		}
	}
	return &f
}

// fixture asks about the demo's boat under a forecast.
type fixture struct {
	now      string
	forecast *forecast.Forecast
	job      string // overrides the demo's
	timezone string
}

// skies are those of all tests here: their places are few.
var skies surface.Skies

func (x fixture) app(t testing.TB) (*app.App, app.Request) {
	set := catalogue(t)
	text := x.job
	if text == "" {
		text = string(demo.JobFile())
	}
	a := &app.App{
		Clock: app.At(at(t, x.now)), Classes: set, Futures: 10, Skies: &skies,
		Source: sourceFunc(func(app.Query) (*forecast.Forecast, error) { return x.forecast, nil }),
	}
	return a, app.Request{Timezone: x.timezone, Job: func(zone string) (*job.Job, error) {
		return job.Parse("job.yaml", []byte(text), set, job.Options{Timezone: zone})
	}}
}

func (x fixture) week(t testing.TB) *answer.Week {
	a, r := x.app(t)
	w, err := a.Week(context.Background(), r)
	require.NoError(t, err)
	return w
}

func TestWeek(t *testing.T) {
	w := fixture{now: monday, forecast: weather(t, monday)}.week(t)
	assert.Equal(t, answer.Go, w.Verdict)
	assert.Equal(t, 11, w.Source.Members)
	assert.Equal(t, 0, w.Source.Dressed, "an ensemble needs no dressing")
	assert.Equal(t, "seal", w.Headline.Step)
	require.NotEmpty(t, w.Headline.Best)
	assert.Equal(t, "Thu 10 Sep", w.Headline.Best[0].From.Format("Mon 2 Jan"))
	assert.Len(t, w.Headline.WhyNot, 6, "a line for every day before the plan's that does not do")
}

func TestSingleForecastIsDressed(t *testing.T) {
	t.Parallel()
	f := weather(t, monday)
	f.Members = f.Members[:1]
	w := fixture{now: monday, forecast: f}.week(t)
	assert.Equal(t, 1, w.Source.Members)
	assert.Equal(t, 10, w.Source.Dressed)
	a, r := fixture{now: monday, forecast: f}.app(t)
	a.Futures = 0
	plain, err := a.Week(context.Background(), r)
	require.NoError(t, err)
	assert.Zero(t, plain.Source.Dressed)
	for _, x := range plain.Windows {
		assert.Contains(t, []float64{0, 1}, x.Confidence)
	}
	set := func(list []answer.Window) map[string]bool {
		out := map[string]bool{}
		for _, x := range list {
			out[x.Step+x.Zone+x.From.String()+x.To.String()+x.State] = true
		}
		return out
	}
	assert.Equal(t, set(plain.Windows), set(w.Windows), "dressing moves no window")
}

func TestTimezone(t *testing.T) {
	t.Parallel()
	bare := strings.Replace(string(demo.JobFile()), "  timezone: America/New_York\n", "", 1)
	require.NotContains(t, bare, "timezone")
	nowhere := weather(t, monday)
	nowhere.Timezone = ""
	t.Run("of the flag", func(t *testing.T) {
		w := fixture{now: monday, forecast: nowhere, job: bare, timezone: "America/Chicago"}.week(t)
		assert.Equal(t, "America/Chicago", w.Place.Timezone)
	})
	t.Run("of the service", func(t *testing.T) {
		w := fixture{now: monday, forecast: weather(t, monday), job: bare}.week(t)
		assert.Equal(t, "America/New_York", w.Place.Timezone)
		assert.Equal(t, "-04:00", w.From.Format("-07:00"))
	})
	t.Run("the job outranks both", func(t *testing.T) {
		w := fixture{now: monday, forecast: weather(t, monday), timezone: "America/Chicago"}.week(t)
		assert.Equal(t, "America/New_York", w.Place.Timezone)
	})
	t.Run("of nobody", func(t *testing.T) {
		a, r := fixture{now: monday, forecast: nowhere, job: bare}.app(t)
		_, err := a.Week(context.Background(), r)
		p, ok := errors.AsType[*app.Problem](err)
		require.True(t, ok, "%v", err)
		assert.Contains(t, p.Fix, "--timezone")
	})
}

// Missing is never go: a forecast that begins too late, ends too early or is
// spoilt gives unknown, with a word on why.
func TestUnknown(t *testing.T) {
	cut := func(f *forecast.Forecast, to int) {
		f.N = to
		for q := range f.Members[0].Columns {
			for m := range f.Members {
				c := &f.Members[m].Columns[q]
				if len(c.Known) > to {
					*c = forecast.Column{Values: c.Values[:to], Known: c.Known[:to]}
				}
			}
		}
	}
	for name, c := range map[string]struct {
		now     string
		spoil   func(f *forecast.Forecast)
		warning string
		cause   string
	}{
		"two days old": {monday, func(f *forecast.Forecast) { f.Issued = at(t, "2026-09-05T05:00:00-04:00") },
			"the forecast is 3 days old, more than 36 h: nothing is judged by it", "3 days old"},
		"undated and of another day": {monday, func(f *forecast.Forecast) { f.Issued = time.Time{} },
			"the forecast does not say when it was made, and now does not lie within 24 h of its first hour, Fri 4 Sep 00:00: nothing is judged by it; give --fetched to say when it was fetched",
			"does not say when it was made"},
		"over": {"2026-09-20T06:00:00-04:00", func(f *forecast.Forecast) { f.Issued = at(t, "2026-09-20T05:00:00-04:00") },
			"the forecast ended before now, Thu 17 Sep 00:00: everything is unknown", "the forecast ends Thu 17 Sep 00:00"},
		"over at noon of the first day": {monday, func(f *forecast.Forecast) { cut(f, 72+8) }, "", "the forecast ends Mon 7 Sep 08:00"},
		"a column of nulls": {monday, func(f *forecast.Forecast) {
			for m := range f.Members {
				f.Members[m].Columns[forecast.WindSpeed] = forecast.Column{}
			}
		}, "", "the forecast lacks wind"},
	} {
		t.Run(name, func(t *testing.T) {
			f := weather(t, monday)
			c.spoil(f)
			w := fixture{now: c.now, forecast: f, job: strings.Replace(string(demo.JobFile()), "people:", "by: 2026-09-20\npeople:", 1)}.week(t)
			assert.Equal(t, answer.Unknown, w.Verdict)
			assert.Empty(t, w.Windows)
			if c.warning != "" {
				assert.Contains(t, w.Warnings, c.warning)
			}
			texts := ""
			for _, r := range w.Refusals {
				if r.State == "unknown" {
					texts += r.Binding.Text + "\n"
				}
			}
			assert.Contains(t, texts, c.cause)
			assert.Equal(t, c.now[:10], w.From.Format("2006-01-02"))
		})
	}
}

// Without a last day, a forecast that is over still gets an answer.
func TestOverWithoutALastDay(t *testing.T) {
	f := weather(t, monday)
	w := fixture{now: "2026-10-20T06:00:00-04:00", forecast: f}.week(t)
	assert.Equal(t, answer.Unknown, w.Verdict)
	assert.True(t, w.Source.Stale)
	assert.Equal(t, "2026-10-21T00:00:00-04:00", w.To.Format(time.RFC3339), "the day that is asked about")
}

// Half a day old: today's hours are unknown, tomorrow's are judged.
func TestTooOldForToday(t *testing.T) {
	f := weather(t, monday)
	f.Issued = at(t, "2026-09-06T16:00:00-04:00")
	w := fixture{now: monday, forecast: f}.week(t)
	assert.Equal(t, answer.Go, w.Verdict, "Thursday is still good")
	assert.True(t, w.Source.Stale)
	assert.Equal(t, "the forecast is 14 h old, more than 12 h: today is not judged by it", w.Warnings[0])
	unknown := 0
	for _, r := range w.Refusals {
		if r.State == "unknown" && r.From.Day() == 7 {
			assert.Contains(t, r.Binding.Text, "14 h old")
			unknown++
		}
	}
	assert.Positive(t, unknown)
	for _, x := range w.Windows {
		assert.NotEqual(t, 7, x.From.Day())
	}
	for _, h := range w.Zones[0].Hours {
		assert.Equal(t, h.At.Day() != 7, h.AirC != nil, "%v", h.At)
	}
}

func TestMorning(t *testing.T) {
	a, r := fixture{now: "2026-09-10T08:30:00-04:00", forecast: weather(t, "2026-09-07T06:00:00-04:00")}.app(t)
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return weather(t, "2026-09-10T08:30:00-04:00"), nil })
	m, err := a.Morning(context.Background(), r)
	require.NoError(t, err)
	assert.Equal(t, answer.MorningFormat, m.Format)
	assert.Equal(t, answer.Go, m.Verdict, "washing may go on after a dewy night")
	assert.Len(t, m.Steps, 16)
	for _, s := range m.Steps {
		assert.Equal(t, s.Step == "wash", s.Asked, "nothing is done yet")
	}
	for _, c := range m.Cautions {
		assert.Equal(t, 10, c.From.Day(), "today's only")
	}
}

func TestErrorsOfTheJob(t *testing.T) {
	f := weather(t, monday)
	fail := func(jobText string) error {
		a, r := fixture{now: monday, forecast: f, job: jobText}.app(t)
		_, err := a.Week(context.Background(), r)
		require.Error(t, err)
		return err
	}
	_, isJob := errors.AsType[job.Errors](fail("job: x\n"))
	assert.True(t, isJob, "mistakes in the file are told as such")
	err := fail(strings.Replace(string(demo.JobFile()), "people:", "by: 2026-09-01\npeople:", 1))
	p, ok := errors.AsType[*app.Problem](err)
	require.True(t, ok)
	assert.Equal(t, "the job's last day is over", p.Error())
	assert.ErrorIs(t, err, window.ErrNoHorizon)
	broken := errors.New("no connection")
	a, r := fixture{now: monday}.app(t)
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return nil, broken })
	_, err = a.Morning(context.Background(), r)
	assert.ErrorIs(t, err, broken)
}

// The source is asked about the job's place and the model of the request.
func TestQuery(t *testing.T) {
	var got app.Query
	f := weather(t, monday)
	a, r := fixture{now: monday, forecast: f}.app(t)
	a.Source = sourceFunc(func(q app.Query) (*forecast.Forecast, error) { got = q; return f, nil })
	r.Model = "icon_seamless"
	_, err := a.Week(context.Background(), r)
	require.NoError(t, err)
	assert.Equal(t, "icon_seamless", got.Model)
	assert.InDelta(t, 43.07, got.Place.Latitude, 0)
	assert.InDelta(t, -70.74, got.Place.Longitude, 0)
}

func TestWhy(t *testing.T) {
	t.Parallel()
	a, r := fixture{now: monday, forecast: weather(t, monday)}.app(t)
	ask := func(zone, class, when string) (*answer.Why, error) {
		return a.Why(context.Background(), app.WhyRequest{Request: r, Zone: zone, Class: class,
			At: func(*time.Location) (time.Time, error) { return at(t, when), nil }})
	}
	w, err := ask("port side", "polymer-sealant", "2026-09-10T09:05:00-04:00")
	require.NoError(t, err)
	assert.Equal(t, "2026-09-10T09:00:00-04:00", w.At.Format(time.RFC3339), "the slot that holds the moment")
	assert.Equal(t, "go", w.State)
	limits := map[string]answer.WhyLimit{}
	for _, l := range w.Limits {
		limits[l.Limit] = l
		assert.NotEmpty(t, l.Source, l.Limit)
		assert.NotEmpty(t, l.Text, l.Limit)
	}
	for _, name := range []string{"air_min", "surface_max", "spread_min", "wind_max", "rain_free", "dew_free", "cure", "film", "dry_off", "uv_max"} {
		assert.Contains(t, limits, name)
	}
	assert.True(t, limits["sunlight_max"].Waived, "cool sun")

	w, err = ask("port side", "polymer-sealant", "2026-09-08T23:00:00-04:00")
	require.NoError(t, err)
	assert.Equal(t, "no-go", w.State)
	assert.Equal(t, "hours", w.Binding.Limit)
	assert.Equal(t, "hours", w.Limits[0].Limit, "broken yes/no limits come first")

	w, err = ask("rails", "metal-polish", "2026-09-10T09:00:00-04:00")
	require.NoError(t, err, "a product that no step uses")
	assert.Equal(t, "metal-polish", w.Product)

	_, err = ask("mizzen", "polymer-sealant", "2026-09-10T09:00:00-04:00")
	assert.ErrorContains(t, err, "no zone \"mizzen\"")
	_, err = ask("port side", "polymer-sealant", "2027-09-10T09:00:00-04:00")
	assert.ErrorIs(t, err, window.ErrNoSlot)
}

// What dewgap why says of a slot is what the week says of it.
func TestWhyAgreesWithTheWeek(t *testing.T) {
	t.Parallel()
	x := fixture{now: monday, forecast: weather(t, monday)}
	w := x.week(t)
	a, r := x.app(t)
	for _, win := range w.Windows {
		if win.Rank%23 != 1 {
			continue
		}
		middle := win.From.Add(win.To.Sub(win.From) / 2)
		why, err := a.Why(context.Background(), app.WhyRequest{Request: r, Zone: win.Zone, Class: win.Product,
			At: func(*time.Location) (time.Time, error) { return middle, nil }})
		require.NoError(t, err)
		assert.Equal(t, win.State, why.State, "%s on %s at %v", win.Product, win.Zone, middle)
	}
}

// A reply of the demo is what the reader of the service reads.
func TestDemoReplyIsRead(t *testing.T) {
	data, err := demo.Reply(at(t, monday))
	require.NoError(t, err)
	f, err := openmeteo.Parse(data, openmeteo.Options{})
	require.NoError(t, err)
	assert.Len(t, f.Members, 11)
	assert.Empty(t, f.Warnings)
}
