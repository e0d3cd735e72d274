package app_test

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// old is a forecast made so long before a moment that nobody believes it any longer.
func old(t *testing.T, f *forecast.Forecast, now string) *forecast.Forecast {
	t.Helper()
	out := *f
	out.Issued = at(t, now).Add(-60 * time.Hour)
	return &out
}

// raining has it rain in every hour of a forecast.
func raining(f *forecast.Forecast) {
	for k := range f.Members {
		for i := range f.Members[k].Columns[forecast.Precipitation].Values {
			f.Members[k].Columns[forecast.Precipitation].Set(i, 2)
		}
	}
}

// move asks for the plan to be moved at a moment.
func (g agreed) move(t *testing.T, now string) *answer.Move {
	t.Helper()
	x := g.fixture
	x.now = now
	a, r := x.app(t)
	m, err := a.Move(t.Context(), app.MoveRequest{Request: r, Plan: g.plan})
	require.NoError(t, err)
	return m
}

// A forecast that nobody believes takes nothing away: what was agreed stands where it
// stood, as not known and never as go, nothing else is tried, and nobody is told that it is
// off.
func TestMoveBlind_Stands(t *testing.T) {
	g := agree(t, twoSteps)
	g.forecast = old(t, g.forecast, monday)
	m := g.move(t, monday)
	assert.Equal(t, answer.Unknown, m.Verdict)
	assert.Equal(t, answer.Unknown, m.Plan.State)
	assert.Zero(t, m.Plan.Confidence)
	assert.Equal(t, blocksOf(g.plan), blocksOf(m.Plan))
	assert.Equal(t, g.plan.Days, m.Plan.Days)
	require.NotNil(t, m.Plan.Ends)
	assert.True(t, m.Plan.Ends.Equal(*g.plan.Ends))
	assert.Zero(t, m.Moved)
	assert.Equal(t, len(g.plan.Blocks), m.Blocks)
	require.Len(t, m.Changes, len(g.plan.Blocks))
	for _, c := range m.Changes {
		assert.Equal(t, answer.Unknown, c.Change)
		assert.Equal(t, "not_known", c.Reason)
		assert.Equal(t, answer.Unknown, c.After.State)
		assert.True(t, c.Before.From.Equal(c.After.From))
	}
	assert.Empty(t, m.Ladder)
	assert.Nil(t, m.TellBy)
	assert.False(t, m.Handover.Kept)
	assert.Empty(t, m.Handover.Text, "no day was promised")
	assert.Contains(t, strings.Join(m.Owner, " "), "they stand for now")
	assert.NotContains(t, strings.Join(m.Warnings, " "), "as it was agreed")
}

// What is known to be in the way is in the way, whatever else is not known: rain on every
// day leaves the sealing no place, so there is no plan, and the ways to get on are tried.
func TestMoveBlind_KnownRefusalOutranks(t *testing.T) {
	g := agree(t, twoSteps)
	wash := g.plan.Blocks[0]
	require.Equal(t, "wash", wash.Step)
	f := weather(t, monday)
	raining(f)
	g.forecast = f
	require.Equal(t, answer.None, g.move(t, monday).Verdict)
	for k := range f.Members { // nobody knows the hours of the wash
		for h := wash.From.Truncate(time.Hour).Add(-2 * time.Hour); h.Before(wash.To.Add(2 * time.Hour)); h = h.Add(time.Hour) {
			i, ok := f.Index(h)
			require.True(t, ok)
			f.Members[k].Columns[forecast.AirTemperature].Known[i] = false
		}
	}
	m := g.move(t, monday)
	assert.Equal(t, answer.None, m.Verdict)
	assert.Equal(t, answer.None, m.Plan.State)
	assert.NotEmpty(t, m.Ladder)
}

// Work that was agreed for days beyond the forecast stands, though it rains on all before
// them: nothing that is known refuses it.
func TestMoveBlind_BeyondTheForecast(t *testing.T) {
	g := agree(t, twoSteps)
	later := g.forecast.End().Add(24 * time.Hour)
	seal := g.plan.Blocks[1]
	require.Equal(t, "seal", seal.Step)
	g.plan.Blocks = []answer.PlanBlock{putOff(g.plan.Blocks[0], later), putOff(seal, later.Add(6*time.Hour))}
	raining(g.forecast)
	m := g.move(t, monday)
	assert.Equal(t, answer.Unknown, m.Verdict)
	assert.Equal(t, blocksOf(g.plan), blocksOf(m.Plan))
	require.Len(t, m.Plan.Why, 2)
	assert.Equal(t, "what was agreed stands until a forecast says more", m.Plan.Why[0])
	assert.True(t, strings.HasPrefix(m.Plan.Why[1], "for a new plan, as far as the forecast reaches: "), "it is not what stands that has no place: %s", m.Plan.Why[1])
}

