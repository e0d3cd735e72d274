package plan

import (
	"slices"

	"dewgap/window/verdict"
)

// brute finds the best plan by looking at every one, with rules of its own: it
// shares no code with the search but the types.
type brute struct {
	in    *Input
	from  []int // per task: start and people, 0 people while it has none
	with  []int
	best  Score
	found bool
	plans int
	// goal is what is asked for besides, on which days; met: there is such a plan.
	goal Score
	days uint64
	met  bool
}

func bruteForce(in *Input) *brute {
	b := &brute{in: in, from: make([]int, len(in.Tasks)), with: make([]int, len(in.Tasks))}
	b.task(0)
	return b
}

func (b *brute) task(t int) {
	if t == len(b.in.Tasks) {
		b.whole()
		return
	}
	for s := range b.in.Day {
		for p := b.in.Tasks[t].Least; p <= b.in.Tasks[t].Most; p++ {
			b.from[t], b.with[t] = s, p
			if b.sound(t) {
				b.task(t + 1)
			}
		}
	}
	b.with[t] = 0
}

// end is where the work of a booked task and where its block ends.
func (b *brute) end(t int) (work, end int) {
	x := &b.in.Tasks[t]
	n := x.Work
	for _, a := range x.After {
		if a.Overnight > 0 && b.in.Day[b.from[t]] > b.dayBefore(a) {
			n += a.Overnight
		}
	}
	work = b.from[t]
	for n > 0 {
		n -= b.with[t]
		work++
	}
	end = work
	if x.Tail != nil && work <= len(b.in.Day) {
		end += int(x.Tail[work-1])
	}
	return work, end
}

func (b *brute) dayBefore(a After) int {
	if a.Task < 0 {
		return a.EndDay
	}
	return b.in.Day[b.from[a.Task]]
}

func (b *brute) endBefore(a After) int {
	if a.Task < 0 {
		return a.End
	}
	_, e := b.end(a.Task)
	return e
}

// sound holds task t against itself and all tasks before it in the list.
func (b *brute) sound(t int) bool {
	in, x := b.in, &b.in.Tasks[t]
	work, end := b.end(t)
	s := b.from[t]
	if end > len(in.Day) || in.Day[s] != in.Day[end-1] || (x.Until > 0 && end > x.Until) {
		return false
	}
	day := in.Days[in.Day[s]]
	if s-in.SetUp < day.Open || end+in.PackUp > day.Close {
		return false
	}
	if x.Machine && in.MachineSlots > 0 && work-s > in.MachineSlots {
		return false
	}
	for i := s; i < end; i++ {
		people, machines := 0, b.machinesGone(i)
		for k := 0; k <= t; k++ {
			w, e := b.end(k)
			if b.from[k] <= i && i < e {
				people += b.with[k]
			}
			if in.Tasks[k].Machine && b.from[k] <= i && i < w {
				machines += b.with[k]
			}
		}
		tooMany := x.Machine && i < work && in.Machines > 0 && machines > in.Machines
		if people > day.People || tooMany || x.State[i] > verdict.Marginal {
			return false
		}
	}
	return b.ordered(t, end) && b.apart(t)
}

// machinesGone is how many machines are elsewhere in a slot.
func (b *brute) machinesGone(slot int) int {
	n := 0
	for _, x := range b.in.Taken {
		if x.From <= slot && slot < x.ToolTo {
			n++
		}
	}
	return n
}

func (b *brute) ordered(t, _ int) bool {
	for _, a := range b.in.Tasks[t].After {
		gap := b.from[t] - b.endBefore(a)
		if gap < a.Hard || (a.NextDay && b.in.Day[b.from[t]] == b.dayBefore(a)) {
			return false
		}
		if a.Since != nil && b.endBefore(a) < int(a.Since[b.from[t]]) {
			return false
		}
		if a.Most > 0 && gap > a.Most && !(a.Anew > 0 && gap >= a.Anew) {
			return false
		}
	}
	return true
}

func (b *brute) apart(t int) bool {
	for _, a := range b.in.Apart {
		if max(a.Wet, a.Dry) != t {
			continue
		}
		_, wet := b.end(a.Wet)
		_, dry := b.end(a.Dry)
		if b.from[a.Dry] < wet+a.Before && b.from[a.Wet] < dry+a.Keep {
			return false
		}
	}
	return true
}

// whole scores a plan in which every task has a place.
func (b *brute) whole() {
	b.plans++
	if !b.visits() || !b.machines() {
		return
	}
	in := b.in
	var s Score
	joint := slices.Clone(in.Voters)
	days := map[int]bool{}
	voters := count(in.Voters)
	for t := range in.Tasks {
		_, end := b.end(t)
		marginal := b.marginal(t, end)
		own := slices.Clone(in.Voters)
		for i := b.from[t]; i < end; i++ {
			for w := range own {
				if marginal {
					own[w] &= in.Tasks[t].Marginal[i*len(own)+w]
				} else {
					own[w] &= in.Tasks[t].Go[i*len(own)+w]
				}
			}
			if in.Tasks[t].Heat != nil {
				s.Heat += int64(in.Tasks[t].Heat[i]) * int64(b.with[t])
			}
		}
		for w := range joint {
			joint[w] &= own[w]
		}
		if marginal || float64(count(own))/float64(voters) < 0.5 {
			s.Consents++
		}
		days[in.Day[b.from[t]]] = true
		s.Finish = max(s.Finish, end)
	}
	s.Days, s.FivePoints = len(days), count(joint)*100/voters/5
	b.met = b.met || s.Consents <= b.goal.Consents && s.FivePoints >= b.goal.FivePoints && s.Finish <= b.goal.Finish && b.only(days)
	if !b.found || s.Less(b.best) {
		b.found, b.best = true, s
	}
}

