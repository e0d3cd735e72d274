package text

import (
	"math"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// ranking lists the best windows of a step, those with the same hours together,
// and counts the others by zone. cutShort: not all days are told below.
func (p *page) ranking(a *answer.Week, s step, book zoneBook, cutShort bool) {
	groups := byHours(answer.Joined(s.windows), book)
	if len(groups) == 0 {
		p.line("  No window on any zone up to " + day(lastDay(a)) + ".")
		return
	}
	p.blank()
	p.line("  Best first")
	most := othersShown
	if s.asked {
		most = bestShown
	}
	for i, g := range groups {
		if i == most {
			p.rest(groups[i:], book, cutShort)
			break
		}
		p.ranked(a, s, g, book)
	}
}

// ranked writes one group of windows: rank, state, hours and zones, then what
// the weather is in it.
func (p *page) ranked(a *answer.Week, s step, g group, book zoneBook) {
	rank := count(g.windows[0].Rank)
	if p.narrow() {
		rank += "."
	}
	lead := padLeft(rank, 4) + "  " + pad(loud(g.state), 12) +
		day(g.from) + " " + hours(g.from, g.to) + "  "
	p.para(lead, 6, p.faced(g, s, book))
	p.para("      ", 6, p.weather(a, g))
}

// faced names the zones with the way they face, or all of them in two words.
func (p *page) faced(g group, s step, book zoneBook) string {
	if w := whole(g.zones, s.zones); w != "" {
		return w
	}
	list := short(g.zones, zoneCells)
	for i, z := range g.zones {
		if f := book.face[z]; f != "" {
			list[i] += nbsp + "(" + f + ")"
		}
	}
	return strings.Join(list, ", ")
}

// weather tells what the panels do in the window and when they are next wet.
// Over several zones it gives the widest range and the strictest time.
func (p *page) weather(a *answer.Week, g group) string {
	var parts []string
	add := func(s string) {
		if s != "" {
			parts = append(parts, s)
		}
	}
	if g.state == "marginal" {
		why := "because " + because(worstBinding(g.windows), p.o)
		if also := answer.AlsoFor(g.windows); also != "" {
			why += ", and " + also
		}
		add(why)
	}
	add(p.o.panel(g.windows))
	add(sun(g.windows))
	add(p.block(a, g))
	add(notReady(g))
	add(p.washing(g.windows))
	add(p.latest(g))
	return strings.Join(parts, "; ")
}

// block names the block that is told of the window, and in how many forecasts it
// holds; where no whole block is go, the share is that of the window.
func (p *page) block(a *answer.Week, g group) string {
	c := likely(g.windows, g.state, a.Source, "in ")
	first, _ := g.windows[0].Told()
	if first == nil {
		if g.windows[0].Short {
			return strings.TrimSuffix("too short for a block that is go throughout; the window itself "+c, "; the window itself ")
		}
		return strings.TrimPrefix(c, "in ")
	}
	for i := range g.windows {
		block, _ := g.windows[i].Told()
		if block == nil || !block.From.Equal(first.From) || !block.To.Equal(first.To) {
			return strings.TrimSpace("best blocks " + c)
		}
	}
	return strings.TrimSpace("best block " + hours(first.From, first.To) + " " + c)
}

// notReady says from when the work that comes first can be done, where the block that is
// told begins before that.
func notReady(g group) string {
	at := answer.ReadyAt(g.windows)
	if at == nil {
		return ""
	}
	return "the work before it takes until " + when(g.from, *at) + " at the least"
}

func worstBinding(ws []answer.Window) answer.Binding {
	b := ws[0].Binding
	for _, w := range ws[1:] {
		if w.Binding.Limit == b.Limit {
			b = b.Worse(w.Binding)
		}
	}
	return b
}

// Panel is the range of panel temperatures in some windows, and of degrees over the dew
// point rounded down, in the units of o: "panel 13-29 °C, 5-21 °C over dew point"; "" where
// neither is known.
func Panel(ws []answer.Window, o Options) string { return untie(o.panel(ws)) }

// panel is Panel with its numbers and units still tied together.
func (o Options) panel(ws []answer.Window) string {
	var parts []string
	if lo, hi, ok := widest(ws, func(w answer.Window) *[2]float64 { return w.SurfaceC }); ok {
		parts = append(parts, "panel "+o.temperature().span(lo, hi, nearest))
	}
	if lo, hi, ok := widest(ws, func(w answer.Window) *[2]float64 { return w.SpreadK }); ok {
		parts = append(parts, o.overDew(lo, hi))
	}
	return strings.Join(parts, ", ")
}

// overDew words a least and a most over the dew point, in whole degrees where both are
// over it. What lies under it says so, for a minus over something is easily missed.
func (o Options) overDew(lo, hi float64) string {
	q := o.degrees()
	switch {
	case lo >= 0:
		return q.span(lo, hi, down) + " over dew point"
	case hi < 0:
		return q.between(-hi, -lo, up) + " below dew point"
	}
	return q.show(-lo, up) + " below to " + q.show(hi, down) + " over dew point"
}

func widest(ws []answer.Window, of func(answer.Window) *[2]float64) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, w := range ws {
		if r := of(w); r != nil && finite(&r[0]) && finite(&r[1]) {
			lo, hi, ok = min(lo, r[0]), max(hi, r[1]), true
		}
	}
	return lo, hi, ok
}

