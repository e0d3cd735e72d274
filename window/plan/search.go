package plan

import (
	"cmp"
	"math/bits"
	"slices"
)

// search is a depth-first search for a plan that is as good as the best in the
// criteria proven so far and better in the next one. That makes each criterion a
// bound that every option can be held against: after each block that is booked,
// what no longer fits beside it or within the bounds is struck from the lists of
// the others, and the task with the fewest options left comes next.
type search struct {
	*builder
	x     *best
	r     relaxation
	stage int    // criteria that count
	limit int    // of the model's steps
	cool  bool   // the coolest options come first
	days  uint64 // that may be used; 0: all
	goal  Score  // what a plan must reach, criterion by criterion
	need  int    // voters, by goal.FivePoints
	pairs [][][]pair
	nodes []node  // by depth
	ends  []int32 // per task without a place: the first end of what is left at the node looked at
	// weight counts how often a task was the one left without an option: such come
	// early (Boussemart and others, 2004).
	weight []int
}

// pair is an arc or an apart between two tasks.
type pair struct {
	after  *After
	before bool // the other task comes first
	apart  *arc2
}

// node is what is settled after so many blocks.
type node struct {
	options  [][]int32 // per task without a place: what is left for it
	buffer   []int32
	coolest  []int32 // of the task that is booked next
	joint    []uint64
	days     uint64
	consents int
	heat     int64
	restHeat int64 // at least, of the tasks without a place
}

func (m *model) newSearch(b *builder, x *best, r relaxation) *search {
	n := len(m.Tasks)
	s := &search{builder: b, x: x, r: r, pairs: make([][][]pair, n), nodes: make([]node, n+1), ends: make([]int32, n)}
	for t := range s.pairs {
		s.pairs[t] = make([][]pair, n)
		for k := range m.preds[t] {
			a := &m.preds[t][k]
			s.pairs[t][a.other] = append(s.pairs[t][a.other], pair{after: &a.After, before: true})
		}
		for k := range m.succs[t] {
			a := &m.succs[t][k]
			s.pairs[t][a.other] = append(s.pairs[t][a.other], pair{after: &a.After})
		}
		for k := range m.apart[t] {
			a := &m.apart[t][k]
			s.pairs[t][a.other] = append(s.pairs[t][a.other], pair{apart: a})
		}
	}
	s.weight = make([]int, n)
	for t := range s.weight {
		s.weight[t] = 1
	}
	for d := range s.nodes {
		s.nodes[d].options, s.nodes[d].joint = make([][]int32, n), make([]uint64, m.words)
	}
	return s
}

// run searches; true: the best plan is proven in the criteria that count, or
// there is none.
func (s *search) run(stage, limit int) bool {
	m := s.m
	s.stage, s.limit = stage, limit
	s.aim()
	s.book.clear()
	root := &s.nodes[0]
	copy(root.joint, m.Voters)
	root.days, root.consents, root.heat, root.restHeat = 0, 0, 0, 0
	for t := range m.Tasks {
		if root.options[t] = s.usable(t, root.options[t][:0]); len(root.options[t]) == 0 {
			return true
		}
	}
	if !s.prune(root) {
		return true
	}
	return s.down(0)
}

// usable lists the options of a task on the days that may be used.
func (s *search) usable(t int, list []int32) []int32 {
	m := s.m
	for d := range m.Days {
		if s.days != 0 && s.days&(1<<d) == 0 {
			continue
		}
		for i := m.dayAt[t][d]; i < m.dayAt[t][d+1]; i++ {
			if s.r.use[t][i] {
				list = append(list, i)
			}
		}
	}
	return list
}

// aim sets the goal: the best in the criteria before, one better in the last that
// counts, anything in the rest.
func (s *search) aim() {
	s.goal = Score{Consents: many, FivePoints: 0, Days: many, Finish: s.m.n, Heat: 1 << 60}
	if s.x.found {
		b := s.x.score
		for i := range s.stage {
			better := 0
			if i == s.stage-1 {
				better = 1
			}
			switch i {
			case 0:
				s.goal.Consents = b.Consents - better
			case 1:
				s.goal.FivePoints = b.FivePoints + better
			case 2:
				s.goal.Days = b.Days - better
			case 3:
				s.goal.Finish = b.Finish - better
			case 4:
				s.goal.Heat = b.Heat - int64(better)
			}
		}
	}
	s.need = needed(s.goal.FivePoints, s.m.voters)
}

