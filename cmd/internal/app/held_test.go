package app_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twoSteps is a job of two blocks on one side, washed and then sealed.
const twoSteps = `job: Wash and seal the side
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: Kittiwake, bow: 200}
zones: [{name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 18}]
steps:
  - {do: wash, with: soap-wash}
  - {do: seal, with: polymer-sealant}
people: 2
hours: "07:00-18:00"
since: {rain: 2026-09-04T08:00}
`

// agreed is a plan that people go by, and the question that holds it. The week is asked
// of the forecast that the plan was made of, unless the test gives another.
type agreed struct {
	fixture
	plan *answer.Plan
	made time.Time
}

func agree(t *testing.T, text string) agreed {
	x := fixture{now: monday, forecast: weather(t, monday), job: text}
	week := x.week(t)
	require.NotEmpty(t, week.Plan.Blocks)
	require.Equal(t, answer.Go, week.Plan.State)
	return agreed{x, week.Plan, week.Now}
}

// hold asks the week at a moment, with the plan held.
func (g agreed) hold(t *testing.T, now string) *answer.Week {
	t.Helper()
	x := g.fixture
	x.now = now
	a, r := x.app(t)
	r.Hold, r.Held, r.HeldAt = true, g.plan, g.made
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	return w
}

// blocks of a plan are by what and when.
func blocksOf(p *answer.Plan) []string {
	var out []string
	for _, b := range p.Blocks {
		out = append(out, b.Step+" "+b.Zone+" "+b.From.UTC().Format(time.RFC3339)+" "+b.To.UTC().Format(time.RFC3339))
	}
	return out
}

func said(w *answer.Week) string { return strings.Join(w.Warnings, "\n") }

// What was agreed stands where it stood, with the word of when it was agreed, while the
// forecast is what it was; and what it was made by is still told.
func TestHeld_Stands(t *testing.T) {
	g := agree(t, twoSteps)
	w := g.hold(t, monday)
	assert.Equal(t, blocksOf(g.plan), blocksOf(w.Plan))
	assert.Equal(t, answer.Go, w.Plan.State)
	require.NotNil(t, w.Plan.Held)
	assert.Equal(t, monday, w.Plan.Held.Format(time.RFC3339), "by the clock at the place")
	assert.Equal(t, "agreed on Mon 7 Sep 06:00; it stands until it is moved or planned anew", w.Plan.Why[0])
	require.Greater(t, len(g.plan.Why), 1)
	assert.Equal(t, []string{"as it was made: " + g.plan.Why[0]}, w.Plan.Why[1:], "what it comes to, and nothing of how it was found")
	assert.NotContains(t, said(w), "does not hold")
	assert.LessOrEqual(t, w.Plan.Confidence, g.plan.Confidence, "never surer than when it was made")
	assert.Empty(t, w.Ladder, "nobody looks for another")
}

// Asked to hold and to plan anew at once, the new plan is wanted; and without a plan to
// hold the week makes one.
func TestHeld_AnewOutranksHolding(t *testing.T) {
	g := agree(t, twoSteps)
	a, r := g.app(t)
	r.Hold, r.Anew, r.Held, r.HeldAt = true, true, g.plan, g.made
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	assert.Nil(t, w.Plan.Held)

	r.Anew, r.Held = false, nil
	w, err = a.Week(t.Context(), r)
	require.NoError(t, err)
	assert.Nil(t, w.Plan.Held)
	assert.Equal(t, blocksOf(g.plan), blocksOf(w.Plan))

	r.Held = &answer.Plan{State: answer.None}
	w, err = a.Week(t.Context(), r)
	require.NoError(t, err)
	assert.Nil(t, w.Plan.Held, "no plan is nothing to hold")
}

// Rain on an agreed block leaves it where it is, and says that it does not hold: the
// plan is no go, without confidence, and the warning tells whoever reads it what to do.
func TestHeld_RainSpoilsABlock(t *testing.T) {
	g := agree(t, twoSteps)
	seal := g.plan.Blocks[len(g.plan.Blocks)-1]
	day := seal.From.Format(time.DateOnly)
	g.forecast = rained(t, day, seal.From.Hour(), seal.To.Hour()+1)
	w := g.hold(t, monday)
	assert.Equal(t, blocksOf(g.plan), blocksOf(w.Plan), "it stands where it stood")
	assert.Equal(t, answer.NoGo, w.Plan.State)
	assert.Zero(t, w.Plan.Confidence)
	last := w.Plan.Blocks[len(w.Plan.Blocks)-1]
	assert.Equal(t, answer.NoGo, last.State)
	assert.Zero(t, last.Confidence)
	assert.False(t, last.NeedsConsent, "nobody can say yes to it")
	assert.Empty(t, last.ConsentFor)
	assert.Zero(t, w.Plan.Consents)
	assert.Contains(t, said(w), "the plan of Mon 7 Sep 06:00 does not hold: seal on port side, "+seal.From.Format("Mon 2 Jan 15:04")+" is no-go now; move it or plan anew")
}

