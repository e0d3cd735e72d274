package desk_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/internal/webtest"
	"dewgap/forecast"
	"dewgap/products"

	"github.com/stretchr/testify/require"
)

var tuesday = webtest.Tuesday

const smallJob = webtest.SmallJob

// clock is one that a test moves.
type clock struct {
	mu sync.Mutex
	t  time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.t
}

func (c *clock) on(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.t = c.t.Add(d)
}

// errSlip has a source panic.
var errSlip = errors.New("a slip")

// source is the demo's weather of one moment, however late it is asked: counted, held
// back and refused as a test likes.
type source struct {
	made  time.Time
	asked atomic.Int64
	hold  atomic.Pointer[chan struct{}]
	fail  atomic.Pointer[error]
	wet   atomic.Bool
	stale atomic.Bool
}

func (s *source) Forecast(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
	s.asked.Add(1)
	if hold := s.hold.Load(); hold != nil {
		select {
		case <-*hold:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	if err := s.fail.Load(); err != nil {
		if errors.Is(*err, errSlip) {
			panic(*err)
		}
		return nil, *err
	}
	return s.weather(ctx, q)
}

// weather is the demo's, with rain from eight to twelve on Tuesday where it is wet, and too
// old for anybody to believe where it is stale.
func (s *source) weather(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
	f, err := demo.Source{Clock: app.At(s.made)}.Forecast(ctx, q)
	if err == nil && s.stale.Load() {
		f.Issued = s.made.Add(-60 * time.Hour)
	}
	if err != nil || !s.wet.Load() {
		return f, err
	}
	for k := range f.Members {
		for h := 2; h < 6; h++ {
			if i, ok := f.Index(tuesday.Add(time.Duration(h) * time.Hour)); ok {
				f.Members[k].Columns[forecast.Precipitation].Set(i, 3)
			}
		}
	}
	return f, nil
}

// holdBack keeps forecasts back until the returned function is called.
func (s *source) holdBack() (release func()) {
	c := make(chan struct{})
	s.hold.Store(&c)
	return func() { s.hold.Store(nil); close(c) }
}

func (s *source) failing(err error) { s.fail.Store(&err) }
func (s *source) mended()           { s.fail.Store(nil) }

// fixture is a desk and what it works with.
type fixture struct {
	*desk.Desk
	clock  *clock
	source *source
	file   string
	book   *book.Book
	made   atomic.Int64 // answers made, and kept where they are
}

// open opens a desk on the small job in a file. change may alter how.
func open(t testing.TB, change func(*desk.Config)) *fixture {
	f := &fixture{clock: &clock{t: tuesday}, source: &source{made: tuesday}, file: filepath.Join(t.TempDir(), "small.yaml")}
	require.NoError(t, os.WriteFile(f.file, []byte(smallJob), 0o640))
	classes, err := products.Catalogue()
	require.NoError(t, err)
	cfg := desk.Config{Files: []string{f.file}, Source: f.source, Clock: f.clock, Classes: classes, Futures: 4, Version: "v1.2.3"}
	cfg.Watch.Made = func(string, time.Duration, error) { f.made.Add(1) }
	if change != nil {
		change(&cfg)
	}
	f.Desk, err = desk.New(cfg)
	require.NoError(t, err)
	t.Cleanup(f.Close)
	return f
}

// withBook is open with a book. Answers are kept in it.
func withBook(t testing.TB) *fixture {
	b := webtest.Book(t)
	f := open(t, func(c *desk.Config) { c.Book, c.BookFile, c.KeepAnswers = app.Stored{Book: b}, b.Path(), true })
	f.book = b
	return f
}

// eventually waits for what another goroutine does.
func eventually(t testing.TB, is func() bool) {
	require.Eventually(t, is, 20*time.Second, 5*time.Millisecond)
}
