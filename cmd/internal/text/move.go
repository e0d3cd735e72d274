package text

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Columns of before and after: the word for what became of a block, its old hours
// and its new ones.
const (
	moveTag    = 10
	moveHours  = 24
	moveIndent = 2 + moveTag
)

// Move writes the answer of dewgap move: in one line how much moved and whether the
// hand-over stands, then the rain and what it made of the work zone by zone, before
// and after side by side with the reason for every move, the ways to get on where
// there is no plan, and the message for the owner. The error is w's own.
func Move(w io.Writer, a *answer.Move, o Options) error {
	p := newPage(o)
	p.moveHead(a)
	p.title(a.Boat, a.Place, a.Source, a.Now)
	p.fates(a)
	p.changes(a)
	p.ladder(a.Ladder, a.Source)
	p.otherBoat(a)
	p.owner(a)
	p.cautions(a.Cautions)
	p.warnings(a.Warnings)
	p.credit(a.Source)
	return p.writeTo(w)
}

// moveHead answers in one line: how many blocks moved, whether the day stands,
// what it costs.
func (p *page) moveHead(a *answer.Move) {
	parts := []string{tie(fmt.Sprintf("moved %d of %s", a.Moved, numbered(a.Blocks, "block")))}
	switch {
	case a.NotKnown() != "":
		parts = []string{a.NotKnown()}
	case a.Plan == nil || a.Plan.State == "none":
		parts = []string{"no plan fits the weather any longer"}
	case a.Blocks == 0:
		parts = []string{tie("no block of an earlier plan is left to do")}
	case a.Moved > 0 && a.Proven:
		parts[0] += ", " + tie("no fewer will do")
	case a.Moved > a.Least && a.Least > 0: // that none must is no news
		parts[0] += ", " + tie(fmt.Sprintf("at least %d must", a.Least))
	}
	if s := p.o.prose(a.Handover.Text); s != "" {
		parts = append(parts, s)
	}
	if finite(&a.AddedH) && a.AddedH > 0 {
		parts = append(parts, tie("the rain costs "+duration(a.AddedH, up)+" of work"))
	}
	p.para(loud(a.Verdict)+"  ", 2, answer.Capital(stop(strings.Join(parts, "; "))))
}

// fates writes the rain and what became of the work under it, the worst first.
func (p *page) fates(a *answer.Move) {
	if len(a.Zones) == 0 && len(a.Rain) == 0 {
		return
	}
	p.blank()
	p.para(heading("rain")+"  ", 2, p.rainLine(a))
	list := slices.Clone(a.Zones)
	slices.SortStableFunc(list, func(x, y answer.Fate) int { return fateRank(y.Fate) - fateRank(x.Fate) })
	for _, f := range list {
		p.fate(f, a.Now)
	}
}

func fateRank(fate string) int {
	return slices.Index([]string{"good", "inspect", "rewash", "redo"}, fate)
}

// rainLine names every spell of rain and their sum.
func (p *page) rainLine(a *answer.Move) string {
	if len(a.Rain) == 0 {
		return "none since the work began."
	}
	var parts []string
	for i, r := range a.Rain {
		s := hours(r.From, r.To)
		if i == 0 || !sameDay(a.Rain[i-1].From, r.From) {
			s = day(r.From) + nbsp + s
		}
		if finite(r.MM) {
			s += ", " + p.o.rain().show(*r.MM, nearest)
		}
		if !r.Observed {
			s += " " + tie("(forecast)")
		}
		parts = append(parts, s)
	}
	s := strings.Join(parts, "; ")
	if len(a.Rain) > 1 && finite(a.RainMM) {
		s += "; " + p.o.rain().show(*a.RainMM, nearest) + tie(" in all")
	}
	return stop(s)
}

// fateTag is a fate by shape and word.
func fateTag(fate string) string {
	switch fate {
	case "good":
		return paint(lookOf("go").colour, "+"+nbsp+"GOOD")
	case "inspect":
		return paint(lookOf("marginal").colour, "!"+nbsp+"INSPECT")
	case "rewash":
		return paint(lookOf("wait").colour, "~"+nbsp+"REWASH")
	case "redo":
		return paint(lookOf("no-go").colour, "x"+nbsp+"REDO")
	}
	return "?" + nbsp + strings.ToUpper(name(fate, 7))
}

