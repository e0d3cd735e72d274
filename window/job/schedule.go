package job

import (
	"fmt"
	"regexp"
	"strings"
	"time"
)

const (
	scheduleFix = `write it like "07:00-18:00", "07:00-12:00, 13:00-18:00" or none`
	dayFix      = "use default, mon to sun, or a date like 2026-09-10"
)

var clockSpanForm = regexp.MustCompile(`^(\d{1,2}):(\d{2})\s*[-–]\s*(\d{1,2}):(\d{2})$`)

// schedule reads hours: a string for every day, or a mapping by day.
func (s *section) schedule(key string) Schedule {
	n := s.take(key)
	if n == nil {
		return Schedule{}
	}
	if n.shape != mapping {
		spans, ok := s.clockSpans(n, key)
		return Schedule{Set: ok, Default: spans}
	}
	out := Schedule{Set: true, Weekday: map[time.Weekday][]ClockSpan{}, Dates: map[Date][]ClockSpan{}}
	if n.get("default") == nil { // the days that nobody named stay open
		out.Default = []ClockSpan{{0, 24 * 60}}
		s.warn(n.pos, fmt.Sprintf("`%s` has no default: the days that it does not name are open all day", key))
	}
	s.eachDay(n, key, func(k dayKey, v *node) {
		spans, ok := s.clockSpans(v, key)
		switch {
		case !ok:
		case k.isDate:
			out.Dates[k.date] = spans
		case k.isDefault:
			out.Default = spans
		default:
			out.Weekday[k.weekday] = spans
		}
	})
	return out
}

// dayKey is a key of a mapping by day.
type dayKey struct {
	isDefault, isDate bool
	weekday           time.Weekday
	date              Date
}

// eachDay calls fn for every day of a mapping by day and reports the keys that
// are no days.
func (r *reader) eachDay(n *node, label string, fn func(dayKey, *node)) {
	for _, p := range n.pairs {
		k, ok := parseDayKey(p.key)
		switch {
		case !ok:
			r.fail(p.pos, fmt.Sprintf("`%s` is no day of `%s`", p.key, label), dayFix)
		case p.val.shape == nothing:
			r.fail(p.pos, fmt.Sprintf("`%s` has no value", p.key), "fill it in or delete the line")
		case p.val.shape != broken:
			fn(k, p.val)
		}
	}
}

func parseDayKey(key string) (dayKey, bool) {
	if key == "default" {
		return dayKey{isDefault: true}, true
	}
	if w, ok := parseWeekday(key); ok {
		return dayKey{weekday: w}, true
	}
	d, err := ParseDate(key)
	return dayKey{isDate: true, date: d}, err == nil
}

// parseWeekday reads mon or Monday.
func parseWeekday(text string) (time.Weekday, bool) {
	text = strings.ToLower(text)
	for w := time.Sunday; w <= time.Saturday; w++ {
		name := strings.ToLower(w.String())
		if text == name || text == name[:3] {
			return w, true
		}
	}
	return 0, false
}

// clockSpans reads "07:00-12:00, 13:00-18:00", a list of such, or none, which
// is no span at all.
func (r *reader) clockSpans(n *node, label string) (spans []ClockSpan, ok bool) {
	switch {
	case n.shape == list:
		for _, item := range n.items {
			more, good := r.clockSpans(item, label)
			if !good {
				return nil, false
			}
			spans = append(spans, more...)
		}
		return spans, true
	case n.shape != scalar:
		r.wrongShape(n, label, scheduleFix)
		return nil, false
	case n.text == "none":
		return nil, true
	}
	for _, part := range strings.Split(n.text, ",") {
		c, why := parseClockSpan(strings.TrimSpace(part))
		if why != "" {
			r.fail(n.pos, fmt.Sprintf("`%s` %s: %s", label, why, n.text), scheduleFix)
			return nil, false
		}
		spans = append(spans, c)
	}
	return spans, true
}

func parseClockSpan(text string) (c ClockSpan, why string) {
	m := clockSpanForm.FindStringSubmatch(text)
	if m == nil {
		return c, "is no stretch of the clock"
	}
	from, ok1 := minutes(m[1], m[2])
	to, ok2 := minutes(m[3], m[4])
	switch {
	case !ok1 || !ok2:
		return c, "has a time that is on no clock"
	case to <= from:
		return c, "ends before it begins (past midnight needs two: 22:00-24:00, 00:00-02:00)"
	}
	return ClockSpan{from, to}, ""
}

func minutes(h, m string) (Minutes, bool) {
	v := atoi(h)*60 + atoi(m)
	return Minutes(v), atoi(m) < 60 && v <= 24*60
}

// quiet closes a schedule on the days of a list: dates or weekdays on which
// the marina allows no machine.
func (s *section) quiet(key string, sched Schedule) Schedule {
	for _, n := range s.each(key) {
		k, ok := parseDayKey(n.text)
		if n.shape != scalar || !ok || k.isDefault {
			s.fail(n.pos, fmt.Sprintf("`%s` is no day: %s", key, n.text), "use mon to sun, or a date like 2026-09-10")
			continue
		}
		sched = sched.closedOn(k)
	}
	return sched
}

func (s Schedule) closedOn(k dayKey) Schedule {
	if !s.Set {
		s = Schedule{Set: true, Default: []ClockSpan{{0, 24 * 60}}}
	}
	if s.Weekday == nil {
		s.Weekday, s.Dates = map[time.Weekday][]ClockSpan{}, map[Date][]ClockSpan{}
	}
	if k.isDate {
		s.Dates[k.date] = nil
	} else {
		s.Weekday[k.weekday] = nil
	}
	return s
}
