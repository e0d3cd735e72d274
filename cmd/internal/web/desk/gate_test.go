package desk

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// So many are in at once, so many wait, the next is refused; who gives up makes room.
func TestGate(t *testing.T) {
	g := newGate(2, 1)
	first, err := g.enter(t.Context())
	require.NoError(t, err)
	second, err := g.enter(t.Context())
	require.NoError(t, err)
	ctx, giveUp := context.WithCancel(t.Context())
	waited := make(chan error)
	go func() { _, err := g.enter(ctx); waited <- err }()
	require.Eventually(t, func() bool { return g.waiting.Load() == 1 }, 10*time.Second, time.Millisecond)
	_, err = g.enter(t.Context())
	require.ErrorIs(t, err, ErrBusy)
	giveUp()
	assert.ErrorIs(t, <-waited, context.Canceled)
	go func() { _, err := g.enter(t.Context()); waited <- err }()
	first()
	require.NoError(t, <-waited)
	second()
}

// No more are ever in than may be.
func TestGateNeverMore(t *testing.T) {
	g := newGate(3, 1000)
	var in, most atomic.Int64
	var all sync.WaitGroup
	for range 200 {
		all.Go(func() {
			leave, err := g.enter(t.Context())
			if !assert.NoError(t, err) {
				return
			}
			most.Store(max(most.Load(), in.Add(1)))
			in.Add(-1)
			leave()
		})
	}
	all.Wait()
	assert.LessOrEqual(t, most.Load(), int64(3))
	assert.Zero(t, g.waiting.Load())
}

// What says nothing about an answer is not told to the next who asks.
func TestPassingFailuresAreNotKept(t *testing.T) {
	for _, err := range []error{ErrBusy, context.Canceled, context.DeadlineExceeded} {
		var c cell[int]
		w := wanted{inputs: "a", slot: time.Unix(0, 0)}
		fails := func(f *flight[int]) {
			go func() { f.err = fmt.Errorf("in making: %w", err); c.land(f) }()
		}
		_, _, got := c.get(t.Context(), w, fails)
		require.ErrorIs(t, got, err)
		works := func(f *flight[int]) {
			go func() { f.snap = &Snapshot[int]{inputs: "a", slot: w.slot}; c.land(f) }()
		}
		_, had, got := c.get(t.Context(), w, works)
		require.NoError(t, got)
		assert.Equal(t, Miss, had)
	}
}

// An answer that was begun before its inputs changed does not take the place of the
// newer one.
func TestLateAnswerIsNotKept(t *testing.T) {
	var c cell[int]
	flights := map[string]*flight[int]{}
	begin := func(inputs string) {
		ctx, stop := context.WithCancel(t.Context())
		stop()
		_, _, err := c.get(ctx, wanted{inputs: inputs}, func(f *flight[int]) { flights[inputs] = f })
		require.ErrorIs(t, err, context.Canceled)
	}
	begin("old")
	begin("new")
	flights["new"].snap = &Snapshot[int]{inputs: "new"}
	c.land(flights["new"])
	flights["old"].snap = &Snapshot[int]{inputs: "old"}
	c.land(flights["old"])
	assert.Equal(t, "new", c.peek().inputs)
}

// Only the newest texts are kept beside a file, and other files are left alone.
func TestBackupsAreBounded(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job[1].yaml")
	other := path + ".note.bak"
	require.NoError(t, os.WriteFile(other, nil, 0o600))
	now := time.Date(2026, 9, 8, 10, 0, 0, 0, time.UTC)
	for i := range backups + 5 {
		require.NoError(t, keepOld(path, fmt.Append(nil, i), now.Add(time.Duration(i)*time.Minute)))
	}
	list, err := filepath.Glob(escapeGlob(path) + ".*Z.bak")
	require.NoError(t, err)
	require.Len(t, list, backups)
	data, err := os.ReadFile(list[len(list)-1])
	require.NoError(t, err)
	assert.Equal(t, fmt.Sprint(backups+4), string(data))
	assert.FileExists(t, other)
}

// Failures have no folders, and every refusal of the desk says what to do.
func TestFailures(t *testing.T) {
	list := Failures(job.Errors{{File: "/home/someone/job.yaml", Line: 3, Column: 5, Message: "wrong", Fix: "mend it"}})
	assert.Equal(t, "job.yaml:3:5", list[0].Where)
	assert.Equal(t, "job.yaml", Failures(&app.Problem{Where: "/home/someone/job.yaml", Text: "gone"})[0].Where)
	for _, err := range []error{ErrNoJob, ErrReadOnly, ErrChanged, ErrNoPlan, ErrNoBook, ErrBusy} {
		assert.True(t, Known(err))
		assert.NotEmpty(t, Failures(fmt.Errorf("asking: %w", err))[0].Fix, err)
	}
	assert.False(t, Known(errors.New("disk on fire")))
}
