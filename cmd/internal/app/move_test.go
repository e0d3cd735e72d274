package app_test

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/forecast"
	"dewgap/window"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// oneSide is the demo's job on the port side alone.
func oneSide(t testing.TB) string {
	text := strings.ReplaceAll(string(demo.JobFile()), "[port side, starboard side, transom, foredeck]", "[port side]")
	require.Contains(t, text, "on: [port side]")
	return text
}

// rained is the demo's weather with rain on the hours of a day in every member.
func rained(t testing.TB, day string, from, to int) *forecast.Forecast {
	f := weather(t, monday)
	start := at(t, day+"T00:00:00-04:00")
	for k := range f.Members {
		c := f.Members[k].Columns[forecast.Precipitation]
		for h := from; h < to; h++ {
			i, ok := f.Index(start.Add(time.Duration(h) * time.Hour))
			require.True(t, ok)
			c.Set(i, 2)
		}
	}
	return f
}

// sparesFilms wants the message to the owner to say once, in the words of the week, which films
// are to be spared and until when.
func sparesFilms(t *testing.T, m *answer.Move) {
	t.Helper()
	lines := append(answer.CareLines(m.Care, false, m.Now), answer.CareLines(m.Care, true, m.Now)...)
	require.NotEmpty(t, lines)
	for _, line := range lines {
		assert.Equal(t, 1, strings.Count(strings.Join(m.Owner, "\n"), line), "%q in %q", line, m.Owner)
	}
}

// A film that is on is to be spared whatever becomes of the rest of the work, be it that no
// plan is left.
func TestMove_SparesWhatIsOn(t *testing.T) {
	on := at(t, monday).Add(-time.Hour).Format("2006-01-02T15:04")
	text := strings.Replace(twoSteps, "area_m2: 18}]", "area_m2: 18, done: {wash: "+on+", seal: "+on+"}}, {name: transom, faces: 180, tilt: 90, finish: white-gelcoat, area_m2: 6}]", 1)
	text = strings.Replace(text, "since: {rain: 2026-09-04T08:00}", "since: {rain: 2026-09-04T08:00}\nby: 2026-09-12", 1)
	g := agree(t, text)
	m := g.move(t, monday)
	require.Equal(t, answer.Go, m.Verdict)
	sparesFilms(t, m)
	assert.Contains(t, strings.Join(m.Owner, "\n"), "Nobody touches or walks on the seal on port side before ")
	for k := range g.forecast.Members {
		for i := range g.forecast.Members[k].Columns[forecast.WindSpeed].Values {
			g.forecast.Members[k].Columns[forecast.WindSpeed].Set(i, 25)
		}
	}
	m = g.move(t, monday)
	require.Equal(t, answer.None, m.Verdict)
	sparesFilms(t, m)
}

// The plan of Monday under Monday's own forecast does not move; under one with rain
// on a day of it only what it must does, each with a reason, and what the week said
// stands beside what is said now.
func TestMove(t *testing.T) {
	x := fixture{now: monday, forecast: weather(t, monday)}
	week := x.week(t)
	require.NotEqual(t, answer.None, week.Plan.State)
	a, r := x.app(t)
	same, err := a.Move(context.Background(), app.MoveRequest{Request: r, Plan: week.Plan})
	require.NoError(t, err)
	assert.Equal(t, answer.MoveFormat, same.Format)
	assert.Zero(t, same.Moved)
	assert.Equal(t, len(week.Plan.Blocks), same.Blocks)
	assert.Empty(t, same.Ladder)
	assert.Nil(t, same.TellBy)
	for _, c := range same.Changes {
		assert.Equal(t, "kept", c.Change)
		assert.True(t, c.Before.From.Equal(c.After.From))
	}

	sparesFilms(t, same)
	assert.Equal(t, week.Care, same.Care, "as the week has it")

	last := week.Plan.Blocks[len(week.Plan.Blocks)-1]
	x.forecast = rained(t, last.From.Format(time.DateOnly), 6, 20)
	a, r = x.app(t)
	moved, err := a.Move(context.Background(), app.MoveRequest{Request: r, Plan: week.Plan})
	require.NoError(t, err)
	assert.Positive(t, moved.Moved)
	assert.LessOrEqual(t, moved.Least, moved.Moved)
	require.NotNil(t, moved.TellBy)
	n := 0
	for _, c := range moved.Changes {
		assert.NotEmpty(t, c.Text)
		if c.Change == "moved" {
			n++
			assert.NotEqual(t, "stands", c.Reason)
			require.NotNil(t, c.Before)
		}
	}
	assert.Equal(t, moved.Moved, n)
	sparesFilms(t, moved)
	assert.NotEmpty(t, moved.Handover.Text)
	var again bytes.Buffer
	require.NoError(t, answer.Write(&again, moved))
	assert.NotContains(t, again.String(), "NaN")
	var back answer.Move
	require.NoError(t, json.Unmarshal(again.Bytes(), &back))
	assert.Equal(t, moved.Moved, back.Moved)
}

