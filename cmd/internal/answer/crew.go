package answer

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// Crew is where the people of a job are besides, by the plans in force of the other jobs
// in the book that name the same crew.
type Crew struct {
	Name string `json:"name"`
	// ChangeMin is how many minutes before and after a block of away nobody of it is
	// booked here, beside the way: the time to change boats.
	ChangeMin float64 `json:"change_min"`
	Away      []Away  `json:"away"` // still ahead or under way, in the order of time; the first is the next
	// Holds: the weather would allow more this morning, but the hands are not there.
	Holds bool `json:"holds,omitempty"`
}

// Away is a block of another job, and who of the people of this one works in it, or has a
// polisher of the crew there.
type Away struct {
	Job      string    `json:"job"`
	Boat     string    `json:"boat"`
	Place    string    `json:"place"`
	KM       float64   `json:"km"`                // from this boat, as the crow flies; 0 within two kilometres
	WayMin   float64   `json:"way_min,omitempty"` // what the way is reckoned at, minutes; 0 where KM is
	From     time.Time `json:"from"`
	To       time.Time `json:"to"`
	People   []int     `json:"people"` // numbers, from 1: the same persons as those of this job's blocks
	Step     string    `json:"step"`
	Zone     string    `json:"zone"`
	MachineH float64   `json:"machine_h"` // at a machine, which counts to what one person may in a day
	Agreed   time.Time `json:"agreed"`    // when its plan was made
	// Machines are the numbers of others who work in it and keep one of the crew's polishers
	// each, of whom this job has none that day. Where a job does not count its polishers they
	// are not listed.
	Machines []int `json:"machine_people,omitempty"`
}

// Elsewhere is the block as the engine takes it, a stretch for each person.
func (x *Away) Elsewhere() []window.Elsewhere {
	var out []window.Elsewhere
	for _, p := range slices.Concat(x.People, x.Machines) {
		out = append(out, window.Elsewhere{Person: p, From: x.From.UTC(), To: x.To.UTC(), MachineH: x.MachineH, WayMin: x.WayMin})
	}
	return out
}

// On is what the other work is called: its boat, and its job where it has a name.
func (x *Away) On() string {
	switch {
	case x.Boat != "" && x.Job != "":
		return x.Boat + " (" + x.Job + ")"
	case x.Boat != "":
		return x.Boat
	case x.Job != "":
		return x.Job
	}
	return "another boat"
}

// NewCrew is the word on a crew in an answer; nil where nobody of it is elsewhere.
func NewCrew(j *job.Job, list []Away) *Crew {
	if len(list) == 0 {
		return nil
	}
	out := &Crew{Name: j.Crew, ChangeMin: window.ChangeMin, Away: slices.Clone(list)}
	for i := range out.Away {
		x := &out.Away[i]
		x.From, x.To, x.Agreed = x.From.In(j.Location()), x.To.In(j.Location()), x.Agreed.In(j.Location())
	}
	return out
}

// CrewLines say who is elsewhere in which hours of which days, a line for each other job,
// and then which polishers are in the hands of people whom this job has not.
func CrewLines(c *Crew) []string {
	if c == nil {
		return nil
	}
	return append(c.lines("Crew ", "Not booked here then"), c.machines().lines("Polisher of crew ", "Not to be had here while it is worked there")...)
}

// machines is where machines are besides, with the people who have them and whom this job has
// not.
func (c *Crew) machines() *Crew {
	out := &Crew{Name: c.Name, ChangeMin: c.ChangeMin}
	for _, x := range c.Away {
		x.People = x.Machines
		out.Away = append(out.Away, x)
	}
	return out
}

