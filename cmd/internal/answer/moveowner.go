package answer

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/window"
)

// owner is a message for the owner in plain words: what happened, what of the work
// it cost, when it goes on, whether the day stands, which films are to be spared, and what
// could change it.
func (b *moveBuilder) owner(out *Move) []string {
	said := []string{happened(out)}
	if s := b.cost(out); s != "" {
		said = append(said, s)
	}
	on, planned := CareLines(out.Care, false, out.Now), CareLines(out.Care, true, out.Now)
	said = append(said, on...)
	switch {
	case out.Verdict == Unknown && out.Plan.State == None:
		return append(said, "The forecast at hand tells too little to say when work goes on. We look again with a newer one.")
	case out.Verdict == Unknown:
		return append(said, "The forecast at hand tells too little of the days agreed: they stand for now, and we look again with a newer one.")
	case out.Plan.State == None:
		said = append(said, "At the moment there is no plan that the weather allows. We will propose another way.")
		return said
	}
	if s := goesOn(out); s != "" {
		said = append(said, s)
	}
	if s := stands(out); s != "" {
		said = append(said, s)
	}
	said = append(said, planned...)
	if s := couldChange(out); s != "" {
		said = append(said, s)
	}
	return said
}

func happened(out *Move) string {
	if len(out.Rain) == 0 {
		return fmt.Sprintf("The plan for %s has been looked at again.", out.Boat)
	}
	var parts []string
	for i, r := range out.Rain {
		when, until := r.From.Format("Monday 15:04"), r.To.Format("Monday 15:04")
		if i > 0 && sameDate(r.From, out.Rain[i-1].To) {
			when = r.From.Format("15:04")
		}
		if sameDate(r.From, r.To) {
			until = r.To.Format("15:04")
		}
		parts = append(parts, "from "+when+" to "+until)
	}
	verb := "fell"
	if !slices.ContainsFunc(out.Rain, func(r Rain) bool { return r.Observed }) {
		verb = "was forecast"
	}
	return fmt.Sprintf("Rain %s on %s %s.", verb, out.Boat, Listed(parts))
}

func sameDate(a, b time.Time) bool {
	return a.Format(time.DateOnly) == b.Format(time.DateOnly)
}

// cost says what of the work is lost, zone by zone, and what is not.
func (b *moveBuilder) cost(out *Move) string {
	if len(out.Rain) == 0 {
		return ""
	}
	by := map[string][]string{}
	for _, f := range out.Zones {
		name := "the " + f.Zone
		if f.Share < 0.995 && (f.Fate == window.Redo.String() || f.Fate == window.Inspect.String()) {
			name = "part of the " + f.Zone
		}
		if !slices.Contains(by[f.Fate], name) {
			by[f.Fate] = append(by[f.Fate], name)
		}
	}
	var said []string
	say := func(fate, one, several string) {
		switch n := len(by[fate]); {
		case n == 1:
			said = append(said, Capital(by[fate][0])+" "+one+".")
		case n > 1:
			said = append(said, Capital(Listed(by[fate]))+" "+several+".")
		}
	}
	again := "got wet too soon and will be done again, at no risk to the boat"
	say("redo", again, again)
	say("inspect", "got wet a little early: we dry it and look at it in the sun", "got wet a little early: we dry them and look at them in the sun")
	say("rewash", "only needs another wash before the next step", "only need another wash before the next step")
	if len(said) == 0 {
		return "Nothing of the work is lost."
	}
	if len(by["good"]) > 0 {
		said = append(said, "The rest is good.")
	}
	return strings.Join(said, " ")
}

// goesOn names the days on which work goes on and what on each.
func goesOn(out *Move) string {
	var days []string
	steps := map[string][]string{}
	for _, x := range out.Plan.Blocks {
		day := x.From.Format("Monday 2 January")
		if steps[day] == nil {
			days = append(days, day)
		}
		if !slices.Contains(steps[day], x.Step) {
			steps[day] = append(steps[day], x.Step)
		}
	}
	switch {
	case len(days) == 0:
		return "All work is done."
	case len(days) > 4:
		return fmt.Sprintf("Work goes on on %d days from %s to %s.", len(days), days[0], days[len(days)-1])
	}
	var parts []string
	for _, d := range days {
		parts = append(parts, d+" ("+Listed(steps[d])+")")
	}
	return "Work goes on on " + Listed(parts) + "."
}

