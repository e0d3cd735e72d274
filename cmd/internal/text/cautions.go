package text

import (
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// deferral is how the program's cautions end. A page says it once, over them
// all, and for each of them.
const deferral = " A reminder, not a clearance: local rules and licensed practice decide."

// said is one text with all the stretches to which it applies.
type said struct {
	first answer.Caution
	times []answer.Caution
	words []string // of hazards that were not judged: which
	lacks []said   // those that are told together, each for what the forecast lacks
}

// cautions writes the words for the people, the gravest first. The same words
// for several stretches of time are written once.
func (p *page) cautions(list []answer.Caution) {
	if len(list) == 0 {
		return
	}
	var all []said
	at := map[string]int{}
	for _, c := range list {
		key := c.Kind + "\x00" + c.Level + "\x00" + c.Text
		if product, _, ok := strings.Cut(c.Text, ": "); ok && c.Kind == "product" {
			key = product + "\x00" + c.Source // what one product says is one caution
		}
		i, ok := at[key]
		if !ok {
			i = len(all)
			at[key], all = i, append(all, said{first: c})
		}
		all[i].times = append(all[i].times, c)
	}
	all = gathered(notJudged(all))
	slices.SortStableFunc(all, func(a, b said) int { return gravity(a.first.Level) - gravity(b.first.Level) })
	p.blank()
	p.para(heading("cautions")+": ", 2, "reminders, not clearances. For each of them local rules and licensed practice decide.")
	var above []string // of the weather's hazards, what is said already, and from where
	sources := map[string]string{}
	for _, s := range all {
		full := strings.TrimSuffix(s.first.Text, deferral)
		if passing(s.first.Kind) && s.first.Level != "unknown" {
			s.first.Text, above = answer.AsAbove(full, above), append(above, full)
			if sources[s.first.Kind] == s.first.Source {
				s.first.Source = "" // a lesser level of the same hazard
			} else {
				sources[s.first.Kind] = s.first.Source
			}
		}
		p.caution(s)
	}
}

// notJudged tells the hazards that one cause kept from being judged in the same hours
// in one line.
func notJudged(all []said) []said {
	var out []said
	at := map[string]int{}
	for _, s := range all {
		if h := hazards[s.first.Kind]; s.first.Unjudged != nil && h.word != "" {
			key := s.first.Unjudged.Why
			for _, c := range s.times {
				if c.From != nil && c.To != nil {
					key += "\x00" + c.From.String() + c.To.String()
				}
			}
			if i, ok := at[key]; ok {
				if !slices.Contains(out[i].words, h.word) {
					out[i].words = append(out[i].words, h.word)
				}
				continue
			}
			at[key], s.words = len(out), []string{h.word}
		}
		out = append(out, s)
	}
	return out
}

// gathered tells many hazards that were not judged for what the forecast lacks in one line.
func gathered(all []said) []said {
	var out, lacks []said
	for _, s := range all {
		if len(s.words) > 0 && s.first.Unjudged.Lacks != "" {
			lacks = append(lacks, s)
			continue
		}
		out = append(out, s)
	}
	if len(lacks) <= answer.MostNotJudged {
		return all
	}
	return append(out, said{first: answer.Caution{Level: "unknown"}, lacks: lacks})
}

// lacking is the line of such hazards: each with its hours, and what is lacking then.
func (p *page) lacking(list []said) string {
	parts := make([]string, len(list))
	for i, s := range list {
		parts[i] = strings.Join(s.words, ", ")
		if t := p.times(s.times); t != "" {
			parts[i] += " " + t
		}
		parts[i] += " (" + p.o.prose(s.first.Unjudged.Lacks) + ")"
	}
	return answer.Lacking + strings.Join(parts, "; ") + ". " + answer.JudgeThem
}

// gravity orders the levels, gravest first; one that is not known comes with
// what could not be judged.
func gravity(level string) int {
	i := slices.Index([]string{"danger", "warning", "caution", "unknown", "note"}, level)
	if i < 0 {
		return 3
	}
	return i
}

// caution writes one: level, the words, when and how bad, and where it is from.
func (p *page) caution(s said) {
	if len(s.lacks) > 0 {
		p.para("  "+levelMark(s.first.Level)+": ", 4, p.lacking(s.lacks))
		return
	}
	text := p.o.prose(strings.TrimSuffix(s.first.Text, deferral))
	if len(s.words) > 0 { // which hazards, and why
		text = strings.Join(s.words, ", ") + ": " + p.o.prose(s.first.Unjudged.Why) + ". " + answer.JudgeIt
	}
	if s.first.Kind == "product" {
		for _, c := range s.times[1:] {
			_, more, _ := strings.Cut(c.Text, ": ")
			text = strings.TrimSuffix(text, ".") + "; " + p.o.prose(strings.TrimSuffix(more, deferral))
		}
	} else if t := p.times(s.times); t != "" {
		text = stop(text) + " " + answer.Capital(t) + "."
	}
	text = stop(text)
	// Of what was not judged no line was held against anything.
	if source := tidy(s.first.Source); source != "" && len(s.words) == 0 { // in the units of whoever said it
		text += " [" + source + "]"
	}
	p.para("  "+levelMark(s.first.Level)+": ", 4, text)
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

// times lists the stretches of a caution that does not last all along, with the worst
// value in each; days on which it comes at the same hours, one after the other, once.
func (p *page) times(list []answer.Caution) string {
	valued := slices.ContainsFunc(list, func(c answer.Caution) bool { return c.From != nil && c.To != nil && finite(c.Value) })
	var all []alikeDays
	for _, c := range list {
		if c.From == nil || c.To == nil || valued && !finite(c.Value) || !valued && !passing(c.Kind) {
			continue
		}
		if n := len(all); n > 0 && sameDay(all[n-1].first, *c.From) {
			all[n-1].spells = append(all[n-1].spells, spell{worst: c})
			continue
		}
		all = p.joinDays(all)
		all = append(all, alikeDays{first: *c.From, last: *c.From, spells: []spell{{worst: c}}})
	}
	all = p.joinDays(all)
	parts := make([]string, len(all))
	for i, d := range all {
		parts[i] = p.alike(d)
	}
	return strings.Join(parts, ", ")
}

// alikeDays are days on which a hazard comes at the same hours.
type alikeDays struct {
	first, last time.Time
	spells      []spell
}

// spell is a hazard's stretch on such days, as the worst of them has it.
type spell struct {
	worst  answer.Caution
	varies bool // it is less bad on other days
}

// joinDays joins the last of some days to those before it where it is alike.
func (p *page) joinDays(all []alikeDays) []alikeDays {
	n := len(all)
	if n < 2 || !sameDay(answer.NextMidnight(all[n-2].last), all[n-1].first) || len(all[n-2].spells) != len(all[n-1].spells) {
		return all
	}
	before, day := all[n-2], all[n-1]
	for i, x := range day.spells {
		if y := before.spells[i].worst; hours(*x.worst.From, *x.worst.To) != hours(*y.From, *y.To) {
			return all
		}
	}
	for i, x := range day.spells {
		y := &before.spells[i]
		if !finite(x.worst.Value) || p.worst(x.worst) == p.worst(y.worst) {
			continue
		}
		y.varies = true
		if worse := *x.worst.Value > *y.worst.Value; worse != hazards[x.worst.Kind].low {
			y.worst = x.worst
		}
	}
	before.last = day.last
	return append(all[:n-2], before)
}

// alike writes some days that are alike: "every day Mon 8 Jun to Tue 16 Jun 09:00-12:00".
func (p *page) alike(d alikeDays) string {
	parts := make([]string, len(d.spells))
	for i, s := range d.spells {
		from, to := *s.worst.From, *s.worst.To
		parts[i] = hours(from, to)
		if finite(s.worst.Value) {
			value := p.worst(s.worst)
			if s.varies {
				to := "up to"
				if hazards[s.worst.Kind].low {
					to = "down to"
				}
				value = "(" + tie(to) + nbsp + strings.TrimPrefix(value, "(")
			}
			parts[i] += " " + value
		}
		if sameDay(d.first, d.last) { // each with its day
			parts[i] = day(from) + nbsp + parts[i]
		}
	}
	text := strings.Join(parts, ", ")
	if !sameDay(d.first, d.last) {
		text = "every day " + day(d.first) + " to " + day(d.last) + ", " + text
	}
	return text
}

// hazard is how a hazard of the weather is told, which comes and goes; those of the
// work itself last as long as it and have no entry.
type hazard struct {
	word  string // in a word or two
	index string // before its value, which has no unit that would say what it is
	whole bool   // told in whole numbers, as its bands are
	low   bool   // the lower, the worse
}

var hazards = map[string]hazard{
	"wbgt":       {word: "heat", index: "WBGT "},
	"heat-index": {word: "heat", index: "heat index "},
	"cold":       {word: "cold", index: "wind chill ", low: true},
	"ice":        {word: "ice", low: true},
	"thunder":    {word: "thunder"},
	"gust":       {word: "gusts"},
	"wind":       {word: "wind"},
	"float":      {word: "wakes"},
	"uv":         {word: "UV", index: "UV index ", whole: true},
}

// passing reports a hazard of the weather.
func passing(kind string) bool { _, ok := hazards[kind]; return ok }

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
	h := hazards[c.Kind]
	s := up
	if h.low || c.Kind == "cold-water" {
		s = down
	}
	if h.whole {
		q.digits, s = 0, nearest
	}
	return "(" + tie(h.index) + q.show(*c.Value, s) + ")"
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
