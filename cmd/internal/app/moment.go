package app

import (
	"fmt"
	"time"

	"dewgap/window/job"
)

// Moment is a moment as a person gave it, by the clock at the place.
type Moment func(now time.Time, loc *time.Location) (time.Time, error)

// The years of a moment that can be answered for: those of which the readers take
// forecasts.
const (
	FirstYear = 1900
	LastYear  = 2199
)

// momentFix is how a moment is written.
const momentFix = "write 09:00, 2026-09-10T09:00, or with an offset 2026-09-10T09:00-04:00"

// ReadMoment reads a moment by the clock at the place: 09:00 today, 2026-09-10T09:00,
// or with an offset; "" is now. Where the clock is put back it is the later of two, as
// in a job. The error is a [*Problem].
func ReadMoment(text string, now time.Time, loc *time.Location) (time.Time, error) {
	if text == "" {
		return now, nil
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
		if t, err := time.Parse(layout, text); err == nil {
			return plausible(text, t)
		}
	}
	for _, layout := range []string{"2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02T15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			return onClock(text, t, loc)
		}
	}
	if t, err := time.Parse("15:04", text); err == nil {
		d := now.In(loc)
		return onClock(text, time.Date(d.Year(), d.Month(), d.Day(), t.Hour(), t.Minute(), 0, 0, time.UTC), loc)
	}
	return now, &Problem{Text: fmt.Sprintf("%q is no moment", text), Fix: momentFix}
}

// onClock is when the place's clock shows wall.
func onClock(text string, wall time.Time, loc *time.Location) (time.Time, error) {
	if _, err := plausible(text, wall); err != nil {
		return wall, err
	}
	t, ok := job.OnClock(wall, loc)
	if !ok {
		return wall, &Problem{Text: fmt.Sprintf("%q does not exist: the clock in %s skips it", text, loc),
			Fix: "give a time before or after the change to summer time"}
	}
	return t.In(loc), nil
}

// plausible refuses years of which no forecast tells.
func plausible(text string, t time.Time) (time.Time, error) {
	if y := t.UTC().Year(); y < FirstYear || y > LastYear {
		return t, &Problem{Text: fmt.Sprintf("%q is out of range", text), Fix: fmt.Sprintf("give a moment of the years %d to %d", FirstYear, LastYear)}
	}
	return t, nil
}
