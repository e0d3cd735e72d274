package plan

import (
	"cmp"
	"slices"

	"dewgap/window/verdict"
)

// Solve finds the best plan, or why there is none. It fails only on an input
// that contradicts itself.
func Solve(in Input) (Result, error) {
	if in.Budget != 0 || len(in.Tasks) <= mostPacked {
		return attempt(in, true)
	}
	in.Budget = largeBudget
	r, err := attempt(in, true)
	if err != nil || r.Found || r.Refusal != nil && r.Refusal.Certain || in.Stay {
		return r, err
	}
	return harder(in, r)
}

// attempt goes about it once; why asks for the refusal where it finds no plan.
func attempt(in Input, why bool) (Result, error) {
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
	if s.whole = !s.roomy(); !s.whole {
		s.search()
	}
	if !s.x.found {
		r := Result{Steps: m.steps, Bound: s.bound()}
		if why {
			r.Refusal = s.refuse()
		}
		return r, nil
	}
	was := s.x.score
	s.neat()
	s.topDown()
	s.x.tidy(s.b, s.m.relax(s.c, many, 0))
	s.forNeatness(was)
	s.settle()
	return s.result(), nil
}

// solver goes through the criteria one by one.
type solver struct {
	m      *model
	c      chains
	b      *builder
	x      *best
	e      *ejector
	orders [][]int
	floor  Score // what no plan can beat
	proven int   // criteria proven best
	later  int   // slots by which the best plan ends later for neatness
	whole  bool  // the search has seen every plan
	quick  bool  // no ejection
	one    bool  // any plan will do
	until  int   // of the model's steps, for the search at hand
	db     *dayBound
	on     *search  // on some of the bound's days
	packed *packing // of the bound's days; nil for a job too large for it
	given  Score    // what the bounds past the second criterion were worked out for: see stands
}

// search goes through the criteria quickly first: a small job is done by then. A
// larger one is worked at for longer.
func (s *solver) search() {
	if s.m.Stay {
		s.stay()
		return
	}
	s.quick = true
	s.first()
	s.clean()
	s.members()
	s.days()
	s.prove(s.m.steps + s.share(forProof))
	if s.quick = false; s.whole || s.proven == Criteria {
		return
	}
	if s.proven < 1 {
		s.consents()
	}
	if s.proven < 2 {
		s.members()
	}
	if s.proven < 3 {
		s.days()
	} else {
		s.finish()
	}
	if s.small() {
		for until := 0; until < s.patience() && s.proven < Criteria && !s.whole; {
			until = s.patience()
			s.prove(until)
		}
	} else {
		s.prove(min(s.m.Budget, s.m.steps+s.share(forProof)))
	}
}

// enough is how many steps a small job is searched at least, where no proof ends it
// sooner. Of 250 drawn jobs five times as many made ten plans cooler, and none better in
// anything before that.
const enough = 1_000_000

// patience is up to where a small job is searched: four times as far as where the best
// plan was found, for what was found late may be bettered later still.
func (s *solver) patience() int {
	if !s.x.found {
		return s.m.Budget
	}
	return min(s.m.Budget, max(enough, 4*s.x.since))
}

// any looks for a plan, however good.
func (s *solver) any() bool {
	s.quick, s.one = true, true
	s.first()
	s.clean()
	if s.quick = false; !s.x.found {
		s.consents()
	}
	if !s.x.found {
		s.prove(s.m.Budget)
	}
	return s.x.found
}

// stay goes through the first criterion alone: what stays where it is.
func (s *solver) stay() {
	if s.first(); s.proven < 1 {
		s.consents()
	}
	if s.proven > 0 || s.m.steps >= s.m.Budget {
		return
	}
	if !s.m.newSearch(s.b, s.x, s.relaxed()).run(1, s.m.Budget) {
		return
	}
	if s.whole = !s.x.found; s.x.found {
		s.proven, s.floor.Consents = 1, s.x.score.Consents
	}
}

// mixtures is how many mixed rules of priority are tried beside the plain ones.
const mixtures = 8

