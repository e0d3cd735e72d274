package plan

// crew gives blocks to persons. They are alike, so that only a day's machine
// time tells them apart, and when they are elsewhere.
type crew struct {
	m     *model
	tasks []int32
	busy  []int32 // per person: until when
	load  []int32 // per person: machine slots of the day
	names [][]int // per block of the day
	seats []seat  // per block of the day
	left  int     // of the attempts of one day
	day   int32   // that is given
	loads bool    // look at nothing but how long each works a machine
}

// seat is what a block wants: people from start to end, each at a machine for so long;
// all and least are what it and all after it take at machines: together, and the least
// of them of each of its people.
type seat struct{ people, start, end, machine, all, least int32 }

func newCrew(m *model) *crew {
	most := m.mostPeople()
	return &crew{m: m, busy: make([]int32, most), load: make([]int32, most)}
}

// mayAdd reports whether the day's blocks, less those that are gone, can be given
// to persons together with one more so that none works a machine for too long.
// Without a machine, and where nobody is elsewhere, it can whenever enough people are
// free.
func (c *crew) mayAdd(b *book, t, i int, gone []bool) bool {
	m := c.m
	o := &m.options[t][i]
	apart := m.away.on(o.day)
	if m.MachineSlots == 0 && !apart {
		return true
	}
	all, people := b.tool[o.day], b.tools[o.day]
	if m.Tasks[t].Machine {
		all, people = all+o.workTo-o.start, people+(o.workTo-o.start)*o.people
	}
	limit := int32(m.MachineSlots)
	if gone != nil {
		for _, k := range b.byDay[o.day] {
			if x := b.option(int(k)); gone[k] && m.Tasks[k].Machine {
				all, people = all-(x.workTo-x.start), people-(x.workTo-x.start)*x.people
			}
		}
	}
	switch {
	case all <= limit && !apart:
		return true
	case m.MachineSlots > 0 && people > limit*int32(m.Days[o.day].People):
		return false
	}
	was := b.now[t]
	b.now[t] = o
	c.tasks = c.tasks[:0]
	own := int32(t) // until it stands in its place
	for _, k := range b.inOrder[o.day] {
		if gone != nil && gone[k] {
			continue
		}
		if own >= 0 && b.after(k, t) {
			c.tasks, own = append(c.tasks, own), -1
		}
		c.tasks = append(c.tasks, k)
	}
	if own >= 0 {
		c.tasks = append(c.tasks, own)
	}
	ok := c.assign(b, int(o.day))
	b.now[t] = was
	return ok
}

// attempts bounds the search for persons on one day.
const attempts = 2000

// assign finds persons for the blocks in c.tasks, all on one day and in order of
// start, the lowest numbers first; c.names holds them by c.tasks.
func (c *crew) assign(b *book, day int) bool {
	people := c.m.Days[day].People
	clear(c.busy)
	clear(c.load)
	if c.day = int32(day); c.m.away.on(c.day) {
		copy(c.load, c.m.away.load[day])
	}
	for len(c.names) < len(c.tasks) {
		c.names, c.seats = append(c.names, nil), append(c.seats, seat{})
	}
	all, least := int32(0), never
	for k := len(c.tasks) - 1; k >= 0; k-- {
		o, machine := b.option(int(c.tasks[k])), int32(0)
		if c.m.Tasks[c.tasks[k]].Machine {
			machine = o.workTo - o.start
			all, least = all+machine*o.people, min(least, machine)
		}
		c.seats[k] = seat{o.people, o.start, o.end, machine, all, least}
	}
	c.left = attempts
	ok := c.give(people, 0, 0, 0)
	c.m.steps += (attempts - c.left) / 8
	return ok
}

// give finds persons for the block k and all after it; it has got some already,
// numbers below next have been asked.
func (c *crew) give(people, k, got, next int) bool {
	if k == len(c.tasks) {
		return true
	}
	if c.left--; c.left < 0 {
		return false
	}
	x := &c.seats[k]
	if got == 0 && next == 0 {
		c.names[k] = c.names[k][:0]
		if !c.suffices(people, x) {
			return false
		}
	}
	if got == int(x.people) {
		return c.give(people, k+1, 0, 0)
	}
	for p := next; p < people; p++ {
		busy, load := c.busy[p], c.load[p]+x.machine
		if (!c.loads && (busy > x.start || c.gone(p, x))) || (c.m.MachineSlots > 0 && x.machine > 0 && load > int32(c.m.MachineSlots)) || c.same(p, next) {
			continue
		}
		c.busy[p], c.load[p] = x.end, load
		c.names[k] = append(c.names[k], p)
		if c.give(people, k, got+1, p+1) {
			return true
		}
		c.names[k] = c.names[k][:got]
		c.busy[p], c.load[p] = busy, load-x.machine
	}
	return false
}

// suffices reports whether persons have as much machine time left, each enough for
// the least block, as is needed from a block on.
func (c *crew) suffices(people int, x *seat) bool {
	if c.m.MachineSlots == 0 || x.all == 0 {
		return true
	}
	all := x.all
	for p := range people {
		if left := int32(c.m.MachineSlots) - c.load[p]; left >= x.least {
			all -= left
		}
	}
	return all <= 0
}

// gone reports whether a person is elsewhere during a block.
func (c *crew) gone(p int, x *seat) bool {
	return c.m.away.on(c.day) && !c.m.away.free(p, x.start, x.end)
}

// same reports whether somebody asked before in this round is in the same case,
// so that asking again would change nothing.
func (c *crew) same(p, next int) bool {
	for q := next; q < p; q++ {
		if (c.loads || c.busy[q] == c.busy[p] && c.m.away.alike(c.day, q, p)) && c.load[q] == c.load[p] {
			return true
		}
	}
	return false
}
