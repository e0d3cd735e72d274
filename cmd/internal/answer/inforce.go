package answer

import (
	"strings"
	"time"

	"dewgap/forecast"
)

// KindInForce is the kind of a caution that passes an authority's warning on.
const KindInForce = "warning in force"

// Deferral ends every caution, as those of package crew.
const Deferral = " A reminder, not a clearance: local rules and licensed practice decide."

// inForce passes on what the authorities warn of in slots [from, to), and what
// is in force now. It judges nothing and blocks nothing.
func (b *builder) inForce(from, to int) []Caution {
	out := []Caution{}
	first, end := b.Now, b.Now.Add(time.Second)
	if to > from {
		first, end = Earlier(b.Now, b.at(from)), Later(end, b.at(to))
	}
	for _, a := range b.Forecast.Alerts {
		if !a.Covers(first, end) || (!a.Until.IsZero() && !a.Until.After(b.Now)) {
			continue
		}
		out = append(out, Caution{
			Kind: KindInForce, Level: levelOf(a.Severity), From: b.edge(a.From), To: b.edge(a.Until),
			Text: b.words(a) + Deferral, Source: a.Sender + ", passed on by " + a.Source,
		})
	}
	return out
}

// levelOf is the level of a caution by the authority's own grade. What is not
// graded is no trifle.
func levelOf(s forecast.Severity) string {
	switch s {
	case forecast.Extreme:
		return "danger"
	case forecast.Severe:
		return "warning"
	case forecast.Minor:
		return "note"
	}
	return "caution"
}

// words say what, when by the clock at the place, and by whom, and then what the
// authority says itself.
func (b *builder) words(a forecast.Alert) string {
	s := a.Event + " in force"
	if a.From.After(b.Now) {
		s = a.Event + " from " + a.From.In(b.loc).Format(moments)
	}
	if !a.Until.IsZero() {
		s += " until " + a.Until.In(b.loc).Format(moments)
	}
	s += ", by " + a.Sender
	if a.Headline != "" && a.Headline != a.Event {
		s += `: "` + strings.TrimSuffix(a.Headline, ".") + `"`
	}
	return s + "."
}

// moments is how a moment of a warning is written.
const moments = "Mon 2 Jan 15:04"

// edge is a bound that may not be said.
func (b *builder) edge(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	at := b.moment(t)
	return &at
}

// Earlier is the first of two moments.
func Earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// Later is the last of two moments.
func Later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