// fate writes what became of a part of a zone, what to do, and when it is dry.
func (p *page) fate(f answer.Fate, now time.Time) {
	what := tie(name(f.Zone, zoneCells))
	if finite(f.AreaM2) && *f.AreaM2 > 0 {
		what += ", " + p.o.area().show(*f.AreaM2, nearest)
	}
	what += ", " + stepWord(f.Step)
	if f.From != nil && f.To != nil && f.To.After(*f.From) {
		what += " " + tie(when(now, *f.From)+"-"+when(*f.From, *f.To))
	} else if f.To != nil {
		what += " " + tie(when(now, *f.To))
	}
	text := what + ": " + p.o.prose(f.Text)
	if dry := dryWords(f, now); dry != "" {
		text = strings.TrimSuffix(text, ".") + "; " + dry
	}
	p.para("  "+pad(fateTag(f.Fate), moveTag), moveIndent, stop(text))
}

// dryWords say when a panel is dry again.
func dryWords(f answer.Fate, now time.Time) string {
	switch {
	case f.DryTowel != nil && f.Dry != nil && f.DryTowel.Before(*f.Dry):
		return tie("dry "+when(now, *f.DryTowel)+" by towel") + ", " + tie("by itself "+when(now, *f.Dry))
	case f.Dry != nil:
		return tie("dry by itself " + when(now, *f.Dry))
	case f.DryTowel != nil:
		return tie("dry " + when(now, *f.DryTowel) + " by towel")
	}
	return ""
}

// changeTag is what became of a block by shape and word.
func changeTag(change string) string {
	switch change {
	case "kept":
		return paint(lookOf("go").colour, "="+nbsp+"kept")
	case answer.Unknown:
		return paint(lookOf("unknown").colour, "?"+nbsp+"stands")
	case "moved":
		return paint(lookOf("marginal").colour, ">"+nbsp+"moved")
	case "added":
		return paint(lookOf("wait").colour, "&"+nbsp+"new")
	case "done":
		return "." + nbsp + "done"
	case "dropped":
		return "-" + nbsp + "dropped"
	}
	return paint(lookOf("no-go").colour, "x"+nbsp+"no place")
}

// changes writes before and after side by side, and under it what it is and why.
func (p *page) changes(a *answer.Move) {
	if len(a.Changes) == 0 {
		return
	}
	if a.Plan != nil {
		p.yes = yesOf(a.Plan)
	}
	p.blank()
	p.line(pad(heading("before and after"), moveIndent) + "")
	if p.beforeBesideAfter() {
		p.line(strings.Repeat(" ", moveIndent) + pad("before", moveHours) + pad("after", moveHours) + "who")
	}
	for _, c := range a.Changes {
		p.blockChange(c)
	}
	if a.Plan == nil {
		return
	}
	for _, w := range a.Plan.Why {
		p.para("  ", 4, stop(answer.Capital(p.o.prose(w))))
	}
	if a.Plan.Waits() {
		p.para("  ", 4, "It waits for your yes: accept: marginal in the job file says it.")
	}
}

// beforeBesideAfter reports a page with room for the hours before and after in columns.
func (p *page) beforeBesideAfter() bool { return p.o.Width >= moveIndent+2*moveHours+planPeople }

func (p *page) blockChange(c answer.BlockChange) {
	x := c.After
	if x == nil {
		x = c.Before
	}
	if x == nil {
		return
	}
	same := c.Stays() && c.Before != nil && c.After != nil && c.Before.To.Equal(c.After.To)
	if !p.beforeBesideAfter() {
		span := blockHours(x)
		if c.Before != nil && c.After != nil && !same {
			span = "from" + nbsp + blockHours(c.Before) + " to" + nbsp + blockHours(c.After)
		}
		p.para("  "+changeTag(c.Change)+" ", 4, span+" ("+answer.Persons(x.People)+") "+p.changed(c, x))
		return
	}
	after := blockHours(c.After)
	if same {
		after = "the same"
	}
	p.line("  " + inColumn(changeTag(c.Change), moveTag) + inColumn(blockHours(c.Before), moveHours) + inColumn(after, moveHours) + answer.Persons(x.People))
	p.para(strings.Repeat(" ", moveIndent), moveIndent, p.changed(c, x))
}

