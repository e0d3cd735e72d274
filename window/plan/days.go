package plan

import (
	"cmp"
	"math/bits"
	"slices"
)

// group is tasks that share a capacity: all, those with machines, one step's.
type group struct {
	tasks  []int
	in     []bool
	energy int   // person-slots that they take at least
	sizes  []int // of each
	perDay []int // person-slots that a day has for them
	opens  []int // first slot of a day that they may use
	rate   []int // the most of them who can be at work at once on a day
	bins   bool  // what is added up is no work: see bins
}

// dayBound works out which sets of days could hold the whole job.
type dayBound struct {
	m       *model
	r       relaxation
	c       chains
	takes   []takes // per task
	groups  []group
	days    []int            // days on which anything may be done
	place   []int            // per day: its place among them
	on      []uint64         // per task: the days (bits into days) on which it may be done
	ends    [][]int32        // per task and slot: earliest end of an option that starts there or later that day
	morning [][]int32        // per task and place of a day: earliest end of an option on it
	lag     []int32          // per task: slots from the end of the task before it in its chain
	nextDay []bool           // per task: not on the day of that one
	visit   []int32          // per day: the earliest end of a visit
	known   map[int][]daySet // by size, once asked for
}

func (m *model) newDayBound(c chains, r relaxation) *dayBound {
	b := m.newRoom(c, r)
	b.ends, b.morning = make([][]int32, len(m.Tasks)), make([][]int32, len(m.Tasks))
	b.lag, b.nextDay = make([]int32, len(m.Tasks)), make([]bool, len(m.Tasks))
	for t := range m.Tasks {
		b.ends[t] = b.earliestEnds(t)
		b.morning[t] = make([]int32, len(b.days))
		for k, d := range b.days {
			b.morning[t][k] = b.ends[t][m.dayFrom[d]]
		}
	}
	for _, path := range c.paths {
		for k := 1; k < len(path); k++ {
			t := path[k]
			l := m.link(path[k-1], t)
			if b.lag[t], b.nextDay[t] = int32(l.hard), l.nextDay; r.clean[t] {
				b.lag[t] = int32(l.goLag)
			}
		}
	}
	b.visits()
	return b
}

// newRoom is a dayBound that knows of groups alone.
func (m *model) newRoom(c chains, r relaxation) *dayBound {
	b := &dayBound{m: m, r: r, c: c, on: make([]uint64, len(m.Tasks)), place: make([]int, len(m.Days)), known: map[int][]daySet{}}
	b.measure()
	for d := range m.Days {
		b.place[d] = len(b.days)
		if slices.ContainsFunc(b.takes, func(x takes) bool { return x.starts[d] < never }) {
			b.days = append(b.days, d)
		}
	}
	for t := range b.takes {
		for k, d := range b.days {
			if b.takes[t].starts[d] < never {
				b.on[t] |= 1 << k
			}
		}
	}
	b.makeGroups()
	return b
}

const never = int32(1 << 30)

func (b *dayBound) earliestEnds(t int) []int32 {
	m := b.m
	ends := make([]int32, m.n)
	for s := range ends {
		ends[s] = never
	}
	for i := range m.options[t] {
		if o := &m.options[t][i]; b.r.use[t][i] {
			ends[o.start] = min(ends[o.start], o.end)
		}
	}
	for s := m.n - 2; s >= 0; s-- {
		if m.Day[s] == m.Day[s+1] {
			ends[s] = min(ends[s], ends[s+1])
		}
	}
	return ends
}

func (b *dayBound) makeGroups() {
	m := b.m
	var all, machine []int
	steps := map[int][]int{}
	var order []int
	for t := range m.Tasks {
		all = append(all, t)
		if m.Tasks[t].Machine && (m.MachineSlots > 0 || m.Machines > 0) {
			machine = append(machine, t)
		}
		s := m.Tasks[t].Step
		if steps[s] == nil {
			order = append(order, s)
		}
		steps[s] = append(steps[s], t)
	}
	b.groups = append(b.groups, b.group(all, false))
	if len(machine) > 0 {
		g := b.group(machine, true)
		b.groups = append(b.groups, g)
		if m.MachineSlots > 0 {
			b.groups = append(b.groups, b.bins(g)...)
		}
	}
	for _, s := range order {
		b.groups = append(b.groups, b.group(steps[s], false))
	}
}

