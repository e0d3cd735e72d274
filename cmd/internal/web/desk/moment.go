package desk

import (
	"time"

	"dewgap/cmd/internal/app"
)

// Moment reads a moment by the clock at the place: 15:04 today, 2006-01-02T15:04, or
// RFC 3339; "" is now.
func Moment(text string) app.Moment {
	return func(now time.Time, loc *time.Location) (time.Time, error) { return app.ReadMoment(text, now, loc) }
}
