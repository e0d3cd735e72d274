package plan

import (
	"cmp"
	"slices"

	"dewgap/window/verdict"
)

// Solve finds the best plan, or why there is none. It fails only on an input
// that contradicts itself.
func Solve(in Input) (Result, error) {
	if err := in.check(); err != nil {
		return Result{}, err
	}
	if in.Budget == 0 {
		in.Budget = DefaultBudget
	}
	if len(in.Tasks) == 0 {
		return Result{Found: true, Confidence: 1, Score: Score{FivePoints: 20}, Bound: Score{FivePoints: 20}, Proven: Criteria}, nil
	}
	m := newModel(&in)
	if t := m.propagate(); t >= 0 {
		return Result{Refusal: m.refuseTask(t), Steps: m.steps}, nil
	}
	s := newSolver(m)
	if t := s.deadChain(); t >= 0 {
		return Result{Refusal: m.refuseTask(t), Steps: m.steps}, nil
	}
	s.first()
	s.members()
	s.days()
	s.prove()
	if !s.x.found {
		return Result{Refusal: s.refuse(), Steps: m.steps}, nil
	}
	return s.result(), nil
}

// solver goes through the criteria one by one.
type solver struct {
	m      *model
	c      chains
	b      *builder
	x      *best
	orders [][]int
	floor  Score // what no plan can beat
	proven int   // criteria proven best
	whole  bool  // the search has seen every plan
	sets   []daySet
	db     *dayBound
}

// mixtures is how many mixed rules of priority are tried beside the plain ones.
const mixtures = 8

func newSolver(m *model) *solver {
	s := &solver{m: m, c: m.bounds(), b: m.newBuilder(), x: m.newBest(), orders: m.orders(mixtures)}
	s.floor = Score{Consents: s.c.total, FivePoints: 20}
	return s
}

// deadChain is the last task of a chain that cannot be done at all, −1 if there
// is none.
func (s *solver) deadChain() int {
	for k, n := range s.c.consents {
		if n >= many {
			p := s.c.paths[k]
			for i := 1; i <= len(p); i++ {
				if s.m.chainCosts(p[:i])[s.m.n] >= many {
					return p[i-1]
				}
			}
		}
	}
	return -1
}

// relaxed is what plans as good as the best may use.
func (s *solver) relaxed() relaxation {
	if !s.x.found {
		return s.m.relax(s.c, many, 0)
	}
	need := 0
	if s.proven >= 1 {
		need = needed(s.x.score.FivePoints, s.m.voters)
	}
	return s.m.relax(s.c, s.x.score.Consents, need)
}

// first builds plans by every rule: with no more consents than each chain needs,
// and if none comes of it, with any.
func (s *solver) first() {
	for _, consents := range []int{s.c.total, many} {
		l := limits{r: s.m.relax(s.c, consents, 0), finish: int32(s.m.n)}
		s.tryAll(l, s.orders)
		if s.x.found {
			break
		}
	}
	s.settle()
}

func (s *solver) tryAll(l limits, orders [][]int) bool {
	better := false
	for _, o := range orders {
		for _, solo := range []bool{false, true} {
			better = s.b.try(s.x, l, rule{order: o, solo: solo}) || better
		}
	}
	return better
}

// settle counts the criteria in which the best plan meets the bounds, as far as
// the bounds have been worked out.
func (s *solver) settle() {
	if !s.x.found {
		return
	}
	a, b := s.x.score.parts(), s.floor.parts()
	for s.proven < Criteria && a[s.proven] == b[s.proven] && s.bounded(s.proven) {
		s.proven++
	}
}

// bounded reports whether the bound of criterion i rests on the best in all
// criteria before.
func (s *solver) bounded(i int) bool {
	switch i {
	case 0, 1:
		return true
	case 2, 3:
		return s.db != nil
	}
	return true
}

