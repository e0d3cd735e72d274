package desk_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/internal/webtest"
	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// full is a book that takes nothing more, as one on a full disk, once it is full.
type full struct {
	app.Book
	err error
}

// Record refuses where the book is full.
func (b *full) Record(ctx context.Context, write func(*book.Tx) error) error {
	if b.err != nil {
		return b.err
	}
	return b.Book.Record(ctx, write)
}

// withFull is a desk with a book that can be full, and what its watch was told.
func withFull(t *testing.T) (f *fixture, b *full, told *[]error) {
	kept := webtest.Book(t)
	b, told = &full{Book: app.Stored{Book: kept}}, &[]error{}
	f = open(t, func(c *desk.Config) {
		c.Book, c.KeepAnswers = b, true
		c.Watch.Unrecorded = func(err error) { *told = append(*told, err) }
	})
	f.book = kept
	return f, b, told
}

// A slip in the making of an answer ends neither the program nor the waiting of those
// who asked, and leaves the turn to the next.
func TestASlipIsAFaultOfOneAnswer(t *testing.T) {
	f := open(t, nil)
	f.source.failing(errSlip)
	edit := func(n int) {
		require.NoError(t, os.WriteFile(f.file, []byte(smallJob+strings.Repeat("\n", n)), 0o640))
	}
	for n := range desk.AtOnce + 1 {
		edit(n + 1)
		for _, ask := range []func() error{
			func() error { _, err := f.Week(t.Context(), "small"); return err },
			func() error { _, err := f.Morning(t.Context(), "small"); return err },
			func() error {
				_, err := f.Why(t.Context(), "small", "port side", "polymer-sealant", time.Time{})
				return err
			},
		} {
			err := ask()
			require.ErrorContains(t, err, "a slip")
			assert.ErrorContains(t, err, "goroutine", "where it was")
			assert.False(t, desk.Known(err), "nothing that a person outside could mend")
		}
	}
	f.source.mended()
	edit(0)
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
}

// An answer stands though the book cannot take it: that is told to the watch. Once it
// can, the answer is kept after all.
func TestAnswersStandThoughTheBookIsFull(t *testing.T) {
	f, b, told := withFull(t)
	b.err = errors.New("disk full")
	w, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	require.NotNil(t, w.Answer.Plan)
	require.Len(t, *told, 1)
	assert.ErrorContains(t, (*told)[0], "disk full")
	b.err = nil
	f.clock.on(desk.StaleFor + 10*time.Minute)
	_, err = f.Week(t.Context(), "small")
	require.NoError(t, err)
	list, err := f.Answers(t.Context(), "small", 0, 0)
	require.NoError(t, err)
	assert.Len(t, list.Answers, 1, "the forecast is the same, and yet it is not in the book")
}

// What a person writes down is in the book or refused: nobody is told that it was taken
// when it was not. A plan that cannot be kept takes the place of none.
func TestWhatPeopleWriteIsKeptOrRefused(t *testing.T) {
	f, b, _ := withFull(t)
	ctx := t.Context()
	_, err := f.Week(ctx, "small")
	require.NoError(t, err)
	b.err = errors.New("disk full")
	port := []string{"port side"}
	for name, do := range map[string]func() error{
		"done": func() error { _, err := f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: port}); return err },
		"outcome": func() error {
			_, err := f.LogOutcome(ctx, "small", desk.Work{Step: "seal", Zones: port, Found: "ok"})
			return err
		},
		"rain":     func() error { _, err := f.LogRain(ctx, "small", desk.Rain{From: "04:00", To: "04:30"}); return err },
		"readings": func() error { _, err := f.AddReadings(ctx, "small", []job.Reading{{AirC: known(15)}}); return err },
		"anew":     func() error { _, err := f.PlanAnew(ctx, "small"); return err },
		"move": func() error {
			_, err := f.Move(ctx, "small", desk.Moving{Rain: []desk.Rain{{From: "04:00", To: "04:30"}}})
			return err
		},
	} {
		assert.ErrorContains(t, do(), "disk full", name)
	}
	b.err = nil
	log, err := f.Log(ctx, "small")
	require.NoError(t, err)
	assert.Empty(t, append(append(log.Done, log.Outcomes...), log.Readings...))
	m, err := f.LastMove(ctx, "small")
	require.NoError(t, err)
	assert.Nil(t, m)
	_, err = f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: port, At: "05:00"})
	assert.NoError(t, err)
}

