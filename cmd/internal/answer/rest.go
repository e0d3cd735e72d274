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

// restWords warn of a plan that sends somebody home for less than a night: where the job's
// hours go round the clock, as under a sun that does not set. "" where it does not. The
// shortest rest is told, and how many more there are.
func restWords(blocks []PlanBlock) string {
	type night struct {
		from, to time.Time
		people   []int
	}
	var short []night
	for _, person := range peopleOf(blocks) {
		var own []PlanBlock
		for _, x := range blocks {
			if slices.Contains(x.People, person) {
				own = append(own, x)
			}
		}
		slices.SortStableFunc(own, func(a, b PlanBlock) int { return a.From.Compare(b.From) })
		for i := 1; i < len(own); i++ {
			n := night{own[i-1].To, own[i].From, []int{person}}
			if sameDate(own[i-1].From, n.to) || n.to.Sub(n.from) >= restH*time.Hour {
				continue
			}
			if k := slices.IndexFunc(short, func(x night) bool { return x.from.Equal(n.from) && x.to.Equal(n.to) }); k >= 0 {
				short[k].people = append(short[k].people, person)
			} else {
				short = append(short, n)
			}
		}
	}
	if len(short) == 0 {
		return ""
	}
	slices.SortStableFunc(short, func(a, b night) int { return int(a.to.Sub(a.from)/time.Minute) - int(b.to.Sub(b.from)/time.Minute) })
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
	return who + has + " only " + duration(n.to.Sub(n.from).Minutes()) + " of rest from " + n.from.Format(stamp) + " to " + n.to.Format(stamp) +
		fmt.Sprintf("; %d h are usual%s: give the job hours that leave a night, or more people", restH, more)
}

// peopleOf are the persons of some blocks, in order.
func peopleOf(blocks []PlanBlock) []int {
	var out []int
	for _, x := range blocks {
		out = append(out, x.People...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
