package plan

import (
	"cmp"
	"slices"
	"sort"
)

// limits narrow what a builder may use.
type limits struct {
	r       relaxation
	days    uint64   // bits into the model's days: may be used; 0: all
	members []uint64 // must all hold in every block; nil: any
	need    int      // voters in which all blocks together must hold
	finish  int32    // every block ends by it
	// consents is how many blocks may need the person's yes; only the ejector asks.
	consents int
}

// rule is how a builder goes about it.
type rule struct {
	order []int // tasks, an order that keeps what comes before
	solo  bool  // as few people to a block as there may be
	keep  bool  // lose as few members as possible before anything else
	back  bool  // from the last task to the first, each as late as may be
}

// builder makes plans one task after another.
type builder struct {
	m     *model
	book  *book
	joint []uint64
}

func (m *model) newBuilder() *builder {
	return &builder{m: m, book: m.newBook(), joint: make([]uint64, m.words)}
}

// build books every task by the rule, or gives up.
func (b *builder) build(l limits, r rule) bool {
	b.book.clear()
	return b.fill(l, r)
}

// fill books every task that has no place yet by the rule, or gives up.
func (b *builder) fill(l limits, r rule) bool {
	b.holds()
	for k := range r.order {
		t := r.order[k]
		if r.back {
			t = r.order[len(r.order)-1-k]
		}
		if b.book.at[t] >= 0 {
			continue
		}
		i := b.best(t, l, r)
		if i < 0 {
			return false
		}
		b.take(t, i)
	}
	return true
}

// holds works out in which members all that is booked holds.
func (b *builder) holds() {
	copy(b.joint, b.m.Voters)
	for t, i := range b.book.at {
		if i >= 0 {
			set, _ := b.m.members(b.book.option(t), b.book.lateSoFar(t))
			and(b.joint, b.joint, set)
		}
	}
}

func (b *builder) take(t, i int) {
	b.book.place(t, i)
	set, _ := b.m.members(b.book.option(t), b.book.lateSoFar(t))
	and(b.joint, b.joint, set)
}

// lateSoFar is late where some of what lies before may not be booked yet.
func (b *book) lateSoFar(t int) bool {
	_, late := b.ordered(t, b.option(t))
	return late
}

// best picks the option of a task that the rule likes most, −1 if none fits.
func (b *builder) best(t int, l limits, r rule) int {
	best, bestCost := -1, [4]int32{}
	list := b.m.options[t]
	first, step := b.begin(t, r.back)
	for i := first; i >= 0 && i < len(list); i += step {
		o := &list[i]
		if best >= 0 && bestCost[0] == 0 && bestCost[1] == 0 && (r.back && -o.start > bestCost[2] || !r.back && o.start >= bestCost[2]) {
			break // nothing further on can be better
		}
		if !l.r.use[t][i] || o.end > l.finish || (l.days != 0 && l.days&(1<<o.day) == 0) {
			continue
		}
		ok, late := b.book.fits(t, i)
		if !ok {
			continue
		}
		cost, ok := b.cost(t, o, late, l, r)
		if ok && (best < 0 || slices.Compare(cost[:], bestCost[:]) < 0) {
			best, bestCost = i, cost
		}
	}
	return best
}

// begin is the first option that the booked tasks before t leave, from which to
// look on; or, looking back, the last that those after it leave.
func (b *builder) begin(t int, back bool) (first, step int) {
	m, list := b.m, b.m.options[t]
	if back {
		to := int32(m.n)
		for k := range m.succs[t] {
			a := &m.succs[t][k]
			if b.book.at[a.other] >= 0 {
				to = min(to, b.book.option(a.other).start-int32(a.Hard))
			}
		}
		return sort.Search(len(list), func(k int) bool { return list[k].start > to }) - 1, -1
	}
	from := b.earliest(t)
	return sort.Search(len(list), func(k int) bool { return list[k].start >= from }), 1
}

