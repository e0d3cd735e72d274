package desk

import (
	"context"
	"sync"
	"time"
)

// Snapshot is an answer as the desk has it. It must not be changed.
type Snapshot[T any] struct {
	Answer *T
	JSON   *Body     // as --json writes it
	At     time.Time // the moment that it answers for
	Stale  bool      // of an earlier slot: the new one is in the making

	inputs string
	slot   time.Time
	serial int64
}

// Serial tells two answers of one kind apart.
func (s *Snapshot[T]) Serial() int64 { return s.serial }

// cell keeps one answer and sees to it that it is made once however many ask.
type cell[T any] struct {
	mu     sync.Mutex
	snap   *Snapshot[T]
	flight *flight[T]
	failed failed
}

// failed is the last failure, which is told again for a while.
type failed struct {
	err    error
	inputs string
	until  time.Time
}

// flight is an answer in the making.
type flight[T any] struct {
	inputs string
	done   chan struct{}
	snap   *Snapshot[T]
	err    error
}

// wanted is what an answer is to be made from.
type wanted struct {
	inputs string    // changes with everything but time
	slot   time.Time // of now
}

// peek is the answer that is there, nil if none is.
func (c *cell[T]) peek() *Snapshot[T] {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.snap
}

// get gives the answer, made anew if need be. run starts the making.
func (c *cell[T]) get(ctx context.Context, w wanted, run func(*flight[T])) (*Snapshot[T], Had, error) {
	c.mu.Lock()
	s := c.snap
	fits := s != nil && s.inputs == w.inputs
	if fits && s.slot.Equal(w.slot) {
		c.mu.Unlock()
		return s, Hit, nil
	}
	old := fits && w.slot.Sub(s.slot) <= StaleFor && !w.slot.Before(s.slot)
	if f := c.failed; f.err != nil && f.inputs == w.inputs && time.Now().Before(f.until) {
		c.mu.Unlock()
		if old {
			return s.stale(), Stale, nil
		}
		return nil, Miss, f.err
	}
	f := c.flight
	if f == nil || f.inputs != w.inputs {
		f = &flight[T]{inputs: w.inputs, done: make(chan struct{})}
		c.flight = f
		run(f)
	}
	c.mu.Unlock()
	if old {
		return s.stale(), Stale, nil
	}
	select {
	case <-f.done:
		return f.snap, Miss, f.err
	case <-ctx.Done():
		return nil, Miss, context.Cause(ctx)
	}
}

// land keeps what a flight brought, unless a later one is on its way.
func (c *cell[T]) land(f *flight[T]) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.flight == f {
		c.flight = nil
		if f.err == nil {
			c.snap, c.failed = f.snap, failed{}
		} else if !passing(f.err) {
			c.failed = failed{f.err, f.inputs, time.Now().Add(failedFor)}
		}
	}
	close(f.done)
}

// stale is the answer, marked.
func (s *Snapshot[T]) stale() *Snapshot[T] {
	out := *s
	out.Stale = true
	return &out
}
