package plan

import "strconv"

// row is a task's options that differ in time alone, by start and by end.
type row struct {
	options []int32
	from    []int32 // by local day: where its options begin, and the end
	least   []int32 // by local day: person-slots, at least
}

// rows are the ways to book each task in plans that reach a goal: sorted into rows,
// for a task that harms no other by being done earlier, and all in one.
type rows struct {
	m           *model
	goal        Score
	need        int
	sorted, all [][]row // per task
	late        []bool  // per task: it could make another marginal, or be made so
	// crossed marks tasks at the crew's few machines of which a later start can end sooner,
	// as where the haze is shorter then: it frees the machine later all the same, so that
	// neither is the better one.
	crossed []bool
}

// newRows lists them; ok is false where a task has none.
func (m *model) newRows(r relaxation, goal Score) (x *rows, ok bool) {
	n := len(m.Tasks)
	x = &rows{
		m: m, goal: goal, need: needed(goal.FivePoints, m.voters), sorted: make([][]row, n), all: make([][]row, n), late: make([]bool, n),
		crossed: make([]bool, n),
	}
	ok = true
	for t := range m.Tasks {
		for _, arcs := range [][]arc{m.preds[t], m.succs[t]} {
			for k := range arcs {
				x.late[t] = x.late[t] || (arcs[k].Go > arcs[k].Hard && goal.Consents > 0)
			}
		}
		x.list(t, r.use[t])
		ok = ok && len(x.all[t][0].options) > 0
	}
	return x, ok
}

// list sorts the options of a task into rows. An option with another of its row
// inside it is left out: in a row, what begins later ends later.
func (x *rows) list(t int, use []bool) {
	m := x.m
	known := map[string]int{}
	all := row{}
	for i := range m.options[t] {
		if !use[i] || (x.goal.Consents == 0 && !m.clean[t][i]) {
			continue
		}
		all.options = append(all.options, int32(i))
		key := x.key(t, i)
		k, ok := known[key]
		if !ok {
			k = len(x.sorted[t])
			known[key] = k
			x.sorted[t] = append(x.sorted[t], row{})
		}
		list := x.sorted[t][k].options
		for n := len(list); n > 0 && m.options[t][list[n-1]].end >= m.options[t][i].end; n-- {
			list = list[:n-1]
			x.crossed[t] = x.crossed[t] || m.Machines > 0 && m.Tasks[t].Machine
		}
		x.sorted[t][k].options = append(list, int32(i))
	}
	x.all[t] = []row{all}
	x.all[t][0].split(m, t)
	for k := range x.sorted[t] {
		x.sorted[t][k].split(m, t)
	}
}

// split notes which options of a row lie on which day.
func (r *row) split(m *model, t int) {
	r.from, r.least = make([]int32, len(m.Days)+1), make([]int32, len(m.Days))
	for d := range r.least {
		r.from[d+1], r.least[d] = r.from[d], never
		for at := r.from[d]; int(at) < len(r.options); at++ {
			o := &m.options[t][r.options[at]]
			if int(o.day) != d {
				break
			}
			r.from[d+1], r.least[d] = at+1, min(r.least[d], o.people*(o.end-o.start))
		}
	}
}

// key tells options apart that differ in more than their time.
func (x *rows) key(t, i int) string {
	m, o := x.m, &x.m.options[t][i]
	key := strconv.AppendInt(nil, int64(o.people), 10)
	key = strconv.AppendBool(key, o.night)
	key = strconv.AppendBool(strconv.AppendBool(key, m.clean[t][i]), o.forced)
	if !x.sets() {
		return string(key)
	}
	for _, at := range []int32{o.goAt, o.marginalAt} {
		for _, w := range m.pool[at : int(at)+m.words] {
			key = strconv.AppendUint(append(key, ' '), w, 16)
		}
	}
	return string(key)
}

// sets reports whether it counts in which members a block holds.
func (x *rows) sets() bool {
	return x.need > 0 && (x.need < x.m.voters || x.goal.Consents > 0)
}