// members looks for a plan that holds in as many members as can be.
func (s *solver) members() {
	if !s.x.found || s.proven < 1 {
		return
	}
	most, sets := s.m.mostMembers(s.relaxed())
	s.floor.FivePoints = fivePoints(most, s.m.voters)
	for p := s.floor.FivePoints; p > s.x.score.FivePoints; p-- {
		need := needed(p, s.m.voters)
		l := limits{r: s.m.relax(s.c, s.x.score.Consents, need), need: need, finish: int32(s.m.n)}
		if s.holding(l, sets) {
			break
		}
	}
	s.settle()
}

// mostTried is how many sets of members are tried to build a plan in.
const mostTried = 8

// holding builds plans that hold in enough members.
func (s *solver) holding(l limits, sets [][]uint64) bool {
	for i, set := range sets {
		if i >= mostTried || count(set) < l.need {
			break
		}
		l.members = set
		if s.tryAll(l, s.orders[:6]) {
			return true
		}
	}
	l.members = nil
	better := false
	for _, o := range s.orders[:6] {
		better = s.b.try(s.x, l, rule{order: o, keep: true}) || better
		better = s.b.try(s.x, l, rule{order: o}) || better
	}
	return better
}

// days looks for a plan on the fewest days, then for one that ends earlier on as
// many.
func (s *solver) days() {
	if !s.x.found || s.proven < 2 {
		return
	}
	s.db = s.m.newDayBound(s.c, s.relaxed())
	size := 1
	for size <= s.x.score.Days {
		size, s.sets = s.db.smallest(size, s.x.score.Days)
		if s.floor.Days == 0 {
			s.floor.Days = size
		}
		if size >= s.x.score.Days || len(s.sets) == 0 || s.onFewer(size) {
			break
		}
		size++
	}
	s.settle()
	if s.proven >= 3 && len(s.sets) > 0 {
		s.floor.Finish = int(s.sets[0].finish)
	}
	s.earlier()
	s.floor.Heat = 0
	for t := range s.m.Tasks {
		_, heat := s.m.least(t, s.db.r)
		s.floor.Heat += heat
	}
	s.x.polish(s.b, s.db.r, s.m.Budget/20)
	s.settle()
}

// onFewer builds plans on the sets of days of that size.
func (s *solver) onFewer(size int) bool {
	for i := range s.sets {
		if i >= mostDaySets || s.spent(0.4) {
			break
		}
		l := limits{r: s.db.r, days: s.dayBits(s.sets[i].set), need: s.db.r.need, members: s.x.joint, finish: int32(s.m.n)}
		if s.tryAll(l, s.orders[:6]) && s.x.score.Days <= size {
			return true
		}
	}
	return false
}

// spent reports whether a share of the budget is used.
func (s *solver) spent(share float64) bool { return float64(s.m.steps) > share*float64(s.m.Budget) }

// dayBits turns a set of the day bound's days into one of local days.
func (s *solver) dayBits(set uint64) uint64 {
	var out uint64
	for k, d := range s.db.days {
		if set&(1<<k) != 0 {
			out |= 1 << d
		}
	}
	return out
}

// earlier looks for plans that end earlier, on each set of days that could.
func (s *solver) earlier() {
	for i := range s.sets {
		if i >= mostDaySets || int(s.sets[i].finish) >= s.x.score.Finish || s.spent(0.5) {
			break
		}
		l := limits{r: s.db.r, days: s.dayBits(s.sets[i].set), need: s.db.r.need, members: s.x.joint}
		for n := range s.orders {
			l.finish = int32(s.x.score.Finish) - 1
			s.b.try(s.x, l, rule{order: s.orders[n]})
		}
	}
	if s.x.score.Finish > s.floor.Finish && len(s.m.Tasks) > 1 {
		s.x.rebuild(s.b, s.db.r, 0, s.orders, s.m.Budget/5)
	}
}

