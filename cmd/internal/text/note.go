package text

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Who a note is for.
const (
	ToOwner = "owner"
	ToCrew  = "crew"
)

// NoteOfWeek makes a short message of a plan, for the owner or for the crew: what
// and when, why then, what could change it, and what an answer is needed to.
// Quantities are in the units of the screen.
func NoteOfWeek(a *answer.Week, to string, o Options) *answer.Note {
	n := newNote(to, a.Job, a.Boat)
	n.Now = a.Now
	n.Title = noteTitle(a.Boat, a.Place, day(a.Now))
	if a.Plan == nil || a.Plan.State == "none" {
		n.What = o.noPlan(a)
		if to == ToOwner {
			n.What = append(n.What, answer.CareLines(a.Care, false, a.Now)...)
		}
		if a.Plan != nil && len(a.Plan.Why) > 0 {
			why := a.Plan.Why[0]
			if to == ToOwner && len(a.Plan.ForOwner) > 0 {
				why = a.Plan.ForOwner[0]
			}
			n.Why = []string{stop(answer.Capital(o.prose(why)))}
		}
		o.noteCrew(n, a.Crew, a.To)
		n.Change = []string{}
		return n
	}
	plan := ahead(a.Plan, a.Now)
	n.What = o.noteWhat(plan, to)
	if s := o.inPart(a, to); s != "" {
		n.What = append([]string{s}, n.What...)
	}
	if len(plan.Blocks) == 0 {
		if to == ToOwner {
			n.What = append(n.What, answer.CareLines(a.Care, false, a.Now)...)
			n.What = append(n.What, answer.LastsLines(a.Lasts, a.Now)...)
		}
		return n
	}
	if to == ToOwner { // who may come aboard meanwhile
		n.What = append(n.What, slices.Concat(answer.CareLines(a.Care, false, a.Now), answer.CareLines(a.Care, true, a.Now))...)
	}
	n.Why = o.noteWhy(a, to)
	o.noteCrew(n, a.Crew, endOf(plan.Blocks))
	if plan.Held != nil {
		n.Change = o.brokenOf(a, to)
	} else {
		n.Change = noteBreaks(a, o)
	}
	if len(n.Change) == 0 || plan.Held == nil {
		n.Change = append(n.Change, o.leastSure(plan.Blocks, a.Source)...)
	}
	n.Asks, n.Limits = noteAsks(plan), o.noteLimits(plan.OwnLimits(a.Own))
	return n
}

// noPlan says what there is without a plan: that nobody knows, which is no reason to undo what
// was agreed, or what can be done of the work at least.
func (o Options) noPlan(a *answer.Week) []string {
	if a.Verdict == "unknown" {
		return []string{"The forecast at hand tells too little of these days to plan by. What was agreed stands until a newer one tells more."}
	}
	return []string{"At the moment there is no plan that the weather allows."}
}

// inPart says that a plan is of a part of the job; "" of one of all of it.
func (o Options) inPart(a *answer.Week, to string) string {
	switch {
	case a.Plan.Part == nil:
		return ""
	case to == ToOwner:
		return stop("At the moment there is no plan of the whole job. This is for a part of it, " + o.prose(a.Plan.Part.What))
	}
	return stop(o.prose(a.InPart()))
}

// noteLimits are limits of a person's own that whoever goes by the plan has to know of.
func (o Options) noteLimits(list []string) []string {
	var out []string
	for _, s := range list {
		out = append(out, stop(answer.Capital(o.prose(s))))
	}
	return out
}

// noteCrew says where the crew is besides: to itself with boats, hours and people, to the
// owner the days alone, as a reason.
func (o Options) noteCrew(n *answer.Note, c *answer.Crew, until time.Time) {
	if n.To == ToCrew {
		for _, s := range answer.CrewLines(c) {
			n.What = append(n.What, o.prose(s))
		}
		return
	}
	if s := c.OwnerLine(until); s != "" {
		n.Why = append(n.Why, s)
	}
}

// ahead is a plan without the blocks whose time is over.
func ahead(plan *answer.Plan, now time.Time) *answer.Plan {
	out := *plan
	out.Blocks = plan.Ahead(now)
	return &out
}

// noteWhy says why the work lies where it lies.
func (o Options) noteWhy(a *answer.Week, to string) []string {
	if a.Plan.Held != nil {
		return []string{"This is the plan of " + day(*a.Plan.Held) + nbsp + clock(*a.Plan.Held) + ", which stands."}
	}
	var out []string
	if a.Headline != nil {
		for _, s := range o.whyNot(a.Headline.WhyNot) {
			out = append(out, stop(answer.Capital(dockWords(s))))
		}
	}
	if off := a.OffBest(to == ToOwner); off != "" {
		return append(out, off)
	}
	if len(out) == 0 {
		out = []string{"These are the first hours that suit the products on each side of the boat."}
	}
	return out
}

