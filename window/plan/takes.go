package plan

// takes is what a task takes of the days by the options that it may use.
type takes struct {
	starts, ends []int32 // by day: the first start and the first end, never where it may not be done
	least        int32   // person-slots
	open         slots   // in which it may go on
	forms        []taken
}

// taken is a way in which a task takes people, whenever: used where an option that may
// be used does so.
type taken struct {
	work, people int32
	used         bool
}

// slots is a set of slots, a bit each.
type slots []uint64

func (x slots) has(s int) bool { return x[s/64]&(1<<(s%64)) != 0 }

func (x slots) add(s int) { x[s/64] |= 1 << (s % 64) }

// measure notes what every task takes.
func (b *dayBound) measure() {
	b.takes = make([]takes, len(b.m.Tasks))
	for t := range b.takes {
		b.takes[t] = b.taken(t)
	}
}

func (b *dayBound) taken(t int) takes {
	m := b.m
	x := takes{starts: make([]int32, len(m.Days)), ends: make([]int32, len(m.Days)), least: never, open: make(slots, (m.n+63)/64)}
	for d := range m.Days {
		x.starts[d], x.ends[d] = never, never
	}
	covered := int32(0) // up to here all that is open is noted, for starts never fall
	for i := range m.options[t] {
		o, use := &m.options[t][i], b.r.use[t][i]
		x.form(o, use)
		if !use {
			continue
		}
		x.starts[o.day], x.ends[o.day] = min(x.starts[o.day], o.start), min(x.ends[o.day], o.end)
		x.least = min(x.least, o.people*(o.end-o.start))
		for s := max(covered, o.start); s < o.end; s++ {
			x.open.add(int(s))
		}
		covered = max(covered, o.end)
	}
	return x
}

// form notes how an option takes people.
func (x *takes) form(o *option, use bool) {
	work := o.workTo - o.start
	for k := range x.forms {
		if f := &x.forms[k]; f.work == work && f.people == o.people {
			f.used = f.used || use
			return
		}
	}
	x.forms = append(x.forms, taken{work, o.people, use})
}