// A forecast too old for today takes nothing away from today either: it was a day lost, and
// told to the owner, for a telephone that was out of reach. Nor does it where somebody forgot to
// log the wash: what comes after that stands, and only where it does not is there a new place.
func TestMoveBlind_TodayAlone(t *testing.T) {
	g := agree(t, twoSteps)
	wash, seal := g.plan.Blocks[0], g.plan.Blocks[1]
	now := wash.From.Add(-4 * time.Hour)
	f := *g.forecast
	f.Issued = now.Add(-14 * time.Hour)
	g.forecast = &f
	m := g.move(t, now.Format(time.RFC3339))
	assert.Equal(t, answer.Unknown, m.Verdict)
	assert.Equal(t, blocksOf(g.plan), blocksOf(m.Plan))
	assert.Zero(t, m.Moved)
	assert.Nil(t, m.TellBy)
	assert.Empty(t, m.Ladder)
	assert.Nil(t, m.Handover.Ends)

	tomorrow := wash.From.AddDate(0, 0, 1)
	part := g
	part.plan = &answer.Plan{State: answer.Go, Confidence: 1, Blocks: []answer.PlanBlock{wash, putOff(seal, tomorrow.Add(seal.From.Sub(wash.From)))}}
	m = part.move(t, now.Format(time.RFC3339))
	assert.Equal(t, answer.Unknown, m.Verdict)
	assert.Equal(t, answer.Unknown, m.Changes[0].Change, "%+v", m.Changes[0])

	late := wash.To.Add(3 * time.Hour) // nobody has washed
	f.Issued = late.Add(-14 * time.Hour)
	require.True(t, late.Before(seal.To))
	m = g.move(t, late.Format(time.RFC3339))
	assert.Equal(t, answer.Unknown, m.Verdict)
	assert.Zero(t, m.Moved)
	assert.Equal(t, blocksOf(&answer.Plan{Blocks: []answer.PlanBlock{seal}}), blocksOf(m.Plan))
	assert.Equal(t, []string{"none", "lost"}, []string{m.Changes[0].Change, m.Changes[0].Reason})
	assert.Contains(t, m.Changes[0].Text, "log it if it is, else it is booked anew")
	assert.Equal(t, answer.Unknown, m.Changes[1].Change)
	assert.Contains(t, strings.Join(m.Warnings, "\n"), "in the plan as it was agreed wash on port side")

	f.Issued = late // a newer one knows: what was missed moves, and what comes after it
	m = g.move(t, late.Format(time.RFC3339))
	assert.Equal(t, answer.Go, m.Verdict)
	assert.Equal(t, len(g.plan.Blocks), m.Moved)
	assert.False(t, m.Plan.Blocks[0].From.Before(late))
}

// One zone's wash that was missed has a new place on a day that is known, and today's work
// on another stands: nobody is called off for a word that was forgotten.
func TestMoveBlind_MissedBesideToday(t *testing.T) {
	text := strings.Replace(twoSteps, "area_m2: 18}]", "area_m2: 18}, {name: transom, faces: 180, tilt: 90, finish: white-gelcoat, area_m2: 6}]", 1)
	g := agree(t, text)
	day := g.plan.Blocks[0].From
	at := func(h int) time.Time {
		return time.Date(day.Year(), day.Month(), day.Day(), h, 0, 0, 0, day.Location())
	}
	block := func(step, zone string, from time.Time) answer.PlanBlock {
		for _, x := range g.plan.Blocks {
			if x.Step == step && x.Zone == zone {
				return putOff(x, from)
			}
		}
		t.Fatalf("no %s on %s", step, zone)
		return answer.PlanBlock{}
	}
	g.plan = &answer.Plan{State: answer.Go, Confidence: 1, Blocks: []answer.PlanBlock{
		block("wash", "transom", at(7)), block("wash", "port side", at(11)), block("seal", "port side", at(14)), block("seal", "transom", at(14).AddDate(0, 0, 2)),
	}}
	now := at(10)
	f := *g.forecast
	f.Issued = now.Add(-14 * time.Hour)
	g.forecast = &f
	m := g.move(t, now.Format(time.RFC3339))
	assert.Equal(t, answer.Unknown, m.Verdict)
	assert.Equal(t, 1, m.Moved)
	change := map[string]answer.BlockChange{}
	for _, c := range m.Changes {
		change[c.Before.Step+" "+c.Before.Zone] = c
	}
	missed := change["wash transom"]
	require.NotNil(t, missed.After, "%+v", missed)
	assert.Equal(t, []string{"moved", "lost"}, []string{missed.Change, missed.Reason})
	assert.Greater(t, missed.After.From.Day(), now.Day(), "today is not known")
	assert.Contains(t, missed.Text, "its new place, for a newer forecast to confirm")
	for _, is := range []string{"wash port side", "seal port side"} {
		assert.Equal(t, answer.Unknown, change[is].Change, is)
		assert.True(t, change[is].Before.From.Equal(change[is].After.From), is)
	}
	assert.Nil(t, m.TellBy)
	assert.Contains(t, strings.Join(m.Owner, " "), "they stand for now")
}

