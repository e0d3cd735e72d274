package desk_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/web/desk"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// several opens a desk on texts of their own, in files by their names.
func several(t *testing.T, texts map[string]string, names ...string) *fixture {
	folder := t.TempDir()
	return open(t, func(c *desk.Config) {
		c.Files = nil
		for _, name := range names {
			path := filepath.Join(folder, name)
			require.NoError(t, os.WriteFile(path, []byte(texts[name]), 0o600))
			c.Files = append(c.Files, path)
		}
	})
}

// Boats that lie at one place are listed there together; a job that cannot be read is at
// none.
func TestPlaces(t *testing.T) {
	f := several(t, map[string]string{
		"a.yaml": smallJob, "b.yaml": strings.Replace(smallJob, "Small seal", "Other seal", 1),
		"c.yaml": strings.Replace(smallJob, "name: Otter Quay, latitude: 43.07", "name: Heron Wharf, latitude: 44.1", 1), "d.yaml": "job: x\n",
	}, "a.yaml", "b.yaml", "c.yaml", "d.yaml")
	got := f.Places()
	require.Len(t, got, 2)
	assert.Equal(t, "Otter Quay", got[0].Name)
	assert.Equal(t, []string{"a", "b"}, got[0].Jobs)
	assert.Equal(t, "Heron Wharf", got[1].Name)
	assert.Equal(t, []string{"c"}, got[1].Jobs)
	info, err := f.Job("d")
	require.NoError(t, err)
	assert.NotEmpty(t, info.Wrong)
	_, err = f.Job("none")
	assert.ErrorIs(t, err, desk.ErrNoJob)
}

// A job that names no time zone has the one that the service tells; every way of asking
// by the clock at the place works with it, the first time too.
func TestZoneOfTheService(t *testing.T) {
	without := strings.Replace(smallJob, ", timezone: America/New_York", "", 1)
	require.NotEqual(t, smallJob, without)
	f := several(t, map[string]string{"a.yaml": without}, "a.yaml")
	info, err := f.Job("a")
	require.NoError(t, err)
	assert.Empty(t, info.Place.Timezone)
	why, err := f.WhyAt(t.Context(), "a", "port side", "polymer-sealant", "09:00")
	require.NoError(t, err)
	assert.Equal(t, "2026-09-08T09:00:00-04:00", why.Answer.At.Format(time.RFC3339))
	info, err = f.Job("a")
	require.NoError(t, err)
	assert.Equal(t, "America/New_York", info.Place.Timezone)
	list, err := f.ParseReadings(t.Context(), "a", "readings", []byte(`[{"at": "2026-09-08T05:50", "air_c": 15}]`))
	require.NoError(t, err)
	assert.Equal(t, tuesday.Add(-10*time.Minute), list[0].At.UTC())
	_, err = f.ParseReadings(t.Context(), "none", "readings", nil)
	assert.ErrorIs(t, err, desk.ErrNoJob)
}

// Every limit is asked for now, for a moment by the clock, and for none that is out of
// reach; of products that there are.
func TestWhyAt(t *testing.T) {
	f := open(t, nil)
	ctx := t.Context()
	now, err := f.WhyAt(ctx, "small", "port side", "polymer-sealant", "")
	require.NoError(t, err)
	assert.True(t, now.Answer.At.Equal(tuesday))
	again, err := f.WhyAt(ctx, "small", "port side", "polymer-sealant", "")
	require.NoError(t, err)
	assert.Equal(t, now.Serial(), again.Serial(), "made once")
	later, err := f.WhyAt(ctx, "small", "port side", "polymer-sealant", "10:05")
	require.NoError(t, err)
	assert.NotEqual(t, now.Serial(), later.Serial())
	assert.Equal(t, "10:00", later.Answer.At.Format("15:04"), "the slot of the moment")
	for _, c := range [][3]string{{"port side", "polymer-sealnt", ""}, {"port side", "polymer-sealant", "noon"}, {"prt side", "polymer-sealant", ""},
		{"port side", "polymer-sealant", "2026-12-24T09:00"}, {"port side", "polymer-sealant", "1066-10-14T09:00"}} {
		_, err := f.WhyAt(ctx, "small", c[0], c[1], c[2])
		require.Error(t, err, c)
		assert.True(t, desk.Known(err), c)
		assert.NotEmpty(t, desk.Failures(err)[0].Fix, c)
	}
	_, err = f.WhyAt(ctx, "none", "port side", "polymer-sealant", "10:00")
	assert.ErrorIs(t, err, desk.ErrNoJob)
}