// lines are a line for each other job, by who or what is there, with a last word on what that
// means here.
func (c *Crew) lines(who, means string) []string {
	var out, seen []string
	way := ""
	for i := range c.Away {
		on := c.Away[i].On()
		if slices.Contains(seen, on) || len(c.stays(on)) == 0 {
			continue
		}
		seen = append(seen, on)
		line := who + c.Name + " on " + on
		if c.Away[i].KM > 0 {
			line += fmt.Sprintf(", %.0f km away, about %.0f min by road", c.Away[i].KM, c.Away[i].WayMin)
			way = " and the way"
		}
		out = append(out, line+": "+c.hours(on)+".")
	}
	if len(out) == 0 {
		return nil
	}
	out[len(out)-1] += fmt.Sprintf(" %s, nor for %.0f min%s before and after.", means, c.ChangeMin, way)
	return out
}

// change is how long before and after a block of another job nobody of it is booked here.
func (c *Crew) change(x *Away) time.Duration {
	return time.Duration((c.ChangeMin + x.WayMin) * float64(time.Minute))
}

// OffBest says that the crew is elsewhere on the best day of the headline, where the plan
// has the step on other days alone: on which, InPlan says beside it. "" where that is not so.
func (w *Week) OffBest() string {
	blocks := w.headBlocks()
	if w.Crew == nil || len(blocks) == 0 || len(w.Headline.Best) == 0 {
		return ""
	}
	best := w.Headline.Best[0].From
	if slices.ContainsFunc(blocks, func(x PlanBlock) bool { return sameDate(x.From, best) }) {
		return ""
	}
	var on []string
	for i := range w.Crew.Away {
		x := &w.Crew.Away[i]
		if len(x.People) > 0 && sameDate(x.From, best) && !slices.Contains(on, x.On()) {
			on = append(on, x.On())
		}
	}
	if len(on) == 0 {
		return ""
	}
	return fmt.Sprintf("The crew is on %s on the best day, %s.", Listed(on), best.Format(dayOnly))
}

// OwnerLine says to a boat's owner on which days up to a moment the crew works elsewhere:
// whose boat that is, is not his to be told. "" where it does not.
func (c *Crew) OwnerLine(until time.Time) string {
	if c == nil {
		return ""
	}
	var days []string
	for i := range c.Away {
		x := &c.Away[i]
		if d := x.From.Format(dayOnly); len(x.People) > 0 && !x.From.After(until) && !slices.Contains(days, d) {
			days = append(days, d)
		}
	}
	if len(days) == 0 {
		return ""
	}
	return "The crew works on another boat on " + Listed(days) + "."
}

// AnotherBoat is what owners are told in place of the crew's other boats: whose they are is
// no matter of theirs.
const AnotherBoat = "another boat"

// CrewLines say where the crew is today.
func (m *Morning) CrewLines() []string {
	if m.Crew == nil {
		return nil
	}
	today := *m.Crew
	today.Away = slices.DeleteFunc(slices.Clone(today.Away), func(x Away) bool { return job.DateOf(x.From) != job.DateOf(m.Now) })
	return CrewLines(&today)
}

// stay is a stretch that some people spend on another boat.
type stay struct {
	from, to time.Time
	people   []int
}

// stays are the stretches that each person spends on another boat without time to be
// here in between, those who are there together as one.
func (c *Crew) stays(on string) []stay {
	var out []stay
	own := map[int]*stay{}
	add := func(s *stay) {
		for i := range out {
			if out[i].from.Equal(s.from) && out[i].to.Equal(s.to) {
				out[i].people = append(out[i].people, s.people...)
				return
			}
		}
		out = append(out, *s)
	}
	var order []int
	for i := range c.Away {
		x := &c.Away[i]
		if x.On() != on {
			continue
		}
		for _, p := range x.People {
			s := own[p]
			if s == nil {
				order = append(order, p)
			} else if c.noTimeHere(s.to, x) {
				if x.To.After(s.to) {
					s.to = x.To
				}
				continue
			} else {
				add(s)
			}
			own[p] = &stay{x.From, x.To, []int{p}}
		}
	}
	slices.Sort(order)
	for _, p := range order {
		add(own[p])
	}
	slices.SortStableFunc(out, func(a, b stay) int { return a.from.Compare(b.from) })
	return out
}