func (b *brute) only(days map[int]bool) bool {
	for d := range days {
		if b.days&(1<<d) == 0 {
			return false
		}
	}
	return true
}

func (b *brute) marginal(t, end int) bool {
	x := &b.in.Tasks[t]
	for i := b.from[t]; i < end; i++ {
		if x.State[i] == verdict.Marginal {
			return true
		}
	}
	for _, a := range x.After {
		if b.from[t]-b.endBefore(a) < a.Go {
			return true
		}
	}
	return x.UntilGo > 0 && end > x.UntilGo
}

// visits walks every day slot by slot: worked, drying, or a gap.
func (b *brute) visits() bool {
	in := b.in
	n := len(in.Day)
	const gap, dries, works = 0, 1, 2
	what := make([]int, n)
	for t := range in.Tasks {
		_, end := b.end(t)
		for i := b.from[t]; i < end; i++ {
			what[i] = works
		}
		for _, a := range in.Tasks[t].After {
			if a.Task < 0 || a.Go == 0 || b.dayBefore(a) != in.Day[b.from[t]] {
				continue
			}
			e := b.endBefore(a)
			for i := e; i < min(e+a.Go, b.from[t]); i++ {
				what[i] = max(what[i], dries)
			}
		}
	}
	shortest := min(in.Shortest, b.together())
	for i := 0; i < n; {
		if what[i] != works {
			i++
			continue
		}
		first, last, idle, alone := i, i, 0, false
		for ; i < n && in.Day[i] == in.Day[first]; i++ {
			switch what[i] {
			case works:
				last, idle = i, 0
			case dries:
				idle = 0
			default:
				idle++
			}
			if idle >= max(in.Gap, 1) {
				break
			}
		}
		for t := range in.Tasks {
			if b.from[t] >= first && b.from[t] <= last {
				alone = alone || in.Tasks[t].Alone
			}
		}
		if last-first+1 < shortest && !alone {
			return false
		}
	}
	return true
}

// together is how many slots all work takes that all people do at once, at all machines.
func (b *brute) together() int {
	work, atMachines, people := 0, 0, 0
	for _, x := range b.in.Tasks {
		if work += x.Work; x.Machine {
			atMachines += x.Work
		}
	}
	for _, d := range b.in.Days {
		people = max(people, d.People)
	}
	takes := (work + people - 1) / people
	if n := b.in.Machines; n > 0 {
		takes = max(takes, (atMachines+n-1)/n)
	}
	return takes
}

// machines looks for persons for all blocks, trying every choice.
func (b *brute) machines() bool {
	if b.in.MachineSlots == 0 && len(b.in.Taken) == 0 {
		return true
	}
	most := 0
	for _, d := range b.in.Days {
		most = max(most, d.People)
	}
	crews := make([]int, len(b.in.Tasks)) // persons as bits
	var give func(t int) bool
	give = func(t int) bool {
		if t == len(crews) {
			return true
		}
		for set := 1; set < 1<<most; set++ {
			crews[t] = set
			if b.may(crews, t, most) && give(t+1) {
				return true
			}
		}
		return false
	}
	return give(0)
}

func (b *brute) may(crews []int, t, most int) bool {
	n := 0
	for p := range most {
		n += crews[t] >> p & 1
	}
	if n != b.with[t] {
		return false
	}
	day := b.in.Day[b.from[t]]
	for p := range most {
		if crews[t]>>p&1 == 0 {
			continue
		}
		if p >= b.in.Days[day].People {
			return false
		}
		load, machine := b.elsewhere(p, day, t)
		if load < 0 {
			return false
		}
		for k := 0; k <= t; k++ {
			if crews[k]>>p&1 == 0 || b.in.Day[b.from[k]] != day {
				continue
			}
			work, end := b.end(k)
			_, own := b.end(t)
			if k != t && b.from[k] < own && b.from[t] < end {
				return false
			}
			if b.in.Tasks[k].Machine {
				load, machine = load+work-b.from[k], true
			}
		}
		if machine && b.in.MachineSlots > 0 && load > b.in.MachineSlots {
			return false
		}
	}
	return true
}

// elsewhere is how long a person is at machines elsewhere on a day, −1 where they are
// elsewhere during a task. That alone is too long for nobody who works at none here.
func (b *brute) elsewhere(p, day, t int) (load int, machine bool) {
	_, end := b.end(t)
	for _, x := range b.in.Taken {
		if x.Person != p+1 {
			continue
		}
		if x.From < x.To && b.from[t] < x.To && x.From < end {
			return -1, false
		}
		if x.Day == day {
			load += x.Machine
		}
	}
	return load, false
}