// Only what there is can be taken back: no other kind of thing, no other number, nothing
// of another boat, and nothing twice.
func TestOnlyWhatThereIsIsTakenBack(t *testing.T) {
	b := webtest.Book(t)
	folder := t.TempDir()
	var files []string
	for name, text := range map[string]string{"small.yaml": smallJob, "other.yaml": strings.Replace(smallJob, "name: Kittiwake", "name: Dunlin", 1)} {
		files = append(files, filepath.Join(folder, name))
		require.NoError(t, os.WriteFile(files[len(files)-1], []byte(text), 0o600))
	}
	f := open(t, func(c *desk.Config) { c.Files, c.Book = files, app.Stored{Book: b} })
	ctx := t.Context()
	_, err := f.AddReadings(ctx, "small", []job.Reading{{AirC: known(15)}})
	require.NoError(t, err)
	done, err := f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: []string{"port side"}, At: "05:00"})
	require.NoError(t, err)
	number := done.Entries[0].ID
	for name, c := range map[string]struct {
		id, kind string
		number   int64
	}{
		"gold": {"small", "gold", 1}, "no kind": {"small", "", 1}, "an outcome": {"small", desk.UndoOutcome, number}, "another number": {"small", desk.UndoDone, number + 1},
		"nought": {"small", desk.UndoDone, 0}, "less": {"small", desk.UndoReading, -1}, "most": {"small", desk.UndoReading, 1<<63 - 1}, "another boat": {"other", desk.UndoDone, number},
		"its reading": {"other", desk.UndoReading, 1},
	} {
		_, err := f.Undo(ctx, c.id, c.kind, c.number)
		require.Error(t, err, name)
		assert.True(t, desk.Known(err), "%s: %v", name, err)
		assert.NotEmpty(t, desk.Failures(err)[0].Fix, name)
	}
	_, err = f.Undo(ctx, "small", desk.UndoDone, number)
	require.NoError(t, err)
	_, err = f.Undo(ctx, "small", desk.UndoDone, number)
	assert.ErrorIs(t, err, book.ErrNotFound, "twice")
	log, err := f.Log(ctx, "small")
	require.NoError(t, err)
	assert.Empty(t, log.Done)
	assert.Len(t, log.Readings, 1)
}

// An entry that corrects another takes its place; several at once cannot.
func TestAnEntryIsCorrectedByOne(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	first, err := f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: []string{"port side"}, At: "05:00", By: "Ada"})
	require.NoError(t, err)
	_, err = f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: []string{"port side", "port side"}, Corrects: first.Entries[0].ID})
	assert.ErrorContains(t, err, "one entry is corrected by one")
	_, err = f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: []string{"port side"}, At: "05:20", Share: 0.5, By: "Ben", Corrects: first.Entries[0].ID})
	require.NoError(t, err)
	log, err := f.Log(ctx, "small")
	require.NoError(t, err)
	require.Len(t, log.Done, 1)
	assert.Contains(t, log.Done[0].Text, "50 %")
	assert.Contains(t, log.Done[0].Text, "Ben")
}

