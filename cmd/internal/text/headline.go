package text

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

func count(n int) string { return strconv.Itoa(n) }

// headline writes the lines that answer the question: the day and its hours, where the plan
// has the rest, the next best day, and what would break it. Each keeps to one line, so that
// they are together; what does not fit is said again below.
func (p *page) headline(a *answer.Week, steps []step, book zoneBook) {
	h := headlineOf(a, steps)
	if h == nil {
		p.line(loud("unknown") + "  The job asks for no step, so there is nothing to judge.")
		return
	}
	if ws, _ := asked(a, h); len(ws) == 0 {
		p.noHeadline(a, h, steps)
		p.inPart(a)
		p.noPlan(a)
		return
	}
	best, _ := p.bestLine(a, h, book)
	next, _ := p.nextLine(a, h, book)
	breaks, _ := p.breakLine(h, zonesOf(h, steps))
	p.line(best)
	if s := a.Broken(); s != "" {
		p.para("", 2, stop(p.o.prose(s)))
	}
	p.inPart(a)
	if s := a.InPlan(); s != "" {
		p.para("", 2, "In the plan: "+stop(Shorten(p.o.prose(s), zonesOf(h, steps))))
	}
	p.offBest(a, h, steps)
	p.line(next)
	if !a.Lost() {
		p.line(breaks)
	}
	p.noPlan(a)
}

// asked are the hours that the first line names: of the plan, else the good ones of the best day.
func asked(a *answer.Week, h *answer.Headline) (ws []answer.Window, planned bool) {
	if ws, planned = a.Asked(); planned {
		return ws, true
	}
	return good(h.Best), false
}

// offBest says of a plan's step on which day its own weather would be better, or that it has no
// hours of its own at all.
func (p *page) offBest(a *answer.Week, h *answer.Headline, steps []step) {
	if off := a.OffBest(false); off != "" {
		p.para("", 2, p.o.prose(off))
	}
	if len(h.Best) > 0 {
		return
	}
	text := "Outside the plan it has no hours up to " + day(lastDay(a))
	if _, reasons := against(h.Step, a.Verdict, steps, p.o); len(reasons) > 0 {
		text += ", mostly because: " + untie(reasons[0])
	}
	p.para("", 2, stop(text))
}

// headlineOf is the answer's own headline. Where it brings none along, that of
// the last step that seals, else the last of all; nil without any step.
func headlineOf(a *answer.Week, steps []step) *answer.Headline {
	if a.Headline != nil || len(steps) == 0 {
		return a.Headline
	}
	s := steps[len(steps)-1]
	for _, t := range steps {
		if t.do == "seal" {
			s = t
		}
	}
	h := &answer.Headline{Step: s.name}
	for _, w := range s.windows {
		switch {
		case len(h.Best) == 0 || sameDay(h.Best[0].From, w.From):
			h.Best = append(h.Best, w)
		case len(h.Next) == 0 || sameDay(h.Next[0].From, w.From):
			h.Next = append(h.Next, w)
		}
	}
	return h
}

// zonesOf are the zones of a headline's step.
func zonesOf(h *answer.Headline, steps []step) []string {
	for _, s := range steps {
		if h != nil && s.name == h.Step {
			return s.zones
		}
	}
	return nil
}

// bestLine names the day that the answer is about, in the word of the least sure of its hours
// that it names: work that holds in fewer than half of the forecasts asks for a yes. full is
// false where something is left out.
func (p *page) bestLine(a *answer.Week, h *answer.Headline, book zoneBook) (line string, full bool) {
	ws, planned := asked(a, h)
	lead := func(state string) string {
		text := loud(state)
		switch {
		case a.NoPlan() != "":
			text += ", no plan"
		case a.InPart() != "":
			text += " in part"
		}
		return text + "  " + answer.Capital(stepWord(h.Step)) + " " + day(ws[0].From) + ": "
	}
	state := worstState(ws)
	if later := a.LaterDays(); planned && len(later) > 0 {
		return p.withMore(lead(state), ws, a.Source, book, later)
	}
	line, full, c := p.itinerary(ws, a.Source, book, p.sentence()-cells(lead(state)))
	if few(c) && rankOf(state) < rankOf("marginal") {
		state = "marginal"
		line, full, _ = p.itinerary(ws, a.Source, book, p.sentence()-cells(lead(state)))
	}
	return lead(state) + line, full
}