// brokenOf are the warnings of a week whose plan was made before: what of it does not
// hold any longer. Whoever is sent it must not go by that; to the owner without the names
// of other boats.
func (o Options) brokenOf(a *answer.Week, to string) []string {
	out, list := []string{}, a.Warnings
	if to == ToOwner {
		list = a.Plan.ForOwner
	}
	for _, w := range list {
		if strings.HasPrefix(w, answer.BrokenPlan) {
			out = append(out, stop(answer.Capital(dockWords(o.prose(w)))))
		}
	}
	return out
}

// NoteOfMove makes a short message of a plan that was moved.
func NoteOfMove(a *answer.Move, to string, o Options) *answer.Note {
	n := newNote(to, a.Job, a.Boat)
	n.Now = a.Now
	n.Title = noteTitle(a.Boat, a.Place, day(a.Now))
	if a.Plan == nil {
		return n
	}
	n.Limits = o.noteLimits(a.Plan.OwnLimits(a.Own))
	if to == ToOwner {
		for _, s := range a.Owner {
			n.What = append(n.What, o.prose(s))
		}
		if len(a.Plan.Blocks) > 0 {
			o.noteCrew(n, a.Crew, endOf(a.Plan.Blocks))
		}
		n.Asks = noteAsks(a.Plan)
		return n
	}
	if s := a.NotKnown(); s != "" {
		n.What = append(n.What, stop(answer.Capital(s)))
	}
	n.What = append(n.What, o.noteWhat(a.Plan, to)...)
	o.noteCrew(n, a.Crew, endOf(a.Plan.Blocks))
	for _, f := range a.Zones {
		if f.Fate != "good" {
			n.Why = append(n.Why, stop(answer.Capital(tidy(f.Zone)+", "+stepWord(f.Step)+": "+dockWords(o.prose(f.Text)))))
		}
	}
	for _, c := range a.Changes {
		if c.Change == "moved" && c.Before != nil {
			n.Why = append(n.Why, stop(answer.Capital(stepWord(c.Before.Step)+", "+tidy(c.Before.Zone)+", not "+blockHours(c.Before)+": "+o.prose(c.Text))))
		}
	}
	if s := o.prose(a.Handover.Text); s != "" {
		n.Why = append(n.Why, stop(answer.Capital(s)))
	}
	n.Change = o.leastSure(a.Plan.Blocks, a.Source)
	n.Asks = noteAsks(a.Plan)
	return n
}

func newNote(to, job, boat string) *answer.Note {
	return &answer.Note{
		Format: answer.NoteFormat, To: to, Job: job, Boat: boat, What: []string{}, Why: []string{}, Change: []string{}, Asks: []string{},
	}
}

func noteTitle(boat string, place answer.Place, day string) string {
	s := name(boat, nameCells)
	if tidy(place.Name) != "" {
		s += " at " + name(place.Name, nameCells)
	}
	return s + ", " + untie(day)
}

// Note writes a note as plain text, to be sent as it is: no colours and no shapes.
// The error is w's own.
func Note(w io.Writer, n *answer.Note, o Options) error {
	o.Colour = false
	p := newPage(o)
	p.para("", 0, n.Title)
	for _, part := range []struct {
		head  string
		lines []string
	}{{"", n.What}, {"Why", n.Why}, {"What could change it", n.Change}, {"Please answer", n.Asks}, {"Please note", n.Limits}} {
		if len(part.lines) == 0 {
			continue
		}
		p.blank()
		if part.head != "" {
			p.line(part.head + ":")
		}
		for _, l := range part.lines {
			p.para("", 2, tied(l))
		}
	}
	return p.writeTo(w)
}

// tied keeps the ties of a line and tidies the rest.
func tied(s string) string {
	words := strings.FieldsFunc(s, breaks)
	for i := range words {
		words[i] = strings.Map(func(r rune) rune {
			if hidden(r) {
				return -1
			}
			return r
		}, words[i])
	}
	return strings.Join(words, " ")
}

// noteWhat says what is done and when: to the owner in a sentence for each step,
// to the crew a line for each block.
func (o Options) noteWhat(plan *answer.Plan, to string) []string {
	blocks := plan.Blocks
	if len(blocks) == 0 {
		return []string{"All work is done."}
	}
	if to == ToCrew {
		return append(o.crewLines(plan), o.bring(blocks)...)
	}
	var steps []string
	days := map[string][]string{}
	for _, b := range blocks {
		step, on := tidy(b.Step), day(b.From)
		if days[step] == nil {
			steps = append(steps, step)
		}
		if !slices.Contains(days[step], on) {
			days[step] = append(days[step], on)
		}
	}
	var out []string
	for _, s := range steps {
		out = append(out, stop(answer.Capital(s)+": "+answer.Listed(days[s])))
	}
	last, done := endOf(blocks), "Done "
	if plan.Part != nil {
		done = "That part is done "
	}
	return append(out, done+day(last)+nbsp+clock(last)+".")
}

