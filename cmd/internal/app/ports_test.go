package app_test

import (
	"context"
	"errors"
	"path/filepath"
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

// torn is a real book of which one reading fails, the n-th that is asked; 0: none. It
// counts how many there were.
type torn struct {
	app.Book
	n, asked int
	at       string // the question that failed
}

var errTorn = &book.Error{Text: "the book is damaged", Fix: "put the last backup in its place", Err: book.ErrDamaged}

func tear[T any](b *torn, what string, ask func() (T, error)) (T, error) {
	if b.asked++; b.asked == b.n {
		b.at = what
		var none T
		return none, errTorn
	}
	return ask()
}

func (b *torn) Jobs(ctx context.Context) ([]book.Job, error) {
	return tear(b, "jobs", func() ([]book.Job, error) { return b.Book.Jobs(ctx) })
}

func (b *torn) Answers(ctx context.Context, f book.AnswerFilter) ([]book.Answer, error) {
	return tear(b, "answers", func() ([]book.Answer, error) { return b.Book.Answers(ctx, f) })
}

func (b *torn) DoneOf(ctx context.Context, k book.Key) ([]book.Done, error) {
	return tear(b, "work", func() ([]book.Done, error) { return b.Book.DoneOf(ctx, k) })
}

func (b *torn) OutcomesOf(ctx context.Context, k book.Key) ([]book.Outcome, error) {
	return tear(b, "outcomes", func() ([]book.Outcome, error) { return b.Book.OutcomesOf(ctx, k) })
}

func (b *torn) ReadingsSince(ctx context.Context, k book.Key, since time.Time) ([]book.Reading, error) {
	return tear(b, "readings", func() ([]book.Reading, error) { return b.Book.ReadingsSince(ctx, k, since) })
}

func (b *torn) Plans(ctx context.Context, k book.Key) ([]book.Plan, error) {
	return tear(b, "plans", func() ([]book.Plan, error) { return b.Book.Plans(ctx, k) })
}

func (b *torn) Body(ctx context.Context, k book.Key) ([]byte, error) {
	return tear(b, "a body", func() ([]byte, error) { return b.Book.Body(ctx, k) })
}

func (b *torn) Boat(ctx context.Context, k book.Key) (book.Boat, error) {
	return tear(b, "a boat", func() (book.Boat, error) { return b.Book.Boat(ctx, k) })
}

func (b *torn) Place(ctx context.Context, k book.Key) (book.Place, error) {
	return tear(b, "a place", func() (book.Place, error) { return b.Book.Place(ctx, k) })
}

func (b *torn) Job(ctx context.Context, k book.Key) (book.Job, error) {
	return tear(b, "a job", func() (book.Job, error) { return b.Book.Job(ctx, k) })
}

func (b *torn) Forecast(ctx context.Context, k book.Key) (book.Forecast, error) {
	return tear(b, "a forecast", func() (book.Forecast, error) { return b.Book.Forecast(ctx, k) })
}

func (b *torn) Done(ctx context.Context, k book.Key) (book.Done, error) {
	return tear(b, "work by its key", func() (book.Done, error) { return b.Book.Done(ctx, k) })
}

func (b *torn) Reading(ctx context.Context, k book.Key) (book.Reading, error) {
	return tear(b, "a reading by its key", func() (book.Reading, error) { return b.Book.Reading(ctx, k) })
}

func (b *torn) Plan(ctx context.Context, k book.Key) (book.Plan, error) {
	return tear(b, "a plan", func() (book.Plan, error) { return b.Book.Plan(ctx, k) })
}

func (b *torn) AnswerNumber(ctx context.Context, id int64) (book.Answer, error) {
	return tear(b, "an answer", func() (book.Answer, error) { return b.Book.AnswerNumber(ctx, id) })
}

func (b *torn) DoneNumber(ctx context.Context, id int64) (book.Done, error) {
	return tear(b, "work by its number", func() (book.Done, error) { return b.Book.DoneNumber(ctx, id) })
}

func (b *torn) ReadingNumber(ctx context.Context, id int64) (book.Reading, error) {
	return tear(b, "a reading by its number", func() (book.Reading, error) { return b.Book.ReadingNumber(ctx, id) })
}

func (b *torn) OutcomeNumber(ctx context.Context, id int64) (book.Outcome, error) {
	return tear(b, "an outcome by its number", func() (book.Outcome, error) { return b.Book.OutcomeNumber(ctx, id) })
}

// small is a job that is judged quickly, with a book of everything: a week, a morning,
// a move, work, rain, outcomes and readings, some of them old enough to teach.
type small struct {
	a    *app.App
	r    app.Request
	book *book.Book
	now  time.Time
}

func newSmall(t *testing.T) *small {
	t.Helper()
	b, err := book.Open(t.Context(), filepath.Join(t.TempDir(), "book.sqlite"), time.Now)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, b.Close()) })
	s := &small{book: b}
	s.on(t, monday)
	s.a.Book = app.Stored{Book: b}
	return s
}

