package text

import (
	"fmt"
	"slices"
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
	p.yes = yesOf(plan)
	p.blank()
	of := "the plan"
	if plan.Part != nil {
		of = "the plan of a part"
	}
	head := heading(of) + "  " + loud(plan.State)
	if s := sure(plan.Confidence, a.Source); s != "" && len(plan.Blocks) > 0 {
		head += "  in " + s
	}
	p.line(head)
	for _, w := range plan.Why {
		p.para("  ", 4, stop(answer.Capital(p.o.prose(w))))
	}
	if plan.Waits() {
		p.para("  ", 4, "It waits for your yes: accept: marginal in the job file says it.")
	}
	var before time.Time
	for _, r := range answer.Stints(p.timeline(plan, a.Now)) {
		if !sameDay(before, r[0].From) {
			p.planDay(r[0].From, a.Cautions)
		}
		before = r[0].From
		p.planStint(r)
	}
}

// timeline are the blocks of a plan that are worth a line: of one that stands those that
// are not over, after what can be done about it.
func (p *page) timeline(plan *answer.Plan, now time.Time) []answer.PlanBlock {
	if plan.Held == nil {
		return plan.Blocks
	}
	p.para("  ", 4, "dewgap move changes as little of it as it can; dewgap week --anew plans anew.")
	return plan.Ahead(now)
}

// planDay heads a day, with the hazards that pass over it.
func (p *page) planDay(t time.Time, cautions []answer.Caution) {
	p.para("  ", 4, day(t)+p.mind(t, cautions))
}

// mind lists the hazards of a day that come and go, each once with all its hours and
// those of its worst, and then those that could not be judged: nobody knows whether there
// is anything to mind.
func (p *page) mind(t time.Time, cautions []answer.Caution) string {
	var order, blind []string
	spans, words := map[string][]passage{}, map[string][]string{}
	for _, c := range cautions {
		x, ok := onDay(t, c)
		if !ok {
			continue
		}
		hazard, _ := answer.HazardOf(c.Kind)
		word := tie(hazard.Word)
		if c.Level == "unknown" {
			k := hours(x.from, x.to)
			if words[k] == nil {
				blind = append(blind, k)
			}
			if !slices.Contains(words[k], word) {
				words[k] = append(words[k], word)
			}
			continue
		}
		if spans[word] == nil {
			order = append(order, word)
		}
		spans[word] = append(spans[word], x)
	}
	parts := make([]string, len(order))
	for i, word := range order {
		parts[i] = word + nbsp + allHours(spans[word])
		worst := slices.MinFunc(spans[word], func(a, b passage) int { return answer.Gravity(a.level) - answer.Gravity(b.level) }).level
		if bad := slices.DeleteFunc(slices.Clone(spans[word]), func(x passage) bool { return x.level != worst }); len(bad) < len(spans[word]) && allHours(bad) != allHours(spans[word]) {
			parts[i] += ", " + name(worst, 12) + nbsp + allHours(bad)
		}
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

// passage is a hazard that passes over a day, at one level.
type passage struct {
	from, to time.Time
	level    string
}

// onDay is what of a caution of the weather lies on the day of t.
func onDay(t time.Time, c answer.Caution) (x passage, ok bool) {
	begins, ends := answer.Midnight(t), answer.NextMidnight(t)
	_, passing := answer.HazardOf(c.Kind)
	if c.From == nil || c.To == nil || !passing || !c.From.Before(ends) || !c.To.After(begins) {
		return x, false
	}
	x = passage{c.From.In(t.Location()), c.To.In(t.Location()), c.Level}
	if x.from.Before(begins) {
		x.from = begins
	}
	if x.to.After(ends) {
		x.to = ends
	}
	return x, true
}

// allHours writes the hours of passages, those that touch as one.
func allHours(list []passage) string {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b passage) int { return a.from.Compare(b.from) })
	joined := list[:1]
	for _, x := range list[1:] {
		last := &joined[len(joined)-1]
		if x.from.After(last.to) {
			joined = append(joined, x)
		} else if x.to.After(last.to) {
			last.to = x.to
		}
	}
	parts := make([]string, len(joined))
	for i, x := range joined {
		parts[i] = hours(x.from, x.to)
	}
	return strings.Join(parts, ", ")
}

