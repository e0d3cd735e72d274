package plan

import (
	"cmp"
	"slices"

	"dewgap/window/verdict"
)

// option is one way to book a task: a start with a number of people.
type option struct {
	start, workTo, end int32
	day                int32
	people             int32
	goAt, marginalAt   int32 // where its members stand in the model's pool
	goN, marginalN     int32 // how many voters they are
	heat               int64
	night              bool // with the work that a night before it adds
	forced             bool // marginal, whatever lies before it
	moved              bool // elsewhere than it is held
}

// arc is an After between two tasks of the model.
type arc struct {
	other int // the earlier task for preds, the later for succs
	After
	wait int // slots of drying that fill a gap of a visit
}

// model is an input made ready to be searched.
type model struct {
	*Input
	n, words, voters int
	options          [][]option
	preds, succs     [][]arc
	apart            [][]arc2
	pool             []uint64
	minEnd, maxEnd   []int32
	minStart         []int32
	maxStart         []int32
	dayFrom          []int // first slot of each day, and the end
	clean            [][]bool
	visit            int // the shortest visit
	steps            int // of the budget used
}

// arc2 is an Apart as one of its tasks sees it.
type arc2 struct {
	other        int
	wet          bool // this task is the wet one
	before, keep int32
}

func newModel(in *Input) *model {
	m := &model{Input: in, n: len(in.Day), words: len(in.Voters), voters: count(in.Voters)}
	t := len(in.Tasks)
	m.options, m.preds, m.succs, m.apart = make([][]option, t), make([][]arc, t), make([][]arc, t), make([][]arc2, t)
	m.minEnd, m.maxEnd = make([]int32, t), make([]int32, t)
	m.minStart, m.maxStart = make([]int32, t), make([]int32, t)
	m.days()
	for i := range in.Tasks {
		m.listOptions(i)
		for _, a := range in.Tasks[i].After {
			if a.Task >= 0 {
				wait := a.Go
				if in.Stay {
					a.Go = a.Hard // being late asks for nothing
				}
				m.preds[i] = append(m.preds[i], arc{a.Task, a, wait})
				m.succs[a.Task] = append(m.succs[a.Task], arc{i, a, wait})
			}
		}
	}
	for _, a := range in.Apart {
		m.apart[a.Wet] = append(m.apart[a.Wet], arc2{a.Dry, true, int32(a.Before), int32(a.Keep)})
		m.apart[a.Dry] = append(m.apart[a.Dry], arc2{a.Wet, false, int32(a.Before), int32(a.Keep)})
	}
	m.visit = m.shortestVisit()
	return m
}

func (m *model) days() {
	m.dayFrom = make([]int, len(m.Days)+1)
	for d := range m.dayFrom {
		m.dayFrom[d], _ = slices.BinarySearch(m.Day, d)
	}
}

// shortestVisit is no longer than what the whole job takes when all work at it.
func (m *model) shortestVisit() int {
	work, people := 0, max(m.mostPeople(), 1)
	for _, t := range m.Tasks {
		work += t.Work
	}
	return min(m.Shortest, (work+people-1)/people)
}

// listOptions finds every way to book task t by itself.
func (m *model) listOptions(t int) {
	task := &m.Tasks[t]
	most := m.mostPeople()
	extra := 0
	for _, a := range task.After {
		extra = max(extra, a.Overnight)
	}
	for _, night := range []bool{false, true} {
		work, before := task.Work, -1
		if night {
			work += extra
		}
		for p := task.Least; p <= min(task.Most, most); p++ {
			slots := (work + p - 1) / p
			if slots == before || (night && extra == 0) {
				continue // more people would save no time
			}
			before = slots
			if task.Machine && m.MachineSlots > 0 && slots > m.MachineSlots {
				continue
			}
			m.starts(t, p, slots, night)
		}
	}
	slices.SortStableFunc(m.options[t], func(a, b option) int {
		return cmp.Or(cmp.Compare(a.start, b.start), cmp.Compare(a.end, b.end))
	})
}

