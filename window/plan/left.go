package plan

import (
	"cmp"
	"slices"
)

// left searches the plans in which no block could be done earlier by itself: what
// can begin first is booked, or passed over until something has taken its place
// (the scheme of Le Pape and others, 1994). Each task stays on its day. It looks
// away from how long visits are, and lets a person at a machine, or one of a day on which
// somebody is elsewhere, be in two places:
// without these, if there is any plan at all there is one that is pushed to the
// left, as good in every criterion but the heat. So where it finds none there is
// none, and what it finds is a plan if the rest holds too.
type left struct {
	*rows
	book   *book
	in     []bool  // per task: to be booked
	day    []int   // per task: on which local day
	of     [][]row // per task: its rows
	free   []bool  // per task: it has one row, of which every option is tried
	finish int32   // every block ends by it
	limit  int     // of the model's steps
	whole  func() bool

	rest   int     // tasks without a place
	end    []int32 // per task without a place: its earliest end
	takes  []int32 // per task without a place: person-slots, at least
	last   []int32 // per task: by when it has to end
	begins []int32 // per task: its last start
	ends   []int32 // per task: its last end
	order  []int   // the tasks that are in, by their last ends
	nodes  []leftNode
	seen   map[uint64]bool // what has been left to do before
}

// leftNode is what is settled after so many blocks.
type leftNode struct {
	at       [][]int32 // per task and row: the first option that could be done
	passed   [][]int32 // per task and row: the option passed over, −1: none
	joint    []uint64
	consents int
	first    int32 // nothing without a place can begin before
}

func newLeft(b *book, x *rows) *left {
	n := len(x.all)
	l := &left{rows: x, book: b, in: make([]bool, n), day: make([]int, n), of: make([][]row, n), free: make([]bool, n), nodes: make([]leftNode, n+1), seen: map[uint64]bool{}}
	for _, list := range []*[]int32{&l.end, &l.takes, &l.last, &l.begins, &l.ends} {
		*list = make([]int32, n)
	}
	for d := range l.nodes {
		n := &l.nodes[d]
		n.at, n.passed, n.joint = make([][]int32, len(x.all)), make([][]int32, len(x.all)), make([]uint64, x.m.words)
		for t := range x.sorted {
			n.at[t], n.passed[t] = make([]int32, len(x.sorted[t])), make([]int32, len(x.sorted[t]))
		}
	}
	return l
}

// run books the tasks that are in, each on its day, and tells whole of every plan.
// It is false where the limit came first or whole wanted no more.
func (l *left) run() bool {
	l.book.clear()
	if len(l.seen) > 0 {
		l.seen = map[uint64]bool{}
	}
	root := &l.nodes[0]
	copy(root.joint, l.m.Voters)
	root.consents, l.rest = 0, 0
	for t := range l.of {
		if !l.in[t] {
			continue
		}
		l.rest++
		l.of[t] = l.sorted[t]
		if l.free[t] = l.late[t] || l.crossed[t] || l.hurried(t); l.free[t] {
			l.of[t] = l.all[t]
		}
		for k := range l.of[t] {
			root.at[t][k], root.passed[t][k] = l.of[t][k].from[l.day[t]], -1
		}
	}
	l.lasts()
	return l.descend(0)
}

// hurried reports whether a task may be too long after another one, or undone before it.
func (l *left) hurried(t int) bool {
	for k := range l.m.preds[t] {
		if a := &l.m.preds[t][k]; l.in[a.other] && a.Most > 0 && l.apartBy(a.other, t) > a.Most {
			return true
		}
	}
	for k := range l.m.succs[t] {
		if a := &l.m.succs[t][k]; l.in[a.other] && (l.undone(a, t) || a.Most > 0 && l.apartBy(t, a.other) > a.Most) {
			return true
		}
	}
	return false
}

// undone reports whether what is done on the day of task t may be undone before the
// latest start of the later task on its day.
func (l *left) undone(a *arc, t int) bool {
	m := l.m
	return a.Since != nil && int(a.Since[m.dayFrom[l.day[a.other]+1]-1]) > m.dayFrom[l.day[t]]
}

// apartBy is at most how many slots lie between two tasks on their days.
func (l *left) apartBy(before, after int) int {
	m := l.m
	return m.dayFrom[l.day[after]+1] - m.dayFrom[l.day[before]]
}