// cost of an option: consents, members lost where they are to be kept, end (or,
// looking back, start), and the people it takes.
func (b *builder) cost(t int, o *option, late bool, l limits, r rule) (c [4]int32, ok bool) {
	m := b.m
	set, _ := m.members(o, late)
	if l.members != nil && !within(l.members, set) {
		return c, false
	}
	left := common(b.joint, set)
	if left < l.need {
		return c, false
	}
	if m.consents(o, late) {
		c[0] = 1
	}
	c[0] += b.pushed(t, o)
	if r.keep {
		c[1] = int32(count(b.joint) - left)
	}
	switch c[2], c[3] = o.end, o.people; {
	case r.back:
		c[2] = -o.start
	case r.solo:
		c[2] = o.start
	}
	return c, true
}

// pushed is how many booked tasks an option before them makes marginal.
func (b *builder) pushed(t int, o *option) int32 {
	n := int32(0)
	for k := range b.m.succs[t] {
		a := &b.m.succs[t][k]
		if b.book.at[a.other] < 0 {
			continue
		}
		if s := b.book.option(a.other); int(s.start) < int(o.end)+a.Go && !b.m.consents(s, false) {
			n++
		}
	}
	return n
}

// earliest is the first slot that the booked tasks before t leave.
func (b *builder) earliest(t int) int32 {
	var from int32
	for k := range b.m.preds[t] {
		a := &b.m.preds[t][k]
		if b.book.at[a.other] >= 0 {
			from = max(from, b.book.option(a.other).end+int32(a.Hard))
		}
	}
	return from
}

// orders are the rules of priority: as the tasks come (step by step), zone by
// zone, by the latest start, by the longest work still to follow; and mixtures
// of them, always the same ones.
func (m *model) orders(mixtures int) [][]int {
	n := len(m.Tasks)
	keys := [][]int64{make([]int64, n), make([]int64, n), make([]int64, n), make([]int64, n)}
	for t := n - 1; t >= 0; t-- {
		keys[0][t] = int64(t)
		keys[1][t] = int64(m.Tasks[t].Zone)
		keys[2][t] = int64(m.maxStart[t])
		rest := int64(0)
		for _, a := range m.succs[t] {
			rest = min(rest, keys[3][a.other])
		}
		keys[3][t] = rest - int64(m.minEnd[t]-m.minStart[t])
	}
	var out [][]int
	for _, k := range keys {
		out = append(out, m.ordered(k))
	}
	random := lcg(1)
	for i := range mixtures {
		k := make([]int64, n)
		ranks := ranksOf(keys[i%len(keys)])
		for t := range k {
			k[t] = int64(ranks[t])*8 + int64(random.next(uint32(8+4*n)))
		}
		out = append(out, m.ordered(k))
	}
	return out
}

func ranksOf(keys []int64) []int {
	idx := make([]int, len(keys))
	for i := range idx {
		idx[i] = i
	}
	slices.SortStableFunc(idx, func(a, b int) int { return cmp.Compare(keys[a], keys[b]) })
	ranks := make([]int, len(keys))
	for r, i := range idx {
		ranks[i] = r
	}
	return ranks
}

// ordered lists the tasks by their keys, none before what it must follow, nor, while there
// are others, before what runs down onto it.
func (m *model) ordered(keys []int64) []int {
	n := len(m.Tasks)
	waits, under := make([]int, n), make([]int, n) // what must come first, and what had better
	for t := range waits {
		waits[t] = len(m.preds[t])
	}
	for _, d := range m.Downs {
		under[d.Below]++
	}
	key := func(t int) int64 {
		if under[t] > 0 {
			return keys[t] + 1<<40 // behind all that is not
		}
		return keys[t]
	}
	out := make([]int, 0, n)
	done := make([]bool, n)
	for range n {
		best := -1
		for t := range n {
			if !done[t] && waits[t] == 0 && (best < 0 || key(t) < key(best)) {
				best = t
			}
		}
		done[best] = true
		out = append(out, best)
		for _, a := range m.succs[best] {
			waits[a.other]--
		}
		for _, k := range m.downs[best] {
			if d := &m.Downs[k]; d.Above == best {
				under[d.Below]--
			}
		}
	}
	return out
}

// lcg is a small generator of numbers that look random and are always the same
// (Knuth, MMIX).
type lcg uint64

func (r *lcg) next(n uint32) uint32 {
	*r = *r*6364136223846793005 + 1442695040888963407
	return uint32(uint64(*r)>>33) % n
}