// No state is said to be better than it was: a block that was marginal stays so under the
// best of skies, and what asked for a yes to that still asks.
func TestHeld_NeverBetterThanAgreed(t *testing.T) {
	g := agree(t, twoSteps)
	was := *g.plan
	was.Blocks = slices.Clone(g.plan.Blocks)
	last := len(was.Blocks) - 1
	was.Blocks[last].State, was.Blocks[last].Confidence, was.Blocks[last].NeedsConsent = answer.Marginal, 0.4, true
	was.Confidence = 0.4
	g.plan = &was
	w := g.hold(t, monday)
	assert.Equal(t, answer.Marginal, w.Plan.State)
	assert.Equal(t, 1, w.Plan.Consents)
	assert.Equal(t, answer.Marginal, w.Plan.Blocks[last].State)
	assert.NotContains(t, said(w), "does not hold", "it waits for a yes, as it did")
	assert.Equal(t, answer.Marginal, g.plan.Blocks[last].State, "the plan that was given is left alone")
}

// How sure a plan is goes by the forecasts of now: where few held when it was made and all do
// as its day comes near, it is sure, and needs no yes for that any longer; nor the other way.
func TestHeld_AsSureAsNow(t *testing.T) {
	g := agree(t, twoSteps)
	as := func(x answer.PlanBlock, sure float64) *answer.Week {
		was := *g.plan
		was.Blocks = slices.Clone(g.plan.Blocks)
		was.Blocks[0], was.Confidence = x, sure
		h := g
		h.plan = &was
		return h.hold(t, monday)
	}
	x := g.plan.Blocks[0]
	sure := as(x, g.plan.Confidence).Plan
	require.Greater(t, sure.Blocks[0].Confidence, 0.5)
	x.Confidence, x.NeedsConsent, x.ConsentFor = 0.3, true, answer.FewHold
	w := as(x, 0.3).Plan
	assert.InDelta(t, sure.Confidence, w.Confidence, 0, "by the forecasts of now")
	assert.InDelta(t, sure.Blocks[0].Confidence, w.Blocks[0].Confidence, 0)
	assert.False(t, w.Blocks[0].NeedsConsent)
	assert.Empty(t, w.Blocks[0].ConsentFor)
	assert.Equal(t, answer.Go, w.State)

	x.NeedsConsent, x.ConsentFor = true, "too windy"
	assert.True(t, as(x, 0.3).Plan.Blocks[0].NeedsConsent, "that is another matter")
}

// Where nothing is known of a block's hours it is unknown, never go.
func TestHeld_UnknownIsNoGo(t *testing.T) {
	g := agree(t, twoSteps)
	f := weather(t, monday)
	for m := range f.Members {
		c := &f.Members[m].Columns[forecast.WindSpeed]
		*c = forecast.NewColumn(f.N)
	}
	g.forecast = f
	w := g.hold(t, monday)
	assert.Equal(t, answer.Unknown, w.Plan.State)
	assert.Zero(t, w.Plan.Confidence)
	for _, b := range w.Plan.Blocks {
		assert.Equal(t, answer.Unknown, b.State)
		assert.False(t, b.NeedsConsent, "nobody can say yes to what is not known")
		assert.Empty(t, b.ConsentFor)
	}
	assert.Zero(t, w.Plan.Consents)
	assert.Contains(t, said(w), " and 1 more of its blocks are unknown now; move it")
	assert.Equal(t, 1, strings.Count(said(w), "unknown now"), "said once, however many")
	g.plan.Blocks = g.plan.Blocks[1:]
	assert.Contains(t, said(g.hold(t, monday)), "does not hold: seal on port side, "+g.plan.Blocks[0].From.Format("Mon 2 Jan 15:04")+" is unknown now; move it")
}

