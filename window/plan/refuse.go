package plan

import (
	"slices"

	"dewgap/window/verdict"
)

// refuseTask says why a task cannot be placed whatever the others do: no slot of
// the crew's hours, no stretch long enough, or nothing that fits what lies
// before it.
func (m *model) refuseTask(t int) *Refusal {
	if first := newModel(m.Input).forward(); first >= 0 {
		t = first
	}
	task := &m.Tasks[t]
	r := &Refusal{Certain: true, Task: t}
	var counts [verdict.Limits]int
	work, open := 0, 0
	run := 0
	for s := range m.n {
		d := &m.Days[m.Day[s]]
		if s < d.Open || s >= d.Close || d.People < 1 {
			run = 0
			continue
		}
		open++
		if task.State[s].Workable() {
			work++
			run++
			r.Longest = max(r.Longest, run)
			continue
		}
		run = 0
		counts[task.Limit[s]]++
	}
	if open == 0 {
		r.Limit, r.Share = verdict.Hours.String(), 1
		return r
	}
	switch r.Needed = m.shortestBlock(t); {
	case m.fitsWithMore(t):
		r.Limit = Polishers
		return r
	case r.Longest >= r.Needed:
		return m.refuseOrder(t, r)
	}
	most := verdict.None
	for l := range counts {
		if counts[l] > counts[most] {
			most = verdict.Limit(l)
		}
	}
	r.Limit, r.Share = most.String(), float64(counts[most])/float64(open)
	if work > 0 {
		r.Limit = verdict.Block.String()
	}
	return r
}

// shortestBlock is the length of the shortest block of a task, in slots.
func (m *model) shortestBlock(t int) int {
	task := &m.Tasks[t]
	most := 1
	for _, d := range m.Days {
		most = max(most, min(m.atOnce(t, d.People), task.Most))
	}
	n := (task.Work + most - 1) / most
	if task.Tail == nil {
		return n
	}
	tail := task.Tail[0]
	for _, x := range task.Tail {
		tail = min(tail, x)
	}
	return n + int(tail)
}

// refuseOrder says which of the things around a task leaves it no place: the one
// without which it would have one, with all before it as early as can be.
func (m *model) refuseOrder(t int, r *Refusal) *Refusal {
	task := m.Tasks[t]
	people := m.mostPeople()
	r.Limit = verdict.Order.String()
	switch {
	case people < task.Least:
		r.Limit = verdict.People.String()
		return r
	case task.Machine && m.MachineSlots > 0 && r.Needed > m.MachineSlots:
		r.Limit = verdict.Machines.String()
		return r
	}
	free := task
	free.Until, free.UntilGo = 0, 0
	if task.Until != 0 && m.fitsAfter(t, free) {
		if r.Limit = task.UntilLimit; r.Limit == "" {
			r.Limit = "must"
		}
		return r
	}
	for k := range task.After {
		free := task
		free.After = append(append([]After(nil), task.After[:k]...), task.After[k+1:]...)
		if l := task.After[k].Limit; l != "" && m.fitsAfter(t, free) {
			r.Limit, r.Behind = l, m.behind(task.After[k:k+1])
			return r
		}
	}
	r.Behind = m.behind(task.After)
	return r
}

// behind is, of the tasks before one, the last that can end and has to wait the longest
// after; nil where there is none.
func (m *model) behind(list []After) []int {
	early := newModel(m.Input)
	early.forward()
	last, ends := []int(nil), 0
	for _, a := range list {
		if a.Task < 0 {
			continue
		}
		if end := int(early.minEnd[a.Task]) + a.Hard; last == nil || end > ends {
			last, ends = []int{a.Task}, end
		}
	}
	return last
}

// fitsWithMore reports whether task t has an option after those before it with as many
// machines as anybody wants, and fewer are a limit.
func (m *model) fitsWithMore(t int) bool {
	if m.Machines == 0 {
		return false
	}
	in := *m.Input
	in.Machines = 0
	in.Tasks, in.Apart, in.Soils, in.Downs, in.Repeats = m.Tasks[:t+1], nil, nil, nil, nil
	return newModel(&in).forward() < 0
}

// fitsAfter reports whether task t, changed, has an option after those before it.
func (m *model) fitsAfter(t int, changed Task) bool {
	in := *m.Input
	in.Tasks = append(append([]Task(nil), m.Tasks[:t]...), changed)
	in.Apart, in.Soils, in.Downs, in.Repeats = nil, nil, nil, nil
	return newModel(&in).forward() < 0
}

// forward takes away what no option before allows, task by task in their order,
// and gives the first that is left without any; −1 where each has some.
func (m *model) forward() int {
	succs := m.succs
	m.succs = make([][]arc, len(succs))
	defer func() { m.succs = succs }()
	for t := range m.options {
		if m.options[t] = m.kept(t); len(m.options[t]) == 0 {
			return t
		}
		m.extremes(t)
	}
	return -1
}

// refuse says why no plan was found though each chain has a place: what must
// give way for one to be found.
func (s *solver) refuse() *Refusal {
	r := &Refusal{Certain: s.whole, Task: -1, Limit: verdict.Order.String()}
	if s.m.Stay {
		return r // whoever moves a plan asks again without
	}
	relaxed := []struct {
		limit string
		loose func(in *Input)
	}{
		{verdict.Block.String(), func(in *Input) { in.Shortest = 0 }},
		{Polishers, func(in *Input) { in.Machines = 0 }},
		{verdict.Machines.String(), func(in *Input) { in.MachineSlots = 0 }},
		{verdict.People.String(), func(in *Input) {
			in.Days = append([]Day(nil), in.Days...)
			for d := range in.Days {
				if in.Days[d].People > 0 {
					in.Days[d].People *= 8
				}
			}
			most := s.m.mostPeople() // more blocks at a time, not larger ones
			in.Tasks = slices.Clone(in.Tasks)
			for t := range in.Tasks {
				in.Tasks[t].Most = min(in.Tasks[t].Most, max(most, in.Tasks[t].Least))
			}
		}},
	}
	for _, x := range relaxed {
		if x.limit == Polishers && s.m.Machines == 0 {
			continue
		}
		in := *s.m.Input
		x.loose(&in)
		in.Budget /= 10
		m := newModel(&in)
		if m.propagate() >= 0 {
			continue
		}
		again := newSolver(m)
		if !again.roomy() {
			continue
		}
		if again.any() {
			r.Limit, r.Needed = x.limit, s.m.visit
			return r
		}
	}
	return r
}