// Nor does watch, which asks again by itself, plan anew or move what only missing data speak
// against; nothing of that goes into the book.
func TestMoveBlind_Watch(t *testing.T) {
	g := agree(t, twoSteps)
	now := g.plan.Blocks[0].From.Add(-4 * time.Hour)
	f := *g.forecast
	f.Issued = now.Add(-14 * time.Hour)
	g.forecast, g.now = &f, now.Format(time.RFC3339)
	a, r := g.booked(t)
	out, err := a.Watch(t.Context(), r, g.plan)
	require.NoError(t, err)
	assert.Equal(t, blocksOf(g.plan), blocksOf(out.Week.Plan))
	assert.Equal(t, answer.Unknown, out.Week.Plan.State)
	require.NoError(t, out.Keep(t.Context()))
	assert.Zero(t, answers(t, a))
}

// What was missed has no place by a forecast too old for today, and nothing of that goes into
// force behind anybody's back; by a newer one it has.
func TestMoveBlind_WatchMissed(t *testing.T) {
	g := agree(t, twoSteps)
	late := g.plan.Blocks[0].To.Add(3 * time.Hour)
	f := *g.forecast
	f.Issued = late.Add(-14 * time.Hour)
	g.forecast, g.now = &f, late.Format(time.RFC3339)
	a, r := g.booked(t)
	out, err := a.Watch(t.Context(), r, g.plan)
	require.NoError(t, err)
	require.True(t, out.Week.Source.Stale)
	require.Equal(t, "none", out.Changes[0].Change, "the seal stands that comes after it")
	require.NoError(t, out.Keep(t.Context()))
	assert.Zero(t, answers(t, a))
	f.Issued = late
	a, r = g.booked(t)
	out, err = a.Watch(t.Context(), r, g.plan)
	require.NoError(t, err)
	require.NoError(t, out.Keep(t.Context()))
	assert.Equal(t, 1, answers(t, a), "with a newer one it is, and told")
}

// A week asked of a forecast too old for today shows what it makes of the days after, and
// leaves the plan that counts alone, unless that is what was wanted.
func TestWeek_TooOldForToday(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	const day = "2026-09-13T06:00:00-04:00"
	x := fixture{now: day, forecast: weather(t, day)}
	a, r := x.booked(t)
	first, err := a.Week(ctx, r)
	require.NoError(t, err)
	ask := func(d time.Duration) *answer.Week {
		a.Clock = app.At(first.Plan.Blocks[0].From.Add(d - 3*time.Hour))
		w, err := a.Week(ctx, r)
		require.NoError(t, err)
		return w
	}
	counts := func() *answer.Week {
		hold := r
		hold.Hold = true
		m, err := a.Move(ctx, app.MoveRequest{Request: hold, Needed: true})
		require.NoError(t, err)
		var was []answer.PlanBlock
		for _, c := range m.Changes {
			if c.Before != nil {
				was = append(was, *c.Before)
			}
		}
		return &answer.Week{Plan: &answer.Plan{Blocks: was}}
	}
	good := x.forecast
	f := *good
	f.Issued = first.Plan.Blocks[0].From.Add(-17 * time.Hour)
	x.forecast = &f
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return x.forecast, nil })
	const says = "the plan of Sun 13 Sep 06:00 stays the one that counts"
	old := ask(0)
	assert.True(t, old.Source.Stale)
	assert.NotEqual(t, blocksOf(first.Plan), blocksOf(old.Plan))
	assert.Contains(t, said(old), says)
	again, err := a.Again(ctx, 2)
	require.NoError(t, err)
	assert.True(t, again.Same, "the book can work it out again")
	assert.ElementsMatch(t, blocksOf(first.Plan), blocksOf(counts().Plan))

	r.Anew = true
	anew := ask(time.Minute)
	assert.NotContains(t, said(anew), says)
	r.Anew = false
	assert.ElementsMatch(t, blocksOf(anew.Plan), blocksOf(counts().Plan))
}

