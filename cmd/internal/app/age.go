package app

import (
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/window/job"
	"dewgap/window/surface"
)

// The usual ages above which a forecast is no longer believed: today's hours change
// with every run of a model, those of the days after more slowly (common
// practice, no source).
const (
	oldForToday = 12 * time.Hour
	oldForAll   = 36 * time.Hour
	// nearStart is how far after its first hour a forecast without a date of its
	// own is still taken for today's.
	nearStart = 24 * time.Hour
)

// Age tells how far a forecast may be believed at now, whose day is cut by loc;
// where the limits of age are zero the usual ones hold.
// It counts from the time of issue, else from that of receipt. A forecast that
// says neither is believed only while now lies within 24 h of its first hour.
// The warnings are what is worth a word besides.
func Age(f *forecast.Forecast, now time.Time, loc *time.Location, limits settings.Age) (answer.Trust, []string) {
	made := f.Issued
	if made.IsZero() {
		made = f.Fetched
	}
	var warnings []string
	switch {
	case now.Before(f.Start):
		warnings = append(warnings, "the forecast begins after now, "+f.Start.In(loc).Format(stamp)+": what comes before is unknown")
	case !now.Before(f.End()):
		warnings = append(warnings, "the forecast ended before now, "+f.End().In(loc).Format(stamp)+": everything is unknown")
	}
	if made.IsZero() {
		return undated(f, now, loc, warnings)
	}
	if answer.MadeAfter(made, now) {
		warnings = append(warnings, "the forecast was made after now, "+made.In(loc).Format(stamp))
	}
	return aged(max(0, now.Sub(made)), now, loc, limits), warnings
}

// stamp is how a moment is written in words.
const stamp = "Mon 2 Jan 15:04"

// tellFetched is how a person gives a saved reply the date that it lacks.
const tellFetched = "; give --fetched to say when it was fetched"

func undated(f *forecast.Forecast, now time.Time, loc *time.Location, warnings []string) (answer.Trust, []string) {
	if !now.Before(f.Start) && now.Before(f.Start.Add(nearStart)) {
		return answer.Trust{}, append(warnings, "the forecast does not say when it was made: its age is not known"+tellFetched)
	}
	return answer.Trust{
		Stale: true, From: now.Truncate(surface.Slot),
		Why: "the forecast does not say when it was made, and now does not lie within 24 h of its first hour, " +
			f.Start.In(loc).Format(stamp) + ": nothing is judged by it" + tellFetched,
	}, warnings
}

func aged(age time.Duration, now time.Time, loc *time.Location, limits settings.Age) answer.Trust {
	today, later := oldForToday, oldForAll
	if limits.Today > 0 {
		today = limits.Today
	}
	if limits.Later > 0 {
		later = limits.Later
	}
	t := answer.Trust{Age: age, AgeKnown: true}
	switch {
	case age > later:
		t.Stale, t.From = true, now.Truncate(surface.Slot)
		t.Why = "the forecast is " + fetch.Age(age) + " old, more than " + fetch.Exact(later) + ": nothing is judged by it"
	case age > today:
		t.Stale, t.From = true, now.Truncate(surface.Slot)
		t.Until = job.DateOf(now.In(loc)).Next().Begins(loc)
		t.Why = "the forecast is " + fetch.Age(age) + " old, more than " + fetch.Exact(today) + ": today is not judged by it"
	}
	return t
}
