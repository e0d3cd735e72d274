package answer

import "time"

// Midnight begins the civil day of t on t's own clock. Where the clocks skip midnight
// (Chile and Cuba in spring) that is the first moment of the day, which [time.Date]
// does not promise: it may well give 23:00 of the day before, and who steps from day to
// day by it never gets on.
func Midnight(t time.Time) time.Time { return dayBegins(t.Year(), t.Month(), t.Day(), t.Location()) }

// NextMidnight ends the civil day of t, and begins the next.
func NextMidnight(t time.Time) time.Time {
	return dayBegins(t.Year(), t.Month(), t.Day()+1, t.Location())
}

func dayBegins(year int, month time.Month, day int, loc *time.Location) time.Time {
	t := time.Date(year, month, day, 0, 0, 0, 0, loc)
	want := time.Date(year, month, day, 12, 0, 0, 0, time.UTC).Day()
	if t.Day() == want {
		return t
	}
	if _, change := t.ZoneBounds(); !change.IsZero() { // the day begins where the clocks go forward
		return change
	}
	return t
}
