package answer

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/job"
)

// Crew is where the people of a job are besides, by the plans in force of the other jobs
// in the book that name the same crew.
type Crew struct {
	Name string `json:"name"`
	// ChangeMin is how many minutes before and after a block of away nobody of it is
	// booked here, beside the way: the time to change boats.
	ChangeMin float64 `json:"change_min"`
	Away      []Away  `json:"away"` // still ahead or under way, in the order of time; the first is the next
	// Holds: the weather would allow more this morning, but the hands are not there, or not
	// the polishers: Lacks says which.
	Holds bool     `json:"holds,omitempty"`
	Lacks []string `json:"lacks,omitempty"`
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
		out = append(out, x.of(p))
	}
	return out
}

func (x *Away) of(person int) window.Elsewhere {
	return window.Elsewhere{Person: person, From: x.From.UTC(), To: x.To.UTC(), MachineH: x.MachineH, WayMin: x.WayMin}
}

// atMachines is how many of those whom the block takes keep a polisher each.
func (x *Away) atMachines() int {
	if x.MachineH <= 0 {
		return 0
	}
	return len(x.People) + len(x.Machines)
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
			line += fmt.Sprintf(", %.0f km away, about %.0f min by road", c.Away[i].KM, max(0, c.Away[i].WayMin)) // no minus before a nought
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

// onDay names the other jobs with blocks on a day that take something of the crew.
func (c *Crew) onDay(day time.Time, takes func(*Away) bool) []string {
	var on []string
	if c == nil {
		return nil
	}
	for i := range c.Away {
		x := &c.Away[i]
		if takes(x) && sameDate(x.From, day) && !slices.Contains(on, x.On()) {
			on = append(on, x.On())
		}
	}
	return on
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
