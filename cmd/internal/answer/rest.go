package answer

import (
	"fmt"
	"slices"
	"strconv"
	"time"
)

// restH is the rest between two days of work that is usual, in hours: that of the European
// directive on working time, from memory. It forbids nothing.
const restH = 11

// turnOfWork is what one block takes of a person's day.
type turnOfWork struct {
	from, to time.Time
	people   []int
	on       string // the other boat that it is on, "" for this one
}

// shortNight is what lies between two days of work of some people.
type shortNight struct {
	from, to         time.Time
	people           []int
	leaves, comesFor string // as turnOfWork's on
}

// restWords warn of a plan that sends somebody home for less than a night: where the job's
// hours go round the clock, as under a sun that does not set, or the same people work on
// another boat before or after. "" where it does not. The shortest rest is told, and how
// many more there are.
func restWords(blocks []PlanBlock, c *Crew) string {
	short := shortNights(turnsOf(blocks, c))
	if len(short) == 0 {
		return ""
	}
	slices.SortStableFunc(short, func(a, b shortNight) int {
		return int(a.to.Sub(a.from)/time.Minute) - int(b.to.Sub(b.from)/time.Minute)
	})
	n := short[0]
	names := make([]string, len(n.people))
	for i, p := range n.people {
		names[i] = strconv.Itoa(p)
	}
	who, has := "person "+names[0], " has"
	if len(names) > 1 {
		who, has = "persons "+Listed(names), " have"
	}
	more := ""
	switch k := len(short) - 1; {
	case k == 1:
		more = ", and 1 more night is too short"
	case k > 1:
		more = fmt.Sprintf(", and %d more nights are too short", k)
	}
	fix := "give the job hours that leave a night, or more people"
	if n.leaves != "" || n.comesFor != "" {
		fix = "move one of the two plans, or give the job hours that leave a night"
	}
	return who + has + " only " + duration(n.to.Sub(n.from).Minutes()) + " of rest from " + n.from.Format(stamp) + onBoat(n.leaves) +
		" to " + n.to.Format(stamp) + onBoat(n.comesFor) + fmt.Sprintf("; %d h are usual%s: %s", restH, more, fix)
}

// onBoat says on which other boat something is; nothing of this one.
func onBoat(on string) string {
	if on == "" {
		return ""
	}
	return " on " + on
}

// turnsOf are the blocks of a plan and of the crew's other boats, by their start.
func turnsOf(blocks []PlanBlock, c *Crew) []turnOfWork {
	var out []turnOfWork
	for _, x := range blocks {
		out = append(out, turnOfWork{x.From, x.To, x.People, ""})
	}
	if c != nil {
		for i := range c.Away {
			x := &c.Away[i]
			out = append(out, turnOfWork{x.From, x.To, x.People, x.On()})
		}
	}
	slices.SortStableFunc(out, func(a, b turnOfWork) int { return a.from.Compare(b.from) })
	return out
}

// shortNights are the nights that are too short, each once for all who have it. What lies
// between two days on other boats is the matter of their plans.
func shortNights(turns []turnOfWork) []shortNight {
	var out []shortNight
	for _, person := range peopleOf(turns) {
		var last turnOfWork
		for _, x := range turns {
			if !slices.Contains(x.people, person) {
				continue
			}
			n := shortNight{last.to, x.from, []int{person}, last.on, x.on}
			short := last.people != nil && !sameDate(last.from, n.to) && n.to.Sub(n.from) < restH*time.Hour
			if last.people == nil || x.to.After(last.to) {
				last = x
			}
			if !short || n.to.Before(n.from) || n.leaves != "" && n.comesFor != "" {
				continue
			}
			if k := slices.IndexFunc(out, func(o shortNight) bool {
				return o.from.Equal(n.from) && o.to.Equal(n.to) && o.leaves == n.leaves && o.comesFor == n.comesFor
			}); k >= 0 {
				out[k].people = append(out[k].people, person)
			} else {
				out = append(out, n)
			}
		}
	}
	return out
}

// peopleOf are the persons of some work, in order.
func peopleOf(turns []turnOfWork) []int {
	var out []int
	for _, x := range turns {
		out = append(out, x.people...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
