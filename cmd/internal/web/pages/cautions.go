package pages

import (
	"strings"

	"dewgap/cmd/internal/answer"
)

// caution is one text with all the stretches to which it applies.
type caution struct {
	Level, Text, Times, Source string
}

// cautions are the words for the people, the gravest first.
func (v voice) cautions(list []answer.Caution) []caution {
	var out []caution
	words := answer.CautionWords{Day: day, Hours: hours, Worst: v.worst}
	for _, c := range answer.TellCautions(list) {
		x := caution{Level: c.Level, Text: stopped(v.prose(c.Text)), Source: c.Source}
		if c.Level == "unknown" {
			x.Level = "not judged"
		}
		switch {
		case len(c.Lacks) > 0:
			x.Text = answer.Capital(words.Lacking(c.Lacks, v.prose))
		case c.Kind != "product":
			x.Times = answer.Capital(words.Times(c.Times))
		}
		x.Text = answer.Capital(x.Text)
		out = append(out, x)
	}
	return out
}

// worst is a caution's value in brackets.
func (v voice) worst(c answer.Caution) string {
	h, _ := answer.HazardOf(c.Kind)
	digits := 1
	if h.Whole {
		digits = 0
	}
	return "(" + tied(h.Index) + strings.TrimSpace(v.quantity(c.Value, digits, c.Unit)) + ")"
}
