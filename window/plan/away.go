package plan

import "slices"

// Taken is a stretch in which a person is elsewhere and does nothing of this job.
type Taken struct {
	Person   int // number, from 1, as those of blocks
	From, To int // slots of the horizon, half-open; an empty stretch takes nobody
	// Machine is how many slots of a machine it takes of what the person may have on Day.
	Machine, Day int
	// ToolTo is until when, from From on and no longer than To, it keeps one of the crew's
	// machines; no later than From: it keeps none.
	ToolTo int
}

// away is who is elsewhere when, ready to be asked.
type away struct {
	next [][]int32 // per person and slot: the first slot from it on in which they are elsewhere
	used []int32   // per slot: how many of the day's people are elsewhere
	runs []int32   // per slot: how many machines are
	load [][]int32 // per day and person: slots at machines
	some []bool    // per day: one of its people is elsewhere, or has less machine time left
	like [][]int   // per day and person: the first one who is elsewhere at the same times
}

// newAway is nil where all of the people are there all the time.
func newAway(in *Input) *away {
	most, n := in.mostPeople(), len(in.Day)
	if len(in.Taken) == 0 || most == 0 {
		return nil
	}
	a := &away{next: make([][]int32, most), used: make([]int32, n), runs: make([]int32, n), load: make([][]int32, len(in.Days)), some: make([]bool, len(in.Days))}
	gone := make([][]bool, most)
	for p := range gone {
		gone[p], a.next[p] = make([]bool, n), make([]int32, n)
	}
	for d := range a.load {
		a.load[d] = make([]int32, most)
	}
	for _, x := range in.Taken {
		for s := x.From; s < x.ToolTo; s++ {
			a.runs[s]++
		}
		if x.Person > most {
			continue // nobody of that number works here
		}
		for s := x.From; s < x.To; s++ {
			gone[x.Person-1][s] = true
		}
		if x.Machine > 0 && x.Person <= in.Days[x.Day].People {
			a.load[x.Day][x.Person-1] += int32(x.Machine)
			a.some[x.Day] = true
		}
	}
	a.match(in, gone)
	for p := range gone {
		next := never
		for s := n - 1; s >= 0; s-- {
			if gone[p][s] {
				if next = int32(s); p < in.Days[in.Day[s]].People {
					a.used[s]++
					a.some[in.Day[s]] = true
				}
			}
			a.next[p][s] = next
		}
	}
	return a
}

// match notes who is elsewhere at the same times.
func (a *away) match(in *Input, gone [][]bool) {
	a.like = make([][]int, len(in.Days))
	for d := range in.Days {
		from, _ := slices.BinarySearch(in.Day, d)
		to, _ := slices.BinarySearch(in.Day, d+1)
		for p := range gone {
			first := slices.IndexFunc(gone, func(x []bool) bool { return slices.Equal(x[from:to], gone[p][from:to]) })
			a.like[d] = append(a.like[d], first)
		}
	}
}

// on reports whether the people of a day are not all alike.
func (a *away) on(day int32) bool { return a != nil && a.some[day] }

// alike reports whether two persons are elsewhere at the same times of a day.
func (a *away) alike(day int32, p, q int) bool { return !a.on(day) || a.like[day][p] == a.like[day][q] }

// free reports whether a person is there from a slot to another.
func (a *away) free(p int, start, end int32) bool { return a.next[p][start] >= end }

// taken writes how many of each slot's people are elsewhere, and how many machines.
func (m *model) taken(used, running []int32) {
	if m.away == nil {
		clear(used)
		clear(running)
		return
	}
	copy(used, m.away.used)
	copy(running, m.away.runs)
}

// equipped reports whether enough machines are here for all of an option.
func (m *model) equipped(t int, o *option) bool {
	return m.Machines == 0 || !m.Tasks[t].Machine || m.away == nil || m.lets(m.away.runs, o)
}

// manned reports whether enough of the day's people are there for all of an option, each
// with machine time enough left.
func (m *model) manned(t int, o *option) bool {
	if !m.away.on(o.day) {
		return true
	}
	machine := int32(0)
	if m.Tasks[t].Machine && m.MachineSlots > 0 {
		machine = o.workTo - o.start
	}
	n := int32(0)
	for p := range m.Days[o.day].People {
		if m.away.free(p, o.start, o.end) && (machine == 0 || m.away.load[o.day][p]+machine <= int32(m.MachineSlots)) {
			n++
		}
	}
	return n >= o.people
}

// persons reports whether every day's blocks can be given to persons; onlyAway looks at
// the days alone on which these are not all alike.
func (b *book) persons(onlyAway bool) bool {
	c := b.crew
	for d, tasks := range b.inOrder {
		if len(tasks) == 0 || onlyAway && !b.m.away.on(int32(d)) {
			continue
		}
		if c.tasks = append(c.tasks[:0], tasks...); !c.assign(b, d) {
			return false
		}
	}
	return true
}

// Mans makes what reports whether a block could begin at a slot with as many people and, at
// machines, as many machines as it has, for all that are elsewhere; other blocks of this job are
// left out of account. It is to end within the day of that slot.
func (in *Input) Mans(b Block) func(from int) bool {
	m := model{Input: in, away: newAway(in)}
	people := int32(max(1, len(b.People)))
	return func(from int) bool {
		o := option{
			start: int32(from), workTo: int32(from + b.WorkTo - b.From), end: int32(from + b.To - b.From),
			day: int32(in.Day[from]), people: people,
		}
		return int32(in.Days[o.day].People) >= people && m.manned(b.Task, &o) && m.equipped(b.Task, &o)
	}
}
