package draw

import (
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// edge is the margin of every picture, pixels.
const edge = 12.0

// strip is the week's picture while it is drawn.
type strip struct {
	*canvas
	w    *answer.Week
	loc  *time.Location
	axis axis
	days []span
	rows []row
}

func weekStrip(w *answer.Week, o Options) Picture {
	s := newStrip(w, o)
	last := w.To.Add(-time.Minute).In(s.loc)
	title := nameOf(w) + ": " + w.From.In(s.loc).Format(dayWords) + " to " + last.Format(dayWords)
	top := s.head(title, s.subtitle())
	y := top
	rows := s.above(func() { y = s.body(top) }) // they tell how high the shades behind them are
	s.shades(top, y)
	s.raw(rows)
	s.now(top, y)
	high := s.legend(y + 14)
	desc := s.describe()
	return Picture{SVG: s.finish(high, title, desc), Title: title, Description: desc, Table: s.table()}
}

// body draws the rain and the rows, and gives the y beneath them.
func (s *strip) body(y float64) float64 {
	y = s.weather(y)
	last := ""
	for i := range s.rows {
		r := &s.rows[i]
		if i == 0 || r.step != last {
			y = s.stepHead(r, y)
			last = r.step
		}
		y = s.row(r, y)
	}
	if len(s.rows) == 0 {
		s.text("s", s.axis.left, y+20, atStart, "No step of the job is judged in this answer.", 12, 0)
		y += 32
	}
	return y
}

func newStrip(w *answer.Week, o Options) *strip {
	s := &strip{canvas: newCanvas(o), w: w, loc: location(w)}
	s.days = days(w.From.In(s.loc), w.To)
	if len(s.days) == 0 { // an answer of no time at all
		d := w.From.In(s.loc)
		s.days = []span{{answer.Midnight(d), answer.NextMidnight(d)}}
	}
	left := edge
	if !o.narrow() {
		left = edge + min(180, s.wide*0.2)
	}
	s.axis = axis{span{s.days[0].from, s.days[len(s.days)-1].to}, left, s.wide - edge}
	s.rows = rowsOf(w, zonesOf(w, o))
	return s
}

// nameOf is the boat and its place, as far as they have names.
func nameOf(w *answer.Week) string {
	boat := w.Boat
	if boat == "" {
		boat = "the boat"
	}
	if w.Place.Name == "" {
		return clip(boat)
	}
	return clip(boat) + " at " + clip(w.Place.Name)
}

// head writes title and subtitle and gives the y beneath them.
func (c *canvas) head(title, subtitle string) float64 {
	y := edge + 14
	for _, line := range wrap(title, 16*boldness, c.wide-2*edge) {
		c.text("h", edge, y, atStart, line, 16, 0)
		y += 21
	}
	y -= 3
	for _, line := range wrap(subtitle, 12, c.wide-2*edge) {
		c.text("s", edge, y, atStart, line, 12, 0)
		y += 16
	}
	return y
}

func (s *strip) subtitle() string {
	return "Times at the place, " + zoneWords(s.loc) + ". Forecast: " + sourceWords(s.w)
}

func zoneWords(loc *time.Location) string {
	if n := loc.String(); n != "" && n != "Local" {
		return n
	}
	return "its own clock"
}

// sourceWords name the forecast, and how many futures it is.
func sourceWords(w *answer.Week) string {
	n := w.Source.Members
	out := w.Source.Name
	switch {
	case w.Source.Dressed > 0:
		out += ", one forecast dressed into " + counted(w.Source.Dressed, "future")
	case n == 1:
		out += ", one forecast"
	case n > 1:
		out += ", " + strconv.Itoa(n) + " forecasts"
	}
	if w.Source.Stale {
		out += "; too old to be believed throughout"
	}
	return out + "."
}

// shades draws what lies behind the rows: nights and the lines between days, with
// the days' names above.
func (s *strip) shades(top, bottom float64) {
	for _, n := range nights(s.w.Place, s.axis.span) {
		s.rect("night", s.axis.x(n.from), top+18, s.axis.x(n.to)-s.axis.x(n.from), bottom-top-18)
	}
	var t trail
	for _, d := range s.days {
		t.to("M", s.axis.x(d.from), top+2).to("L", s.axis.x(d.from), bottom)
	}
	t.to("M", s.axis.right, top+2).to("L", s.axis.right, bottom)
	s.path("grid", t.String())
	for _, d := range s.days {
		room := s.axis.x(d.to) - s.axis.x(d.from) - 4
		s.ticks(d, top, bottom)
		s.text("t b", s.axis.x(d.from)+4, top+13, atStart, dayName(d.from, room), 11, 0)
	}
}

// ticks are the hours of a day where there is room for them.
func (s *strip) ticks(d span, top, bottom float64) {
	if !s.roomForHours() {
		return
	}
	var t trail
	for _, h := range []int{6, 12, 18} {
		at := time.Date(d.from.Year(), d.from.Month(), d.from.Day(), h, 0, 0, 0, s.loc)
		x := s.axis.x(at)
		t.to("M", x, top+33).to("L", x, bottom)
		s.text("t s", x, top+29, atMiddle, strconv.Itoa(h), 11, 0)
	}
	s.path("hour", t.String())
}

// roomForHours reports whether the days are wide enough to name hours in them.
func (s *strip) roomForHours() bool {
	const least = 90.0
	return (s.axis.right-s.axis.left)/float64(len(s.days)) >= least
}

// dayName is a day in as many letters as there is room for.
func dayName(t time.Time, room float64) string {
	for _, layout := range []string{dayWords, dayShort, "2"} {
		if words := t.Format(layout); width(words, 11*boldness) <= room {
			return words
		}
	}
	return t.Format("2")
}

// rainHigh is the height of the lane of rain, pixels, in which a bar of rainFull
// millimetres in the hour fills all.
const (
	rainHigh = 22.0
	rainFull = 4.0
)

// weather draws the rain of every hour, and the sum of every day above it.
func (s *strip) weather(top float64) float64 {
	y := top + 18
	if s.roomForHours() {
		y += 16
	}
	base := y + 14 + rainHigh
	sums, unknown := s.rained()
	unit := s.unitOfSums(sums)
	if s.o.narrow() {
		y += 15
		base += 15
		s.text("t s", s.axis.left+2, y-2, atStart, "Rain, and its sum of the day"+unit, 11, 0)
	} else {
		words := "rain, sum of the day"
		if unit != "" {
			words = "rain a day" + unit
		}
		s.text("s", edge, base-8, atStart, words, 12, s.axis.left-edge-8)
	}
	for _, h := range s.hours() {
		if !finite(h.RainMM) || *h.RainMM < 0.05 || !s.axis.holds(h.At) {
			continue
		}
		x := s.axis.x(h.At)
		high := max(2, rainHigh*min(1, *h.RainMM/rainFull))
		s.rect("rain", x, base-high, max(1.4, s.axis.x(h.At.Add(time.Hour))-x-0.3), high)
	}
	unknownMarks(s.canvas, unknown, s.axis, base)
	for i, d := range s.days {
		words := s.o.rain(sums[i])
		if unit != "" {
			words = amount(words)
		}
		if sums[i] >= 0.1 && width(words, 11) <= s.roomForSum(d) {
			s.text("t halo", s.axis.x(d.from)+4, y+11, atStart, words, 11, 0)
		}
	}
	s.path("grid", new(trail).to("M", s.axis.left, base+.5).to("L", s.axis.right, base+.5).String())
	return base + 8
}

// hours are those of the answer; rain falls on all zones alike.
func (s *strip) hours() []answer.Hour {
	if len(s.w.Zones) == 0 {
		return nil
	}
	return s.w.Zones[0].Hours
}

// rained is the rain of each day, and the hours of which nobody knows: they are not dry.
func (s *strip) rained() (sums []float64, unknown []span) {
	sums = make([]float64, len(s.days))
	for _, h := range s.hours() {
		if !finite(h.RainMM) {
			unknown = append(unknown, span{h.At, h.At.Add(time.Hour)})
			continue
		}
		for i, d := range s.days {
			if d.holds(h.At) && *h.RainMM >= 0.05 {
				sums[i] += *h.RainMM
			}
		}
	}
	return sums, joined(unknown, 0)
}

// unitOfSums is what the lane's name says of the unit: "" where each sum brings its own
// along, for the days are wide enough.
func (s *strip) unitOfSums(sums []float64) string {
	for i, d := range s.days {
		if words := s.o.rain(sums[i]); sums[i] >= 0.1 && width(words, 11) > s.roomForSum(d) {
			return ", " + words[len(amount(words))+1:]
		}
	}
	return ""
}

// amount is a sum of rain without its unit.
func amount(words string) string {
	head, _, _ := strings.Cut(words, " ")
	return head
}

// roomForSum is what a day's sum may take, so that it keeps off the next.
func (s *strip) roomForSum(d span) float64 { return s.axis.x(d.to) - s.axis.x(d.from) - 2 }

// stepHead names a step and its product.
func (s *strip) stepHead(r *row, y float64) float64 {
	y += 20
	name := r.step
	if r.product != "" {
		name += " · " + productName(s.w, r.product)
	}
	s.text("b halo", edge, y, atStart, name, 12, s.wide-2*edge)
	return y + 6
}

// row draws one row with its name: beside it where there is room, else above.
func (s *strip) row(r *row, y float64) float64 {
	if s.o.narrow() {
		y += s.lines("halo", edge, y+12, r.zone, 12, s.wide-2*edge) + 18
	} else {
		room, base := s.axis.left-edge-16, y+barHigh+2
		if len(wrapTo(nameLines, r.zone, 12, room)) > 1 {
			base -= lineHigh / 2
		}
		s.lines("", edge+8, base, r.zone, 12, room)
	}
	s.path("grid", new(trail).to("M", s.axis.left, y+barHigh+.5).to("L", s.axis.right, y+barHigh+.5).String())
	rowMarks(s.canvas, s.w, r, s.zone(r.zone), s.axis, y)
	return y + rowHigh
}

func (s *strip) zone(name string) *answer.Zone {
	for i := range s.w.Zones {
		if s.w.Zones[i].Name == name {
			return &s.w.Zones[i]
		}
	}
	return nil
}

// now is the line of the answer's own moment.
func (s *strip) now(top, bottom float64) {
	if !s.axis.holds(s.w.Now) {
		return
	}
	x := s.axis.x(s.w.Now)
	s.path("now", new(trail).to("M", x, top+18).to("L", x, bottom).String())
}

// legend tells what the marks mean, and gives the y beneath it.
func (s *strip) legend(y float64) float64 {
	l := &legend{canvas: s.canvas, x: edge, left: edge, y: y + 4}
	l.states()
	l.marks()
	l.item("now", func(x, y float64) { s.path("now", new(trail).to("M", x+11, y-12).to("L", x+11, y+3).String()) })
	return l.y + 20
}

func line(x, y, to float64) string { return new(trail).to("M", x, y).to("L", to, y).String() }
