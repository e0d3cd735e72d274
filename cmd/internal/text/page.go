package text

import (
	"fmt"
	"io"
	"strings"
)

// The widths that a page may have. Beyond the most the eye loses the line; below that of a
// table columns do not stand beside one another, and lines that are too long go on below.
const (
	usualWidth = 80
	tableWidth = 60
	leastWidth = 40
	mostWidth  = 100
)

// page collects the lines of one answer and writes them at once.
type page struct {
	b strings.Builder
	o Options
	// yes is what is said of a block that is done with a yes only.
	yes string
}

func newPage(o Options) *page {
	if o.Width == 0 {
		o.Width = usualWidth
	}
	o.Width = min(max(o.Width, leastWidth), mostWidth)
	return &page{o: o, yes: needsYes}
}

// writeTo hands the page to w.
func (p *page) writeTo(w io.Writer) error {
	if _, err := io.WriteString(w, p.b.String()); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	return nil
}

// narrow reports a page with no room for columns side by side.
func (p *page) narrow() bool { return p.o.Width < tableWidth }

// line writes one line as it stands, cut at the page's width; on a narrow page what has no
// place in it goes on in the next, a little further in.
func (p *page) line(s string) {
	if p.narrow() && cells(s) > p.o.Width {
		in := len(s) - len(strings.TrimLeft(s, " "))
		p.para(s[:in], min(in+2, p.o.Width/4), s[in:])
		return
	}
	p.write(s)
}

// write writes one line, cut at the page's width.
func (p *page) write(s string) {
	p.b.WriteString(strings.TrimRight(p.finish(cut(s, p.o.Width)), " "))
	p.b.WriteByte('\n')
}

// blank writes an empty line.
func (p *page) blank() { p.b.WriteByte('\n') }

// para writes text over as many lines as it takes: lead before the first, and
// the others indented by indent cells.
func (p *page) para(lead string, indent int, text string) {
	if p.narrow() && indent > stackIndent {
		lead, indent = stacked(lead)
	}
	if in := len(lead) - len(strings.TrimLeft(lead, " ")); p.narrow() && cells(lead) > p.o.Width {
		lead, text = lead[:in], lead[in:]+text
	}
	if text == "" {
		p.line(lead)
		return
	}
	room := p.o.Width - indent
	first := cells(lead) - indent
	if first > room/2 { // no room beside it: the lead gets a line of its own
		p.write(lead)
		lead, first = strings.Repeat(" ", indent), 0
	}
	for i, l := range wrap(text, room, first) {
		if i == 0 {
			p.write(lead + l)
			continue
		}
		p.write(strings.Repeat(" ", indent) + l)
	}
}

// hang writes text beside a lead, over as many lines as it takes under one another.
func (p *page) hang(lead, text string) {
	in := cells(lead)
	for i, l := range wrap(text, p.o.Width-in, 0) {
		if i > 0 {
			lead = strings.Repeat(" ", in)
		}
		p.write(lead + l)
	}
}

// headed writes a heading with what follows it in the same line, on a narrow page over as
// many lines as both take.
func (p *page) headed(head, text string) {
	if p.narrow() {
		p.para("", 2, head+text)
		return
	}
	p.para(head, 2, text)
}

// stackIndent is the furthest in that a narrow page begins a line.
const stackIndent = 6

// stacked is a lead of columns with single blanks between them, and the indent of what goes
// on below it: two further in than the lead itself.
func stacked(lead string) (string, int) {
	words := strings.FieldsFunc(lead, breaks)
	if len(words) == 0 {
		return strings.Repeat(" ", 4), 4
	}
	in := min(len(lead)-len(strings.TrimLeft(lead, " ")), 4)
	return strings.Repeat(" ", in) + strings.Join(words, " ") + " ", in + 2
}

// sentenceLines is how many lines of a narrow page a sentence may take that is to stay short.
const sentenceLines = 5

// sentence is the width that a sentence may take that is to stay short: a line, or some of a
// narrow page.
func (p *page) sentence() int {
	if p.narrow() {
		return sentenceLines * p.o.Width
	}
	return p.o.Width
}

// finish turns a line's marks into colours, or drops them, and its tied spaces
// into plain ones.
func (p *page) finish(s string) string {
	var b strings.Builder
	open := false
	for _, r := range s {
		switch {
		case r == '\u00a0':
			b.WriteByte(' ')
		case r >= markFirst && r <= markLast:
			if open = r != markFirst; p.o.Colour {
				b.WriteString(sgr[r-markFirst])
			}
		case !hidden(r):
			b.WriteRune(r)
		}
	}
	if open && p.o.Colour { // the end was cut off
		b.WriteString(sgr[0])
	}
	return b.String()
}
