package draw

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// canvas collects the elements of one picture. Whatever a person wrote goes
// through escape, numbers through num; nothing else is variable.
type canvas struct {
	b    *strings.Builder
	o    Options
	wide float64
}

func newCanvas(o Options) *canvas {
	return &canvas{b: new(strings.Builder), o: o, wide: float64(o.Width)}
}

// num writes a coordinate to a tenth of a pixel. What is not a number, or far
// outside, is 0: a picture is never ill-formed.
func num(v float64) string {
	if math.IsNaN(v) || math.Abs(v) > 1e6 {
		v = 0
	}
	return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64)
}

// escape makes text safe in XML, inside and outside of attributes: the five
// characters of markup become references, what XML 1.0 cannot hold (§ 2.2) and
// what turns the writing direction of its surroundings are left out.
func escape(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '&':
			b.WriteString("&amp;")
		case r == '"':
			b.WriteString("&#34;")
		case r == '\'':
			b.WriteString("&#39;")
		case r == '\n' || r == '\t' || r == '\r':
			b.WriteByte(' ')
		case r == utf8.RuneError || unicode.Is(unicode.Cc, r) || directs(r) || r&0xFFFE == 0xFFFE:
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// directs reports a character that embeds, overrides or isolates a direction of
// writing (Unicode Annex 9); names need none, and one left open spoils the line.
func directs(r rune) bool { return r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069 }

// above gives what draw draws, to be put over what is drawn until then.
func (c *canvas) above(draw func()) string {
	under := c.b
	c.b = new(strings.Builder)
	draw()
	over := c.b.String()
	c.b = under
	return over
}

func (c *canvas) raw(s ...string) {
	for _, x := range s {
		c.b.WriteString(x)
	}
}

// open begins a group of a class, with a title that shows under the pointer; ""
// is none.
func (c *canvas) open(class, title string) {
	c.raw(`<g class="`, class, `">`)
	if title != "" {
		c.raw("<title>", escape(title), "</title>")
	}
}

func (c *canvas) shut() { c.raw("</g>\n") }

func (c *canvas) rect(class string, x, y, w, h float64) {
	if w <= 0 || h <= 0 {
		return
	}
	c.raw(`<rect class="`, class, `" x="`, num(x), `" y="`, num(y), `" width="`, num(w), `" height="`, num(h), "\"/>\n")
}

func (c *canvas) round(class string, x, y, w, h, r float64) {
	if w <= 0 || h <= 0 {
		return
	}
	c.raw(`<rect class="`, class, `" x="`, num(x), `" y="`, num(y), `" width="`, num(w), `" height="`, num(h), `" rx="`, num(r), "\"/>\n")
}

func (c *canvas) circle(class string, x, y, r float64) {
	c.raw(`<circle class="`, class, `" cx="`, num(x), `" cy="`, num(y), `" r="`, num(r), "\"/>\n")
}

func (c *canvas) path(class, d string) {
	if d != "" {
		c.raw(`<path class="`, class, `" d="`, d, "\"/>\n")
	}
}

// Anchors of text.
const (
	atStart  = ""
	atMiddle = ` text-anchor="middle"`
	atEnd    = ` text-anchor="end"`
)

// text writes words with their baseline at y. What is longer than room, in
// pixels, ends in an ellipsis and has the whole in a title; room 0 is no bound.
func (c *canvas) text(class string, x, y float64, anchor, words string, size, room float64) {
	shown := words
	if strings.HasPrefix(class, "b") || strings.HasPrefix(class, "h ") || strings.Contains(class, " b") {
		size *= boldness
	}
	if room > 0 {
		shown = shorten(words, size, room)
	}
	c.raw(`<text class="`, class, `" x="`, num(x), `" y="`, num(y), `"`, anchor, `>`)
	if shown != words {
		c.raw("<title>", escape(words), "</title>")
	}
	c.raw(escape(shown), "</text>\n")
}

// nameLines is over how many lines a name goes, and lineHigh how far apart they are.
const (
	nameLines = 2
	lineHigh  = 14.0
)

// lines writes a name over as many lines as it takes, from y down, and gives what those
// after the first add to the height. What is longer still has the whole in a title.
func (c *canvas) lines(class string, x, y float64, name string, size, room float64) float64 {
	list := wrapTo(nameLines, name, size, room)
	if len(list) < 2 {
		c.text(class, x, y, atStart, name, size, room)
		return 0
	}
	c.raw(`<text class="`, class, `" x="`, num(x), `" y="`, num(y), `">`)
	if strings.HasSuffix(list[len(list)-1], "…") {
		c.raw("<title>", escape(name), "</title>")
	}
	for i, l := range list {
		c.raw(`<tspan x="`, num(x), `" y="`, num(y+lineHigh*float64(i)), `">`, escape(l), "</tspan>")
	}
	c.raw("</text>\n")
	return lineHigh * float64(len(list)-1)
}

// clip bounds a name where it is repeated in every mark: one of ten kilobytes
// would make a picture of megabytes.
func clip(s string) string {
	const most = 80
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}

// finish closes the picture over its height.
func (c *canvas) finish(high float64, title, desc string) []byte {
	t, d := c.o.ID+"-title", c.o.ID+"-desc"
	var out strings.Builder
	w, h := num(c.wide), num(math.Ceil(high))
	out.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" class="dg" viewBox="0 0 ` + w + ` ` + h + `" width="` + w + `" height="` + h +
		`" role="img" aria-labelledby="` + t + ` ` + d + "\">\n")
	out.WriteString(`<title id="` + t + `">` + escape(title) + "</title>\n")
	out.WriteString(`<desc id="` + d + `">` + escape(desc) + "</desc>\n")
	if !c.o.Bare {
		out.WriteString("<style>\n" + stylesheet + "</style>\n")
	}
	out.WriteString(`<rect class="page" width="` + w + `" height="` + h + "\"/>\n")
	out.WriteString(c.b.String())
	out.WriteString("</svg>\n")
	return []byte(out.String())
}

// trail builds the d of a path.
type trail struct{ b strings.Builder }

func (t *trail) to(op string, x, y float64) *trail {
	t.b.WriteString(op + num(x) + " " + num(y))
	return t
}

// bar is a box; at least half a pixel wide, that a short stretch is not lost.
func (t *trail) bar(x, y, w, h float64) {
	t.b.WriteString("M" + num(x) + " " + num(y) + "h" + num(max(w, .5)) + "v" + num(h) + "h" + num(-max(w, .5)) + "z")
}

func (t *trail) shut() *trail { t.b.WriteByte('Z'); return t }

func (t *trail) String() string { return t.b.String() }