// Marginal work that had its yes has it no more once its hours are no-go.
func TestHeld_AYesToMarginalIsNoneToNoGo(t *testing.T) {
	g := agree(t, twoSteps)
	was := *g.plan
	was.Blocks = slices.Clone(g.plan.Blocks)
	seal := &was.Blocks[len(was.Blocks)-1]
	seal.State, seal.NeedsConsent, seal.ConsentFor = answer.Marginal, true, "wind 6 m/s, at most 5"
	g.plan = &was
	g.forecast = rained(t, seal.From.Format(time.DateOnly), seal.From.Hour(), seal.To.Hour()+1)
	assert.False(t, g.hold(t, monday).Plan.Accepted)
	g.job += "accept: marginal\n"
	held := g.hold(t, monday).Plan
	assert.True(t, held.Accepted, "by the job as it is now")
	last := held.Blocks[len(was.Blocks)-1]
	assert.Equal(t, answer.NoGo, last.State)
	assert.False(t, last.NeedsConsent)
	assert.Empty(t, last.ConsentFor)
	assert.True(t, seal.NeedsConsent, "the plan that was given is left alone")
}

// A short block that has hours within a visit of the plan alone is unknown, and the week
// with it, where only missing data speak against it; no-go where the weather does.
func TestHeld_ShortBlockWithoutData(t *testing.T) {
	g := agree(t, besideJob)
	i := slices.IndexFunc(g.plan.Blocks, func(x answer.PlanBlock) bool { return x.Step == "correct" })
	require.NotEqual(t, -1, i)
	block := g.plan.Blocks[i]
	blind := func() *forecast.Forecast {
		f := weather(t, monday)
		for m := range f.Members {
			c := &f.Members[m].Columns[forecast.WindSpeed]
			for k := range f.N {
				if at := f.Start.Add(time.Duration(k) * f.Step); touches(at, at.Add(f.Step), block.From.Add(-72*time.Hour), block.To) {
					c.Known[k] = false
				}
			}
		}
		return f
	}
	g.forecast = blind()
	w := g.hold(t, monday)
	assert.Equal(t, answer.Unknown, w.Plan.Blocks[i].State)
	assert.Equal(t, answer.Unknown, w.Plan.State)
	assert.Equal(t, answer.Unknown, w.Verdict)

	g.forecast = blind()
	for m := range g.forecast.Members {
		c := &g.forecast.Members[m].Columns[forecast.Precipitation]
		for k := range g.forecast.N {
			c.Set(k, 2)
		}
	}
	w = g.hold(t, monday)
	assert.Equal(t, answer.NoGo, w.Plan.State)
	assert.Equal(t, answer.NoGo, w.Verdict)
}

// A block whose time is over and of which nothing was done is named; one that was done
// is not. When all of it is over there is nothing to hold.
func TestHeld_Missed(t *testing.T) {
	g := agree(t, twoSteps)
	wash, seal := g.plan.Blocks[0], g.plan.Blocks[len(g.plan.Blocks)-1]
	require.Equal(t, "wash", wash.Step)
	require.True(t, wash.To.Before(seal.To))
	between := wash.To.Add(10 * time.Minute)
	require.True(t, between.Before(seal.To))
	now := between.Format(time.RFC3339)
	w := g.hold(t, now)
	assert.Contains(t, said(w), "wash on port side, "+wash.From.Format("Mon 2 Jan 15:04")+" is over and not done")

	done := g
	done.job = strings.Replace(twoSteps, "area_m2: 18", "area_m2: 18, done: {wash: "+wash.To.Format("2006-01-02T15:04")+"}", 1)
	assert.NotContains(t, said(done.hold(t, now)), "is over and not done")

	w = g.hold(t, seal.To.Add(time.Minute).Format(time.RFC3339))
	assert.Nil(t, w.Plan.Held, "all of it is over")
}

// A job that no longer has the work of a block cannot keep it a go.
func TestHeld_WorkThatTheJobHasNoMore(t *testing.T) {
	g := agree(t, twoSteps)
	g.job = strings.Replace(twoSteps, "  - {do: seal, with: polymer-sealant}\n", "", 1)
	w := g.hold(t, monday)
	assert.Equal(t, answer.Unknown, w.Plan.State)
	assert.Contains(t, said(w), "the job has no seal on port side any longer")

	// A block of it that is over is nobody's loss.
	seal := g.plan.Blocks[len(g.plan.Blocks)-1]
	g.plan = &answer.Plan{State: answer.Go, Blocks: []answer.PlanBlock{seal, putOff(g.plan.Blocks[0], seal.To.Add(time.Hour))}}
	w = g.hold(t, seal.To.Add(time.Minute).Format(time.RFC3339))
	assert.NotContains(t, said(w), "seal on port side")
}

// putOff is a block put off to begin at a moment.
func putOff(b answer.PlanBlock, at time.Time) answer.PlanBlock {
	d := at.Sub(b.From)
	b.From, b.To, b.WorkTo = b.From.Add(d), b.To.Add(d), b.WorkTo.Add(d)
	return b
}

