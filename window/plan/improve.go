package plan

// best is the best plan so far.
type best struct {
	m     *model
	found bool
	book  *book
	score Score
	hits  int // voters in which it holds
	joint []uint64
	since int // the model's steps when it was found
}

func (m *model) newBest() *best {
	return &best{m: m, book: m.newBook(), joint: make([]uint64, m.words)}
}

// sound reports whether the visits of a whole plan are long enough, and there are persons
// for all of its blocks.
func (b *book) sound() bool { return b.short() == 0 && (b.m.away == nil || b.persons(true)) }

// offer keeps a whole plan if it is sound and better in the first n criteria.
func (x *best) offer(b *book, n int) bool {
	if !b.sound() {
		return false
	}
	joint := make([]uint64, x.m.words)
	score, hits := b.score(joint)
	if x.found && !score.lessIn(x.score, n) {
		return false
	}
	x.found, x.score, x.hits, x.joint, x.since = true, score, hits, joint, x.m.steps
	x.book.copyFrom(b)
	return true
}

// try builds a plan, mends its visits and offers it.
func (b *builder) try(x *best, l limits, r rule) {
	if b.build(l, r) && b.mend(l) {
		x.offer(b.book, Criteria)
	}
}

// mend moves blocks until every visit is long enough; false where it cannot.
func (b *builder) mend(l limits) bool {
	lack := b.book.short()
	for rounds := 0; lack > 0 && rounds < 2*len(b.m.Days)+4; rounds++ {
		less := b.mendOnce(l, lack)
		if less == lack {
			return false
		}
		lack = less
	}
	return lack == 0
}

// mendOnce makes the first move that leaves less lacking: of a block of a visit
// that is too short to anywhere, or of any block to that visit's day.
func (b *builder) mendOnce(l limits, lack int) int {
	for d := range b.book.byDay {
		if b.book.shortOn(d) == 0 {
			continue
		}
		for t := range b.m.Tasks {
			own := int(b.book.option(t).day) == d
			if less := b.moveFor(t, d, own, l, lack); less < lack {
				return less
			}
		}
	}
	return lack
}

// moveFor moves task t where that leaves less lacking, and tells what is. A block
// bears on nothing but the visits of its own day.
func (b *builder) moveFor(t, day int, anywhere bool, l limits, lack int) int {
	m := b.m
	was := int(b.book.at[t])
	from := int(m.options[t][was].day)
	rest := lack - b.book.shortOn(from)
	b.book.remove(t)
	rest += b.book.shortOn(from)
	to, without := -1, 0
	first, _ := b.begin(t, false)
	last, _ := b.begin(t, true)
	if !anywhere {
		first, last = max(first, int(m.dayAt[t][day])), min(last, int(m.dayAt[t][day+1])-1)
	}
	for i := first; i <= last; i++ {
		o := &m.options[t][i]
		if i == was || !l.r.use[t][i] || o.end > l.finish ||
			(l.days != 0 && l.days&(1<<o.day) == 0) || (l.members != nil && !b.keeps(o, l)) {
			continue
		}
		if ok, late := b.book.fits(t, i); !ok || (l.r.clean[t] && late) {
			continue
		}
		if int(o.day) != to {
			to = int(o.day)
			without = b.book.shortOn(to)
		}
		b.book.place(t, i)
		if less := rest - without + b.book.shortOn(to); less < lack {
			return less
		}
		b.book.remove(t)
		m.steps++
	}
	b.book.place(t, was)
	return lack
}

func (b *builder) keeps(o *option, l limits) bool {
	set, _ := b.m.members(o, false)
	return within(l.members, set)
}

// polish moves single blocks of the best plan while that makes it better.
func (x *best) polish(b *builder, r relaxation, budget int) {
	end := x.m.steps + budget
	for again := true; again && x.m.steps < end; {
		again = false
		b.book.copyFrom(x.book)
		for t := range x.m.Tasks {
			if x.polishOne(b, t, r) {
				again = true
			}
			if x.m.steps >= end {
				return
			}
		}
	}
}

// polishOne tries every other place of one task, and keeps the book at the best.
func (x *best) polishOne(b *builder, t int, r relaxation) bool {
	moved := false
	for i := range x.m.options[t] {
		o, now := &x.m.options[t][i], b.book.option(t)
		cooler, earlier := o.heat < now.heat, int(now.end) == x.score.Finish && o.end < now.end
		alone := o.day != now.day && len(b.book.byDay[now.day]) == 1
		if !r.use[t][i] || !(cooler || earlier || alone) {
			continue
		}
		was := int(b.book.at[t])
		b.book.remove(t)
		if ok, _ := b.book.fits(t, i); ok {
			b.book.place(t, i)
			x.m.steps += len(x.m.Tasks) / 4
			if x.offer(b.book, Criteria) {
				moved = true
				continue
			}
			b.book.remove(t)
		}
		b.book.place(t, was)
	}
	return moved
}

// tidy moves blocks to the earliest places that cost nothing in any criterion, nor in
// neatness, so that no gap is left that a person would wonder at.
func (x *best) tidy(b *builder, r relaxation) {
	joint := make([]uint64, x.m.words)
	b.book.copyFrom(x.book)
	for range 3 {
		moved := false
		for _, t := range x.byStart() {
			moved = x.tidyOne(b, t, r, joint) || moved
		}
		if !moved {
			return
		}
	}
}

// byStart lists the tasks by their starts in the best plan.
func (x *best) byStart() []int {
	keys := make([]int64, len(x.m.Tasks))
	for t := range keys {
		keys[t] = int64(x.book.option(t).start)
	}
	return x.m.ordered(keys)
}

func (x *best) tidyOne(b *builder, t int, r relaxation, joint []uint64) bool {
	was, mess := int(b.book.at[t]), x.book.mess()
	from := x.m.options[t][was].start
	b.book.remove(t)
	first, _ := b.begin(t, false)
	for i := first; i < len(x.m.options[t]) && x.m.options[t][i].start < from; i++ {
		if !r.use[t][i] {
			continue
		}
		if ok, _ := b.book.fits(t, i); !ok {
			continue
		}
		b.book.place(t, i)
		if score, hits := b.book.score(joint); !x.score.Less(score) && hits >= x.hits && b.book.mess() <= mess && b.book.sound() {
			x.score, x.hits, x.joint = score, hits, append([]uint64(nil), joint...)
			x.book.copyFrom(b.book)
			return true
		}
		b.book.remove(t)
	}
	b.book.place(t, was)
	return false
}
