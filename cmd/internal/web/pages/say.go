package pages

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/text"
)

// voice is how a page speaks: in which units.
type voice struct{ units text.Options }

// nbsp keeps a number and its unit together.
const nbsp = "\u00a0"

// dash stands between two numbers. Behind a bare dash a browser breaks the line; the joiner
// behind it is not seen.
const dash = "–\u2060"

// tied keeps the words of s on one line.
func tied(s string) string { return strings.ReplaceAll(s, " ", nbsp) }

// unbroken keeps two numbers with a bare dash between them on one line, as the tables of
// pictures have them.
func unbroken(s string) string { return dashed.ReplaceAllString(s, "$1"+dash+"$2") }

var dashed = regexp.MustCompile(`(\d)–(\d)`)

// shy is where a long word may be parted, with a hyphen, if it has no room.
const shy = "\u00ad"

// hyphened parts the one word of the presets' zones that is too long for a tile of the boat:
// a browser without a dictionary would break it anywhere.
func hyphened(name string) string {
	return strings.ReplaceAll(name, "superstructure", "super"+shy+"structure")
}

// together keeps numbers and their units on one line.
func together(s string) string { return quantities.ReplaceAllString(s, "$1"+nbsp+"$2") }

var quantities = regexp.MustCompile(`(\d) (°[CF]|K|m/s|mph|kn|mm|m²|sq ft|W/m²|g/m²|h|min|%)`)

// prose puts the quantities of a sentence written in SI into the units of the
// page. Package text words a limit that it does not know by its own sentence, so
// the conversion is the screen's own and the two cannot differ.
func (v voice) prose(s string) string {
	if strings.TrimSpace(s) == "" {
		return ""
	}
	return text.Because(answer.Binding{Limit: "sentence", Text: s}, v.units)
}

// sentence is prose with a capital letter and a full stop.
func (v voice) sentence(s string) string { return stopped(answer.Capital(v.prose(s))) }

// whyNot says why days are refused, like days once and all of the step's zones as such, as the
// screen does.
func (v voice) whyNot(list, zones []string) []string {
	out := text.WhyNot(list, v.units)
	for i := range out {
		out[i] = stopped(answer.Capital(text.Shorten(out[i], zones)))
	}
	return out
}

// panel says how warm some panels are and how far over the dew point, as the screen does.
func (v voice) panel(ws []answer.Window) string {
	return answer.Capital(ranges.ReplaceAllString(text.Panel(ws, v.units), "$1"+dash+"$2"))
}

var ranges = regexp.MustCompile(`(\d)-(\d)`)

// because says what decides a state, as the screen does.
func (v voice) because(b answer.Binding) string { return text.Because(b, v.units) }

// quantity writes one number with its SI unit in the units of the page.
func (v voice) quantity(x *float64, digits int, unit string) string {
	if !finite(x) {
		return "–"
	}
	return tied(v.prose(strconv.FormatFloat(*x, 'f', digits, 64) + " " + unit))
}

// bare is quantity without the unit, for a column whose head has it.
func (v voice) bare(x *float64, digits int, unit string) string {
	s, _, _ := strings.Cut(v.quantity(x, digits, unit), nbsp)
	return s
}

// unit is the page's own for an SI unit.
func (v voice) unit(si string) string {
	_, u, _ := strings.Cut(v.prose("1 "+si), " ")
	return u
}

// Temperatures read best without decimals in °F and on a summary.
func (v voice) temperature(x *float64) string { return v.quantity(x, 1, "°C") }

// spread is how far a panel is over its dew point, or under it.
func (v voice) spread(x *float64) string {
	switch {
	case !finite(x):
		return "–"
	case *x < 0:
		up := math.Ceil(-*x*10-1e-9) / 10
		return v.prose(strconv.FormatFloat(up, 'f', 1, 64) + " K below dew point")
	}
	down := math.Floor(*x*10+1e-9) / 10
	return v.prose(strconv.FormatFloat(down, 'f', 1, 64) + " K over dew point")
}

