package text

import (
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// piece is a stretch of one state on one zone, within one day.
type piece struct {
	zone     string
	from, to time.Time
	state    string
	binding  answer.Binding
	clears   *time.Time
	besides  []string // what else asks for the yes in other hours of it
}

// days writes a step day by day: the hours of each zone, then what stands
// against the others. Days that read the same are written once; of a boat of so many
// zones that nobody would read it, only the first days and the best (see brief).
func (p *page) days(s step, book zoneBook) (cutShort bool) {
	p.blank()
	p.line("  By day")
	pieces := piecesOf(s)
	never := p.never(s, pieces, book)
	byDay, dates := map[string][]piece{}, []string{}
	first := map[string]time.Time{}
	for _, x := range pieces {
		if slices.Contains(never, x.zone) {
			continue // all is said of it
		}
		d := date(x.from)
		if _, ok := first[d]; !ok {
			dates, first[d] = append(dates, d), x.from
		}
		byDay[d] = append(byDay[d], x)
	}
	slices.Sort(dates)
	bodies := make([]string, len(dates))
	for i, d := range dates {
		bodies[i] = p.day(s, byDay[d], book)
	}
	var told []chunk
	for i := 0; i < len(dates); {
		x := chunk{head: day(first[dates[i]]), body: bodies[i], days: 1}
		for i++; i < len(dates) && bodies[i] == x.body; i++ {
			x.days++
			x.last = day(first[dates[i]])
		}
		told = append(told, x)
	}
	best := ""
	if len(s.windows) > 0 {
		best = date(s.windows[0].From)
	}
	cutShort = p.o.brief(told, s.asked, func(i int) bool { return i == chunkOf(told, slices.Index(dates, best)) })
	for _, x := range told {
		if !x.out {
			p.line("  " + x.heading())
			p.b.WriteString(x.body)
		}
	}
	if cutShort {
		p.leftOut(told)
	}
	p.unlisted(s)
	return cutShort
}

// piecesOf cuts windows and refusals at the ends of days, in order of time.
func piecesOf(s step) []piece {
	var out []piece
	add := func(x piece) {
		for end := x.to; x.from.Before(end); x.from = x.to {
			if x.to = answer.NextMidnight(x.from); x.to.After(end) || !x.to.After(x.from) {
				x.to = end
			}
			out = append(out, x)
		}
	}
	for _, w := range s.windows {
		add(piece{w.Zone, w.From, w.To, w.State, w.Binding, nil, w.Besides})
	}
	for _, r := range s.refusals {
		add(piece{r.Zone, r.From, r.To, r.State, r.Binding, r.Clears, nil})
	}
	return answer.InOrder(out, func(a, b *piece) int { return a.from.Compare(b.from) })
}

// never finds the zones that one yes/no limit refuses on all days, and says so
// once instead of every day.
func (p *page) never(s step, pieces []piece, book zoneBook) []string {
	why, mixed := map[string]string{}, map[string]bool{}
	for _, x := range pieces {
		l := x.binding.Limit
		if scheduled(l) && !answer.Workable(x.state) {
			continue
		}
		w := because(x.binding, p.o)
		if had, ok := why[x.zone]; answer.Workable(x.state) || ok && had != w || reasons()[l].broken != nil || l == "data" {
			mixed[x.zone] = true
		}
		why[x.zone] = w
	}
	by, order, all := map[string][]string{}, []string{}, []string{}
	for _, z := range s.zones {
		if w, ok := why[z]; ok && !mixed[z] {
			if by[w] == nil {
				order = append(order, w)
			}
			by[w], all = append(by[w], z), append(all, z)
		}
	}
	for _, w := range order {
		p.para("  "+tag("no-go")+" ", 4, "on every day: "+every(book.sorted(by[w]), s.zones)+": "+w+".")
	}
	return all
}

// day writes the body of one day.
func (p *page) day(s step, pieces []piece, book zoneBook) string {
	sub := newPage(p.o)
	sub.open(s, pieces, book)
	list := sub.reasons(pieces)
	for _, c := range list {
		sub.reason(s, c, book)
	}
	sub.later(s, list, book)
	if sub.b.Len() == 0 {
		sub.line("    " + idle(pieces))
	}
	return sub.b.String()
}

// idle says why a day has no hours to judge at all.
func idle(pieces []piece) string {
	for _, x := range pieces {
		if x.binding.Limit == "away" {
			return "nobody works"
		}
	}
	return "no working hours"
}

// labelCells is the column of zone names before the hours.
const labelCells = 24

// open writes the windows of a day, zones with the same hours together.
func (p *page) open(s step, pieces []piece, book zoneBook) {
	hoursOf, zonesOf, order := map[string]string{}, map[string][]string{}, []string{}
	for _, x := range pieces {
		if answer.Workable(x.state) {
			t := tag(x.state) + nbsp + hours(x.from, x.to)
			if hoursOf[x.zone] != "" {
				t = nbsp + " " + t
			}
			hoursOf[x.zone] += t
		}
	}
	for _, z := range s.zones {
		if h := hoursOf[z]; h != "" {
			if zonesOf[h] == nil {
				order = append(order, h)
			}
			zonesOf[h] = append(zonesOf[h], z)
		}
	}
	for _, h := range order {
		label := every(book.sorted(zonesOf[h]), s.zones)
		if cells(label) > labelCells {
			p.para("    ", 4, label)
			label = ""
		}
		p.para("    "+pad(label, labelCells)+"  ", labelCells+6, h)
	}
}

// reasons gathers the pieces of a day that are refused, or need consent, by
// reason and in order of time. Hours that a schedule refuses are left out.
func (p *page) reasons(pieces []piece) [][]piece {
	var out [][]piece
	for _, x := range pieces {
		if x.state == "ideal" || x.state == "go" || scheduled(x.binding.Limit) {
			continue
		}
		i := slices.IndexFunc(out, func(c []piece) bool { return p.sameReason(c[0], x) })
		if i < 0 {
			out, i = append(out, nil), len(out)
		}
		out[i] = append(out[i], x)
	}
	return out
}

// sameReason reports the same state and limit; where words and not numbers tell
// the reason, the same words.
func (p *page) sameReason(a, b piece) bool {
	return a.state == b.state && a.binding.Limit == b.binding.Limit &&
		(reasons()[a.binding.Limit].broken != nil || because(a.binding, p.o) == because(b.binding, p.o))
}

// reason writes one reason: why, at worst where it differs, and then when and
// where, and when it clears.
func (p *page) reason(s step, c []piece, book zoneBook) {
	worst, differs := c[0].binding, false
	for _, x := range c[1:] {
		differs = differs || because(x.binding, p.o) != because(worst, p.o)
		worst = worst.Worse(x.binding)
	}
	why := because(worst, p.o)
	if differs {
		why = "at worst " + why
	}
	var also []string
	for _, x := range c {
		for _, b := range x.besides {
			if !slices.Contains(also, b) {
				also = append(also, b)
			}
		}
	}
	if len(also) > 0 {
		why += ", and in other hours " + answer.Listed(also)
	}
	p.para("    "+tag(c[0].state)+" because ", 6, why+": "+stretches(s, c, book)+".")
}

// stretches names the stretches of a reason in order of time, each with its
// zones and when it clears there, if it does on that day: "07:00-08:20 port
// side, clears 08:20".
func stretches(s step, c []piece, book zoneBook) string {
	type key struct{ hours, clears string }
	zones, order := map[key][]string{}, []key{}
	for _, x := range c {
		k := key{hours: hours(x.from, x.to)}
		if x.clearsToday() {
			k.clears = ", clears" + nbsp + clock(*x.clears)
		}
		if zones[k] == nil {
			order = append(order, k)
		}
		zones[k] = append(zones[k], x.zone)
	}
	if len(order) > stretchesMost {
		return arounds(s, c, book)
	}
	parts := make([]string, len(order))
	for i, k := range order {
		parts[i] = k.hours + " " + every(book.sorted(zones[k]), s.zones) + k.clears
	}
	return strings.Join(parts, "; ")
}

// stretchesMost is how many different stretches of one reason are told one by
// one.
const stretchesMost = 5

// arounds tells the stretches that touch together, those of the morning and
// those of the evening apart.
func arounds(s step, c []piece, book zoneBook) string {
	var parts []string
	for i := 0; i < len(c); {
		until, end := c[i].to, i+1
		for end < len(c) && !c[end].from.After(until) { // in order of time
			if c[end].to.After(until) {
				until = c[end].to
			}
			end++
		}
		parts = append(parts, around(s, c[i:end], book))
		i = end
	}
	return strings.Join(parts, "; ")
}

// around tells many stretches of a reason together: from the first to the last,
// with all zones, and between when and when they clear.
func around(s step, c []piece, book zoneBook) string {
	from, to := c[0].from, c[0].to
	var zones, clear []string
	var first, last time.Time
	all := true
	for _, x := range c {
		zones = append(zones, x.zone)
		if x.to.After(to) {
			to = x.to
		}
		if !x.clearsToday() {
			all = false
			continue
		}
		clear = append(clear, x.zone)
		if first.IsZero() || x.clears.Before(first) {
			first = *x.clears
		}
		if x.clears.After(last) {
			last = *x.clears
		}
	}
	text := "within " + hours(from, to) + " " + every(book.sorted(zones), s.zones)
	if first.IsZero() {
		return text
	}
	text += ", clears" + nbsp + clock(first)
	if !first.Equal(last) {
		text += " to" + nbsp + clock(last)
	}
	if !all {
		text += " on " + every(book.sorted(clear), s.zones)
	}
	return text
}

func (x piece) clearsToday() bool { return x.clears != nil && sameDay(x.from, *x.clears) }

// later says once a day when the refusals clear that do not on the day itself.
func (p *page) later(s step, list [][]piece, book zoneBook) {
	zones, order := map[string][]string{}, []string{}
	var never []string
	for _, c := range list {
		for _, x := range c {
			if answer.Workable(x.state) || x.clearsToday() {
				continue
			}
			if x.clears == nil {
				never = append(never, x.zone)
				continue
			}
			k := when(x.from, *x.clears)
			if zones[k] == nil {
				order = append(order, k)
			}
			zones[k] = append(zones[k], x.zone)
		}
	}
	var parts []string
	for _, k := range order {
		parts = append(parts, every(book.sorted(zones[k]), s.zones)+" "+k)
	}
	if len(never) > 0 {
		parts = append(parts, "not in these days: "+every(book.sorted(never), s.zones))
	}
	if len(parts) > 0 {
		p.para("    Clears: ", 6, strings.Join(parts, "; ")+".")
	}
}

// unlisted says which hours the days leave out.
func (p *page) unlisted(s step) {
	words := map[string]string{
		"hours": "outside working hours", "away": "days off", "daylight": "darkness",
		"machines": "hours without machines",
	}
	var parts []string
	for _, l := range [...]string{"hours", "machines", "daylight", "away"} {
		if slices.ContainsFunc(s.refusals, func(r answer.Refusal) bool { return r.Binding.Limit == l }) {
			parts = append(parts, words[l])
		}
	}
	if len(parts) > 0 {
		p.para("  ", 2, tag("no-go")+" as well, and not listed: "+strings.Join(parts, ", ")+".")
	}
}