// lasts works out by when each task has to end for those after it to have a place.
func (l *left) lasts() {
	l.order = l.order[:0]
	for t := len(l.of) - 1; t >= 0; t-- {
		if !l.in[t] {
			continue
		}
		l.order = append(l.order, t)
		l.last[t], l.begins[t], l.ends[t] = l.finish, -1, -1
		for k := range l.m.succs[t] {
			if a := &l.m.succs[t][k]; l.in[a.other] {
				l.last[t] = min(l.last[t], l.begins[a.other]-int32(a.Hard))
			}
		}
		for k := range l.of[t] {
			r := &l.of[t][k]
			for at := r.from[l.day[t]+1] - 1; at >= r.from[l.day[t]]; at-- {
				if o := &l.m.options[t][r.options[at]]; o.end <= l.last[t] {
					l.begins[t], l.ends[t] = max(l.begins[t], o.start), max(l.ends[t], o.end)
					if !l.free[t] {
						break
					}
				}
			}
		}
	}
	slices.SortFunc(l.order, func(a, b int) int { return cmp.Or(cmp.Compare(l.ends[a], l.ends[b]), cmp.Compare(a, b)) })
}

// option is the option of a row at a place, nil past those that may be.
func (l *left) option(t, k int, at int32) *option {
	r := &l.of[t][k]
	if at >= r.from[l.day[t]+1] {
		return nil
	}
	if o := &l.m.options[t][r.options[at]]; o.end <= l.last[t] || l.free[t] {
		return o
	}
	return nil // nor do those after it end in time
}

// descend books what can begin first, and then passes it over.
func (l *left) descend(depth int) bool {
	if l.rest == 0 {
		return l.whole()
	}
	n := &l.nodes[depth]
	for l.advance(n) && !l.again(n) {
		t, k := l.first(n)
		if t < 0 {
			return true
		}
		if l.m.steps >= l.limit {
			return false
		}
		at := n.at[t][k]
		if !l.under(depth, t, int(l.of[t][k].options[at])) {
			return false
		}
		if n.passed[t][k] = at; l.free[t] {
			n.at[t][k]++
		}
	}
	return true
}

// under searches with task t at an option.
func (l *left) under(depth, t, i int) bool {
	m := l.m
	n, next := &l.nodes[depth], &l.nodes[depth+1]
	o := &m.options[t][i]
	_, late := l.book.ordered(t, o)
	if next.consents = n.consents; m.consents(o, late) {
		next.consents++
	}
	set, _ := m.members(o, late || l.absent(t))
	and(next.joint, n.joint, set)
	for u := range l.of {
		if l.in[u] && u != t && l.book.at[u] < 0 {
			copy(next.at[u], n.at[u])
			copy(next.passed[u], n.passed[u])
		}
	}
	l.book.place(t, i)
	l.rest--
	done := l.descend(depth + 1)
	l.rest++
	l.book.remove(t)
	return done
}

// absent reports whether what has no place could make a task marginal.
func (l *left) absent(t int) bool {
	for k := range l.m.preds[t] {
		if a := &l.m.preds[t][k]; a.Go > a.Hard && l.book.at[a.other] < 0 {
			return true
		}
	}
	return false
}

// advance moves every row on to its first option that could still be done; false
// where a task has none, or where the people do not suffice.
func (l *left) advance(n *leftNode) bool {
	n.first = never
	for t := range l.of {
		if !l.in[t] || l.book.at[t] >= 0 {
			continue
		}
		from := l.after(t)
		l.takes[t], l.end[t] = never, never
		for k := range l.of[t] {
			at := n.at[t][k]
			o := l.option(t, k, at)
			for ; o != nil && (o.start < from || !l.may(n, t, l.of[t][k].options[at])); o = l.option(t, k, at) {
				at++
			}
			if n.at[t][k] = at; o == nil {
				continue
			}
			n.first, l.takes[t] = min(n.first, o.start), min(l.takes[t], l.of[t][k].least[l.day[t]])
			if at == n.passed[t][k] && !l.free[t] {
				o = l.option(t, k, at+1)
			}
			if o != nil {
				l.end[t] = min(l.end[t], o.end)
			}
		}
		if l.end[t] == never {
			return false
		}
	}
	return l.roomy(n.first)
}

// after is the first slot that what lies before a task and has no place leaves it.
func (l *left) after(t int) int32 {
	from := int32(0)
	for k := range l.m.preds[t] {
		if a := &l.m.preds[t][k]; l.in[a.other] && l.book.at[a.other] < 0 {
			from = max(from, l.end[a.other]+int32(a.Hard))
		}
	}
	return from
}

// roomy reports whether from a slot on there are people enough for all that has to
// end by any time.
func (l *left) roomy(first int32) bool {
	m := l.m
	room, k := int32(0), int(first)
	for _, t := range l.order {
		if l.book.at[t] >= 0 {
			continue
		}
		for ; k < int(l.ends[t]); k++ {
			if day := &m.Days[m.Day[k]]; k >= day.Open && k < day.Close {
				room += int32(day.People) - l.book.used[k]
			}
		}
		if room -= l.takes[t]; room < 0 {
			return false
		}
	}
	m.steps += 1 + len(l.order)/2
	return true
}

