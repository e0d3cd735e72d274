package app_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/window"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// strippedBefore is the job of one side, compounded, and strip washed an hour and a half
// before it rains, from one to two; and the plan that was agreed for its seal.
func strippedBefore(t testing.TB, now string) (x fixture, agreed *answer.Plan) {
	text := oneSide(t) + "zones:\n  - {name: port side, done: {wash: 2026-09-07T08:00, correct: 2026-09-07T11:00, strip wash: 2026-09-07T11:30}}\n"
	week := fixture{now: "2026-09-07T12:00:00-04:00", forecast: weather(t, monday), job: text}.week(t)
	require.NotEqual(t, answer.None, week.Plan.State)
	require.Len(t, week.Plan.Blocks, 1, "the seal alone is left")
	return fixture{now: now, forecast: rained(t, "2026-09-07", 13, 14), job: text}, week.Plan
}

// One truth: the rain that has dewgap move plan another strip wash has the week plan
// it, the morning ask for it and the page of a plan that was agreed before say that it
// has none.
func TestStock_EveryAnswerKnows(t *testing.T) {
	t.Parallel()
	x, agreed := strippedBefore(t, "2026-09-07T15:00:00-04:00")
	a, r := x.app(t)
	m, err := a.Move(context.Background(), app.MoveRequest{Request: r, Plan: agreed})
	require.NoError(t, err)
	require.Equal(t, []answer.Undone{{Step: "strip wash", Zone: "port side", Share: 1}}, m.Undone)
	assert.NotContains(t, strings.Join(m.Warnings, " "), "wetted", "its own part says it")

	week := x.week(t)
	require.NotEmpty(t, week.Plan.Blocks)
	assert.Equal(t, "strip wash", week.Plan.Blocks[0].Step)
	assert.Contains(t, strings.Join(week.Warnings, " "), "the rain of Mon 7 Sep 13:00 wetted port side after the strip wash")

	morning, err := a.Morning(context.Background(), r)
	require.NoError(t, err)
	for _, s := range morning.Steps {
		assert.Equal(t, s.Step == "wash" || s.Step == "correct", s.Done, s.Step)
		assert.Equal(t, s.Step == "strip wash", s.Asked, s.Step)
	}

	r.Hold, r.Held, r.HeldAt = true, agreed, at(t, "2026-09-07T12:00:00-04:00")
	held, err := a.Week(context.Background(), r)
	require.NoError(t, err)
	require.NotNil(t, held.Plan.Held)
	assert.Contains(t, strings.Join(held.Warnings, " "), "strip wash on port side has to be done again and has no block in it")
}

// Rain on a side that is compounded in part: the rest of that comes before the wash, as in
// the plan; the note does not say otherwise.
func TestStock_RainInTheMiddleOfAStep(t *testing.T) {
	for done, want := range map[string]string{
		"correct: {at: 2026-09-07T11:00, share: 0.4}":                              "wetted port side in the middle of the correct: the rest of that comes first, then it is washed and dried anew",
		"correct: 2026-09-07T11:00":                                                "wetted port side after the correct: it is washed and dried anew before anything else",
		"correct: 2026-09-07T11:00, wipe down: {at: 2026-09-07T11:30, share: 0.4}": "wetted port side after the wipe down: it is washed",
	} {
		text := strings.Replace(oneSide(t), "strip wash, with: soap-wash", "wipe down, with: panel-wipe", 1) +
			"zones:\n  - {name: port side, done: {wash: 2026-09-07T08:00, " + done + "}}\n"
		week := fixture{now: "2026-09-07T15:00:00-04:00", forecast: rained(t, "2026-09-07", 13, 14), job: text}.week(t)
		assert.Contains(t, strings.Join(week.Warnings, " "), want, done)
		if strings.Contains(want, "middle") {
			require.NotEmpty(t, week.Plan.Blocks)
			assert.Equal(t, "correct", week.Plan.Blocks[0].Step)
		}
	}
}