// A promised day is neither kept nor broken by what is not known.
func TestMoveBlind_Promised(t *testing.T) {
	g := agree(t, strings.Replace(twoSteps, "people: 2", "people: 2\nby: 2026-09-13", 1))
	g.forecast = old(t, g.forecast, monday)
	m := g.move(t, monday)
	assert.Equal(t, answer.Unknown, m.Verdict)
	assert.Equal(t, "whether the hand-over Sun 13 Sep stands is not known", m.Handover.Text)
	assert.False(t, m.Handover.Proven)
}

// A block that was missed cannot stand: it is named, and booked anew once something is known.
func TestMoveBlind_Missed(t *testing.T) {
	g := agree(t, twoSteps)
	wash, seal := g.plan.Blocks[0], g.plan.Blocks[1]
	require.Equal(t, "seal", seal.Step)
	now := wash.To.Add(3 * time.Hour)
	require.True(t, now.Before(seal.To))
	g.forecast = old(t, g.forecast, now.Format(time.RFC3339))
	m := g.move(t, now.Format(time.RFC3339))
	assert.Equal(t, answer.Unknown, m.Verdict)
	require.Len(t, m.Changes, 2)
	assert.Equal(t, "none", m.Changes[0].Change)
	assert.Equal(t, "lost", m.Changes[0].Reason)
	assert.Equal(t, answer.Unknown, m.Changes[1].Change)
	assert.Len(t, m.Plan.Blocks, 1)
	assert.Contains(t, strings.Join(m.Warnings, "\n"), "in the plan as it was agreed wash on port side, "+wash.From.Format("Mon 2 Jan 15:04")+" is over and not done")
}

// In the book such a move changes nothing: the plan that was moved before it is in force,
// week and next move start from that, and the answer can be read again.
func TestMoveBlind_Book(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	x := fixture{now: monday, forecast: weather(t, monday)}
	a, r := x.booked(t)
	week, err := a.Week(ctx, r)
	require.NoError(t, err)
	first := week.Plan.Blocks[0].From
	x.forecast = rained(t, first.Format(time.DateOnly), 0, 24)
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return x.forecast, nil })
	a.Clock = app.At(at(t, monday).Add(time.Minute))
	moved, err := a.Move(ctx, app.MoveRequest{Request: r, Needed: true})
	require.NoError(t, err)
	require.Positive(t, moved.Moved)

	good := x.forecast
	x.forecast = old(t, good, monday)
	a.Clock = app.At(at(t, monday).Add(2 * time.Minute))
	blind, err := a.Move(ctx, app.MoveRequest{Request: r, Needed: true})
	require.NoError(t, err)
	require.Equal(t, answer.Unknown, blind.Verdict)
	last, err := a.LastMove(ctx, r)
	require.NoError(t, err)
	require.NotNil(t, last)
	assert.Equal(t, answer.Unknown, last.Verdict)

	x.forecast = good
	a.Clock = app.At(at(t, monday).Add(3 * time.Minute))
	r.Hold = true
	week, err = a.Week(ctx, r)
	require.NoError(t, err)
	require.NotNil(t, week.Plan.Held, "the moved plan is held")
	assert.Equal(t, blocksOf(moved.Plan), blocksOf(week.Plan))
	r.Hold = false
	again, err := a.Move(ctx, app.MoveRequest{Request: r, Needed: true})
	require.NoError(t, err)
	assert.Zero(t, again.Moved)
	assert.Equal(t, blocksOf(moved.Plan), blocksOf(again.Plan))
	last, err = a.LastMove(ctx, r)
	require.NoError(t, err)
	assert.Equal(t, moved.Plan.State, last.Verdict)

	a.Clock = app.At(at(t, monday).Add(4 * time.Minute))
	r.Anew = true
	_, err = a.Week(ctx, r)
	require.NoError(t, err)
	last, err = a.LastMove(ctx, r)
	require.NoError(t, err)
	assert.Nil(t, last, "planned anew since")
}
