// Package feed writes calendars in the form of RFC 5545 (iCalendar): the blocks of
// a plan, and how long each film has to stay dry, for the calendar that a person
// already looks at.
//
// [Calendar] writes events that it knows nothing about. [Of] makes them of the
// versions of a job's plan, so that an event keeps its name (UID) while it moves
// about, counts its changes (SEQUENCE), and is called off (STATUS:CANCELLED) when the
// plan no longer has it.
//
// Every line ends in CR LF and has at most 75 octets; times are UTC. What people wrote
// is cleared of control characters and of those that turn the direction of reading,
// and escaped, so that no name can begin a line of its own. The same input gives the
// same bytes: the stamp is the answer's own time and not the clock's.
//
// The form is written by golang-ical, through this one package.
package feed

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
)

// ContentType is what a calendar is served and sent as.
const ContentType = "text/calendar; charset=utf-8"

// Input is a calendar to be written.
type Input struct {
	Name    string        // as programs show it
	About   string        // a line or two on what it is; "" for none
	Stamp   time.Time     // of the answer that it tells of; required
	Refresh time.Duration // how often programs should look again, whole minutes; 0: not said
	Events  []Event
}

// Event is one entry.
type Event struct {
	// UID names the entry for ever, whatever becomes of it: 1 to 255 printable ASCII
	// characters without blanks. [NewUID] makes one.
	UID         string
	Sequence    int       // how often it was changed in earnest, from 0
	Changed     time.Time // when it last was; zero: not said
	From, To    time.Time // half-open; To is after From
	Summary     string    // one line
	Description string    // lines
	Location    string    // one line, "" for none
	Tentative   bool      // it waits for a yes
	Cancelled   bool      // it was called off; outranks Tentative
	Free        bool      // it keeps nobody busy
}

// mostEvents is more than any job has: beyond it something is amiss.
const mostEvents = 10000

// Calendar writes a calendar. An error names what in the input cannot be written.
func Calendar(in Input) ([]byte, error) {
	if err := in.check(); err != nil {
		return nil, fmt.Errorf("calendar: %w", err)
	}
	c := ics.NewCalendarFor("dewgap")
	c.SetProductId("-//dewgap//dewgap//EN")
	c.SetCalscale("GREGORIAN")
	c.SetMethod(ics.MethodPublish)
	if name := line(in.Name); name != "" {
		c.SetName(name)
	}
	if about := lines(in.About); about != "" {
		c.SetDescription(about)
		c.SetXWRCalDesc(about)
	}
	if in.Refresh > 0 {
		c.SetRefreshInterval(period(in.Refresh)) // the library's own name for it says VALUE=DURATION
		c.SetXPublishedTTL(period(in.Refresh))
	}
	for _, e := range in.Events {
		e.into(c, in.Stamp)
	}
	return write(c)
}

// write is the one place where the form becomes bytes: golang-ical would end lines in
// LF alone on most systems.
func write(c *ics.Calendar) ([]byte, error) {
	data := []byte(c.Serialize(ics.WithNewLineWindows))
	if err := checkLines(data); err != nil {
		return nil, fmt.Errorf("calendar: %w", err)
	}
	return data, nil
}

// into adds the event to a calendar.
func (e Event) into(c *ics.Calendar, stamp time.Time) {
	v := c.AddEvent(e.UID)
	v.SetDtStampTime(stamp)
	v.SetSequence(e.Sequence)
	if !e.Changed.IsZero() {
		v.SetModifiedAt(e.Changed)
	}
	v.SetStartAt(e.From)
	v.SetEndAt(e.To)
	v.SetSummary(line(e.Summary))
	if text := lines(e.Description); text != "" {
		v.SetDescription(text)
	}
	if place := line(e.Location); place != "" {
		v.SetLocation(place)
	}
	v.SetStatus(ics.ObjectStatus(strings.ToUpper(e.Status())))
	v.SetTimeTransparency(ics.TransparencyOpaque)
	if e.Free || e.Cancelled {
		v.SetTimeTransparency(ics.TransparencyTransparent)
	}
}

// Status is confirmed, tentative or cancelled.
func (e Event) Status() string {
	switch {
	case e.Cancelled:
		return "cancelled"
	case e.Tentative:
		return "tentative"
	}
	return "confirmed"
}

func (in Input) check() error {
	if in.Stamp.IsZero() {
		return errors.New("it has no stamp")
	}
	if len(in.Events) > mostEvents {
		return fmt.Errorf("it has %d events, at most %d", len(in.Events), mostEvents)
	}
	if err := writable(in.Stamp); err != nil {
		return fmt.Errorf("its stamp %w", err)
	}
	if in.Refresh < 0 || in.Refresh%time.Minute != 0 {
		return fmt.Errorf("its refresh of %s is not in whole minutes", in.Refresh)
	}
	seen := map[string]bool{}
	for i, e := range in.Events {
		if err := e.check(); err != nil {
			return fmt.Errorf("event %d %w", i, err)
		}
		if seen[e.UID] {
			return fmt.Errorf("event %d has the UID of another, %q", i, e.UID)
		}
		seen[e.UID] = true
	}
	return nil
}

func (e Event) check() error {
	switch {
	case !goodUID(e.UID):
		return fmt.Errorf("has the UID %q, which is none", e.UID)
	case e.Sequence < 0:
		return fmt.Errorf("has the sequence %d", e.Sequence)
	case !e.To.Truncate(time.Second).After(e.From.Truncate(time.Second)):
		return fmt.Errorf("does not end after it begins, %s", e.From.Format(time.RFC3339))
	}
	for _, t := range []time.Time{e.From, e.To, e.Changed} {
		if err := writable(t); err != nil {
			return err
		}
	}
	return nil
}

// writable refuses years that do not have four digits.
func writable(t time.Time) error {
	if y := t.UTC().Year(); y < 1 || y > 9999 {
		return fmt.Errorf("has a time in the year %d", y)
	}
	return nil
}

func goodUID(s string) bool {
	if len(s) == 0 || len(s) > 255 {
		return false
	}
	for i := range len(s) {
		// Without what would have to be escaped.
		if c := s[i]; c <= ' ' || c > '~' || c == '\\' || c == ';' || c == ',' {
			return false
		}
	}
	return true
}

// NewUID makes the UID of what is named by some words: always the same for the same
// words, and as good as never the same for others.
func NewUID(words ...string) string {
	h := sha256.New()
	for _, w := range words {
		fmt.Fprintf(h, "%d:%s\n", len(w), w)
	}
	return hex.EncodeToString(h.Sum(nil)[:16]) + "@dewgap"
}

// ETag is the strong entity tag of a calendar's bytes, with its quotation marks.
func ETag(calendar []byte) string {
	sum := sha256.Sum256(calendar)
	return `"` + hex.EncodeToString(sum[:16]) + `"`
}

// period writes whole minutes as a duration of RFC 5545, §3.3.6.
func period(d time.Duration) string {
	h, m := int(d/time.Hour), int(d%time.Hour/time.Minute)
	switch {
	case m == 0:
		return "PT" + strconv.Itoa(h) + "H"
	case h == 0:
		return "PT" + strconv.Itoa(m) + "M"
	}
	return "PT" + strconv.Itoa(h) + "H" + strconv.Itoa(m) + "M"
}
