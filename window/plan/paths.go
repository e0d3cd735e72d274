package plan

// paths cuts the tasks into chains, each task in one: what a chain costs on its
// own bounds what it costs among the others, and the costs of chains add up.
func (m *model) paths() [][]int {
	next := make([]int, len(m.Tasks))
	first := make([]bool, len(m.Tasks))
	for t := range next {
		next[t], first[t] = -1, true
	}
	for t := range m.Tasks {
		if p := m.mainPred(t, next); p >= 0 {
			next[p], first[t] = t, false
		}
	}
	var out [][]int
	for t := range m.Tasks {
		if !first[t] {
			continue
		}
		var path []int
		for k := t; k >= 0; k = next[k] {
			path = append(path, k)
		}
		out = append(out, path)
	}
	return out
}

// mainPred is the latest task before t that no other follows in a chain, on the
// same zone if there is one; −1 for none.
func (m *model) mainPred(t int, next []int) int {
	best := -1
	for _, a := range m.preds[t] {
		if next[a.other] >= 0 {
			continue
		}
		same := m.Tasks[a.other].Zone == m.Tasks[t].Zone
		bestSame := best >= 0 && m.Tasks[best].Zone == m.Tasks[t].Zone
		if best < 0 || (same && !bestSame) || (same == bestSame && a.other > best) {
			best = a.other
		}
	}
	return best
}

// link is all that must lie between two neighbours of a chain.
type link struct {
	hard, goLag int
	nextDay     bool
}

func (m *model) link(from, to int) link {
	var l link
	for _, a := range m.preds[to] {
		if a.other == from {
			l.hard, l.goLag = max(l.hard, a.Hard), max(l.goLag, a.Go)
			l.nextDay = l.nextDay || a.NextDay
		}
	}
	return l
}

// many stands for a cost that cannot be paid.
const many = 1 << 20

// chainCosts is, per slot e, the fewest consents of a chain that has ended by e.
func (m *model) chainCosts(path []int) []int32 {
	prev := make([]int32, m.n+1) // nothing has been done: it costs nothing
	for k, t := range path {
		var l link
		if k > 0 {
			l = m.link(path[k-1], t)
		}
		cost := make([]int32, m.n+1)
		for e := range cost {
			cost[e] = many
		}
		for i := range m.options[t] {
			o := &m.options[t][i]
			if c := m.chainCost(o, prev, l, m.clean[t][i]); c < cost[o.end] {
				cost[o.end] = c
			}
		}
		for e := 1; e <= m.n; e++ {
			cost[e] = min(cost[e], cost[e-1])
		}
		prev = cost
	}
	return prev
}

// chainCost is what an option costs after the cheapest beginning that it allows.
func (m *model) chainCost(o *option, prev []int32, l link, clean bool) int32 {
	inTime, hard := int(o.start)-l.goLag, int(o.start)-l.hard
	if l.nextDay {
		inTime, hard = min(inTime, m.dayFrom[o.day]), min(hard, m.dayFrom[o.day])
	}
	c := int32(many)
	if hard >= 0 {
		c = prev[hard] + 1
	}
	if clean && inTime >= 0 {
		c = min(c, prev[inTime])
	}
	return min(c, many)
}

// chains are the bounds that chains give.
type chains struct {
	paths    [][]int
	consents []int // of each, at least
	total    int
}

func (m *model) bounds() chains {
	c := chains{paths: m.paths()}
	for _, p := range c.paths {
		costs := m.chainCosts(p)
		c.consents = append(c.consents, int(costs[m.n]))
		c.total += int(costs[m.n])
	}
	return c
}

// relaxation is what a plan of so many consents, in at least so many members,
// may use at all. It is not written to again.
type relaxation struct {
	use   [][]bool // per task and option
	clean []bool   // per task: it must need no consent
	need  int
}

// relaxed is a relaxation with what it was made for.
type relaxed struct {
	strict bool // chains that need no consent have none
	relaxation
}

func (m *model) relax(c chains, consents, need int) relaxation {
	strict := consents == c.total
	for _, k := range m.relaxed {
		if k.strict == strict && k.need == need {
			return k.relaxation
		}
	}
	r := relaxation{use: make([][]bool, len(m.Tasks)), clean: make([]bool, len(m.Tasks)), need: need}
	for k, path := range c.paths {
		for _, t := range path {
			r.clean[t] = strict && c.consents[k] == 0
			r.use[t] = make([]bool, len(m.options[t]))
			for i := range m.options[t] {
				o := &m.options[t][i]
				n := max(o.goN, o.marginalN)
				if r.clean[t] {
					n = o.goN
				}
				r.use[t][i] = int(n) >= need && (m.clean[t][i] || !r.clean[t])
			}
		}
	}
	m.relaxed = append(m.relaxed, relaxed{strict, r})
	return r
}

// mostMembers bounds the number of members in which a plan can hold, with the
// sets that reach it, the largest first. The sets of single tasks are met with
// one another; past a number of them the bound is that of the worst single task.
func (m *model) mostMembers(r relaxation) (int, [][]uint64) {
	all := antichain{sets: [][]uint64{append([]uint64(nil), m.Voters...)}, most: mostSets}
	bound := m.voters
	meet := make([]uint64, m.words)
	for t := range m.Tasks {
		own := m.ownSets(t, r)
		if len(own.sets) == 0 {
			return 0, nil
		}
		bound = min(bound, count(own.sets[0]))
		if within(m.Voters, own.sets[0]) {
			continue
		}
		next := antichain{most: mostSets, full: all.full || own.full}
		for _, a := range all.sets {
			for _, b := range own.sets {
				and(meet, a, b)
				next.add(meet)
			}
		}
		all = next
	}
	if !all.full {
		bound = count(all.sets[0])
	}
	return bound, all.sets
}

// mostSets is how many sets of members are kept side by side.
const mostSets = 64

// ownSets are the largest sets of members in which the task alone can hold.
func (m *model) ownSets(t int, r relaxation) antichain {
	own := antichain{most: mostSets}
	for i := range m.options[t] {
		if !r.use[t][i] {
			continue
		}
		o := &m.options[t][i]
		own.add(m.pool[o.goAt : int(o.goAt)+m.words])
		if !r.clean[t] {
			own.add(m.pool[o.marginalAt : int(o.marginalAt)+m.words])
		}
		if count(own.sets[0]) == m.voters {
			break
		}
	}
	return own
}

// least is what a task costs at least in consents and heat.
func (m *model) least(t int, r relaxation) (consents int, heat int64) {
	consents, heat = 1, -1
	for i := range m.options[t] {
		if !r.use[t][i] {
			continue
		}
		if m.clean[t][i] {
			consents = 0
		}
		if h := m.options[t][i].heat; heat < 0 || h < heat {
			heat = h
		}
	}
	return consents, max(heat, 0)
}
