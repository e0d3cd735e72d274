package plan

import (
	"cmp"
	"slices"
	"sort"
)

// rebuilder looks for a plan with fewer consents by tearing down a part of one, some
// tasks that lie together, and building that part anew, each task where it costs least
// beside all else (ruin and recreate: Schrimpf and others, 2000; Christiaens and Vanden
// Berghe, 2020). A visit that is too short is to it no fault to be mended at once but a
// cost, so that a visit may begin with one block and grow by others.
type rebuilder struct {
	m      *model
	x      *best
	b      *builder
	l      limits
	random lcg
	may    [][]int32 // by task: the options within the limits, in order
	kept   *book     // what is built upon …
	cost   int       // … and what it costs
	out    []int     // tasks without a place
	keys   []int64
	visits [][]visit // by day …
	stale  []bool    // … where they are to be worked out anew
	taken  []int     // by day: how often a step is taken up; −1: to be counted anew
	near   nearby
	short  int  // what a visit costs that is too short, beside 1 for each slot it lacks
	yes    int  // what a consent costs
	neat   bool // neatness is looked for, among plans as good as the best
	sure   bool // more members are looked for …
	enough int  // … until a plan holds in so many five points
	early  bool // of options that cost the same the earliest is taken
}

// What is out costs as much as so many consents: hardly ever is anything left out for
// fewer of them. So many tasks, or some less, are torn out.
const (
	outCosts = 16
	torn     = 7
)

// newRebuilder makes the k-th. Each has other chances, drawn from a fixed row of numbers,
// and the second bears short visits less: on some jobs the one, on some the other gets
// stuck. A consent costs twice what the shortest visit lacks at first, so that a visit is
// begun sooner than a consent is asked for.
func (m *model) newRebuilder(x *best, b *builder, k int) *rebuilder {
	return &rebuilder{
		m: m, x: x, b: b, random: 11 + lcg(k), kept: m.newBook(), keys: make([]int64, len(m.Tasks)),
		may:    make([][]int32, len(m.Tasks)),
		visits: make([][]visit, len(m.Days)), stale: make([]bool, len(m.Days)), taken: make([]int, len(m.Days)),
		short: k * m.visit, yes: max(2*m.visit, 4),
	}
}

// run looks for a plan within limits for so many steps, or until one has no more consents
// than they let: true. It begins at what the best plan has within them, or anew. A plan
// is taken that is better in the first n criteria; once there is one, in any.
func (e *rebuilder) run(l limits, n int, anew bool, steps int) bool {
	e.keepTo(l)
	e.begin(anew)
	e.keep(e.costs())
	for end := e.m.steps + steps; e.m.steps < end; {
		e.gather()
		e.tear()
		e.fill()
		cost := e.costs()
		if cost > e.cost+e.more(end-e.m.steps, steps) {
			e.b.book.copyFrom(e.kept)
			continue
		}
		e.keep(cost)
		if len(e.out) == 0 && e.offer(n) {
			if n = Criteria; e.x.score.Consents <= l.consents || e.sure && e.x.score.FivePoints >= e.enough {
				return true
			}
		}
	}
	return false
}

// keepTo takes limits, and lists what lies within them: most of what there is lies on
// other days than those of a plan that is to be neater, and is looked at once, not at each
// try.
func (e *rebuilder) keepTo(l limits) {
	e.l = l
	all := 0
	for t := range e.m.options {
		all += len(e.m.options[t])
	}
	list := make([]int32, 0, all)
	for t := range e.may {
		first := len(list)
		for i := range e.m.options[t] {
			if e.allowed(t, i) {
				list = append(list, int32(i))
			}
		}
		e.may[t] = list[first:]
	}
}

// offer keeps a whole plan that is better, or neater.
func (e *rebuilder) offer(n int) bool {
	if e.neat {
		return e.x.neater(e.b.book)
	}
	return e.x.offer(e.b.book, n)
}

// begin takes over what the best plan has within the limits.
func (e *rebuilder) begin(anew bool) {
	if e.x.found && !anew {
		e.b.book.copyFrom(e.x.book)
	} else {
		e.b.book.clear()
	}
	for t, i := range e.b.book.at {
		if i >= 0 && !e.allowed(t, int(i)) {
			e.b.book.remove(t)
		}
	}
	e.gather()
}

// allowed holds an option against the limits.
func (e *rebuilder) allowed(t, i int) bool {
	o, l := &e.m.options[t][i], &e.l
	return l.r.use[t][i] && o.end <= l.finish && (l.days == 0 || l.days&(1<<o.day) != 0) && (l.members == nil || e.b.keeps(o, *l))
}

