package fetch

import (
	"bytes"
	"compress/flate"
	"compress/gzip"
	"context"
	"crypto/tls"
	"encoding/json"
	"errors"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"dewgap/forecast"

	"github.com/go-resty/resty/v2"
)

// call is one request on its way: what resty's hooks need to judge each try.
type call struct {
	Request
	host        string
	conditional bool
	maxWait     time.Duration
	firstWait   time.Duration
	now         func() time.Time
	parent      context.Context // the caller's own, to tell its end from the timeout
}

// callKey finds the call in resty's hooks, which are set once per client.
type callKey struct{}

// ask sends the request, conditionally if there is a copy, and judges the
// reply. Reply headers go to res.
func (c *Client) ask(ctx context.Context, r Request, old *Entry, res *Result) (Entry, *Error) {
	host, err := r.host()
	if err != nil {
		return Entry{}, &Error{Service: r.Service, Kind: BadRequest, Reason: err.Error(), Err: err,
			Fix: "mend the service's address in the settings"}
	}
	k := &call{Request: r, host: host, maxWait: c.cfg.MaxWait, firstWait: c.cfg.Wait, now: c.cfg.Now, parent: ctx}
	timed, cancel := context.WithTimeout(context.WithValue(ctx, callKey{}, k), c.cfg.Timeout)
	defer cancel()
	resp, err := k.build(c.resty.R().SetContext(timed), old).Get(r.target())
	if e := k.failure(resp, err); e != nil {
		return Entry{}, e
	}
	return c.accept(k, resp, old, res)
}

func (k *call) build(q *resty.Request, old *Entry) *resty.Request {
	accept := k.Accept
	if accept == "" {
		accept = "application/json"
	}
	q.SetHeader("Accept", accept)
	if old != nil && old.ETag != "" {
		q.SetHeader("If-None-Match", old.ETag)
		k.conditional = true
	}
	if old != nil && old.LastModified != "" {
		q.SetHeader("If-Modified-Since", old.LastModified)
		k.conditional = true
	}
	return q.AddRetryCondition(func(resp *resty.Response, err error) bool {
		e := k.failure(resp, err)
		return resp != nil && e != nil && e.again
	})
}

