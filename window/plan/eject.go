package plan

// ejector looks for a plan within limits by putting in one task after another
// and throwing out whatever stands in its way, the tasks first that have been
// easy to place so far (ejection search after Nagata and Bräysy, 2009). Its
// chances are drawn from a fixed row of numbers.
type ejector struct {
	m       *model
	x       *best
	b       *builder
	l       limits
	random  lcg
	penalty []int32
	bag     []int // tasks without a place
	out     []int // tasks in the way of an option
	gone    []bool
	asks    []bool // booked tasks that need consent
	asking  int    // how many they are
	fewest  int    // the smallest bag of the last run
}

func (m *model) newEjector(x *best, b *builder) *ejector {
	n := len(m.Tasks)
	return &ejector{m: m, x: x, b: b, random: 7, penalty: make([]int32, n), gone: make([]bool, n), asks: make([]bool, n)}
}

// run looks for a plan within limits that is better than the best, for so many
// steps. It begins at the best plan where there is one.
func (e *ejector) run(l limits, steps int) bool {
	m := e.m
	e.l = l
	e.start()
	e.fewest = len(m.Tasks)
	for t := range e.penalty {
		e.penalty[t] = 1
	}
	for end := m.steps + steps; m.steps < end; {
		e.fewest = min(e.fewest, len(e.bag))
		if len(e.bag) == 0 {
			if e.b.mend(l) && e.x.offer(e.b.book, Criteria) {
				return true
			}
			e.shake()
			e.count()
			continue
		}
		t := e.bag[len(e.bag)-1]
		e.bag = e.bag[:len(e.bag)-1]
		if !e.put(t) {
			return false
		}
		e.wander()
		e.count()
	}
	return false
}

// start takes over what the best plan has within the limits; the rest is to be
// placed, the first tasks first.
func (e *ejector) start() {
	e.bag = e.bag[:0]
	if e.x.found {
		e.b.book.copyFrom(e.x.book)
	} else {
		e.b.book.clear()
	}
	for t := len(e.m.Tasks) - 1; t >= 0; t-- {
		if i := e.b.book.at[t]; i >= 0 && (!e.allowed(t, int(i)) || e.m.consents(e.b.book.option(t), e.x.book.late(t))) {
			e.b.book.remove(t)
		}
		if e.b.book.at[t] < 0 {
			e.bag = append(e.bag, t)
		}
	}
	e.count()
}

// count notes which booked tasks need consent as things stand.
func (e *ejector) count() {
	e.asking = 0
	for t, i := range e.b.book.at {
		if e.asks[t] = i >= 0 && e.m.consents(&e.m.options[t][i], e.b.book.lateSoFar(t)); e.asks[t] {
			e.asking++
		}
	}
}

// shake throws out a few tasks by chance.
func (e *ejector) shake() {
	for range 1 + len(e.m.Tasks)/8 {
		t := int(e.random.next(uint32(len(e.m.Tasks))))
		if e.b.book.at[t] >= 0 {
			e.b.book.remove(t)
			e.bag = append(e.bag, t)
		}
	}
	e.m.steps += len(e.m.Tasks)
}

// allowed holds an option against the limits alone.
func (e *ejector) allowed(t, i int) bool {
	o := &e.m.options[t][i]
	if !e.l.r.use[t][i] || o.end > e.l.finish || (e.l.days != 0 && e.l.days&(1<<o.day) == 0) {
		return false
	}
	return e.l.members == nil || e.b.keeps(o, e.l)
}

// put places a task where nothing is in its way, the first such place from the
// beginning or from anywhere; else where the least is. It is false where the
// task has no place within the limits at all.
func (e *ejector) put(t int) bool {
	m := e.m
	best, bestCost, ties := -1, int32(0), uint32(0)
	n := len(m.options[t])
	from := 0
	if e.random.next(2) == 0 {
		from = int(e.random.next(uint32(n)))
	}
	for k := range n {
		i := (from + k) % n
		if !e.allowed(t, i) {
			continue
		}
		m.steps++
		cost := e.inTheWay(t, i, bestCost)
		switch {
		case best < 0 || cost < bestCost:
			best, bestCost, ties = i, cost, 1
		case cost == bestCost:
			if ties++; e.random.next(ties) == 0 {
				best = i
			}
		}
		if best == i && cost == 0 {
			break
		}
	}
	if best < 0 || bestCost >= tooMuch {
		return false
	}
	if bestCost > 0 {
		e.penalty[t]++
	}
	e.force(t, best)
	return true
}

// force places a task at an option, whatever has to go.
func (e *ejector) force(t, i int) {
	e.inTheWay(t, i, 1<<30)
	for _, k := range e.out {
		e.eject(k)
	}
	for day := e.m.options[t][i].day; ; {
		if ok, _ := e.b.book.fits(t, i); ok || len(e.b.book.byDay[day]) == 0 {
			break
		}
		e.eject(e.cheapest(day, func(k int) bool { return e.m.Tasks[k].Machine }))
	}
	e.b.book.place(t, i)
}

func (e *ejector) eject(t int) {
	e.b.book.remove(t)
	e.bag = append(e.bag, t)
}

// cheapest is the task of a day that was easiest to place, among those that a
// test holds for if there are any.
func (e *ejector) cheapest(day int32, is func(t int) bool) int {
	best, bestIs := -1, false
	for _, k := range e.b.book.byDay[day] {
		t := int(k)
		tIs := is(t)
		if best < 0 || (tIs && !bestIs) || (tIs == bestIs && e.penalty[t] < e.penalty[best]) {
			best, bestIs = t, tIs
		}
	}
	return best
}

