package fetch

import (
	"context"
	"encoding/json"
	"time"
)

// pace holds all processes together to the rate that one is held to. It is the
// virtual scheduling form of the leaky bucket (generic cell rate algorithm,
// ITU-T I.371): what is noted is the moment at which the bucket is empty again,
// so that a process that dies after taking its turn costs one turn and no more.
type pace struct {
	shared Shared        // nil: no other process
	every  time.Duration // between two requests
	burst  int           // requests that may go at once
}

// stamp is what is noted of one host.
type stamp struct {
	Empty time.Time `json:"empty"` // when all that was taken has flowed off
}

// longestQueue is how far ahead turns can be taken; a stamp beyond it is one of
// a clock that was set back, and does not count.
const longestQueue = 10 * time.Minute

// turn takes the next turn at a host and gives the wait until then; late means
// that it lies beyond most, and that it was not taken.
func (p pace) turn(host string, now time.Time, most time.Duration) (wait time.Duration, late bool, err error) {
	err = p.shared.Update("pace "+host, func(old []byte) []byte {
		var s stamp
		if json.Unmarshal(old, &s) != nil || s.Empty.Before(now) || s.Empty.Sub(now) > longestQueue {
			s.Empty = now
		}
		wait = max(0, s.Empty.Sub(now)-time.Duration(p.burst-1)*p.every)
		if late = wait > most; late {
			return old
		}
		fresh, _ := json.Marshal(stamp{s.Empty.Add(p.every).UTC()}) // a time of these years always can be
		return fresh
	})
	return wait, late, err
}

// wait holds a request until its turn among all processes. Where the turns
// cannot be shared, the process's own rate is all there is. The clock is the
// computer's own, as for deadlines: a rate is no matter of what day it is.
func (p pace) wait(ctx context.Context, host string) error {
	if p.shared == nil {
		return nil
	}
	most := longestQueue
	if deadline, ok := ctx.Deadline(); ok {
		most = time.Until(deadline)
	}
	wait, late, err := p.turn(host, time.Now(), most)
	switch {
	case err != nil:
		return nil //nolint:nilerr // a turn not to be shared is no reason not to ask
	case late:
		return errNoTurn
	case wait == 0:
		return nil
	}
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