// keep builds upon what is booked from now on.
func (e *rebuilder) keep(cost int) {
	e.cost = cost
	e.kept.copyFrom(e.b.book)
}

// more is by how much what is built upon may cost more than what was: by chance, at
// first up to half a consent, and less the fewer steps are left of all. While something
// is out it may be some consents, for all must move to make room for it.
func (e *rebuilder) more(left, all int) int {
	most := e.yes / 2
	if len(e.out) > 0 {
		most = 4 * e.yes
	}
	return int(e.random.next(uint32(max(most*left/all, 0) + 1)))
}

// costs of all that is booked, and of what is not.
func (e *rebuilder) costs() int {
	cost := outCosts * e.yes * len(e.out)
	for t := range e.b.book.at {
		if e.asks(t) {
			cost += e.yes
		}
	}
	if e.neat || e.sure {
		cost += e.b.book.mess()
	}
	return cost + e.doubts() + e.owed()
}

// owed is what all visits cost.
func (e *rebuilder) owed() int {
	if e.m.visit <= 1 {
		return 0
	}
	cost := 0
	for d := range e.visits {
		e.m.steps += len(e.b.book.byDay[d]) / 2
		e.visits[d], e.stale[d] = e.b.book.visitsOn(d, e.visits[d][:0]), false
		for k := range e.visits[d] {
			cost += e.owes(&e.visits[d][k])
		}
	}
	return cost
}

// asks reports whether a task is booked where it needs consent.
func (e *rebuilder) asks(t int) bool {
	return e.b.book.at[t] >= 0 && e.m.consents(e.b.book.option(t), e.b.book.lateSoFar(t))
}

// gather lists the tasks without a place.
func (e *rebuilder) gather() {
	e.out = e.out[:0]
	for t, i := range e.b.book.at {
		if i < 0 {
			e.out = append(e.out, t)
		}
	}
}

// tear takes out tasks that lie together, mostly around one that is out or that needs
// consent.
func (e *rebuilder) tear() {
	t := e.any()
	if len(e.out) > 0 && e.random.next(2) == 0 {
		t = e.out[e.random.next(uint32(len(e.out)))]
	} else if e.sure && e.random.next(2) == 0 {
		t = e.weakest()
	} else if e.random.next(2) == 0 {
		for k := 0; k < len(e.m.Tasks) && !e.asks(t); k++ {
			t = (t + 1) % len(e.m.Tasks)
		}
	}
	e.around(t)
}

// any is any task.
func (e *rebuilder) any() int { return int(e.random.next(uint32(len(e.m.Tasks)))) }

func (e *rebuilder) oneOf(tasks []int32) int { return int(tasks[e.random.next(uint32(len(tasks)))]) }

// around takes out a task and goes on from it, step by step, to one of its day, or of
// those that it follows or that follow it.
func (e *rebuilder) around(t int) {
	m, book := e.m, e.b.book
	for range torn {
		if book.at[t] >= 0 {
			d := book.option(t).day
			e.remove(t)
			if len(book.byDay[d]) > 0 && e.random.next(2) == 0 {
				t = e.oneOf(book.byDay[d])
				continue
			}
		}
		before, after := m.preds[t], m.succs[t]
		switch k := int(e.random.next(uint32(len(before) + len(after) + 1))); {
		case k < len(before):
			t = before[k].other
		case k < len(before)+len(after):
			t = after[k-len(before)].other
		default:
			t = e.any()
		}
	}
}

func (e *rebuilder) remove(t int) {
	e.b.book.remove(t)
	e.out = append(e.out, t)
}

// fill books what is out, each task where it costs least.
func (e *rebuilder) fill() {
	for d := range e.stale {
		e.changed(d)
	}
	e.sort()
	e.early = e.neat && e.random.next(2) == 0
	left := e.out[:0]
	if e.sure {
		e.b.holds()
	}
	for _, t := range e.out {
		if i := e.cheapest(t); i >= 0 {
			e.b.take(t, i)
			e.changed(int(e.m.options[t][i].day))
		} else {
			left = append(left, t)
		}
	}
	e.out = left
}

// changed notes that a day is no longer what it was.
func (e *rebuilder) changed(day int) { e.stale[day], e.taken[day] = true, -1 }

// sort puts what is out into one of three orders: by chance, the most work first, or as
// the tasks must begin.
func (e *rebuilder) sort() {
	how := e.random.next(3)
	for _, t := range e.out {
		switch how {
		case 0:
			e.keys[t] = int64(e.random.next(1 << 16))
		case 1:
			e.keys[t] = -int64(e.m.Tasks[t].Work)
		default:
			e.keys[t] = int64(e.m.maxStart[t])
		}
	}
	slices.SortStableFunc(e.out, func(a, b int) int { return cmp.Compare(e.keys[a], e.keys[b]) })
}

