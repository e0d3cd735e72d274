package plan

import (
	"math/bits"
	"slices"
)

// packing gives every task a day, the largest tasks first, and holds each day's
// tasks against what that day alone can hold, which is remembered: most ways to
// share a job among few days fail on days that have failed before.
type packing struct {
	*left
	b      *builder
	x      *best
	use    relaxation
	spare  *book  // what a plan was before it was mended
	days   uint64 // that may be used
	stage  int
	can    []uint64   // per task: the days on which it can be done, a bit each
	on     [][]uint64 // by depth, per task: the days left
	size   []int32    // per task: person-slots, at least
	tool   []int32    // per task: at machines, at least
	room   []int32    // per day: person-slots …
	tools  []int32    // … and those at machines; never where there is no limit
	full   [][]uint64 // per day: sets of tasks that it cannot hold …
	holds  [][]uint64 // … and that it can, as far as left looks
	arcs   []dayArc
	weak   bool // tasks cannot be pushed to the left, or not always
	broken int  // plans met that break a rule looked away from
}

// dayArc tells which days of a task go with which of the one before it.
type dayArc struct {
	before, after int
	with          []uint64 // by the later task's day: the earlier one's days
}

// A packing is for jobs of up to so many tasks, a bit each; it gives up after so
// many plans that break a rule, and looks at one day for so many steps.
const (
	mostPacked = 64
	mostBroken = 16
	forOneDay  = 40_000
)

// newPacking is for plans that are as good as a goal in the first two criteria; nil
// where the job has too many tasks or one of them has no place.
func newPacking(b *builder, x *best, r relaxation, goal Score) *packing {
	m := b.m
	n := len(m.Tasks)
	if n > mostPacked {
		return nil
	}
	of, ok := m.newRows(r, goal)
	if !ok {
		return nil
	}
	p := &packing{
		left: newLeft(b.book, of), b: b, x: x, use: r, spare: m.newBook(), can: make([]uint64, n), on: make([][]uint64, n+1), size: make([]int32, n),
		tool: make([]int32, n), room: make([]int32, len(m.Days)), tools: make([]int32, len(m.Days)), full: make([][]uint64, len(m.Days)), holds: make([][]uint64, len(m.Days)),
	}
	for d := range p.on {
		p.on[d] = make([]uint64, n)
	}
	p.weak = slices.Contains(p.late, true) || slices.Contains(p.crossed, true) || p.sets()
	p.measure()
	for t := range m.preds {
		for k := range m.preds[t] {
			p.join(t, &m.preds[t][k])
		}
	}
	return p
}

// strong reports whether there is a packing that mostly sees all plans there are.
func (p *packing) strong() bool { return p != nil && !p.weak }

// measure notes on which days each task can be done, what it takes at least, and
// what room the days have.
func (p *packing) measure() {
	m := p.m
	open, runs := make([]bool, m.n), make([]bool, m.n)
	for t := range p.all {
		p.size[t], p.tool[t] = never, never
		for _, r := range p.all[t] {
			for _, i := range r.options {
				o := &m.options[t][i]
				p.can[t] |= 1 << o.day
				p.size[t], p.tool[t] = min(p.size[t], o.people*(o.end-o.start)), min(p.tool[t], o.people*(o.workTo-o.start))
				for k := o.start; k < o.end; k++ {
					open[k], runs[k] = true, runs[k] || m.Tasks[t].Machine && k < o.workTo
				}
			}
		}
		if !m.Tasks[t].Machine {
			p.tool[t] = 0
		}
	}
	for s, d := range m.Day {
		if open[s] {
			p.room[d] += int32(m.Days[d].People)
		}
		if runs[s] {
			p.tools[d] += int32(m.Machines)
		}
	}
	for d, day := range m.Days {
		if m.Machines == 0 {
			p.tools[d] = never
		}
		if m.MachineSlots > 0 {
			p.tools[d] = min(p.tools[d], int32(m.MachineSlots*day.People))
		}
	}
}

// join works out which days of two neighbours go together.
func (p *packing) join(t int, a *arc) {
	x := dayArc{before: a.other, after: t, with: make([]uint64, len(p.m.Days))}
	for d := range x.with {
		begin, _ := p.span(t, d)
		for e := 0; e <= d; e++ {
			if _, end := p.span(a.other, e); (e < d || !a.NextDay) && end+int32(a.Hard) <= begin && p.stands(t, d, e, a) {
				x.with[d] |= 1 << e
			}
		}
	}
	p.arcs = append(p.arcs, x)
}

// stands reports whether what is done before a task on day e may still stand when the
// task begins on day d.
func (p *packing) stands(t, d, e int, a *arc) bool {
	if a.Since == nil {
		return true
	}
	first, last := never, int32(-1)
	for _, r := range p.all[t] {
		for _, i := range r.options[r.from[d]:r.from[d+1]] {
			first = min(first, p.m.options[t][i].start)
		}
	}
	for _, r := range p.all[a.other] {
		for _, i := range r.options[r.from[e]:r.from[e+1]] {
			last = max(last, p.m.options[a.other][i].end)
		}
	}
	return first < never && last >= a.Since[first]
}

