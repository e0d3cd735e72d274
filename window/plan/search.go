package plan

import "sort"

// search is a depth-first search over all plans that could be better than the
// best in the first few criteria.
type search struct {
	*builder
	x      *best
	r      relaxation
	db     *dayBound
	stage  int // criteria that count
	limit  int // of the model's steps
	order  []int
	path   []int // per task: its chain
	place  []int // per task: its place there
	joints [][]uint64
	rest   []Score // per place in the order: the least that what follows costs
	all    uint64
	floor  Score // what no plan can beat
}

// node is what is settled on the way down.
type node struct {
	consents, days int
	finish         int32
	heat           int64
}

func (m *model) newSearch(b *builder, x *best, db *dayBound, floor Score) *search {
	r, c := db.r, db.c
	s := &search{
		builder: b, x: x, r: r, db: db, floor: floor,
		path: make([]int, len(m.Tasks)), place: make([]int, len(m.Tasks)),
	}
	s.all = 1<<len(s.db.days) - 1
	for k, p := range c.paths {
		for i, t := range p {
			s.path[t], s.place[t] = k, i
		}
	}
	keys := make([]int64, len(m.Tasks))
	for t := range keys {
		keys[t] = int64(m.maxStart[t])
	}
	s.order = m.ordered(keys)
	s.rest = make([]Score, len(s.order)+1)
	for k := len(s.order) - 1; k >= 0; k-- {
		consents, heat := m.least(s.order[k], r)
		s.rest[k] = Score{Consents: s.rest[k+1].Consents + consents, Heat: s.rest[k+1].Heat + heat}
	}
	for range len(s.order) + 1 {
		s.joints = append(s.joints, make([]uint64, m.words))
	}
	copy(s.joints[0], m.Voters)
	return s
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

// run searches; true: the best plan is proven in the criteria that count.
func (s *search) run(stage, limit int) bool {
	s.stage, s.limit = stage, limit
	s.book.clear()
	return s.down(0, node{})
}

// down books the tasks from place k of the order on. It is false where the
// budget ran out.
func (s *search) down(k int, n node) bool {
	if k == len(s.order) {
		s.x.offer(s.book, s.stage)
		return true
	}
	m, t := s.m, s.order[k]
	from := s.earliest(t)
	list := m.options[t]
	for i := sort.Search(len(list), func(j int) bool { return list[j].start >= from }); i < len(list); i++ {
		if m.steps >= s.limit {
			return false
		}
		if !s.r.use[t][i] {
			continue
		}
		ok, late := s.book.fits(t, i)
		if !ok {
			continue
		}
		next, worth := s.step(k, t, &list[i], late, n)
		if !worth {
			continue
		}
		s.book.place(t, i)
		done := s.down(k+1, next)
		s.book.remove(t)
		if !done {
			return false
		}
	}
	return true
}

// step is the node below with task t at an option, and whether anything under it
// could be better than the best.
func (s *search) step(k, t int, o *option, late bool, n node) (node, bool) {
	m := s.m
	set, _ := m.members(o, late)
	and(s.joints[k+1], s.joints[k], set)
	if m.consents(o, late) {
		n.consents++
	}
	if len(s.book.byDay[o.day]) == 0 {
		n.days++
	}
	n.heat += o.heat
	path := s.db.c.paths[s.path[t]]
	n.finish = max(n.finish, s.db.chainEnd(path, s.all, s.place[t]+1, o.end))
	if n.finish == never {
		return n, false
	}
	if !s.x.found {
		return n, true
	}
	rest := &s.rest[k+1]
	least := Score{
		Consents:   max(n.consents+rest.Consents, s.floor.Consents),
		FivePoints: min(fivePoints(count(s.joints[k+1]), m.voters), s.floor.FivePoints),
		Days:       max(n.days, s.floor.Days), Finish: max(int(n.finish), s.floor.Finish),
		Heat: max(n.heat+rest.Heat, s.floor.Heat),
	}
	return n, least.lessIn(s.x.score, s.stage)
}
