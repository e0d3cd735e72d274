package answer

import (
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/verdict"
)

// stretch is a part of the rest of a day in which a step may begin in every slot.
type stretch struct {
	span
	first   verdict.State  // of its first slot
	last    *window.Window // the window in which it ends
	consent bool           // it is marginal, and the job gives no standing yes
}

// stretches are a row's stretches of today from now on, and which of them is the
// one that is meant by first and last.
type stretches struct {
	list []stretch
	main int // the first that needs no yes, else the first; -1 without any
}

// restOfDay joins today's windows that touch into stretches. What needs a yes that
// the job does not give stays apart from what may simply be begun: whoever reads a
// last start must not be led through hours that are not yet agreed to.
func (b *builder) restOfDay(r *window.Row, today span) stretches {
	out := stretches{main: -1}
	for i := range r.Windows {
		w := &r.Windows[i]
		s := stretch{span{max(w.From, today.from), min(w.To, today.to)}, w.State, w, w.State > b.workableBy()}
		if s.empty() {
			continue
		}
		if n := len(out.list); n > 0 && out.list[n-1].to == s.from && out.list[n-1].consent == s.consent {
			out.list[n-1].to, out.list[n-1].last = s.to, w
		} else {
			out.list = append(out.list, s)
		}
	}
	for i, s := range out.list {
		if out.main < 0 || out.list[out.main].consent && !s.consent {
			out.main = i
		}
	}
	return out
}

// chances fills first, last and best, the other stretches of today, and when the
// zone is next wet after the last start.
func (b *builder) chances(out *MorningStep, r *window.Row, rest stretches, today span) {
	out.Chances = []Chance{}
	for _, s := range rest.list {
		out.Chances = append(out.Chances, Chance{
			From: b.at(s.from), Last: b.at(s.to - 1), State: s.first.String(), NeedsConsent: s.consent,
		})
	}
	if rest.main < 0 {
		return
	}
	best := verdict.NoGo
	for _, w := range r.Windows {
		if w.To > today.from && w.From < today.to {
			best = min(best, w.State)
		}
	}
	s, c := rest.list[rest.main], out.Chances[rest.main]
	out.First, out.Last, out.FirstState, out.NeedsConsent, out.Best = &c.From, &c.Last, c.State, c.NeedsConsent, best.String()
	if s.last.WetBy != "" {
		t := b.at(s.last.WetAt)
		out.WetAt, out.WetBy = &t, s.last.WetBy
	}
	out.RainAt = b.rainIn(r.Zone, s.from, s.to)
}

// wettingMM is the rain of an hour that wets a panel, mm: what the services call
// measurable.
const wettingMM = 0.1

// rainIn is the first hour of slots [from, to) in which rain falls on a zone, nil
// if none does.
func (b *builder) rainIn(zone, from, to int) *time.Time {
	first, end := b.hours(from, to)
	for h := first; h < end; h++ {
		w, z := b.Result.Weather[h], b.Result.Zones[zone].Hours[h]
		if !w.Rain.Known || w.Rain.V < wettingMM || !z.Film.Known || z.Film.V <= 0 {
			continue // a zone under a roof stays dry
		}
		t := w.At.In(b.loc)
		return &t
	}
	return nil
}

// change says in words what ends the stretch of the last start or, where today has
// none, when the next one comes and what stands against today.
func (b *builder) change(row int, rest stretches, today span) string {
	r := &b.Result.Rows[row]
	if rest.main >= 0 {
		return b.ending(r, rest)
	}
	text := "no window within " + b.reach()
	if next, ok := b.nextWindow(row, today.to); ok {
		text = "next window " + b.at(next.From).Format(stamp) + ", " + next.State.String()
	}
	if why := b.againstRow(r, today); why != "" {
		text += "; today " + why
	}
	return text
}

// ending says what ends the stretch of the last start, and how long it may still be
// begun with a yes. The end of the day's hours goes without saying, unless work may
// begin again after them.
func (b *builder) ending(r *window.Row, rest stretches) string {
	s := rest.list[rest.main]
	end := s.last.To
	next, workable, ok := b.runAt(r, end)
	more := rest.main+1 < len(rest.list)
	if !ok || !more && (closed(next.Limit) || next.Limit == verdict.Machines) {
		return ""
	}
	text := b.becauseAt(r, next, end) + ", from " + b.at(end).Format(hourMinute)
	if workable && more && rest.list[rest.main+1].from == end {
		text += "; with your yes until " + b.at(rest.list[rest.main+1].to-1).Format(hourMinute)
	}
	return text
}

// becauseAt is why slot i of a run is no better. A run of marginal slots names the
// worst of them; where another limit binds this one, that limit counts, without
// figures, for they are not of this slot.
func (b *builder) becauseAt(r *window.Row, run verdict.Run, i int) string {
	k := i - b.Result.From
	if run.State != verdict.Marginal || r.Slots == nil || k >= len(r.Slots.Limit) {
		return b.because(r, run)
	}
	limit := r.Slots.Limit[k]
	words := planWords[limit.String()]
	if limit == run.Limit || words == "" || r.Slots.State[k] != verdict.Marginal {
		return b.because(r, run)
	}
	return words
}

const hourMinute = "15:04"

// Early says from when a step may begin before First, if the person agrees to
// marginal work: "with your yes from 07:30"; "" where it may not.
func (s MorningStep) Early() string {
	for _, c := range s.Chances {
		if c.NeedsConsent && s.First != nil && c.From.Before(*s.First) {
			return "with your yes from " + c.From.Format(hourMinute)
		}
	}
	return ""
}

// Again says in words when a step may begin again today after Last; "" where it may
// not. Marginal hours that go on where others end are not said: they are no new
// beginning, and Change tells of those behind Last.
func (s MorningStep) Again() string {
	var parts []string
	for _, c := range s.again() {
		with := ""
		if c.NeedsConsent {
			with = " with your yes"
		}
		parts = append(parts, "from "+c.From.Format(hourMinute)+with+", last start "+c.Last.Format(hourMinute))
	}
	return strings.Join(parts, "; ")
}

// AgainFrom is when a step may begin again today after Last without more consent
// than First needs, nil where it may not.
func (s MorningStep) AgainFrom() *time.Time {
	for _, c := range s.again() {
		if c.NeedsConsent == s.NeedsConsent {
			return &c.From
		}
	}
	return nil
}

func (s MorningStep) again() []Chance {
	var out []Chance
	for i, c := range s.Chances {
		if s.Last == nil || !c.From.After(*s.Last) {
			continue
		}
		if i > 0 && c.NeedsConsent && c.From.Sub(s.Chances[i-1].Last) <= minutesASlot*time.Minute {
			continue
		}
		out = append(out, c)
	}
	return out
}

// Rain is when rain next falls that bears on the work from First to Last: into it
// or, on the day of now, after it; nil where none is foreseen.
func (s MorningStep) Rain(now time.Time) *time.Time {
	if s.RainAt != nil || s.WetAt == nil || s.WetBy != "rain" {
		return s.RainAt
	}
	y, m, d := now.Date()
	if wy, wm, wd := s.WetAt.Date(); y != wy || m != wm || d != wd {
		return nil
	}
	return s.WetAt
}
