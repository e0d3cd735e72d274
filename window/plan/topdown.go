package plan

import "slices"

// topDown takes a day's washes of a step out together, where one stands before what runs
// down onto it, and puts them back from the top down, each as early as may be; and where
// that does not do, any two of them. It is kept where that is neater. By chance hardly
// ever all of them are torn out at once.
func (s *solver) topDown() {
	if s.m.Stay || s.one {
		return
	}
	for d := range s.m.Days {
		for _, group := range s.x.book.upsideDown(d) {
			if s.putBack(d, group) {
				continue
			}
			for _, k := range s.x.book.downsOn(d) {
				x := &s.m.Downs[k]
				if slices.Contains(group, x.Above) && s.x.book.runsDown(x) {
					s.putBack(d, []int{x.Above, x.Below})
				}
			}
		}
	}
}

// putBack takes tasks of a day out of the best plan and books them there again one after the
// other.
func (s *solver) putBack(day int, tasks []int) bool {
	b := s.b
	b.book.copyFrom(s.x.book)
	for _, t := range tasks {
		b.book.remove(t)
	}
	l := limits{r: s.m.relax(s.c, many, 0), finish: int32(s.m.n), days: 1 << day}
	return b.fill(l, rule{order: tasks, keep: true}) && s.x.neater(b.book)
}

// downsOn are the runs down of which both washes stand on a day.
func (b *book) downsOn(day int) []int {
	var out []int
	for k := range b.m.Downs {
		x := &b.m.Downs[k]
		if int(b.option(x.Above).day) == day && int(b.option(x.Below).day) == day {
			out = append(out, k)
		}
	}
	return out
}

// upsideDown lists the tasks of each step of a day of which one is washed before what runs
// down onto it, what lies above before what lies below, else as they begin.
func (b *book) upsideDown(day int) [][]int {
	var out [][]int
	var steps []int
	downs := b.downsOn(day)
	for _, k := range downs {
		x := &b.m.Downs[k]
		if step := b.m.Tasks[x.Above].Step; b.runsDown(x) && !slices.Contains(steps, step) {
			steps, out = append(steps, step), append(out, b.fromTop(day, step, downs))
		}
	}
	return out
}

// fromTop lists the tasks of a step on a day, none before what runs down onto it.
func (b *book) fromTop(day, step int, downs []int) []int {
	var out, seen []int
	var add func(t int)
	add = func(t int) {
		if slices.Contains(seen, t) {
			return
		}
		seen = append(seen, t)
		for _, k := range downs {
			if x := &b.m.Downs[k]; x.Below == t {
				add(x.Above)
			}
		}
		out = append(out, t)
	}
	for _, t := range b.inOrder[day] {
		if b.m.Tasks[t].Step == step {
			add(int(t))
		}
	}
	return out
}
