package plan

// nearby is what is booked of all that bears on a task, gathered once for its many options.
type nearby struct {
	before []follows // what it follows …
	after  []follows // … and what follows it
	apart  []keeps
	pushes []int // an option that ends later than this makes one that follows it marginal
}

// follows is a booked task before or after another.
type follows struct {
	by *After
	o  *option
}

// keeps is a booked task that water keeps apart from another.
type keeps struct {
	by arc2
	o  *option
}

// gather lists what is booked round task t.
func (n *nearby) gather(b *book, t int) {
	m := b.m
	n.before, n.after, n.apart, n.pushes = n.before[:0], n.after[:0], n.apart[:0], n.pushes[:0]
	for k := range m.preds[t] {
		if a := &m.preds[t][k]; b.at[a.other] >= 0 {
			n.before = append(n.before, follows{&a.After, b.option(a.other)})
		}
	}
	for k := range m.succs[t] {
		a := &m.succs[t][k]
		if b.at[a.other] < 0 {
			continue
		}
		o := b.option(a.other)
		n.after = append(n.after, follows{&a.After, o})
		if !m.consents(o, false) {
			n.pushes = append(n.pushes, int(o.start)-a.Go)
		}
	}
	for _, a := range m.apart[t] {
		if b.at[a.other] >= 0 {
			n.apart = append(n.apart, keeps{a, b.option(a.other)})
		}
	}
}

// ordered is the book's, for an option of the task.
func (n *nearby) ordered(m *model, o *option) (ok, late bool) {
	for k := range n.before {
		x := &n.before[k]
		fits, isLate := m.between(x.by, x.o, o)
		if !fits {
			return false, false
		}
		late = late || isLate
	}
	for k := range n.after {
		if fits, _ := m.between(n.after[k].by, o, n.after[k].o); !fits {
			return false, false
		}
	}
	for k := range n.apart {
		if !n.apart[k].by.apart(o, n.apart[k].o) {
			return false, false
		}
	}
	return true, late
}

// pushed is how many booked tasks an option before them makes marginal.
func (n *nearby) pushed(o *option) int {
	pushed := 0
	for _, end := range n.pushes {
		if int(o.end) > end {
			pushed++
		}
	}
	return pushed
}