// noTimeHere reports whether who was on another boat until a moment is not back before a
// block there. A long way makes no stay of two days: only hours are told of its ends.
func (c *Crew) noTimeHere(until time.Time, x *Away) bool {
	gap := x.From.Sub(until)
	return gap <= 2*c.change(x) && (sameDate(until, x.From) || gap <= 2*c.change(&Away{}))
}

// words are a stay's hours and people.
func (s *stay) words() string {
	slices.Sort(s.people)
	return s.from.Format(hourMinute) + "-" + s.to.Format(hourMinute) + " (" + Persons(s.people) + ")"
}

// hours words the stays on a boat: "Tue 8 Sep 07:30-11:20 (1+2), 13:00-14:00 (1); Wed 9 Sep …".
func (c *Crew) hours(on string) string {
	text := ""
	var day time.Time
	for i, s := range c.stays(on) {
		switch {
		case i > 0 && job.DateOf(day) == job.DateOf(s.from):
			text += ", "
		case i > 0:
			text += "; " + s.from.Format(dayOnly) + " "
		default:
			text = s.from.Format(dayOnly) + " "
		}
		day = s.from
		text += s.words()
	}
	return text
}

const dayOnly = "Mon 2 Jan"

// Persons are people by their numbers: "1+3".
func Persons(people []int) string {
	words := make([]string, len(people))
	for i, p := range people {
		words[i] = strconv.Itoa(p)
	}
	return strings.Join(words, "+")
}

// HeldBy says who keeps the hands away that this morning's work waits for: all that is
// elsewhere today; "" where the verdict does not wait for hands.
func (c *Crew) HeldBy(now time.Time) string {
	if c == nil || !c.Holds {
		return ""
	}
	var words []string
	var seen []string
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
		words = append(words, "the crew is on "+on+" "+strings.Join(parts, ", "))
	}
	return strings.Join(words, "; ")
}

// Then reports whether a step may begin at the hour that the verdict waits for.
func (m *Morning) Then(x MorningStep) bool {
	if m.WaitUntil == nil {
		return true
	}
	t := *m.WaitUntil
	if m.Crew == nil || !m.Crew.Holds {
		return x.First != nil && !x.NeedsConsent && !x.First.After(t) && x.State != "ideal" && x.State != Go
	}
	return slices.ContainsFunc(x.Chances, func(c Chance) bool { return !c.NeedsConsent && !c.From.After(t) && !c.until().Before(t) })
}

// NextAway words the next block of each other job of the crew, for whoever has hours left
// here: its weather is not looked at.
func NextAway(c *Crew, now time.Time) []string {
	if c == nil {
		return nil
	}
	var out, seen []string
	for i := range c.Away {
		x := &c.Away[i]
		if slices.Contains(seen, x.On()) || len(x.People) == 0 {
			continue
		}
		seen = append(seen, x.On())
		next := "next by its plan: "
		if !x.From.After(now) {
			next = "now by its plan: "
		}
		out = append(out, fmt.Sprintf("%s: %s%s, %s, %s-%s (%s). Her weather was not looked at here: ask dewgap morning with her job.",
			x.On(), next, x.Step, x.Zone, x.From.Format(stamp), x.To.Format(hourMinute), Persons(x.People)))
	}
	return out
}

// others names the other jobs that have people of the crew within the horizon, and says
// when the last of that ends.
func (b *builder) others() (names string, until time.Time) {
	var words []string
	if b.Crew != nil {
		for i := range b.Crew.Away {
			x := &b.Crew.Away[i]
			if !x.From.Before(b.at(b.Result.To)) {
				continue
			}
			if on := x.On(); !slices.Contains(words, on) {
				words = append(words, on)
			}
			if x.To.After(until) {
				until = x.To
			}
		}
	}
	return Listed(words), until
}

