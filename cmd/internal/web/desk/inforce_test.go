package desk_test

import (
	"context"
	"encoding/json"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// booked is a plan's blocks by what and when.
func booked(p *answer.Plan) []string {
	var out []string
	if p == nil {
		return nil
	}
	for _, b := range p.Blocks {
		out = append(out, b.Step+" "+b.Zone+" "+b.From.UTC().Format(time.RFC3339)+" "+b.To.UTC().Format(time.RFC3339))
	}
	return out
}

// shown is the plan that each way of asking shows.
func shown(t testing.TB, f *fixture) map[string][]string {
	ctx := context.Background()
	out := map[string][]string{}
	week, err := f.Week(ctx, "small")
	require.NoError(t, err)
	require.False(t, week.Stale)
	out["week"] = booked(week.Answer.Plan)
	var asJSON answer.Week
	require.NoError(t, json.Unmarshal(week.JSON.Bytes, &asJSON))
	out["api"] = booked(asJSON.Plan)
	versions, err := f.PlanVersions(ctx, "small")
	require.NoError(t, err)
	out["calendar"] = booked(versions[len(versions)-1].Plan)
	if m, err := f.LastMove(ctx, "small"); assert.NoError(t, err) && m != nil {
		out["move"] = booked(m.Plan)
	}
	if f.book != nil {
		page, err := f.Answers(ctx, "small", 0, 1)
		require.NoError(t, err)
		data, err := f.AnswerBytes(ctx, "small", page.Answers[0].ID)
		require.NoError(t, err)
		var stored struct{ Plan *answer.Plan }
		require.NoError(t, json.Unmarshal(data, &stored))
		out["stored"] = booked(stored.Plan)
	}
	return out
}

// alike asserts that all ways show the same plan, and gives it.
func alike(t testing.TB, f *fixture) []string {
	all := shown(t, f)
	for way, plan := range all {
		assert.Equal(t, all["week"], plan, "%s shows another plan than the week", way)
	}
	return all["week"]
}

// A moved plan is the one that everybody shows, whatever the forecasts say since, until
// it is moved again or planned anew on purpose.
func TestOnePlanEverywhere(t *testing.T) {
	for name, open := range map[string]func(testing.TB) *fixture{
		"with a book":    func(t testing.TB) *fixture { return withBook(t) },
		"without a book": func(t testing.TB) *fixture { return open(t, nil) },
	} {
		t.Run(name, func(t *testing.T) {
			f := open(t)
			ctx := t.Context()
			first := alike(t, f)
			require.NotEmpty(t, first)
			f.source.wet.Store(true) // from eight to twelve on Tuesday
			f.clock.on(time.Hour + 10*time.Minute)
			_, err := f.Move(ctx, "small", desk.Moving{})
			require.NoError(t, err)
			moved := alike(t, f)
			require.NotEqual(t, first, moved)

			// The rain is forecast no longer: a new plan would go back. It does not, now or at
			// the next forecast.
			f.source.wet.Store(false)
			for range 2 {
				f.clock.on(desk.StaleFor + 10*time.Minute)
				f.source.made = f.clock.Now()
				assert.Equal(t, moved, alike(t, f))
			}
			week, err := f.Week(ctx, "small")
			require.NoError(t, err)
			require.NotNil(t, week.Answer.Plan.Held)
			assert.Equal(t, tuesday.Add(70*time.Minute), week.Answer.Plan.Held.UTC())
			assert.Contains(t, week.Answer.Plan.Why[0], "Tue 8 Sep 07:10")

			if f.book != nil { // and the book's own answer is worked out again as it was
				a := &app.App{Classes: f.Classes(), Book: app.Stored{Book: f.book}, Version: "v1.2.3"}
				page, err := f.Answers(ctx, "small", 0, 1)
				require.NoError(t, err)
				again, err := a.Again(ctx, page.Answers[0].ID)
				require.NoError(t, err)
				assert.True(t, again.Same, "%+v", again.Differences)
			}

			anew, err := f.PlanAnew(ctx, "small")
			require.NoError(t, err)
			assert.Nil(t, anew.Plan.Held)
			assert.Equal(t, booked(anew.Plan), alike(t, f))
			assert.NotEqual(t, moved, booked(anew.Plan))
			last, err := f.LastMove(ctx, "small")
			require.NoError(t, err)
			assert.Nil(t, last)

			// And a move after that is in force again.
			f.source.wet.Store(true)
			f.clock.on(10 * time.Minute)
			_, err = f.Move(ctx, "small", desk.Moving{})
			require.NoError(t, err)
			alike(t, f)
		})
	}
}

// A plan that was moved is held against the newest forecast: where its hours no longer
// hold it says so, in its state and among the warnings, and never stays a go.
func TestHeldPlanIsJudgedAnew(t *testing.T) {
	f := withBook(t)
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	_, err = f.Move(t.Context(), "small", desk.Moving{})
	require.NoError(t, err)
	before, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	f.source.wet.Store(true)
	f.clock.on(desk.StaleFor + 10*time.Minute)
	after, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.Equal(t, booked(before.Answer.Plan), booked(after.Answer.Plan))
	assert.Equal(t, "no-go", after.Answer.Plan.State)
	assert.Zero(t, after.Answer.Plan.Confidence)
	assert.Contains(t, strings.Join(after.Answer.Warnings, "\n"), "is no-go now")

	// Once all of it is over nothing is held any more.
	f.source.wet.Store(false)
	f.clock.on(20 * time.Hour)
	f.source.made = f.clock.Now()
	over, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.Nil(t, over.Answer.Plan.Held)
}

// Where the forecast is too old to be believed the held plan is unknown, not a go, and
// a new plan is refused so that the old one stays.
func TestHeldPlanWithoutAForecastIsUnknown(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	f.clock.on(-10 * time.Hour) // on Monday evening; the plan is of Tuesday
	f.source.made = f.clock.Now()
	_, err := f.Week(ctx, "small")
	require.NoError(t, err)
	m, err := f.Move(ctx, "small", desk.Moving{})
	require.NoError(t, err)
	require.True(t, m.Plan.Blocks[0].From.After(f.clock.Now().Add(10*time.Hour)), "%v", booked(m.Plan))
	f.clock.on(10 * time.Hour)
	f.source.made = f.clock.Now().Add(-40 * time.Hour)
	_, err = f.PlanAnew(ctx, "small")
	require.Error(t, err)
	assert.True(t, desk.Known(err))
	assert.Contains(t, desk.Failures(err)[0].Error, "too little is known")
	week, err := f.Week(ctx, "small")
	require.NoError(t, err)
	assert.Equal(t, "unknown", week.Answer.Verdict)
	require.NotNil(t, week.Answer.Plan.Held)
	assert.Equal(t, "unknown", week.Answer.Plan.State)
	assert.Equal(t, booked(m.Plan), booked(week.Answer.Plan))
}

// A plan that had to be moved past the promised day is judged to its end, and still
// shown when that day is over.
func TestHeldPlanPastThePromisedDay(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	_, err := f.Week(ctx, "small")
	require.NoError(t, err)
	f.source.wet.Store(true)
	m, err := f.Move(ctx, "small", desk.Moving{})
	require.NoError(t, err)
	require.False(t, m.Handover.Kept)
	week, err := f.Week(ctx, "small")
	require.NoError(t, err)
	assert.Contains(t, []string{"go", "marginal"}, week.Answer.Plan.State)
	assert.True(t, week.Answer.To.After(*m.Plan.Ends))
	f.clock.on(42 * time.Hour) // Thursday at midnight: Wednesday was the last day
	f.source.made = f.clock.Now()
	assert.Equal(t, booked(m.Plan), alike(t, f))
	_, err = f.Morning(ctx, "small")
	require.NoError(t, err)
}

// slowBook keeps who asks for the plans, once it is armed, until it is let go.
type slowBook struct {
	app.Book
	armed         atomic.Bool
	reached, hold chan struct{}
}

func (b *slowBook) Plans(ctx context.Context, key book.Key) ([]book.Plan, error) {
	list, err := b.Book.Plans(ctx, key)
	if b.armed.CompareAndSwap(true, false) {
		close(b.reached)
		<-b.hold
	}
	return list, err
}

// A week in the making while the plan is moved is not kept: it would take the place of
// the move.
func TestOvertakenWeekIsNotKept(t *testing.T) {
	b := webtest.Book(t)
	slow := &slowBook{Book: app.Stored{Book: b}, reached: make(chan struct{}), hold: make(chan struct{})}
	f := open(t, func(c *desk.Config) { c.Book, c.BookFile, c.KeepAnswers = slow, b.Path(), true })
	f.book = b
	ctx := t.Context()
	first, err := f.Week(ctx, "small")
	require.NoError(t, err)
	f.clock.on(10 * time.Minute)
	f.source.made = f.clock.Now()
	slow.armed.Store(true)
	_, err = f.Week(ctx, "small") // the earlier one; the new one is kept waiting
	require.NoError(t, err)
	<-slow.reached
	f.source.wet.Store(true)
	m, err := f.Move(ctx, "small", desk.Moving{})
	require.NoError(t, err)
	require.NotEqual(t, booked(first.Answer.Plan), booked(m.Plan))
	close(slow.hold)
	eventually(t, func() bool { return f.made.Load() == 3 }) // two weeks and the move
	assert.Equal(t, booked(m.Plan), alike(t, f))
}
