package answer

import (
	"slices"
	"time"

	"dewgap/window/verdict"
)

// AskedSteps are the steps that the morning's verdict hangs on; where it hangs on none,
// all, unless all are done.
func (m *Morning) AskedSteps() []MorningStep {
	var out []MorningStep
	for _, s := range m.Steps {
		if s.Asked {
			out = append(out, s)
		}
	}
	if len(out) == 0 && !m.Done {
		return m.Steps
	}
	return out
}

// LastStart is the earliest last start, or last section that can be wiped off, of the asked steps that pick chooses, and when
// all that end then may begin again today, each nil without one.
func (m *Morning) LastStart(pick func(MorningStep) bool) (last, again *time.Time) {
	for _, x := range m.AskedSteps() {
		until := x.Until()
		if !pick(x) || until == nil || last != nil && until.After(*last) {
			continue
		}
		next := x.AgainFrom()
		if last != nil && until.Equal(*last) {
			next = laterOf(next, again)
		}
		last, again = until, next
	}
	return last, again
}

// laterOf is the later of two times, nil where one of them is missing.
func laterOf(a, b *time.Time) *time.Time {
	if a == nil || b == nil {
		return nil
	}
	if b.After(*a) {
		return b
	}
	return a
}

// FirstRain is when rain first bears on the asked steps that pick chooses, nil where
// none does.
func (m *Morning) FirstRain(pick func(MorningStep) bool) *time.Time {
	var first *time.Time
	for _, x := range m.AskedSteps() {
		if rain := x.Rain(m.Now); pick(x) && rain != nil && (first == nil || rain.Before(*first)) {
			first = rain
		}
	}
	return first
}

// Able reports whether a step may simply begin now, without anybody's yes.
func (s MorningStep) Able() bool { return (s.State == "ideal" || s.State == Go) && !s.Lacks() }

// Lacks reports whether of the crew what a step takes is elsewhere in hours that the weather
// allows.
func (s MorningStep) Lacks() bool { return s.NoHands || s.NoPolisher }

// Begins says by what a step may begin now, in words; "" where nothing lets it.
func (m *Morning) Begins(s MorningStep) string {
	switch agreed := s.State == Marginal && m.agreed(s); {
	case agreed && s.Lacks(): // what it waits for is told beside it
		return "by the weather and the yes in the job it may begin now"
	case agreed:
		return "may begin by the yes in the job"
	case s.Able():
		return "may begin now"
	case s.State == "ideal" || s.State == Go:
		return "by the weather it may begin now"
	}
	return ""
}

// agreed reports whether the job's standing yes lets marginal work begin now.
func (m *Morning) agreed(s MorningStep) bool {
	return s.FirstState != "" && !s.NeedsConsent && s.First != nil && !s.First.After(m.Now)
}

// Soft reports whether a step may be begun today with a yes alone, now or later.
func (s MorningStep) Soft() bool { return s.Best == "marginal" || s.State == "marginal" }

// YesFrom is from when on the asked steps may be begun with a yes, nil where one of
// them may now: only then does what stands against it now say what the yes is for.
func (m *Morning) YesFrom() *time.Time {
	var first *time.Time
	for _, x := range m.AskedSteps() {
		if x.State == "marginal" {
			return nil
		}
		if x.Soft() && x.First != nil && (first == nil || x.First.Before(*first)) {
			first = x.First
		}
	}
	return first
}

// ForToday picks, of the zones of a step that read alike, those that are asked today; part
// is false where nobody has to be told, for every zone of the step that could be worked
// on is asked, or none is.
func (m *Morning) ForToday(step string, zones []string) (today []string, part bool) {
	asked, other := false, false
	for _, x := range m.Steps {
		if x.Step != step || x.Done {
			continue
		}
		asked, other = asked || x.Asked, other || !x.Asked && !x.Waits
		if x.Asked && slices.Contains(zones, x.Zone) {
			today = append(today, x.Zone)
		}
	}
	return today, asked && other && len(today) > 0
}

// Ends is Change, but "" where that only says again that rain wets the panel, which every
// screen tells beside the last start.
func (s MorningStep) Ends() string {
	if s.Last != nil && s.WetBy == "rain" && s.WetAt != nil && sameDate(*s.Last, *s.WetAt) && s.Change == plainWords[verdict.Film]+", from "+s.WetAt.Format(hourMinute) {
		return ""
	}
	return s.Change
}

// RainWords says from when rain bears on the work, by a screen's words for a moment: "rain
// from 13:00", or "rain now".
func RainWords(now, at time.Time, when func(now, at time.Time) string) string {
	if !at.After(now) {
		return "rain now"
	}
	return "rain from " + when(now, at)
}