// A block that lies beyond what the forecast knows is unknown, not what it once was.
func TestHeld_BeyondTheForecast(t *testing.T) {
	g := agree(t, twoSteps)
	end := g.forecast.End()
	g.plan = &answer.Plan{State: answer.Go, Confidence: 1, Blocks: []answer.PlanBlock{putOff(g.plan.Blocks[0], end.Add(24*time.Hour))}}
	w := g.hold(t, monday)
	assert.Equal(t, answer.Unknown, w.Plan.State)
	assert.Contains(t, said(w), "is unknown now")
}

// A plan that was moved past the promised day is judged to its end.
func TestHeld_PastThePromisedDay(t *testing.T) {
	g := agree(t, twoSteps)
	seal := g.plan.Blocks[len(g.plan.Blocks)-1]
	next := job.DateOf(seal.From).Next()
	g.job = twoSteps + "by: " + seal.From.Format(time.DateOnly) + "\n"
	g.plan = &answer.Plan{State: answer.Go, Confidence: 1, Blocks: []answer.PlanBlock{putOff(seal, seal.From.AddDate(0, 0, 1))}}
	w := g.hold(t, monday)
	require.NotNil(t, w.Plan.Held)
	assert.False(t, w.To.Before(next.Next().Begins(w.Now.Location())), "the day after is looked at too")
	assert.NotEqual(t, answer.Unknown, w.Plan.State)
}

// A plan that the book has from a move is held by who asks to hold, and the answer is
// worked out again as it was; after a move that found none the week makes its own.
func TestHeld_ThroughTheBook(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	g := agree(t, twoSteps)
	a, r := g.booked(t)
	r.File = &app.JobFile{Name: "job.yaml", Data: []byte(twoSteps)}
	_, err := a.Week(ctx, r)
	require.NoError(t, err)
	r.Hold = true
	w, err := a.Week(ctx, r)
	require.NoError(t, err)
	assert.Nil(t, w.Plan.Held, "one that was neither moved nor begun is made anew with each forecast")

	moved, err := a.Move(ctx, app.MoveRequest{Request: r})
	require.NoError(t, err)
	a.Clock = app.At(at(t, monday).Add(10 * time.Minute))
	w, err = a.Week(ctx, r)
	require.NoError(t, err)
	require.NotNil(t, w.Plan.Held)
	assert.Equal(t, blocksOf(moved.Plan), blocksOf(w.Plan))
	list, err := a.Book.Answers(ctx, book.AnswerFilter{Limit: 1})
	require.NoError(t, err)
	again, err := a.Again(ctx, list[0].ID)
	require.NoError(t, err)
	assert.True(t, again.Same, "%+v", again.Differences)

	wet := weather(t, monday)
	for k := range wet.Members {
		for i := range wet.N {
			wet.Members[k].Columns[forecast.Precipitation].Set(i, 2)
		}
	}
	a.Clock = app.At(at(t, monday).Add(20 * time.Minute))
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return wet, nil })
	none, err := a.Move(ctx, app.MoveRequest{Request: r})
	require.NoError(t, err)
	require.Equal(t, answer.None, none.Verdict)
	a.Clock = app.At(at(t, monday).Add(30 * time.Minute))
	w, err = a.Week(ctx, r)
	require.NoError(t, err)
	assert.Nil(t, w.Plan.Held, "what could not be moved is in force no more")
	last, err := a.LastMove(ctx, r)
	require.NoError(t, err)
	require.NotNil(t, last)
	assert.Equal(t, answer.None, last.Verdict, "and the newest move is told as such")
}