// may reports whether an option may stand beside all that is booked.
func (l *left) may(n *leftNode, t int, i int32) bool {
	m := l.m
	o := &m.options[t][i]
	m.steps++
	if o.end > l.last[t] {
		return false
	}
	ok, late := l.book.ordered(t, o)
	if !ok || !l.book.free(t, o) || (n.consents >= l.goal.Consents && m.consents(o, late)) {
		return false
	}
	set, _ := m.members(o, late || l.absent(t))
	return common(n.joint, set) >= l.need && l.shared(t, int(i))
}

// shared reports whether the machine work of a day can be shared out with an option
// of task t, were all else of no account.
func (l *left) shared(t, i int) bool {
	c := l.book.crew
	if l.m.MachineSlots == 0 || !l.m.Tasks[t].Machine {
		return true
	}
	c.loads, c.left = true, 0
	ok := c.mayAdd(l.book, t, i, nil) || c.left < 0
	c.loads = false
	return ok
}

// first is the row that can begin first and has not been passed over, of the tasks
// with all before them booked; −1 where there is none.
func (l *left) first(n *leftNode) (task, row int) {
	task = -1
	var best [3]int32
	for t := range l.of {
		if !l.in[t] || l.book.at[t] >= 0 || !l.ready(t) {
			continue
		}
		for k := range l.of[t] {
			at := n.at[t][k]
			o := l.option(t, k, at)
			if o == nil || (at == n.passed[t][k] && !l.free[t]) {
				continue
			}
			if c := [3]int32{o.start, -o.people, -l.of[t][k].least[l.day[t]]}; task < 0 || slices.Compare(c[:], best[:]) < 0 {
				task, row, best = t, k, c
			}
		}
	}
	return task, row
}

// ready reports whether all that lies before a task is booked.
func (l *left) ready(t int) bool {
	for k := range l.m.preds[t] {
		if p := l.m.preds[t][k].other; l.in[p] && l.book.at[p] < 0 {
			return false
		}
	}
	return true
}

// mostSeen is how much is remembered of one search.
const mostSeen = 1 << 16

// again reports whether as much has been left to do before, with the same choice:
// it led nowhere then.
func (l *left) again(n *leftNode) bool {
	h, end, tools := sum(len(n.joint)), n.first, uint64(0)
	for t := range l.of {
		switch i := l.book.at[t]; {
		case !l.in[t]:
		case i < 0:
			for k, at := range n.at[t][:len(l.of[t])] {
				h = h.add(uint64(at)<<1 | bit(at == n.passed[t][k]))
			}
		default:
			o := &l.m.options[t][i]
			end = max(end, o.end)
			if h = h.add(1 << 32); l.bears(n, t, o) {
				h = h.add(uint64(i))
			}
			if l.m.Tasks[t].Machine { // in whatever order
				tools += uint64(sum(0).add(uint64(o.day)<<48 | uint64(o.people)<<32 | uint64(o.workTo-o.start)))
			}
		}
	}
	for _, u := range l.book.used[min(n.first, end):end] {
		h = h.add(uint64(u))
	}
	if running := l.book.running; running != nil {
		for _, u := range running[min(n.first, end):end] {
			h = h.add(uint64(u))
		}
	}
	for _, w := range n.joint {
		h = h.add(w)
	}
	h = h.add(tools).add(uint64(n.consents))
	l.m.steps += 1 + int(end-n.first)/16
	if l.seen[uint64(h)] {
		return true
	}
	if len(l.seen) < mostSeen {
		l.seen[uint64(h)] = true
	}
	return false
}

// bears reports whether where a task is booked bears on others without a place, by
// more than the people it takes and the starts that it has left them: water of one
// that could still be done before it.
func (l *left) bears(n *leftNode, t int, o *option) bool {
	for _, a := range l.m.apart[t] {
		if !l.in[a.other] || l.book.at[a.other] >= 0 {
			continue
		}
		for k, at := range n.at[a.other][:len(l.of[a.other])] {
			if x := l.option(a.other, k, at); x != nil && x.start < o.start {
				return true
			}
		}
	}
	return l.free[t]
}

func bit(b bool) uint64 {
	if b {
		return 1
	}
	return 0
}

// sum is a running hash of 64 bits, after the finalizer of SplitMix64 (Steele and
// others, 2014): that two of some thousand are equal by chance has odds of one in
// 10¹¹.
type sum uint64

func (h sum) add(x uint64) sum {
	z := uint64(h) + x + 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return sum(z ^ z>>31)
}