// group adds up what tasks take, and what each day has for them: the people, or the
// machines, in every slot in which any of the tasks may go on.
func (b *dayBound) group(tasks []int, machine bool) group {
	m := b.m
	g := group{tasks: tasks, in: make([]bool, len(m.Tasks)), perDay: make([]int, len(b.days)), opens: make([]int, len(b.days)), rate: make([]int, len(b.days))}
	open := make(slots, len(b.takes[0].open))
	for _, t := range tasks {
		g.in[t] = true
		for k, w := range b.takes[t].open {
			open[k] |= w
		}
		least := b.takes[t].least
		if machine {
			least = int32(m.Tasks[t].Work)
		}
		g.energy += int(least)
		g.sizes = append(g.sizes, int(least))
	}
	for k, d := range b.days {
		if g.rate[k] = m.Days[d].People; machine {
			g.rate[k] = m.atOnce(tasks[0], g.rate[k])
		}
		for s := m.dayFrom[d+1] - 1; s >= m.dayFrom[d]; s-- {
			if open.has(s) {
				g.perDay[k] += g.rate[k]
				g.opens[k] = s
			}
		}
		if machine && m.MachineSlots > 0 {
			g.perDay[k] = min(g.perDay[k], m.Days[d].People*m.MachineSlots)
		}
	}
	return g
}

// holds reports whether a set of days could hold the job, as far as capacity
// and each chain by itself tell.
func (b *dayBound) holds(set uint64) bool {
	for i := range b.groups {
		g := &b.groups[i]
		left := g.energy
		for rest := set; rest != 0 && left > 0; rest &= rest - 1 {
			left -= g.perDay[bits.TrailingZeros64(rest)]
		}
		if left > 0 {
			return false
		}
	}
	for _, on := range b.on {
		if on&set == 0 {
			return false
		}
	}
	for k := range b.c.paths {
		if b.chainEnd(b.c.paths[k], set, 0, 0) == never {
			return false
		}
	}
	return true
}

// chainEnd is the earliest end of what follows from place k of a chain on, begun
// at slot at or later, on the days of the set alone.
func (b *dayBound) chainEnd(path []int, set uint64, k int, at int32) int32 {
	for ; k < len(path); k++ {
		t := path[k]
		if at = b.next(t, set, b.begins(t, at)); at == never {
			return never
		}
	}
	return at
}

// begins is from when on task t may begin where the one before it in its chain, if any,
// has ended at a slot.
func (b *dayBound) begins(t int, at int32) int32 {
	if last := at - 1; b.nextDay[t] && last >= 0 {
		return max(at+b.lag[t], int32(b.m.dayFrom[b.m.Day[last]+1]))
	}
	return at + b.lag[t]
}

// next is the earliest end of task t begun at slot at or later on days of a set.
func (b *dayBound) next(t int, set uint64, at int32) int32 {
	if int(at) >= b.m.n {
		return never
	}
	set &= b.on[t]
	today := b.m.Day[at]
	rest := set >> b.place[today] << b.place[today]
	if k := b.place[today]; rest&(1<<k) != 0 && b.days[k] == today {
		if e := b.ends[t][at]; e != never {
			return e
		}
		rest &^= 1 << k
	}
	if rest == 0 {
		return never
	}
	return b.morning[t][bits.TrailingZeros64(rest)]
}

// lastVisit is when the first visit of a set's last day could end.
func (b *dayBound) lastVisit(set uint64) int32 { return b.visit[b.days[63-bits.LeadingZeros64(set)]] }

// visits notes when the first visit of each day could end.
func (b *dayBound) visits() {
	m := b.m
	b.visit = make([]int32, len(m.Days))
	alone := slices.ContainsFunc(m.Tasks, func(t Task) bool { return t.Alone })
	for d := range b.visit {
		first := never
		b.visit[d] = never
		for t := range b.takes {
			b.visit[d], first = min(b.visit[d], b.takes[t].ends[d]), min(first, b.takes[t].starts[d])
		}
		if !alone {
			b.visit[d] = max(b.visit[d], first+int32(m.visit))
		}
	}
}

// finish is what a set's finish is bounded by with what the days' capacity adds.
func (b *dayBound) finish(x daySet) int32 {
	end := x.finish
	for i := range b.groups {
		end = max(end, b.groupFinish(&b.groups[i], x.set))
	}
	return end
}