// starts lists the options of one length for one number of people.
func (m *model) starts(t, p, slots int, night bool) {
	task := &m.Tasks[t]
	work := task.Work
	for _, a := range task.After {
		if night {
			work += a.Overnight // at most one has it
		}
	}
	end := 0 // of the workable run around s
	marginal := 0
	for s := 0; s+slots <= m.n; s++ {
		if !task.State[s].Workable() {
			continue
		}
		if end <= s {
			end, marginal = s, s
			for end < m.n && task.State[end].Workable() && m.Day[end] == m.Day[s] {
				end++
			}
		}
		for marginal < end && (marginal < s || task.State[marginal] != verdict.Marginal) {
			marginal++
		}
		if o, ok := m.option(t, s, s+slots, end, p, night); ok {
			o.forced = o.forced || marginal < int(o.end)
			if o.moved = task.Held.moves(s, slots, work); o.moved && task.Pinned {
				continue
			}
			m.options[t] = append(m.options[t], o)
		}
	}
}

// option is the block of task t that works [s, workTo) within a workable run
// that ends at last; night adds the work of a night before it.
func (m *model) option(t, s, workTo, last, p int, night bool) (option, bool) {
	task := &m.Tasks[t]
	end := workTo
	if workTo <= last && task.Tail != nil {
		end += int(task.Tail[workTo-1])
	}
	day := &m.Days[m.Day[s]]
	if end > last || p > day.People || s < day.Open+m.SetUp || end > day.Close-m.PackUp {
		return option{}, false
	}
	if task.Until != 0 && end > task.Until {
		return option{}, false
	}
	o := option{
		start: int32(s), workTo: int32(workTo), end: int32(end), day: int32(m.Day[s]), people: int32(p), night: night,
		forced: task.UntilGo != 0 && end > task.UntilGo,
	}
	for _, a := range task.After {
		if a.Task >= 0 {
			continue
		}
		ok, late := m.gap(&a, a.End, a.EndDay, &o)
		if !ok {
			return option{}, false
		}
		o.forced = o.forced || late
	}
	o.goAt, o.goN = m.share(task.Go, s, end)
	o.marginalAt, o.marginalN = m.share(task.Marginal, s, end)
	if task.Heat != nil {
		for _, h := range task.Heat[s:end] {
			o.heat += int64(h) * int64(p)
		}
	}
	return o, true
}

// share puts the voters that hold in every slot of [from, to) into the pool.
func (m *model) share(members []uint64, from, to int) (at, n int32) {
	at = int32(len(m.pool))
	m.pool = append(m.pool, m.Voters...)
	set := m.pool[at:]
	for i := from; i < to; i++ {
		and(set, set, members[i*m.words:(i+1)*m.words])
	}
	return at, int32(count(set))
}

// gap holds what lies between an end and an option's start against an After. ok
// is whether it may follow, late whether it is marginal by that.
func (m *model) gap(a *After, end, endDay int, o *option) (ok, late bool) {
	g := int(o.start) - end
	switch {
	case g < a.Hard, a.Most > 0 && g > a.Most && (a.Anew == 0 || g < a.Anew):
		return false, false
	case a.NextDay && int(o.day) <= endDay:
		return false, false
	case a.Overnight > 0 && o.night != (int(o.day) > endDay):
		return false, false
	}
	return true, g < a.Go
}

// between is gap for two options.
func (m *model) between(a *After, before, o *option) (ok, late bool) {
	return m.gap(a, int(before.end), int(before.day), o)
}

// members is the set in which a block holds, and how many voters that is.
func (m *model) members(o *option, late bool) ([]uint64, int32) {
	at, n := o.goAt, o.goN
	if o.forced || late {
		at, n = o.marginalAt, o.marginalN
	}
	return m.pool[at : int(at)+m.words], n
}

// consents reports whether a block needs the person's yes.
func (m *model) consents(o *option, late bool) bool {
	if m.Stay {
		return o.moved
	}
	return o.forced || late || int(o.goN)*2 < m.voters
}

// ways is the number of options of all tasks.
func (m *model) ways() int {
	n := 0
	for _, list := range m.options {
		n += len(list)
	}
	return n
}

// Places counts the ways to book a task by itself, whatever lies before it:
// those that need no consent, and all.
func (in *Input) Places(t Task) (clean, all int) {
	alone := *in
	t.After = nil
	alone.Tasks, alone.Apart = []Task{t}, nil
	m := newModel(&alone)
	for i := range m.options[0] {
		if !m.consents(&m.options[0][i], false) {
			clean++
		}
	}
	return clean, len(m.options[0])
}
