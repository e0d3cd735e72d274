package fetch

import (
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"syscall"
	"time"
)

// After so many questions in a row without an answer a service is left alone
// for a while, which doubles with each further one up to the longest. A service
// that says itself how long is left alone so long at once. Common practice, no
// source.
const (
	mostFailures  = 3
	firstPause    = 2 * time.Minute
	longestPause  = 16 * time.Minute
	longestAsked  = 24 * time.Hour // of what a service asks for itself
	longestReason = 200
)

// trouble is what is noted of a service that fails: the state of a circuit
// breaker. Before Until the circuit is open, and nothing is sent. From then on
// it is half open: whoever comes first tries, and until that has come out, or
// its time is over, nobody else does. An answer closes it.
type trouble struct {
	Failures int       `json:"failures"` // in a row
	Last     time.Time `json:"last"`     // when this was noted
	Until    time.Time `json:"until"`    // not asked before; zero: not left alone
	Reason   string    `json:"reason"`   // of the last failure
	Trial    bool      `json:"trial"`    // somebody is trying
}

// circuit names the note: a service's parts fail apart from one another.
func (r Request) circuit(host string) string {
	return "circuit " + r.Service + " " + host + " " + r.Part
}

// admit reports, as an error of kind Paused, that the service is left alone.
func (c *Client) admit(r Request, host string) *Error {
	var refused *Error
	now := c.cfg.Now()
	_ = c.shared.Update(r.circuit(host), func(old []byte) []byte { // a note not to be had silences nobody
		var t trouble
		if json.Unmarshal(old, &t) != nil || now.Before(t.Last) || t.Until.Sub(now) > longestAsked { // damaged, or the clock was set back
			return nil
		}
		switch {
		case t.Until.IsZero():
			return old
		case now.Before(t.Until):
			refused = t.refusal(r, host, now)
			return old
		}
		t.Last, t.Until, t.Trial = now, now.Add(c.cfg.Timeout), true
		return t.note()
	})
	return refused
}

// settle notes how the question came out: nil is an answer.
func (c *Client) settle(r Request, host string, e *Error) {
	now := c.cfg.Now()
	_ = c.shared.Update(r.circuit(host), func(old []byte) []byte { // as above
		if e == nil || answered(e) {
			return nil
		}
		var t trouble
		_ = json.Unmarshal(old, &t) // damaged: it begins anew
		switch {
		case e.Kind == Cancelled || unsent(e):
			if t.Trial { // the next may try
				t.Until, t.Trial = now, false
				return t.note()
			}
			return old
		case t.Failures < mostFailures+10:
			t.Failures++
		}
		t.Last, t.Trial, t.Reason = now, false, e.cause()
		t.Until = t.pauseUntil(now, e.RetryAfter)
		return t.note()
	})
}

// pauseUntil is until when the service is left alone now.
func (t trouble) pauseUntil(now time.Time, asked time.Duration) time.Time {
	switch {
	case asked > 0:
		return now.Add(min(asked, longestAsked))
	case t.Failures < mostFailures:
		return time.Time{}
	}
	return now.Add(min(firstPause<<(t.Failures-mostFailures), longestPause))
}

func (t trouble) note() []byte {
	t.Last, t.Until = t.Last.UTC(), t.Until.UTC()
	b, _ := json.Marshal(t) // of plain numbers, words and times of these years
	return b
}

// answered reports a failure that is an answer all the same: the service works.
func answered(e *Error) bool {
	switch e.Kind {
	case BadRequest, Forbidden, NotFound, TooLarge, Rejected:
		return true
	}
	return false
}

// unsent reports that nothing reached anybody: that is this computer's trouble,
// which may be over at any moment, and says nothing of the service.
func unsent(e *Error) bool {
	var (
		dns  *net.DNSError
		dial *net.OpError
	)
	return errors.As(e.Err, &dns) ||
		errors.As(e.Err, &dial) && dial.Op == "dial" && !dial.Timeout() && !errors.Is(e.Err, syscall.ECONNREFUSED)
}

// refusal is what a person is told while the circuit is open.
func (t trouble) refusal(r Request, host string, now time.Time) *Error {
	how := "it failed once"
	if t.Failures > 1 {
		how = fmt.Sprintf("it failed %d times in a row", t.Failures)
	}
	if t.Trial {
		how += ", and another run is trying it now"
	}
	return &Error{
		Service: r.Service, Host: host, Kind: Paused, RetryAfter: t.Until.Sub(now), Until: t.Until,
		Reason: how + ", the last time with: " + t.Reason, Fix: fixes[Paused],
	}
}

// cause is an error without the service's name, cut short.
func (e *Error) cause() string {
	s := e.what()
	if e.Reason != "" {
		s += ": " + e.Reason
	}
	if r := []rune(s); len(r) > longestReason {
		s = string(r[:longestReason]) + "…"
	}
	return s
}