// extent is a least and a most in whole units: "12–26 °C".
func (v voice) extent(x *[2]float64, unit string) string {
	if x == nil || !finite(&x[0]) || !finite(&x[1]) {
		return ""
	}
	lo, hi := math.Floor(x[0]), math.Ceil(x[1])
	if lo == hi {
		return v.quantity(&lo, 0, unit)
	}
	return tied(v.bare(&lo, 0, unit) + " to " + v.quantity(&hi, 0, unit))
}

func finite(x *float64) bool { return x != nil && !math.IsNaN(*x) && !math.IsInf(*x, 0) }

// stopped ends a sentence that has no end of its own.
func stopped(s string) string {
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// Days and hours, by the clock at the place: the times of answers have its offset.

func day(t time.Time) string     { return tied(t.Format("Mon 2 Jan")) }
func longDay(t time.Time) string { return t.Format("Monday 2 January") }
func clock(t time.Time) string   { return t.Format("15:04") }
func isoDay(t time.Time) string  { return t.Format(time.DateOnly) }
func isoTime(t time.Time) string { return t.Format(time.RFC3339) }
func same(a, b time.Time) bool   { return isoDay(a) == isoDay(b) }

// hours is a half-open stretch, "08:20–11:40"; a later end names its day.
func hours(from, to time.Time) string {
	switch {
	case same(from, to):
		return clock(from) + dash + clock(to)
	case to.Equal(answer.NextMidnight(from)):
		return clock(from) + dash + "24:00"
	}
	return clock(from) + dash + when(from, to)
}

// when is a moment as seen from another: the time alone on the same day.
func when(from, t time.Time) string {
	if same(from, t) {
		return clock(t)
	}
	return day(t) + nbsp + clock(t)
}

// lasting is hours in words: "40 min", "4 h", "2 h 40".
func lasting(h float64) string {
	m := int(math.Ceil(h*60 - 1e-6))
	switch {
	case m < 60:
		return strconv.Itoa(max(m, 0)) + nbsp + "min"
	case m%60 == 0:
		return strconv.Itoa(m/60) + nbsp + "h"
	}
	return strconv.Itoa(m/60) + nbsp + "h" + nbsp + strconv.Itoa(m%60/10) + strconv.Itoa(m%10)
}

// age of a forecast in words, rounded up.
func age(seconds *int64) string { return tied(answer.AgeWords(seconds)) }

// sure says in how many of the forecasts something holds, rounded down; "" where
// there is one forecast and no futures of it.
func sure(confidence float64, s answer.Source) string {
	n, of := s.Members, " forecasts"
	if n <= 1 {
		n, of = s.Dressed, " futures"
	}
	if n < 1 || !(confidence >= 0 && confidence <= 1) {
		return ""
	}
	only := ""
	const halfStep = 0.0005 // answers round confidence to 0.001: 10 of 11 are 0.909
	held := min(n, int((confidence+halfStep)*float64(n)+1e-4))
	if confidence < 0.5 && held > 0 { // a plan asks for a yes before such work
		only = "only "
	}
	return tied(only + strconv.Itoa(held) + " of " + strconv.Itoa(n) + of)
}

// source says whose forecast it is, how old, and of how many.
func source(s answer.Source) string {
	parts := s.Name
	if s.Model != "" {
		parts += " " + s.Model
	}
	parts += ", " + age(s.AgeS)
	if s.Stale {
		parts += ", stale"
	}
	switch {
	case s.Members > 1:
		parts += ", " + strconv.Itoa(s.Members) + nbsp + "forecasts"
	case s.Dressed > 0:
		parts += ", one forecast varied into " + strconv.Itoa(s.Dressed) + nbsp + "futures"
	default:
		parts += ", one forecast"
	}
	return parts
}
