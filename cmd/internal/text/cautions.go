package text

import (
	"strings"

	"dewgap/cmd/internal/answer"
)

// cautions writes the words for the people, the gravest first.
func (p *page) cautions(list []answer.Caution) {
	if len(list) == 0 {
		return
	}
	p.blank()
	p.para(heading("cautions")+": ", 2, "reminders, not clearances. For each of them local rules and licensed practice decide.")
	for _, c := range answer.TellCautions(list) {
		p.caution(c)
	}
}

// caution writes one: level, the words, when and how bad, and where it is from.
func (p *page) caution(c answer.ToldCaution) {
	text := p.o.prose(c.Text)
	if len(c.Lacks) > 0 {
		text = p.cautionWords().Lacking(c.Lacks, p.o.prose)
	} else if t := p.cautionWords().Times(c.Times); t != "" && c.Kind != "product" {
		text = stop(text) + " " + answer.Capital(t) + "."
	}
	text = stop(text)
	if source := tidy(c.Source); source != "" { // in the units of whoever said it
		text += " [" + source + "]"
	}
	p.para("  "+levelMark(c.Level)+": ", 4, text)
}

func levelMark(level string) string {
	switch level {
	case "danger", "warning":
		return strings.ToUpper(level)
	case "unknown":
		return "NOT JUDGED"
	}
	return answer.Capital(name(level, 12))
}

// cautionWords are those of the screen for the hours of cautions and their worst values.
func (p *page) cautionWords() answer.CautionWords {
	return answer.CautionWords{Day: day, Hours: hours, Worst: p.worst}
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
	h, _ := answer.HazardOf(c.Kind)
	s := up
	if h.Low || c.Kind == "cold-water" {
		s = down
	}
	if h.Whole {
		q.digits, s = 0, nearest
	}
	return "(" + tie(h.Index) + q.show(*c.Value, s) + ")"
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
