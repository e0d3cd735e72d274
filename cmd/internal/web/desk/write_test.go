package desk_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/web/desk"
	"dewgap/window"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func known(v float64) job.Measured { return job.Measured{V: v, Known: true} }

// A text is kept with the mode of the file, and the one before beside it.
func TestSaveJob(t *testing.T) {
	f := open(t, nil)
	old, err := f.JobText("small")
	require.NoError(t, err)
	assert.Equal(t, smallJob, string(old.Text))
	assert.Equal(t, "small.yaml", old.Name)
	text := strings.Replace(smallJob, "Small", "New", 1)
	saved, err := f.SaveJob("small", []byte(text), old.Tag)
	require.NoError(t, err)
	assert.NotEqual(t, old.Tag, saved.Tag)
	data, err := os.ReadFile(f.file)
	require.NoError(t, err)
	assert.Equal(t, text, string(data))
	info, err := os.Stat(f.file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode().Perm())
	backups, err := filepath.Glob(f.file + ".*.bak")
	require.NoError(t, err)
	require.Len(t, backups, 1)
	data, err = os.ReadFile(backups[0])
	require.NoError(t, err)
	assert.Equal(t, smallJob, string(data))

	_, err = f.SaveJob("small", []byte(smallJob), old.Tag)
	assert.ErrorIs(t, err, desk.ErrChanged, "the tag is of the text before")
	again, err := f.SaveJob("small", []byte(text), saved.Tag)
	require.NoError(t, err)
	assert.Equal(t, saved.Tag, again.Tag)
	s, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.Equal(t, "New seal", s.Answer.Job)
}

// A text that is wrong, too large or for no file changes nothing.
func TestSaveJobRefuses(t *testing.T) {
	f := open(t, func(c *desk.Config) { c.Demo = &app.JobFile{Name: demo.JobName, Data: demo.JobFile()} })
	old, err := f.JobText("small")
	require.NoError(t, err)
	_, err = f.SaveJob("small", []byte("job: x\nnonsense: 1\n"), old.Tag)
	_, wrong := errors.AsType[job.Errors](err)
	assert.True(t, wrong, err)
	_, err = f.SaveJob("small", make([]byte, desk.LargestJob+1), old.Tag)
	assert.ErrorContains(t, err, "larger")
	_, err = f.SaveJob("demo", demo.JobFile(), desk.TagOf(demo.JobFile()))
	assert.ErrorIs(t, err, desk.ErrReadOnly)
	_, err = f.SaveJob("none", nil, "")
	assert.ErrorIs(t, err, desk.ErrNoJob)
	data, err := os.ReadFile(f.file)
	require.NoError(t, err)
	assert.Equal(t, smallJob, string(data))
	list, err := os.ReadDir(filepath.Dir(f.file))
	require.NoError(t, err)
	assert.Len(t, list, 1)
}

// A change that others make while a text is being written is not lost: of many who
// save on the same text one succeeds.
func TestSaveJobOneWins(t *testing.T) {
	f := open(t, nil)
	old, err := f.JobText("small")
	require.NoError(t, err)
	const many = 8
	errs := make(chan error, many)
	for i := range many {
		go func() {
			_, err := f.SaveJob("small", []byte(smallJob+strings.Repeat("\n", i+1)), old.Tag)
			errs <- err
		}()
	}
	won := 0
	for range many {
		if err := <-errs; err == nil {
			won++
		} else {
			assert.ErrorIs(t, err, desk.ErrChanged)
		}
	}
	assert.Equal(t, 1, won)
}

// A link to a job's file stays a link.
func TestSaveJobThroughALink(t *testing.T) {
	f := open(t, nil)
	link := filepath.Join(t.TempDir(), "link.yaml")
	require.NoError(t, os.Symlink(f.file, link))
	other, err := desk.New(desk.Config{Files: []string{link}, Source: f.source, Clock: f.clock, Classes: f.Classes()})
	require.NoError(t, err)
	defer other.Close()
	text := smallJob + "# more\n"
	_, err = other.SaveJob("link", []byte(text), desk.TagOf([]byte(smallJob)))
	require.NoError(t, err)
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink)
	data, err := os.ReadFile(f.file)
	require.NoError(t, err)
	assert.Equal(t, text, string(data))
}

// Readings are recorded all or none, and count in the next answer.
func TestAddReadings(t *testing.T) {
	f := withBook(t)
	before, err := f.Morning(t.Context(), "small")
	require.NoError(t, err)
	assert.Empty(t, before.Answer.ReadingsUsed)
	at := tuesday.Add(-10 * time.Minute)
	good := job.Reading{At: at, Zone: "port side", SurfaceC: known(14), By: job.Infrared, Wet: job.Yes}
	_, err = f.AddReadings(t.Context(), "small", []job.Reading{good, {At: at, Zone: "bowsprit", SurfaceC: known(14), By: job.Contact}})
	require.ErrorContains(t, err, "unknown zone")
	log, err := f.Log(t.Context(), "small")
	require.NoError(t, err)
	assert.Empty(t, log.Readings, "one of two was recorded")

	out, err := f.AddReadings(t.Context(), "small", []job.Reading{good, {At: at, AirC: known(15), HumidityPct: known(91)}})
	require.NoError(t, err)
	require.Len(t, out.Entries, 2)
	assert.Equal(t, "book.sqlite", out.File, "no folder is told")
	after, err := f.Morning(t.Context(), "small")
	require.NoError(t, err)
	assert.NotEmpty(t, after.Answer.ReadingsUsed)
}

