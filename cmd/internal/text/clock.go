package text

import (
	"fmt"
	"math"
	"time"

	"dewgap/cmd/internal/answer"
)

// day is a local day in words: "Thu 10 Sep".
func day(t time.Time) string { return t.Format("Mon" + nbsp + "2" + nbsp + "Jan") }

// clock is a time of day, the seconds left out: the strict side for the latest
// time at which something may be done.
func clock(t time.Time) string { return t.Format("15:04") }

// date tells local days apart and puts them in order. It goes by the calendar:
// two moments of a day on which the clocks change have different offsets.
func date(t time.Time) string { return t.Format(time.DateOnly) }

func sameDay(a, b time.Time) bool {
	aYear, aMonth, aDay := a.Date()
	bYear, bMonth, bDay := b.Date()
	return aDay == bDay && aMonth == bMonth && aYear == bYear
}

// hours is a half-open stretch on one day, "08:20-11:40"; one that ends with the
// day ends at 24:00. A later end names its day.
func hours(from, to time.Time) string {
	switch {
	case sameDay(from, to):
		return clock(from) + "-" + clock(to)
	case to.Equal(answer.NextMidnight(from)), sameDay(to, answer.NextMidnight(from)) && clock(to) == "00:00":
		return clock(from) + "-24:00"
	}
	return clock(from) + "-" + when(from, to)
}

// when is a moment as seen from another: the time alone on the same day, else
// with its day.
func when(from, t time.Time) string {
	if sameDay(from, t) {
		return clock(t)
	}
	return day(t) + nbsp + clock(t)
}

// duration is hours in words: "40 min", "4 h", "2 h 40". It is rounded to whole
// minutes on the side s.
func duration(h float64, s side) string {
	m := round(h*60, 0, s)
	if m < 0 {
		m = 0
	}
	whole, rest := math.Floor(m/60), math.Mod(m, 60)
	switch {
	case whole == 0:
		return fmt.Sprintf("%.0f%smin", rest, nbsp)
	case rest == 0:
		return fmt.Sprintf("%.0f%sh", whole, nbsp)
	}
	return fmt.Sprintf("%.0f%sh%s%02.0f", whole, nbsp, nbsp, rest)
}

// ageAt is the age of a forecast with the moment of its making.
func ageAt(s answer.Source, now time.Time) string {
	if s.Issued == nil {
		return age(s.AgeS)
	}
	made := when(now, s.Issued.In(now.Location()))
	if answer.MadeAfter(*s.Issued, now) {
		return "made after the moment asked about (" + made + ")"
	}
	return age(s.AgeS) + " (" + made + ")"
}

// age of a forecast, rounded up; nil is an age that nobody knows.
func age(seconds *int64) string { return tie(answer.AgeWords(seconds)) }