// inTheWay lists in e.out the tasks that would have to go for an option, and
// gives the sum of their penalties; it may stop once that is past most, unless
// nothing has been found yet.
func (e *ejector) inTheWay(t, i int, most int32) int32 {
	e.out = e.out[:0]
	o := &e.m.options[t][i]
	cost, late := e.inOrder(t, o)
	if e.m.consents(o, late) {
		cost += e.inConsent()
	}
	if most > 0 && cost > most {
		e.forget()
		return cost
	}
	cost += e.inSlots(o) + e.atTools(t, o) + e.atMachine(t, i)
	e.forget()
	return cost
}

func (e *ejector) forget() {
	for _, k := range e.out {
		e.gone[k] = false
	}
}

func (e *ejector) add(t int) int32 {
	if e.gone[t] {
		return 0
	}
	e.gone[t] = true
	e.out = append(e.out, t)
	return e.penalty[t]
}

// inOrder finds what must not lie where it lies before, after and apart.
// late tells whether the option is marginal by what then still lies before it.
func (e *ejector) inOrder(t int, o *option) (cost int32, late bool) {
	m, book := e.m, e.b.book
	for k := range m.preds[t] {
		a := &m.preds[t][k]
		if book.at[a.other] < 0 {
			continue
		}
		ok, isLate := m.between(&a.After, book.option(a.other), o)
		if !ok || (isLate && e.l.r.clean[t]) {
			cost += e.add(a.other)
		} else if isLate {
			late = true
		}
	}
	for k := range m.succs[t] {
		a := &m.succs[t][k]
		if book.at[a.other] < 0 {
			continue
		}
		ok, isLate := m.between(&a.After, o, book.option(a.other))
		if !ok || (isLate && (e.l.r.clean[a.other] || !e.asks[a.other])) {
			cost += e.add(a.other)
		}
	}
	for _, a := range m.apart[t] {
		if book.at[a.other] >= 0 && !a.apart(o, book.option(a.other)) {
			cost += e.add(a.other)
		}
	}
	return cost, late
}

// inConsent finds who must go for there to be no more consents than allowed.
func (e *ejector) inConsent() (cost int32) {
	left := e.l.consents - e.asking
	for _, k := range e.out {
		if e.asks[k] {
			left++
		}
	}
	for ; left < 1; left++ {
		e.m.steps += 1 + len(e.asks)/16
		best := -1
		for t, asks := range e.asks {
			if asks && !e.gone[t] && (best < 0 || e.penalty[t] < e.penalty[best]) {
				best = t
			}
		}
		if best < 0 {
			return cost + tooMuch
		}
		cost += e.add(best)
	}
	return cost
}

// tooMuch is a cost that no option should be worth.
const tooMuch = 1 << 16

// inSlots finds who must go for there to be enough people.
func (e *ejector) inSlots(o *option) (cost int32) {
	book := e.b.book
	most := int32(e.m.Days[o.day].People) - o.people
	for s := o.start; s < o.end; s++ {
		if book.used[s] <= most {
			continue
		}
		used := book.used[s]
		for _, k := range e.out {
			if x := book.option(k); x.start <= s && s < x.end {
				used -= x.people
			}
		}
		for used > most {
			k := e.cheapest(o.day, func(t int) bool {
				x := book.option(t)
				return !e.gone[t] && x.start <= s && s < x.end
			})
			used -= book.option(k).people
			cost += e.add(k)
		}
	}
	return cost
}

// atTools finds who must go for there to be enough machines.
func (e *ejector) atTools(t int, o *option) (cost int32) {
	m, book := e.m, e.b.book
	if book.running == nil || !m.Tasks[t].Machine {
		return 0
	}
	runs := func(k int, s int32) bool {
		x := book.option(k)
		return m.Tasks[k].Machine && x.start <= s && s < x.workTo
	}
	most := int32(m.Machines) - o.people
	for s := o.start; s < o.workTo; s++ {
		used := book.running[s]
		if used <= most {
			continue
		}
		for _, k := range e.out {
			if runs(k, s) {
				used -= book.option(k).people
			}
		}
		for used > most {
			k := e.cheapest(o.day, func(t int) bool { return !e.gone[t] && runs(t, s) })
			used -= book.option(k).people
			cost += e.add(k)
		}
	}
	return cost
}

// atMachine finds who must go for the machine time of the day's people, and for them
// themselves, to suffice, person by person.
func (e *ejector) atMachine(t, i int) (cost int32) {
	m := e.m
	day := m.options[t][i].day
	apart := m.away.on(day)
	if !apart && (m.MachineSlots == 0 || !m.Tasks[t].Machine) {
		return 0
	}
	for !e.b.book.crew.mayAdd(e.b.book, t, i, e.gone) {
		k := e.cheapest(day, func(t int) bool { return (apart || m.Tasks[t].Machine) && !e.gone[t] })
		if k < 0 || e.gone[k] {
			break
		}
		cost += e.add(k)
	}
	return cost
}

// wander moves a few tasks by chance to where nothing is in the way.
func (e *ejector) wander() {
	for range 10 {
		t := int(e.random.next(uint32(len(e.m.Tasks))))
		was := int(e.b.book.at[t])
		if was < 0 {
			continue
		}
		i := int(e.random.next(uint32(len(e.m.options[t]))))
		e.m.steps++
		if !e.allowed(t, i) {
			continue
		}
		e.b.book.remove(t)
		ok, late := e.b.book.fits(t, i)
		if !ok || (late && e.l.r.clean[t]) || e.b.pushed(t, &e.m.options[t][i]) > 0 {
			i = was
		}
		e.b.book.place(t, i)
	}
}