// A reading that is sent again is not recorded again, whatever came between.
func TestReadingsOnce(t *testing.T) {
	f := withBook(t)
	list := []job.Reading{
		{At: tuesday.Add(-time.Hour), Zone: "port side", SurfaceC: known(13.4), By: job.Contact, Sun: job.No},
		{At: tuesday.Add(-time.Hour), AirC: known(15), Salt: job.No, Spray: job.Yes, Sky: job.SkyPartly},
	}
	first, err := f.AddReadings(t.Context(), "small", list)
	require.NoError(t, err)
	_, err = f.AddReadings(t.Context(), "small", []job.Reading{{At: tuesday.Add(-time.Hour), AirC: known(16)}})
	require.NoError(t, err)
	again, err := f.AddReadings(t.Context(), "small", list)
	require.NoError(t, err)
	require.Len(t, again.Entries, 2)
	for i := range list {
		assert.Equal(t, first.Entries[i].ID, again.Entries[i].ID)
	}
	page, err := f.Entries(t.Context(), "small", desk.UndoReading, 0, 0)
	require.NoError(t, err)
	assert.Len(t, page.Entries, 3)
}

// A product that is none never becomes part of a line.
func TestReadingOfNoProduct(t *testing.T) {
	f := withBook(t)
	_, err := f.AddReadings(t.Context(), "small", []job.Reading{{At: tuesday, Zone: "port side",
		Product: "polymer-sealant, air_c: 40", HazeMin: known(30)}})
	assert.ErrorContains(t, err, "no product")
}

// Work, outcomes and rain are recorded, listed page by page, and taken back.
func TestLogAndLists(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	for _, at := range []string{"05:00", "05:10", "05:20"} {
		_, err := f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: []string{"port side"}, Share: .2, At: at, By: "A"})
		require.NoError(t, err)
	}
	mm := 4.0
	_, err := f.LogRain(ctx, "small", desk.Rain{From: "03:10", To: "03:40", MM: &mm})
	require.NoError(t, err)
	_, err = f.LogOutcome(ctx, "small", desk.Work{Step: "seal", Zones: []string{"port side"}, Found: book.FoundInspect})
	require.NoError(t, err)

	page, err := f.Entries(ctx, "small", desk.UndoDone, 0, 2)
	require.NoError(t, err)
	require.Len(t, page.Entries, 2)
	assert.Equal(t, []int64{3, 2}, []int64{page.Entries[0].ID, page.Entries[1].ID})
	rest, err := f.Entries(ctx, "small", desk.UndoDone, page.Next, 2)
	require.NoError(t, err)
	require.Len(t, rest.Entries, 1)
	assert.Zero(t, rest.Next)

	_, err = f.Undo(ctx, "small", desk.UndoDone, 2)
	require.NoError(t, err)
	_, err = f.Undo(ctx, "small", desk.UndoDone, 2)
	assert.ErrorIs(t, err, book.ErrNotFound)
	_, err = f.Undo(ctx, "small", desk.UndoReading, 1)
	require.NoError(t, err)
	log, err := f.Log(ctx, "small")
	require.NoError(t, err)
	assert.Len(t, log.Done, 2)
	assert.Len(t, log.Outcomes, 1)
	assert.Empty(t, log.Readings)
}

// What cannot be meant is refused with what to do.
func TestLogRefuses(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	port := []string{"port side"}
	for name, do := range map[string]func() error{
		"no zone": func() error { _, err := f.LogDone(ctx, "small", desk.Work{Step: "seal"}); return err },
		"share": func() error {
			_, err := f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: port, Share: 2})
			return err
		},
		"no step": func() error { _, err := f.LogDone(ctx, "small", desk.Work{Step: "wash", Zones: port}); return err },
		"ahead": func() error {
			_, err := f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: port, At: "09:00"})
			return err
		},
		"found": func() error {
			_, err := f.LogOutcome(ctx, "small", desk.Work{Step: "seal", Zones: port, Found: "fine"})
			return err
		},
		"no rain":    func() error { _, err := f.LogRain(ctx, "small", desk.Rain{}); return err },
		"rain ends":  func() error { _, err := f.LogRain(ctx, "small", desk.Rain{From: "05:00", To: "04:00"}); return err },
		"no reading": func() error { _, err := f.AddReadings(ctx, "small", nil); return err },
	} {
		err := do()
		require.Error(t, err, name)
		assert.True(t, desk.Known(err), "%s: %v", name, err)
		assert.NotEmpty(t, desk.Failures(err)[0].Fix, name)
	}
	without := open(t, nil)
	_, err := without.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: port})
	assert.ErrorIs(t, err, desk.ErrNoBook)
	_, err = without.AddReadings(ctx, "small", []job.Reading{{AirC: known(1)}})
	assert.ErrorIs(t, err, desk.ErrNoBook)
	log, err := without.Log(ctx, "small")
	require.NoError(t, err)
	assert.Empty(t, log.Done)
}

