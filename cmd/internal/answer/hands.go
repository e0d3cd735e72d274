package answer

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// What a crew may lack for its work while it is elsewhere.
const (
	LackHands     = "hands"
	LackPolishers = "polishers"
)

// lacking notes what this morning's work waits for.
func (c *Crew) lacking(hands, polishers bool) {
	if c.Holds = hands || polishers; hands {
		c.Lacks = append(c.Lacks, LackHands)
	}
	if polishers {
		c.Lacks = append(c.Lacks, LackPolishers)
	}
}

// HeldBy says who keeps the hands or the polishers away that this morning's work waits for:
// all that is elsewhere today; "" where the verdict waits for neither.
func (c *Crew) HeldBy(now time.Time) string {
	if c == nil || !c.Holds {
		return ""
	}
	var words, named []string
	if len(c.Lacks) == 0 || slices.Contains(c.Lacks, LackHands) { // older answers lacked hands alone
		words, named = c.today(now)
		for i := range words {
			words[i] = "the crew is on " + words[i]
		}
	}
	if !slices.Contains(c.Lacks, LackPolishers) {
		return strings.Join(words, "; ")
	}
	at, on := c.atMachines().today(now)
	for k := range at {
		if i := slices.Index(named, on[k]); i >= 0 {
			words[i] += ", with a polisher" + strings.TrimPrefix(at[k], on[k])
		} else {
			words = append(words, "a polisher of the crew is on "+at[k])
		}
	}
	return strings.Join(words, "; ")
}

// today words the stays of a day, each other job with its own, and names those jobs.
func (c *Crew) today(now time.Time) (words, seen []string) {
	for i := range c.Away {
		x := &c.Away[i]
		on := x.On()
		if slices.Contains(seen, on) || len(x.People) == 0 || job.DateOf(x.From) != job.DateOf(now) {
			continue
		}
		seen = append(seen, on)
		var parts []string
		for _, s := range c.stays(on) {
			if job.DateOf(s.from) == job.DateOf(now) {
				parts = append(parts, s.words())
			}
		}
		words = append(words, on+" "+strings.Join(parts, ", "))
	}
	return words, seen
}

// atMachines is where polishers are besides, with all who have one, whether this job has them
// too or not.
func (c *Crew) atMachines() *Crew {
	out := &Crew{Name: c.Name, ChangeMin: c.ChangeMin}
	for _, x := range c.Away {
		if x.atMachines() > 0 {
			x.People = slices.Concat(x.People, x.Machines)
			out.Away = append(out.Away, x)
		}
	}
	return out
}

// Lent is a stretch in which some polishers of a crew are on another boat or on the way.
type Lent struct {
	From, To time.Time
	N        int
	On       string
}

// Polishers are the stretches in which polishers are on other boats, as far as a job that
// counts its own knows of them.
func (c *Crew) Polishers() []Lent {
	if c == nil {
		return nil
	}
	var out []Lent
	for i := range c.Away {
		x := &c.Away[i]
		if n := x.atMachines(); n > 0 {
			e := x.of(1)
			from, to := e.Machine()
			out = append(out, Lent{From: from, To: to, N: n, On: x.On()})
		}
	}
	return out
}

// LentAway names another boat that has a polisher while one of a list is in hand and more than
// there are would be; "" where there are enough.
func LentAway(list []Lent, while Lent, most int) string {
	for _, x := range list {
		at := x.From
		if at.Before(while.From) {
			at = while.From
		}
		if n, on := InHands(list, at); at.Before(while.To) && n > most && on != "" {
			return on
		}
	}
	return ""
}

// InHands is how many polishers of a list are in hands at a moment, and another boat on which
// one is; "" where none is.
func InHands(list []Lent, at time.Time) (n int, on string) {
	for _, x := range list {
		if !x.From.After(at) && x.To.After(at) {
			n, on = n+x.N, cmp.Or(on, x.On)
		}
	}
	return n, on
}

// lentThen says on which other boats polishers are while a block is worked; "" where none is.
func (c *Crew) lentThen(x *PlanBlock) string {
	var on []string
	for _, l := range c.Polishers() {
		if l.From.Before(x.Worked()) && x.From.Before(l.To) && !slices.Contains(on, l.On) {
			on = append(on, l.On)
		}
	}
	if len(on) == 0 {
		return ""
	}
	return ", for one is on " + Listed(on)
}

