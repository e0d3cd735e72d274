package watch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// clock is a time of day that can be set, beside the bubble's timers, as that of a
// computer that sleeps or whose clock is put right.
type clock struct {
	mu     sync.Mutex
	offset time.Duration
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return time.Now().Add(c.offset)
}

func (c *clock) jump(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.offset += d
}

// scene is a watcher in a bubble.
type scene struct {
	*Watcher
	clock *clock
	job   *fakeJob
	sink  *fakeSink
}

func newScene(next func(now time.Time) Asked) *scene {
	s := &scene{clock: &clock{}, job: &fakeJob{next: next}, sink: &fakeSink{name: "sink"}}
	s.Watcher = &Watcher{Jobs: []Job{s.job}, Sinks: []Sink{s.sink}, Memory: Forgetful{}, Now: s.clock.Now, Every: time.Hour, Tick: 20 * time.Second}
	return s
}

// run runs it in a bubble until script is done.
func (s *scene) run(t *testing.T, script func()) {
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Run(ctx) }()
	synctest.Wait()
	script()
	stop()
	require.NoError(t, <-done)
}

// onceByDay asks once at nine in the morning, whatever the clock on the wall says: at night
// a change waits.
func (s *scene) onceByDay() error {
	s.Now = func() time.Time { return time.Date(2026, 9, 10, 9, 0, 0, 0, time.UTC) }
	return s.Once(context.Background())
}

// steady is an answer that never changes.
func steady(now time.Time) Asked {
	return Asked{Week: &answer.Week{Job: "Clean and seal", Boat: "Kittiwake", Now: now, Verdict: answer.Go, Plan: &answer.Plan{State: answer.Go}}}
}

func TestAsksAtOnceAndEveryHour(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newScene(steady)
		s.run(t, func() {
			assert.Equal(t, 1, s.job.count())
			time.Sleep(59 * time.Minute)
			assert.Equal(t, 1, s.job.count())
			time.Sleep(2 * time.Minute)
			assert.Equal(t, 2, s.job.count())
			time.Sleep(10 * time.Hour)
			assert.InDelta(t, 12, s.job.count(), 1)
		})
		assert.Equal(t, []string{answer.WatchFirst}, s.sink.kinds(), "and tells nothing of what is the same")
		assert.Equal(t, 1, s.job.kept, "what is told is recorded, and nothing else")
	})
}

// The service says when it may have news: then, but never more often than soonest.
func TestAsksWhenTheServiceAllows(t *testing.T) {
	for name, c := range map[string]struct {
		again time.Duration
		first time.Duration
	}{
		"soon": {20 * time.Minute, 20 * time.Minute}, "too soon": {time.Minute, soonest}, "past": {-time.Hour, soonest},
		"late": {9 * time.Hour, time.Hour}, "not said": {0, time.Hour},
	} {
		w := &Watcher{Every: time.Hour}
		now := time.Date(2026, 9, 10, 6, 0, 0, 0, time.UTC)
		again := now.Add(c.again)
		if c.again == 0 {
			again = time.Time{}
		}
		assert.Equal(t, now.Add(c.first), w.next(now, again), name)
	}
	synctest.Test(t, func(t *testing.T) {
		s := newScene(func(now time.Time) Asked {
			a := steady(now)
			a.Again = now.Add(10 * time.Minute)
			return a
		})
		s.run(t, func() {
			time.Sleep(61 * time.Minute)
			assert.InDelta(t, 7, s.job.count(), 1)
		})
	})
}

// A computer that sleeps for a night asks within a tick of waking.
func TestSleep(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newScene(steady)
		s.run(t, func() {
			time.Sleep(10 * time.Minute)
			s.clock.jump(8 * time.Hour) // the timers stood still meanwhile
			time.Sleep(s.Tick)
			synctest.Wait()
			assert.Equal(t, 2, s.job.count())
			time.Sleep(time.Hour + s.Tick)
			assert.Equal(t, 3, s.job.count(), "and goes on by the hour")
		})
	})
}

// A clock that is set back, by an hour or by years, skips no check.
func TestClockSetBack(t *testing.T) {
	for _, back := range []time.Duration{2 * time.Minute, time.Hour, 24 * time.Hour, 3 * 365 * 24 * time.Hour} {
		synctest.Test(t, func(t *testing.T) {
			s := newScene(steady)
			s.run(t, func() {
				time.Sleep(10 * time.Minute)
				s.clock.jump(-back)
				time.Sleep(s.Tick)
				synctest.Wait()
				assert.Equal(t, 2, s.job.count(), back)
				time.Sleep(3 * time.Hour)
				assert.InDelta(t, 5, s.job.count(), 1, back)
			})
		})
	}
}

