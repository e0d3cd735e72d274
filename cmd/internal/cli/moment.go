package cli

import (
	"errors"
	"fmt"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/window/job"
)

// fullMoment reads a moment with its offset, RFC 3339.
func fullMoment(flag, text string) (time.Time, error) {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return t, &usageError{fmt.Sprintf("--%s %q is no moment", flag, text),
			"write it with its offset, such as 2026-09-10T06:00:00-04:00 or 2026-09-10T10:00:00Z"}
	}
	if y := t.UTC().Year(); y < app.FirstYear || y > app.LastYear {
		return t, &usageError{fmt.Sprintf("--%s %q is out of range", flag, text),
			fmt.Sprintf("give a moment of the years %d to %d", app.FirstYear, app.LastYear)}
	}
	return t, nil
}

// momentAt reads a moment by the clock at the place: 09:00 today,
// 2026-09-10T09:00, or with an offset; "" is now.
func momentAt(flag, text string, now time.Time, loc *time.Location) (time.Time, error) {
	t, err := app.ReadMoment(text, now, loc)
	if p, ok := errors.AsType[*app.Problem](err); ok {
		return now, &usageError{"--" + flag + " " + p.Text, p.Fix}
	}
	return t, err
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
