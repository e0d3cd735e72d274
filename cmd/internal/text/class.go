package text

import (
	"io"
	"slices"
	"strings"

	"dewgap/products"
)

// Class writes one product: what it is for, every limit in its three bands with
// where it is from, the clocks, working times and lifetime, the finishes, and
// the cautions. The error is w's own.
func Class(w io.Writer, c products.Class, o Options) error {
	p := newPage(o)
	p.classHead(c)
	notes := &sources{}
	lines := c.Explain()
	p.graded(lines, notes)
	p.ranges(lines, notes)
	p.finishes(c)
	p.words(c)
	p.blank()
	for i, s := range notes.list {
		p.para("["+count(i+1)+"] ", 4, s) // in the units of whoever said it
	}
	return p.writeTo(w)
}

// sources numbers the provenances in the order in which they are met.
type sources struct{ list []string }

func (s *sources) mark(text string) string {
	if text = tidy(text); text == "" {
		return ""
	}
	i := slices.Index(s.list, text)
	if i < 0 {
		s.list = append(s.list, text)
		i = len(s.list) - 1
	}
	return "[" + count(i+1) + "]"
}

func (p *page) classHead(c products.Class) {
	p.para(heading(name(c.ID, nameCells)), 2, ": "+tidy(c.Name))
	parts := []string{"For the step " + strings.Join(short(append([]string{c.Do}, c.AlsoDo...), zoneCells), " or ")}
	if c.Machine {
		parts = append(parts, "needs machine hours")
	}
	parts = append(parts, "panel "+map[products.Surface]string{
		products.SurfaceDry: "dry", products.SurfaceDamp: "dry or damp", products.SurfaceWet: "wetted by the work",
	}[c.Surface])
	if s := runOff(c.Water); s != "" {
		parts = append(parts, s)
	}
	if c.People > 1 {
		parts = append(parts, count(c.People)+" people at least")
	}
	p.para("", 2, strings.Join(parts, "; ")+".")
	if c.Own && c.Like != "" {
		p.para("", 2, "Your own product: like "+name(c.Like, nameCells)+", but for what your file says.")
	}
	if c.CoolSun {
		p.para("", 2, "Sun and UV do not count while the panel keeps inside its ideal temperatures.")
	}
	if c.Surface == products.SurfaceDry {
		dew := "Dew may be towelled off."
		if !c.Towel {
			dew = "Dew must dry by itself; a towel does not help."
		}
		p.para("", 2, dew)
	}
}

func runOff(w products.Water) string {
	switch w {
	case products.WaterRinse:
		return "fresh water runs off"
	case products.WaterSoap:
		return "soapy water runs off"
	case products.WaterAll:
		return "acid, caustic, slurry or solvent runs off"
	}
	return ""
}

// The columns of the limits.
const (
	termCells = 24
	bandCells = 17
)

// graded writes the limits and clocks with three bands.
func (p *page) graded(lines []products.Line, notes *sources) {
	p.blank()
	if p.o.Width < termCells+3*bandCells {
		p.gradedBelow(lines, notes)
	} else {
		p.gradedBeside(lines, notes)
	}
	p.para("  ", 2, "Outside marginal is "+tag("no-go")+"; where marginal says any, that limit alone never makes no-go.")
	if slices.ContainsFunc(lines, func(l products.Line) bool { return l.Graded && equivalent(l) }) {
		p.para("  ", 2, p.o.prose("By warmth: hours as on a panel of 20 °C; more when it is colder, fewer when it is warmer."))
	}
}

// gradedBelow has the bands of a limit in one sentence.
func (p *page) gradedBelow(lines []products.Line, notes *sources) {
	for _, l := range lines {
		if inTable(l) {
			q := p.lineUnit(l)
			p.para("  "+term(l)+": ", 4, tag("ideal")+" "+tie(p.cell(q, l.Ideal, l))+", "+tag("go")+" "+tie(p.cell(q, l.Default, l))+", "+
				tag("marginal")+" "+tie(p.cell(q, l.Hard, l))+" "+notes.mark(l.Source))
		}
	}
}

// gradedBeside has the bands of a limit in columns.
func (p *page) gradedBeside(lines []products.Line, notes *sources) {
	p.line(pad("", termCells) + pad(tag("ideal"), bandCells) + pad(tag("go"), bandCells) + tag("marginal"))
	for _, l := range lines {
		if !inTable(l) {
			continue
		}
		q := p.lineUnit(l)
		mark := notes.mark(l.Source)
		p.line("  " + pad(term(l), termCells-2) + pad(p.cell(q, l.Ideal, l), bandCells) +
			pad(p.cell(q, l.Default, l), bandCells) + pad(p.cell(q, l.Hard, l), bandCells-1) + mark)
	}
}

