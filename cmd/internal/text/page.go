package text

import (
	"fmt"
	"io"
	"strings"
)

// The widths that a page may have. Beyond the most the eye loses the line.
const (
	usualWidth = 80
	leastWidth = 60
	mostWidth  = 100
)

// page collects the lines of one answer and writes them at once.
type page struct {
	b strings.Builder
	o Options
}

func newPage(o Options) *page {
	if o.Width == 0 {
		o.Width = usualWidth
	}
	o.Width = min(max(o.Width, leastWidth), mostWidth)
	return &page{o: o}
}

// writeTo hands the page to w.
func (p *page) writeTo(w io.Writer) error {
	if _, err := io.WriteString(w, p.b.String()); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	return nil
}

// line writes one line as it stands, cut at the page's width.
func (p *page) line(s string) {
	p.b.WriteString(strings.TrimRight(p.finish(cut(s, p.o.Width)), " "))
	p.b.WriteByte('\n')
}

// blank writes an empty line.
func (p *page) blank() { p.b.WriteByte('\n') }

// para writes text over as many lines as it takes: lead before the first, and
// the others indented by indent cells.
func (p *page) para(lead string, indent int, text string) {
	if text == "" {
		p.line(lead)
		return
	}
	room := p.o.Width - indent
	first := cells(lead) - indent
	if first > room/2 { // no room beside it: the lead gets a line of its own
		p.line(lead)
		lead, first = strings.Repeat(" ", indent), 0
	}
	for i, l := range wrap(text, room, first) {
		if i == 0 {
			p.line(lead + l)
			continue
		}
		p.line(strings.Repeat(" ", indent) + l)
	}
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