// prove searches, criterion after criterion, for anything better than the best.
func (s *solver) prove() {
	for s.proven < Criteria {
		if s.db == nil || s.proven <= 2 {
			s.db = s.m.newDayBound(s.c, s.relaxed())
		}
		stage := s.proven + 1
		if !s.x.found {
			stage = 1
		}
		limit := s.m.steps + max(0, s.m.Budget-s.m.steps)/2
		if stage == Criteria {
			limit = s.m.Budget
		}
		if !s.m.newSearch(s.b, s.x, s.db, s.floor).run(stage, limit) {
			return
		}
		if !s.x.found {
			s.whole = true
			return
		}
		s.fix(stage)
	}
}

// fix takes the best plan as proven in the first n criteria, and works out the
// bounds of the next ones.
func (s *solver) fix(n int) {
	s.proven = n
	switch best := s.x.score; n {
	case 1:
		s.floor.Consents = best.Consents
		s.floor.FivePoints = 20
		s.members()
		if s.proven >= 2 {
			s.floor.Days, s.db = 0, nil
			s.days()
		}
	case 2:
		s.floor.FivePoints, s.floor.Days, s.db = best.FivePoints, 0, nil
		s.days()
	case 3:
		s.floor.Days, s.floor.Finish = best.Days, 0
		if _, s.sets = s.db.smallest(best.Days, best.Days); len(s.sets) > 0 {
			s.floor.Finish = int(s.sets[0].finish)
		}
		s.earlier()
		s.settle()
	case 4:
		s.floor.Finish = best.Finish
		s.x.polish(s.b, s.db.r, s.m.Budget/20)
		s.settle()
	}
}

// result reads the best plan.
func (s *solver) result() Result {
	m, b := s.m, s.x.book
	r := Result{
		Found: true, Score: s.x.score, Confidence: float64(s.x.hits) / float64(m.voters),
		Proven: s.proven, Bound: s.bound(), Steps: m.steps,
	}
	names := s.names()
	for t := range m.Tasks {
		o := b.option(t)
		late := b.late(t)
		_, n := m.members(o, late)
		x := Block{
			Task: t, From: int(o.start), To: int(o.end), WorkTo: int(o.workTo), People: names[t], State: verdict.Go,
			Confidence: float64(n) / float64(m.voters), Consent: m.consents(o, late), Dried: b.dried(t), Rewash: o.night,
		}
		if o.forced || late {
			x.State = verdict.Marginal
		}
		r.Blocks = append(r.Blocks, x)
	}
	slices.SortFunc(r.Blocks, func(x, y Block) int {
		return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.Task, y.Task))
	})
	return r
}

// bound is what no plan can beat, equal to the score where that is proven; past
// the first criterion that is not, nothing is known.
func (s *solver) bound() Score {
	b := s.floor
	best := s.x.score
	if s.proven > 0 {
		b.Consents = best.Consents
	}
	if s.proven > 1 {
		b.FivePoints = best.FivePoints
	}
	if s.proven > 2 {
		b.Days = best.Days
	}
	if s.proven > 3 {
		b.Finish = best.Finish
	}
	if s.proven > 4 {
		b.Heat = best.Heat
	}
	return b
}

// names gives every block its persons, day by day.
func (s *solver) names() [][]int {
	b := s.x.book
	out := make([][]int, len(s.m.Tasks))
	for d, tasks := range b.byDay {
		c := b.crew
		c.tasks = append(c.tasks[:0], tasks...)
		c.assign(b, d)
		for k, t := range c.tasks {
			for _, p := range c.names[k] {
				out[t] = append(out[t], p+1)
			}
		}
	}
	return out
}

// dried is the fewest slots since a task that this one had to wait for, −1 where
// there is none.
func (b *book) dried(t int) int {
	least := -1
	for k := range b.m.preds[t] {
		a := &b.m.preds[t][k]
		if a.Go == 0 {
			continue
		}
		if d := int(b.option(t).start - b.option(a.other).end); least < 0 || d < least {
			least = d
		}
	}
	return least
}
