package desk

import (
	"context"
	"sync/atomic"
)

// gate lets a few in at once and some more wait.
type gate struct {
	in      chan struct{}
	waiting *atomic.Int64
	most    int64
}

func newGate(atOnce, waiting int) gate {
	return gate{make(chan struct{}, atOnce), new(atomic.Int64), int64(waiting)}
}

// enter waits for its turn; leave must be called after it. Where too many wait
// already it is ErrBusy.
func (g gate) enter(ctx context.Context) (leave func(), err error) {
	leave = func() { <-g.in }
	select {
	case g.in <- struct{}{}:
		return leave, nil
	default:
	}
	if g.waiting.Add(1) > g.most {
		g.waiting.Add(-1)
		return nil, ErrBusy
	}
	defer g.waiting.Add(-1)
	select {
	case g.in <- struct{}{}:
		return leave, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}
