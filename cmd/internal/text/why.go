package text

import (
	"fmt"
	"io"
	"strings"

	"dewgap/cmd/internal/answer"
)

// whyTag is the column of a limit's state.
const whyTag = 14

// Why writes the answer of dewgap why: the state and what decides it, then every
// limit on a line with its value, its bound and the number of its source, and the
// sources. The error is w's own.
func Why(w io.Writer, a *answer.Why, o Options) error {
	p := newPage(o)
	p.para("", 2, name(a.Zone, zoneCells)+" with "+name(a.Product, nameCells)+", "+day(a.At)+nbsp+clock(a.At)+": "+loud(a.State)+p.once(a))
	decides := p.why(a.Binding) + "."
	if a.Within != "" {
		decides += " Within a longer visit: " + loud(a.Within) + "."
	}
	if a.Mind != "" {
		decides += " " + stop(answer.Capital(p.o.prose(a.Mind)))
	}
	p.para("  ", 2, decides)
	if len(a.Limits) > 0 {
		p.blank()
	}
	notes := &sources{}
	for i := 0; i < len(a.Limits); i++ {
		l := a.Limits[i]
		text := p.whyLimit(l)
		if i+1 < len(a.Limits) && ends(l.Limit, a.Limits[i+1].Limit) {
			text = p.both(l, a.Limits[i+1])
			i++
			l.State, l.Source = worseState(l, a.Limits[i])
		}
		if mark := notes.mark(l.Source); mark != "" {
			text += nbsp + mark
		}
		p.para("  "+pad(tag(l.State), whyTag-2), whyTag, text)
	}
	for i, s := range notes.list {
		if i == 0 {
			p.blank()
		}
		p.para(fmt.Sprintf("[%d] ", i+1), 4, s)
	}
	p.warnings(a.Warnings)
	return p.writeTo(w)
}

// once is what has to be done before the state holds.
func (p *page) once(a *answer.Why) string {
	if a.Once == "" {
		return ""
	}
	return ", once " + a.Once
}

// why is a limit in words with the unit behind its bound as well.
func (p *page) why(b answer.Binding) string {
	s := because(b, p.o)
	r, _ := reasonOf(b)
	if r.number == nil || !finite(b.Value) || !finite(b.Bound) || s == "" || s[len(s)-1] < '0' || s[len(s)-1] > '9' {
		return s
	}
	return r.number(p.o).withUnit(s)
}

// whyLimit is why, and whether it counts.
func (p *page) whyLimit(l answer.WhyLimit) string {
	s := p.why(l.Binding)
	if l.State == "unknown" && l.Text != "" {
		s = sinceWords(l.Binding) + limitWords[l.Limit] + " " + p.o.prose(l.Text)
	}
	if l.Waived {
		s += ", which does not count while the panel is this cool"
	}
	return s
}

// ends reports the lower and the upper end of one quantity.
func ends(low, high string) bool {
	x, ok := strings.CutSuffix(low, "_min")
	y, also := strings.CutSuffix(high, "_max")
	return ok && also && x == y
}

// worseState is the worse state of the two ends of a quantity, and its source.
func worseState(low, high answer.WhyLimit) (state, source string) {
	if rankOf(high.State) > rankOf(low.State) {
		return high.State, high.Source
	}
	return low.State, low.Source
}

// both says both ends of one quantity in a line: the one that is worse, or where
// the value is ideal by both the span in which it is.
func (p *page) both(low, high answer.WhyLimit) string {
	if rankOf(low.State) != rankOf(high.State) || low.State != "ideal" || !finite(low.Value) || !finite(low.Ideal) || !finite(high.Ideal) {
		if rankOf(high.State) > rankOf(low.State) {
			return p.whyLimit(high)
		}
		return p.whyLimit(low)
	}
	q := reasons()[low.Limit].number(p.o)
	span := figure(q.of(*low.Ideal), q.digits, up, false) + " to " + figure(q.of(*high.Ideal), q.digits, down, false)
	s := limitWords[low.Limit] + " " + q.show(*low.Value, nearest) + ", ideal from " + q.withUnit(span)
	if low.Waived && high.Waived {
		s += ", which does not count while the panel is this cool"
	}
	return s
}
