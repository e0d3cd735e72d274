package app

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/forecast/source"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who stops waits for nothing; a slip in the work is one of whoever asked for it.
func TestAside(t *testing.T) {
	got, err := aside(t.Context(), func() (int, error) { return 3, nil })
	require.NoError(t, err)
	assert.Equal(t, 3, got)
	_, err = aside(t.Context(), func() (int, error) { return 3, errors.ErrUnsupported })
	require.ErrorIs(t, err, errors.ErrUnsupported)
	ctx, stop := context.WithCancel(t.Context())
	never := make(chan struct{})
	defer close(never)
	got, err = aside(ctx, func() (int, error) { stop(); <-never; return 3, nil })
	require.ErrorIs(t, err, context.Canceled)
	assert.Zero(t, got)
	defer func() { assert.Contains(t, fmt.Sprint(recover()), "a slip\ngoroutine") }()
	_, _ = aside(t.Context(), func() (int, error) { panic("a slip") })
}

// A job that begins after the forecast's end gets one day to be judged, so that
// it is answered; a job that names its last day keeps it.
func TestWithin(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	start := time.Date(2026, 9, 7, 4, 0, 0, 0, time.UTC)
	f := &forecast.Forecast{Start: start, Step: time.Hour, N: 72}
	day := func(n int) job.Date { return job.Date{Year: 2026, Month: 9, Day: n} }
	for name, c := range map[string]struct {
		from, by job.Date
		now      time.Time
		want     job.Date
	}{
		"within the forecast":       {job.Date{}, job.Date{}, start, job.Date{}},
		"in its last hour":          {job.Date{}, job.Date{}, start.Add(71 * time.Hour), job.Date{}},
		"at its end":                {job.Date{}, job.Date{}, start.Add(72 * time.Hour), day(10)},
		"late in the evening there": {job.Date{}, job.Date{}, time.Date(2026, 9, 12, 3, 0, 0, 0, time.UTC), day(11)},
		"the job begins later":      {day(20), job.Date{}, start, day(20)},
		"the job begins in time":    {day(9), job.Date{}, start, job.Date{}},
		"a last day stays":          {job.Date{}, day(30), start.Add(100 * time.Hour), day(30)},
	} {
		j := &job.Job{Place: job.Place{Location: loc}, From: c.from, By: c.by}
		got := within(j, f, c.now)
		assert.Equal(t, c.want, got.By, name)
		assert.Equal(t, c.by, j.By, "%s: the job itself is left alone", name)
	}
}

func TestJudging(t *testing.T) {
	for _, err := range []error{window.ErrNoHorizon, window.ErrNoForecast, window.ErrNoLocation, errors.New("other")} {
		got := judging(fmt.Errorf("wrapped: %w", err))
		assert.ErrorIs(t, got, err)
		p, ok := errors.AsType[*Problem](got)
		require.True(t, ok)
		assert.NotEmpty(t, p.Text)
	}
}

func TestProblem(t *testing.T) {
	assert.Equal(t, "job.yaml: is a folder", (&Problem{Where: "job.yaml", Text: "is a folder"}).Error())
	assert.Equal(t, "is a folder", (&Problem{Text: "is a folder"}).Error())
}

// Every way to fail at fetching ends in something that a person can do.
func TestFetchFix(t *testing.T) {
	one := &fetch.Error{Service: "NWS", Kind: fetch.Network, Fix: "check the connection"}
	for _, c := range []struct {
		err  error
		want string
	}{
		{one, "check the connection; or work from a saved reply with --forecast FILE"},
		{fmt.Errorf("wrapped: %w", one), "check the connection; or work from a saved reply with --forecast FILE"},
		{&source.FailedError{Tried: []source.Attempt{{Name: "nws", Err: one}}}, "check the connection; or work from a saved reply with --forecast FILE"},
		{errors.New("what else"), "choose another --source; or work from a saved reply with --forecast FILE"},
	} {
		assert.Equal(t, c.want, fetchFix(c.err))
	}
}

func TestReadFix(t *testing.T) {
	assert.Equal(t, "fetch again", readFix(fmt.Errorf("wrapped: %w", &forecast.ReadError{Fix: "fetch again"})))
	assert.NotEmpty(t, readFix(&forecast.ReadError{}))
	assert.NotEmpty(t, readFix(errors.New("other")))
}