// on asks from a moment on.
func (s *small) on(t *testing.T, now string) {
	f := weather(t, now)
	for m := range f.Members { // two members are judged more quickly than eleven
		f.Members[m].Name = ""
	}
	f.Members = f.Members[:2]
	a, r := fixture{now: now, forecast: f, job: twoSteps}.app(t)
	if s.a != nil {
		a.Book = s.a.Book
	}
	a.Version, a.Unrecorded = "v1.2.3", func(err error) { assert.NoError(t, err) }
	r.File = &app.JobFile{Name: "job.yaml", Data: []byte(twoSteps)}
	s.a, s.r, s.now = a, r, at(t, now)
}

// fill writes something of every kind into the book.
func (s *small) fill(t *testing.T) {
	ctx := t.Context()
	s.on(t, monday)
	_, err := s.a.Morning(ctx, s.r)
	require.NoError(t, err)
	for i := range 6 { // four days before the questions
		moment := s.now.Add(time.Duration(i+2) * time.Hour)
		s.read(t, job.Reading{At: moment, AirC: measured(12), HumidityPct: measured(80)})
		s.read(t, job.Reading{At: moment, Zone: "port side", SurfaceC: measured(14), By: job.Contact})
	}
	s.on(t, "2026-09-11T06:00:00-04:00")
	_, err = s.a.Week(ctx, s.r)
	require.NoError(t, err)
	s.on(t, "2026-09-11T10:00:00-04:00")
	_, err = s.a.LogDone(ctx, app.DoneRequest{Request: s.r, Step: "wash", Zones: []string{"port side"}, Share: 1, At: on("2026-09-11T08:00:00-04:00")})
	require.NoError(t, err)
	_, err = s.a.LogRain(ctx, app.RainRequest{Request: s.r, From: on("2026-09-11T08:30:00-04:00"), To: on("2026-09-11T08:50:00-04:00")})
	require.NoError(t, err)
	_, err = s.a.LogOutcome(ctx, app.OutcomeRequest{Request: s.r, Step: "wash", Zones: []string{"port side"}, Found: book.FoundRedo, At: on("2026-09-11T09:00:00-04:00")})
	require.NoError(t, err)
	s.read(t, job.Reading{At: at(t, "2026-09-11T09:30:00-04:00"), AirC: measured(15)})
	_, err = s.a.Move(ctx, app.MoveRequest{Request: s.r})
	require.NoError(t, err)
	s.on(t, "2026-09-11T10:30:00-04:00")
	_, err = s.a.Morning(ctx, s.r)
	require.NoError(t, err)
	s.on(t, "2026-09-11T11:00:00-04:00")
}

func (s *small) read(t *testing.T, m job.Reading) {
	_, err := s.a.AddReading(t.Context(), app.ReadingRequest{Request: s.r,
		Compose: func(*job.Job, time.Time) (job.Reading, error) { return m, nil }})
	require.NoError(t, err)
}

// questions are what can be asked of a book, each with what it answers.
func (s *small) questions(ctx context.Context) map[string]func() (any, error) {
	moved := app.MoveRequest{Request: s.r}
	held := s.r
	held.Hold = true
	return map[string]func() (any, error){
		"week":      func() (any, error) { return s.a.Week(ctx, s.r) },
		"held week": func() (any, error) { return s.a.Week(ctx, held) },
		"morning":   func() (any, error) { return s.a.Morning(ctx, s.r) },
		"move":      func() (any, error) { return s.a.Move(ctx, moved) },
		"last move": func() (any, error) { return s.a.LastMove(ctx, s.r) },
		"watch":     func() (any, error) { return s.a.Watch(ctx, s.r, nil) },
		"plans":     func() (any, error) { return s.a.Plans(ctx, s.r) },
		"place":     func() (any, error) { return s.a.Place(ctx, s.r) },
		"list":      func() (any, error) { return s.a.Listed(ctx, 9) },
		"show":      func() (any, error) { return s.a.Show(ctx, 1) },
		"again":     func() (any, error) { return s.a.Again(ctx, 4) },
		"undo":      func() (any, error) { return s.a.Undo(ctx, app.UndoReading, 1) },
		"why": func() (any, error) {
			return s.a.Why(ctx, app.WhyRequest{Request: s.r, Zone: "port side", Class: "polymer-sealant",
				At: func(*time.Location) (time.Time, error) { return s.now, nil }})
		},
	}
}