// accept turns a good reply into an entry: the copy with a new expiry after a
// 304, else the new body once it has passed the caller's check.
func (c *Client) accept(k *call, resp *resty.Response, old *Entry, res *Result) (Entry, *Error) {
	h, now := resp.Header(), c.cfg.Now()
	res.Header = Header{Date: h.Get("Date"), LastModified: h.Get("Last-Modified"), Expires: h.Get("Expires")}
	if resp.StatusCode() == http.StatusNotModified {
		e := *old
		e.Expires = expiry(h, now, k.Hold)
		res.Body, res.Fetched, res.FromCache = e.Body, e.Fetched, true
		return e, nil
	}
	if resp.StatusCode() == http.StatusNonAuthoritativeInfo {
		res.warn("%s says that the version asked for is a trial one or will be withdrawn (HTTP 203)", k.Service)
	}
	body := resp.Body()
	if err := k.check(body); err != nil {
		return Entry{}, k.fail(rejected(err), resp)
	}
	res.Body, res.Fetched = body, now
	return Entry{Body: body, ETag: h.Get("ETag"), LastModified: h.Get("Last-Modified"),
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

// waitBeforeNextTry is resty's hook: how long to wait, or an error to give up
// because the service asks for more than is allowed or the deadline would be
// past.
func waitBeforeNextTry(_ *resty.Client, resp *resty.Response) (time.Duration, error) {
	ctx := resp.Request.Context()
	k, ok := ctx.Value(callKey{}).(*call)
	if !ok {
		return 0, errors.New("fetch: request without its call")
	}
	wait := k.firstWait << min(resp.Request.Attempt-1, 10)
	e := k.failure(resp, nil)
	if resp.RawResponse != nil && e != nil && e.RetryAfter > 0 {
		wait = e.RetryAfter
	}
	deadline, _ := ctx.Deadline()
	if wait > k.maxWait || wait >= time.Until(deadline) {
		return 0, errGiveUp
	}
	return wait, nil
}

// errGiveUp ends resty's tries; the last reply is then judged as it stands.
var errGiveUp = errors.New("fetch: not worth another try")

// failure judges one try; nil means that the reply can be looked into.
func (k *call) failure(resp *resty.Response, err error) *Error {
	if err != nil && !errors.Is(err, errGiveUp) {
		return k.fail(k.broken(err), resp)
	}
	switch status := resp.StatusCode(); {
	case status == http.StatusNotModified && k.conditional:
		return nil
	case status == http.StatusOK, status == http.StatusNonAuthoritativeInfo:
		if e := notJSON(resp.Body()); e != nil {
			e.Status = status
			return k.fail(e, resp)
		}
		return nil
	default:
		return k.fail(k.refused(resp), resp)
	}
}

// fail completes an error with what every failure of this call shares.
func (k *call) fail(e *Error, resp *resty.Response) *Error {
	e.Service, e.Host = k.Service, k.host
	if resp != nil && resp.Request != nil {
		e.Tries = resp.Request.Attempt
	}
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

// broken is a try without a complete reply.
func (k *call) broken(err error) *Error {
	var ue *url.Error
	if errors.As(err, &ue) {
		err = ue.Err // the outer error shows the address, and with it a key
	}
	var (
		redirect *redirectError
		cert     *tls.CertificateVerificationError
		dns      *net.DNSError
		timeout  interface{ Timeout() bool }
	)
	switch {
	case k.parent.Err() != nil && errors.Is(k.parent.Err(), context.Canceled):
		return &Error{Kind: Cancelled, Err: context.Canceled}
	case errors.As(err, &redirect):
		return &Error{Kind: Redirected, Reason: err.Error(), Err: err}
	case errors.Is(err, resty.ErrResponseBodyTooLarge):
		return &Error{Kind: TooLarge, Err: err}
	case errors.As(err, &cert):
		return &Error{Kind: Network, Reason: "certificate not trusted: " + cert.Err.Error(), Fix: certificateFix, Err: err}
	case errors.As(err, &dns) && !dns.IsTimeout:
		return &Error{Kind: Network, Reason: "unknown host name", Err: err, again: !dns.IsNotFound}
	case errors.Is(err, context.DeadlineExceeded), errors.As(err, &timeout) && timeout.Timeout():
		return &Error{Kind: Timeout, Err: context.DeadlineExceeded}
	case garbledGzip(err):
		return &Error{Kind: NotData, Reason: "compressed data are damaged: " + err.Error(), Err: err, again: true}
	}
	return &Error{Kind: Network, Reason: err.Error(), Err: err, again: true}
}

func garbledGzip(err error) bool {
	var corrupt flate.CorruptInputError
	return errors.Is(err, gzip.ErrHeader) || errors.Is(err, gzip.ErrChecksum) || errors.As(err, &corrupt)
}

// refused is a complete reply that says no.
func (k *call) refused(resp *resty.Response) *Error {
	now, status := k.now(), resp.StatusCode()
	e := &Error{Kind: BadRequest, Status: status, Reason: reason(resp.Body())}
	switch {
	case status == http.StatusUnauthorized, status == http.StatusForbidden:
		e.Kind = Forbidden
	case status == http.StatusNotFound, status == http.StatusGone:
		e.Kind = NotFound
	case status == http.StatusTooManyRequests:
		e.Kind, e.again = TooMany, true
	case status >= 500, status == http.StatusRequestTimeout:
		e.Kind, e.again = Overloaded, true
	case status < 400:
		e.Kind = NotData
		if e.Reason == "" {
			e.Reason = "no data in this kind of answer"
		}
	}
	if e.again {
		e.RetryAfter = retryAfter(resp.Header(), now)
		if e.RetryAfter == 0 && k.Wait != nil {
			e.RetryAfter = k.Wait(e.Reason, now)
		}
	}
	return e
}

// notJSON says what is wrong with a body that is no whole JSON document. A
// page means that somebody else answers, so asking again does not help; a
// broken document may be whole the next time.
func notJSON(body []byte) *Error {
	body = bytes.TrimPrefix(body, []byte("\ufeff")) // a byte order mark does no harm
	text := bytes.TrimLeft(body, " \t\r\n")
	switch {
	case len(text) == 0:
		return &Error{Kind: NotData, Reason: "it is empty"}
	case text[0] == '<':
		return &Error{Kind: NotData, Reason: "it is a web page (HTML or XML), not JSON"}
	case text[0] != '{' && text[0] != '[':
		return &Error{Kind: NotData, Reason: "it is not JSON: " + firstWords(text)}
	case !json.Valid(body):
		return &Error{Kind: NotData, Reason: "its JSON is broken off or damaged", again: true}
	}
	return nil
}

func firstWords(text []byte) string {
	return "it begins with " + string(text[:min(len(text), 40)])
}

// reason finds the service's own words in the body of a refusal: Open-Meteo's
// reason, the detail or title of RFC 9457 problem details, or short plain
// text; "" for a page.
func reason(body []byte) string {
	var said struct{ Reason, Detail, Title string }
	if json.Unmarshal(body, &said) == nil {
		for _, s := range []string{said.Reason, said.Detail, said.Title} {
			if s != "" {
				return s
			}
		}
		return ""
	}
	text := strings.TrimSpace(string(body[:min(len(body), 400)]))
	if strings.HasPrefix(text, "<") {
		return ""
	}
	return text
}
