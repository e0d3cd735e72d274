package app_test

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/forecast"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const thursday = "2026-09-10T14:00:00-04:00"

// kept is the demo's app at a moment with a book, and its request.
func kept(t testing.TB, b *book.Book, now string) (*app.App, app.Request) {
	a, r := fixture{now: now, forecast: weather(t, now)}.app(t)
	a.Book, a.Version = app.Stored{Book: b}, "v1.2.3"
	a.Unrecorded = func(err error) { assert.NoError(t, err) }
	r.File = &app.JobFile{Name: "job.yaml", Data: demo.JobFile()}
	return a, r
}

func newBook(t testing.TB) *book.Book {
	b, err := book.Open(t.Context(), filepath.Join(t.TempDir(), "book.sqlite"), time.Now)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, b.Close()) })
	return b
}

func on(text string) app.Moment {
	return func(time.Time, *time.Location) (time.Time, error) { return time.Parse(time.RFC3339, text) }
}

func jsonOf(t testing.TB, v any) string {
	var out bytes.Buffer
	require.NoError(t, answer.Write(&out, v))
	return out.String()
}

// A week is recorded with its own bytes, the version and the hash of the
// catalogue, and its plan becomes the job's.
func TestWeekIsRecorded(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, monday)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	list, err := b.Answers(t.Context(), book.AnswerFilter{})
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, "v1.2.3", list[0].Program)
	assert.Equal(t, a.Classes.Hash(), list[0].Catalogue)
	assert.Equal(t, answer.Go, list[0].Verdict)
	shown, err := a.Show(t.Context(), list[0].ID)
	require.NoError(t, err)
	assert.Equal(t, jsonOf(t, w), string(shown.Body))
	plan, err := b.LatestPlan(t.Context(), list[0].Job)
	require.NoError(t, err)
	assert.Equal(t, list[0].Key, plan.Answer)
	assert.NoError(t, b.Verify(t.Context()))
}

// A job without a file, and an app without a book, leave no trace.
func TestNothingIsRecordedUnasked(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, monday)
	r.File = nil
	_, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	list, err := b.Answers(t.Context(), book.AnswerFilter{})
	require.NoError(t, err)
	assert.Empty(t, list)
}

// An answer is given though it cannot be recorded, and somebody is told.
func TestAnswerOutlivesItsBook(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, monday)
	broken := errors.New("no room")
	a.Book = full{a.Book, broken}
	var told error
	a.Unrecorded = func(err error) { told = err }
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	assert.Equal(t, answer.Go, w.Verdict)
	assert.ErrorIs(t, told, broken)
}

// full is a book that takes nothing more.
type full struct {
	app.Book
	err error
}

func (f full) Record(context.Context, func(*book.Tx) error) error { return f.err }

// What cannot be recalled must not be left out in silence.
func TestUnreadableBookIsAnError(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, monday)
	a.Book = deaf{a.Book}
	_, err := a.Week(t.Context(), r)
	assert.ErrorIs(t, err, book.ErrDamaged)
}

type deaf struct{ app.Book }

func (deaf) Jobs(context.Context) ([]book.Job, error) { return nil, book.ErrDamaged }

// Work done counts from its moment on, for the job that it was recorded for.
func TestDoneCounts(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, thursday)
	out, err := a.LogDone(t.Context(), app.DoneRequest{Request: r, Step: "wash", Zones: []string{"port side"}, Share: 1, At: on("2026-09-10T10:00:00-04:00")})
	require.NoError(t, err)
	require.Len(t, out.Entries, 1)
	assert.Equal(t, "wash on port side", out.Entries[0].Text)
	washed := func(a *app.App, r app.Request) bool {
		m, err := a.Morning(t.Context(), r)
		require.NoError(t, err)
		for _, s := range m.Steps {
			if s.Step == "wash" && s.Zone == "port side" {
				return s.Done
			}
		}
		t.Fatal("no such step")
		return false
	}
	assert.True(t, washed(a, r))
	early, _ := kept(t, b, "2026-09-10T09:00:00-04:00")
	assert.False(t, washed(early, r), "it lies ahead")

	_, other := kept(t, b, thursday)
	text := strings.Replace(string(demo.JobFile()), "job: ", "job: another ", 1)
	other.Job = func(zone string) (*job.Job, error) {
		return job.Parse("job.yaml", []byte(text), a.Classes, job.Options{Timezone: zone})
	}
	assert.False(t, washed(a, other), "another job")
}