func stands(out *Move) string {
	h := out.Handover
	day := func(t *time.Time) string { return t.Format("Monday 2 January") }
	switch {
	case out.Plan != nil && out.Plan.Part != nil:
		return standsInPart(h)
	case h.Ends == nil:
		return ""
	case h.Kept && h.Promised:
		return "The boat is ready " + day(h.Ends) + ": the promised day stands."
	case h.Promised:
		return "The promised day cannot be kept: the boat is ready " + day(h.Ends) + "."
	}
	return "The boat is ready " + day(h.Ends) + "."
}

// couldChange names what could change the plan: all that waits for the owner's yes,
// for without it there is no plan, else the block that is least sure.
func couldChange(out *Move) string {
	if s := yesses(out); s != "" {
		return s
	}
	worst := -1
	for i, x := range out.Plan.Blocks {
		if x.To.After(out.Now) && (worst < 0 || x.Confidence < out.Plan.Blocks[worst].Confidence) {
			worst = i // what is over is only to be logged
		}
	}
	if worst < 0 {
		return ""
	}
	x := out.Plan.Blocks[worst]
	if x.Confidence >= 0.995 {
		return "Rain or damp that the forecast does not show yet could change it."
	}
	n, of := out.Source.Members, "forecasts"
	if n <= 1 {
		n, of = out.Source.Dressed, "futures"
	}
	how := "is the least sure"
	if n > 1 {
		how = fmt.Sprintf("holds in %d of %d %s", min(n, int((x.Confidence+confidenceDust)*float64(n))), n, of)
	}
	return fmt.Sprintf("What could change it is the weather on %s: the %s %s.", x.From.Format("Monday 2 January"), x.Step, how)
}

// yesses asks for the owner's yes, once for every step of a day that needs it: one that
// was left out would be work without it. Nothing is asked where the job gives it.
func yesses(out *Move) string {
	if out.Plan.Accepted {
		return ""
	}
	var days, parts []string
	steps, n := map[string][]string{}, 0
	for _, x := range out.Plan.Blocks {
		if !x.NeedsConsent || !x.To.After(out.Now) {
			continue
		}
		day := x.From.Format("Monday 2 January")
		if steps[day] == nil {
			days = append(days, day)
		}
		if step := "the " + x.Step; !slices.Contains(steps[day], step) {
			steps[day], n = append(steps[day], step), n+1
		}
	}
	if n == 0 {
		return ""
	}
	for _, d := range days {
		parts = append(parts, Listed(steps[d])+" on "+d)
	}
	is := "it is"
	if n > 1 {
		is = "each is"
	}
	return fmt.Sprintf("We need your yes for %s: %s on the edge of what the product allows.", Listed(parts), is)
}

// confidenceDust keeps a confidence, which is rounded to 0.001, from losing a forecast.
const confidenceDust = 0.000501

// Listed joins words with commas and an "and".
func Listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// Hours by which an owner is told of a change: the evening before, else the
// morning of the day (common practice).
const (
	eveningH = 18
	morningH = 7
)

// tellBy is when the owner should know of the first change: 18:00 the day before,
// by 07:00 on the day, at once where that is past.
func (b *moveBuilder) tellBy(out *Move) *time.Time {
	if out.Verdict == Unknown {
		return nil // nothing is settled yet
	}
	var first time.Time
	for _, c := range out.Changes {
		for _, x := range []*PlanBlock{c.Before, c.After} {
			if x == nil || c.Stays() || c.Change == window.Done.String() || x.From.Before(b.Now) {
				continue
			}
			if first.IsZero() || x.From.Before(first) {
				first = x.From.In(b.loc)
			}
		}
	}
	if first.IsZero() {
		return nil
	}
	for _, t := range []time.Time{
		time.Date(first.Year(), first.Month(), first.Day()-1, eveningH, 0, 0, 0, b.loc),
		time.Date(first.Year(), first.Month(), first.Day(), morningH, 0, 0, 0, b.loc),
	} {
		if !t.Before(b.Now) {
			return &t
		}
	}
	t := b.moment(b.Now)
	return &t
}
