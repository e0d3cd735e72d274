package plan

import (
	"cmp"
	"slices"
	"sync"

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
	soils, downs     [][]int32 // per task: those that it has part in
	repeats          [][]int32 // likewise
	dry              bool      // washes that have to be done once more count
	tidy             bool      // so do pauses within a step
	pool             []uint64
	minEnd, maxEnd   []int32
	minStart         []int32
	maxStart         []int32
	dayFrom          []int // first slot of each day, and the end
	clean            [][]bool
	dayAt            [][]int32 // per task: where the options of each day begin, and the end
	relaxed          []relaxed // relaxations made already
	visit            int       // the shortest visit
	steps            int       // of the budget used
	scratch          []option
	away             *away // nil where all are there all the time
}

// arc2 is an Apart as one of its tasks sees it.
type arc2 struct {
	other        int
	wet          bool // this task is the wet one
	before, keep int32
}

func newModel(in *Input) *model {
	m := unlisted(in)
	t := len(in.Tasks)
	m.options, m.preds, m.succs, m.apart = make([][]option, t), make([][]arc, t), make([][]arc, t), make([][]arc2, t)
	m.minEnd, m.maxEnd = make([]int32, t), make([]int32, t)
	m.minStart, m.maxStart = make([]int32, t), make([]int32, t)
	m.list()
	for i := range in.Tasks {
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
	m.parts()
	m.visit = m.shortestVisit()
	return m
}

// unlisted is a model without its options.
func unlisted(in *Input) *model {
	m := &model{Input: in, n: len(in.Day), words: len(in.Voters), voters: count(in.Voters), away: newAway(in)}
	m.days()
	return m
}

func (m *model) days() {
	m.dayFrom = make([]int, len(m.Days)+1)
	for d := range m.dayFrom {
		m.dayFrom[d], _ = slices.BinarySearch(m.Day, d)
	}
}

// shortestVisit is no longer than what the whole job takes when all work at it, at as many
// machines as there are.
func (in *Input) shortestVisit() int {
	work, tool, people := 0, 0, max(in.mostPeople(), 1)
	for _, t := range in.Tasks {
		if work += t.Work; t.Machine {
			tool += t.Work
		}
	}
	least := (work + people - 1) / people
	if n := in.Machines; n > 0 {
		least = max(least, (tool+n-1)/n)
	}
	return min(in.Shortest, least)
}

// form is how a task can be booked whatever its start: by so many people for so
// many slots, with what a night before it adds or not.
type form struct {
	people, slots, work int
	night               bool
}

// forms lists those of task t, the shortest first.
func (m *model) forms(t int) []form {
	task := &m.Tasks[t]
	extra := 0
	for _, a := range task.After {
		extra = max(extra, a.Overnight) // at most one has it
	}
	var out []form
	for _, night := range []bool{false, true} {
		work, before := task.Work, -1
		if night {
			work += extra
		}
		for p := task.Least; p <= min(task.Most, m.atOnce(t, m.mostPeople())); p++ {
			slots := (work + p - 1) / p
			if slots == before || (night && extra == 0) {
				continue // more people would save no time
			}
			before = slots
			if task.Machine && m.MachineSlots > 0 && slots > m.MachineSlots {
				continue
			}
			out = append(out, form{p, slots, work, night})
		}
	}
	slices.SortStableFunc(out, func(a, b form) int { return cmp.Compare(a.slots, b.slots) })
	return out
}

// atOnce is how many of some people may be at work on task t at once.
func (in *Input) atOnce(t, people int) int {
	if in.Machines > 0 && in.Tasks[t].Machine {
		return min(people, in.Machines)
	}
	return people
}

// list finds the options of all tasks, half of them beside the other half.
func (m *model) list() {
	lists := [2]model{*m, *m} // the options themselves they share
	var wait sync.WaitGroup
	for k := range lists {
		wait.Go(func() {
			for t := k; t < len(m.Tasks); t += len(lists) {
				lists[k].listOptions(t)
			}
		})
	}
	wait.Wait()
	m.pool = append(lists[0].pool, lists[1].pool...)
	for t := 1; t < len(m.Tasks); t += len(lists) {
		for i := range m.options[t] {
			o := &m.options[t][i]
			o.goAt, o.marginalAt = o.goAt+int32(len(lists[0].pool)), o.marginalAt+int32(len(lists[0].pool))
		}
	}
}

// listOptions finds every way to book task t by itself, by start and end.
func (m *model) listOptions(t int) {
	list := m.scratch[:0]
	m.eachOption(t, func(o option) bool {
		k := len(list)
		list = append(list, o)
		for ; k > 0 && list[k-1].start == o.start && o.before(&list[k-1]); k-- {
			list[k] = list[k-1]
		}
		list[k] = o
		return true
	})
	m.options[t], m.scratch = slices.Clone(list), list
}

// before is the order of options of one start.
func (o *option) before(x *option) bool {
	switch {
	case o.end != x.end:
		return o.end < x.end
	case o.night != x.night:
		return x.night
	default:
		return o.people < x.people
	}
}

// eachOption calls found with the options of task t, start after start, until it
// wants no more.
func (m *model) eachOption(t int, found func(option) bool) {
	task := &m.Tasks[t]
	forms, on := m.forms(t), m.newHeld(task)
	end := 0 // of the workable run around s
	marginal := 0
	for s := range m.n {
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
		for k := range forms {
			f := &forms[k]
			o, ok := m.option(t, s, end, f)
			if !ok {
				continue
			}
			o.forced = o.forced || marginal < int(o.end)
			if o.moved = task.Held.moves(s, f.slots, f.work); o.moved && task.Pinned {
				continue
			}
			on.over(&o)
			if !found(o) {
				return
			}
		}
	}
}

// option is the block of task t that begins to work at slot s of a workable run
// that ends at last.
func (m *model) option(t, s, last int, f *form) (option, bool) {
	task := &m.Tasks[t]
	workTo := s + f.slots
	if workTo > m.n {
		return option{}, false
	}
	end := workTo
	if workTo <= last && task.Tail != nil {
		end += int(task.Tail[workTo-1])
	}
	day := &m.Days[m.Day[s]]
	if end > last || f.people > day.People || s < day.Open+m.SetUp || end > day.Close-m.PackUp {
		return option{}, false
	}
	if task.Until != 0 && end > task.Until {
		return option{}, false
	}
	o := option{
		start: int32(s), workTo: int32(workTo), end: int32(end), day: int32(m.Day[s]), people: int32(f.people), night: f.night,
		forced: task.UntilGo != 0 && end > task.UntilGo,
	}
	if !m.manned(t, &o) || !m.equipped(t, &o) {
		return option{}, false
	}
	for k := range task.After {
		a := &task.After[k]
		if a.Task >= 0 {
			continue
		}
		ok, late := m.gap(a, a.End, a.EndDay, &o)
		if !ok {
			return option{}, false
		}
		o.forced = o.forced || late
	}
	return o, true
}

// held is what a task has from a slot on: the voters that hold in all of it, and
// its heat. It is carried on from one end to the next.
type held struct {
	m            *model
	task         *Task
	from, to     int
	good, asking []uint64
	heat         int64
	shared       [2]shared // the last ones of good and of asking
}

func (m *model) newHeld(task *Task) *held {
	return &held{m: m, task: task, from: -1, good: make([]uint64, m.words), asking: make([]uint64, m.words)}
}

// over notes the members and the heat of an option.
func (h *held) over(o *option) {
	m, w := h.m, h.m.words
	if int(o.start) != h.from || int(o.end) < h.to {
		h.from, h.to, h.heat = int(o.start), int(o.start), 0
		copy(h.good, m.Voters)
		copy(h.asking, m.Voters)
	}
	end := int(o.end)
	for i := range w {
		good, asking := h.good[i], h.asking[i]
		for s := h.to; s < end; s++ {
			good &= h.task.Go[s*w+i]
			asking &= h.task.Marginal[s*w+i]
		}
		h.good[i], h.asking[i] = good, asking
	}
	if h.task.Heat != nil {
		for _, heat := range h.task.Heat[h.to:end] {
			h.heat += int64(heat)
		}
	}
	h.to = end
	o.goAt, o.goN = h.shared[0].share(m, h.good)
	o.marginalAt, o.marginalN = h.shared[1].share(m, h.asking)
	o.heat = h.heat * int64(o.people)
}

// shared is where a set of voters stands in the pool, and how many they are; unset
// before there is one.
type shared struct {
	set   bool
	at, n int32
}

// share puts a set of voters into the pool, unless it is the same as the last time.
func (x *shared) share(m *model, set []uint64) (at, n int32) {
	if !x.set || !slices.Equal(m.pool[x.at:int(x.at)+m.words], set) {
		*x = shared{true, int32(len(m.pool)), int32(count(set))}
		m.pool = append(m.pool, set...)
	}
	return x.at, x.n
}

// gap holds what lies between an end and an option's start against an After. ok
// is whether it may follow, late whether it is marginal by that.
func (m *model) gap(a *After, end, endDay int, o *option) (ok, late bool) {
	g := int(o.start) - end
	switch {
	case g < a.Hard, a.Most > 0 && g > a.Most && (a.Anew == 0 || g < a.Anew):
		return false, false
	case a.NextDay && int(o.day) <= endDay, a.Since != nil && end < int(a.Since[o.start]):
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

// Place tells whether there is a way to book a task by itself, whatever lies before
// it, and one that needs no consent.
func (in *Input) Place(t Task) (found, clean bool) {
	alone := *in
	t.After = nil
	alone.Tasks, alone.Apart, alone.Soils, alone.Downs, alone.Repeats = []Task{t}, nil, nil, nil, nil
	m := unlisted(&alone)
	m.eachOption(0, func(o option) bool {
		found, clean = true, !m.consents(&o, false)
		return !clean
	})
	return found, clean
}