// planStint writes the blocks of a stint: state, hours, who, what and where with what;
// then how it is done, where that has limits of its own; then, of one block, why there.
func (p *page) planStint(r answer.Stint) {
	b := r.One()
	p.planLine(b, stintWhat(r))
	indent := strings.Repeat(" ", planIndent)
	if how := p.how(r...); len(how) > 0 {
		p.para(indent, planIndent, strings.Join(how, "; "))
	}
	if len(r) == 1 && b.Reason != "" { // the zone stands in the line above
		why := p.o.prose(strings.Replace(b.Reason, " of the "+b.Zone, "", 1))
		p.para(indent, planIndent, why)
	}
}

// stintWhat is what is done where with what in a stint; of several panels each with when it
// is begun.
func stintWhat(r answer.Stint) string {
	b, what := r[0], stepWord(r[0].Step)
	if len(r) == 1 {
		what += ", " + name(b.Zone, zoneCells)
	}
	if b.Redo {
		what += " (the part to be redone)"
	}
	if b.Product != "" {
		what += ", " + name(b.Product, nameCells)
	}
	if what = tidy(what); len(r) > 1 {
		what += ": " + panels(r)
	}
	return what
}

// panels names the panels of a stint, each with when it is begun.
func panels(r answer.Stint) string {
	parts := make([]string, len(r))
	for i, b := range r {
		parts[i] = tie(name(b.Zone, zoneCells) + " " + clock(b.From))
	}
	return strings.Join(parts, ", ")
}

// planLine writes state, hours and people of a block before what is done in it.
func (p *page) planLine(b answer.PlanBlock, what string) {
	if p.narrow() {
		p.line("  " + tag(b.State) + " " + hours(b.From, b.To) + " (" + answer.Persons(b.People) + ") " + what)
	} else {
		p.hang("  "+inColumn(tag(b.State), planTag)+inColumn(hours(b.From, b.To), planHours)+inColumn(answer.Persons(b.People), planPeople), what)
	}
}

// needsYes is what how says of a block that waits for consent, hasYes of one to which the
// job gives it.
var needsYes, hasYes = tie("needs your yes"), tie("with your yes")

// yesOf is which of them holds for the blocks of a plan.
func yesOf(plan *answer.Plan) string {
	if plan.Accepted {
		return hasYes
	}
	return needsYes
}

// how are the limits of doing the blocks of a stint: which coat and part, what can be
// washed at once, the haze clock, the yes that it waits for.
func (p *page) how(r ...answer.PlanBlock) []string {
	var out []string
	b := r[0]
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
		if s := p.water(r); s != "" {
			out = append(out, s)
		}
	} else if b.HazeMin != nil {
		s := "haze " + plain("min", 0).span(b.HazeMin[0], b.HazeMin[1], nearest)
		if b.WipeBy != nil {
			s += ", wiped by " + when(b.From, *b.WipeBy)
		}
		out = append(out, tie(s))
	}
	if b.NeedsConsent {
		out = append(out, p.yes)
	}
	return out
}

// water is how much of a panel is washed at a time, where that is not all of it, and the
// shortest time until it is wetted again.
func (p *page) water(r answer.Stint) string {
	var parts []string
	var rewet *float64
	for _, b := range r {
		if finite(b.RewetMin) && (rewet == nil || *b.RewetMin < *rewet) {
			rewet = b.RewetMin
		}
		if b.AllAtOnce() {
			continue
		}
		s := tie(p.o.area().show(*b.SectionM2, down) + " at a time")
		if len(r) > 1 {
			s = name(b.Zone, zoneCells) + " " + s
		}
		parts = append(parts, s)
	}
	if rewet != nil {
		parts = append(parts, tie("re-wet every "+figure(*rewet, 0, down, false)+" min"))
	}
	return strings.Join(parts, ", ")
}
