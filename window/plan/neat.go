package plan

import "slices"

// What neatness counts: a change of tools; a wash above a panel that is washed already, a
// panel that is soiled, and a wash to be done again, which are worth so many changes. A
// soiled panel has to be masked or rinsed, for which nobody has booked the time: a plan that
// ends later by no more than that ends no later (common practice).
const (
	downCost   = 2
	soilCost   = 8
	repeatCost = 12
	soilSlots  = 2
)

// pauseSlots are the slots of no work after which a block of fewer than smallSlots takes its
// step up anew. Without it ten minutes' washes lie strewn over a morning for want of anything
// against that; fewer, as to walk round her with the hose, are no pause, and long work is not
// begun later to close one (common practice).
const (
	pauseSlots = 2
	smallSlots = 6
)

// How many steps neatness may take of a small job, half of its budget at most, and which
// part of the budget of one too large to be packed, where it finds plans that are better
// in other things as well.
const (
	neatSteps  = 50_000
	forNeatBig = 0.12
)

// neat looks among plans as good as the best for one that is easier to carry out: that
// soils no panel which lies clean for its film, and takes up each step as seldom as may be;
// then for one without pauses within a step; and then for one that washes none twice. Each
// comes by itself, tidied before the second: what is better in other things as well, as on
// fewer days, is found more often by whoever looks for neither.
func (s *solver) neat() {
	if s.m.Stay || s.one {
		return
	}
	s.neaten()
	s.x.tidy(s.b, s.m.relax(s.c, many, 0))
	s.m.tidy = true
	s.neaten()
	if s.m.dry = true; s.x.book.repeats() > 0 {
		s.neaten()
	}
}

// neaten looks for one such plan.
func (s *solver) neaten() {
	best := s.x.book
	if best.mess() <= best.leastMess() {
		return
	}
	l := limits{
		r: s.m.relax(s.c, many, 0), finish: int32(s.x.score.Finish + best.unbooked()), consents: -1,
		members: slices.Clone(s.x.joint), // else hardly any that is built holds in as many
	}
	for d, tasks := range best.byDay {
		if len(tasks) > 0 {
			l.days |= 1 << d
		}
	}
	steps := min(neatSteps, s.m.Budget/2)
	if !s.small() {
		steps = s.share(forNeatBig)
	}
	e := s.m.newRebuilder(s.x, s.b, 0)
	e.neat = true
	e.run(l, Criteria, false, steps)
}

// forNeatness notes what neatness has cost in the end, of the score that the best plan had
// before. Tidied, a plan may well end as early as that one; and one that is better in what
// comes before the finish ends later for that.
func (s *solver) forNeatness(was Score) {
	behind := s.x.score.Behind(was)
	if s.proven = min(s.proven, behind); behind == 3 {
		s.later = s.x.score.Finish - was.Finish
	}
}

// parts notes in which soils and runs down each task has part.
func (m *model) parts() {
	note := func(lists [][]int32, k int, tasks ...int) {
		for _, t := range tasks {
			if t >= 0 {
				lists[t] = append(lists[t], int32(k))
			}
		}
	}
	n := len(m.Tasks)
	m.soils, m.downs, m.repeats = make([][]int32, n), make([][]int32, n), make([][]int32, n)
	for k, x := range m.Soils {
		note(m.soils, k, x.By, x.Clean, x.Film)
	}
	for k, x := range m.Downs {
		note(m.downs, k, x.Above, x.Below)
	}
	for k, x := range m.Repeats {
		note(m.repeats, k, x.Wash, x.Film)
	}
}

// neater keeps a whole plan if it is sound, no worse in any criterion nor in the members
// in which it holds, and neater than the best, or as neat and better.
func (x *best) neater(b *book) bool {
	tidied := x.book.mess() - b.mess()
	if tidied < 0 || !b.sound() {
		return false
	}
	joint := make([]uint64, x.m.words)
	score, hits := b.score(joint)
	was, is := x.book.honest(x.score), b.honest(score)
	if was.Less(is) || hits < x.hits || tidied == 0 && !is.Less(was) {
		return false
	}
	x.score, x.hits, x.joint, x.since = score, hits, joint, x.m.steps
	x.book.copyFrom(b)
	return true
}

// honest is a plan's score with the time that nobody has booked.
func (b *book) honest(s Score) Score {
	s.Finish += b.unbooked()
	return s
}

// unbooked is what soiled panels take in slots, and those that are washed once more.
func (b *book) unbooked() int {
	n := 0
	for k := range b.m.Soils {
		if b.soiled(&b.m.Soils[k]) {
			n += soilSlots
		}
	}
	return n + b.repeats()
}