// inTable reports a line that has three bands of its own; water on the panel has
// one bound for all.
func inTable(l products.Line) bool { return l.Graded && l.Key != "film_max_g_m2" }

// cell is a band in a limit's column.
func (p *page) cell(q quantity, b products.Band, l products.Line) string {
	if hoursLine(l) && b.HasMin {
		return duration(b.Min, up)
	}
	return p.band(q, b)
}

func hoursLine(l products.Line) bool { return l.Unit == "h" || strings.HasPrefix(l.Unit, "h ") }

// ranges writes the other lines: working times, cure, labour, lifetime.
func (p *page) ranges(lines []products.Line, notes *sources) {
	p.blank()
	for _, l := range lines {
		if inTable(l) {
			continue
		}
		p.para("  "+pad(term(l), 30)+"  ", 34, p.band(p.lineUnit(l), l.Default)+" "+notes.mark(l.Source))
	}
}

// terms are what the lines of a class are called on screens, where products has
// another word.
var terms = map[string]string{
	"surface_c": "panel", "surface_on_paint_c": "panel, painted", "spread_k": "over dew point",
	"gust_m_s": "gusts", "sunlight_w_m2": "sun on the panel", "uv_index": "UV index on it",
	"film_max_g_m2": "water on the panel", "dry_off": "dry beforehand", "dew_dry_off": "free of dew before",
	"rain_free": "no rain after", "dew_free": "no dew after", "launch": "ashore after",
	"min_c": "panel while it cures",
}

func term(l products.Line) string {
	t := terms[l.Key]
	if t == "" {
		t = name(l.Label, 30)
	}
	if equivalent(l) && l.Graded {
		return strings.TrimSuffix(t, " after") + ", by warmth"
	}
	return t
}

// equivalent reports hours that run faster on a warm panel.
func equivalent(l products.Line) bool { return l.Unit == "h at 20 °C" }

// lineUnit is the quantity in which a line is shown.
func (p *page) lineUnit(l products.Line) quantity {
	switch l.Key {
	case "air_c", "surface_c", "surface_on_paint_c", "min_c":
		return p.o.temperature()
	case "spread_k":
		return p.o.degrees()
	case "wind_m_s", "gust_m_s":
		return p.o.wind()
	case "film_max_g_m2":
		return p.o.water()
	case "h_per_ft":
		if p.o.us() {
			return plain("h a foot", 2)
		}
		return quantity{metreFt, 0, "h a metre", 2}
	case "rate_m2_h":
		return p.rate(l.Unit)
	case "humidity_pct", "cure_humidity_pct":
		return plain("%", 0)
	}
	return plain(untie(p.o.prose(l.Unit)), 1)
}

// rate is labour: of area, of length, or of repairs.
func (p *page) rate(unit string) quantity {
	q := plain(unit, 1)
	switch {
	case strings.HasPrefix(unit, "m²/h"):
		q = p.o.area()
	case strings.HasPrefix(unit, "m/h"):
		q = p.o.length()
	default:
		return q
	}
	q.unit += " an hour and person"
	return q
}

// finishes writes what the product suits.
func (p *page) finishes(c products.Class) {
	p.blank()
	for _, f := range [...]struct {
		head string
		list []string
	}{
		{"Goes on: ", c.Allowed},
		{"Only where the paint is known to stand buffing: ", c.Conditional},
		{"Never on: ", c.Never},
	} {
		switch {
		case len(f.list) == 0:
		case len(f.list) == len(products.Finishes()):
			p.para(f.head, 2, "every finish.")
		default:
			p.para(f.head, 2, strings.Join(short(f.list, zoneCells), ", ")+".")
		}
	}
}

// words writes what a broken clock costs, notes, cautions and warnings.
func (p *page) words(c products.Class) {
	if c.IfViolated != "" {
		p.para("If it gets wet too soon: ", 2, stop(p.o.prose(c.IfViolated)))
	}
	if c.Notes != "" {
		p.para("Notes: ", 2, stop(p.o.prose(c.Notes)))
	}
	if len(c.Cautions) > 0 {
		list := make([]string, len(c.Cautions))
		for i, s := range c.Cautions {
			list[i] = p.o.prose(s)
		}
		p.para("Cautions: ", 2, stop(strings.Join(list, "; "))+" The safety data sheet, local rules and licensed practice decide.")
	}
	for _, s := range c.Warnings {
		p.para("Please note: ", 2, stop(p.o.prose(s)))
	}
}