// A recorded answer worked out anew is the same to the byte; with another
// catalogue's hash or program, that is told.
func TestAgain(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, thursday)
	read := func(*job.Job) ([]job.Reading, error) {
		at := at(t, "2026-09-10T13:50:00-04:00")
		return []job.Reading{
			{At: at, Line: 1, AirC: job.Measured{V: 17.5, Known: true}, HumidityPct: job.Measured{V: 70, Known: true}},
			{At: at, Line: 2, Zone: "port side", SurfaceC: job.Measured{V: 19, Known: true}, By: job.Contact, Salt: job.Yes},
		}, nil
	}
	r.Readings = read
	_, err := a.LogDone(t.Context(), app.DoneRequest{Request: r, Step: "wash", Zones: []string{"foredeck"}, Share: 0.5, At: on("2026-09-10T10:00:00-04:00")})
	require.NoError(t, err)
	r.Warnings = []string{"a word of the settings"}
	m, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	assert.NotEmpty(t, m.ReadingsUsed)
	assert.Equal(t, "port side", m.Inserted[0].Zone)
	a.Version = "v2.0.0"
	again, err := a.Again(t.Context(), 1)
	require.NoError(t, err)
	assert.True(t, again.Same, "%v", again.Differences)
	assert.Equal(t, answer.Change{Was: "v1.2.3", Is: "v2.0.0"}, again.Program)

	// The same readings are in the book once, wherever they come from.
	_, err = a.Morning(t.Context(), r)
	require.NoError(t, err)
	list, err := a.Listed(t.Context(), 10)
	require.NoError(t, err)
	assert.Len(t, list.Readings, 2)
	assert.Equal(t, "port side: salt, surface 19.0 °C by contact", list.Readings[1].Text)
}

func TestAgainOfNothing(t *testing.T) {
	a, _ := kept(t, newBook(t), thursday)
	_, err := a.Again(t.Context(), 5)
	assert.ErrorIs(t, err, book.ErrNotFound)
}

// A person's own products are kept with the answer, and used again.
func TestAgainWithOwnProducts(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, thursday)
	own := []byte("products: [{id: my-sealant, like: polymer-sealant, clocks_h: {rain_free: {ideal: 8, default: 6, hard: 3, source: your label}}}]\n")
	set, _, err := a.Classes.With("own.yaml", own)
	require.NoError(t, err)
	text := []byte(strings.Replace(string(demo.JobFile()), "polymer-sealant", "my-sealant", 1))
	a.Classes, r.Products, r.File = set, &app.JobFile{Name: "own.yaml", Data: own}, &app.JobFile{Name: "job.yaml", Data: text}
	r.Job = func(zone string) (*job.Job, error) {
		return job.Parse("job.yaml", text, set, job.Options{Timezone: zone})
	}
	_, err = a.Week(t.Context(), r)
	require.NoError(t, err)
	a.Classes = catalogue(t)
	again, err := a.Again(t.Context(), 1)
	require.NoError(t, err)
	assert.True(t, again.Same, "%v", again.Differences)
	assert.Equal(t, set.Hash(), again.Catalogue.Is)
}

