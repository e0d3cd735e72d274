package answer

import (
	"time"

	"dewgap/window"
	"dewgap/window/verdict"
)

// Against is what stands against a step, and when.
type Against struct {
	Binding Binding `json:"binding"`
	Spell   *Spell  `json:"spell"` // null where it is not one stretch
}

// againstToday is what takes most of a row's rest of the day, nil where nothing but closed
// hours does.
func (b *builder) againstToday(r *window.Row, today span) *Against {
	most := b.mostOf(r, today)
	if most.slots == 0 {
		return nil
	}
	out := &Against{Binding: b.binding(r, most.worst)}
	if !timeless[most.worst.Limit] {
		out.Spell = b.spell(r, most.worst.Limit, today)
	}
	return out
}

// timeless are reasons that no hour of a day changes, and the one that tells its own hours.
var timeless = map[verdict.Limit]bool{
	verdict.Block: true, verdict.Water: true, verdict.People: true, verdict.Order: true, verdict.Finish: true,
	verdict.Salt: true, verdict.Moisture: true,
}

// Stands is what stands against a step for most of a day on which it is no-go, else now;
// and when, nil where that is not one stretch.
func (s MorningStep) Stands() (Binding, *Spell) {
	if s.Today != nil && s.State == NoGo {
		return s.Today.Binding, s.Today.Spell
	}
	return s.Binding, nil
}

// Spell is the one stretch of today, from now on, in which a reason stands against a step;
// hours in which nobody works do not part it.
type Spell struct {
	From   time.Time `json:"from"`
	To     time.Time `json:"to"`
	AllDay bool      `json:"all_day"` // nothing of the day's working hours that are left lies outside it
}

// spell is that of a limit in the slots of today; nil where it makes several.
func (b *builder) spell(r *window.Row, limit verdict.Limit, today span) *Spell {
	one := span{-1, -1}
	allDay := true
	for i := today.from; i < today.to; {
		run, workable, ok := b.runAt(r, i)
		if !ok {
			return nil
		}
		next := min(run.To, today.to)
		switch {
		case !workable && closed(run.Limit):
		case !workable && run.Limit == limit:
			if one.from < 0 {
				one.from = i
			} else if !b.shut(r, span{one.to, i}) {
				return nil
			}
			one.to = next
		default:
			allDay = false
		}
		i = next
	}
	if one.empty() {
		return nil
	}
	return &Spell{b.at(one.from), b.at(one.to), allDay}
}

// shut reports whether nobody works in some slots of a row.
func (b *builder) shut(r *window.Row, s span) bool {
	for i := s.from; i < s.to; {
		run, workable, ok := b.runAt(r, i)
		if !ok || workable || !closed(run.Limit) {
			return false
		}
		i = run.To
	}
	return true
}

// SpellOf is the spell that a limit makes against the asked steps that pick chooses, all of
// them together; nil where they have none in common, and for the day's own hours.
func (m *Morning) SpellOf(limit string, pick func(MorningStep) bool) *Spell {
	var out *Spell
	for _, x := range m.AskedSteps() {
		against, s := x.Stands()
		if !pick(x) || against.Limit != limit {
			continue
		}
		switch {
		case s == nil, out != nil && (s.From.After(out.To) || s.To.Before(out.From)):
			return nil
		case out == nil:
			one := *s
			out = &one
		default:
			out.From, out.To, out.AllDay = Earlier(s.From, out.From), Later(s.To, out.To), out.AllDay && s.AllDay
		}
	}
	return out
}

// Words say when a spell is, behind the reason that makes it, with a comma before them; ""
// without one. hours words two moments, when one of them, as seen from the moment before it.
func (s *Spell) Words(now time.Time, hours func(from, to time.Time) string, when func(from, t time.Time) string) string {
	switch {
	case s == nil:
		return ""
	case s.AllDay && s.From.After(now):
		return ", all day"
	case s.AllDay:
		return ", for the rest of the day"
	case !s.From.After(now):
		return ", until " + when(now, s.To)
	}
	return ", " + hours(s.From, s.To)
}
