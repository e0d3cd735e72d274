package draw

import (
	"math"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// mostLines is how many zones a day can show before its lines tangle.
const mostLines = 6

// curves is the day's picture while it is drawn.
type curves struct {
	*canvas
	w     *answer.Week
	loc   *time.Location
	axis  axis
	zones []answer.Zone
	more  int // zones that are left to the table
	all   []answer.Zone
	step  string
	rows  []row // of the step, on the zones
	class *answer.ClassBands
}

func dayCurves(w *answer.Week, day string, o Options) Picture {
	c := newCurves(w, day, o)
	title := "Why " + c.axis.from.Format(dayWords) + ": panel and dew point of " + nameOf(w)
	top := c.head(title, c.subtitle())
	known := c.known()
	y := top + 8
	if known {
		y = c.surface(y)
		y = c.spread(y + 12)
		y = c.states(y + 14)
	} else {
		c.rect("night", edge, y, c.wide-2*edge, 96)
		c.text("", c.wide/2, y+52, atMiddle, "The answer has no temperatures for this day.", 12, c.wide-4*edge)
		y += 108
	}
	desc := c.describe(known)
	return Picture{SVG: c.finish(y+4, title, desc), Title: title, Description: desc, Table: c.table()}
}

func newCurves(w *answer.Week, day string, o Options) *curves {
	c := &curves{canvas: newCanvas(o), w: w, loc: location(w)}
	right := 200.0
	if o.narrow() {
		right = 104
	}
	c.axis = axis{dayOf(day, c.loc, w.From), edge + 30, c.wide - edge - right}
	c.all = zonesOf(w, o)
	c.zones = c.all[:min(len(c.all), mostLines)]
	c.more = len(c.all) - len(c.zones)
	c.step = stepOf(w, o.Step)
	for _, r := range rowsOf(w, c.all) {
		if r.step == c.step {
			c.rows = append(c.rows, r)
		}
	}
	for _, r := range c.rows {
		if c.class = classOf(w, r.product, r.zone); c.class != nil {
			break
		}
	}
	return c
}

// stepOf is the step by its name, else the last that seals, else the last.
func stepOf(w *answer.Week, name string) string {
	steps := stepsOf(w)
	seal, last := "", ""
	for _, s := range steps {
		if s == name {
			return s
		}
		last = s
	}
	for _, r := range w.Refusals {
		if r.Do == "seal" {
			seal = r.Step
		}
	}
	if seal != "" {
		return seal
	}
	return last
}

func (c *curves) subtitle() string {
	words := "Hours at the place, " + zoneWords(c.loc) + "."
	if c.class != nil {
		words = "Behind the lines: what " + c.class.Name + " asks for. " + words
	}
	if c.more > 0 {
		words += " " + counted(c.more, "more zone") + " in the table."
	}
	return words
}

// known reports whether there is a temperature to draw.
func (c *curves) known() bool {
	for _, z := range c.zones {
		for _, h := range z.Hours {
			if c.axis.holds(h.At) && finite(h.SurfaceC) {
				return true
			}
		}
	}
	return false
}

// point is the mean over an hour, at the hour's middle.
type point struct {
	at    time.Time
	value float64
}

// series are the known values of a zone's day, in stretches without gaps.
func (c *curves) series(z *answer.Zone, of func(*answer.Hour) *float64, unit func(float64) float64) [][]point {
	var out [][]point
	var last time.Time
	for i := range z.Hours {
		h := &z.Hours[i]
		v := of(h)
		if !c.axis.holds(h.At) || !finite(v) {
			continue
		}
		if len(out) == 0 || h.At.Sub(last) > time.Hour {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], point{middle(h.At), unit(*v)})
		last = h.At
	}
	return out
}

func surfaceOf(h *answer.Hour) *float64 { return h.SurfaceC }
func dewOf(h *answer.Hour) *float64     { return h.DewPointC }
func spreadOf(h *answer.Hour) *float64  { return h.SpreadK }

// curve is one line of a plot with its name.
type curve struct {
	class, words string // of the line, and of its name
	name         string
	parts        [][]point
}

func (c *curves) zoneCurves(of func(*answer.Hour) *float64, unit func(float64) float64) []curve {
	var out []curve
	for i := range c.zones {
		n := strconv.Itoa(i)
		out = append(out, curve{"line l" + n, "w" + n, c.zones[i].Name, c.series(&c.zones[i], of, unit)})
	}
	return out
}

