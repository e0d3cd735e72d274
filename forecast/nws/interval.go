package nws

import (
	"strings"
	"time"
)

// Bounds of what an interval may be; a damaged one cannot ask for endless
// memory. The service gives some eight days.
const (
	longestInterval = 366 * 24 * time.Hour
	earliest        = -2208988800 // 1900, seconds since 1970
	latest          = 7258118400  // 2200
)

// parseInterval reads a validTime such as "2026-09-10T06:00:00+00:00/P1DT3H"
// into seconds since 1970, half-open.
func parseInterval(text string) (from, to int64, ok bool) {
	start, length, ok := strings.Cut(text, "/")
	if !ok {
		return 0, 0, false
	}
	t, err := time.Parse(time.RFC3339, start)
	if err != nil || t.Unix() < earliest || t.Unix() > latest {
		return 0, 0, false
	}
	d, ok := parseDuration(length)
	if !ok || d <= 0 || d > longestInterval {
		return 0, 0, false
	}
	return t.Unix(), t.Unix() + int64(d/time.Second), true
}

// parseDuration reads an ISO 8601 duration of weeks, days, hours, minutes and
// seconds, each a whole number and at most once, in this order. Years and
// months have no fixed length and are refused.
func parseDuration(text string) (d time.Duration, ok bool) {
	date, clock, timed := strings.Cut(text, "T")
	date, ok = strings.CutPrefix(date, "P")
	if !ok || timed && clock == "" || date == "" && clock == "" {
		return 0, false
	}
	days, ok := sumOf(date, "WD", []time.Duration{7 * 24 * time.Hour, 24 * time.Hour})
	if !ok {
		return 0, false
	}
	hours, ok := sumOf(clock, "HMS", []time.Duration{time.Hour, time.Minute, time.Second})
	return days + hours, ok
}

// sumOf adds number–letter pairs whose letters come in the order of letters.
func sumOf(text, letters string, worth []time.Duration) (sum time.Duration, ok bool) {
	for text != "" {
		n, digits := 0, 0
		for digits < len(text) && text[digits] >= '0' && text[digits] <= '9' {
			if digits == 6 {
				return 0, false
			}
			n = n*10 + int(text[digits]-'0')
			digits++
		}
		if digits == 0 || digits == len(text) {
			return 0, false
		}
		i := strings.IndexByte(letters, text[digits])
		if i < 0 {
			return 0, false
		}
		sum += time.Duration(n) * worth[i]
		letters, worth, text = letters[i+1:], worth[i+1:], text[digits+1:]
	}
	return sum, true
}