// What is looked at closer is the step, the zones and the first member alone,
// up to the last block's day; the input itself stays as it is.
func TestReduced(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	j := &job.Job{
		Zones: []boat.Zone{{Name: "a"}, {Name: "b", Salt: true}, {Name: "c"}},
		Steps: []job.Step{{Name: "wash", On: []int{0, 1, 2}}, {Name: "seal", On: []int{0, 1, 2}}},
		By:    job.Date{Year: 2026, Month: 9, Day: 14},
	}
	in := window.Input{Job: j, Forecast: &forecast.Forecast{Members: make([]forecast.Member, 5)}, Dressed: make([]forecast.Member, 3), Location: loc}
	at := time.Date(2026, 9, 11, 2, 0, 0, 0, time.UTC) // ten in the evening of the tenth
	small := reduced(in, 1, []block{{zone: 2, name: "c", to: at}, {zone: 1, name: "b", to: at.Add(-time.Hour)}, {zone: 2, name: "c", to: at}})
	require.Len(t, small.Job.Zones, 2)
	assert.Equal(t, "c", small.Job.Zones[0].Name)
	assert.False(t, small.Job.Zones[1].Salt)
	assert.Equal(t, []job.Step{{Name: "seal", On: []int{0, 1}}}, small.Job.Steps)
	assert.Equal(t, job.Date{Year: 2026, Month: 9, Day: 10}, small.Job.By)
	assert.Len(t, small.Forecast.Members, 1)
	assert.Nil(t, small.Dressed)
	assert.Len(t, j.Zones, 3)
	assert.True(t, j.Zones[1].Salt)
	assert.Len(t, j.Steps, 2)
	assert.Equal(t, []int{0, 1, 2}, j.Steps[1].On)
	assert.Len(t, in.Forecast.Members, 5)
}

// shown is an answer's facts with one zone per state, all day long.
func shown(t *testing.T, states ...verdict.State) answer.Facts {
	grid := surface.Grid{Start: time.Date(2026, 9, 10, 4, 0, 0, 0, time.UTC), N: 144}
	f := answer.Facts{
		Job: &job.Job{Steps: []job.Step{{Name: "seal", Do: "seal"}}}, Forecast: &forecast.Forecast{Start: grid.Start, Step: time.Hour, N: 24, Members: make([]forecast.Member, 1)},
		Result: &window.Result{Grid: grid, To: 144, Location: time.UTC},
	}
	for i, s := range states {
		f.Job.Zones = append(f.Job.Zones, boat.Zone{Name: string(rune('a' + i))})
		run := verdict.Run{From: 0, To: 144, State: s, Limit: verdict.Film, Binding: verdict.Binding{Limit: verdict.Film}}
		row := window.Row{Zone: i}
		if s.Workable() {
			row.Windows = []window.Window{{Run: run}}
		} else {
			row.Refusals = []verdict.Run{run}
		}
		f.Result.Rows = append(f.Result.Rows, row)
	}
	return f
}

func TestCompare(t *testing.T) {
	const i, g, m, u, x = verdict.Ideal, verdict.Go, verdict.Marginal, verdict.Unknown, verdict.NoGo
	for _, c := range []struct {
		before, after []verdict.State
		want          string
	}{
		{[]verdict.State{g, g}, []verdict.State{g, i}, ""},
		{[]verdict.State{i, g}, []verdict.State{g, g}, ""},
		{[]verdict.State{g, g}, []verdict.State{x, g}, "no-go on a (water on the panel)"},
		{[]verdict.State{g, i}, []verdict.State{x, x}, "no-go on a, b (water on the panel)"},
		{[]verdict.State{g, g}, []verdict.State{m, x}, "no-go on b (water on the panel); marginal on a"},
		{[]verdict.State{m, x}, []verdict.State{x, x}, ""}, // what was not good cannot break
		{[]verdict.State{g}, []verdict.State{u}, "unknown on a"},
	} {
		before, after := shown(t, c.before...), shown(t, c.after...)
		start := before.Result.Grid.Start
		var blocks []block
		for z := range c.before {
			b := block{zone: z, name: before.Job.Zones[z].Name, from: start.Add(time.Hour), to: start.Add(3 * time.Hour)}
			blocks = append(blocks, b, b) // two windows of one zone are one mention
		}
		got := compare(blocks, before, after)
		if c.want == "unknown on a" {
			assert.Contains(t, got, c.want)
			continue
		}
		assert.Equal(t, c.want, got, "%v to %v", c.before, c.after)
	}
}

// Where no job file is, the flag is the only place to name the time zone.
func TestZoneFix(t *testing.T) {
	assert.Equal(t, "give --timezone, such as --timezone America/New_York", zoneFix(nil))
	assert.Contains(t, zoneFix(&JobFile{Name: "job.yaml"}), "write timezone under place in the job")
}

// The way between marinas: 40 km/h for the first 20 km of road, 80 for the rest.
func TestWayMin(t *testing.T) {
	for km, want := range map[float64]float64{0: 0, 3: 10, 15: 30, 15.1: 35, 45: 60, 60: 75, 20_000: 24 * 60} {
		assert.InDelta(t, want, wayMin(km), 0, "%g km", km)
	}
}