// Rain, outcomes and what is taken back count as they should.
func TestRainOutcomeUndo(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, thursday)
	ctx := t.Context()
	mm := 2.5
	out, err := a.LogRain(ctx, app.RainRequest{Request: r, From: on("2026-09-10T12:00:00-04:00"), To: on("2026-09-10T13:00:00-04:00"), MM: &mm})
	require.NoError(t, err)
	assert.Equal(t, "rain", out.Kind)
	assert.Equal(t, "rain until Thu 10 Sep 13:00, 2.5 mm", out.Entries[0].Text)
	_, err = a.LogDone(ctx, app.DoneRequest{Request: r, Step: "wash", Zones: []string{"port side"}, Share: 1, At: on("2026-09-10T10:00:00-04:00")})
	require.NoError(t, err)
	out, err = a.LogOutcome(ctx, app.OutcomeRequest{Request: r, Step: "wash", Zones: []string{"port side"}, Found: book.FoundRedo, At: on("2026-09-10T13:00:00-04:00"), By: "2", Note: "streaks"})
	require.NoError(t, err)
	assert.Equal(t, "wash on port side: redo, by 2 (streaks)", out.Entries[0].Text)
	for _, kind := range []string{app.UndoDone, app.UndoOutcome, app.UndoReading} {
		out, err := a.Undo(ctx, kind, 1)
		require.NoError(t, err, kind)
		assert.Len(t, out.Entries, 1)
		_, err = a.Undo(ctx, kind, 77)
		assert.ErrorIs(t, err, book.ErrNotFound, kind)
	}
	list, err := a.Listed(ctx, 5)
	require.NoError(t, err)
	assert.Empty(t, list.Done)
	assert.Empty(t, list.Outcomes)
	assert.Empty(t, list.Readings)
}

// What cannot be is refused with what to do, and nothing is recorded.
func TestLogRefuses(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, thursday)
	ctx := t.Context()
	for name, do := range map[string]func() error{
		"no step": func() error {
			_, err := a.LogDone(ctx, app.DoneRequest{Request: r, Step: "wsh", Zones: []string{"port side"}, Share: 1, At: on(thursday)})
			return err
		},
		"no zone": func() error {
			_, err := a.LogOutcome(ctx, app.OutcomeRequest{Request: r, Step: "wash", Zones: []string{"port sid"}, Found: "ok", At: on(thursday)})
			return err
		},
		"a zone twice": func() error {
			_, err := a.LogDone(ctx, app.DoneRequest{Request: r, Step: "wash", Zones: []string{"port side", "port side"}, Share: 0.5, At: on(thursday)})
			return err
		},
		"one of two zones": func() error {
			_, err := a.LogOutcome(ctx, app.OutcomeRequest{Request: r, Step: "wash", Zones: []string{"port side", "mast"}, Found: "ok", At: on(thursday)})
			return err
		},
		"not yet": func() error {
			_, err := a.LogDone(ctx, app.DoneRequest{Request: r, Step: "wash", Zones: []string{"port side"}, Share: 1, At: on("2026-09-10T14:00:01-04:00")})
			return err
		},
		"backwards": func() error {
			_, err := a.LogRain(ctx, app.RainRequest{Request: r, From: on(monday), To: on(monday)})
			return err
		},
	} {
		p, ok := errors.AsType[*app.Problem](do())
		require.True(t, ok, name)
		assert.NotEmpty(t, p.Fix, name)
	}
	jobs, err := b.Jobs(ctx)
	require.NoError(t, err)
	assert.Empty(t, jobs)
	_, err = a.LogDone(ctx, app.DoneRequest{Request: r, Step: "wash", Zones: []string{"port side"}, Share: 1, At: on(thursday), Corrects: 9})
	assert.ErrorIs(t, err, book.ErrNotFound)
}

// The forecast that is recorded is the one that was used, gaps and all.
func TestForecastIsRecordedWhole(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, monday)
	f := weather(t, monday)
	f.Members = f.Members[:2]
	f.Members[1].Columns[forecast.WindSpeed].Known[100] = false
	f.Members[0].Columns[forecast.Gust] = forecast.Column{}
	f.Warnings, f.Fetched = []string{"a word of the reader"}, at(t, monday).Add(-time.Hour+400*time.Millisecond)
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return f, nil })
	_, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	again, err := a.Again(t.Context(), 1)
	require.NoError(t, err)
	assert.True(t, again.Same, "%v", again.Differences)
}

