package fetch

import (
	"fmt"
	"net/http"
	"strings"
	"time"
)

// Kind says in one word why a request failed; a program decides by it.
type Kind string

// The kinds of failure.
const (
	Unidentified Kind = "unidentified" // the service wants a contact and none is set: nothing was sent
	BadRequest   Kind = "bad-request"  // 400, 422 and other refusals of what was asked
	Forbidden    Kind = "forbidden"    // 401, 403: identification or key not accepted
	NotFound     Kind = "not-found"    // 404, 410: nothing there for this place
	TooMany      Kind = "too-many"     // 429: limit of requests reached
	Overloaded   Kind = "overloaded"   // 5xx, 408: the service's own trouble
	Network      Kind = "network"      // no connection, broken connection, certificate
	Timeout      Kind = "timeout"      // no complete reply in time
	Cancelled    Kind = "cancelled"    // the caller gave up
	Redirected   Kind = "redirected"   // sent round in circles, or to where it is not safe to follow
	NotData      Kind = "not-data"     // a page, nothing, or broken JSON in place of data
	TooLarge     Kind = "too-large"    // more than the limit after decompression
	Paused       Kind = "paused"       // it failed again and again and is left alone for a while: nothing was sent
	Rejected     Kind = "rejected"     // whole JSON that the reader of the service cannot use
)

// Error says which service failed, how, and what the person can do. It never
// holds a key: addresses are cut down to the host and secrets are struck out.
type Error struct {
	Service    string        // as shown to people: "Open-Meteo"
	Host       string        // asked host, with port if one was given
	Kind       Kind          // why, for programs
	Status     int           // HTTP status, 0 if there was none
	Reason     string        // the service's or the network's own words on one line, "" if none
	RetryAfter time.Duration // how long the service asks to wait, or is left alone; 0 if it did not say
	Until      time.Time     // when a service that is left alone is asked again; zero for other kinds
	Tries      int           // how often it was asked
	Fix        string        // what the person can do; Error leaves it to whoever shows it
	Err        error         // the error beneath, nil if there is none

	again bool // whether trying once more may help
}

// Error is one line: the service, what happened, its own words, and the wait
// it asks for.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Service)
	if e.Host != "" {
		b.WriteString(" (" + e.Host + ")")
	}
	b.WriteString(": " + e.what())
	if e.Reason != "" {
		b.WriteString(": " + e.Reason)
	}
	switch {
	case e.Kind == Paused:
		b.WriteString("; it is asked again in " + Words(e.RetryAfter+time.Second-1) + " (" + e.Until.UTC().Format("15:04 UTC") + ")")
	case e.RetryAfter > 0:
		b.WriteString("; it asks to wait " + Words(e.RetryAfter))
	}
	if e.Tries > 1 {
		fmt.Fprintf(&b, " (tried %d times)", e.Tries)
	}
	return b.String()
}

// Unwrap gives the error beneath, for errors.Is and errors.As.
func (e *Error) Unwrap() error { return e.Err }

// phrases are what happened, in the order of a person's reading.
var phrases = map[Kind]string{
	Unidentified: "a contact is needed before it may be asked",
	BadRequest:   "the request was refused",
	Forbidden:    "the program or its key was not accepted",
	NotFound:     "nothing there",
	TooMany:      "too many requests",
	Overloaded:   "the service is in trouble",
	Network:      "trouble with the connection",
	Timeout:      "no complete answer in time",
	Cancelled:    "cancelled",
	Redirected:   "sent elsewhere",
	NotData:      "the answer was not data",
	Paused:       "left alone for a while",
	TooLarge:     "the answer is too large",
	Rejected:     "the answer could not be used",
}

func (e *Error) what() string {
	if e.Status == 0 || e.Status == http.StatusOK {
		return phrases[e.Kind]
	}
	return fmt.Sprintf("%s (HTTP %d)", phrases[e.Kind], e.Status)
}

