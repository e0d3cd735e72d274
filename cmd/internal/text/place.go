package text

import (
	"fmt"
	"io"
	"math"

	"dewgap/cmd/internal/answer"
)

// mostReadings is how many readings a page of the place lists.
const mostReadings = 20

// Place writes the answer of dewgap place show. The error is w's own.
func Place(w io.Writer, a *answer.Learned, o Options) error {
	p := newPage(o)
	title := name(a.Boat, nameCells)
	if tidy(a.Place.Name) != "" {
		title += " at " + name(a.Place.Name, nameCells)
	}
	p.para("", 2, title+", "+day(a.Now)+nbsp+clock(a.Now))
	if len(a.Biases)+len(a.Zones) == 0 {
		p.para("", 2, fmt.Sprintf("Nothing is learned yet. A reading teaches once it is %.0f h old, if the book has the forecast of its hour: "+
			"record readings (dewgap reading add) and ask (dewgap week, dewgap morning).", a.Rules.FromHours))
		p.placeStations(a)
		p.warnings(a.Warnings)
		return p.writeTo(w)
	}
	p.used(a)
	p.placeBiases(a)
	p.placeSpreads(a)
	p.placeStations(a)
	p.placeZones(a)
	p.placeChanges(a)
	p.placeReadings(a)
	p.blank()
	p.para("", 2, fmt.Sprintf("A reading counts half after %s. The forecast's part counts whole for %.0f h ahead and no more from %.0f h on. "+
		"Nothing of it relaxes a hard limit; from %s on it may turn marginal into go. --no-learned answers without.",
		numbered(int(math.Round(a.Rules.HalfLifeDays)), "day"), a.Rules.LeadWholeH, a.Rules.LeadGoneH, numbered(a.Rules.Enough, "reading")))
	p.warnings(a.Warnings)
	return p.writeTo(w)
}

// used says in sentences what is used.
func (p *page) used(a *answer.Learned) {
	p.blank()
	p.line(heading("used"))
	if len(a.Lines) == 0 {
		p.line("  Nothing yet: what was learned comes to too little.")
	}
	for _, s := range a.Lines {
		p.para("  - ", 4, stop(answer.Capital(p.o.prose(s))))
	}
}

// placeBiases lists every error of the forecast, used or not.
func (p *page) placeBiases(a *answer.Learned) {
	if len(a.Biases) == 0 {
		return
	}
	p.blank()
	p.line(heading("the forecast here") + ", measured against it")
	for _, b := range a.Biases {
		p.para("  ", 4, b.Variable+", "+b.Regime+"s: "+p.bias(b))
	}
}

// bias is a mean error, how much of it is believed, and from what.
func (p *page) bias(b answer.LearnedBias) string {
	unit := func(v float64) string { return p.o.prose(fmt.Sprintf("%+.1f K", v)) }
	if b.Unit == "" {
		unit = func(v float64) string { return fmt.Sprintf("× %.2f", v) }
	}
	s := fmt.Sprintf("%s on average, %.0f %% of it believed: %s", unit(b.Mean), 100*b.Weight, unit(b.Used))
	s += fmt.Sprintf(" (%s", numbered(b.Readings, "reading"))
	if b.Stations > 0 {
		s += ", " + numbered(b.Stations, "observation") + " of stations"
	}
	return s + ", " + span(b) + ")"
}

// placeSpreads tells how far apart the futures are taken, and what is missing where
// they are as they come.
func (p *page) placeSpreads(a *answer.Learned) {
	p.blank()
	p.line(heading("how sure the forecast is here") + ", by how far off it was")
	for _, s := range a.Spreads {
		p.para("  ", 4, s.Variable+": "+p.spread(s, a.Rules))
	}
	p.para("  ", 4, stop(answer.Capital(a.Rain)))
}

func (p *page) spread(s answer.LearnedSpread, r answer.LearnedRules) string {
	cases := numbered(s.Cases, "case") + " of six hours"
	if s.Weight == 0 {
		return fmt.Sprintf("as it comes (%s; it takes %d to count at all and %d to count whole, %d more)", cases, r.LeastCases, r.EnoughCases, s.Missing)
	}
	out := p.o.prose(fmt.Sprintf("it was off by %.1f K where it reckoned with %.1f K", s.FoundK, s.SaidK)) +
		fmt.Sprintf(", %.0f %% of that believed: futures %.2f times as far apart (%s", 100*s.Weight, s.Factor, cases)
	if s.Missing > 0 {
		out += fmt.Sprintf(", %d more to count whole", s.Missing)
	}
	return out + ")"
}

// placeStations names the weather stations that teach, or may not.
func (p *page) placeStations(a *answer.Learned) {
	if len(a.Stations) == 0 {
		return
	}
	p.blank()
	p.line(heading("weather stations"))
	for _, s := range a.Stations {
		p.para("  ", 4, stop(p.o.prose(tidy(s.Text))))
	}
}

func span(b answer.LearnedBias) string {
	if from, to := day(b.From), day(b.To); from != to {
		return from + " to " + to
	}
	return day(b.From)
}

func numbered(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// placeZones lists what was learned of the panels.
func (p *page) placeZones(a *answer.Learned) {
	if len(a.Zones) == 0 {
		return
	}
	p.blank()
	p.line(heading("the panels"))
	for _, z := range a.Zones {
		p.para("  "+name(z.Zone, zoneCells)+": ", 4, "absorbs "+panelValue(z.Absorptance, "in the sun")+"; sees of its sky "+panelValue(z.Sky, "by night")+".")
		for _, b := range z.Surface {
			p.para("    ", 6, "left over on "+b.Regime+"s: "+p.bias(b))
		}
	}
}

func panelValue(v answer.LearnedValue, where string) string {
	from := numbered(v.Readings, "reading") + " " + where
	switch {
	case v.Weight == 0:
		return fmt.Sprintf("%.0f %% as in the tables (%s, too few)", 100*v.Table, from)
	case v.Used == v.Table:
		return fmt.Sprintf("%.0f %% as in the tables (%s)", 100*v.Table, from)
	}
	return fmt.Sprintf("%.0f %%, tables %.0f, fitted %.0f, %.0f %% of the difference believed (%s)",
		100*v.Used, 100*v.Table, 100*v.Fitted, 100*v.Weight, from)
}

// placeChanges says what is otherwise in the answers.
func (p *page) placeChanges(a *answer.Learned) {
	if a.Changes == nil {
		return
	}
	p.blank()
	p.line(heading("what it changes"))
	if len(a.Changes) == 0 {
		p.line("  No state of any hour.")
	}
	for _, c := range a.Changes {
		p.para("  ", 4, stepWord(c.Step)+", "+name(c.Zone, zoneCells)+": "+stop(p.o.prose(c.Text)))
	}
}

// placeReadings lists the newest readings that taught.
func (p *page) placeReadings(a *answer.Learned) {
	if len(a.Readings) == 0 {
		return
	}
	p.blank()
	p.line(heading("from these readings") + ", the newest first")
	for k := range a.Readings {
		if k == mostReadings {
			p.line(fmt.Sprintf("  and %d more; --json lists all", len(a.Readings)-k))
			break
		}
		r := a.Readings[len(a.Readings)-1-k]
		p.para("  ", 4, day(r.At)+nbsp+clock(r.At)+" "+p.o.prose(r.Text)+tie(fmt.Sprintf(" · counts %.0f %%", 100*r.Age)))
	}
}
