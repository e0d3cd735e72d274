package app_test

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"
	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// booked is the fixture with a book of its own.
func (x fixture) booked(t *testing.T) (*app.App, app.Request) {
	t.Helper()
	a, r := x.app(t)
	b, err := book.Open(context.Background(), filepath.Join(t.TempDir(), "book.sqlite"), func() time.Time { return at(t, x.now) })
	require.NoError(t, err)
	t.Cleanup(func() { _ = b.Close() })
	a.Book, a.Version = app.Stored{Book: b}, "v0"
	r.File = &app.JobFile{Name: "job.yaml", Data: demo.JobFile()}
	return a, r
}

func answers(t *testing.T, a *app.App) int {
	t.Helper()
	list, err := a.Book.Answers(context.Background(), book.AnswerFilter{})
	require.NoError(t, err)
	return len(list)
}

// What is asked again and again is recorded only when it was told, and once.
func TestWatchKeepsWhatIsTold(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	a, r := fixture{now: monday, forecast: weather(t, monday)}.booked(t)
	out, err := a.Watch(ctx, r, nil)
	require.NoError(t, err)
	assert.Empty(t, out.Changes)
	assert.Equal(t, 0, answers(t, a))
	require.NoError(t, out.Keep(ctx))
	assert.Equal(t, 1, answers(t, a))
	require.NoError(t, out.Keep(ctx))
	assert.Equal(t, 1, answers(t, a))

	a.Book = nil
	same, err := a.Week(ctx, r)
	require.NoError(t, err)
	var was, is bytes.Buffer
	require.NoError(t, answer.Write(&was, out.Week))
	require.NoError(t, answer.Write(&is, same))
	assert.Equal(t, is.String(), was.String(), "without a plan to hold it is the answer of dewgap week")
	out, err = a.Watch(ctx, r, nil)
	require.NoError(t, err)
	require.NoError(t, out.Keep(ctx), "without a book there is nothing to do")
}

// The plan that people go by stands while it can, whatever else is as good; asked hour
// after hour it is the same. That of the book outranks the one that is held.
func TestWatchHoldsThePlan(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	f := weather(t, monday)
	a, r := fixture{now: monday, forecast: f}.app(t)
	asked := 0
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { asked++; return f, nil })
	first, err := a.Watch(ctx, r, nil)
	require.NoError(t, err)
	require.NotEmpty(t, first.Week.Plan.Blocks)
	held := first.Week.Plan
	for k := 1; k <= 3; k++ { // the first block begins at half past seven
		a.Clock = app.At(at(t, monday).Add(time.Duration(20*k) * time.Minute))
		asked = 0
		out, err := a.Watch(ctx, r, held)
		require.NoError(t, err)
		assert.Equal(t, 1, asked, "one forecast for both answers")
		if len(out.Changes) == 0 {
			require.NotNil(t, out.Week.Plan.Ends)
			assert.False(t, out.Week.Plan.Ends.After(held.Ends.Add(-24*time.Hour)), "only a plan that is better by far takes its place")
			held = out.Week.Plan
			continue
		}
		assert.Equal(t, starts(held), starts(out.Week.Plan), "after %d min", 20*k)
	}

	b, q := fixture{now: monday, forecast: f}.booked(t)
	_, err = b.Week(ctx, q)
	require.NoError(t, err)
	other := &answer.Plan{State: answer.Go, Blocks: held.Blocks[:1]}
	out, err := b.Watch(ctx, q, other)
	require.NoError(t, err)
	assert.Equal(t, starts(first.Week.Plan), starts(out.Week.Plan))
	require.NoError(t, out.Keep(ctx))
	assert.Equal(t, 1, answers(t, b), "what stands is not recorded again")
}

// starts are when each block begins.
func starts(p *answer.Plan) map[string]string {
	out := map[string]string{}
	for _, b := range p.Blocks {
		out[b.Step+", "+b.Zone] += " " + b.From.UTC().Format(time.RFC3339)
	}
	return out
}

// oneWash is a job of a single block.
const oneWash = `job: Wash the side
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: Kittiwake, bow: 200}
zones: [{name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 18}]
steps: [{do: wash, with: soap-wash}]
hours: "07:00-18:00"
`