// Where an answer comes out otherwise, every place is told.
func TestAgainTellsTheDifference(t *testing.T) {
	b := newBook(t)
	a, r := kept(t, b, thursday)
	m, err := a.Morning(t.Context(), r)
	require.NoError(t, err)
	was, err := a.Show(t.Context(), 1)
	require.NoError(t, err)
	require.NoError(t, b.Record(t.Context(), func(tx *book.Tx) error {
		body, err := tx.AddBody(bytes.Replace(was.Body, []byte(`"verdict":"`+m.Verdict), []byte(`"verdict":"other`), 1))
		if err != nil {
			return err
		}
		other := was.Row
		other.Body, other.Catalogue = body, "an older one"
		_, err = tx.AddAnswer(other)
		return err
	}))
	again, err := a.Again(t.Context(), 2)
	require.NoError(t, err)
	assert.False(t, again.Same)
	assert.Equal(t, []answer.Difference{{Path: "verdict", Was: "other", Is: m.Verdict}}, again.Differences)
	assert.Equal(t, answer.Change{Was: "an older one", Is: a.Classes.Hash()}, again.Catalogue)
}

// The plan that a week leaves in the book is what the next morning asks for, and
// it is kept with that answer.
func TestMorningAsksForThePlanInTheBook(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, monday)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	require.NotEmpty(t, w.Plan.Blocks)
	first := w.Plan.Blocks[0]
	dawn, _ := kept(t, b, first.From.Format(time.RFC3339))
	m, err := dawn.Morning(t.Context(), r)
	require.NoError(t, err)
	for _, s := range m.Steps {
		if s.Step == first.Step && s.Zone == first.Zone {
			assert.True(t, s.Asked)
		}
	}
	rows, err := b.Answers(t.Context(), book.AnswerFilter{Kind: book.Morning})
	require.NoError(t, err)
	require.Len(t, rows, 1)
	assert.NotEmpty(t, rows[0].Plan)
	again, err := dawn.Again(t.Context(), rows[0].ID)
	require.NoError(t, err)
	assert.True(t, again.Same, "%v", again.Differences)
}

// A week asked while planned work is under way is a look at the sky: the plan in
// force stays that of before, until a move or a week asked between blocks.
func TestALookAtTheWeekIsNoNewPlan(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	a, r := kept(t, b, monday)
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	require.NotEmpty(t, w.Plan.Blocks)
	first := w.Plan.Blocks[0]
	ask := func(at time.Time) *app.App {
		a, _ := kept(t, b, at.Format(time.RFC3339))
		return a
	}
	inForce := func(at time.Time) book.Plan {
		_, err := ask(at).Morning(t.Context(), r)
		require.NoError(t, err)
		rows, err := b.Answers(t.Context(), book.AnswerFilter{Kind: book.Morning, Limit: 1})
		require.NoError(t, err)
		plan, err := app.Stored{Book: b}.Plan(t.Context(), rows[0].Plan)
		require.NoError(t, err)
		return plan
	}
	part := (first.To.Sub(first.From) / 4).Truncate(time.Second)
	for k := range 2 {
		_, err = ask(first.From.Add(time.Duration(k+1)*part)).Week(t.Context(), r)
		require.NoError(t, err)
	}
	at := first.From.Add(3 * part)
	assert.True(t, inForce(at).At.Equal(w.Now), "the looks do not count")

	moved, err := ask(at).Move(t.Context(), app.MoveRequest{Request: r})
	require.NoError(t, err)
	assert.Equal(t, len(w.Plan.Blocks), moved.Blocks, "what is moved is the plan of before")
	assert.True(t, inForce(at.Add(time.Second)).At.Equal(at), "a move counts")
}