// Answers are listed newest first, shown with their own bytes, and none of another
// job's.
func TestAnswers(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	s, err := f.Week(ctx, "small")
	require.NoError(t, err)
	_, err = f.Morning(ctx, "small")
	require.NoError(t, err)
	page, err := f.Answers(ctx, "small", 0, 1)
	require.NoError(t, err)
	require.Len(t, page.Answers, 1)
	assert.Equal(t, book.Morning, page.Answers[0].Kind)
	page, err = f.Answers(ctx, "small", page.Next, 1)
	require.NoError(t, err)
	require.Len(t, page.Answers, 1)
	assert.Zero(t, page.Next)
	data, err := f.AnswerBytes(ctx, "small", page.Answers[0].ID)
	require.NoError(t, err)
	assert.Equal(t, string(s.JSON.Bytes), string(data))
	_, err = f.AnswerBytes(ctx, "small", 99)
	assert.ErrorIs(t, err, book.ErrNotFound)
}

// The plan last answered is moved where there is no book, and the move is then the
// newest; without a plan there is nothing to move.
func TestMove(t *testing.T) {
	f := open(t, nil)
	ctx := t.Context()
	_, err := f.Move(ctx, "small", desk.Moving{})
	require.ErrorIs(t, err, desk.ErrNoPlan)
	s, err := f.Week(ctx, "small")
	require.NoError(t, err)
	require.NotNil(t, s.Answer.Plan)
	require.NotEmpty(t, s.Answer.Plan.Blocks)
	last, err := f.LastMove(ctx, "small")
	require.NoError(t, err)
	assert.Nil(t, last)
	mm := 3.0
	m, err := f.Move(ctx, "small", desk.Moving{Rain: []desk.Rain{{From: "05:00", To: "05:30", MM: &mm}}})
	require.NoError(t, err)
	require.NotEmpty(t, m.Rain)
	last, err = f.LastMove(ctx, "small")
	require.NoError(t, err)
	assert.Equal(t, m, last)
	for _, bad := range []desk.Moving{
		{Rain: []desk.Rain{{From: "05:00"}}},
		{Rain: []desk.Rain{{From: "05:00", To: "09:00"}}},
		{Left: []desk.Left{{Step: "seal", Zone: "port side", How: window.LeftHazing, Share: 7}}},
		{Left: []desk.Left{{Step: "seal", Zone: "port side", How: window.LeftHazing, From: "05:10", To: "05:00"}}},
	} {
		_, err := f.Move(ctx, "small", bad)
		assert.True(t, err != nil && desk.Known(err), "%+v: %v", bad, err)
	}
}

// Readings given with the question count and are recorded.
func TestMorningWith(t *testing.T) {
	f := withBook(t)
	m, err := f.MorningWith(t.Context(), "small", []byte(`[{"at": "2026-09-08T05:50", "air_c": 15, "humidity_pct": 91}]`))
	require.NoError(t, err)
	assert.NotEmpty(t, m.Readings)
	log, err := f.Log(t.Context(), "small")
	require.NoError(t, err)
	assert.Len(t, log.Readings, 1)
	_, err = f.MorningWith(t.Context(), "small", []byte(`[{"at": "2026-09-08T05:50", "air": 15}]`))
	require.Error(t, err)
	assert.Equal(t, "readings:1:29", desk.Failures(err)[0].Where)
}

// What somebody has begun to record is recorded though the connection breaks; when the desk
// closes nobody waits for it.
func TestBegunIsBroughtToItsEnd(t *testing.T) {
	f := withBook(t)
	read := func(ctx context.Context, at string) chan error {
		asked, done := f.source.asked.Load(), make(chan error, 1)
		go func() {
			_, err := f.MorningWith(ctx, "small", []byte(`[{"at": "2026-09-08T`+at+`", "air_c": 15, "humidity_pct": 91}]`))
			done <- err
		}()
		eventually(t, func() bool { return f.source.asked.Load() > asked })
		return done
	}
	release := f.source.holdBack()
	ctx, leave := context.WithCancel(t.Context())
	done := read(ctx, "05:50")
	leave()
	release()
	require.NoError(t, <-done)
	log, err := f.Log(t.Context(), "small")
	require.NoError(t, err)
	assert.Len(t, log.Readings, 1)

	defer f.source.holdBack()()
	done = read(t.Context(), "05:55")
	f.Close()
	assert.ErrorIs(t, <-done, context.Canceled)
}