// changed says of a block in the plan, or of one that was, what it is, how it is done, and
// why it changed.
func (p *page) changed(c answer.BlockChange, x *answer.PlanBlock) string {
	what := stepWord(x.Step) + ", " + name(x.Zone, zoneCells)
	if x.Redo {
		what += " (the part to be redone)"
	}
	if c.After != nil {
		how := p.how(*c.After)
		if c.Stays() { // the plan has told of it, but a yes may be new
			how = slices.DeleteFunc(how, func(s string) bool { return s != p.yes })
		}
		if n := len(how); n > 0 && how[n-1] == p.yes && c.After.ConsentFor != "" {
			how[n-1] += " (" + p.o.prose(c.After.ConsentFor) + ")"
		}
		if len(how) > 0 {
			what += ", " + strings.Join(how, "; ")
		}
		if c.After.Rewash {
			what += ", " + tie("washed and dried first") + " for it lay bare overnight"
		}
		for _, s := range c.Duties() {
			what += ", " + p.o.prose(s)
		}
	}
	if !c.Stays() && c.Change != "done" || c.Change == "kept" && (c.Reason == "under_way" || c.Reason == "unlogged") {
		what += ": " + p.o.prose(c.Text)
	}
	return stop(what)
}

// blockHours are the day and hours of a block, a dash for none.
func blockHours(x *answer.PlanBlock) string {
	if x == nil {
		return "-"
	}
	return day(x.From) + nbsp + hours(x.From, x.To)
}

// owner writes the message for the owner as it can be sent.
func (p *page) owner(a *answer.Move) {
	if len(a.Owner) == 0 {
		return
	}
	p.blank()
	head := heading("message for the owner")
	if a.TellBy != nil {
		head += "  " + tie("tell by "+when(a.Now, *a.TellBy))
	}
	p.line(head)
	for _, s := range a.Owner {
		p.para("  ", 2, p.o.prose(s))
	}
}

// ladder writes each way with the plan that it would allow, or why it does not.
func (p *page) ladder(rungs []answer.Rung, s answer.Source) {
	if len(rungs) == 0 {
		return
	}
	p.blank()
	p.line(heading("ways to get on") + "  each tried by the planner")
	for _, r := range rungs {
		p.rung(r, s)
	}
}

// wayWords are the ways of the ladder.
var wayWords = map[string]string{
	"sheltered_zone": "under a roof", "wet_step": "wet work", "shorter_clock": "shorter clock", "sheet": "sheet or canvas",
	"turn": "turn the boat", "next_window": "next window", "wash_first": "wash first", "rest": "all else", "hands": "all hands",
	"helper": "a helper",
}

func (p *page) rung(r answer.Rung, s answer.Source) {
	t := paint(lookOf("no-go").colour, "x"+nbsp+"no")
	switch {
	case r.Works && r.Plan != nil:
		t = tag(r.Plan.State)
	case !r.Tried:
		t = "-" + nbsp + "nothing"
	}
	way := wayWords[r.Way]
	if way == "" {
		way = name(r.Way, nameCells)
	}
	text := answer.Capital(way)
	if r.Tried {
		text += ": " + p.o.prose(r.What)
	}
	if r.Asks != "" && r.Works {
		text += "; ask the " + name(r.Asks, nameCells)
	}
	if !r.Works && r.Why != "" {
		text += ": " + p.o.prose(r.Why)
	}
	p.para("  "+pad(t, planTag), planIndent, stop(text))
	if !r.Works || r.Plan == nil {
		return
	}
	for _, l := range planDays(r.Plan.Blocks) {
		p.para(strings.Repeat(" ", planIndent), planIndent+2, l)
	}
	notes := slices.Clone(r.Other)
	if sure := sure(r.Plan.Confidence, s); sure != "" && len(r.Plan.Blocks) > 0 {
		notes = append([]string{"holds in " + sure}, notes...)
	}
	if len(notes) > 0 {
		p.para(strings.Repeat(" ", planIndent), planIndent, stop(answer.Capital(p.o.prose(strings.Join(notes, "; ")))))
	}
}

// planDays lists blocks a line a day, small washes in a row as one: "Sat 12 Sep: wash 5 zones
// 08:10-09:00, seal port side 09:10-11:30".
func planDays(blocks []answer.PlanBlock) []string {
	var out []string
	var before time.Time
	for _, r := range answer.Stints(blocks) {
		b, on := r.One(), name(r[0].Zone, zoneCells)
		if len(r) > 1 {
			on = counted(len(r), "zone")
		}
		s := stepWord(b.Step) + " " + on + " " + tie(hours(b.From, b.To))
		if sameDay(before, b.From) {
			out[len(out)-1] += ", " + s
		} else {
			out = append(out, day(b.From)+": "+s)
		}
		before = b.From
	}
	return out
}
