package cli

import (
	"fmt"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/window/job"
)

// The years of a moment that can be answered for: those of which the readers take
// forecasts.
const (
	firstYear = 1900
	lastYear  = 2199
)

// fullMoment reads a moment with its offset, RFC 3339.
func fullMoment(flag, text string) (time.Time, error) {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return t, &usageError{fmt.Sprintf("--%s %q is no moment", flag, text),
			"write it with its offset, such as 2026-09-10T06:00:00-04:00 or 2026-09-10T10:00:00Z"}
	}
	if y := t.UTC().Year(); y < firstYear || y > lastYear {
		return t, &usageError{fmt.Sprintf("--%s %q is out of range", flag, text),
			fmt.Sprintf("give a moment of the years %d to %d", firstYear, lastYear)}
	}
	return t, nil
}

// momentAt reads a moment by the clock at the place: 09:00 today,
// 2026-09-10T09:00, or with an offset; "" is now.
func momentAt(flag, text string, now time.Time, loc *time.Location) (time.Time, error) {
	if text == "" {
		return now, nil
	}
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t, nil
	}
	for _, layout := range []string{"2006-01-02T15:04Z07:00", "2006-01-02T15:04"} {
		if t, err := time.ParseInLocation(layout, text, loc); err == nil {
			return t, nil
		}
	}
	if t, err := time.Parse("15:04", text); err == nil {
		d := now.In(loc)
		return time.Date(d.Year(), d.Month(), d.Day(), t.Hour(), t.Minute(), 0, 0, loc), nil
	}
	return now, &usageError{fmt.Sprintf("--%s %q is no moment", flag, text),
		"write 09:00, 2026-09-10T09:00, or with an offset 2026-09-10T09:00-04:00"}
}

// momentOf is momentAt for the use cases.
func momentOf(flag, text string) app.Moment {
	return func(now time.Time, loc *time.Location) (time.Time, error) { return momentAt(flag, text, now, loc) }
}

// zoned refuses a job of which nobody knows the time zone, where a moment by the
// clock at the place needs it.
func zoned(read func(string) (*job.Job, error), moments ...string) func(string) (*job.Job, error) {
	return func(timezone string) (*job.Job, error) {
		j, err := read(timezone)
		if err != nil || j.Place.Location != nil {
			return j, err
		}
		for _, m := range moments {
			_, full := time.Parse(time.RFC3339, m)
			if _, short := time.Parse("2006-01-02T15:04Z07:00", m); m != "" && full != nil && short != nil {
				return nil, &usageError{"the job names no time zone, so that " + m + " is no moment",
					"write timezone under place in the job, give --timezone America/New_York, or add the offset"}
			}
		}
		return j, nil
	}
}