// surface draws the upper plot: the panels, the dew point, and the band in which
// the product wants the panel.
func (c *curves) surface(y float64) float64 {
	list := c.zoneCurves(surfaceOf, c.o.celsius)
	list = append(list, curve{"line dew", "s", "dew point", c.series(&c.zones[0], dewOf, c.o.celsius)})
	high := 270.0
	if c.o.narrow() {
		high = 230
	}
	c.text("b", edge, y+12, atStart, "Panel and dew point, "+c.o.degree(), 12, c.wide-2*edge)
	p := c.plot(y+22, high, list)
	var bands *answer.Bands
	if c.class != nil {
		bands = c.class.SurfaceC
	}
	c.frame(p, bands, c.o.celsius)
	c.lines(p, list)
	c.bandWords(p, bands, c.o.celsius, c.o.degree(), list)
	c.hours(p.bottom)
	return p.bottom + 20
}

// spread draws the lower plot: how far the panels are over the dew point.
func (c *curves) spread(y float64) float64 {
	list := c.zoneCurves(spreadOf, c.o.kelvins)
	high := 150.0
	words := "Spread over dew point, " + c.o.kelvin() + "; dew below 0"
	c.text("b", edge, y+12, atStart, words, 12, c.wide-2*edge)
	p := c.plot(y+22, high, append(list, curve{parts: [][]point{{{value: -1}, {value: c.o.kelvins(6)}}}}))
	var bands *answer.Bands
	if c.class != nil {
		bands = c.class.SpreadK
	}
	c.frame(p, bands, c.o.kelvins)
	c.path("axis", line(c.axis.left, p.y(0), c.axis.right))
	c.lines(p, list)
	c.bandWords(p, bands, c.o.kelvins, c.o.kelvin(), list)
	c.hours(p.bottom)
	return p.bottom + 20
}

// states draws when the step goes on each zone, beneath its causes.
func (c *curves) states(y float64) float64 {
	if len(c.rows) == 0 {
		return y
	}
	r := &c.rows[0]
	c.text("b", edge, y+12, atStart, "When it goes: "+r.step+" · "+productName(c.w, r.product), 12, c.wide-2*edge)
	y += 24
	top := y
	rows := c.above(func() { y = c.stateRows(y) })
	c.night(top, y)
	c.raw(rows)
	l := &legend{canvas: c.canvas, x: edge, left: edge, y: y + 14}
	l.states()
	l.marks()
	return l.y + 22
}

// stateRows draws a row for each zone that the step is done on, and gives the y
// beneath them.
func (c *curves) stateRows(y float64) float64 {
	for i := range c.zones {
		z := &c.zones[i]
		for k := range c.rows {
			if r := &c.rows[k]; r.zone == z.Name {
				c.path("grid", line(c.axis.left, y+barHigh+.5, c.axis.right))
				rowMarks(c.canvas, c.w, r, z, c.axis, y)
				c.text(c.o.weight()+"w"+strconv.Itoa(i), c.axis.right+10, y+barHigh, atStart, z.Name, 12, c.wide-edge-c.axis.right-10)
				y += rowHigh
			}
		}
	}
	return y
}

func (c *curves) night(top, bottom float64) {
	for _, n := range nights(c.w.Place, c.axis.span) {
		c.rect("night", c.axis.x(n.from), top, c.axis.x(n.to)-c.axis.x(n.from), bottom-top)
	}
}

// plot is one field of curves: what it spans on the sheet and in its unit.
type plot struct {
	top, bottom float64
	low, high   float64
	step        float64
}

func (p plot) y(v float64) float64 {
	share := (v - p.low) / (p.high - p.low)
	return p.bottom - min(max(share, 0), 1)*(p.bottom-p.top)
}

// plot spans the curves in whole steps.
func (c *curves) plot(top, high float64, list []curve) plot {
	low, most := math.Inf(1), math.Inf(-1)
	for _, s := range list {
		for _, part := range s.parts {
			for _, p := range part {
				low, most = min(low, p.value), max(most, p.value)
			}
		}
	}
	if low > most {
		low, most = 0, 1
	}
	low, most = min(max(low, -200), 400), min(max(most, -200), 400)
	step := 5.0
	for (most-low)/step > high/28 {
		step *= 2
	}
	p := plot{top: top, bottom: top + high, step: step}
	p.low, p.high = math.Floor((low-.5)/step)*step, math.Ceil((most+.5)/step)*step
	return p
}