// What a gale forbids is moved, with the reason, and recorded when it is told.
func TestWatchMovesThePlan(t *testing.T) {
	ctx := context.Background()
	f := weather(t, monday)
	a, r := fixture{now: monday, forecast: f, job: oneWash}.booked(t)
	week, err := a.Week(ctx, r)
	require.NoError(t, err)
	require.Len(t, week.Plan.Blocks, 1)
	blow(t, a, week.Now.Add(14*time.Hour))
	out, err := a.Watch(ctx, r, nil)
	require.NoError(t, err)
	assert.NotEqual(t, starts(week.Plan), starts(out.Week.Plan))
	require.Len(t, out.Changes, 1)
	assert.Equal(t, "moved", out.Changes[0].Change)
	assert.NotEmpty(t, out.Changes[0].Text)
	require.NoError(t, out.Keep(ctx))
	assert.Equal(t, 2, answers(t, a))
	list, err := a.Plans(ctx, r)
	require.NoError(t, err)
	assert.Equal(t, starts(out.Week.Plan), starts(list[len(list)-1].Plan), "it is the plan that holds from now on")
}

// blow lets a gale blow in the forecast until a moment.
func blow(t *testing.T, a *app.App, until time.Time) {
	t.Helper()
	gale := weather(t, monday)
	for m := range gale.Members {
		c := gale.Members[m].Columns[forecast.WindSpeed]
		for i := range c.Known {
			if from := gale.Start.Add(time.Duration(i) * gale.Step); from.Before(until) {
				c.Set(i, 25)
			}
		}
	}
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return gale, nil })
}

// Each plan that differs is a version of its own.
func TestPlans(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	a, r := fixture{now: monday, forecast: weather(t, monday)}.booked(t)
	list, err := a.Plans(ctx, r)
	require.NoError(t, err)
	assert.Empty(t, list, "nothing yet")
	week, err := a.Week(ctx, r)
	require.NoError(t, err)
	later := at(t, monday).Add(time.Hour) // before its work begins
	a.Clock = app.At(later)
	blow(t, a, week.Plan.Blocks[0].To)
	second, err := a.Week(ctx, r)
	require.NoError(t, err)

	list, err = a.Plans(ctx, r)
	require.NoError(t, err)
	require.Len(t, list, 2, "the oldest first")
	assert.True(t, list[0].At.Equal(week.Now) && list[1].At.Equal(second.Now))
	assert.Len(t, list[0].Plan.Blocks, len(week.Plan.Blocks))
	for i, b := range list[0].Plan.Blocks {
		assert.True(t, b.From.Equal(week.Plan.Blocks[i].From))
	}
	of := list[1].Of
	assert.Equal(t, []string{week.Job, week.Boat, week.Place.Name}, []string{of.Job, of.Boat, of.Place.Name})
	assert.Len(t, of.Cautions, len(second.Cautions))
	assert.Equal(t, of, list[0].Of, "the newest answer speaks for all")

	a.Clock = app.At(at(t, monday).Add(time.Minute))
	list, err = a.Plans(ctx, r)
	require.NoError(t, err)
	assert.Len(t, list, 1, "what was made for later does not count yet")
	a.Book = nil
	list, err = a.Plans(ctx, r)
	require.NoError(t, err)
	assert.Empty(t, list)
}