// withMore is a day's itinerary behind its lead, and that there is more on later days, which the
// line of the plan names: that gives way to a count of fewer than half.
func (p *page) withMore(lead string, ws []answer.Window, s answer.Source, book zoneBook, later []time.Time) (line string, full bool) {
	tails := []string{"; more " + day(later[0]), "; more " + later[0].Format("2 Jan")}
	if n := len(later); n > 1 {
		tails = []string{fmt.Sprintf("; more on %d days", n), fmt.Sprintf("; +%d days", n)}
	}
	if c, _ := leastSure(ws); few(c) {
		tails = append(tails, "")
	}
	for _, tail := range tails {
		line, full, _ = p.itinerary(ws, s, book, p.sentence()-cells(lead)-cells(tail))
		if line = lead + strings.TrimSuffix(line, ".") + tail + "."; full {
			break
		}
	}
	return line, full
}

// nextLine names the next best day in the same way.
func (p *page) nextLine(a *answer.Week, h *answer.Headline, book zoneBook) (line string, full bool) {
	if len(h.Next) == 0 {
		return "Next best: no other day up to " + day(lastDay(a)) + ".", true
	}
	ws := good(h.Next)
	lead := "Next best: " + day(ws[0].From) + ", "
	if worstState(ws) == "marginal" {
		lead = "Next best: " + tag("marginal") + " " + day(ws[0].From) + ", "
	}
	line, full, _ = p.itinerary(ws, a.Source, book, p.sentence()-cells(lead))
	return lead + line, full
}

// breakLine fits as many of the things that would break the day as one
// line holds, in their order; a narrow page has all of them. full is false where some are
// left out.
func (p *page) breakLine(h *answer.Headline, zones []string) (line string, full bool) {
	const lead = "Breaks it: "
	if len(h.Breaks) == 0 {
		return lead + "nothing that was tried.", true
	}
	all := p.breaks(h, zones)
	if line = lead + stop(strings.Join(all, "; ")); p.narrow() || cells(line) <= p.sentence() {
		return line, true
	}
	const tail = "; more below"
	line = lead + briefly(all[0], p.sentence()-len(lead+tail))
	for _, b := range all[1:] {
		if longer := line + "; " + b; cells(longer)+len(tail) <= p.sentence() {
			line = longer
		}
	}
	return line + tail, false
}

// briefly is what breaks a day in at most room cells: without its reason where that is too
// long, and then with fewer of the zones, before it is cut.
func briefly(s string, room int) string {
	if cells(s) > room {
		s, _, _ = strings.Cut(s, " (")
	}
	what, on, _ := strings.Cut(s, " on ")
	zones := strings.Split(on, ", ")
	for n := len(zones) - 1; n > 0 && cells(s) > room; n-- {
		s = what + " on " + strings.Join(zones[:n], ", ") + fmt.Sprintf(" +%d", len(zones)-n)
	}
	if cells(s) > room {
		s = what
	}
	return cutWords(s, room)
}

func (p *page) breaks(h *answer.Headline, zones []string) []string {
	list := make([]string, len(h.Breaks))
	for i, b := range h.Breaks {
		list[i] = untie(Shorten(p.o.prose(b), zones))
	}
	return list
}

// inFull says again what the first lines had to leave out.
func (p *page) inFull(a *answer.Week, h *answer.Headline, zones []string, book zoneBook) {
	if h == nil {
		return
	}
	ws, planned := asked(a, h)
	if len(ws) == 0 {
		return
	}
	on := day(ws[0].From)
	if _, full := p.bestLine(a, h, book); !full {
		p.para("", 2, on+" in full: "+p.full(ws, a.Source, book))
	}
	if weak, firm := weakOf(ws); !planned && len(weak) > 0 && worstState(ws) != "marginal" && likely(weak, "go", a.Source, "") != "" {
		there := "there"
		if len(firm) > 0 {
			there = "on " + onZones(weak, book)
		}
		p.para("", 2, on+" is "+worstState(ws)+" hour by hour, but a block "+there+" holds in fewer than half of the "+
			kindOf(a.Source)+": a plan asks for your yes first.")
	}
	if _, full := p.breakLine(h, zones); !full {
		p.para("", 2, "What would break "+on+": "+stop(strings.Join(p.breaks(h, zones), "; ")))
	}
}