// doubleBooked sorts out the people whom the plan of this job has at the hours of another
// one, which plans that know of each other never have: those of the plan that was made
// first stay, so that not each boat waits for the other. It gives who is elsewhere then,
// and says what has to be put right.
func (b *builder) doubleBooked() (away []window.Elsewhere, warnings []string) {
	if b.Crew == nil {
		return nil, nil
	}
	for i := range b.Crew.Away {
		x := &b.Crew.Away[i]
		k := slices.IndexFunc(b.Agreed, func(own PlanBlock) bool {
			one := Crew{ChangeMin: b.Crew.ChangeMin, Away: b.Crew.Away[i : i+1]}
			return own.To.After(b.Now) && one.On(&own) != ""
		})
		if k >= 0 {
			own := b.Agreed[k]
			line := fmt.Sprintf("%s on %s, %s-%s, has people whom the plan of %s has as well: move one of the two plans",
				own.Step, own.Zone, own.From.In(b.loc).Format(stamp), own.To.In(b.loc).Format(hourMinute), x.On())
			if !slices.Contains(warnings, line) {
				warnings = append(warnings, line)
			}
			if c := b.AgreedAt.Compare(x.Agreed); c < 0 || c == 0 && b.Job.Boat+"\x00"+b.Job.Name < x.Boat+"\x00"+x.Job {
				continue
			}
		}
		away = append(away, x.Elsewhere()...)
	}
	return away, warnings
}

// handed is what may be asked of a row with the hands that are there: work begins only
// where enough of them stay for as long as a block takes.
func (b *builder) handed(a asked, row int, today span) asked {
	if len(b.Result.Elsewhere) == 0 || today.empty() {
		return a
	}
	workable := b.workableBy()
	out, r := a, &b.Result.Rows[row]
	if out.later, out.marginal = -1, false; a.now.Workable() && !b.hands(row, today.from, today) {
		out.now = verdict.NoGo
	}
	for i := range r.Windows {
		w, state := &r.Windows[i], b.begins(window.Ref{Row: row, Window: i})
		timely := b.timely(r, w, span{max(w.From, today.from), min(w.To, today.to)})
		for s := timely.from; s < timely.to; s++ {
			switch {
			case state > workable && out.marginal, s == today.from && state <= workable, !b.hands(row, s, today):
			case state > workable:
				out.marginal = true
			case out.later < 0 || s < out.later:
				out.later = s
			}
		}
	}
	return out
}

// hands reports whether enough people for a row are there from a slot of the grid on: for
// what is left of its block of today that lies there, else for as long as one has to be.
func (b *builder) hands(row, slot int, today span) bool {
	r := &b.Result.Rows[row]
	to := min(slot+b.needed(row), today.to)
	for _, x := range b.booked {
		if x.Row == row && x.From <= slot && slot < x.To {
			to = min(to, x.To)
		}
	}
	return b.Result.Hands(b.Job, slot, max(to, slot+1)) >= max(1, r.Class.People)
}

// whyHands says what it costs a plan that people are elsewhere; "" where it costs nothing.
func (b *builder) whyHands(p *window.Planned) string {
	all := p.AllHands
	if all == nil || !all.Found || !all.Score.Less(p.Score) {
		return ""
	}
	on, _ := b.others()
	text := "the crew's hours on " + on + " count: with all of it here, "
	switch p.Score.Behind(all.Score) {
	case 0:
		return text + countOf(all.Score.Consents, "block") + " would need your yes"
	case 1:
		return text + fmt.Sprintf("the plan would hold in %.0f %% of the forecasts", 100*all.Confidence)
	case 2:
		return text + "it would take " + countOf(all.Score.Days, "day")
	case 3:
		return text + "it would be done " + b.at(b.Result.From+all.Score.Finish).Format(stamp)
	}
	return text + "the hours would be cooler"
}

// noHands says that there is no plan around the crew's hours elsewhere, though there is
// one with all of it here; to the owner without the names of the other boats.
func (b *builder) noHands(r *plan.Refusal, toOwner bool) string {
	text := "there is no plan while the crew is elsewhere"
	if !r.Certain {
		text = "no plan was found around the crew's hours elsewhere, which does not prove that there is none"
	}
	if on, until := b.others(); on != "" {
		if toOwner {
			on = AnotherBoat
		}
		text += ": it is on " + on + " until " + until.Format(stamp)
	}
	return text + "; with all of it here there is a plan"
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