// A clock that is kept right by seconds asks no more often for it.
func TestClockKeptRight(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newScene(steady)
		s.run(t, func() {
			for range 30 {
				time.Sleep(time.Minute)
				s.clock.jump(-10 * time.Second)
			}
			assert.Equal(t, 1, s.job.count())
		})
	})
}

func TestFailureIsTriedAgainSoon(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var up atomic.Bool
		s := newScene(func(now time.Time) Asked {
			if !up.Load() {
				return offline()
			}
			return steady(now)
		})
		s.run(t, func() {
			time.Sleep(soonest + s.Tick)
			assert.Equal(t, 2, s.job.count())
			up.Store(true)
			time.Sleep(soonest + s.Tick)
			assert.Equal(t, 3, s.job.count())
			time.Sleep(30 * time.Minute)
			assert.Equal(t, 3, s.job.count())
		})
		assert.Equal(t, []string{answer.WatchLost, answer.WatchFirst}, s.sink.kinds())
	})
}

// Who cannot be reached is told later, once; the others are not told twice.
func TestBrokenSink(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newScene(steady)
		other := &fakeSink{name: "other", broken: true}
		s.Sinks = append(s.Sinks, other)
		var trouble []string
		s.Trouble = func(what string, _ error) { trouble = append(trouble, what) }
		s.run(t, func() {
			assert.Equal(t, []string{"other could not be told"}, trouble)
			other.mu.Lock()
			other.broken = false
			other.mu.Unlock()
			time.Sleep(soonest + s.Tick)
			assert.Equal(t, []string{answer.WatchFirst}, other.kinds())
			time.Sleep(5 * time.Hour)
		})
		assert.Equal(t, []string{answer.WatchFirst}, other.kinds())
		assert.Equal(t, []string{answer.WatchFirst}, s.sink.kinds())
	})
}

// The end while a job is asked is no answer and is not told.
func TestEnd(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	s := newScene(func(time.Time) Asked { stop(); return offline() })
	require.NoError(t, s.Run(ctx))
	assert.Empty(t, s.sink.kinds())
	ctx, stop = context.WithCancel(context.Background())
	s = newScene(func(time.Time) Asked { stop(); return offline() })
	require.ErrorIs(t, s.Once(ctx), ErrNoAnswer)
	require.ErrorIs(t, s.Once(ctx), context.Canceled)
	assert.Empty(t, s.sink.kinds())
}

func TestOnceRemembers(t *testing.T) {
	file := File{filepath.Join(t.TempDir(), "home", "watch.json")}
	next := steady
	once := func() (*scene, error) {
		s := newScene(func(now time.Time) Asked { return next(now) })
		s.Memory = file
		return s, s.onceByDay()
	}
	s, err := once()
	require.NoError(t, err)
	assert.Equal(t, []string{answer.WatchFirst}, s.sink.kinds())
	s, err = once()
	require.NoError(t, err)
	assert.Empty(t, s.sink.kinds(), "a restart does not tell again")
	next = func(now time.Time) Asked {
		a := steady(now)
		a.Week.Verdict = answer.NoGo
		return a
	}
	s, err = once()
	require.NoError(t, err)
	assert.Equal(t, []string{answer.WatchChanged}, s.sink.kinds())
	next = func(time.Time) Asked { return offline() }
	_, err = once()
	require.ErrorIs(t, err, ErrNoAnswer)
}

// A memory that is damaged is said so, and all is told anew; it is whole after.
func TestDamagedMemory(t *testing.T) {
	file := File{filepath.Join(t.TempDir(), "watch.json")}
	for _, text := range []string{"{", `{"format":"another"}`, "[]", "\x00"} {
		require.NoError(t, os.WriteFile(file.Path, []byte(text), 0o600))
		s := newScene(steady)
		s.Memory = file
		said := ""
		s.Trouble = func(what string, _ error) { said += what }
		require.NoError(t, s.onceByDay())
		assert.Contains(t, said, "all is told anew")
		assert.Len(t, s.sink.kinds(), 1)
		_, err := file.Load()
		require.NoError(t, err)
	}
}