// full names all stretches of a day with their zones, in order of time.
func (p *page) full(ws []answer.Window, s answer.Source, book zoneBook) string {
	groups := byHours(ws, book)
	parts := make([]string, len(groups))
	for i, g := range groups {
		parts[i] = every(g.zones, book.all(ws)) + " " + hours(g.from, g.to)
	}
	line := strings.Join(parts, ", then ")
	weak, firm := weakOf(ws)
	if len(firm) == 0 {
		firm, weak = weak, nil
	}
	if c := likely(firm, worstState(firm), s, "in at least "); c != "" {
		line += "; " + p.eachOf(firm) + " " + c
		if c := likely(weak, "go", s, ""); c != "" && len(weak) > 0 {
			line += ", on " + onZones(weak, book) + " " + c
		}
	}
	return line + "."
}

// weakOf tells windows of which what is told holds in fewer than half from the others.
func weakOf(ws []answer.Window) (weak, firm []answer.Window) {
	for _, w := range ws {
		if _, c := w.Told(); few(c) {
			weak = append(weak, w)
		} else {
			firm = append(firm, w)
		}
	}
	return weak, firm
}

// onZones names the zones of some windows.
func onZones(ws []answer.Window, book zoneBook) string {
	names := make([]string, len(ws))
	for i, w := range ws {
		names[i] = w.Zone
	}
	return every(book.sorted(names), nil)
}

// eachOf is what the share of some windows is of: blocks, or the windows where no whole
// block is go.
func (p *page) eachOf(ws []answer.Window) string {
	for i := range ws {
		if block, _ := ws[i].Told(); block == nil && ws[i].Short {
			return "the hours of each"
		}
	}
	return "the best block of each"
}

// itinerary names zones and hours in order of time, as many as one line holds:
// "port side 08:20-11:40, then foredeck 13:10-15:20", and in how many forecasts the least sure
// of them holds, which c is. That of fewer than half is never left out. full is false where
// something is.
func (p *page) itinerary(ws []answer.Window, s answer.Source, book zoneBook, room int) (line string, full bool, c float64) {
	line, named, full := p.stretches(ws, book, room)
	c, _ = leastSure(named)
	words := likely(named, worstState(named), s, "")
	if words == "" || !answer.Workable(worstState(named)) {
		return cutWords(line+".", room), full, c
	}
	over := cells(line) + cells(words) + 3 - room
	switch {
	case over > 0 && !few(c):
		return cutWords(line+".", room), false, c
	case over > 0:
		line, _, _ = p.stretches(ws, book, room-cells(words)-2)
		return cutWords(line+", "+words+".", room), false, c
	}
	return cutWords(line+", "+words+".", room), full, c
}

// stretches are zones and hours in order of time, as many as room holds, and the windows that
// are named.
func (p *page) stretches(ws []answer.Window, book zoneBook, room int) (line string, named []answer.Window, full bool) {
	groups := byHours(ws, book)
	all := book.all(ws)
	full = true
	for i, g := range groups {
		span := " " + hours(g.from, g.to)
		left := room - 1 - cells(line+joint(i)+span+more(len(groups)-1-i))
		if i > 0 && left < min(cells(every(g.zones, all)), cells(name(g.zones[0], zoneCells))+3) {
			return line + p.left(line, len(groups)-i, room), named, false
		}
		zones := some(g.zones, all, left)
		full = full && zones == every(g.zones, all)
		line += joint(i) + zones + span
		named = append(named, g.windows...)
	}
	return line, named, full
}

// joint stands before the stretch number i of an itinerary.
func joint(i int) string { return [...]string{"", ", then ", ", "}[min(i, 2)] }

// left says how many stretches are left out, in words if they fit.
func (p *page) left(line string, n, room int) string {
	for _, form := range [...]string{" and %d more", ", %d more"} {
		if s := fmt.Sprintf(form, n); cells(line+s) < room {
			return s
		}
	}
	return more(n)
}

// more is how left says it in few cells.
func more(n int) string {
	if n <= 0 {
		return ""
	}
	return fmt.Sprintf(" +%d", n)
}

// leastSure is the least share in which what is told of the windows holds (see
// answer.Window.Told). asGo: of an ideal one, it is the share that is at least go.
func leastSure(ws []answer.Window) (c float64, asGo bool) {
	c = 1
	for i := range ws {
		_, sure := ws[i].Told()
		c, asGo = min(c, sure), asGo || ws[i].ToldAsGo()
	}
	return c, asGo
}

