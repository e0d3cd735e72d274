package fetch

import (
	"net/http"
	"strconv"
	"strings"
	"time"
)

// Entry is one saved reply and what is needed to ask for news of it.
type Entry struct {
	Body         []byte    // as received, decompressed
	ETag         string    // verbatim, "" if the service gave none
	LastModified string    // verbatim, "" if the service gave none
	Expires      time.Time // before this the service is not asked again
	Fetched      time.Time // when Body was received; a 304 does not change it
	URL          string    // what was asked, without any key
}

// Cache keeps replies between runs. Only cmd knows where. Implementations must
// be safe for use by several goroutines and processes, and must give back
// whole entries or none.
type Cache interface {
	// Get gives the entry saved under key. Where there is none, ok is false
	// and err nil; where there is one that cannot be read, ok is false and err
	// says why. The error becomes a warning, never a failure.
	Get(key string) (entry Entry, ok bool, err error)
	// Put saves the entry in place of any other under key, wholly or not at
	// all. An error becomes a warning.
	Put(key string, entry Entry) error
}

// longest is the longest time that a service's own expiry is believed, so that
// a wrong header cannot silence a forecast for ever.
const longest = 24 * time.Hour

// fresh reports whether the service need not be asked at now. A copy from the
// future means that the clock was set back: ask.
func (e *Entry) fresh(now time.Time) bool {
	return !now.Before(e.Fetched) && now.Before(e.Expires)
}

// expiry is until when a reply with these headers is good, counted on this
// computer's clock: the service's lifetime, but at least hold and at most a
// day (or hold, if longer).
func expiry(h http.Header, now time.Time, hold time.Duration) time.Time {
	life := min(lifetime(h, now), longest)
	return now.Add(max(life, hold))
}

// lifetime is how long the reply is good by its headers: max-age less Age
// (RFC 9111 sections 4.2.1 and 4.2.3), else Expires less Date, so that a wrong
// clock here does no harm; 0 where nothing is said.
func lifetime(h http.Header, now time.Time) time.Duration {
	if s, ok := maxAge(h.Get("Cache-Control")); ok {
		age, _ := strconv.Atoi(h.Get("Age"))
		return max(0, s-time.Duration(max(0, age))*time.Second)
	}
	expires, err := http.ParseTime(h.Get("Expires"))
	if err != nil {
		return 0
	}
	return max(0, expires.Sub(serverTime(h, now)))
}

// maxAge reads the max-age directive; one that is no number counts as absent.
func maxAge(cacheControl string) (time.Duration, bool) {
	for d := range strings.SplitSeq(cacheControl, ",") {
		name, value, _ := strings.Cut(strings.TrimSpace(d), "=")
		if !strings.EqualFold(name, "max-age") {
			continue
		}
		s, err := strconv.ParseUint(strings.Trim(value, `"`), 10, 31)
		if err == nil {
			return time.Duration(s) * time.Second, true
		}
	}
	return 0, false
}

// serverTime is the service's own clock, or now where it does not tell.
func serverTime(h http.Header, now time.Time) time.Time {
	if t, err := http.ParseTime(h.Get("Date")); err == nil {
		return t
	}
	return now
}

// retryAfter reads how long the service asks to wait: whole seconds or an HTTP
// date (RFC 9110 section 10.2.3); 0 where it does not say or the moment has
// passed.
func retryAfter(h http.Header, now time.Time) time.Duration {
	v := strings.TrimSpace(h.Get("Retry-After"))
	if s, err := strconv.ParseUint(v, 10, 31); err == nil {
		return time.Duration(s) * time.Second
	}
	if t, err := http.ParseTime(v); err == nil {
		return max(0, t.Sub(serverTime(h, now)))
	}
	return 0
}