// What a move was told of how work was left counts for the answers after it until the
// work is logged anew; what the next move is told of the same work takes its place.
func TestStock_ToldOnce(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	const noon, two = "2026-09-07T12:00:00-04:00", "2026-09-07T14:00:00-04:00"
	log := func(now, step, end string) {
		a, r := kept(t, b, now)
		_, err := a.LogDone(t.Context(), app.DoneRequest{Request: r, Step: step, Zones: []string{"port side"}, Share: 1, At: on(end)})
		require.NoError(t, err)
	}
	a, r := kept(t, b, monday)
	_, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	for step, done := range map[string]string{"wash": "07:00", "correct": "08:00", "strip wash": "08:20", "seal": "11:30"} {
		log(noon, step, "2026-09-07T"+done+":00-04:00")
	}
	redo := func(now string) float64 {
		a, r := kept(t, b, now)
		w, err := a.Week(t.Context(), r)
		require.NoError(t, err)
		for _, x := range w.Plan.Blocks {
			if x.Redo && x.Step == "seal" {
				assert.Equal(t, "port side", x.Zone)
				return *x.AreaM2
			}
		}
		return 0
	}
	move := func(now string, share float64) {
		a, r := kept(t, b, now)
		rain, err := app.ReadMoment("11:40", at(t, noon), at(t, noon).Location())
		require.NoError(t, err)
		q := app.MoveRequest{Request: r, Left: []app.LeftWork{{Step: "seal", Zone: "port side", Share: share, Left: window.LeftHazing}}}
		q.Left = append(q.Left, app.LeftWork{Step: "seal", Zone: "port side", From: rain.Add(-4 * time.Hour), To: rain.Add(-3 * time.Hour), Share: 1 - share, Left: window.LeftBuffed})
		q.Rain = append(q.Rain, rainAt(rain))
		_, err = a.Move(t.Context(), q)
		require.NoError(t, err)
	}
	assert.Zero(t, redo("2026-09-07T12:10:00-04:00"), "nobody has told of rain")
	move(two, 0.5)
	half := redo("2026-09-07T14:10:00-04:00")
	assert.Positive(t, half)
	assert.InDelta(t, half, redo("2026-09-08T07:00:00-04:00"), 1e-9, "the next day as well")
	move("2026-09-08T07:10:00-04:00", 0.2)
	assert.InDelta(t, half*0.4, redo("2026-09-08T07:20:00-04:00"), 0.1)
	log("2026-09-08T12:00:00-04:00", "seal", "2026-09-08T11:30:00-04:00")
	assert.Zero(t, redo("2026-09-08T12:10:00-04:00"), "it was sealed again")
}

// rainAt is an hour of rain that somebody saw.
func rainAt(from time.Time) window.Rain {
	return window.Rain{From: from, To: from.Add(time.Hour), MM: 4, HasMM: true, Observed: true}
}