// What was hazing when it rained is to be redone: stripped and sealed again; the
// message for the owner says so in plain words.
func TestMoveRedo(t *testing.T) {
	x := fixture{now: "2026-09-07T13:00:00-04:00", forecast: weather(t, monday), job: oneSide(t)}
	week := fixture{now: monday, forecast: weather(t, monday), job: oneSide(t)}.week(t)
	a, r := x.app(t)
	j, err := r.Job("America/New_York")
	require.NoError(t, err)
	var seal, zone string
	for _, s := range j.Steps {
		if s.Do == "seal" && seal == "" {
			seal, zone = s.Name, j.Zones[s.On[0]].Name
		}
	}
	from := at(t, "2026-09-07T09:00:00-04:00")
	req := app.MoveRequest{
		Request: r, Plan: week.Plan,
		Rain: []window.Rain{{From: at(t, "2026-09-07T11:40:00-04:00"), To: at(t, "2026-09-07T12:30:00-04:00"), MM: 4, HasMM: true, Observed: true}},
		Left: []app.LeftWork{
			{Step: seal, Zone: zone, From: from, To: from.Add(30 * time.Minute), Share: 0.6, Left: window.LeftBuffed},
			{Step: seal, Zone: zone, From: from.Add(2 * time.Hour), To: from.Add(2*time.Hour + 20*time.Minute), Share: 0.4, Left: window.LeftHazing},
		},
	}
	for _, s := range j.Steps {
		if s.Name != seal {
			req.Left = append(req.Left, app.LeftWork{Step: s.Name, Zone: zone, To: from.Add(-time.Hour)})
		}
	}
	m, err := a.Move(context.Background(), req)
	require.NoError(t, err)
	require.Len(t, m.Rain, 1)
	assert.InDelta(t, 4, *m.RainMM, 0)
	fates := map[string]answer.Fate{}
	for _, f := range m.Zones {
		fates[f.Fate] = f
	}
	assert.Contains(t, fates["redo"].Text, "do not wipe")
	assert.Contains(t, fates["redo"].Text, "run-off off the buffed")
	assert.Contains(t, fates["inspect"].Text, "clean towel")
	redo := 0
	for _, b := range m.Plan.Blocks {
		assert.NotContains(t, b.Zone, "redo", "a part goes by the name of its zone")
		if b.Redo {
			redo++
			assert.Equal(t, zone, b.Zone)
		}
	}
	assert.Equal(t, 2, redo, "strip wash and seal")
	assert.Len(t, m.Plan.Blocks, 2, "nothing else is left to do")
	assert.Positive(t, m.AddedH)
	assert.NotEmpty(t, m.Undone)
	assert.Contains(t, strings.Join(m.Owner, " "), "Part of the "+zone)
	assert.NotContains(t, strings.Join(m.Owner, " "), "polymer", "no word of the trade's for the owner")

	req.Plan, req.Rain = m.Plan, nil
	_, err = a.Move(context.Background(), req)
	require.NoError(t, err)
	req.Left[0].Step = "sel"
	_, err = a.Move(context.Background(), req)
	require.ErrorContains(t, err, "no step sel")
}

// Where no plan is left the ways to get on are tried.
func TestMoveLadder(t *testing.T) {
	f := weather(t, monday)
	for k := range f.Members {
		for i := range f.N {
			f.Members[k].Columns[forecast.Precipitation].Set(i, 2)
		}
	}
	a, r := fixture{now: monday, forecast: f}.app(t)
	m, err := a.Move(context.Background(), app.MoveRequest{Request: r})
	require.NoError(t, err)
	assert.Equal(t, answer.None, m.Verdict)
	require.Len(t, m.Ladder, 6)
	assert.False(t, m.Handover.Kept)
	assert.Contains(t, strings.Join(m.Warnings, " "), "no earlier plan")
	for _, x := range m.Ladder {
		assert.Equal(t, x.Tried, x.Plan != nil)
		assert.True(t, x.Works || x.Why != "", x.Way)
	}
}

// A job whose last day is over is moved past it.
func TestMovePastTheLastDay(t *testing.T) {
	x := fixture{now: monday, forecast: weather(t, monday)}
	x.job = oneSide(t) + "from: 2026-09-01\nby: 2026-09-06\n"
	a, r := x.app(t)
	m, err := a.Move(context.Background(), app.MoveRequest{Request: r})
	require.NoError(t, err)
	assert.False(t, m.Handover.Kept)
	assert.True(t, m.Handover.Promised)
	assert.Positive(t, m.Handover.Days)
	assert.NotEqual(t, answer.None, m.Verdict)
}