// Warm has the weeks ready before anybody asks.
func TestWarm(t *testing.T) {
	f := open(t, nil)
	f.Warm()
	eventually(t, func() bool { return f.made.Load() == 1 })
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.EqualValues(t, 1, f.source.asked.Load())
	made := f.ForecastMade()["small"]
	assert.False(t, made.IsZero())
	assert.False(t, made.After(tuesday))
}

func TestProductsAreTheCatalogue(t *testing.T) {
	f := open(t, nil)
	assert.Len(t, f.Products().Products, len(f.Classes().IDs()))
	assert.Equal(t, f.Classes().Hash(), f.Catalogue())
	assert.NotEmpty(t, f.Catalogue())
}

// Whatever fails is told as what, where and what to do, without a folder; only what a
// person can do nothing about is not known.
func TestFailures(t *testing.T) {
	for name, c := range map[string]struct {
		err   error
		known bool
		want  answer.Failure
	}{
		"job":      {job.Errors{{File: "/home/ada/a.yaml", Line: 3, Column: 4, Message: "m", Fix: "f"}}, true, answer.Failure{Error: "m", Where: "a.yaml:3:4", Fix: "f"}},
		"products": {products.Errors{{File: "/home/ada/own.yaml", Line: 3, Column: 4, Message: "m", Fix: "f"}}, true, answer.Failure{Error: "m", Where: "own.yaml:3:4", Fix: "f"}},
		"problem":  {fmt.Errorf("x: %w", &app.Problem{Where: "/home/ada/a", Text: "t", Fix: "f"}), true, answer.Failure{Error: "t", Where: "a", Fix: "f"}},
		"book":     {&book.Error{Path: "/home/ada/book.sqlite", Text: "t", Fix: "f"}, true, answer.Failure{Error: "t", Where: "book.sqlite", Fix: "f"}},
		"busy":     {fmt.Errorf("x: %w", desk.ErrBusy), true, answer.Failure{Error: "x: " + desk.ErrBusy.Error(), Fix: "ask again in a few seconds"}},
		"late":     {context.DeadlineExceeded, false, answer.Failure{Error: context.DeadlineExceeded.Error(), Fix: "ask again in a minute"}},
		"fault":    {errors.New("a bit fell over"), false, answer.Failure{Error: "a bit fell over"}},
	} {
		assert.Equal(t, c.known, desk.Known(c.err), name)
		assert.Equal(t, []answer.Failure{c.want}, desk.Failures(c.err), name)
	}
	for _, err := range []error{&forecast.ReadError{Fix: "f"}, &fetch.Error{Fix: "f"}} {
		assert.True(t, desk.Known(err))
		assert.Equal(t, "f", desk.Failures(err)[0].Fix)
	}
	for _, err := range []error{desk.ErrNoJob, desk.ErrReadOnly, desk.ErrChanged, desk.ErrNoPlan, desk.ErrNoBook} {
		assert.True(t, desk.Known(err))
		assert.NotEmpty(t, desk.Failures(err)[0].Fix, err)
	}
}

// Of earlier texts the newest twenty are kept; what else lies in the folder is left
// alone, and letters that mean something in a pattern mean nothing here.
func TestOldTextsAreLetGo(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "a[1]*.yaml")
	require.NoError(t, os.WriteFile(path, []byte(smallJob), 0o600))
	for i := range 25 {
		name := fmt.Sprintf("%s.20200101T0000%02dZ.bak", path, i)
		require.NoError(t, os.WriteFile(name, nil, 0o600))
	}
	other := filepath.Join(folder, "a1x.yaml.20190101T000000Z.bak") // fits the pattern, not the name
	require.NoError(t, os.WriteFile(other, nil, 0o600))
	f := open(t, func(c *desk.Config) { c.Files = []string{path} })
	id := f.Jobs()[0].ID
	_, err := f.SaveJob(id, []byte(smallJob+"# more\n"), desk.TagOf([]byte(smallJob)))
	require.NoError(t, err)
	assert.FileExists(t, other)
	list, err := os.ReadDir(folder)
	require.NoError(t, err)
	kept := 0
	for _, e := range list {
		if strings.HasSuffix(e.Name(), ".bak") && e.Name() != filepath.Base(other) {
			kept++
			assert.False(t, strings.HasPrefix(e.Name(), "a[1]*.yaml.20200101T000000Z"), "the oldest goes first")
		}
	}
	assert.Equal(t, 20, kept)
}