// repeats is what washes take that have to be done once more, in slots; 0 while that does
// not count.
func (b *book) repeats() int {
	n := 0
	for k := range b.m.Repeats {
		if b.repeated(&b.m.Repeats[k]) {
			n += b.m.Tasks[b.m.Repeats[k].Wash].Work
		}
	}
	return n
}

// mess is how far a plan is from being neat.
func (b *book) mess() int {
	mess := 0
	for k := range b.m.Soils {
		if b.soiled(&b.m.Soils[k]) {
			mess += soilCost
		}
	}
	for k := range b.m.Repeats {
		if b.repeated(&b.m.Repeats[k]) {
			mess += repeatCost
		}
	}
	for k := range b.m.Downs {
		if b.runsDown(&b.m.Downs[k]) {
			mess += downCost
		}
	}
	for d := range b.inOrder {
		mess += b.takenUp(d)
	}
	return mess
}

// leastMess is what no plan on the same days goes below: each step is taken up once on
// as few days as may be.
func (b *book) leastMess() int {
	steps := map[int]bool{}
	days := 0
	for t := range b.m.Tasks {
		steps[b.m.Tasks[t].Step] = true
	}
	for _, tasks := range b.byDay {
		if len(tasks) > 0 {
			days++
		}
	}
	return max(len(steps), days)
}

// soiled reports whether a work that is booked falls on a panel that was washed for its
// film and has not got it.
func (b *book) soiled(s *Soil) bool {
	if b.at[s.By] < 0 || b.at[s.Film] < 0 {
		return false
	}
	by := b.option(s.By)
	if by.start >= b.option(s.Film).start {
		return false
	}
	return s.Clean < 0 || b.at[s.Clean] >= 0 && by.workTo > b.option(s.Clean).workTo
}

// runsDown reports whether a panel is washed before what runs down onto it, on one day.
func (b *book) runsDown(d *Down) bool {
	if b.at[d.Above] < 0 || b.at[d.Below] < 0 {
		return false
	}
	above, below := b.option(d.Above), b.option(d.Below)
	return above.day == below.day && above.end > below.start
}

// repeated reports whether a panel is to be washed once more before its film.
func (b *book) repeated(a *Repeat) bool {
	return b.m.dry && b.at[a.Wash] >= 0 && b.at[a.Film] >= 0 && b.option(a.Wash).end < a.Since[b.option(a.Film).start]
}

// takenUp is how often a step is taken up on a day: at its first block, and at each
// before which another step has begun since the last, or nobody was at it for a while where
// that counts.
func (b *book) takenUp(day int) int {
	n := 0
	for k := range b.inOrder[day] {
		if b.takesUp(day, k) {
			n++
		}
	}
	return n
}

// takesUp reports whether the k-th block of a day takes its step up: whoever is at the
// same step when it begins, or was last and, where that counts, has not stood idle since,
// goes on with it.
func (b *book) takesUp(day, k int) bool {
	order := b.inOrder[day]
	step := b.m.Tasks[order[k]].Step
	since := int32(-1) // the start of the last block of another step, or what lies too long ago
	if o := b.option(int(order[k])); b.m.tidy && o.end-o.start < smallSlots {
		since = o.start - pauseSlots
	}
	for i := k - 1; i >= 0; i-- {
		o := b.option(int(order[i]))
		if b.m.Tasks[order[i]].Step != step {
			since = max(since, o.start)
			continue
		}
		if since < o.end {
			return false
		}
	}
	return true
}

// takenUp is the book's, counted once for all options of a day.
func (e *rebuilder) takenUp(day int) int {
	if e.taken[day] < 0 {
		e.taken[day] = e.b.book.takenUp(day)
	}
	return e.taken[day]
}

// mostTidied is what an option could at most take off the mess: then its day's blocks, and it,
// are one step's.
func (e *rebuilder) mostTidied(o *option) int {
	if !e.neat && !e.sure {
		return 0
	}
	return e.takenUp(int(o.day)) - 1
}

// untidies is what an option adds to the mess: to that of its day, where others are
// booked, and by what it soils, or is soiled by, where that counts.
func (e *rebuilder) untidies(t int, o *option) int {
	if !e.neat && !e.sure {
		return 0
	}
	book, day := e.b.book, int(o.day)
	cost := -e.takenUp(day)
	book.at[t], book.now[t] = 0, o // for as long as it is looked at
	book.insert(t, o)
	cost += book.takenUp(day)
	for _, k := range e.m.soils[t] {
		if book.soiled(&e.m.Soils[k]) {
			cost += soilCost
		}
	}
	for _, k := range e.m.downs[t] {
		if book.runsDown(&e.m.Downs[k]) {
			cost += downCost
		}
	}
	for _, k := range e.m.repeats[t] {
		if book.repeated(&e.m.Repeats[k]) {
			cost += repeatCost
		}
	}
	drop(&book.inOrder[day], t)
	book.at[t] = -1
	return cost
}
