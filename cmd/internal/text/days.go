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
}

// days writes a step day by day: the hours of each zone, then what stands
// against the others. Days that read the same are written once.
func (p *page) days(s step, book zoneBook) {
	p.blank()
	p.line("  By day")
	pieces := piecesOf(s)
	never := p.never(s, pieces, book)
	byDay, dates := map[string][]piece{}, []string{}
	first := map[string]time.Time{}
	for _, x := range pieces {
		if _, ok := first[date(x.from)]; !ok {
			dates, first[date(x.from)] = append(dates, date(x.from)), x.from
		}
		if !slices.Contains(never, x.zone) {
			byDay[date(x.from)] = append(byDay[date(x.from)], x)
		}
	}
	slices.Sort(dates)
	for i := 0; i < len(dates); {
		head, body := day(first[dates[i]]), p.day(s, byDay[dates[i]], book)
		end := i + 1
		for end < len(dates) && p.day(s, byDay[dates[end]], book) == body {
			end++
		}
		if end-i > 1 {
			head += " to " + day(first[dates[end-1]])
		}
		p.line("  " + head)
		p.b.WriteString(body)
		i = end
	}
	p.unlisted(s)
}

// piecesOf cuts windows and refusals at the ends of days, in order of time.
func piecesOf(s step) []piece {
	var out []piece
	add := func(x piece) {
		for end := x.to; x.from.Before(end); x.from = x.to {
			if x.to = nextMidnight(x.from); x.to.After(end) || !x.to.After(x.from) {
				x.to = end
			}
			out = append(out, x)
		}
	}
	for _, w := range s.windows {
		add(piece{w.Zone, w.From, w.To, w.State, w.Binding, nil})
	}
	for _, r := range s.refusals {
		add(piece{r.Zone, r.From, r.To, r.State, r.Binding, r.Clears})
	}
	slices.SortStableFunc(out, func(a, b piece) int { return a.from.Compare(b.from) })
	return out
}

// never finds the zones that one yes/no limit refuses on all days, and says so
// once instead of every day.
func (p *page) never(s step, pieces []piece, book zoneBook) []string {
	limit, mixed := map[string]string{}, map[string]bool{}
	for _, x := range pieces {
		l := x.binding.Limit
		if scheduled(l) && !workable(x.state) {
			continue
		}
		if had, ok := limit[x.zone]; workable(x.state) || ok && had != l || reasons()[l].broken != nil || l == "data" {
			mixed[x.zone] = true
		}
		limit[x.zone] = l
	}
	by, order, all := map[string][]string{}, []string{}, []string{}
	for _, z := range s.zones {
		if l, ok := limit[z]; ok && !mixed[z] {
			if by[l] == nil {
				order = append(order, l)
			}
			by[l], all = append(by[l], z), append(all, z)
		}
	}
	for _, l := range order {
		p.para("  "+tag("no-go")+" ", 4, "on every day: "+every(book.sorted(by[l]), s.zones)+": "+
			because(answer.Binding{Limit: l}, p.o)+".")
	}
	return all
}

// day writes the body of one day.
func (p *page) day(s step, pieces []piece, book zoneBook) string {
	sub := newPage(p.o)
	sub.open(s, pieces, book)
	refused := refusals(pieces)
	for _, c := range refused {
		sub.refused(s, c, book)
	}
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
		if workable(x.state) {
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

// refusals gathers the refused pieces of a day by limit and, within it, by
// stretches that touch, in order of time. Hours that a schedule refuses are left
// out.
func refusals(pieces []piece) [][]piece {
	var out [][]piece
	for _, x := range pieces {
		if workable(x.state) || scheduled(x.binding.Limit) {
			continue
		}
		i := slices.IndexFunc(out, func(c []piece) bool { return joins(c, x) })
		if i < 0 {
			out, i = append(out, nil), len(out)
		}
		out[i] = append(out[i], x)
	}
	return out
}

// joins reports whether a piece belongs to a reason: the same state and limit,
// and no gap between it and one of the others.
func joins(c []piece, x piece) bool {
	return slices.ContainsFunc(c, func(y piece) bool {
		return y.state == x.state && y.binding.Limit == x.binding.Limit && !x.from.After(y.to)
	})
}

// refused writes one reason: why, at worst where it differs, and then when and
// where, and when it clears.
func (p *page) refused(s step, c []piece, book zoneBook) {
	worst, differs := c[0].binding, false
	for _, x := range c[1:] {
		differs = differs || because(x.binding, p.o) != because(worst, p.o)
		worst = worse(worst, x.binding)
	}
	why := because(worst, p.o)
	if differs {
		why = "at worst " + why
	}
	p.para("    "+tag(c[0].state)+" because ", 6, why+": "+stretches(s, c, book)+".")
}

// stretches names the stretches of a reason in order of time, each with its
// zones and when it clears there: "07:00-08:20 port side, clears 08:20".
func stretches(s step, c []piece, book zoneBook) string {
	type key struct{ hours, clears string }
	zones, order := map[key][]string{}, []key{}
	for _, x := range c {
		k := key{hours(x.from, x.to), "no window after it"}
		if x.clears != nil {
			k.clears = "clears" + nbsp + when(x.from, *x.clears)
		}
		if zones[k] == nil {
			order = append(order, k)
		}
		zones[k] = append(zones[k], x.zone)
	}
	parts := make([]string, len(order))
	for i, k := range order {
		parts[i] = k.hours + " " + every(book.sorted(zones[k]), s.zones) + ", " + k.clears
	}
	return strings.Join(parts, "; ")
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
