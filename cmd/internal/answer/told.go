package answer

import (
	"math"
	"slices"
	"strings"
	"time"
)

// Hazard is how a hazard of the weather is told, which comes and goes; those of the
// work itself last as long as it and have none.
type Hazard struct {
	Word  string // in a word or two
	Index string // before its value, which has no unit that would say what it is
	Whole bool   // told in whole numbers, as its bands are
	Low   bool   // the lower, the worse
}

var hazards = map[string]Hazard{
	"wbgt":       {Word: "heat", Index: "WBGT "},
	"heat-index": {Word: "heat", Index: "heat index "},
	"cold":       {Word: "cold", Index: "wind chill ", Low: true},
	"ice":        {Word: "ice", Low: true},
	"thunder":    {Word: "thunder"},
	"gust":       {Word: "gusts"},
	"wind":       {Word: "wind"},
	"float":      {Word: "wakes"},
	"uv":         {Word: "UV", Index: "UV index ", Whole: true},
}

// HazardOf is how a kind of caution is told; passing is false where it is none of the weather.
func HazardOf(kind string) (h Hazard, passing bool) {
	h, passing = hazards[kind]
	return h, passing
}

// Gravity orders the levels of cautions, gravest first; one that is not known comes with
// what could not be judged.
func Gravity(level string) int {
	i := slices.Index([]string{"danger", "warning", "caution", "unknown", "note"}, level)
	if i < 0 {
		return 3
	}
	return i
}

// ToldCaution is one text with all the stretches to which it applies.
type ToldCaution struct {
	Caution           // the first of them, with the text as it is told
	Times   []Caution // all of them
	Words   []string  // of hazards that were not judged: which
	// Lacks are such hazards that are told together, each for what the forecast lacks; such a
	// caution has no text of its own.
	Lacks []ToldCaution
}

// TellCautions gathers the words for the people, the gravest first: the same words for
// several stretches of time once, what one product asks for in one, hazards that one cause
// kept from being judged in one, and of a hazard's lesser levels what is not said above.
func TellCautions(list []Caution) []ToldCaution {
	var all []ToldCaution
	at := map[string]int{}
	for _, c := range list {
		c.Text = strings.TrimSuffix(c.Text, Deferral)
		key := c.Kind + "\x00" + c.Level + "\x00" + c.Text
		product, more, ok := strings.Cut(c.Text, ": ")
		ofProduct := ok && c.Kind == "product"
		if ofProduct {
			key = product + "\x00" + c.Source
		}
		i, ok := at[key]
		switch {
		case !ok:
			i = len(all)
			at[key], all = i, append(all, ToldCaution{Caution: c})
		case ofProduct:
			all[i].Text = strings.TrimSuffix(all[i].Text, ".") + "; " + more
		}
		all[i].Times = append(all[i].Times, c)
	}
	all = gathered(notJudgedAlike(all))
	slices.SortStableFunc(all, func(a, b ToldCaution) int { return Gravity(a.Level) - Gravity(b.Level) })
	return unsaid(all)
}

// unsaid leaves out of the weather's hazards what is said above already, and from where.
func unsaid(all []ToldCaution) []ToldCaution {
	var above []string
	sources := map[string]string{}
	for i := range all {
		c := &all[i]
		if _, passing := hazards[c.Kind]; !passing || c.Level == "unknown" {
			continue
		}
		c.Text, above = AsAbove(c.Text, above), append(above, c.Text)
		if sources[c.Kind] == c.Source {
			c.Source = "" // a lesser level of the same hazard
		} else {
			sources[c.Kind] = c.Source
		}
	}
	return all
}

// notJudgedAlike tells the hazards that one cause kept from being judged in the same hours
// in one line: which, and why; no source of theirs was held against anything.
func notJudgedAlike(all []ToldCaution) []ToldCaution {
	var out []ToldCaution
	at := map[string]int{}
	for _, s := range all {
		if word := hazards[s.Kind].Word; s.Unjudged != nil && word != "" {
			key := s.Unjudged.Why
			for _, c := range s.Times {
				if c.From != nil && c.To != nil {
					key += "\x00" + c.From.String() + c.To.String()
				}
			}
			if i, ok := at[key]; ok {
				if !slices.Contains(out[i].Words, word) {
					out[i].Words = append(out[i].Words, word)
				}
				continue
			}
			at[key], s.Words, s.Source = len(out), []string{word}, ""
		}
		out = append(out, s)
	}
	return out
}

