package draw

import (
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/sky"
)

// location is the place's. An answer that was read back from JSON has offsets
// only; where its zone is not known on this computer they have to do.
func location(w *answer.Week) *time.Location {
	name := w.Place.Timezone
	if name != "" && name != "Local" {
		if loc, err := time.LoadLocation(name); err == nil {
			return loc
		}
	}
	return w.From.Location()
}

// span is a stretch of time, half-open.
type span struct{ from, to time.Time }

func (s span) holds(t time.Time) bool { return !t.Before(s.from) && t.Before(s.to) }

// within is the part of s inside another; ok is false where there is none.
func (s span) within(o span) (part span, ok bool) {
	if s.from.Before(o.from) {
		s.from = o.from
	}
	if s.to.After(o.to) {
		s.to = o.to
	}
	return s, s.to.After(s.from)
}

// mostDays bounds what one strip shows: the answer's own horizon, and a day.
const mostDays = 17

// days are the civil days that [from, to) touches; each has the hours that it
// has, 23 to 25.
func days(from, to time.Time) []span {
	var out []span
	for t := answer.Midnight(from); t.Before(to) && len(out) < mostDays; t = answer.NextMidnight(t) {
		out = append(out, span{t, answer.NextMidnight(t)})
	}
	return out
}

// axis puts time along x: elapsed time, so that a day of 25 hours is as much
// wider as it is longer.
type axis struct {
	span
	left, right float64
}

func (a axis) x(t time.Time) float64 {
	whole := a.to.Sub(a.from)
	if whole <= 0 {
		return a.left
	}
	share := float64(t.Sub(a.from)) / float64(whole)
	return a.left + min(max(share, 0), 1)*(a.right-a.left)
}

// nights are the stretches of s in which the sun is down (upper limb, standard
// refraction), to the minute.
func nights(p answer.Place, s span) []span {
	down := func(t time.Time) bool { return sky.Sun(t, p.Latitude, p.Longitude, 0, 0).Geometric < sky.Horizon }
	const coarse = 10 * time.Minute
	var out []span
	was := down(s.from)
	begin := s.from
	for t := s.from; t.Before(s.to); t = t.Add(coarse) {
		next := t.Add(coarse)
		is := down(next)
		if is == was {
			continue
		}
		edge := t
		for edge.Before(next) && down(edge) == was {
			edge = edge.Add(time.Minute)
		}
		if was {
			out = append(out, span{begin, edge})
		}
		begin, was = edge, is
	}
	if was {
		out = append(out, span{begin, s.to})
	}
	return out
}

// middles are the middles of hours: where a mean over the hour stands.
func middle(t time.Time) time.Time { return t.Add(30 * time.Minute) }

// Layouts of times, English as all of dewgap's words.
const (
	dayWords  = "Mon 2 Jan"
	dayShort  = "Mon 2"
	hourWords = "15:04"
	bothWords = "Mon 2 Jan 15:04"
)
