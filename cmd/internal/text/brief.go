package text

import "strings"

// Lines of a step's days that a screen has room for: of the step that the headline
// answers, and of another. Days are left out only where they take half as many more.
const (
	askedLines  = 120
	othersLines = 60
)

// chunk is a day of a step, or several that read the same.
type chunk struct {
	head, last string // the first and, of several, the last of them
	body       string
	days       int
	out        bool // it is left out
}

func (c chunk) heading() string {
	if c.last == "" {
		return c.head
	}
	return c.head + " to " + c.last
}

func (c chunk) lines() int { return 1 + strings.Count(c.body, "\n") }

// chunkOf is the chunk that holds day i of a list, −1 where none does.
func chunkOf(list []chunk, day int) int {
	for i, c := range list {
		if day >= 0 && day < c.days {
			return i
		}
		day -= c.days
	}
	return -1
}

// brief marks the days of a step that are left out and reports whether there are any:
// those past the room that a screen has, but never the first day nor the best. A person
// who asks for the hours of every zone has asked for all of it.
func (o Options) brief(list []chunk, asked bool, best func(int) bool) bool {
	most, all := othersLines, 0
	if asked {
		most = askedLines
	}
	for _, c := range list {
		all += c.lines()
	}
	if o.Hours || all <= most*3/2 {
		return false
	}
	used, some := 0, false
	for i, c := range list {
		if best(i) {
			used += c.lines()
		}
	}
	for i := range list {
		if best(i) {
			continue
		}
		if i > 0 && used+list[i].lines() > most {
			list[i].out, some = true, true
			continue
		}
		used += list[i].lines()
	}
	return some
}

// leftOut names the days that are left out, those in a row by the first and the last,
// and says where they are.
func (p *page) leftOut(list []chunk) {
	var names []string
	for i := 0; i < len(list); i++ {
		if !list[i].out {
			continue
		}
		x := list[i]
		for i+1 < len(list) && list[i+1].out {
			i++
			if x.last = list[i].last; x.last == "" {
				x.last = list[i].head
			}
		}
		names = append(names, tie(x.heading()))
	}
	p.para("  ", 4, "Left out, for so many zones take many lines: "+strings.Join(names, ", ")+". With --hours or --json they are all there.")
}