// Rain and work that cannot have been are refused before a plan is moved by them.
func TestMovingByWhatCannotHaveBeen(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	_, err := f.Week(ctx, "small")
	require.NoError(t, err)
	nought, much := 0.0, 2000.0
	rain := func(x desk.Rain) desk.Moving { return desk.Moving{Rain: []desk.Rain{x}} }
	left := func(x desk.Left) desk.Moving { return desk.Moving{Left: []desk.Left{x}} }
	for want, m := range map[string]desk.Moving{
		"no beginning": rain(desk.Rain{To: "05:00"}), "0 mm is no amount": rain(desk.Rain{From: "04:00", To: "05:00", MM: &nought}), "2000 mm": rain(desk.Rain{From: "04:00", To: "05:00", MM: &much}),
		"two moments": rain(desk.Rain{From: "04:00"}), `"4 pm" is no moment`: rain(desk.Rain{From: "4 pm", To: "05:00"}), `"late" is no moment`: rain(desk.Rain{From: "04:00", To: "late"}),
		"15:00 lies in the future": rain(desk.Rain{From: "04:00", To: "15:00"}), "04:00 is not after 05:00": rain(desk.Rain{From: "05:00", To: "04:00"}),
		"2 is no share":             left(desk.Left{Step: "seal", Zone: "port side", How: window.LeftBuffed, Share: 2}),
		"-0.5 is no share":          left(desk.Left{Step: "seal", Zone: "port side", How: window.LeftBuffed, Share: -0.5}),
		"two moments are needed":    left(desk.Left{Step: "seal", Zone: "port side", How: window.LeftBuffed, From: "04:00"}),
		"05:30 is not after 05:30":  left(desk.Left{Step: "seal", Zone: "port side", How: window.LeftBuffed, From: "05:30", To: "05:30"}),
		"06:10 lies in the future ": left(desk.Left{Step: "seal", Zone: "port side", How: window.LeftBuffed, From: "05:30", To: "06:10"}),
	} {
		_, err := f.Move(ctx, "small", m)
		assert.ErrorContains(t, err, strings.TrimSpace(want))
		assert.True(t, desk.Known(err), want)
	}
	m, err := f.LastMove(ctx, "small")
	require.NoError(t, err)
	assert.Nil(t, m, "nothing was moved")
	_, err = f.Move(ctx, "none", desk.Moving{})
	assert.ErrorIs(t, err, desk.ErrNoJob)
}

// Without a book the plan that was moved is remembered, and moved on from there.
func TestMovingWithoutABook(t *testing.T) {
	f := open(t, nil)
	ctx := t.Context()
	_, err := f.Move(ctx, "small", desk.Moving{})
	assert.ErrorIs(t, err, desk.ErrNoPlan)
	w, err := f.Week(ctx, "small")
	require.NoError(t, err)
	require.NotEmpty(t, w.Answer.Plan.Blocks)
	first, err := f.Move(ctx, "small", desk.Moving{Rain: []desk.Rain{{From: "04:00", To: "04:30"}}})
	require.NoError(t, err)
	last, err := f.LastMove(ctx, "small")
	require.NoError(t, err)
	assert.Same(t, first, last)
	again, err := f.Move(ctx, "small", desk.Moving{})
	require.NoError(t, err)
	assert.Equal(t, len(first.Plan.Blocks), again.Blocks, "by the plan that was moved, not the one of before")
	f.source.stale.Store(true)
	blind, err := f.Move(ctx, "small", desk.Moving{})
	require.NoError(t, err)
	require.Equal(t, answer.Unknown, blind.Verdict)
	last, err = f.LastMove(ctx, "small")
	require.NoError(t, err)
	assert.Same(t, blind, last, "it is shown")
	f.source.stale.Store(false)
	again, err = f.Move(ctx, "small", desk.Moving{})
	require.NoError(t, err)
	assert.Equal(t, first.Plan.State, again.Plan.State, "and what was agreed before it stands")
	assert.Zero(t, again.Moved)

	_, err = f.PlanAnew(ctx, "small")
	require.NoError(t, err)
	last, err = f.LastMove(ctx, "small")
	require.NoError(t, err)
	assert.Nil(t, last, "planned anew")
}

// Saved twice within a second, both earlier texts are still there: nobody's work is
// written over by the quickness of another.
func TestNoEarlierTextIsLost(t *testing.T) {
	f := open(t, nil)
	texts := []string{smallJob}
	saved, err := f.JobText("small")
	require.NoError(t, err)
	for i := range 4 {
		text := fmt.Sprintf("%s# save %d\n", smallJob, i)
		saved, err = f.SaveJob("small", []byte(text), saved.Tag)
		require.NoError(t, err)
		texts = append(texts, text)
	}
	list, err := filepath.Glob(f.file + ".*Z.bak")
	require.NoError(t, err)
	var kept []string
	for _, name := range list { // by their names, which are moments
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		kept = append(kept, string(data))
	}
	assert.Equal(t, texts[:len(texts)-1], kept)
}