// Then reports whether a step may begin at the hour that the verdict waits for.
func (m *Morning) Then(x MorningStep) bool {
	if m.WaitUntil == nil {
		return true
	}
	t := *m.WaitUntil
	if x.NoHands && (x.HandsAt == nil || x.HandsAt.After(t)) || x.NoPolisher && (x.PolisherAt == nil || x.PolisherAt.After(t)) {
		return false
	}
	if m.Crew == nil || !m.Crew.Holds {
		return x.First != nil && !x.NeedsConsent && !x.First.After(t) && x.State != "ideal" && x.State != Go
	}
	return slices.ContainsFunc(x.Chances, func(c Chance) bool { return !c.NeedsConsent && !c.From.After(t) && !c.until().Before(t) })
}

// doubleBooked sorts out the people and polishers that the plan of this job has at the hours of
// another one, which plans that know of each other never have: those of the plan that was made
// first stay, so that not each boat waits for the other. It gives who is elsewhere then,
// and says what has to be put right.
func (b *builder) doubleBooked() (away []window.Elsewhere, warnings []string) {
	if b.Crew == nil {
		return nil, nil
	}
	var twice []bookedTwice
	for i := range b.Crew.Away {
		x := &b.Crew.Away[i]
		k := slices.IndexFunc(b.Agreed, func(own PlanBlock) bool { return b.clash(&own, x) != "" })
		if k >= 0 {
			twice = alsoOn(twice, k, b.clash(&b.Agreed[k], x), x.On())
			if c := b.AgreedAt.Compare(x.Agreed); c < 0 || c == 0 && b.Job.Boat+"\x00"+b.Job.Name < x.Boat+"\x00"+x.Job {
				continue
			}
		}
		away = append(away, x.Elsewhere()...)
	}
	for _, t := range twice {
		own := &b.Agreed[t.own]
		warnings = append(warnings, fmt.Sprintf("%s on %s, %s-%s, has %s %s", own.Step, own.Zone,
			own.From.In(b.loc).Format(stamp), own.To.In(b.loc).Format(hourMinute), t.what, t.words()))
	}
	return away, warnings
}

// bookedTwice is what a block of the agreed plan has together with other boats.
type bookedTwice struct {
	own  int    // index of the block
	what string // as clash says it
	on   []string
}

// alsoOn adds a boat to what a block has together with others.
func alsoOn(list []bookedTwice, own int, what, on string) []bookedTwice {
	k := slices.IndexFunc(list, func(t bookedTwice) bool { return t.own == own && t.what == what })
	if k < 0 {
		return append(list, bookedTwice{own, what, []string{on}})
	}
	if !slices.Contains(list[k].on, on) {
		list[k].on = append(list[k].on, on)
	}
	return list
}

// words say which plans have it as well, and which to move. People whom two others have are
// free once both of these are moved; of polishers there may be enough for one of them.
func (t bookedTwice) words() string {
	if len(t.on) == 1 {
		return "the plan of " + t.on[0] + " has as well: move one of the two plans"
	}
	others := "all of the others"
	switch {
	case t.what == aPolisher:
		others = "enough of the others"
	case len(t.on) == 2:
		others = "both of the others"
	}
	return "the plans of " + Listed(t.on) + " have as well: move this plan, or " + others
}

// What a block has together with others, as clash says it.
const (
	thePeople = "people whom"
	aPolisher = "a polisher that"
)

// clash says what a block of the agreed plan that is ahead has together with one elsewhere;
// "" where that is nothing.
func (b *builder) clash(own *PlanBlock, x *Away) string {
	one := Crew{ChangeMin: b.Crew.ChangeMin, Away: []Away{*x}}
	if own.To.After(b.Now) && one.On(own) != "" {
		return thePeople
	}
	if b.Job.Polishers == 0 || !own.Worked().After(b.Now) || !own.Machine(b.Classes) {
		return ""
	}
	mine := Lent{From: own.From, To: own.Worked(), N: len(own.People)}
	all := append(b.Crew.Polishers(), mine) // of three boats any two may have enough
	for _, k := range one.Polishers() {
		if k.From.Before(mine.From) {
			k.From = mine.From
		}
		if mine.To.Before(k.To) {
			k.To = mine.To
		}
		if LentAway(all, k, b.Job.Polishers) != "" {
			return aPolisher
		}
	}
	return ""
}

