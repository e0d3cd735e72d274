package plan

import "dewgap/window/verdict"

// refuseTask says why a task cannot be placed whatever the others do: no slot of
// the crew's hours, no stretch long enough, or nothing that fits what lies
// before it.
func (m *model) refuseTask(t int) *Refusal {
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
	r.Needed = m.shortestBlock(t)
	if r.Longest >= r.Needed {
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
		most = max(most, min(d.People, task.Most))
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

// refuseOrder says which of the things around a task leaves it no place.
func (m *model) refuseOrder(t int, r *Refusal) *Refusal {
	task := &m.Tasks[t]
	people := 0
	for _, d := range m.Days {
		people = max(people, d.People)
	}
	switch {
	case people < task.Least:
		r.Limit = verdict.People.String()
	case task.Machine && m.MachineSlots > 0 && r.Needed > m.MachineSlots:
		r.Limit = verdict.Machines.String()
	case task.Until != 0 && task.UntilLimit != "":
		r.Limit = task.UntilLimit
	default:
		r.Limit = verdict.Order.String()
		for _, a := range task.After {
			if a.Limit != "" && (a.Hard > 0 || a.Most > 0 || a.NextDay) {
				r.Limit = a.Limit
			}
		}
	}
	return r
}

// refuse says why no plan was found though each chain has a place: what must
// give way for one to be found.
func (s *solver) refuse() *Refusal {
	r := &Refusal{Certain: s.whole, Task: -1, Limit: verdict.Order.String()}
	relaxed := []struct {
		limit verdict.Limit
		loose func(in *Input)
	}{
		{verdict.Block, func(in *Input) { in.Shortest = 0 }},
		{verdict.Machines, func(in *Input) { in.MachineSlots = 0 }},
		{verdict.People, func(in *Input) {
			in.Days = append([]Day(nil), in.Days...)
			for d := range in.Days {
				if in.Days[d].People > 0 {
					in.Days[d].People *= 8
				}
			}
		}},
	}
	for _, x := range relaxed {
		in := *s.m.Input
		x.loose(&in)
		in.Budget /= 10
		m := newModel(&in)
		if m.propagate() >= 0 {
			continue
		}
		again := newSolver(m)
		if again.search(); again.x.found {
			r.Limit, r.Needed = x.limit.String(), s.m.visit
			return r
		}
	}
	return r
}