// A text that cannot be kept leaves the file as it was, and says whose matter it is,
// without the folder.
func TestATextThatCannotBeKept(t *testing.T) {
	for name, block := range map[string]func(path string) error{
		"its folder is gone, for a link to nowhere": func(path string) error {
			return os.Symlink(filepath.Join(filepath.Dir(path), "none", "small.yaml"), path+".link")
		},
	} {
		f := open(t, nil)
		require.NoError(t, block(f.file), name)
		g := open(t, func(c *desk.Config) { c.Files = []string{f.file + ".link"} })
		_, err := g.SaveJob(g.Jobs()[0].ID, []byte(smallJob), "x")
		require.Error(t, err)
		assert.True(t, desk.Known(err), "%v", err)
		assert.NotContains(t, desk.Failures(err)[0].Where, string(filepath.Separator))
		data, err := os.ReadFile(f.file)
		require.NoError(t, err)
		assert.Equal(t, smallJob, string(data))
	}
}

// What somebody does with the demo is kept under the demo's own name.
func TestTheDemoIsKeptByItsName(t *testing.T) {
	b := webtest.Book(t)
	f := open(t, func(c *desk.Config) {
		c.Files, c.Demo, c.Book = nil, &app.JobFile{Name: "demo", Data: []byte(smallJob)}, app.Stored{Book: b}
	})
	_, err := f.LogDone(t.Context(), "demo", desk.Work{Step: "seal", Zones: []string{"port side"}, At: "05:00"})
	require.NoError(t, err)
	log, err := f.Log(t.Context(), "demo")
	require.NoError(t, err)
	require.Len(t, log.Done, 1)
	assert.Equal(t, "Small seal", log.Done[0].Job)
	_, err = f.SaveJob("demo", []byte(smallJob+"#\n"), desk.TagOf([]byte(smallJob)))
	assert.ErrorIs(t, err, desk.ErrReadOnly)
	assert.NotEmpty(t, f.Revision())
}

// The revision changes with all that could be told, and with nothing else.
func TestTheRevision(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	_, err := f.Week(ctx, "small")
	require.NoError(t, err)
	was := f.Revision()
	assert.Equal(t, was, f.Revision())
	for _, c := range []struct {
		what string
		do   func() error
	}{
		{"work", func() error {
			_, err := f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: []string{"port side"}, At: "05:00"})
			return err
		}},
		{"a reading", func() error { _, err := f.AddReadings(ctx, "small", []job.Reading{{AirC: known(15)}}); return err }},
		{"a morning", func() error { _, err := f.Morning(ctx, "small"); return err }},
		{"a slot", func() error { f.clock.on(10 * time.Minute); return nil }},
		{"the job", func() error { return os.WriteFile(f.file, []byte(smallJob+"# more\n"), 0o600) }},
		{"its end", func() error { return os.Remove(f.file) }},
	} {
		require.NoError(t, c.do(), c.what)
		is := f.Revision()
		assert.NotEqual(t, was, is, c.what)
		was = is
	}
}

// A job that is not there is told as such by every way of asking.
func TestNoSuchJob(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	for name, ask := range map[string]func() error{
		"week":     func() error { _, err := f.Week(ctx, "none"); return err },
		"morning":  func() error { _, err := f.Morning(ctx, "none"); return err },
		"why":      func() error { _, err := f.WhyAt(ctx, "none", "port side", "polymer-sealant", "09:00"); return err },
		"with":     func() error { _, err := f.MorningWith(ctx, "none", []byte("- {air_c: 3}\n")); return err },
		"text":     func() error { _, err := f.JobText("none"); return err },
		"check":    func() error { _, err := f.CheckJob("none", nil); return err },
		"save":     func() error { _, err := f.SaveJob("none", nil, ""); return err },
		"log":      func() error { _, err := f.Log(ctx, "none"); return err },
		"answers":  func() error { _, err := f.Answers(ctx, "none", 0, 0); return err },
		"bytes":    func() error { _, err := f.AnswerBytes(ctx, "none", 1); return err },
		"entries":  func() error { _, err := f.Entries(ctx, "none", desk.UndoDone, 0, 0); return err },
		"undo":     func() error { _, err := f.Undo(ctx, "none", desk.UndoDone, 1); return err },
		"plans":    func() error { _, err := f.PlanVersions(ctx, "none"); return err },
		"anew":     func() error { _, err := f.PlanAnew(ctx, "none"); return err },
		"moved":    func() error { _, err := f.LastMove(ctx, "none"); return err },
		"readings": func() error { _, err := f.AddReadings(ctx, "none", []job.Reading{{AirC: known(1)}}); return err },
		"parse":    func() error { _, err := f.ParseReadings(ctx, "none", "x", []byte("- {air_c: 3}\n")); return err },
	} {
		assert.ErrorIs(t, ask(), desk.ErrNoJob, name)
	}
}