// endOf is where the last of some blocks ends.
func endOf(blocks []answer.PlanBlock) time.Time {
	var last time.Time
	for _, b := range blocks {
		if b.To.After(last) {
			last = b.To
		}
	}
	return last
}

// crewLines has a line for each stint: hours, people, step, zones, product, and how.
func (o Options) crewLines(plan *answer.Plan) []string {
	var out []string
	p := newPage(o)
	p.yes = yesOf(plan)
	var before time.Time
	for _, r := range answer.Stints(plan.Blocks) {
		b := r.One()
		s := tie(hours(b.From, b.To))
		if !sameDay(before, b.From) {
			s = day(b.From) + nbsp + s
		}
		before = b.From
		s += " " + tie("("+answer.Persons(b.People)+")") + " " + stintWhat(r)
		if b.Rewash {
			s += ", washed and dried first"
		}
		s += washedAgain(b)
		if b.Mind != "" {
			s += ", " + o.prose(b.Mind)
		}
		how := p.how(r...)
		if n := len(how); n > 0 && how[n-1] == p.yes && b.ConsentFor != "" {
			how[n-1] += " (" + tidy(b.ConsentFor) + ")"
		}
		switch {
		case len(how) > 0 && len(r) > 1:
			s += "; " + strings.Join(how, "; ")
		case len(how) > 0:
			s += ": " + strings.Join(how, "; ")
		}
		out = append(out, stop(s))
	}
	return out
}

// washedAgain says to the crew that a panel is to be washed once more before a block.
func washedAgain(b answer.PlanBlock) string {
	say := func(by time.Time, noTime bool) string {
		switch {
		case noTime:
			return ", only once it is washed again and dry"
		case sameDay(by, b.From):
			return ", washed again by " + clock(by)
		}
		return ", washed again by " + day(by) + nbsp + clock(by)
	}
	switch {
	case b.RainBefore != nil:
		return say(b.RainBefore.WashBy, b.RainBefore.NoTime) + " if it rains as forecast"
	case b.StaleWash != nil:
		return say(b.StaleWash.WashBy, b.StaleWash.NoTime)
	}
	return ""
}

// noteBreaks are the things that would break the day of the headline; of a plan without its
// step they say nothing.
func noteBreaks(a *answer.Week, o Options) []string {
	out := []string{}
	if _, planned := a.Asked(); !planned {
		return out
	}
	for _, s := range a.Headline.Breaks {
		out = append(out, stop(answer.Capital(dockWords(o.prose(s)))))
	}
	return out
}

// leastSure names the block that holds in the fewest forecasts.
func (o Options) leastSure(blocks []answer.PlanBlock, s answer.Source) []string {
	worst := -1
	for i, b := range blocks {
		if worst < 0 || b.Confidence < blocks[worst].Confidence {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	b := blocks[worst]
	in := sure(b.Confidence, s)
	if in == "" {
		return nil
	}
	if b.Confidence >= 1 {
		return []string{"All of it holds in " + in + ": only rain or damp that no forecast shows yet could change it."}
	}
	return []string{fmt.Sprintf("Least sure: %s on the %s, %s: holds in %s.", stepWord(b.Step), name(b.Zone, zoneCells), day(b.From), in)}
}

// noteAsks asks for the yes that a plan waits for, once a day for what is alike; nothing
// where the job gives it.
func noteAsks(plan *answer.Plan) []string {
	if plan.Accepted {
		return nil
	}
	var order []string
	times := map[string][]string{}
	for _, b := range plan.Blocks {
		if b.NeedsConsent && answer.Workable(b.State) { // no yes makes hours good that are lost since the plan was made
			edge := "on the edge of what the product allows"
			if b.ConsentFor != "" {
				edge += " (" + tidy(b.ConsentFor) + ")"
			}
			ask := fmt.Sprintf("Is it all right to do this %s: %s on the %s, %s", edge, stepWord(b.Step), name(b.Zone, zoneCells), day(b.From))
			if times[ask] == nil {
				order = append(order, ask)
			}
			times[ask] = append(times[ask], tie(hours(b.From, b.To)))
		}
	}
	var out []string
	for _, ask := range order {
		out = append(out, ask+" "+answer.Listed(times[ask])+"?")
	}
	return out
}

// dockWords puts the words of people in the place of those of the program.
func dockWords(s string) string {
	return programWords.ReplaceAllStringFunc(s, func(w string) string { return onDock[w] })
}

var onDock = map[string]string{"members": "forecasts", "spread": "distance over the dew point", "film": "water on the panel"}

// programWords are whole words: the spreaders of a yacht stay what they are.
var programWords = regexp.MustCompile(`\b(?:members|spread|film)\b`)
