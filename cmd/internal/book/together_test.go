package book

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestProgramsAtOnce: three programs make and write one new book at once; each
// succeeds, and everything that each was told is there.
func TestProgramsAtOnce(t *testing.T) {
	for round := range 3 {
		path := filepath.Join(t.TempDir(), "book.sqlite")
		var programs []*exec.Cmd
		for i := range 3 {
			c := program(t, path, uint64(10*round+i), 30)
			c.Stdout, c.Stderr = new(bytes.Buffer), new(bytes.Buffer)
			require.NoError(t, c.Start())
			programs = append(programs, c)
		}
		var want []ack
		for _, c := range programs {
			require.NoError(t, c.Wait(), "%s", c.Stderr)
			list, _ := acked(c.Stdout.(*bytes.Buffer).Bytes())
			require.GreaterOrEqual(t, len(list), 30)
			want = append(want, list...)
		}
		lookThrough(t, path, want)
	}
}

// TestGoroutinesAtOnce write and read through one open book.
func TestGoroutinesAtOnce(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			w := newWriter(rand.New(rand.NewPCG(uint64(i), 5)))
			for range 15 {
				_, err := w.step(context.Background(), b)
				assert.NoError(t, err)
			}
		})
		wg.Go(func() {
			for range 15 {
				_, err := b.ReadingsSince(context.Background(), job, dawn)
				assert.NoError(t, err)
			}
		})
	}
	wg.Wait()
	require.NoError(t, b.Verify(t.Context()))
}

// TestReadersSeeOneState: an export taken while others write is a whole book.
func TestReadersSeeOneState(t *testing.T) {
	b := newBook(t)
	stop := keepWriting(t, b)
	for range 4 {
		copied := newBook(t)
		_, err := copied.Import(t.Context(), strings.NewReader(exported(t, b)))
		require.NoError(t, err)
		require.NoError(t, copied.Verify(t.Context()))
	}
	stop()
}

// keepWriting writes at a measured pace until it is stopped.
func keepWriting(t *testing.T, b *Book) (stop func()) {
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	wg.Go(func() {
		w := newWriter(rand.New(rand.NewPCG(6, 6)))
		for ctx.Err() == nil {
			_, err := w.step(t.Context(), b)
			assert.NoError(t, err)
			time.Sleep(2 * time.Millisecond)
		}
	})
	return func() {
		cancel()
		wg.Wait()
	}
}

// TestAWriterThatHoldsTheBook: others wait, and give up when they are told to.
func TestAWriterThatHoldsTheBook(t *testing.T) {
	b := newBook(t)
	other := openAt(t, b.Path())
	job := theJob(t, b)
	require.NoError(t, b.Record(t.Context(), func(*Tx) error {
		ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
		defer cancel()
		began := time.Now()
		err := other.Record(ctx, func(*Tx) error { return nil })
		assert.ErrorIs(t, err, context.DeadlineExceeded)
		assert.Less(t, time.Since(began), 5*time.Second)
		list, err := other.DoneOf(t.Context(), job)
		assert.NoError(t, err, "reading never waits")
		assert.Empty(t, list)
		return nil
	}))
	require.NoError(t, other.Record(t.Context(), func(*Tx) error { return nil }))
}

// TestAWriterThatHoldsTheBookTooLong: the person is told what is in the way.
func TestAWriterThatHoldsTheBookTooLong(t *testing.T) {
	b := newBook(t)
	other := openAt(t, b.Path())
	other.db.SetMaxOpenConns(1)
	_, err := other.db.Exec("PRAGMA busy_timeout = 10")
	require.NoError(t, err)
	require.NoError(t, b.Record(t.Context(), func(*Tx) error {
		err := other.Record(t.Context(), func(*Tx) error { return nil })
		assert.ErrorIs(t, err, ErrBusy)
		return nil
	}))
}
