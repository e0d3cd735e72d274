package fetch

import (
	"context"
	"errors"
	"net/http"
	"time"

	"dewgap/forecast"
)

// call is one request on its way: what it takes to judge each try.
type call struct {
	Request
	host        string
	conditional bool          // a 304 is an answer
	firstWait   time.Duration // before the second try, doubled before each further one
	maxWait     time.Duration // longest wait worth it
	asked       time.Duration // wait that the last reply asked for, 0 if it did not
	now         func() time.Time
	parent      context.Context // the caller's own, to tell its end from the timeout
}

// ask sends the request, conditionally if there is a copy, and judges the
// reply. Reply headers go to res.
func (c *Client) ask(ctx context.Context, r Request, host string, old *Entry, res *Result) (Entry, *Error) {
	k := &call{Request: r, host: host, maxWait: c.cfg.MaxWait, firstWait: c.cfg.Wait, now: c.cfg.Now, parent: ctx}
	timed, cancel := context.WithTimeout(ctx, c.cfg.Timeout)
	defer cancel()
	got, err := c.wire.send(timed, k, k.headers(old))
	if e := k.failure(got, err); e != nil {
		return Entry{}, e
	}
	return c.accept(k, got, old, res)
}

// headers are what this request says beside its address.
func (k *call) headers(old *Entry) map[string]string {
	h := map[string]string{"Accept": "application/json"}
	if k.Accept != "" {
		h["Accept"] = k.Accept
	}
	if old != nil && old.ETag != "" {
		h["If-None-Match"] = old.ETag
	}
	if old != nil && old.LastModified != "" {
		h["If-Modified-Since"] = old.LastModified
	}
	k.conditional = len(h) > 1
	return h
}

// accept turns a good reply into an entry: the copy with a new expiry after a
// 304, else the new body once it has passed the caller's check.
func (c *Client) accept(k *call, got reply, old *Entry, res *Result) (Entry, *Error) {
	h, now := got.header, c.cfg.Now()
	res.Header = Header{Date: h.Get("Date"), LastModified: h.Get("Last-Modified"), Expires: h.Get("Expires")}
	if got.status == http.StatusNotModified {
		e := *old
		e.Expires = expiry(h, now, k.Hold)
		res.Body, res.Fetched, res.FromCache = e.Body, e.Fetched, true
		return e, nil
	}
	if got.status == http.StatusNonAuthoritativeInfo {
		res.warn("%s says that the version asked for is a trial one or will be withdrawn (HTTP 203)", k.Service)
	}
	if err := k.check(got.body); err != nil {
		return Entry{}, k.fail(rejected(err), got)
	}
	res.Body, res.Fetched = got.body, now
	return Entry{Body: got.body, ETag: h.Get("ETag"), LastModified: h.Get("Last-Modified"),
		Expires: expiry(h, now, k.Hold), Fetched: now, URL: k.URL}, nil
}

// rejected is a whole document that its reader cannot use; the reader knows
// best what to do about it.
func rejected(err error) *Error {
	e := &Error{Kind: Rejected, Reason: err.Error(), Err: err}
	if re, ok := errors.AsType[*forecast.ReadError](err); ok {
		e.Fix = re.Fix
	}
	return e
}

// worthAnother reports whether a try failed in a way that may pass, and
// remembers the wait that it asked for.
func (k *call) worthAnother(got reply, err error) bool {
	e := k.failure(got, err)
	if e == nil {
		return false
	}
	k.asked = e.RetryAfter
	return e.again && (k.Tries == 0 || got.tries < k.Tries)
}

// pause is how long to wait after try n, from 1: what the service asks for,
// else twice as long each time. There is no chance in it: one person's program
// is no herd, and the same trouble should look the same.
func (k *call) pause(n int) time.Duration {
	if k.asked > 0 {
		return k.asked
	}
	return k.firstWait << min(n-1, 10)
}

// failure judges one try; nil means that the reply can be looked into.
func (k *call) failure(got reply, err error) *Error {
	if err != nil {
		return k.fail(k.broken(err), got)
	}
	switch got.status {
	case http.StatusOK, http.StatusNonAuthoritativeInfo:
		if e := notJSON(got.body); e != nil {
			e.Status = got.status
			return k.fail(e, got)
		}
		return nil
	case http.StatusNotModified:
		if k.conditional {
			return nil
		}
	}
	return k.fail(k.refused(got), got)
}

// fail completes an error with what every failure of this call shares.
func (k *call) fail(e *Error, got reply) *Error {
	e.Service, e.Host, e.Tries = k.Service, k.host, got.tries
	e.Reason = oneLine(k.redact(e.Reason))
	if e.Fix == "" {
		e.Fix = fixes[e.Kind]
	}
	if k.Fix != nil {
		if better := k.Fix(e); better != "" {
			e.Fix = better
		}
	}
	return e
}