// Whatever of the book cannot be read: what is asked ends in the book's own word, with
// what to do about it. Nothing is answered as if the page that was lost had never been
// written, for it may have told of the rain an hour ago.
func TestPorts_NoPageOfTheBookIsMissedInSilence(t *testing.T) {
	t.Parallel()
	s := newSmall(t)
	s.fill(t)
	whole := s.a.Book
	for name := range s.questions(t.Context()) {
		t.Run(name, func(t *testing.T) {
			quiet := *s
			a := *s.a
			quiet.a = &a
			a.Unrecorded = nil
			failed := 0
			for n := 1; ; n++ {
				b := &torn{Book: full{whole, errTorn}, n: n} // it takes nothing either: the next question finds it as it was
				a.Book = b
				out, err := quiet.questions(t.Context())[name]()
				if b.at == "" {
					require.Positive(t, failed, "it asks nothing of the book")
					return
				}
				failed++
				if p, ok := out.(*answer.Learned); ok && err == nil { // it can do without an answer beside it, and says so
					require.Contains(t, strings.Join(p.Warnings, "\n"), errTorn.Text, "%d: %s", n, b.at)
					continue
				}
				require.ErrorIs(t, err, book.ErrDamaged, "%d: %s", n, b.at)
				told := app.Failures(err)
				require.Len(t, told, 1)
				require.Equal(t, errTorn.Text, told[0].Error, "%d: %s", n, b.at)
				require.Equal(t, errTorn.Fix, told[0].Fix)
			}
		})
	}
}

// The score goes through every page; what it cannot read of the book ends it as well.
func TestPorts_ScoreOfATornBook(t *testing.T) {
	t.Parallel()
	s := newSmall(t)
	s.fill(t)
	failed := map[string]bool{}
	for n := 1; ; n++ {
		b := &torn{Book: s.a.Book, n: n}
		a := &app.App{Book: b}
		out, err := a.Score(t.Context(), "Kittiwake")
		if b.at == "" {
			require.NoError(t, err)
			break
		}
		failed[b.at] = true
		require.Error(t, err, "%d: %s", n, b.at)
		require.ErrorIs(t, err, book.ErrDamaged)
		require.Nil(t, out)
	}
	for _, page := range []string{"jobs", "answers", "work", "outcomes", "readings", "a body", "a boat", "a place", "a job", "a forecast"} {
		assert.True(t, failed[page], page)
	}
}

// An answer is given though the book takes nothing more, and the person is told once;
// what a person writes down is never said to be recorded when it is not.
func TestPorts_AFullDisk(t *testing.T) {
	t.Parallel()
	s := newSmall(t)
	s.fill(t)
	noRoom := &book.Error{Text: "the disk is full", Fix: "make room", Err: book.ErrDisk}
	s.a.Book = full{s.a.Book, noRoom}
	for name, ask := range s.questions(t.Context()) {
		told := 0
		s.a.Unrecorded = func(err error) { told++; assert.ErrorIs(t, err, book.ErrDisk, name) }
		_, err := ask()
		switch name {
		case "undo":
			assert.ErrorIs(t, err, book.ErrDisk)
		case "week", "held week", "morning", "move":
			assert.NoError(t, err, name)
			assert.Equal(t, 1, told, name)
		default:
			assert.NoError(t, err, name)
			assert.Zero(t, told, "%s records nothing of itself", name)
		}
	}
	for name, log := range map[string]func() error{
		"work": func() error {
			_, err := s.a.LogDone(t.Context(), app.DoneRequest{Request: s.r, Step: "wash", Zones: []string{"port side"}, Share: 1, At: on(monday)})
			return err
		},
		"rain": func() error {
			_, err := s.a.LogRain(t.Context(), app.RainRequest{Request: s.r, From: on(monday), To: on("2026-09-07T07:00:00-04:00")})
			return err
		},
		"an outcome": func() error {
			_, err := s.a.LogOutcome(t.Context(), app.OutcomeRequest{Request: s.r, Step: "wash", Zones: []string{"port side"}, Found: book.FoundOK, At: on(monday)})
			return err
		},
	} {
		assert.ErrorIs(t, log(), book.ErrDisk, name)
	}
}