func newSolver(m *model) *solver {
	s := &solver{m: m, c: m.bounds(), b: m.newBuilder(), x: m.newBest(), orders: m.orders(mixtures)}
	s.e = m.newEjector(s.x, s.b)
	s.floor = Score{Consents: max(s.c.total, m.crowded(s.c)), FivePoints: 20}
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

// roomy reports whether all days together could hold the job, as far as people,
// machine time and each chain by itself tell.
func (s *solver) roomy() bool {
	b := s.m.newDayBound(s.c, s.m.relax(s.c, many, 0))
	return b.holds(1<<len(b.days) - 1)
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

// share is a part of the budget.
func (s *solver) share(x float64) int { return int(x * float64(s.m.Budget)) }

// stands reports whether the bound of criterion i is one for plans like the best.
// The bounds of consents and members always are: what they were worked out for
// could use no less. Those of days, finish and heat allow what a plan of so many
// consents in so many members may use, so that they fall with the first better
// plan that holds in fewer members; that of the finish is for so many days besides,
// for on fewer days a job may well end earlier.
func (s *solver) stands(i int) bool {
	if i < 2 {
		return true
	}
	a, g := &s.x.score, &s.given
	return s.db != nil && a.Consents == g.Consents && a.FivePoints == g.FivePoints && (i != 3 || a.Days == g.Days)
}

// renew works out the bound of the next criterion anew where the last better plan
// has overthrown it.
func (s *solver) renew() {
	if s.proven == 2 && !s.stands(2) {
		s.days()
	}
	if s.proven == 3 && !s.stands(3) {
		s.finish()
	}
}

// settle counts the criteria in which the best plan meets the bounds that stand.
func (s *solver) settle() {
	if !s.x.found {
		return
	}
	a, b := s.x.score.parts(), s.floor.parts()
	for s.proven < Criteria && a[s.proven] == b[s.proven] && s.stands(s.proven) {
		s.proven++
	}
}

// prove searches, criterion after criterion, for anything better than the best,
// until so many steps are used.
func (s *solver) prove(until int) {
	for s.renew(); s.proven < Criteria && s.m.steps < until; s.renew() {
		if s.proven > 1 && s.db == nil {
			return // the quick search of a large job: its days are bounded later
		}
		r := s.relaxed()
		if s.proven > 2 {
			r = s.db.r
		}
		stage := s.proven + 1
		if !s.x.found {
			stage = 1
		}
		x := s.m.newSearch(s.b, s.x, r)
		done := x.run(stage, s.m.steps+(until-s.m.steps)/2)
		if x.cool = true; !done && stage == Criteria { // half the steps the other way round
			s.x.polish(s.b, r, s.share(forCooler))
			done = x.run(stage, until)
			s.x.polish(s.b, r, s.share(forCooler))
		}
		if !done {
			s.cool(until)
			return
		}
		if !s.x.found {
			s.whole = true
			return
		}
		s.fix(stage)
	}
}

// cool spends what is left of the steps on cooler hours, though what comes before
// them is not proven.
func (s *solver) cool(until int) {
	if s.quick || !s.x.found || s.db == nil || s.m.steps >= until {
		return
	}
	r := s.relaxed()
	x := s.m.newSearch(s.b, s.x, r)
	x.cool = true
	x.run(Criteria, min(until, s.m.steps+s.share(forCool)))
	s.x.polish(s.b, r, s.share(forCooler))
}

// fix takes the best plan as proven in the first n criteria, and works out the
// bounds of the next ones.
func (s *solver) fix(n int) {
	s.proven = n
	switch best := s.x.score; n {
	case 1:
		s.floor.Consents = best.Consents
		s.members()
		s.days()
	case 2:
		s.floor.FivePoints = best.FivePoints
		s.days()
	case 3:
		s.floor.Days = best.Days
		s.finish()
	case 4:
		s.floor.Finish = best.Finish
		s.cooler()
	}
}

// result reads the best plan.
func (s *solver) result() Result {
	m, b := s.m, s.x.book
	r := Result{
		Found: true, Score: s.x.score, Confidence: float64(s.x.hits) / float64(m.voters),
		Proven: s.proven, Bound: s.bound(), Steps: m.steps, Later: s.later,
	}
	r.Misses = make([]int, m.voters)
	names := s.names()
	for t := range m.Tasks {
		o := b.option(t)
		late := b.late(t)
		set, n := m.members(o, late)
		m.missed(r.Misses, set)
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

// missed counts a block for the voters that are not in the set in which it holds.
func (m *model) missed(misses []int, set []uint64) {
	k := 0
	for w, voters := range m.Voters {
		for ; voters != 0; voters &= voters - 1 {
			if set[w]&(voters&-voters) == 0 {
				misses[k]++
			}
			k++
		}
	}
}

// bound is what no plan can beat, equal to the score where that is proven. Past
// the first criterion that is not, and where its bound does not stand, it is what
// is true of any plan.
func (s *solver) bound() Score {
	best, b := &s.x.score, Score{Consents: s.floor.Consents, FivePoints: s.floor.FivePoints, Days: 1}
	known := func(i int) bool { return s.proven == i && s.stands(i) }
	if s.proven > 0 {
		b.Consents = best.Consents
	}
	if s.proven > 1 {
		b.FivePoints = best.FivePoints
	}
	if s.proven > 2 {
		b.Days = best.Days
	} else if known(2) {
		b.Days = s.floor.Days
	}
	if s.proven > 3 {
		b.Finish = best.Finish
	} else if known(3) {
		b.Finish = s.floor.Finish
	}
	if s.proven > 4 {
		b.Heat = best.Heat
	} else if known(4) {
		b.Heat = s.floor.Heat
	}
	return b
}

// names gives every block its persons, day by day.
func (s *solver) names() [][]int {
	b := s.x.book
	out := make([][]int, len(s.m.Tasks))
	for d, tasks := range b.inOrder {
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

// dryOff is what a clock that runs from a wash stands for.
var dryOff = verdict.DryOff.String()

// dried is the fewest slots since a wash that a task had to dry after, −1 where there
// is none.
func (b *book) dried(t int) int {
	least := -1
	for k := range b.m.preds[t] {
		a := &b.m.preds[t][k]
		if a.Go == 0 || a.Limit != dryOff {
			continue
		}
		if d := int(b.option(t).start - b.option(a.other).end); least < 0 || d < least {
			least = d
		}
	}
	return least
}