// Paced is Live, and tells until when the service said that its reply holds.
func TestPaced(t *testing.T) {
	now := at(t, monday)
	expires := now.Add(47 * time.Minute)
	up, agent := true, ""
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if agent = r.UserAgent(); !up {
			http.Error(w, "down", http.StatusBadGateway)
			return
		}
		data, err := demo.Reply(now)
		assert.NoError(t, err)
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("Date", now.UTC().Format(http.TimeFormat))
		w.Header().Set("Expires", expires.UTC().Format(http.TimeFormat))
		_, _ = w.Write(data)
	}))
	defer server.Close()
	s := &settings.Settings{Source: "openmeteo-ensemble", Timeout: 5 * time.Second, Tries: 1, Cache: t.TempDir(),
		OpenMeteo: settings.OpenMeteo{URL: server.URL}}
	paced := func() *app.Paced {
		return &app.Paced{Live: app.Live{Settings: s, Version: "v0", Wall: func() time.Time { return now }}}
	}
	query := app.Query{Place: forecast.Place{Latitude: 43.07, Longitude: -70.74}}
	p := paced()
	f, err := p.Forecast(context.Background(), query)
	require.NoError(t, err)
	assert.Equal(t, "Open-Meteo", f.Service)
	first := p.Again
	assert.False(t, first.Before(expires.Add(-time.Second)), "at least as long as the service said: %s", first)
	assert.False(t, first.After(now.Add(24*time.Hour)))

	again := paced()
	up = false
	_, err = again.Forecast(context.Background(), query)
	require.NoError(t, err, "the copy serves")
	assert.True(t, again.Again.Equal(first), "and holds as long")

	s.Cache = t.TempDir()
	_, err = paced().Forecast(context.Background(), query)
	_, ok := err.(*app.Problem)
	assert.True(t, ok, "%v", err)
	s.Cache, up = "", true
	p = paced()
	_, err = p.Forecast(context.Background(), query)
	require.NoError(t, err)
	assert.True(t, p.Again.IsZero(), "where nothing is kept nobody knows")

	s.Cache = t.TempDir()
	p = paced()
	p.Adjust = func(cfg *fetch.Config) { cfg.Contact = "harbour@otter-quay.example" }
	_, err = p.Forecast(context.Background(), query)
	require.NoError(t, err)
	assert.Contains(t, agent, "harbour@otter-quay.example", "the last word on how services are asked holds here too")
	assert.True(t, p.Again.Equal(first), "and what the service said is still seen")
}

// The verdict is that of the plan that people go by: one moved past the promised day by a
// gale is a plan all the same, and needs no ways to get on.
func TestWatch_TheVerdictCountsTheMovedPlan(t *testing.T) {
	ctx := context.Background()
	text := oneWash + "by: 2026-09-07\nsince: {rain: 2026-09-04T08:00}\n"
	a, r := fixture{now: monday, forecast: weather(t, monday), job: text}.booked(t)
	week, err := a.Week(ctx, r)
	require.NoError(t, err)
	require.Equal(t, answer.Go, week.Verdict)
	blow(t, a, week.Now.Add(14*time.Hour))
	alone, err := a.Watch(ctx, app.Request{Job: r.Job}, nil) // without the book nobody knows of a plan
	require.NoError(t, err)
	require.Equal(t, answer.NoGo, alone.Week.Verdict, "nothing is left of the only day")
	require.NotEmpty(t, alone.Week.Ladder)
	out, err := a.Watch(ctx, r, nil)
	require.NoError(t, err)
	require.Len(t, out.Changes, 1)
	require.Equal(t, "moved", out.Changes[0].Change)
	require.Equal(t, answer.Go, out.Week.Plan.State)
	assert.Equal(t, answer.Go, out.Week.Verdict)
	assert.Empty(t, out.Week.Ladder)
}

// Work that is over and not logged yet counts as done for a while, as move has it: the
// verdict does not fall to no-go because the plan has no block of it ahead.
func TestWatch_UnloggedIsNoNoGo(t *testing.T) {
	ctx := context.Background()
	f := weather(t, monday)
	a, r := fixture{now: monday, forecast: f, job: besideJob}.booked(t)
	week, err := a.Week(ctx, r)
	require.NoError(t, err)
	require.Equal(t, answer.Go, week.Verdict)
	i := slices.IndexFunc(week.Plan.Blocks, func(x answer.PlanBlock) bool { return x.Step == "correct" })
	end := week.Plan.Blocks[i].To
	require.Equal(t, "10", end.Format("2"), "the job's last day")
	f.Issued = end.Add(-4 * time.Hour) // it says then what it said before
	a.Clock = app.At(end.Add(20 * time.Minute))
	out, err := a.Watch(ctx, r, nil)
	require.NoError(t, err)
	reasons := map[string]string{}
	for _, c := range out.Changes {
		reasons[c.Before.Step] = c.Reason
	}
	require.Equal(t, "unlogged", reasons["correct"], "%v", reasons)
	assert.Equal(t, answer.Go, out.Week.Verdict)
	again, err := a.Week(ctx, r)
	require.NoError(t, err)
	assert.Equal(t, answer.NoGo, again.Verdict, "a week asked by itself presumes nothing")
}
