package text

import (
	"io"
	"slices"
	"strings"

	"dewgap/products"
)

// kindsOfWork are the kinds of step in the order of a job, with what their
// products do.
var kindsOfWork = [...][2]string{
	{"wash", "wash"}, {"decontaminate", "take off rust, scale and stains"}, {"correct", "polish by machine"},
	{"wipe down", "wipe down before sealing"}, {"strip wash", "wash off old protection"},
	{"seal", "seal: wax, sealant, ceramic"}, {"protect", "protect metal, vinyl and non-skid"},
	{"coat", "coat: wood, paint, epoxy, antifouling"}, {"bed", "bed and caulk joints"},
}

// idCells is the column of product ids.
const idCells = 24

// Products writes the catalogue, one line a product with its id, its name and
// the temperature of the panel that it asks for, grouped by what it does. The
// error is w's own.
func Products(w io.Writer, list []products.Class, o Options) error {
	p := newPage(o)
	var order []string
	for _, k := range kindsOfWork {
		order = append(order, k[0])
	}
	for _, c := range list {
		if !slices.Contains(order, c.Do) {
			order = append(order, c.Do)
		}
	}
	if len(list) == 0 {
		p.line("There are no products.")
		return p.writeTo(w)
	}
	p.para("", 2, "Id, what it is, and the temperatures of the panel in which it may go on.")
	for _, do := range order {
		p.kind(do, list)
	}
	return p.writeTo(w)
}

// kind writes the products of one kind of work.
func (p *page) kind(do string, list []products.Class) {
	first := true
	for _, c := range list {
		if c.Do != do {
			continue
		}
		if first {
			p.blank()
			p.line(heading(kindWord(do)))
			first = false
		}
		p.product(c)
	}
}

func kindWord(do string) string {
	for _, k := range kindsOfWork {
		if k[0] == do {
			return k[1]
		}
	}
	return name(do, nameCells)
}

func (p *page) product(c products.Class) {
	end := ""
	if b, ok := goBand(c.SurfaceC); ok {
		end = p.band(p.o.temperature(), b)
	}
	if c.Own {
		end = strings.TrimSuffix("yours, "+end, ", ")
	}
	head := "  " + pad(name(c.ID, idCells-2), idCells)
	room := p.o.Width - cells(head) - cells(end) - 2
	if p.o.Width < usualWidth && cells(tidy(c.Name)) > room {
		p.para("  "+name(c.ID, idCells)+": ", 4, strings.TrimSuffix(name(c.Name, usualWidth)+", "+end, ", "))
		return
	}
	p.line(head + pad(name(c.Name, room), room) + "  " + end)
}

// goBand is the default band of a limit, if it has any bound.
func goBand(l products.Limit) (products.Band, bool) {
	return l.Default, l.Given && (l.Default.HasMin || l.Default.HasMax)
}

// band writes a range with both ends rounded inwards: "57-75 °F", "from 50 °F",
// "up to 90 °F", "any".
func (p *page) band(q quantity, b products.Band) string {
	lo, hi := figure(q.of(b.Min), q.digits, up, false), figure(q.of(b.Max), q.digits, down, false)
	switch {
	case b.HasMin && b.HasMax && lo == hi:
		return q.withUnit(lo)
	case b.HasMin && b.HasMax && strings.HasPrefix(lo, "-"):
		return q.withUnit(lo + nbsp + "to" + nbsp + hi)
	case b.HasMin && b.HasMax:
		return q.withUnit(lo + "-" + hi)
	case b.HasMin:
		return "from" + nbsp + q.withUnit(lo)
	case b.HasMax:
		return "up" + nbsp + "to" + nbsp + q.withUnit(hi)
	}
	return "any"
}