// A job whose file went wrong is told by its line by every way of asking, and mended it
// is as before.
func TestAWrongJobIsToldEverywhere(t *testing.T) {
	f := withBook(t)
	ctx := t.Context()
	require.NoError(t, os.WriteFile(f.file, []byte(strings.Replace(smallJob, "tilt: 90", "tilt: 900", 1)), 0o600))
	for name, ask := range map[string]func() error{
		"week": func() error { _, err := f.Week(ctx, "small"); return err }, "morning": func() error { _, err := f.Morning(ctx, "small"); return err },
		"answers": func() error { _, err := f.Answers(ctx, "small", 0, 0); return err }, "plans": func() error { _, err := f.PlanVersions(ctx, "small"); return err },
		"anew": func() error { _, err := f.PlanAnew(ctx, "small"); return err }, "move": func() error { _, err := f.Move(ctx, "small", desk.Moving{}); return err },
		"done": func() error {
			_, err := f.LogDone(ctx, "small", desk.Work{Step: "seal", Zones: []string{"port side"}})
			return err
		},
		"readings": func() error { _, err := f.AddReadings(ctx, "small", []job.Reading{{AirC: known(1)}}); return err },
	} {
		list, ok := errors.AsType[job.Errors](ask())
		require.True(t, ok, name)
		assert.Equal(t, 5, list[0].Line, name)
	}
	require.NoError(t, os.WriteFile(f.file, []byte(smallJob), 0o600))
	_, err := f.Week(ctx, "small")
	assert.NoError(t, err)
}

// Where only the service knows the time zone, a setting of it goes before, and without
// either the moments that people write cannot be read: then the service is asked first.
func TestTheZoneThatIsSet(t *testing.T) {
	nowhere := strings.Replace(smallJob, ", timezone: America/New_York", "", 1)
	for zone, want := range map[string]time.Time{"": time.Date(2026, 9, 8, 9, 0, 0, 0, time.UTC), "Europe/Athens": time.Date(2026, 9, 8, 2, 0, 0, 0, time.UTC)} {
		b := webtest.Book(t)
		f := open(t, func(c *desk.Config) { c.Timezone, c.Book = zone, app.Stored{Book: b} })
		require.NoError(t, os.WriteFile(f.file, []byte(nowhere), 0o600))
		done, err := f.LogDone(t.Context(), "small", desk.Work{Step: "seal", Zones: []string{"port side"}, At: "05:00"})
		require.NoError(t, err)
		assert.True(t, want.Equal(done.Entries[0].At), "%q: %s", zone, done.Entries[0].At)
	}
	f := open(t, func(c *desk.Config) { c.Book = app.Stored{Book: webtest.Book(t)} })
	require.NoError(t, os.WriteFile(f.file, []byte(nowhere), 0o600))
	f.source.failing(&app.Problem{Text: "no connection", Fix: "plug it in"})
	_, err := f.LogDone(t.Context(), "small", desk.Work{Step: "seal", Zones: []string{"port side"}, At: "05:00"})
	assert.ErrorContains(t, err, "no connection", "nobody guesses a zone")
}

// Too little is known of the weather ahead: then no plan takes the place of the one that
// was agreed.
func TestNoPlanIsMadeOfNothing(t *testing.T) {
	b := webtest.Book(t)
	blind := false
	f := open(t, func(c *desk.Config) {
		inner := c.Source
		c.Book, c.KeepAnswers = app.Stored{Book: b}, true
		c.Source = sourceFunc(func(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
			x, err := inner.Forecast(ctx, q)
			if err == nil && blind {
				x.Issued = tuesday.Add(-80 * time.Hour)
			}
			return x, err
		})
	})
	ctx := t.Context()
	moved, err := func() (*answer.Move, error) {
		if _, err := f.Week(ctx, "small"); err != nil {
			return nil, err
		}
		return f.Move(ctx, "small", desk.Moving{})
	}()
	require.NoError(t, err)
	blind = true
	_, err = f.PlanAnew(ctx, "small")
	assert.ErrorContains(t, err, "too little is known of the weather ahead")
	last, err := f.LastMove(ctx, "small")
	require.NoError(t, err)
	require.NotNil(t, last, "the plan stays as it was")
	assert.Equal(t, booked(moved.Plan), booked(last.Plan))
}