// A plan or a move that another program wrote into the book in a form that is not known
// is told with what to do, and is not taken for none.
func TestPorts_AnswersOfAnotherForm(t *testing.T) {
	s := newSmall(t)
	s.fill(t)
	ctx := t.Context()
	garbled := func(b app.Book) *app.App {
		a := *s.a
		a.Book, a.Unrecorded = b, nil
		return &a
	}
	plans := garbled(garble{s.a.Book, `{"blocks": "soon"}`})
	for name, ask := range map[string]func() error{
		"week":      func() error { _, err := plans.Week(ctx, s.r); return err },
		"morning":   func() error { _, err := plans.Morning(ctx, s.r); return err },
		"move":      func() error { _, err := plans.Move(ctx, app.MoveRequest{Request: s.r}); return err },
		"last move": func() error { _, err := plans.LastMove(ctx, s.r); return err },
		"calendar":  func() error { _, err := plans.Plans(ctx, s.r); return err },
	} {
		err := ask()
		p, ok := errors.AsType[*app.Problem](err)
		require.True(t, ok, "%s: %v", name, err)
		assert.Contains(t, p.Text, "cannot be read", name)
		assert.Contains(t, p.Fix, "newer dewgap", name)
	}
}

// garble is a book of which every text reads the same.
type garble struct {
	app.Book
	text string
}

func (g garble) Body(context.Context, book.Key) ([]byte, error) { return []byte(g.text), nil }

// A source that fails, in whatever way, ends in its own word, and nothing is recorded.
func TestPorts_TheSourceFails(t *testing.T) {
	s := newSmall(t)
	s.fill(t)
	before := answers(t, s.a)
	broken := &app.Problem{Text: "no forecast to be had", Fix: "look at the connection"}
	s.a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return nil, broken })
	for name, ask := range s.questions(t.Context()) {
		out, err := ask()
		switch name {
		case "last move", "plans", "list", "show", "again", "undo": // these ask the book alone
			assert.NoError(t, err, name)
		case "place": // what was learned is told, but not what it would change
			require.NoError(t, err)
			assert.Contains(t, strings.Join(out.(*answer.Learned).Warnings, "\n"), broken.Text)
		default:
			require.ErrorIs(t, err, broken, name)
			assert.Equal(t, []answer.Failure{{Error: broken.Text, Fix: broken.Fix}}, app.Failures(err), name)
		}
	}
	assert.Equal(t, before, answers(t, s.a))
}

// Who stops an answer that is on its way gets no answer and no panic.
func TestPorts_Stopped(t *testing.T) {
	s := newSmall(t)
	s.fill(t)
	before := answers(t, s.a)
	s.a.Unrecorded = nil
	stopped, stop := context.WithCancel(t.Context())
	stop()
	for name, ask := range s.questions(stopped) {
		_, err := ask()
		assert.ErrorIs(t, err, context.Canceled, name)
	}
	assert.Equal(t, before, answers(t, s.a))
}

// A clock that stands years away, or jumps back behind all that was written, gives
// unknown or an answer of its own time, and never a go on a forecast of another time.
func TestPorts_TheClockJumps(t *testing.T) {
	s := newSmall(t)
	s.fill(t)
	f := weather(t, "2026-09-11T11:00:00-04:00")
	s.a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return f, nil })
	for _, now := range []string{"1970-01-01T00:00:00Z", "2026-08-01T06:00:00-04:00", "2026-10-11T06:00:00-04:00", "2199-12-31T12:00:00Z"} {
		t.Run(now, func(t *testing.T) {
			s.a.Clock = app.At(at(t, now))
			for _, ask := range []func() (string, error){
				func() (string, error) {
					m, err := s.a.Morning(t.Context(), s.r)
					if err != nil {
						return "", err
					}
					return m.Verdict, nil
				},
				func() (string, error) {
					w, err := s.a.Week(t.Context(), s.r)
					if err != nil {
						return "", err
					}
					if len(w.Windows) > 0 && w.Windows[0].From.Before(f.Start) {
						return "go before the forecast", nil
					}
					if w.Now.Before(f.Start) {
						return answer.Unknown, nil // its later days may be judged
					}
					return w.Verdict, nil
				},
			} {
				verdict, err := ask()
				if err != nil { // the job tells of what has not happened yet
					p, ok := errors.AsType[*app.Problem](err)
					require.True(t, ok, "%v", err)
					assert.Contains(t, p.Text, "which is after now")
					assert.NotEmpty(t, p.Fix)
					continue
				}
				assert.Equal(t, answer.Unknown, verdict)
			}
		})
	}
}