// span is the last start and the first end of a task on a day.
func (p *packing) span(t, d int) (begin, end int32) {
	begin, end = -1, never
	for _, r := range p.all[t] {
		for _, i := range r.options[r.from[d]:r.from[d+1]] {
			begin, end = max(begin, p.m.options[t][i].start), min(end, p.m.options[t][i].end)
		}
	}
	return begin, end
}

// run searches for a plan that is better in criterion stage, from 1, on a set of
// days, and stops at the first. sure: there is none.
func (p *packing) run(stage, finish int, days uint64, limit int) (sure bool) {
	p.stage, p.finish, p.days, p.limit, p.broken = stage, int32(finish), days, limit, 0
	for d := range p.holds {
		if p.m.dayFrom[d+1] > finish {
			p.holds[d] = p.holds[d][:0] // it could with more time
		}
	}
	for t := range p.can {
		if p.on[0][t] = p.can[t] & days; p.on[0][t] == 0 {
			return true
		}
	}
	return !p.settle(p.on[0]) || p.split(0) && p.broken == 0
}

// settle takes away days that no day of a neighbour goes with; false where a task
// has none left.
func (p *packing) settle(on []uint64) bool {
	for again := true; again; {
		again = false
		for i := range p.arcs {
			a := &p.arcs[i]
			before, after := uint64(0), uint64(0)
			for rest := on[a.after]; rest != 0; rest &= rest - 1 {
				if d := bits.TrailingZeros64(rest); a.with[d]&on[a.before] != 0 {
					after |= 1 << d
					before |= a.with[d]
				}
			}
			if before &= on[a.before]; before == 0 {
				return false
			}
			again = again || after != on[a.after] || before != on[a.before]
			on[a.after], on[a.before] = after, before
		}
		p.m.steps += 1 + len(p.arcs)/4
	}
	return true
}

// split gives the largest task that has a choice its day, each in turn. It is false
// where the limit came first or a better plan was found.
func (p *packing) split(depth int) bool {
	t := p.largest(p.on[depth])
	if t < 0 {
		return p.spread(p.on[depth])
	}
	for rest := p.on[depth][t]; rest != 0; rest &= rest - 1 {
		if p.m.steps >= p.limit {
			return false
		}
		next := p.on[depth+1]
		copy(next, p.on[depth])
		if next[t] = rest & -rest; p.settle(next) && p.holdsAll(next) && !p.split(depth+1) {
			return false
		}
	}
	return true
}

// largest is the largest task with more than one day, −1 for none.
func (p *packing) largest(on []uint64) int {
	best := -1
	for t := range on {
		if on[t]&(on[t]-1) != 0 && (best < 0 || p.size[t] > p.size[best]) {
			best = t
		}
	}
	return best
}

// holdsAll reports whether each day can hold the tasks that have to be done on it.
func (p *packing) holdsAll(on []uint64) bool {
	for d := range p.m.Days {
		size, tool, set := int32(0), int32(0), uint64(0)
		for t := range on {
			if on[t] == 1<<d {
				size, tool, set = size+p.size[t], tool+p.tool[t], set|1<<t
			}
		}
		if set != 0 && (size > p.room[d] || tool > p.tools[d] || !p.holdsSet(d, set)) {
			return false
		}
	}
	return true
}

// holdsSet reports whether a day alone can hold a set of tasks, true where that is
// not known after some steps.
func (p *packing) holdsSet(d int, set uint64) bool {
	for _, s := range p.full[d] {
		if s&^set == 0 {
			return false
		}
	}
	for _, s := range p.holds[d] {
		if set&^s == 0 {
			return true
		}
	}
	for t := range p.in {
		p.in[t], p.day[t] = set&(1<<t) != 0, d
	}
	found, limit := false, p.limit
	p.limit = min(limit, p.m.steps+forOneDay)
	p.whole = func() bool {
		found = true
		return false
	}
	all := p.left.run()
	if p.limit = limit; all && !found {
		p.full[d] = append(p.full[d], set)
		return false
	}
	if found || p.m.steps < limit {
		p.holds[d] = append(p.holds[d], set)
	}
	return true
}

// spread searches the plans with each task on its day.
func (p *packing) spread(on []uint64) bool {
	for t := range p.in {
		p.in[t], p.day[t] = true, bits.TrailingZeros64(on[t])
	}
	p.whole = p.offer
	return p.left.run()
}

// offer takes a plan if it keeps to all rules, as it is or mended, and is then done.
func (p *packing) offer() bool {
	if p.kept() || p.mended() {
		return false
	}
	p.broken++
	return p.broken < mostBroken
}

// kept offers the plan that is booked.
func (p *packing) kept() bool { return p.book.persons(false) && p.x.offer(p.book, p.stage) }

// mended offers the plan with blocks moved until its visits are long enough, and
// leaves it booked as it was.
func (p *packing) mended() bool {
	joint := make([]uint64, p.m.words)
	p.book.score(joint)
	p.spare.copyFrom(p.book)
	ok := p.b.mend(limits{r: p.use, days: p.days, members: joint, finish: p.finish}) && p.kept()
	p.book.copyFrom(p.spare)
	return ok
}
