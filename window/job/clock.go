package job

import (
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// dateRule is what a date without a clock time means where a moment is asked.
type dateRule uint8

const (
	needsClock dateRule = iota // a mistake: the hour matters
	dayBegins                  // its first moment
	dayEnds                    // its last: the day is included
)

var (
	momentForm = regexp.MustCompile(`^(\d{4})-(\d{2})-(\d{2})(?:[Tt ](\d{1,2}):(\d{2})(?::(\d{2}))? ?(Z|z|[+-]\d{2}:?\d{2})?)?$`)
	dateForm   = regexp.MustCompile(`^(\d{4})-(\d{2})-(\d{2})$`)
)

const momentFix = "write it like 2026-09-06T10:30, local time, or with an offset, 2026-09-06T10:30-04:00"

// moment reads a time under a key.
func (s *section) moment(key string, rule dateRule) (time.Time, bool) {
	n := s.take(key)
	if n == nil {
		return time.Time{}, false
	}
	return s.momentOf(n, key, rule)
}

// pastMoment is moment for something that has happened, and what.
func (s *section) pastMoment(key, what string) (time.Time, bool) {
	n := s.take(key)
	if n == nil {
		return time.Time{}, false
	}
	at, ok := s.momentOf(n, key, needsClock)
	s.isPast(what, at, ok, n)
	return at, ok
}

// isPast notes a moment that was read of something that has happened.
func (r *reader) isPast(what string, at time.Time, ok bool, n *node) {
	if ok {
		r.past = append(r.past, Past{What: what, At: at, Line: n.line, Column: n.column})
	}
}

// momentOf reads a time: with an offset as it stands, else by the clock at the
// place, the later of two where the clock is put back. The answer is in UTC.
func (r *reader) momentOf(n *node, label string, rule dateRule) (time.Time, bool) {
	if n.shape != scalar {
		r.wrongShape(n, label, momentFix)
		return time.Time{}, false
	}
	m := momentForm.FindStringSubmatch(n.text)
	if m == nil {
		r.fail(n.pos, fmt.Sprintf("`%s` is not a time: %s", label, n.text), momentFix)
		return time.Time{}, false
	}
	d, ok := civil(m[1:4])
	if !ok {
		r.fail(n.pos, fmt.Sprintf("`%s` is no day of the calendar: %s", label, n.text), "use a day from 2000 to 2100")
		return time.Time{}, false
	}
	if m[4] == "" {
		return r.dayAsMoment(n, label, d, rule)
	}
	h, min, sec := atoi(m[4]), atoi(m[5]), atoi(m[6])
	if h > 23 || min > 59 || sec > 59 {
		r.fail(n.pos, fmt.Sprintf("`%s` is no time of the clock: %s", label, n.text), "give hours to 23 and minutes to 59")
		return time.Time{}, false
	}
	wall := time.Date(d.Year, d.Month, d.Day, h, min, sec, 0, time.UTC)
	if m[7] != "" {
		return r.withOffset(n, label, wall, m[7])
	}
	return r.localMoment(n, label, wall)
}

func (r *reader) withOffset(n *node, label string, wall time.Time, offset string) (time.Time, bool) {
	if offset == "Z" || offset == "z" {
		return wall, true
	}
	h, m := atoi(offset[1:3]), atoi(offset[len(offset)-2:])
	if h > 14 || m > 59 {
		r.fail(n.pos, fmt.Sprintf("`%s` has an offset that no place has: %s", label, offset), momentFix)
		return time.Time{}, false
	}
	d := time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
	if offset[0] == '-' {
		d = -d
	}
	return wall.Add(-d), true
}

func (r *reader) dayAsMoment(n *node, label string, d Date, rule dateRule) (time.Time, bool) {
	if rule == needsClock {
		r.fail(n.pos, fmt.Sprintf("`%s` has a day but no hour: %s", label, n.text), momentFix)
		return time.Time{}, false
	}
	if rule == dayEnds {
		d = d.Next()
	}
	return d.Begins(r.zone()), true
}

// zone is the place's own, or UTC in its stead while it is not known, which is
// remembered.
func (r *reader) zone() *time.Location {
	if r.loc == nil {
		r.needLoc = true
		return time.UTC
	}
	return r.loc
}

func (r *reader) localMoment(n *node, label string, wall time.Time) (time.Time, bool) {
	t, ok := OnClock(wall, r.zone())
	if !ok {
		r.fail(n.pos, fmt.Sprintf("`%s` does not exist: the clock in %s skips %s", label, r.loc, n.text),
			"give a time before or after the change to summer time")
		return time.Time{}, false
	}
	return t, true
}

// onClock finds the moments, in UTC and in their order, at which the clock of
// a zone shows the fields of wall (itself in UTC): one as a rule, none in the
// gap of spring, two in the hour that autumn repeats.
func onClock(wall time.Time, loc *time.Location) []time.Time {
	var found []time.Time
	for h := 26; h >= -26; h -= 4 {
		_, offset := wall.Add(time.Duration(-h) * time.Hour).In(loc).Zone()
		t := wall.Add(-time.Duration(offset) * time.Second)
		if shows(t.In(loc), wall) && (len(found) == 0 || t.After(found[len(found)-1])) {
			found = append(found, t)
		}
	}
	return found
}

// OnClock is the moment, in UTC, at which the clock of a zone shows the fields of wall
// (itself in UTC), the later of two where the clock is put back; ok is false where it
// skips them.
func OnClock(wall time.Time, loc *time.Location) (t time.Time, ok bool) {
	moments := onClock(wall, loc)
	if len(moments) == 0 {
		return time.Time{}, false
	}
	return moments[len(moments)-1], true
}

func shows(t, wall time.Time) bool {
	return DateOf(t) == DateOf(wall) && t.Hour() == wall.Hour() && t.Minute() == wall.Minute() && t.Second() == wall.Second()
}

// Begins is the first moment of the day in a zone, in UTC: midnight, or the
// first moment after it where the clock skips midnight, or the first of two
// midnights.
func (d Date) Begins(loc *time.Location) time.Time {
	wall := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
	for i := range 24 * 4 {
		if m := onClock(wall.Add(time.Duration(i)*15*time.Minute), loc); len(m) > 0 {
			return m[0]
		}
	}
	return wall // a day that the zone skipped as a whole
}

// Next is the day after.
func (d Date) Next() Date {
	return DateOf(time.Date(d.Year, d.Month, d.Day+1, 0, 0, 0, 0, time.UTC))
}

// IsZero reports whether the day was not said.
func (d Date) IsZero() bool { return d == Date{} }

// Before reports whether d comes before e.
func (d Date) Before(e Date) bool {
	if d.Year != e.Year {
		return d.Year < e.Year
	}
	if d.Month != e.Month {
		return d.Month < e.Month
	}
	return d.Day < e.Day
}

// String is the day as the job file writes it, 2026-09-10.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day) }

// ParseDate reads a day written like 2026-09-10, from 2000 to 2100.
func ParseDate(text string) (Date, error) {
	if m := dateForm.FindStringSubmatch(text); m != nil {
		if d, ok := civil(m[1:]); ok {
			return d, nil
		}
	}
	return Date{}, fmt.Errorf("no day of the calendar: %q: write it like 2026-09-10", text)
}

func civil(parts []string) (Date, bool) {
	d := Date{atoi(parts[0]), time.Month(atoi(parts[1])), atoi(parts[2])}
	real := DateOf(time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC))
	return d, d == real && d.Year >= 2000 && d.Year <= 2100
}

// atoi reads digits that a pattern has let through; "" is 0.
func atoi(s string) int {
	n, _ := strconv.Atoi(s)
	return n
}

// date reads a day under a key.
func (s *section) date(key string) (Date, bool) {
	n := s.take(key)
	if n == nil {
		return Date{}, false
	}
	return s.dateOf(n, key)
}

func (r *reader) dateOf(n *node, label string) (Date, bool) {
	if n.shape != scalar {
		r.wrongShape(n, label, "write a day like 2026-09-10")
		return Date{}, false
	}
	d, err := ParseDate(n.text)
	if err != nil {
		r.fail(n.pos, fmt.Sprintf("`%s` is no day of the calendar: %s", label, n.text), "write it like 2026-09-10")
		return Date{}, false
	}
	return d, true
}