// A plan of two who compound together does not hold once there is one polisher for them; two
// are enough, and so is one where they take it one after the other, though the first one is
// still wiping off.
func TestHeld_TooFewPolishers(t *testing.T) {
	g := agree(t, besideJob)
	i := slices.IndexFunc(g.plan.Blocks, func(x answer.PlanBlock) bool { return x.Step == "correct" })
	require.NotEqual(t, -1, i)
	block := g.plan.Blocks[i]
	require.Len(t, block.People, 2)
	with := func(polishers string, blocks ...answer.PlanBlock) *answer.Week {
		x := g
		x.job += polishers
		if blocks != nil {
			p := *g.plan
			p.Blocks = blocks
			x.plan = &p
		}
		return x.hold(t, monday)
	}
	few := "correct on port side, " + block.From.Format("Mon 2 Jan 15:04") + ": there are too few polishers then"
	w := with("polishers: 1\n")
	assert.Equal(t, answer.NoGo, w.Plan.State)
	assert.Zero(t, w.Plan.Confidence)
	assert.Equal(t, answer.NoGo, w.Verdict)
	assert.Contains(t, said(w), few)
	for _, enough := range []string{"", "polishers: 2\n"} {
		w = with(enough)
		assert.Equal(t, answer.Go, w.Plan.State)
		assert.NotContains(t, said(w), "polishers")
	}

	first, second := block, block
	first.People, second.People = []int{1}, []int{2}
	w = with("polishers: 1\n", first, second)
	assert.Equal(t, 1, strings.Count(said(w), few), "side by side, and told once")
	second.WorkTo = time.Time{}
	assert.Contains(t, said(with("polishers: 1\n", second, first)), few, "to its end, where no other is told")
	first.WorkTo = first.From.Add(10 * time.Minute)
	second = putOff(second, first.WorkTo)
	second.WorkTo = time.Time{}
	require.True(t, first.To.After(second.From))
	assert.NotContains(t, said(with("polishers: 1\n", first, second)), "polishers")
	first.WorkTo = first.WorkTo.Add(time.Minute)
	w = with("polishers: 1\n", first, second)
	assert.Contains(t, said(w), second.From.Format("Mon 2 Jan 15:04")+": there are too few polishers then")
	assert.NotContains(t, said(w), few, "the first has it")

	done := g
	done.job = strings.Replace(besideJob, "area_m2: 5}", "area_m2: 5, done: {correct: 2026-09-07T05:00}}", 1) + "polishers: 1\n"
	assert.NotContains(t, said(done.hold(t, monday)), "polishers", "what is done keeps none")
}

// oneAtMachine is a side to be compounded.
const oneAtMachine = `job: Compound
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York, wind: at-work}
boat: {name: Kittiwake, bow: 200}
zones:
  - {name: starboard side, faces: 90, tilt: 90, finish: white-gelcoat, area_m2: 6}
steps:
  - {do: correct, with: compound-dual-action, hours: 3}
crew: Ada and Ben
people: 2
hours: "07:00-18:00"
since: {rain: 2026-09-04T08:00}
`

// A plan that holds is told where the one polisher is on another boat of the crew in its
// hours, though its people are not: two plans that were made before their jobs counted it.
// Its blocks stay as they are, for the other plan may move as well.
func TestHeld_PolisherOnTheOtherBoat(t *testing.T) {
	b := newBook(t)
	ask := func(boat, now, more string, hold bool) *answer.Week {
		text := strings.Replace(oneAtMachine, "Kittiwake", boat, 1) + more
		if boat == "Kittiwake" {
			text = strings.Replace(text, "people: 2", "people: 1", 1)
		}
		f := weather(t, monday)
		f.Members = f.Members[:2]
		a, r := fixture{now: now, forecast: f, job: text}.app(t)
		a.Book, a.Version, r.File, r.Hold = app.Stored{Book: b}, "v1.2.3", &app.JobFile{Name: "job.yaml", Data: []byte(text)}, hold
		w, err := a.Week(t.Context(), r)
		require.NoError(t, err)
		return w
	}
	one, other := ask("Kittiwake", monday, "", false), ask("Tern", monday, "", false)
	require.Len(t, one.Plan.Blocks, 1)
	require.Len(t, other.Plan.Blocks, 1)
	first, there := one.Plan.Blocks[0], other.Plan.Blocks[0]
	require.NotEqual(t, first.People, there.People)
	require.True(t, there.From.Before(first.To) && first.From.Before(there.To), "or this test is about nothing")
	begun := first.From.Add(10 * time.Minute).Format(time.RFC3339)
	held := func(polishers string) (*answer.Week, string) {
		w := ask("Kittiwake", begun, polishers, true)
		require.NotNil(t, w.Plan.Held)
		return w, said(w)
	}
	for _, enough := range []string{"", "polishers: 2\n"} {
		_, text := held(enough)
		assert.NotContains(t, text, "that it needs", enough)
	}
	w, text := held("polishers: 1\n")
	assert.Contains(t, text, "correct on starboard side, "+first.From.Format("Mon 2 Jan 15:04")+": a polisher that it needs is on Tern (Compound) then, or on the way")
	assert.Equal(t, answer.Go, w.Plan.State, "either of the two plans may move")
	owner := strings.Join(w.Plan.ForOwner, "\n")
	assert.Contains(t, owner, "a polisher that it needs is on another boat then")
	assert.NotContains(t, owner, "Tern")
}