// frame draws what lies behind the lines of a plot: night, bands, and the grid.
func (c *curves) frame(p plot, bands *answer.Bands, unit func(float64) float64) {
	if bands != nil {
		c.bands(p, bands, unit)
	}
	c.night(p.top, p.bottom)
	var t trail
	for v := p.low; v <= p.high+1e-9; v += p.step {
		t.to("M", c.axis.left, p.y(v)).to("L", c.axis.right, p.y(v))
		c.text("t s", c.axis.left-6, p.y(v)+4, atEnd, plain(v), 11, 0)
	}
	c.path("grid", t.String())
}

// bands fills the default and the ideal band by day and night, and marks where
// the hard one ends.
func (c *curves) bands(p plot, b *answer.Bands, unit func(float64) float64) {
	fill := func(class string, band [2]*float64) {
		top, bottom := p.top, p.bottom
		if finite(band[1]) {
			top = p.y(unit(*band[1]))
		}
		if finite(band[0]) {
			bottom = p.y(unit(*band[0]))
		}
		c.rect(class, c.axis.left, top, c.axis.right-c.axis.left, bottom-top)
	}
	fill("band", b.Default)
	fill("best", b.Ideal)
	for _, v := range b.Hard {
		if finite(v) && unit(*v) > p.low && unit(*v) < p.high {
			c.path("hard", line(c.axis.left, p.y(unit(*v)), c.axis.right))
		}
	}
}

// lines draws the curves, and each name beside the end of its own.
func (c *curves) lines(p plot, list []curve) {
	var ends []float64
	var named []curve
	for _, s := range list {
		if len(s.parts) == 0 {
			continue
		}
		var d strings.Builder
		for _, part := range s.parts {
			d.WriteString(c.polyline(p, part))
		}
		c.path(s.class, d.String())
		last := s.parts[len(s.parts)-1]
		ends, named = append(ends, p.y(last[len(last)-1].value)), append(named, s)
	}
	places := apartFrom(ends, 15, p.top+4, p.bottom-2)
	for i, s := range named {
		last := s.parts[len(s.parts)-1]
		x := c.axis.x(last[len(last)-1].at)
		c.path("lead", new(trail).to("M", x+2, ends[i]).to("L", c.axis.right+2, places[i]).to("L", c.axis.right+7, places[i]).String())
		room := c.wide - edge - c.axis.right - 10
		words := s.name
		if with := s.name + "  " + rangeWords(s.parts, "…"); !c.o.narrow() && width(with, 12*boldness) <= room {
			words = with
		}
		c.text(c.o.weight()+s.words, c.axis.right+10, places[i]+4, atStart, words, 12, room)
	}
}

// rangeWords are the least and the most of a curve.
func rangeWords(parts [][]point, to string) string {
	low, high := math.Inf(1), math.Inf(-1)
	for _, part := range parts {
		for _, p := range part {
			low, high = min(low, p.value), max(high, p.value)
		}
	}
	if fixed(low, 0) == fixed(high, 0) {
		return fixed(low, 0)
	}
	return fixed(low, 0) + to + fixed(high, 0)
}

func (c *curves) polyline(p plot, part []point) string {
	var t trail
	for i, q := range part {
		op := "L"
		if i == 0 {
			op = "M"
		}
		t.to(op, c.axis.x(q.at), p.y(q.value))
	}
	if len(part) == 1 { // one hour alone is a short line
		t.to("L", c.axis.x(part[0].at)+3, p.y(part[0].value))
	}
	return t.String()
}

// hours names the hours under a plot by the clock at the place.
func (c *curves) hours(y float64) {
	every := 3
	if c.o.narrow() {
		every = 6
	}
	var t trail
	for at := c.axis.from; !at.After(c.axis.to); at = at.Add(30 * time.Minute) { // some clocks change by half an hour
		local := at.In(c.loc)
		words := strconv.Itoa(local.Hour())
		if at.Equal(c.axis.to) {
			words = "24"
		} else if local.Hour()%every != 0 || local.Minute() != 0 {
			continue
		}
		x := c.axis.x(at)
		t.to("M", x, y).to("L", x, y+4)
		c.text("t s", x, y+15, atMiddle, words, 11, 0)
	}
	t.to("M", c.axis.left, y).to("L", c.axis.right, y)
	c.path("axis", t.String())
}