// groupFinish bounds the end by the time that a group's work fills all days
// before the last but one, and by what must follow its last task.
func (b *dayBound) groupFinish(g *group, set uint64) int32 {
	m := b.m
	left, at := g.energy, int32(0)
	for rest := set; rest != 0; rest &= rest - 1 {
		k := bits.TrailingZeros64(rest)
		if left > g.perDay[k] {
			left -= g.perDay[k]
			continue
		}
		if at = int32(g.opens[k]); !g.bins {
			at += int32((left + g.rate[k] - 1) / max(g.rate[k], 1))
		}
		break
	}
	end := never
	for _, path := range b.c.paths {
		for k, t := range path {
			if g.in[t] {
				end = min(end, b.chainEnd(path, set, k+1, max(at, m.minEnd[t])))
			}
		}
	}
	if end == never {
		return at
	}
	return max(at, end)
}

// bins adds up how much of a person's machine time in a day blocks take when
// what no second block could use beside a long one counts as used. Blocks are
// packed into persons' days of capacity C: for any a up to C/2, what is longer than
// C − a counts as C, what is shorter than a as nothing, and all else as it is
// (Martello and Toth, 1990, bound L2). A task counts for the number of people
// with the smallest sum.
func (b *dayBound) bins(machine group) []group {
	m := b.m
	full := int32(m.MachineSlots)
	seen := map[int32]bool{}
	var cuts []int32
	for _, t := range machine.tasks {
		for _, f := range b.takes[t].forms {
			if cut := min(f.work, full-f.work+1); cut > 0 && 2*cut <= full+1 && !seen[cut] {
				seen[cut] = true
				cuts = append(cuts, cut)
			}
		}
	}
	slices.Sort(cuts)
	var out []group
	for _, cut := range cuts {
		g := machine
		g.energy, g.sizes, g.bins = 0, nil, true
		g.perDay = make([]int, len(b.days))
		for k, d := range b.days {
			g.perDay[k] = m.Days[d].People * m.MachineSlots
		}
		for _, t := range machine.tasks {
			n := b.binned(t, cut)
			g.energy += int(n)
			g.sizes = append(g.sizes, int(n))
		}
		out = append(out, g)
	}
	return out
}

// binned is the least that a task counts for.
func (b *dayBound) binned(t int, cut int32) int32 {
	full := int32(b.m.MachineSlots)
	least := never
	for _, f := range b.takes[t].forms {
		if !f.used {
			continue
		}
		n := f.work
		switch {
		case n > full-cut:
			n = full
		case n < cut:
			n = 0
		}
		least = min(least, n*f.people)
	}
	return least
}

// roomiest are the sets of that many days with the most room where it is
// narrowest.
func (b *dayBound) roomiest(size int) []daySet {
	sets := slices.Clone(b.sized(size))
	slices.SortFunc(sets, func(x, y daySet) int {
		return cmp.Or(cmp.Compare(y.room, x.room), cmp.Compare(x.set, y.set))
	})
	return sets[:min(len(sets), mostDaySets)]
}

// earliest are the sets of that many days in which the job could end first. The
// closer bound is worked out only where it can matter: for the first sets, until
// none behind them can be lower.
func (b *dayBound) earliest(size int) []daySet {
	sets := slices.Clone(b.sized(size))
	byFinish := func(x, y daySet) int {
		return cmp.Or(cmp.Compare(x.finish, y.finish), cmp.Compare(x.set, y.set))
	}
	slices.SortFunc(sets, byFinish)
	best := never
	for i := range sets {
		if sets[i].finish >= best && i >= mostDaySets {
			break
		}
		sets[i].finish = b.finish(sets[i])
		best = min(best, sets[i].finish)
		b.m.steps++
	}
	slices.SortFunc(sets, byFinish)
	return sets
}

// mostDaySets is how many sets of days are tried to build a plan on.
const mostDaySets = 24

// crowded bounds the consents by the room that slots without consent have: for
// all tasks, for those with machines, for each step, so many of them as fit, the
// shortest first.
func (m *model) crowded(c chains) int {
	b := m.newRoom(c, relaxation{use: m.clean})
	worst := 0
	for i := range b.groups {
		g := &b.groups[i]
		room := 0
		for _, n := range g.perDay {
			room += n
		}
		sizes := slices.Clone(g.sizes)
		slices.Sort(sizes)
		fit := 0
		for _, n := range sizes {
			if room -= n; room < 0 {
				break
			}
			fit++
		}
		worst = max(worst, len(sizes)-fit)
	}
	return worst
}