// fixes are what a person can do where the service's folder knows no better.
var fixes = map[Kind]string{
	Unidentified: ContactFix,
	BadRequest:   "check the place's latitude and longitude and the models asked for; if they are right, the service may have changed: look for a newer dewgap",
	Forbidden:    ContactFix + "; check the service's key if one is set",
	NotFound:     "check the place's latitude and longitude and the service's address in the settings",
	TooMany:      "wait, or choose another source",
	Overloaded:   "try again in some minutes, or choose another source",
	Network:      "check the connection, whether a Wi-Fi wants a log-in page first, and the service's address in the settings",
	Timeout:      "try again where the signal is better, or raise timeout in the settings",
	Cancelled:    "run it again",
	Redirected:   "check the service's address in the settings, and whether a Wi-Fi wants a log-in page first",
	NotData:      "open any page in a browser: a Wi-Fi may want a log-in first; else check the service's address in the settings or choose another source",
	Paused:       "wait, or choose another source",
	TooLarge:     "ask for fewer days or models, or check the service's address in the settings",
	Rejected:     "choose another source; if it lasts, the service may have changed: look for a newer dewgap",
}

// ContactFix is what to do where a service wants to know whom to write to.
const ContactFix = "set DEWGAP_CONTACT, or contact in the settings file, to an e-mail address or web page where you can be reached"

// certificateFix replaces the usual advice when the connection was made but
// could not be trusted.
const certificateFix = "check the computer's date and time and whether a Wi-Fi wants a log-in page first; the certificate check cannot be switched off"

// Words is a time span as people write it, in one or two units and rounded
// down: "8 s", "40 min", "3 h 20 min", "1 d 4 h".
func Words(d time.Duration) string {
	const day = 24 * time.Hour
	switch {
	case d >= day:
		return inUnits(d, day, "d", time.Hour, "h")
	case d >= time.Hour:
		return inUnits(d, time.Hour, "h", time.Minute, "min")
	case d >= time.Minute:
		return inUnits(d, time.Minute, "min", time.Second, "s")
	}
	return fmt.Sprintf("%d s", max(0, d)/time.Second)
}

// Exact is a time span as people set one, nothing rounded: "36 h", "1 h 30 min", "20 s".
func Exact(d time.Duration) string {
	if d <= 0 || d%time.Second != 0 {
		return d.String()
	}
	var parts []string
	for _, u := range []struct {
		of   time.Duration
		name string
	}{{time.Hour, "h"}, {time.Minute, "min"}, {time.Second, "s"}} {
		if n := d / u.of; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, u.name))
		}
		d %= u.of
	}
	return strings.Join(parts, " ")
}

// Age is how old something is in words, "40 min", "3 h", "3 days", rounded up in one
// unit so that it never looks younger than it is: minutes up to two hours, then hours
// up to two days.
func Age(d time.Duration) string {
	const day = 24 * time.Hour
	d = max(0, d).Truncate(time.Second) // answers carry whole seconds
	up := func(unit time.Duration) int64 { return int64((d + unit - 1) / unit) }
	switch {
	case d < 2*time.Hour:
		return fmt.Sprintf("%d min", up(time.Minute))
	case d < 2*day:
		return fmt.Sprintf("%d h", up(time.Hour))
	}
	return fmt.Sprintf("%d days", up(day))
}

func inUnits(d, large time.Duration, largeName string, small time.Duration, smallName string) string {
	text := fmt.Sprintf("%d %s", d/large, largeName)
	if rest := d % large / small; rest > 0 {
		text += fmt.Sprintf(" %d %s", rest, smallName)
	}
	return text
}

// oneLine makes a service's words safe to show: control characters out,
// blanks folded, at most 200 characters.
func oneLine(s string) string {
	const most = 200
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool {
		return r <= ' ' || r == 0x7f || (r >= 0x80 && r < 0xa0)
	}), " ")
	s = strings.ToValidUTF8(s, "?")
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return strings.TrimSuffix(s, ".")
}
