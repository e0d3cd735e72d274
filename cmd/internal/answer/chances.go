package answer

import (
	"fmt"
	"math"
	"strings"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/verdict"
)

// stretch is a part of the rest of a day in which a step may begin in every slot.
type stretch struct {
	span
	first   verdict.State  // in which work that begins in its first slot is done
	last    *window.Window // the window in which it ends
	consent bool           // it is marginal, and the job gives no standing yes
	good    int            // where its first hours are good but too few: the slot in which they end
}

// stretches are a row's stretches of today from now on, and which of them is the
// one that is meant by first and last.
type stretches struct {
	list []stretch
	main int // the first that needs no yes, else the first; -1 without any
}

// restOfDay joins today's windows that touch into stretches. What needs a yes that
// the job does not give stays apart from what may simply be begun: whoever reads a
// last start must not be led through hours that are not yet agreed to. Good hours too
// short for a block need that yes as well, for the work runs on into others.
func (b *builder) restOfDay(row int, today span) stretches {
	out := stretches{main: -1}
	r := &b.Result.Rows[row]
	for i := range r.Windows {
		w := &r.Windows[i]
		state := b.begins(window.Ref{Row: row, Window: i})
		s := stretch{span{max(w.From, today.from), min(w.To, today.to)}, state, w, state > b.workableBy(), 0}
		if state > w.State {
			s.good = s.to
		}
		if s.empty() || b.tooLate(r, w, s.span) {
			continue
		}
		if n := len(out.list); n > 0 && out.list[n-1].to == s.from && out.list[n-1].consent == s.consent {
			if out.list[n-1].good == s.from && s.good > 0 { // few ideal hours and then few good ones
				out.list[n-1].good = s.good
			}
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
func (b *builder) chances(out *MorningStep, row int, rest stretches, today span) {
	r := &b.Result.Rows[row]
	out.Chances = []Chance{}
	for _, s := range rest.list {
		c := Chance{From: b.at(s.from), Last: b.at(s.to - 1), State: s.first.String(), NeedsConsent: s.consent}
		if wetsTheWork(r.Class, s.last) {
			t := b.at(s.last.WetAt)
			c.WetAt, c.WetBy = &t, s.last.WetBy
		}
		c.Wiped = b.wipedIn(r, s)
		out.Chances = append(out.Chances, c)
	}
	if rest.main < 0 {
		return
	}
	best := verdict.NoGo
	for i, w := range r.Windows {
		if w.To > today.from && w.From < today.to {
			best = min(best, b.begins(window.Ref{Row: row, Window: i}))
		}
	}
	s, c := rest.list[rest.main], out.Chances[rest.main]
	out.First, out.Last, out.FirstState, out.NeedsConsent, out.Best = &c.From, &c.Last, c.State, c.NeedsConsent, best.String()
	out.WetAt, out.WetBy, out.Wiped = c.WetAt, c.WetBy, c.Wiped
	out.FirstBecause = b.firstBecause(r, s, today)
	out.RainAt = b.rainIn(r.Zone, s.from, s.to)
}

// firstBecause is why a stretch still to come is marginal where it begins: whoever is
// asked for a yes is told to what. What comes after good hours that are too few stands
// in change.
func (b *builder) firstBecause(r *window.Row, s stretch, today span) string {
	if s.first != verdict.Marginal || s.from <= today.from {
		return ""
	}
	if s.good > s.from {
		return "good for only " + clocked(s.good-s.from)
	}
	run, _, ok := b.runAt(r, s.from)
	if !ok {
		return ""
	}
	return b.becauseAt(r, run, s.from)
}

// wipedIn is how wiping off ends a stretch before its last start.
func (b *builder) wipedIn(r *window.Row, s stretch) Wiped {
	last, by := b.wipedOff(r, s.last, s.span)
	if last == nil || !last.Before(b.at(s.to-1)) {
		return Wiped{}
	}
	return Wiped{last, by}
}

// tooLate reports whether no section put on in slots of a window can be wiped off before
// the crew goes home or the panel is wet again.
func (b *builder) tooLate(r *window.Row, w *window.Window, s span) bool {
	last, by := b.wipedOff(r, w, s)
	return last == nil && by != nil
}

// timely are those of some slots of a window at which a section put on can be wiped off in
// time.
func (b *builder) timely(r *window.Row, w *window.Window, s span) span {
	if s.empty() {
		return s
	}
	switch last, by := b.wipedOff(r, w, s); {
	case last != nil:
		s.to = b.Result.Grid.Index(*last) + 1
	case by != nil:
		s.to = s.from
	}
	return s
}

// lateBinding tells how long a section put on in a slot may haze, and must.
func (b *builder) lateBinding(r *window.Row, w *window.Window, slot int) Binding {
	_, by := b.wipedOff(r, w, span{slot, max(w.To, slot+1)})
	left := max(0, by.Sub(b.at(slot+1)).Minutes())
	least, _ := b.hazing(r, *b.haze(r, w)).from(slot + 1)
	return Binding{
		Limit: "haze", Value: some(left, 1), Bound: some(least, 1), Unit: "min", Source: yourJob,
		Text: fmt.Sprintf("only %.0f min to wipe it off, needs %.0f", left, math.Ceil(least)),
	}
}

// wipedOff is wiped for slots of a window, or such that end in it; nil where nothing hazes.
func (b *builder) wipedOff(r *window.Row, w *window.Window, s span) (last, by *time.Time) {
	haze := b.haze(r, w)
	if haze == nil || r.Section != nil {
		return nil, nil
	}
	var wet *time.Time
	if w.WetBy != "" {
		t := b.at(w.WetAt)
		wet = &t
	}
	return b.wiped(s, b.hazing(r, *haze), wet)
}

// until is when work begins in a stretch at the latest: see MorningStep.Until.
func (c Chance) until() time.Time {
	if c.LastSection != nil {
		return *c.LastSection
	}
	return c.Last
}

// ends says when a stretch ends, in words.
func (c Chance) ends() string {
	if c.LastSection != nil {
		return "last section on " + c.LastSection.Format(hourMinute)
	}
	return "last start " + c.Last.Format(hourMinute)
}

// wetsTheWork reports whether the water that comes after a window bears on work begun
// in its last slot: it comes at once or within the hours that the class wants dry.
func wetsTheWork(c products.Class, w *window.Window) bool {
	clock := c.DewFree
	switch w.WetBy {
	case "":
		return false
	case "rain":
		clock = c.RainFree
	}
	hours := 0.0
	if clock.Given {
		hours = clock.Default
	}
	return float64(w.WetAt-w.To)*verdict.SlotHours < hours+verdict.SlotHours
}

// wettingMM is the rain of an hour that wets a panel, mm: what the services call
// measurable.
const wettingMM = 0.1

// rainIn is when rain first falls on a zone in the hours of slots [from, to), from now on
// where somebody told of the hour's rain; nil if none does.
func (b *builder) rainIn(zone, from, to int) *time.Time {
	first, end := b.hours(from, to)
	for h := first; h < end; h++ {
		w, z := b.Result.Weather[h], b.Result.Zones[zone].Hours[h]
		if !w.Rain.Known || w.Rain.V < wettingMM || !z.Film.Known || z.Film.V <= 0 {
			continue // a zone under a roof stays dry
		}
		start := b.at(from)
		if start.Before(b.Now) {
			start = b.Now
		}
		if t := w.RainFrom(start).In(b.loc); !t.IsZero() && t.Before(b.at(to)) {
			return &t
		}
	}
	return nil
}

// change says in words what ends the stretch of the last start or, where today has
// none, when the next one comes and what stands against today, unless that is told.
func (b *builder) change(row int, rest stretches, today span, told string) string {
	r := &b.Result.Rows[row]
	if rest.main >= 0 {
		return b.ending(r, rest)
	}
	if blind(r, today.from) {
		return ""
	}
	text := "no window within " + b.reach()
	if next, ok := b.nextWindow(row, today.to); ok {
		text = "next window " + b.at(next.From).Format(stamp) + ", " + next.State.String()
	} else if at, yes := b.plannedAfter(r, b.at(today.to)); !at.IsZero() {
		text = "too few hours alone; in the plan " + at.Format(stamp) + ", beside other work"
		if yes {
			text += ", with your yes"
		}
	}
	if why, limit := b.againstRow(r, today); why != "" && limit.String() != told {
		text += "; today " + why
	}
	return text
}

// plannedAfter is when a row's next block begins from a moment on, in the plan of the book or
// else in the one just made, and whether it needs a yes; the zero time without one. Within a
// visit short work has hours that it has not alone.
func (b *builder) plannedAfter(r *window.Row, from time.Time) (at time.Time, yes bool) {
	for _, x := range b.Agreed {
		if b.isOf(x, r) && !x.From.Before(from) && (at.IsZero() || x.From.Before(at)) {
			at, yes = x.From.In(b.loc), x.NeedsConsent
		}
	}
	if len(b.Agreed) > 0 || b.Planned == nil {
		return at, yes
	}
	for _, x := range b.Planned.Blocks {
		t, begins := b.Planned.Tasks[x.Task], b.at(b.Result.From+x.From)
		if t.Step == r.Step && t.Zone == r.Zone && !begins.Before(from) && (at.IsZero() || begins.Before(at)) {
			at, yes = begins, x.Consent
		}
	}
	return at, yes
}

// ending says what ends the stretch of the last start, and how long it may still be
// begun with a yes. The end of the day's hours goes without saying, unless work may
// begin again after them. Of good hours that are too few it says first what comes after
// them.
func (b *builder) ending(r *window.Row, rest stretches) string {
	s := rest.list[rest.main]
	end := s.last.To
	before := ""
	if next, _, ok := b.runAt(r, s.good); ok && s.good > s.from && s.good < s.to {
		before = b.becauseAt(r, next, s.good) + ", from " + b.at(s.good).Format(hourMinute)
	}
	next, workable, ok := b.runAt(r, end)
	more := rest.main+1 < len(rest.list)
	if !ok || !more && (closed(next.Limit) || next.Limit == verdict.Machines) {
		return before
	}
	if before != "" {
		before += "; "
	}
	text := before + b.becauseAt(r, next, end) + ", from " + b.at(end).Format(hourMinute)
	if workable && more && rest.list[rest.main+1].from == end {
		last := b.at(rest.list[rest.main+1].to - 1)
		if w := b.wipedIn(r, rest.list[rest.main+1]); w.LastSection != nil {
			last = *w.LastSection
		}
		text += "; with your yes until " + last.Format(hourMinute)
	}
	return text
}

// becauseAt is why slot i of a run is no better. The figure of a run is that of its
// worst slot, so that of another only the bound is told that it passes. Where another
// limit than that of the run binds the slot, that one counts.
func (b *builder) becauseAt(r *window.Row, run verdict.Run, i int) string {
	k := i - b.Result.From
	if run.State == verdict.Marginal && r.Slots != nil && k < len(r.Slots.Limit) {
		limit := r.Slots.Limit[k]
		words := planWords[limit.String()]
		if limit != run.Limit && words != "" && r.Slots.State[k] == verdict.Marginal {
			return words
		}
	}
	return b.passing(r, run)
}

// passing words the limit of a run by the bound that it passes, where the figure is
// not that of every slot of it.
func (b *builder) passing(r *window.Row, run verdict.Run) string {
	x := run.Binding
	m, ok := measures[x.Limit]
	if !ok || !x.HasValue || run.Len() == 1 || math.Abs(x.Value) >= endless || b.pastTheEnd(run) || x.Way == verdict.Soaking {
		return b.because(r, run)
	}
	bound, after := plain(x.Bound), m.after
	if m.clock {
		bound = duration(math.Ceil(x.Bound*60 - dustOf32))
	}
	if m.ends != "" && r.Class.Equivalent {
		after = " counted at 20 °C" + after
	}
	before := strings.TrimSuffix(m.before, " ")
	switch {
	case x.Limit == verdict.Film && x.Way == verdict.Towelled:
		return "water on the panel: towel it off first"
	case x.Limit == verdict.Film:
		return "water on the panel"
	case run.State == verdict.NoGo && x.Limit == verdict.Cure && x.Way != verdict.Arid: // for less of it work is marginal
		return "panel under " + bound + " °C for most of its cure"
	case x.Way == verdict.Arid:
		return "air under " + bound + " %" + dryCure.after[len(" %"):]
	case x.Limit == verdict.Cure:
		before = "panel"
	case x.Limit == verdict.Section:
		before = ""
	case x.Way == verdict.Chance:
		before += " may come"
	}
	word := " over "
	switch {
	case m.clock || x.Limit == verdict.Section:
		word = " less than "
	case m.least:
		word = " under "
	}
	return strings.TrimSpace(before+word) + " " + bound + after
}

const hourMinute = "15:04"

// Early says when a step may begin before First, if the person agrees to marginal work:
// "with your yes from 07:30"; "" where it may not. Where those hours end before the next
// ones come, it says so, and what water ends them: "with your yes from 07:00, last start
// 09:50 (rain 12:00), and from 15:00".
func (s MorningStep) Early() string {
	text := ""
	for i, c := range s.Chances {
		if !c.NeedsConsent || s.First == nil || !c.From.Before(*s.First) {
			continue
		}
		if text == "" {
			text = "with your yes from "
		} else {
			text += ", and from "
		}
		text += c.From.Format(hourMinute)
		if i+1 < len(s.Chances) && c.touches(s.Chances[i+1]) {
			continue
		}
		text += ", " + c.ends()
		if c.WetAt != nil {
			text += " (" + c.WetBy + " " + clockOr(*c.WetAt, c.Last) + ")"
		}
	}
	return text
}

// touches reports whether the stretch that comes next begins where this one ends.
func (c Chance) touches(next Chance) bool {
	return next.From.Sub(c.Last) <= minutesASlot*time.Minute
}

// clockOr is a time of the day of another, or with its date where it is of a later one.
func clockOr(t, of time.Time) string {
	if t.YearDay() == of.YearDay() && t.Year() == of.Year() {
		return t.Format(hourMinute)
	}
	return t.Format(stamp)
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
		parts = append(parts, "from "+c.From.Format(hourMinute)+with+", "+c.ends())
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
		if i > 0 && c.NeedsConsent && s.Chances[i-1].touches(c) {
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