// A later look that finds the work well takes the word back that it was to be redone,
// as logging it anew does.
func TestStock_FoundWellAfterAll(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, monday)
	_, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	log := func(now string) (*app.App, app.Request) { return kept(t, b, now) }
	a, r = log("2026-09-07T12:00:00-04:00")
	_, err = a.LogDone(t.Context(), app.DoneRequest{Request: r, Step: "seal", Zones: []string{"port side"}, Share: 1, At: on("2026-09-07T11:30:00-04:00")})
	require.NoError(t, err)
	found := func(now, word string) map[string]bool {
		a, r := log(now)
		if word != "" {
			_, err := a.LogOutcome(t.Context(), app.OutcomeRequest{Request: r, Step: "seal", Zones: []string{"port side"}, Found: word, At: on(now)})
			require.NoError(t, err)
		}
		m, err := a.Morning(t.Context(), r)
		require.NoError(t, err)
		done := map[string]bool{}
		for _, s := range m.Steps {
			if s.Zone == "port side" {
				done[s.Step] = s.Done
			}
		}
		assert.Contains(t, strings.Join(m.Warnings, " "), "port side: seal is logged there; taken as done too: wash, correct and strip wash.")
		return done
	}
	assert.Equal(t, map[string]bool{"wash": true, "correct": true, "strip wash": true, "seal": true}, found("2026-09-07T12:10:00-04:00", ""))
	a, r = log("2026-09-07T12:10:00-04:00")
	moved, err := a.Move(t.Context(), app.MoveRequest{Request: r})
	require.NoError(t, err)
	assert.Contains(t, strings.Join(moved.Warnings, " "), "port side: seal is logged there; taken as done too: wash, correct and strip wash.")
	assert.Equal(t, map[string]bool{"wash": true, "correct": true, "strip wash": false, "seal": false}, found("2026-09-07T12:20:00-04:00", "redo"))
	assert.Equal(t, map[string]bool{"wash": true, "correct": true, "strip wash": false, "seal": false}, found("2026-09-07T12:30:00-04:00", "inspect"))
	assert.Equal(t, map[string]bool{"wash": true, "correct": true, "strip wash": true, "seal": true}, found("2026-09-07T12:40:00-04:00", "ok"))
}

// A strip wash that was logged before the compounding is asked for again, and every
// answer says why.
func TestStock_StripWashBeforeCompounding(t *testing.T) {
	text := oneSide(t) + "zones:\n  - {name: port side, done: {wash: 2026-09-07T08:00, strip wash: 2026-09-07T09:00, correct: 2026-09-07T11:00}}\n"
	x := fixture{now: "2026-09-07T12:00:00-04:00", forecast: weather(t, monday), job: text}
	const why = "the strip wash on port side came before the last machine work there"
	a, r := x.app(t)
	m, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	for _, s := range m.Steps {
		assert.Equal(t, s.Step == "wash" || s.Step == "correct", s.Done, s.Step)
		assert.Equal(t, s.Step == "strip wash", s.Asked, s.Step)
	}
	assert.Contains(t, strings.Join(m.Warnings, " "), why)
	week := x.week(t)
	require.NotEmpty(t, week.Plan.Blocks)
	assert.Equal(t, "strip wash", week.Plan.Blocks[0].Step)
	moved, err := a.Move(t.Context(), app.MoveRequest{Request: r})
	require.NoError(t, err)
	assert.Contains(t, strings.Join(moved.Warnings, " "), why)
}

// A wash that was found bad and then compounded over is said to be owed or to be taken as
// done, and never both.
func TestStock_FoundBadAndGoneOver(t *testing.T) {
	t.Parallel()
	for share, owed := range map[float64]bool{0.5: true, 1: false} {
		b := newBook(t)
		a, r := kept(t, b, monday)
		_, err := a.Week(t.Context(), r)
		require.NoError(t, err)
		a, r = kept(t, b, "2026-09-07T09:00:00-04:00")
		_, err = a.LogOutcome(t.Context(), app.OutcomeRequest{Request: r, Step: "wash", Zones: []string{"port side"}, Found: "redo", At: on("2026-09-07T09:00:00-04:00")})
		require.NoError(t, err)
		a, r = kept(t, b, "2026-09-07T12:00:00-04:00")
		_, err = a.LogDone(t.Context(), app.DoneRequest{Request: r, Step: "correct", Zones: []string{"port side"}, Share: share, At: on("2026-09-07T11:30:00-04:00")})
		require.NoError(t, err)
		m, err := a.Morning(t.Context(), r)
		require.NoError(t, err)
		said := strings.Join(m.Warnings, " ")
		assert.Equal(t, owed, strings.Contains(said, "the wash on port side was found in need of doing again"), share)
		assert.Equal(t, !owed, strings.Contains(said, "correct is logged there; taken as done too: wash"), share)
	}
}
