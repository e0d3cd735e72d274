package desk

import (
	"fmt"
	"time"

	"dewgap/cmd/internal/app"
)

// Moment reads a moment by the clock at the place: 15:04 today, 2006-01-02T15:04, or
// RFC 3339; "" is now.
func Moment(text string) app.Moment {
	return func(now time.Time, loc *time.Location) (time.Time, error) {
		if text == "" {
			return now, nil
		}
		for _, layout := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
			if t, err := time.Parse(layout, text); err == nil {
				return plausible(text, t)
			}
		}
		for _, layout := range []string{"2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02T15:04:05"} {
			if t, err := time.ParseInLocation(layout, text, loc); err == nil {
				return plausible(text, t)
			}
		}
		if t, err := time.Parse("15:04", text); err == nil {
			d := now.In(loc)
			return time.Date(d.Year(), d.Month(), d.Day(), t.Hour(), t.Minute(), 0, 0, loc), nil
		}
		return now, &app.Problem{Text: fmt.Sprintf("%q is no moment", text),
			Fix: "write 09:00, 2026-09-10T09:00, or with an offset 2026-09-10T09:00-04:00"}
	}
}

// plausible refuses years of which no forecast tells.
func plausible(text string, t time.Time) (time.Time, error) {
	if y := t.UTC().Year(); y < 1900 || y > 2199 {
		return t, &app.Problem{Text: fmt.Sprintf("%q is out of range", text), Fix: "give a moment of the years 1900 to 2199"}
	}
	return t, nil
}
