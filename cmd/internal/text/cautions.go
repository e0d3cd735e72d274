package text

import (
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// deferral is how the program's cautions end. Every caution is shown with the
// same words in brief, behind its source.
const deferral = " A reminder, not a clearance: local rules and licensed practice decide."

// said is one text with all the stretches to which it applies.
type said struct {
	first answer.Caution
	times []answer.Caution
}

// cautions writes the words for the people. The same words for several
// stretches of time are written once.
func (p *page) cautions(list []answer.Caution) {
	if len(list) == 0 {
		return
	}
	var all []said
	at := map[string]int{}
	for _, c := range list {
		key := c.Kind + "\x00" + c.Level + "\x00" + c.Text
		i, ok := at[key]
		if !ok {
			i = len(all)
			at[key], all = i, append(all, said{first: c})
		}
		all[i].times = append(all[i].times, c)
	}
	p.blank()
	p.para(heading("cautions"), 2, ": reminders, not clearances.")
	for _, s := range all {
		p.caution(s)
	}
}

// caution writes one: level, the words, when and how bad, where it is from and
// who decides.
func (p *page) caution(s said) {
	text := p.o.prose(strings.TrimSuffix(s.first.Text, deferral))
	if t := p.times(s.times); t != "" {
		text = stop(text) + " " + capital(t) + "."
	}
	source := ""
	if s.first.Source != "" {
		source = tidy(s.first.Source) + "; " // in the units of whoever said it
	}
	p.para("  "+levelMark(s.first.Level)+": ", 4, stop(text)+" ["+source+"local rules and licensed practice decide]")
}

func levelMark(level string) string {
	switch level {
	case "danger", "warning":
		return strings.ToUpper(level)
	case "unknown":
		return "NOT JUDGED"
	}
	return capital(name(level, 12))
}

// times lists the stretches of a caution that does not last all along, with the
// worst value in each.
func (p *page) times(list []answer.Caution) string {
	var parts []string
	for _, c := range list {
		if c.From == nil || c.To == nil || !finite(c.Value) {
			continue
		}
		parts = append(parts, day(*c.From)+nbsp+hours(*c.From, *c.To)+" "+p.worst(c))
	}
	if len(parts) == 0 {
		return p.plainTimes(list)
	}
	return strings.Join(parts, ", ")
}

// plainTimes are the stretches of a caution without a value, unless it is the
// job's own and lasts for days.
func (p *page) plainTimes(list []answer.Caution) string {
	var parts []string
	for _, c := range list {
		if c.From == nil || c.To == nil || c.To.Sub(*c.From) > 18*time.Hour {
			continue
		}
		parts = append(parts, day(*c.From)+nbsp+hours(*c.From, *c.To))
	}
	return strings.Join(parts, ", ")
}

// worst is a caution's value in brackets, rounded to the worse side.
func (p *page) worst(c answer.Caution) string {
	var q quantity
	switch c.Unit {
	case "°C":
		q = p.o.temperature()
	case "m/s":
		q = p.o.wind()
	case "":
		q = plain("", 1)
	default:
		q = plain(name(c.Unit, 12), 1)
	}
	s := up
	switch c.Kind {
	case "cold", "cold-water", "ice":
		s = down
	}
	return "(" + tie(hazardUnit(c.Kind)) + q.show(*c.Value, s) + ")"
}

// hazardUnit names the index whose value is shown.
func hazardUnit(kind string) string {
	switch kind {
	case "wbgt":
		return "WBGT "
	case "heat-index":
		return "heat index "
	case "cold":
		return "wind chill "
	case "uv":
		return "UV index "
	}
	return ""
}

// warnings writes what the answer rests on and might not hold.
func (p *page) warnings(list []string) {
	if len(list) == 0 {
		return
	}
	p.blank()
	p.line(heading("please note"))
	for _, s := range list {
		p.para("  - ", 4, stop(p.o.prose(s)))
	}
}

// credit names whose data these are, and under which licence.
func (p *page) credit(s answer.Source) {
	var parts []string
	if t := tidy(s.Attribution); t != "" {
		parts = append(parts, stop(t))
	}
	if t := tidy(s.Licence); t != "" && !strings.Contains(tidy(s.Attribution), t) {
		parts = append(parts, "Licence: "+stop(t))
	}
	if len(parts) == 0 {
		return
	}
	p.blank()
	p.para("", 2, strings.Join(parts, " "))
}
