package text

import (
	"io"
	"slices"
	"strings"
	"sync"
	"time"

	"dewgap/cmd/internal/answer"
)

// How many groups of windows the ranking lists: of the step that the headline
// answers, and of the others.
const (
	bestShown   = 6
	othersShown = 2
)

// Week writes the answer of dewgap week: the lines that answer the question,
// where and by what forecast it was judged, the plan day by day, then for every
// step the best windows, the hours of each zone by day with the reasons against
// the others, and the cautions. The error is w's own.
func Week(w io.Writer, a *answer.Week, o Options) error {
	p := newPage(o)
	book := newZoneBook(a.Zones)
	steps := stepsOf(a, book)
	h := headlineOf(a, steps)
	steps = askedFirst(steps, h)
	if a.Done {
		p.allDone(a.KeepDry, a.Care, a.Lasts, a.Now)
	} else {
		p.headline(a, steps, book)
		p.keepDry(a.KeepDry, a.Care, a.Now)
	}
	p.title(a.Boat, a.Place, a.Source, a.Now)
	p.bowless(a.Warnings)
	p.inFull(a, h, zonesOf(h, steps), book)
	p.whyNot(a.Headline, zonesOf(h, steps))
	if !a.Done {
		p.crew(answer.CrewLines(a.Crew))
		p.plan(a)
		p.ladder(a.Ladder, a.Source)
		p.blank()
		if l := legend(); cells(l) > p.o.Width {
			p.para("", 2, l)
		} else {
			p.line(l)
		}
		p.steps(a, steps, book)
	}
	if o.Hours {
		p.hourly(a.Zones)
	}
	p.cautions(a.Cautions)
	p.warnings(a.Warnings)
	p.credit(a.Source)
	return p.writeTo(w)
}

// askedFirst puts the step that the headline answers before the others, which
// stay in the order of the work.
func askedFirst(steps []step, h *answer.Headline) []step {
	if h == nil {
		return steps
	}
	slices.SortStableFunc(steps, func(x, y step) int {
		switch {
		case x.name == y.name:
			return 0
		case x.name == h.Step:
			return -1
		case y.name == h.Step:
			return 1
		}
		return 0
	})
	for i := range steps {
		steps[i].asked = steps[i].name == h.Step
	}
	return steps
}

// lastDay is the last day that the week judges.
func lastDay(a *answer.Week) time.Time { return a.To.Add(-time.Nanosecond) }

// title names boat, place, moment and forecast.
func (p *page) title(boat string, place answer.Place, s answer.Source, now time.Time) {
	who := tie(boatName(boat))
	if tidy(place.Name) != "" {
		who += " at " + tie(name(place.Name, nameCells))
	}
	p.para("", 2, who+" · "+day(now)+nbsp+clock(now)+" · "+p.source(s, now))
}

// bowless says what an answer lacks that was asked without the boat's bow; the
// warning tells at its end which zones it is about.
func (p *page) bowless(warnings []string) {
	if slices.ContainsFunc(warnings, func(w string) bool { return strings.Contains(w, "the bow is not given") }) {
		p.para("", 2, "Bow not given: sides are told by compass, without their size. Say --bow NW.")
	}
}

// boatName is the boat's name, or what a boat without one is called.
func boatName(s string) string {
	if tidy(s) == "" {
		return "your boat"
	}
	return name(s, nameCells)
}

// source says whose forecast it is, how old, and of how many.
func (p *page) source(s answer.Source, now time.Time) string {
	parts := []string{tie(name(s.Name, nameCells))}
	if m := tidy(s.Model); m != "" {
		parts[0] += " " + tie(name(m, nameCells))
	}
	old := ageAt(s, now)
	if s.Stale {
		old += ", stale"
	}
	parts = append(parts, old)
	switch {
	case s.Members > 1:
		parts = append(parts, count(s.Members)+nbsp+"forecasts")
	case s.Dressed > 0:
		parts = append(parts, "one"+nbsp+"forecast", "varied into "+tie(numbered(s.Dressed, "future")))
	default:
		parts = append(parts, "one"+nbsp+"forecast")
	}
	return strings.Join(parts, ", ")
}

// whyNot says why the days before that of the headline are refused: like days once.
func (p *page) whyNot(h *answer.Headline, zones []string) {
	if h == nil {
		return
	}
	for _, s := range p.o.whyNot(h.WhyNot) {
		text := Shorten(s, zones)
		if !strings.HasPrefix(strings.ToLower(text), "why not") {
			text = "Why not " + text
		}
		p.para("", 2, stop(text))
	}
}

// steps writes every step: heading, ranking, and its days. One that reads like
// an earlier one, as a strip wash does like a wash, says only so.
func (p *page) steps(a *answer.Week, steps []step, book zoneBook) {
	bodies := make([]string, len(steps))
	var wg sync.WaitGroup // half of the screen's time
	for i, s := range steps {
		wg.Go(func() {
			sub, days := newPage(p.o), newPage(p.o)
			sub.ranking(a, s, book, days.days(s, book))
			bodies[i] = sub.b.String() + days.b.String()
		})
	}
	wg.Wait()
	like := map[string]string{}
	for i, s := range steps {
		p.blank()
		head := heading(stepWord(s.name))
		if s.product != "" {
			head += " with " + name(s.product, nameCells)
		}
		p.headed(head, p.afterwards(s))
		body := bodies[i]
		if earlier, ok := like[body]; ok {
			p.line("  The same hours, for the same reasons, as " + earlier + ".")
			continue
		}
		like[body] = stepWord(s.name)
		p.b.WriteString(body)
	}
}

// afterwards says what the step's product asks for once it is on.
func (p *page) afterwards(s step) string {
	if len(s.windows) == 0 {
		return ""
	}
	var asks []string
	w := s.windows[0] // the same product in all of them
	if finite(w.RainFreeH) && *w.RainFreeH > 0 {
		asks = append(asks, duration(*w.RainFreeH, up)+" without rain")
	}
	if finite(w.DewFreeH) && *w.DewFreeH > 0 {
		asks = append(asks, duration(*w.DewFreeH, up)+" without dew")
	}
	if len(asks) == 0 {
		return ""
	}
	return "; afterwards " + strings.Join(asks, ", ")
}