// Two that watch other jobs, or tell others, leave each other's part alone.
func TestSharedMemory(t *testing.T) {
	file := File{filepath.Join(t.TempDir(), "watch.json")}
	var a, b State
	a.set("one", "terminal", Told{Status: answer.WatchOK})
	b.set("two", "terminal", Told{Status: answer.WatchStale})
	b.set("one", "mail", Told{Status: answer.WatchOver})
	require.NoError(t, file.Save(a))
	require.NoError(t, file.Save(b))
	got, err := file.Load()
	require.NoError(t, err)
	assert.Equal(t, answer.WatchOK, got.of("one", "terminal").Status)
	assert.Equal(t, answer.WatchOver, got.of("one", "mail").Status)
	assert.Equal(t, answer.WatchStale, got.of("two", "terminal").Status)
	assert.Equal(t, Told{}, got.of("three", "terminal"))
	info, err := os.Stat(file.Path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
}

// The plan that was told is held, for the next answer to depart from it as little as
// it can; until it is told that there is none.
func TestPlanIsHeld(t *testing.T) {
	file := File{filepath.Join(t.TempDir(), "watch.json")}
	next := func(time.Time) Asked {
		return Asked{Week: weekOf(t, "9 06:00", work(t, "seal", "port side", "11 08:00"))}
	}
	held := func(broken bool) *answer.Plan {
		s := newScene(func(now time.Time) Asked { return next(now) })
		s.Memory, s.sink.broken = file, broken
		_ = s.onceByDay()
		return s.job.held[0]
	}
	assert.Nil(t, held(true))
	assert.Nil(t, held(false), "nobody was told")
	assert.Len(t, held(false).Blocks, 1)
	next = func(time.Time) Asked {
		return Asked{Week: weekOf(t, "9 07:00", work(t, "seal", "port side", "12 08:00"))}
	}
	assert.True(t, held(false).Blocks[0].From.Equal(at(t, "11 08:00")))
	next = func(time.Time) Asked { return offline() }
	assert.True(t, held(false).Blocks[0].From.Equal(at(t, "12 08:00")))
	next = func(time.Time) Asked { return Asked{Week: unplanned(t, "9 08:00")} }
	assert.NotNil(t, held(false))
	assert.Nil(t, held(false))
}

type brokenMemory struct{}

func (brokenMemory) Load() (State, error) { return State{}, errors.New("no folder") }
func (brokenMemory) Save(State) error     { return errors.New("no folder") }

func TestBrokenMemory(t *testing.T) {
	s := newScene(steady)
	s.Memory = brokenMemory{}
	var said []string
	s.Trouble = func(what string, _ error) { said = append(said, what) }
	require.NoError(t, s.onceByDay())
	require.Len(t, said, 2)
	assert.Contains(t, said[1], "cannot be remembered")
	assert.Len(t, s.sink.kinds(), 1, "it tells all the same")
	s.Trouble = nil
	require.NoError(t, s.onceByDay())
}

func TestFileTooLarge(t *testing.T) {
	file := File{filepath.Join(t.TempDir(), "watch.json")}
	require.NoError(t, os.WriteFile(file.Path, nil, 0o600))
	require.NoError(t, os.Truncate(file.Path, largestState+1))
	_, err := file.Load()
	require.ErrorContains(t, err, "too large")
	_, err = File{filepath.Join(file.Path, "beneath")}.Load()
	require.Error(t, err)
}

func TestCheckOfTimes(t *testing.T) {
	w := &Watcher{Every: time.Hour, Tick: time.Second}
	require.NoError(t, w.Check())
	for _, bad := range []*Watcher{{Every: time.Minute, Tick: 1}, {Every: 48 * time.Hour, Tick: 1}, {Every: time.Hour}} {
		assert.Error(t, bad.Check())
	}
}

func FuzzParseState(f *testing.F) {
	f.Add([]byte(`{"format":"dewgap.watch.state.v1","jobs":{"a":{"b":{"status":"ok","good":"2026-09-10T06:00:00-04:00"}}}}`))
	f.Add([]byte(`{"format":"dewgap.watch.state.v1","jobs":null}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := parseState(data)
		if err != nil {
			return
		}
		s.set("a", "b", Told{Status: answer.WatchOK})
		assert.Equal(t, answer.WatchOK, s.of("a", "b").Status)
	})
}
