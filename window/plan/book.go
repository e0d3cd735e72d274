package plan

import "slices"

// book is a plan while it is being made.
type book struct {
	m       *model
	at      []int32   // option of each task, −1 while it has none …
	now     []*option // … and what it is
	used    []int32   // people at work by slot, here or elsewhere
	running []int32   // machines at work by slot, here or elsewhere; nil where they are no limit
	byDay   [][]int32 // tasks, the one booked first first …
	inOrder [][]int32 // … and by start
	tool    []int32   // by day: slots at machines, summed over blocks …
	tools   []int32   // … and over persons
	crew    *crew
	scratch []stretch
	visits  []visit
}

func (m *model) newBook() *book {
	b := &book{
		m: m, at: make([]int32, len(m.Tasks)), now: make([]*option, len(m.Tasks)), used: make([]int32, m.n), byDay: make([][]int32, len(m.Days)), inOrder: make([][]int32, len(m.Days)),
		tool: make([]int32, len(m.Days)), tools: make([]int32, len(m.Days)), crew: newCrew(m),
	}
	for t := range b.at {
		b.at[t] = -1
	}
	if m.Machines > 0 {
		b.running = make([]int32, m.n)
	}
	m.taken(b.used, b.running)
	return b
}

func (b *book) clear() {
	for t := range b.at {
		b.at[t] = -1
	}
	b.m.taken(b.used, b.running)
	clear(b.tool)
	clear(b.tools)
	for d := range b.byDay {
		b.byDay[d], b.inOrder[d] = b.byDay[d][:0], b.inOrder[d][:0]
	}
}

func (b *book) copyFrom(o *book) {
	copy(b.at, o.at)
	copy(b.now, o.now)
	copy(b.used, o.used)
	copy(b.running, o.running)
	copy(b.tool, o.tool)
	copy(b.tools, o.tools)
	for d := range b.byDay {
		b.byDay[d], b.inOrder[d] = append(b.byDay[d][:0], o.byDay[d]...), append(b.inOrder[d][:0], o.inOrder[d]...)
	}
}

// option is how a task is booked.
func (b *book) option(t int) *option { return b.now[t] }

// place books a task; remove undoes it.
func (b *book) place(t, i int) {
	o := &b.m.options[t][i]
	b.at[t], b.now[t] = int32(i), o
	for s := o.start; s < o.end; s++ {
		b.used[s] += o.people
	}
	b.run(t, o, 1)
	b.byDay[o.day] = append(b.byDay[o.day], int32(t))
	b.insert(t, o)
	b.count(t, o, 1)
}

// insert puts a task among those of its day by its start.
func (b *book) insert(t int, o *option) {
	day := append(b.inOrder[o.day], int32(t))
	k := len(day) - 1
	for ; k > 0 && b.after(day[k-1], t); k-- {
		day[k] = day[k-1]
	}
	day[k], b.inOrder[o.day] = int32(t), day
}

// after is the order of a day's blocks: whether x comes after t.
func (b *book) after(x int32, t int) bool {
	s, from := b.option(int(x)).start, b.option(t).start
	return s > from || s == from && int(x) > t
}

// count adds a block's time at machines to its day's, so many times.
func (b *book) count(t int, o *option, times int32) {
	if b.m.Tasks[t].Machine {
		b.tool[o.day] += times * (o.workTo - o.start)
		b.tools[o.day] += times * (o.workTo - o.start) * o.people
	}
}

// run adds the machines that a block keeps at work to its slots, so many times.
func (b *book) run(t int, o *option, times int32) {
	if b.running == nil || !b.m.Tasks[t].Machine {
		return
	}
	for s := o.start; s < o.workTo; s++ {
		b.running[s] += times * o.people
	}
}

func (b *book) remove(t int) {
	o := b.option(t)
	for s := o.start; s < o.end; s++ {
		b.used[s] -= o.people
	}
	b.run(t, o, -1)
	drop(&b.byDay[o.day], t)
	drop(&b.inOrder[o.day], t)
	b.count(t, o, -1)
	b.at[t] = -1
}

func drop(list *[]int32, t int) {
	k := slices.Index(*list, int32(t))
	*list = slices.Delete(*list, k, k+1)
}

// fits reports whether an option of a task may stand beside all that is booked,
// and whether it is marginal there by what lies before it.
func (b *book) fits(t, i int) (ok, late bool) {
	b.m.steps++
	o := &b.m.options[t][i]
	if ok, late = b.ordered(t, o); !ok || !b.free(t, o) {
		return false, late
	}
	return b.crew.mayAdd(b, t, i, nil), late
}

// ordered holds an option against the booked tasks before, after and apart.
func (b *book) ordered(t int, o *option) (ok, late bool) {
	m := b.m
	for k := range m.preds[t] {
		a := &m.preds[t][k]
		if b.at[a.other] < 0 {
			continue
		}
		fits, isLate := m.between(&a.After, b.option(a.other), o)
		if !fits {
			return false, false
		}
		late = late || isLate
	}
	for k := range m.succs[t] {
		a := &m.succs[t][k]
		if b.at[a.other] < 0 {
			continue
		}
		if fits, _ := m.between(&a.After, o, b.option(a.other)); !fits {
			return false, false
		}
	}
	for _, a := range m.apart[t] {
		if b.at[a.other] >= 0 && !a.apart(o, b.option(a.other)) {
			return false, false
		}
	}
	return true, late
}

// apart reports whether the two blocks keep the distance that water asks for.
func (a arc2) apart(own, other *option) bool {
	wet, dry := own, other
	if !a.wet {
		wet, dry = other, own
	}
	return dry.start >= wet.end+a.before || wet.start >= dry.end+a.keep
}

// free reports whether there are people for an option of task t, and machines.
func (b *book) free(t int, o *option) bool {
	most := int32(b.m.Days[o.day].People) - o.people
	for _, u := range b.used[o.start:o.end] {
		if u > most {
			return false
		}
	}
	if b.running == nil || !b.m.Tasks[t].Machine {
		return true
	}
	return b.m.lets(b.running, o)
}

// lets reports whether beside those at work, by slot, there are machines for an option.
func (in *Input) lets(running []int32, o *option) bool {
	most := int32(in.Machines) - o.people
	for _, u := range running[o.start:o.workTo] {
		if u > most {
			return false
		}
	}
	return true
}

// late reports whether a booked task is marginal by what lies before it.
func (b *book) late(t int) bool {
	o := b.option(t)
	for k := range b.m.preds[t] {
		a := &b.m.preds[t][k]
		if int(o.start) < int(b.option(a.other).end)+a.Go {
			return true
		}
	}
	return false
}

// score of a whole plan, and in how many members it holds; joint is written to.
func (b *book) score(joint []uint64) (Score, int) {
	var s Score
	m := b.m
	copy(joint, m.Voters)
	for t := range b.at {
		o := b.option(t)
		late := b.late(t)
		if m.consents(o, late) {
			s.Consents++
		}
		set, _ := m.members(o, late)
		and(joint, joint, set)
		s.Finish = max(s.Finish, int(o.end))
		s.Heat += o.heat
	}
	for _, d := range b.byDay {
		if len(d) > 0 {
			s.Days++
		}
	}
	n := count(joint)
	s.FivePoints = fivePoints(n, m.voters)
	return s, n
}
