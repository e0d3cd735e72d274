package pages

import (
	"slices"
	"strings"

	"dewgap/cmd/internal/answer"
)

// deferral is how the program's cautions end; a page says it once, over all of them.
const deferral = " A reminder, not a clearance: local rules and licensed practice decide."

// caution is one text with all the stretches to which it applies.
type caution struct {
	Level, Text, Times, Source string
	Grave                      bool // danger or warning: open from the start
	unjudged                   *answer.Unjudged
}

// levels orders the levels, gravest first.
var levels = []string{"danger", "warning", "caution", "unknown", "note"}

// cautions gathers the words for the people, the gravest first, the same words for
// several stretches of time once.
func (v voice) cautions(list []answer.Caution) []caution {
	var out []caution
	at := map[string]int{}
	for _, c := range list {
		key := c.Kind + "\x00" + c.Level + "\x00" + c.Text
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, caution{Level: c.Level, Source: c.Source, Grave: c.Level == "danger" || c.Level == "warning",
				unjudged: c.Unjudged, Text: stopped(v.prose(strings.TrimSuffix(c.Text, deferral)))})
		}
		if t := v.times(c); t != "" && !strings.Contains(out[i].Times, t) {
			if out[i].Times != "" {
				out[i].Times += ", "
			}
			out[i].Times += t
		}
	}
	out = gathered(out)
	slices.SortStableFunc(out, func(a, b caution) int { return gravity(a.Level) - gravity(b.Level) })
	var above []string // what is said already
	for i := range out {
		if out[i].Level == "unknown" {
			out[i].Level = "not judged"
			continue
		}
		full := out[i].Text
		out[i].Text, above = answer.AsAbove(full, above), append(above, full)
	}
	return out
}

// gathered tells many hazards that were not judged for what the forecast lacks in one.
func gathered(list []caution) []caution {
	var out []caution
	var parts []string
	for _, c := range list {
		if c.unjudged == nil || c.unjudged.Lacks == "" {
			out = append(out, c)
			continue
		}
		hazard := c.unjudged.Hazard
		if c.Times != "" {
			hazard += " " + c.Times
		}
		parts = append(parts, hazard+" ("+c.unjudged.Lacks+")")
	}
	if len(parts) <= answer.MostNotJudged {
		return list
	}
	return append(out, caution{Level: "unknown", Text: answer.Capital(answer.Lacking) + strings.Join(parts, "; ") + ". " + answer.JudgeThem})
}

func gravity(level string) int {
	if i := slices.Index(levels, level); i >= 0 {
		return i
	}
	return slices.Index(levels, "unknown")
}

// passing are the hazards of the weather, which come and go; those of the work
// itself last as long as it.
var passing = []string{"wbgt", "heat-index", "thunder", "gust", "wind", "float", "cold", "ice", "uv"}

// hazards name the index whose value is shown.
var hazards = map[string]string{"wbgt": "WBGT ", "heat-index": "heat index ", "cold": "wind chill ", "uv": "UV index "}

// times is when a passing hazard applies, with its worst value.
func (v voice) times(c answer.Caution) string {
	if c.From == nil || c.To == nil || !slices.Contains(passing, c.Kind) {
		return ""
	}
	t := day(*c.From) + nbsp + hours(*c.From, *c.To)
	switch {
	case !finite(c.Value):
		return t
	case c.Kind == "uv":
		return t + " (" + hazards["uv"] + strings.TrimSpace(v.quantity(c.Value, 0, "")) + ")"
	}
	return t + " (" + hazards[c.Kind] + v.quantity(c.Value, 1, c.Unit) + ")"
}