// likely words the least share of windows of one state: "24 of 30 futures", "only 3 of 30
// futures" where it is less than a half, and "go in 29 of 30 futures" where the windows are
// ideal and that is the share of go.
func likely(ws []answer.Window, state string, s answer.Source, in string) string {
	c, asGo := leastSure(ws)
	words := sure(c, s)
	switch {
	case words == "":
		return ""
	case few(c):
		in = "in "
	}
	if asGo && state == "ideal" {
		return "go in " + words
	}
	return in + words
}

// few reports a share under a half: a plan asks for a yes before such work.
func few(c float64) bool { return c < 0.5 }

func worstState(ws []answer.Window) string {
	return slices.MaxFunc(ws, func(a, b answer.Window) int { return cmp.Compare(rankOf(a.State), rankOf(b.State)) }).State
}

// noHeadline writes the three lines where no day has hours for the step: what
// most often stands against it, and what comes second.
func (p *page) noHeadline(a *answer.Week, h *answer.Headline, steps []step) {
	state, reasons := against(h.Step, a.Verdict, steps, p.o)
	p.line(loud(state) + "  " + answer.Capital(stepWord(h.Step)) + ": no hours on any zone up to " + day(lastDay(a)) + ".")
	if len(reasons) == 0 {
		p.line("Because: outside working hours.")
	} else {
		p.para("", 2, "Mostly because: "+untie(reasons[0])+".")
	}
	if len(reasons) > 1 {
		p.para("", 2, "Else because: "+untie(reasons[1])+".")
		return
	}
	switch {
	case a.Source.Stale && a.Source.AgeS == nil && state == "unknown":
		p.line("Say with --fetched when it was fetched: without that nothing is judged.")
		return
	case len(reasons) == 0:
		p.line("Nothing else stands against it. A new forecast does not change that.")
		return
	case lastingOnly(h.Step, steps): // it hides what the weather would say
		p.line("A new forecast does not change that.")
		return
	}
	p.line("Nothing else stands against it. Look again with the next forecast.")
}

// lasting are the limits that no weather takes away; a stretch too short for a block is
// one as well where only the hours cut it.
var lasting = map[string]bool{"salt": true, "water": true, "finish": true, "people": true, "reach": true, "recoat": true, "block": true}

// lastingOnly reports whether nothing but such limits stands against a step in the
// hours in which somebody works.
func lastingOnly(named string, steps []step) bool {
	some := false
	for _, s := range steps {
		for _, r := range s.refusals {
			if s.name != named || scheduled(r.Binding.Limit) {
				continue
			}
			if !lasting[r.Binding.Limit] {
				return false
			}
			some = true
		}
	}
	return some
}

// against sums up why a step has no window, and the reasons by the hours that they
// take. The state is that of the answer, so that it agrees with the exit code;
// without one, unknown if all that stands against it is missing data. What is
// missing comes first where it decides, and last where it does not.
func against(named, verdict string, steps []step, o Options) (state string, reasons []string) {
	var sums answer.Tally
	state = "unknown"
	for _, s := range steps {
		for _, r := range s.refusals {
			if s.name != named || scheduled(r.Binding.Limit) {
				continue
			}
			if r.State != "unknown" {
				state = "no-go"
			}
			sums.Add(r.Binding, r.To.Sub(r.From))
		}
	}
	order := sums.Longest()
	if verdict == "unknown" || verdict == "no-go" {
		state = verdict
	}
	decides := state == "unknown"
	data := func(x answer.Hindrance) bool { return x.Binding.Limit == "data" }
	slices.SortStableFunc(order, func(a, b answer.Hindrance) int {
		return cmp.Compare(last(data(a) != decides), last(data(b) != decides))
	})
	if state == "no-go" && len(order) == 1 && data(order[0]) {
		return state, []string{"no stretch of working hours is long enough"}
	}
	for _, x := range order {
		reasons = append(reasons, because(x.Binding, o))
	}
	if len(order) == 0 {
		state = "no-go"
	}
	return state, reasons
}

// last orders what is true behind what is not.
func last(is bool) int {
	if is {
		return 1
	}
	return 0
}

func stepWord(s string) string { return untie(name(s, 24)) }

// stop ends a sentence that has no end of its own.
func stop(s string) string {
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}