// handed is what may be asked of a row with what of the crew is there: work begins only
// where enough of it stays for as long as a block takes.
func (b *builder) handed(a asked, row int, today span, enough func(row, slot int, today span) bool) asked {
	if len(b.Result.Elsewhere) == 0 || today.empty() {
		return a
	}
	workable := b.workableBy()
	out, r := a, &b.Result.Rows[row]
	if out.later, out.marginal = -1, false; a.now.Workable() && !enough(row, today.from, today) {
		out.now = verdict.NoGo
	}
	for i := range r.Windows {
		w, state := &r.Windows[i], b.begins(window.Ref{Row: row, Window: i})
		timely := b.timely(r, w, span{max(w.From, today.from), min(w.To, today.to)})
		for s := timely.from; s < timely.to; s++ {
			switch {
			case state > workable && out.marginal, s == today.from && state <= workable, !enough(row, s, today):
			case state > workable:
				out.marginal = true
			case out.later < 0 || s < out.later:
				out.later = s
			}
		}
	}
	return out
}

// anyhow asks for nobody: by it a row begins by the weather alone.
func anyhow(int, int, span) bool { return true }

// hands reports whether enough people for a row are there from a slot of the grid on: for
// what is left of its block of today that lies there, else for as long as one has to be.
func (b *builder) hands(row, slot int, today span) bool {
	x := b.blockAt(row, slot, today)
	return b.Result.Hands(b.Job, slot, x.To) >= max(1, b.Result.Rows[row].Class.People)
}

// equipped reports whether enough people are there, and enough polishers for as long as
// they work.
func (b *builder) equipped(row, slot int, today span) bool {
	c, x := &b.Result.Rows[row].Class, b.blockAt(row, slot, today)
	return b.hands(row, slot, today) &&
		(b.Job.Polishers == 0 || !c.Machine || b.Result.Polishers(b.Job, slot, x.WorkTo) >= max(1, c.People))
}

// lacks notes on a step whether it waits for hands and for a polisher, by what may be asked of
// it by the weather, with the hands that are there, and with the polishers as well.
func (b *builder) lacks(s *MorningStep, free, manned, equipped asked) {
	s.NoHands, s.HandsAt = b.lacksOf(s, free, manned, "too few of the crew are free for it")
	s.NoPolisher, s.PolisherAt = b.lacksOf(s, manned, equipped, "no polisher of the crew's is free for it")
}

// lacksOf reports whether what is there takes hours from a step and, null if not today, when
// it may begin; its words go to what is to be minded.
func (b *builder) lacksOf(s *MorningStep, before, after asked, words string) (bool, *time.Time) {
	if after.now == before.now && (before.now.Workable() || after.later == before.later) {
		return false, nil
	}
	switch {
	case after.later >= 0:
		t := b.at(after.later)
		s.Mind = joined(s.Mind, words+" before "+t.Format(hourMinute))
		return true, &t
	case after.marginal: // later it takes a yes
		words += " now"
	default:
		words += " today"
	}
	s.Mind = joined(s.Mind, words)
	return true, nil
}

// blockAt is what is left from a slot on of the block of a row that is booked there, else as
// long a block as it has to be; a slot at the least.
func (b *builder) blockAt(row, slot int, today span) window.RowBlock {
	block := b.needed(row)
	out := window.RowBlock{Row: row, From: slot, WorkTo: min(slot+b.needs.Worked(row), today.to), To: min(slot+block, today.to)}
	for _, x := range b.booked {
		if x.Row == row && x.From <= slot && slot < x.To {
			out.WorkTo, out.To = min(out.WorkTo, x.WorkTo), min(out.To, x.To)
		}
	}
	out.To = max(out.To, slot+1)
	return out
}

// On names the job that has people of a block in its hours or on the way, "" where none
// has.
func (c *Crew) On(x *PlanBlock) string {
	if c == nil {
		return ""
	}
	for i := range c.Away {
		a := &c.Away[i]
		change := c.change(a)
		if !a.From.Add(-change).Before(x.To) || !x.From.Before(a.To.Add(change)) {
			continue
		}
		if slices.ContainsFunc(a.People, func(p int) bool { return slices.Contains(x.People, p) }) {
			return a.On()
		}
	}
	return ""
}
