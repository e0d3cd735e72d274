package desk_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/web/desk"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// However many ask at once, the week is made once, and all get the same.
func TestAskedByManyMadeOnce(t *testing.T) {
	f := open(t, nil)
	release := f.source.holdBack()
	var all sync.WaitGroup
	got := make([]*desk.Snapshot[answer.Week], 64)
	for i := range got {
		all.Go(func() {
			s, err := f.Week(t.Context(), "small")
			assert.NoError(t, err)
			got[i] = s
		})
	}
	eventually(t, func() bool { return f.source.asked.Load() == 1 })
	release()
	all.Wait()
	assert.EqualValues(t, 1, f.source.asked.Load())
	for _, s := range got {
		assert.Same(t, got[0], s)
	}
}

// The bytes are those that --json writes for the same question.
func TestBytesAreThoseOfJSON(t *testing.T) {
	f := open(t, nil)
	s, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	a := &app.App{Source: f.source, Clock: app.At(tuesday), Classes: f.Classes(), Futures: 4}
	want, err := a.Week(t.Context(), app.Request{Job: func(zone string) (*job.Job, error) {
		return job.Parse("small.yaml", []byte(smallJob), a.Classes, job.Options{Timezone: zone})
	}})
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, answer.Write(&out, want))
	assert.Equal(t, out.String(), string(s.JSON.Bytes))
	assert.Equal(t, "Kittiwake", s.Answer.Boat)
}

// In the next slot the old answer is given, marked, while the new one is made; in the
// same slot nothing is made anew.
func TestEarlierSlotIsGivenWhileTheNewIsMade(t *testing.T) {
	f := open(t, nil)
	first, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	f.clock.on(9 * time.Minute)
	again, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.Same(t, first, again)
	was := f.Revision()

	release := f.source.holdBack()
	f.clock.on(time.Minute)
	stale, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.True(t, stale.Stale)
	assert.Equal(t, first.At, stale.At)
	assert.False(t, first.Stale, "the snapshot that others hold was changed")
	release()
	eventually(t, func() bool {
		s, err := f.Week(t.Context(), "small")
		return err == nil && !s.Stale
	})
	assert.EqualValues(t, 2, f.source.asked.Load())
	assert.NotEqual(t, was, f.Revision())
}

// An answer that is older than it may be is waited for.
func TestTooOldIsWaitedFor(t *testing.T) {
	f := open(t, nil)
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	f.clock.on(desk.StaleFor + 10*time.Minute)
	s, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.False(t, s.Stale)
	assert.Equal(t, f.clock.Now(), s.At)
}

// A changed file is answered for at once, and a mistake in it told with its line and
// without its folder.
func TestChangedFileCounts(t *testing.T) {
	f := open(t, nil)
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(f.file, []byte(strings.Replace(smallJob, "Small seal", "Other seal", 1)), 0o640))
	s, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.Equal(t, "Other seal", s.Answer.Job)

	require.NoError(t, os.WriteFile(f.file, []byte(strings.Replace(smallJob, "tilt: 90", "tilt: 900", 1)), 0o640))
	_, err = f.Week(t.Context(), "small")
	require.Error(t, err)
	list := desk.Failures(err)
	require.Len(t, list, 1)
	assert.Regexp(t, `^small\.yaml:5:\d+$`, list[0].Where)
	assert.NotEmpty(t, list[0].Fix)
	info := f.Jobs()[0]
	assert.Equal(t, list, info.Wrong)
	assert.Empty(t, f.Places())

	require.NoError(t, os.Remove(f.file))
	_, err = f.Week(t.Context(), "small")
	require.Error(t, err)
	assert.Equal(t, "small.yaml", desk.Failures(err)[0].Where)
}

// A source that fails is not asked by everybody again at once; once what is asked
// changes, it is.
func TestFailureIsToldAgainForAWhile(t *testing.T) {
	f := open(t, nil)
	f.source.failing(&app.Problem{Text: "no connection", Fix: "plug it in"})
	for range 5 {
		_, err := f.Week(t.Context(), "small")
		require.ErrorContains(t, err, "no connection")
	}
	assert.EqualValues(t, 1, f.source.asked.Load())
	f.source.mended()
	require.NoError(t, os.WriteFile(f.file, []byte(smallJob+"\n"), 0o640))
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
}

// A source that fails in the next slot leaves the answer of this one, for a while.
func TestFailureLeavesTheEarlierAnswer(t *testing.T) {
	f := open(t, nil)
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	f.source.failing(errors.New("no connection"))
	f.clock.on(10 * time.Minute)
	for range 3 {
		s, err := f.Week(t.Context(), "small")
		require.NoError(t, err)
		assert.True(t, s.Stale)
	}
	f.clock.on(desk.StaleFor)
	_, err = f.Week(t.Context(), "small")
	assert.ErrorContains(t, err, "no connection")
}

// Who goes away is let go at once; what was begun is finished for the others.
func TestLeavingDoesNotStopTheMaking(t *testing.T) {
	f := open(t, nil)
	release := f.source.holdBack()
	ctx, leave := context.WithCancel(t.Context())
	left := make(chan error)
	go func() { _, err := f.Week(ctx, "small"); left <- err }()
	eventually(t, func() bool { return f.source.asked.Load() == 1 })
	leave()
	assert.ErrorIs(t, <-left, context.Canceled)
	release()
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.EqualValues(t, 1, f.source.asked.Load())
}

// Close gives up what is in the making.
func TestCloseGivesUp(t *testing.T) {
	f := open(t, nil)
	release := f.source.holdBack()
	defer release()
	failed := make(chan error)
	go func() { _, err := f.Week(t.Context(), "small"); failed <- err }()
	eventually(t, func() bool { return f.source.asked.Load() == 1 })
	f.Close()
	assert.ErrorIs(t, <-failed, context.Canceled)
}