// cheapest is the option of a task that costs least, one of those by chance or the
// earliest; −1 where none has room.
func (e *rebuilder) cheapest(t int) int {
	list, may, book := e.m.options[t], e.may[t], e.b.book
	from, to := e.between(t)
	best, bestCost, ties := -1, int(never), uint32(0)
	first := sort.Search(len(list), func(k int) bool { return list[k].start >= from })
	end := first + sort.Search(len(list)-first, func(k int) bool { return list[first+k].start > to })
	e.near.gather(book, t)
	for k := sort.Search(len(may), func(k int) bool { return int(may[k]) >= first }); k < len(may) && int(may[k]) < end; k++ {
		i := int(may[k])
		cost, ok := e.costAt(t, i, to, bestCost)
		if !ok || cost > bestCost {
			continue
		}
		if ties++; cost < bestCost {
			ties = 1
		}
		if ties > 1 && (e.early || e.random.next(ties) > 0) || !book.crew.mayAdd(book, t, i, nil) {
			continue
		}
		best, bestCost = i, cost
	}
	e.m.steps += 1 + (end-first)/4 // most are looked at but briefly
	return best
}

// between is where a task may lie at the most, by those before and after it.
func (e *rebuilder) between(t int) (from, to int32) {
	from, to = e.b.earliest(t), int32(e.m.n)
	for k := range e.m.succs[t] {
		if a := &e.m.succs[t][k]; e.b.book.at[a.other] >= 0 {
			to = min(to, e.b.book.option(a.other).start-int32(a.Hard))
		}
	}
	return from, to
}

// costAt is what an option of a task, within the limits, that ends in time costs, if that is
// no more than most and there is room for it; machine time is not looked at. The task's
// neighbours have been gathered.
func (e *rebuilder) costAt(t, i int, to int32, most int) (cost int, ok bool) {
	m, book := e.m, e.b.book
	o := &m.options[t][i]
	if !m.clean[t][i] {
		cost = e.yes
	}
	if o.end > to || cost > most || !book.free(t, o) {
		return 0, false
	}
	ok, late := e.near.ordered(m, o)
	if !ok {
		return 0, false
	}
	if cost == 0 && m.consents(o, late) {
		cost = e.yes
	}
	cost += e.yes*e.near.pushed(o) + e.unsure(o, late) + e.adds(t, o)
	if cost-e.mostTidied(o) > most {
		return 0, false
	}
	return cost + e.untidies(t, o), true
}

// adds is what an option adds to what the visits of its day cost.
func (e *rebuilder) adds(t int, o *option) int {
	m, book := e.m, e.b.book
	if m.visit <= 1 {
		return 0
	}
	if e.stale[o.day] {
		e.visits[o.day], e.stale[o.day] = book.visitsOn(int(o.day), e.visits[o.day][:0]), false
	}
	gap := int32(max(m.Gap, 1))
	from, to := e.waits(t, o, gap)
	one, before := visit{first: o.start, end: o.end, alone: m.Tasks[t].Alone}, 0
	for k := range e.visits[o.day] {
		v := &e.visits[o.day][k]
		if from-v.covered >= gap || v.first-to >= gap {
			continue
		}
		before += e.owes(v)
		one.first, one.end, one.alone = min(one.first, v.first), max(one.end, v.end), one.alone || v.alone
	}
	return e.owes(&one) - before
}

// owes is what a visit costs.
func (e *rebuilder) owes(v *visit) int {
	lack := e.b.book.lacks(int(v.end-v.first), v.alone)
	if lack > 0 {
		lack += e.short
	}
	return lack
}

// waits stretches an option by the waits that lie before and after it on its day.
func (e *rebuilder) waits(t int, o *option, gap int32) (from, to int32) {
	m, book := e.m, e.b.book
	from, to = o.start, o.end
	for k := range m.preds[t] {
		a := &m.preds[t][k]
		if a.wait == 0 || book.at[a.other] < 0 {
			continue
		}
		if x := book.option(a.other); x.day == o.day && o.start-x.end-int32(a.wait) < gap {
			from = min(from, x.end)
		}
	}
	for k := range m.succs[t] {
		a := &m.succs[t][k]
		if a.wait == 0 || book.at[a.other] < 0 {
			continue
		}
		if x := book.option(a.other); x.day == o.day && x.start-o.end-int32(a.wait) < gap {
			to = max(to, x.start)
		}
	}
	return from, to
}