// down books the tasks that have no place yet. It is false where the budget ran
// out.
func (s *search) down(depth int) bool {
	if depth == len(s.m.Tasks) {
		if s.x.offer(s.book, s.stage) {
			s.aim()
		}
		return true
	}
	n := &s.nodes[depth]
	t := s.narrowest(n)
	for _, i := range s.inOrder(n, t) {
		if s.m.steps >= s.limit {
			return false
		}
		if ok, _ := s.book.fits(t, int(i)); !ok || !s.reaches(n, t, int(i)) {
			continue
		}
		s.book.place(t, int(i))
		done := !s.settle(depth+1, t) || s.down(depth+1)
		s.book.remove(t)
		if !done {
			return false
		}
	}
	return true
}

// inOrder lists what is left for a task: the earliest first, or the coolest.
func (s *search) inOrder(n *node, t int) []int32 {
	if !s.cool {
		return n.options[t]
	}
	n.coolest = append(n.coolest[:0], n.options[t]...)
	slices.SortStableFunc(n.coolest, func(a, b int32) int {
		return cmp.Compare(s.m.options[t][a].heat, s.m.options[t][b].heat)
	})
	return n.coolest
}

// narrowest is the task with the fewest options left for its weight.
func (s *search) narrowest(n *node) int {
	best := -1
	for t, i := range s.book.at {
		if i < 0 && (best < 0 || len(n.options[t])*s.weight[best] < len(n.options[best])*s.weight[t]) {
			best = t
		}
	}
	return best
}

// settle works out the node after task t has been booked; false where nothing
// better lies under it.
func (s *search) settle(depth, t int) bool {
	up, n := &s.nodes[depth-1], &s.nodes[depth]
	o := s.book.option(t)
	n.days, n.heat, n.restHeat = up.days|1<<o.day, up.heat+o.heat, up.restHeat
	s.booked(n)
	if n.consents > s.goal.Consents || count(n.joint) < s.need {
		return false
	}
	n.buffer = n.buffer[:0]
	for u, at := range s.book.at {
		if at >= 0 {
			continue
		}
		from := len(n.buffer)
		for _, i := range up.options[u] {
			if s.beside(n, u, int(i), t, o) {
				n.buffer = append(n.buffer, i)
			}
		}
		s.m.steps += len(up.options[u]) / 4
		if len(n.buffer) == from {
			s.weight[u]++
			return false
		}
		n.options[u] = n.buffer[from:len(n.buffer):len(n.buffer)]
	}
	return s.prune(n)
}

// booked counts consents and members over the booked tasks. A task that may yet
// become marginal by one without a place counts with the members it has then, who
// are no fewer.
func (s *search) booked(n *node) {
	m := s.m
	n.consents = 0
	copy(n.joint, m.Voters)
	for t, at := range s.book.at {
		if at < 0 {
			continue
		}
		o := s.book.option(t)
		late, open := false, false
		for k := range m.preds[t] {
			a := &m.preds[t][k]
			if s.book.at[a.other] < 0 {
				open = open || a.Go > a.Hard
			} else if int(o.start) < int(s.book.option(a.other).end)+a.Go {
				late = true
			}
		}
		if m.consents(o, late) {
			n.consents++
		}
		set, _ := m.members(o, late || open)
		and(n.joint, n.joint, set)
	}
}

// beside reports whether an option of task u may stand beside task t, just booked
// at o, and within the bounds.
func (s *search) beside(n *node, u, i, t int, o *option) bool {
	m := s.m
	x := &m.options[u][i]
	for k := range s.pairs[u][t] {
		p := &s.pairs[u][t][k]
		if p.apart != nil {
			if !p.apart.apart(x, o) {
				return false
			}
			continue
		}
		ok, late := false, false
		if p.before {
			ok, late = m.between(p.after, o, x)
			late = late && (s.r.clean[u] || n.consents >= s.goal.Consents)
		} else {
			ok, late = m.between(p.after, x, o)
			late = late && s.r.clean[t]
		}
		if !ok || late {
			return false
		}
	}
	if x.day == o.day {
		most := int32(m.Days[o.day].People) - x.people
		for k := max(x.start, o.start); k < min(x.end, o.end); k++ {
			if s.book.used[k] > most {
				return false
			}
		}
		if m.Tasks[u].Machine && m.Tasks[t].Machine && !s.running(x, o) {
			return false
		}
	}
	return s.reaches(n, u, i)
}

// running reports whether there are machines for an option where one just booked works.
func (s *search) running(x, o *option) bool {
	if s.book.running == nil {
		return true
	}
	most := int32(s.m.Machines) - x.people
	for k := max(x.start, o.start); k < min(x.workTo, o.workTo); k++ {
		if s.book.running[k] > most {
			return false
		}
	}
	return true
}

