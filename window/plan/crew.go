package plan

import (
	"cmp"
	"slices"
)

// crew gives blocks to persons. They are alike, so that only a day's machine
// time tells them apart.
type crew struct {
	m     *model
	tasks []int32
	busy  []int32 // per person: until when
	load  []int32 // per person: machine slots of the day
	names [][]int // per block of the day
	need  []need  // per block of the day
	left  int     // of the attempts of one day
	loads bool    // look at nothing but how long each works a machine
}

// need is what a block and all after it take at machines: together, and the least of
// them of each of its people.
type need struct{ all, least int32 }

func newCrew(m *model) *crew {
	most := m.mostPeople()
	return &crew{m: m, busy: make([]int32, most), load: make([]int32, most)}
}

// mayAdd reports whether the day's blocks, less those that are gone, can be given
// to persons together with one more so that none works a machine for too long.
// Without a machine it can whenever enough people are free.
func (c *crew) mayAdd(b *book, t, i int, gone []bool) bool {
	m := c.m
	if m.MachineSlots == 0 {
		return true
	}
	o := &m.options[t][i]
	all, people := b.tool[o.day], b.tools[o.day]
	if m.Tasks[t].Machine {
		all, people = all+o.workTo-o.start, people+(o.workTo-o.start)*o.people
	}
	c.tasks = append(c.tasks[:0], int32(t))
	limit := int32(m.MachineSlots)
	if gone == nil && all <= limit {
		return true
	}
	for _, k := range b.byDay[o.day] {
		if gone == nil || !gone[k] {
			c.tasks = append(c.tasks, k)
		} else if x := b.option(int(k)); m.Tasks[k].Machine {
			all, people = all-(x.workTo-x.start), people-(x.workTo-x.start)*x.people
		}
	}
	switch {
	case all <= limit:
		return true
	case people > limit*int32(m.Days[o.day].People):
		return false
	}
	was := b.at[t]
	b.at[t] = int32(i)
	ok := c.assign(b, int(o.day))
	b.at[t] = was
	return ok
}

// attempts bounds the search for persons on one day.
const attempts = 2000

// assign finds persons for the blocks in c.tasks, all on one day, the lowest
// numbers first; c.names holds them by c.tasks.
func (c *crew) assign(b *book, day int) bool {
	slices.SortFunc(c.tasks, func(x, y int32) int {
		return cmp.Or(cmp.Compare(b.option(int(x)).start, b.option(int(y)).start), cmp.Compare(x, y))
	})
	people := c.m.Days[day].People
	clear(c.busy)
	clear(c.load)
	for len(c.names) < len(c.tasks) {
		c.names, c.need = append(c.names, nil), append(c.need, need{})
	}
	after := need{least: never}
	for k := len(c.tasks) - 1; k >= 0; k-- {
		if o := b.option(int(c.tasks[k])); c.m.Tasks[c.tasks[k]].Machine {
			n := o.workTo - o.start
			after = need{after.all + n*o.people, min(after.least, n)}
		}
		c.need[k] = after
	}
	c.left = attempts
	ok := c.give(b, people, 0, 0, 0)
	c.m.steps += (attempts - c.left) / 8
	return ok
}

// give finds persons for the block k and all after it; it has got some already,
// numbers below next have been asked.
func (c *crew) give(b *book, people, k, got, next int) bool {
	if k == len(c.tasks) {
		return true
	}
	if c.left--; c.left < 0 {
		return false
	}
	t := int(c.tasks[k])
	o := b.option(t)
	if got == 0 && next == 0 {
		c.names[k] = c.names[k][:0]
		if !c.suffices(people, c.need[k]) {
			return false
		}
	}
	if got == int(o.people) {
		return c.give(b, people, k+1, 0, 0)
	}
	machine := int32(0)
	if c.m.Tasks[t].Machine {
		machine = o.workTo - o.start
	}
	for p := next; p < people; p++ {
		if (c.busy[p] > o.start && !c.loads) || (c.m.MachineSlots > 0 && c.load[p]+machine > int32(c.m.MachineSlots)) || c.same(p, next) {
			continue
		}
		busy := c.busy[p]
		c.busy[p], c.load[p] = o.end, c.load[p]+machine
		c.names[k] = append(c.names[k], p)
		if c.give(b, people, k, got+1, p+1) {
			return true
		}
		c.names[k] = c.names[k][:got]
		c.busy[p], c.load[p] = busy, c.load[p]-machine
	}
	return false
}

// suffices reports whether persons have as much machine time left, each enough for
// the least block, as is needed.
func (c *crew) suffices(people int, n need) bool {
	if c.m.MachineSlots == 0 || n.all == 0 {
		return true
	}
	for p := range people {
		if left := int32(c.m.MachineSlots) - c.load[p]; left >= n.least {
			n.all -= left
		}
	}
	return n.all <= 0
}

// same reports whether somebody asked before in this round is in the same case,
// so that asking again would change nothing.
func (c *crew) same(p, next int) bool {
	for q := next; q < p; q++ {
		if (c.busy[q] == c.busy[p] || c.loads) && c.load[q] == c.load[p] {
			return true
		}
	}
	return false
}