// gathered tells many hazards that were not judged for what the forecast lacks in one line,
// and of the others which they are.
func gathered(all []ToldCaution) []ToldCaution {
	var out, lacks []ToldCaution
	for _, s := range all {
		if len(s.Words) > 0 && s.Unjudged.Lacks != "" {
			lacks = append(lacks, s)
			continue
		}
		out = append(out, s)
	}
	if len(lacks) > MostNotJudged {
		out = append(out, ToldCaution{Caution: Caution{Level: "unknown"}, Lacks: lacks})
	} else {
		out = all
	}
	for i := range out {
		if s := &out[i]; len(s.Words) > 0 {
			s.Text = strings.Join(s.Words, ", ") + ": " + s.Unjudged.Why + ". " + JudgeIt
		}
	}
	return out
}

// CautionWords are the words of a screen for days, hours and worst values, the last in
// brackets.
type CautionWords struct {
	Day   func(time.Time) string
	Hours func(from, to time.Time) string
	Worst func(Caution) string
}

// Lacking is the line of hazards that are told together for what the forecast lacks: each
// with its hours, and what is lacking then.
func (w CautionWords) Lacking(list []ToldCaution, prose func(string) string) string {
	parts := make([]string, len(list))
	for i, s := range list {
		parts[i] = strings.Join(s.Words, ", ")
		if t := w.Times(s.Times); t != "" {
			parts[i] += " " + t
		}
		parts[i] += " (" + prose(s.Unjudged.Lacks) + ")"
	}
	return Lacking + strings.Join(parts, "; ") + ". " + JudgeThem
}

// Times lists the stretches of a caution that does not last all along, with the worst
// value in each; days on which it comes at the same hours, one after the other, once.
func (w CautionWords) Times(list []Caution) string {
	valued := slices.ContainsFunc(list, func(c Caution) bool { return c.From != nil && c.To != nil && isNumber(c.Value) })
	var all []alikeDays
	for _, c := range list {
		_, passing := hazards[c.Kind]
		if c.From == nil || c.To == nil || valued && !isNumber(c.Value) || !valued && !passing {
			continue
		}
		if n := len(all); n > 0 && sameDate(all[n-1].first, *c.From) {
			all[n-1].spells = append(all[n-1].spells, cautionSpell{worst: c})
			continue
		}
		all = w.joinDays(all)
		all = append(all, alikeDays{first: *c.From, last: *c.From, spells: []cautionSpell{{worst: c}}})
	}
	all = w.joinDays(all)
	parts := make([]string, len(all))
	for i, d := range all {
		parts[i] = w.alike(d)
	}
	return strings.Join(parts, ", ")
}

// isNumber reports a value that can be told: answers are read from files too.
func isNumber(x *float64) bool { return x != nil && !math.IsNaN(*x) && !math.IsInf(*x, 0) }

// alikeDays are days on which a hazard comes at the same hours.
type alikeDays struct {
	first, last time.Time
	spells      []cautionSpell
}

// cautionSpell is a hazard's stretch on such days, as the worst of them has it.
type cautionSpell struct {
	worst  Caution
	varies bool // it is less bad on other days
}

// joinDays joins the last of some days to those before it where it is alike.
func (w CautionWords) joinDays(all []alikeDays) []alikeDays {
	n := len(all)
	if n < 2 || !sameDate(NextMidnight(all[n-2].last), all[n-1].first) || len(all[n-2].spells) != len(all[n-1].spells) {
		return all
	}
	before, day := all[n-2], all[n-1]
	for i, x := range day.spells {
		if y := before.spells[i].worst; w.Hours(*x.worst.From, *x.worst.To) != w.Hours(*y.From, *y.To) {
			return all
		}
	}
	for i, x := range day.spells {
		y := &before.spells[i]
		if !isNumber(x.worst.Value) || w.Worst(x.worst) == w.Worst(y.worst) {
			continue
		}
		y.varies = true
		if worse := *x.worst.Value > *y.worst.Value; worse != hazards[x.worst.Kind].Low {
			y.worst = x.worst
		}
	}
	before.last = day.last
	return append(all[:n-2], before)
}

// tied is a blank at which no line is broken.
const tied = "\u00a0"

// alike words some days that are alike: "every day Mon 8 Jun to Tue 16 Jun, 09:00-12:00".
func (w CautionWords) alike(d alikeDays) string {
	parts := make([]string, len(d.spells))
	for i, s := range d.spells {
		parts[i] = w.Hours(*s.worst.From, *s.worst.To)
		if isNumber(s.worst.Value) {
			value := w.Worst(s.worst)
			if s.varies {
				to := "up"
				if hazards[s.worst.Kind].Low {
					to = "down"
				}
				value = "(" + to + tied + "to" + tied + strings.TrimPrefix(value, "(")
			}
			parts[i] += " " + value
		}
		if sameDate(d.first, d.last) { // each with its day
			parts[i] = w.Day(*s.worst.From) + tied + parts[i]
		}
	}
	text := strings.Join(parts, ", ")
	if !sameDate(d.first, d.last) {
		text = "every day " + w.Day(d.first) + " to " + w.Day(d.last) + ", " + text
	}
	return text
}
