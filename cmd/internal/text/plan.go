package text

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Columns of the timeline: where the reason of a block begins.
const (
	planTag    = 11
	planHours  = 13
	planPeople = 5
	planIndent = 13
)

// plan writes the whole job booked: a heading, what it comes to, and a timeline by
// day with a line for each block and one for its reason.
func (p *page) plan(a *answer.Week) {
	plan := a.Plan
	if plan == nil {
		return
	}
	p.blank()
	head := heading("the plan") + "  " + loud(plan.State)
	if s := sure(plan.Confidence, a.Source); s != "" && len(plan.Blocks) > 0 {
		head += "  in " + s
	}
	p.line(head)
	for _, w := range plan.Why {
		p.para("  ", 4, stop(answer.Capital(p.o.prose(w))))
	}
	if plan.State == "marginal" {
		p.para("  ", 4, "It waits for your yes: accept: marginal in the job file says it.")
	}
	for i, b := range plan.Blocks {
		if i == 0 || !sameDay(plan.Blocks[i-1].From, b.From) {
			p.planDay(b.From, a.Cautions)
		}
		p.planBlock(b)
	}
}

// planDay heads a day, with the hazards that pass over it.
func (p *page) planDay(t time.Time, cautions []answer.Caution) {
	p.para("  ", 4, day(t)+p.mind(t, cautions))
}

// mind lists the hazards of a day that come and go, each kind once, and then those
// that could not be judged: nobody knows whether there is anything to mind.
func (p *page) mind(t time.Time, cautions []answer.Caution) string {
	var kinds, blind []string
	spans, words := map[string][]string{}, map[string][]string{}
	begins := answer.Midnight(t)
	ends := answer.NextMidnight(t)
	for _, c := range cautions {
		if c.From == nil || c.To == nil || !passing(c.Kind) || !c.From.Before(ends) || !c.To.After(begins) {
			continue
		}
		from, to := c.From.In(t.Location()), c.To.In(t.Location())
		if from.Before(begins) {
			from = begins
		}
		if to.After(ends) {
			to = ends
		}
		if c.Level == "unknown" {
			k, word := hours(from, to), tie(hazards[c.Kind].word)
			if words[k] == nil {
				blind = append(blind, k)
			}
			if !slices.Contains(words[k], word) {
				words[k] = append(words[k], word)
			}
			continue
		}
		if !slices.Contains(kinds, c.Kind) {
			kinds = append(kinds, c.Kind)
		}
		spans[c.Kind] = append(spans[c.Kind], hours(from, to))
	}
	parts := make([]string, len(kinds))
	for i, k := range kinds {
		parts[i] = tie(hazards[k].word) + nbsp + strings.Join(spans[k], ", ")
	}
	text := ""
	if len(parts) > 0 {
		text = " · mind " + strings.Join(parts, "; ")
	}
	for _, k := range blind {
		text += " · not" + nbsp + "judged " + k + nbsp + strings.Join(words[k], ", ")
	}
	return text
}

// planBlock writes a block: state, hours, who, what and where with what; then how
// it is done, where that has limits of its own; then why there.
func (p *page) planBlock(b answer.PlanBlock) {
	what := stepWord(b.Step) + ", " + name(b.Zone, zoneCells)
	if b.Redo {
		what += " (the part to be redone)"
	}
	if b.Product != "" {
		what += ", " + name(b.Product, nameCells)
	}
	p.line("  " + inColumn(tag(b.State), planTag) + inColumn(hours(b.From, b.To), planHours) + inColumn(crewOf(b.People), planPeople) + tidy(what))
	indent := strings.Repeat(" ", planIndent)
	if how := p.how(b); len(how) > 0 {
		p.para(indent, planIndent, strings.Join(how, "; "))
	}
	if b.Reason != "" { // the zone stands in the line above
		why := p.o.prose(strings.Replace(b.Reason, " of the "+b.Zone, "", 1))
		p.para(indent, planIndent, untie(why))
	}
}

// crewOf names the people of a block by their numbers.
func crewOf(people []int) string {
	parts := make([]string, len(people))
	for i, n := range people {
		parts[i] = strconv.Itoa(n)
	}
	return strings.Join(parts, "+")
}

// needsYes is what how says of a block that waits for consent.
var needsYes = tie("needs your yes")

// how are the limits of doing it: which coat and part, the section that can be
// washed at once, the haze clock, the yes that it waits for.
func (p *page) how(b answer.PlanBlock) []string {
	var out []string
	if b.FloodRinse {
		out = append(out, "salt on the panel: flood rinse first")
	}
	if b.Coats > 1 {
		out = append(out, fmt.Sprintf("coat %d of %d", b.Coat, b.Coats))
	}
	if b.Parts > 1 {
		out = append(out, fmt.Sprintf("part %d of %d", b.Part, b.Parts))
	}
	if finite(b.SectionM2) {
		s := tie(p.o.area().show(*b.SectionM2, down) + " at a time")
		if finite(b.RewetMin) {
			s += ", " + tie("re-wet every "+figure(*b.RewetMin, 0, down, false)+" min")
		}
		out = append(out, s)
	} else if b.HazeMin != nil {
		s := "haze " + plain("min", 0).span(b.HazeMin[0], b.HazeMin[1], nearest)
		if b.WipeBy != nil {
			s += ", wiped by " + when(b.From, *b.WipeBy)
		}
		out = append(out, tie(s))
	}
	if b.NeedsConsent {
		out = append(out, needsYes)
	}
	return out
}
