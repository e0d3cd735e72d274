package text

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

// refusedDays is what stands against a stretch of days.
type refusedDays struct {
	first, last string // as the answer writes a day; the same for one day
	reason      string
	lo, hi      string // the least and the most of a value that differs between them
}

// WhyNot says why the days of an answer are refused, in the units of o: those that
// follow each other and have the same reason together.
func WhyNot(list []string, o Options) []string {
	out := o.whyNot(list)
	for i := range out {
		out[i] = untie(out[i])
	}
	return out
}

// whyNot is WhyNot with its numbers and units still tied together.
func (o Options) whyNot(list []string) []string {
	var all []refusedDays
	for _, s := range list {
		s = o.prose(s)
		day, reason, ok := strings.Cut(s, ": ")
		x := refusedDays{first: day, last: day, reason: reason}
		if !ok || day == "" {
			x = refusedDays{reason: s} // a sentence without a day stands alone
		}
		if n := len(all); n == 0 || !all[n-1].join(x) {
			all = append(all, x)
		}
	}
	var out []string
	for _, x := range all {
		out = append(out, x.String())
	}
	return out
}

// valued is a reason with one value and its bound. Of a value that has figures in its
// own words, as "1 h 20 min", no least and most could be written.
var valued = regexp.MustCompile(`^(\D*?)(-?\d+(?:\.\d+)?)(\D*, (?:at most|needs|ideal from|ideal up to) .*)$`)

// join takes the next day in if it follows and has the same reason, whatever the value
// that passes the same bound on the same zones.
func (x *refusedDays) join(next refusedDays) bool {
	if !follows(x.last, next.first) {
		return false
	}
	if x.reason == next.reason {
		x.last = next.last
		return true
	}
	a, b := valued.FindStringSubmatch(x.reason), valued.FindStringSubmatch(next.reason)
	if a == nil || b == nil || a[1] != b[1] || a[3] != b[3] {
		return false
	}
	if x.lo == "" {
		x.lo, x.hi = a[2], a[2]
	}
	if figureOf(b[2]) < figureOf(x.lo) {
		x.lo = b[2]
	}
	if figureOf(b[2]) > figureOf(x.hi) {
		x.hi = b[2]
	}
	x.last = next.last
	return true
}

func figureOf(s string) float64 {
	f, _ := strconv.ParseFloat(s, 64) // figures alone get here
	return f
}

// answerDay is how the answer writes a day.
const answerDay = "Mon 2 Jan"

// follows reports whether a day comes right after another. Neither has its year: where
// 29 February may lie between them, the days of the week tell.
func follows(a, b string) bool {
	x, err1 := time.Parse(answerDay, a)
	y, err2 := time.Parse(answerDay, b)
	if err1 != nil || err2 != nil || weekday(b) != weekday(a)%7+1 {
		return false
	}
	if y.Before(x) {
		y = y.AddDate(1, 0, 0)
	}
	days := y.Sub(x).Hours() / 24
	return days == 1 || days == 2 && x.Month() == time.February && x.Day() == 28
}

// weekday counts from 1: a date without its year has another one than is written.
func weekday(day string) int {
	return 1 + strings.Index("MonTueWedThuFriSatSun", day[:3])/3
}

// String is the sentence: "Mon 11 to Thu 14 May: panel 45 to 45.1 °C, at most 32".
func (x refusedDays) String() string {
	reason := x.reason
	if x.lo != x.hi {
		m := valued.FindStringSubmatch(reason)
		reason = m[1] + tie(x.lo+" to "+x.hi) + m[3]
	}
	switch {
	case x.first == "":
		return reason
	case x.first == x.last:
		return x.first + ": " + reason
	}
	first := x.first
	if month := first[len(first)-len(" Jan"):]; strings.HasSuffix(x.last, month) {
		first = strings.TrimSuffix(first, month)
	}
	return tie(first) + " to " + tie(x.last) + ": " + reason
}