// Why is answered by slot, and told what is wrong with its question.
func TestWhy(t *testing.T) {
	f := open(t, nil)
	s, err := f.WhyAt(t.Context(), "small", "port side", "polymer-sealant", "09:04")
	require.NoError(t, err)
	again, err := f.Why(t.Context(), "small", "port side", "polymer-sealant", time.Date(2026, 9, 8, 13, 9, 0, 0, time.UTC))
	require.NoError(t, err)
	assert.Same(t, s, again)
	assert.NotEmpty(t, s.Answer.Limits)
	now, err := f.WhyAt(t.Context(), "small", "port side", "polymer-sealant", "")
	require.NoError(t, err)
	assert.True(t, now.Answer.At.Equal(tuesday), now.Answer.At)

	_, err = f.Why(t.Context(), "small", "port side", "polymer-sealent", tuesday)
	assert.Equal(t, "did you mean polymer-sealant?", desk.Failures(err)[0].Fix)
	_, err = f.Why(t.Context(), "small", "prot side", "polymer-sealant", tuesday)
	assert.ErrorIs(t, err, app.ErrNoZone)
	_, err = f.WhyAt(t.Context(), "small", "port side", "polymer-sealant", "tomorrow")
	assert.ErrorContains(t, err, "no moment")
	_, err = f.Why(t.Context(), "large", "port side", "polymer-sealant", tuesday)
	assert.ErrorIs(t, err, desk.ErrNoJob)
}

// An answer is kept once for each forecast, text and state of the book, and not once
// for every slot.
func TestAnswersAreKeptOnceForEachForecast(t *testing.T) {
	f := withBook(t)
	kept := func() int {
		list, err := f.book.Answers(t.Context(), book.AnswerFilter{Kind: book.Week})
		require.NoError(t, err)
		return len(list)
	}
	for range 3 {
		_, err := f.Week(t.Context(), "small")
		require.NoError(t, err)
		assert.Equal(t, 1, kept())
		f.clock.on(desk.StaleFor + 10*time.Minute)
	}
	f.source.made = f.clock.Now()
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.Equal(t, 2, kept(), "a new forecast")
	_, err = f.LogDone(t.Context(), "small", desk.Work{Step: "seal", Zones: []string{"port side"}, Share: .5})
	require.NoError(t, err)
	_, err = f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.Equal(t, 3, kept(), "new work")
}

// What another program writes into the book is seen, what the desk writes is not
// taken for another's.
func TestOthersWriteIntoTheBook(t *testing.T) {
	f := withBook(t)
	_, err := f.Week(t.Context(), "small")
	require.NoError(t, err)
	time.Sleep(1100 * time.Millisecond) // the file is looked at once a second
	_, err = f.Week(t.Context(), "small")
	require.NoError(t, err)
	assert.EqualValues(t, 1, f.source.asked.Load(), "the desk took its own writing for another's")

	other, err := book.Open(t.Context(), f.book.Path(), time.Now)
	require.NoError(t, err)
	defer func() { assert.NoError(t, other.Close()) }()
	require.NoError(t, other.Record(t.Context(), func(tx *book.Tx) error {
		_, err := tx.AddBoat(book.Boat{Name: "Dunlin"})
		return err
	}))
	eventually(t, func() bool {
		_, err := f.Week(t.Context(), "small")
		return err == nil && f.source.asked.Load() == 2
	})
}

// A job that leaves its time zone to the service is asked of the service first.
func TestTimeZoneOfTheService(t *testing.T) {
	f := open(t, nil)
	text := strings.Replace(smallJob, ", timezone: America/New_York", "", 1)
	require.NoError(t, os.WriteFile(f.file, []byte(text), 0o640))
	assert.Empty(t, f.Jobs()[0].Place.Timezone)
	s, err := f.WhyAt(t.Context(), "small", "port side", "polymer-sealant", "09:00")
	require.NoError(t, err)
	assert.Equal(t, "2026-09-08T09:00:00-04:00", s.Answer.At.Format(time.RFC3339))
	assert.Equal(t, "America/New_York", f.Jobs()[0].Place.Timezone)
}

// The watch is told of everything.
func TestWatch(t *testing.T) {
	var mu sync.Mutex
	var heard []string
	hear := func(words ...string) {
		mu.Lock()
		defer mu.Unlock()
		heard = append(heard, strings.Join(words, " "))
	}
	f := open(t, func(c *desk.Config) {
		c.Watch = desk.Watch{
			Fetched: func(service string, _ time.Duration, err error) { hear("fetched", service) },
			Made:    func(kind string, _ time.Duration, err error) { hear("made", kind) },
			Asked:   func(kind string, had desk.Had) { hear("asked", kind, string(had)) },
		}
	})
	for range 2 {
		_, err := f.Week(t.Context(), "small")
		require.NoError(t, err)
	}
	assert.Equal(t, []string{"fetched demo, invented weather", "made week", "asked week miss", "asked week hit"}, heard)
	made := f.ForecastMade()
	require.Contains(t, made, "small")
	assert.True(t, made["small"].Equal(tuesday.Add(-40*time.Minute)), made)
}

// A desk without what it needs is refused.
func TestNewRefuses(t *testing.T) {
	_, err := desk.New(desk.Config{})
	assert.Error(t, err)
	f := open(t, nil)
	_, err = desk.New(desk.Config{Source: f.source, Clock: f.clock, Classes: f.Classes()})
	assert.ErrorContains(t, err, "needs a job")
}