// Where a plan is needed and there is none, nothing is made up.
func TestMoveNeedsAPlan(t *testing.T) {
	a, r := fixture{now: monday, forecast: weather(t, monday)}.app(t)
	_, err := a.Move(context.Background(), app.MoveRequest{Request: r, Needed: true})
	require.ErrorIs(t, err, app.ErrNoPlan)
	last, err := a.LastMove(context.Background(), r)
	require.NoError(t, err)
	assert.Nil(t, last, "no book")
}

// The week tries the ways to get on where it has no plan, and only there.
func TestWeekLadder(t *testing.T) {
	t.Parallel()
	x := fixture{now: monday, forecast: weather(t, monday)}
	assert.Empty(t, x.week(t).Ladder)
	for k := range x.forecast.Members {
		for i := range x.forecast.N {
			x.forecast.Members[k].Columns[forecast.Precipitation].Set(i, 2)
		}
	}
	week := x.week(t)
	require.Equal(t, answer.None, week.Plan.State)
	require.Len(t, week.Ladder, 6)
	a, r := x.app(t)
	moved, err := a.Move(context.Background(), app.MoveRequest{Request: r})
	require.NoError(t, err)
	assert.Equal(t, moved.Ladder, week.Ladder, "a move tries the same")
}

// How work was left must be of the job: a step, a zone that it is done on, a share of it,
// and a time that somebody knows. Each is told by its name, with what was probably meant.
func TestMove_LeftWorkOfTheJob(t *testing.T) {
	x := fixture{now: "2026-09-07T13:00:00-04:00", forecast: weather(t, monday), job: oneSide(t)}
	week := fixture{now: monday, forecast: weather(t, monday), job: oneSide(t)}.week(t)
	a, r := x.app(t)
	when := at(t, "2026-09-07T09:00:00-04:00")
	for name, c := range map[string]struct {
		left      app.LeftWork
		says, fix string
	}{
		"no such step":      {app.LeftWork{Step: "sael", Zone: "port side", To: when}, "the job has no step sael", "did you mean seal?"},
		"no such zone":      {app.LeftWork{Step: "seal", Zone: "prot side", To: when}, "the job has no seal on a zone prot side", "did you mean port side?"},
		"another's zone":    {app.LeftWork{Step: "seal", Zone: "transom", To: when}, "the job has no seal on a zone transom", "port side"},
		"more than all":     {app.LeftWork{Step: "seal", Zone: "port side", To: when, Share: 1.2}, "a share of a zone must lie above 0 and at most at 1", "0.5"},
		"less than none":    {app.LeftWork{Step: "seal", Zone: "port side", To: when, Share: -0.1}, "a share of a zone must lie above 0 and at most at 1", "0.5"},
		"nobody knows when": {app.LeftWork{Step: "seal", Zone: "port side"}, "nobody says when seal was done on port side", "dewgap log done"},
	} {
		m, err := a.Move(t.Context(), app.MoveRequest{Request: r, Plan: week.Plan, Left: []app.LeftWork{c.left}})
		assert.Nil(t, m, name)
		p := &app.Problem{}
		require.ErrorAs(t, err, &p, name)
		assert.Equal(t, c.says, p.Text, name)
		assert.Contains(t, p.Fix, c.fix, name)
	}
}

// Work that was logged as done gives its own time and share to how it was left, and what
// was logged in a block of the plan went on from the block's beginning.
func TestMove_LeftWorkThatWasLogged(t *testing.T) {
	week := fixture{now: monday, forecast: weather(t, monday), job: twoSteps}.week(t)
	wash := week.Plan.Blocks[0]
	require.Equal(t, "wash", wash.Step)
	done := strings.Replace(twoSteps, "area_m2: 18", "area_m2: 18, done: {wash: {at: "+wash.To.Format("2006-01-02T15:04")+", share: 0.5}}", 1)
	x := fixture{now: wash.To.Add(time.Hour).Format(time.RFC3339), forecast: weather(t, monday), job: done}
	a, r := x.app(t)
	rain := []window.Rain{{From: wash.To.Add(10 * time.Minute), To: wash.To.Add(30 * time.Minute), MM: 2, HasMM: true, Observed: true}}
	m, err := a.Move(t.Context(), app.MoveRequest{Request: r, Plan: week.Plan, Rain: rain, Left: []app.LeftWork{{Step: "wash", Zone: "port side"}}})
	require.NoError(t, err)
	var fates []answer.Fate
	for _, f := range m.Zones {
		if f.Step == "wash" {
			fates = append(fates, f)
		}
	}
	require.Len(t, fates, 1, "half a wash is one piece of work")
	assert.InDelta(t, 0.5, fates[0].Share, 0)
	require.NotNil(t, fates[0].To)
	assert.True(t, fates[0].To.Equal(wash.To))

	m, err = a.Move(t.Context(), app.MoveRequest{Request: r, Plan: week.Plan, Rain: rain})
	require.NoError(t, err)
	for _, f := range m.Zones {
		if f.Step == "wash" {
			require.NotNil(t, f.From)
			assert.True(t, f.From.Equal(wash.From), "it was done in its block")
		}
	}
}