// sourceFunc is a source that is a function.
type sourceFunc func(context.Context, app.Query) (*forecast.Forecast, error)

// Forecast asks it.
func (s sourceFunc) Forecast(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
	return s(ctx, q)
}

// What a client says of packing is taken at its word: of gzip itself first, of all
// others only where nothing is said of gzip (RFC 9110, 12.5.3).
func TestPackingIsTakenAtItsWord(t *testing.T) {
	for header, want := range map[string]bool{
		"": false, "gzip": true, "GZIP": true, "br, gzip;q=0.5": true, "gzip;q=0": false, "gzip;q=0.0": false, "*": true, "*;q=0": false, "identity": false, "deflate, br": false,
		"*;q=0, gzip": true, "gzip;q=0, *": false, "*, gzip;q=0": false, "gzip; q=1": true, "gzip;Q=0.1": true, "gzip;q=x": false, "x-gzip": false, "gzip,": true, ",,gzip": true,
	} {
		assert.Equal(t, want, desk.AcceptsGzip(header), "%q", header)
	}
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(rapid.SampledFrom([]string{"br", "deflate", "*", "*;q=0", "identity", "zstd;q=0.4"}), 0, 4).Draw(t, "others")
		at := rapid.IntRange(0, len(parts)).Draw(t, "at")
		said := rapid.SampledFrom([]string{"gzip", "gzip;q=0"}).Draw(t, "said")
		list := append(append(append([]string{}, parts[:at]...), said), parts[at:]...)
		if got := desk.AcceptsGzip(strings.Join(list, ", ")); got != (said == "gzip") {
			t.Fatalf("%v: %t", list, got)
		}
	})
}

// However bytes are asked for, the answer is what they are: whole or packed, with the tag
// that goes with the form, its length, and nothing to who has them or asks for the head.
func TestBytesInEachForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := []byte(strings.Repeat(rapid.StringN(1, 20, 40).Draw(t, "text"), rapid.IntRange(1, 200).Draw(t, "times")))
		b := desk.NewBody(data)
		r := httptest.NewRequest(rapid.SampledFrom([]string{http.MethodGet, http.MethodHead}).Draw(t, "method"), "/", nil)
		packing := rapid.Bool().Draw(t, "packing")
		if packing {
			r.Header.Set("Accept-Encoding", "gzip")
		}
		has := rapid.SampledFrom([]string{"", `"` + b.Tag + `"`, `"other"`}).Draw(t, "has")
		r.Header.Set("If-None-Match", has)
		rec := httptest.NewRecorder()
		b.Serve(rec, r, "text/x")
		h := rec.Header()
		if !strings.Contains(h.Get("Vary"), "Accept-Encoding") || h.Get("ETag") == "" || h.Get("Cache-Control") == "" {
			t.Fatalf("%v", h)
		}
		if has == `"`+b.Tag+`"` {
			if rec.Code != http.StatusNotModified || rec.Body.Len() > 0 || h.Get("Content-Length") != "" {
				t.Fatalf("%d %v", rec.Code, h)
			}
			return
		}
		want := data
		if h.Get("Content-Encoding") == "gzip" {
			want = b.Gzip()
			if !packing || !strings.HasSuffix(h.Get("ETag"), `-gz"`) {
				t.Fatalf("%v", h)
			}
		}
		if h.Get("Content-Length") != fmt.Sprint(len(want)) {
			t.Fatalf("%v for %d", h, len(want))
		}
		got, err := io.ReadAll(rec.Body)
		if err != nil || r.Method == http.MethodHead && len(got) > 0 || r.Method == http.MethodGet && string(got) != string(want) {
			t.Fatalf("%q", got)
		}
	})
}
