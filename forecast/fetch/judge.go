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
)

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
	case errors.Is(err, errTooLarge):
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
func (k *call) refused(got reply) *Error {
	now, status := k.now(), got.status
	e := &Error{Kind: BadRequest, Status: status, Reason: reason(got.body)}
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
		e.RetryAfter = retryAfter(got.header, now)
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