// sun says whether the panels are in the sun, where all of them agree.
func sun(ws []answer.Window) string {
	for _, w := range ws {
		if w.Sunlit == nil || *w.Sunlit != *ws[0].Sunlit {
			return ""
		}
	}
	if *ws[0].Sunlit {
		return "in the sun"
	}
	return "in the shade"
}

// washing says how much may be wetted at once and how often.
func (p *page) washing(ws []answer.Window) string {
	area, every := math.Inf(1), math.Inf(1)
	for _, w := range ws {
		if finite(w.SectionM2) {
			area = min(area, *w.SectionM2)
		}
		if finite(w.RewetMin) {
			every = min(every, *w.RewetMin)
		}
	}
	var parts []string
	if !math.IsInf(area, 1) {
		parts = append(parts, "at most "+p.o.area().show(area, down)+" at a time")
	}
	if !math.IsInf(every, 1) {
		parts = append(parts, "wet it again every "+figure(every, 0, down, true)+nbsp+"min")
	}
	return strings.Join(parts, ", ")
}

// latest are the last start, when it must be wiped, and the next water.
func (p *page) latest(g group) string {
	w := g.windows[0]
	parts := []string{p.lastOf(g)}
	if t := earliest(g.windows, func(w answer.Window) *time.Time { return w.WipeBy }); !t.IsZero() {
		word := "wiped by "
		if w.SectionM2 != nil {
			word = "rinsed by "
		}
		parts = append(parts, word+when(g.from, t))
	}
	if w.SectionM2 != nil { // washing: the next water does no harm
		return strings.Join(parts, ", ")
	}
	t := earliest(g.windows, func(w answer.Window) *time.Time {
		if w.WetBy == "" {
			return nil
		}
		return w.WetAt
	})
	if t.IsZero() {
		return strings.Join(append(parts, "no water in sight after it"), ", ")
	}
	for _, x := range g.windows {
		if x.WetAt != nil && x.WetAt.Equal(t) && x.WetBy != "" {
			w = x
		}
	}
	return strings.Join(append(parts, "wet again "+when(g.from, t)+" ("+name(w.WetBy, 12)+")"), ", ")
}

// lastOf is the last start or, where sections haze, when the last of them goes on.
func (p *page) lastOf(g group) string {
	hazes, first := false, time.Time{}
	for _, w := range g.windows {
		if w.HazeMin == nil {
			continue
		}
		if hazes = true; w.LastSection == nil {
			return "no time left to " + verbOff(w) + " a section off"
		}
		if first.IsZero() || w.LastSection.Before(first) {
			first = *w.LastSection
		}
	}
	if hazes {
		return "last section on " + when(g.from, first)
	}
	return "last start " + when(g.from, earliest(g.windows, func(w answer.Window) *time.Time { return &w.LastStart }))
}

// verbOff is how a section comes off: a wash is rinsed, all else wiped.
func verbOff(w answer.Window) string {
	if w.SectionM2 != nil {
		return "rinse"
	}
	return "wipe"
}

// earliest is the first of the windows' times, zero where none has one.
func earliest(ws []answer.Window, of func(answer.Window) *time.Time) time.Time {
	var first time.Time
	for _, w := range ws {
		if t := of(w); t != nil && (first.IsZero() || t.Before(first)) {
			first = *t
		}
	}
	return first
}

// rest counts the windows that the ranking leaves out, by zone.
func (p *page) rest(groups []group, book zoneBook, cutShort bool) {
	n, total := map[string]int{}, 0
	var names []string
	for _, g := range groups {
		for _, z := range g.zones {
			n[z]++
			total++
			names = append(names, z)
		}
	}
	var parts []string
	for _, z := range book.sorted(names) {
		parts = append(parts, tie(name(z, zoneCells))+nbsp+count(n[z]))
	}
	where := " more, all among the days below: "
	if cutShort {
		where = " more, on the days below and those left out: "
	}
	p.para("      ", 6, count(total)+where+strings.Join(parts, ", ")+".")
}