// reaches holds an option against the goal.
func (s *search) reaches(n *node, t, i int) bool {
	m := s.m
	o := &m.options[t][i]
	if int(o.end) > s.goal.Finish || bits.OnesCount64(n.days|1<<o.day) > s.goal.Days {
		return false
	}
	asks := !m.clean[t][i]
	if asks && n.consents >= s.goal.Consents {
		return false
	}
	at := o.marginalAt
	if s.r.clean[t] || (!asks && n.consents >= s.goal.Consents) {
		at = o.goAt
	}
	return common(n.joint, m.pool[at:int(at)+m.words]) >= s.need
}

// prune strikes options that no option of a neighbour fits, and holds what the
// rest costs at least against the goal.
func (s *search) prune(n *node) bool {
	for t, at := range s.book.at {
		if at < 0 {
			s.ends[t] = s.firstEnd(n, t)
		}
	}
	for again := true; again; {
		again = false
		s.m.steps += len(n.buffer) / 8
		for t, at := range s.book.at {
			if at >= 0 {
				continue
			}
			kept := s.supported(n, t)
			if len(kept) == 0 {
				s.weight[t]++
				return false
			}
			if len(kept) < len(n.options[t]) {
				n.options[t], again = kept, true
				s.ends[t] = s.firstEnd(n, t)
			}
		}
	}
	return s.affordable(n)
}

// firstEnd is the first end of what is left for a task.
func (s *search) firstEnd(n *node, t int) int32 {
	end := never
	for _, i := range n.options[t] {
		end = min(end, s.m.options[t][i].end)
	}
	return end
}

// supported keeps, in place, the options that lie between the earliest and the
// latest of each neighbour without a place.
func (s *search) supported(n *node, t int) []int32 {
	m := s.m
	first, last := int32(0), int32(m.n)
	for k := range m.preds[t] {
		if a := &m.preds[t][k]; s.book.at[a.other] < 0 {
			first = max(first, s.ends[a.other]+int32(a.Hard))
		}
	}
	for k := range m.succs[t] {
		if a := &m.succs[t][k]; s.book.at[a.other] < 0 {
			list := n.options[a.other]
			last = min(last, m.options[a.other][list[len(list)-1]].start-int32(a.Hard))
		}
	}
	kept := n.options[t][:0]
	if first == 0 && int(last) == m.n {
		return n.options[t]
	}
	for _, i := range n.options[t] {
		if o := &m.options[t][i]; o.start >= first && o.end <= last {
			kept = append(kept, i)
		}
	}
	return kept
}

// affordable holds consents, heat and, on the days there can be, people and
// machine time that the rest takes at least against what is left.
func (s *search) affordable(n *node) bool {
	m := s.m
	consents, heat, energy, machine, away := n.consents, int64(0), int32(0), int32(0), 0
	open := uint64(0) // days on which something may yet be done
	for t, at := range s.book.at {
		if at >= 0 {
			continue
		}
		asks, most, own, tool, far := 1, int64(1<<60), never, never, 1
		for _, i := range n.options[t] {
			o := &m.options[t][i]
			if m.clean[t][i] {
				asks = 0
			}
			if open |= 1 << o.day; n.days&(1<<o.day) != 0 {
				far = 0
			}
			most, own, tool = min(most, o.heat), min(own, o.people*(o.end-o.start)), min(tool, o.people*(o.workTo-o.start))
		}
		consents, heat, energy, away = consents+asks, heat+most, energy+own, away|far
		if m.Tasks[t].Machine {
			machine += tool
		}
	}
	n.restHeat = heat
	used := bits.OnesCount64(n.days)
	if consents > s.goal.Consents || n.heat+heat > s.goal.Heat || used+away > s.goal.Days {
		return false
	}
	for rest := n.days &^ open; rest != 0; rest &= rest - 1 {
		if s.book.shortOn(bits.TrailingZeros64(rest)) > 0 {
			return false
		}
	}
	return used < s.goal.Days || s.room(n, energy, machine)
}

// room reports whether the days that are used have room for so many person-slots
// of work and at machines.
func (s *search) room(n *node, energy, machine int32) bool {
	m, tools := s.m, machine
	for rest := n.days; rest != 0; rest &= rest - 1 {
		d := bits.TrailingZeros64(rest)
		day := &m.Days[d]
		for k := max(m.dayFrom[d], day.Open); k < min(m.dayFrom[d+1], day.Close, s.goal.Finish); k++ {
			energy -= int32(day.People) - s.book.used[k]
			if m.Machines > 0 {
				tools -= max(0, int32(m.Machines)-s.book.running[k])
			}
		}
		machine -= int32(m.MachineSlots * day.People)
		for _, t := range s.book.byDay[d] {
			if o := s.book.option(int(t)); m.Tasks[t].Machine {
				machine += o.people * (o.workTo - o.start)
			}
		}
	}
	return energy <= 0 && (m.MachineSlots == 0 || machine <= 0) && (m.Machines == 0 || tools <= 0)
}