// A job whose file has gone is told so, and nothing is written in its place.
func TestSaveJobWithoutItsFile(t *testing.T) {
	f := open(t, nil)
	require.NoError(t, os.Remove(f.file))
	_, err := f.SaveJob("small", []byte(smallJob), desk.TagOf([]byte(smallJob)))
	require.Error(t, err)
	assert.True(t, desk.Known(err))
	assert.NoFileExists(t, f.file)
	assert.Equal(t, "small.yaml", desk.Failures(err)[0].Where)
	require.NoError(t, os.RemoveAll(filepath.Dir(f.file)))
	_, err = f.JobText("small")
	assert.Error(t, err)
	_, err = f.CheckJob("small", make([]byte, desk.LargestJob+1))
	assert.ErrorContains(t, err, "larger")
	_, err = f.CheckJob("none", nil)
	assert.ErrorIs(t, err, desk.ErrNoJob)
}

// Without a book nothing is listed and nothing found; without the job neither.
func TestListsOfNothing(t *testing.T) {
	ctx := t.Context()
	for name, f := range map[string]*fixture{"no book": open(t, nil), "an empty book": withBook(t)} {
		answers, err := f.Answers(ctx, "small", 0, 0)
		require.NoError(t, err, name)
		assert.Empty(t, answers.Answers, name)
		_, err = f.AnswerBytes(ctx, "small", 1)
		assert.ErrorIs(t, err, book.ErrNotFound, name)
		for _, kind := range []string{desk.UndoDone, desk.UndoOutcome, desk.UndoReading} {
			page, err := f.Entries(ctx, "small", kind, 0, 0)
			require.NoError(t, err, name)
			assert.Empty(t, page.Entries, name)
		}
		_, err = f.Answers(ctx, "none", 0, 0)
		assert.ErrorIs(t, err, desk.ErrNoJob, name)
		last, err := f.LastMove(ctx, "small")
		require.NoError(t, err, name)
		assert.Nil(t, last, name)
	}
}

// A moment is read as it is written, whichever way it is written.
func TestMomentsAreReadBack(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		at := time.Unix(rapid.Int64Range(-2208988800+86400*400, 7258118399-86400*400).Draw(t, "at")/60*60, 0).In(loc)
		now := at.Add(time.Duration(rapid.IntRange(-1000, 1000).Draw(t, "h")) * time.Hour)
		got, err := desk.Moment(at.Format(time.RFC3339))(now, loc)
		if err != nil || !got.Equal(at) {
			// Offsets of more than whole minutes are not written (before 1884).
			t.Fatalf("%s was read as %s, %v", at, got, err)
		}
		local, err := desk.Moment(at.Format("2006-01-02T15:04"))(now, loc)
		if err != nil || local.Format("2006-01-02T15:04") != at.Format("2006-01-02T15:04") {
			t.Fatalf("%s was read as %s, %v", at, local, err)
		}
		today, err := desk.Moment(at.Format("15:04"))(at, loc)
		if err != nil || today.Format("2006-01-02 15:04") != at.Format("2006-01-02 15:04") {
			t.Fatalf("%s was read as %s, %v", at, today, err)
		}
	})
	for _, bad := range []string{"noon", "25:00", "9", "2026-13-01T09:00", "2026-09-08", "9999-01-01T00:00:00Z", " 09:00"} {
		_, err := desk.Moment(bad)(tuesday, loc)
		require.Error(t, err, bad)
		assert.NotEmpty(t, desk.Failures(err)[0].Fix, bad)
	}
	is, err := desk.Moment("")(tuesday, loc)
	require.NoError(t, err)
	assert.Equal(t, tuesday, is)
}

// IDs are fit for an address and no two are alike, whatever the files are called.
func TestIDsAreFitAndDiffer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		files := rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom([]string{"a/job.yaml", "b/job.yaml", "demo.yaml", "job-2.yaml", "ß.yaml", ".yaml", "/"}), rapid.String()), 0, 12).Draw(t, "files")
		withDemo := rapid.Bool().Draw(t, "demo")
		seen := map[string]bool{}
		ids := desk.IDs(files, withDemo)
		for _, id := range ids {
			if id == "" || strings.Trim(id, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" || seen[id] {
				t.Fatalf("%q of %q", id, ids)
			}
			seen[id] = true
		}
		if len(ids) < len(files) {
			t.Fatalf("%q for %q", ids, files)
		}
	})
}

// The demo has no file, and says so by its name and by being read only.
func TestTheDemoHasNoFile(t *testing.T) {
	f := open(t, func(c *desk.Config) {
		c.Files, c.Demo = nil, &app.JobFile{Name: demo.JobName, Data: demo.JobFile()}
	})
	info := f.Jobs()[0]
	assert.Equal(t, demo.JobName, info.File)
	assert.False(t, info.Writable)
	text, err := f.JobText(info.ID)
	require.NoError(t, err)
	assert.Equal(t, demo.JobFile(), text.Text)
	text.Text[0] = '#'
	same, err := f.JobText(info.ID)
	require.NoError(t, err)
	assert.Equal(t, demo.JobFile(), same.Text, "what was given away is a copy")
}
