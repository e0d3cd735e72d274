package fetch

import (
	"context"
	"fmt"
	"net/url"
	"strings"
	"time"

	"dewgap/forecast"
)

// Request is one question to one service.
type Request struct {
	Service string     // as shown to people: "Open-Meteo"
	URL     string     // http or https, without any key; it also names the saved copy
	Secret  url.Values // parameters that go out but are neither shown nor saved: a key
	Accept  string     // media type asked for; "" means application/json
	// Hold is how long a reply is good at least, for services that do not say
	// or that change seldom.
	Hold time.Duration
	// Part names what of the service is asked, where its parts fail apart from one
	// another; "" is the service as such.
	Part string
	// Tries is how often it is asked at most, if less than usual; 0 is as usual.
	Tries int
	// Anew asks even when the saved copy has not expired.
	Anew bool
	// Check says whether a reply can be used. One that cannot is a failure
	// and is not saved. nil takes every whole JSON document.
	Check func(body []byte) error
	// Wait tells from a service's words how long it wants to be left alone,
	// where it says so in words only; nil or 0 if it does not.
	Wait func(reason string, now time.Time) time.Duration
	// Fix gives better advice than the usual for a failure; "" keeps the
	// usual. nil keeps it always.
	Fix func(*Error) string
}

// key names the copy: the service and the address without secrets.
func (r Request) key() string { return r.Service + " " + r.URL }

func (r Request) check(body []byte) error {
	if r.Check == nil {
		return nil
	}
	return r.Check(body)
}

// target is the address that goes out.
func (r Request) target() string {
	if len(r.Secret) == 0 {
		return r.URL
	}
	glue := "?"
	if strings.Contains(r.URL, "?") {
		glue = "&"
	}
	return r.URL + glue + r.Secret.Encode()
}

// redact strikes the request's secrets out of a text.
func (r Request) redact(s string) string {
	for _, values := range r.Secret {
		for _, v := range values {
			if v == "" {
				continue
			}
			s = strings.ReplaceAll(s, v, "…")
			s = strings.ReplaceAll(s, url.QueryEscape(v), "…")
		}
	}
	return s
}

// host checks the address and gives its host.
func (r Request) host() (string, error) {
	u, err := url.Parse(r.URL)
	switch {
	case err != nil:
		return "", fmt.Errorf("the address is not one")
	case u.Scheme != "https" && u.Scheme != "http", u.Host == "":
		return "", fmt.Errorf("the address must begin with https:// or http:// and name a host")
	case u.User != nil:
		return "", fmt.Errorf("the address must not hold a user name or password")
	}
	return u.Host, nil
}

// Header is what a reply says of its own time, verbatim; "" where it does not.
type Header struct {
	Date         string // when it was sent
	LastModified string // when it was made
	Expires      string // until when it is good
}

// Info tells where an answer came from and how old it is.
type Info struct {
	Fetched   time.Time     // when the body was received
	Age       time.Duration // since then
	FromCache bool          // the body is a saved copy, fresh, confirmed or stale
	Stale     bool          // the copy has expired and the service could not be asked, or was not
	Cause     error         // why not, an *Error; nil unless Stale
	Header    Header        // of the reply, or what is saved of it
	Warnings  []string      // what went wrong beside the answer, in plain words
}

func (i *Info) warn(format string, args ...any) {
	i.Warnings = append(i.Warnings, fmt.Sprintf(format, args...))
}

// Stamp writes on a forecast when it was received and what went wrong on the
// way. A service that does not say when it made a forecast made it no later
// than it was received, so that stands for the time of issue.
func (i Info) Stamp(f *forecast.Forecast) {
	f.Fetched = i.Fetched
	if f.Issued.IsZero() {
		f.Issued = i.Fetched
	}
	f.Warnings = append(f.Warnings, i.Warnings...)
	if i.Stale {
		f.Warnings = append(f.Warnings, fmt.Sprintf("the forecast is a copy received %s ago, for no newer one could be had: %v", Age(i.Age), i.Cause))
	}
}

// Result is an answer.
type Result struct {
	Info
	Body []byte // one whole JSON document that passed the caller's check
}

func (r *Result) from(e Entry, now time.Time) {
	r.Body, r.Fetched, r.Age = e.Body, e.Fetched, max(0, now.Sub(e.Fetched))
	r.FromCache = true
	r.Header = Header{LastModified: e.LastModified}
}

// Read asks for r and reads the answer with parse, which also serves as the
// check of the reply: one that parse rejects is never saved. Every body is
// parsed once.
func Read[T any](ctx context.Context, c *Client, r Request, parse func([]byte) (T, error)) (T, Info, error) {
	read := map[*byte]T{} // by the body's first byte: copy and reply may both have been read
	r.Check = func(body []byte) error {
		v, err := parse(body)
		if err == nil {
			read[&body[0]] = v
		}
		return err
	}
	res, err := c.Get(ctx, r)
	if err != nil {
		var none T
		return none, Info{}, err
	}
	return read[&res.Body[0]], res.Info, nil
}
