package plan

// How much of the budget each criterion's search for better plans may take; what
// is left is for proving.
const (
	forFirst      = 0.25
	forFirstBig   = 0.35 // of a job too large to be packed: little else helps there
	forQuick      = 0.03
	forProof      = 0.05 // of the quick search
	forConsents   = 0.15
	forRebuilt    = 0.15 // beside it, for fewer consents …
	forRebuiltBig = 0.40 // … of a job too large to be packed: ejection helps little there
	forMembers    = 0.15
	forSurer      = 0.15 // beside it, in more members still
	forDays       = 0.35
	forFinish     = 0.20
	forCooler     = 0.05
	forCool       = 0.10 // where what comes before is not proven
)

// allow sets how many steps the search that begins may take.
func (s *solver) allow(share float64) {
	if s.quick && !s.packed.strong() {
		share = forQuick
	}
	s.until = min(s.m.steps+s.share(share), s.m.Budget)
}

// spent reports whether they are used; left is how many are not.
func (s *solver) spent() bool { return s.m.steps >= s.until }
func (s *solver) left() int   { return s.until - s.m.steps }

// first builds plans by every rule: with no more consents than each chain needs,
// and if none comes of it, with any. Then it looks for fewer consents.
func (s *solver) first() {
	s.until = min(s.m.steps+s.share(forFirst), s.m.Budget)
	if !s.small() {
		s.until = min(s.m.steps+s.share(forFirstBig), s.m.Budget)
	}
	for _, consents := range []int{s.c.total, many} {
		l := limits{r: s.m.relax(s.c, consents, 0), finish: int32(s.m.n)}
		s.tryEach(l)
		if s.x.found {
			s.x.polish(s.b, l.r, s.share(forCooler))
			break
		}
	}
	s.settle()
}

// tryEach builds plans by one rule of priority after the other; those of a small job
// until there is one as good as the bound, for what is better is looked for elsewhere.
func (s *solver) tryEach(l limits) {
	if !s.small() && !s.one {
		s.shareOut(len(s.orders), func(f *solver, k int) bool {
			f.tryAll(l, f.orders[k:k+1])
			return !f.spent()
		})
		return
	}
	for k := range s.orders {
		s.tryAll(l, s.orders[k:k+1])
		if s.x.found && (s.one || k > 0 && s.x.score.Consents == s.floor.Consents) {
			break
		}
	}
}

// small reports whether a job is one that its days can be packed for.
func (s *solver) small() bool { return len(s.m.Tasks) <= mostPacked }

// clean looks for a plan without any consent where no bound speaks against one.
func (s *solver) clean() {
	if !s.small() || s.floor.Consents > 0 || s.proven > 0 || s.one && s.x.found {
		return
	}
	p := newPacking(s.b, s.x, s.m.relax(s.c, 0, 0), Score{})
	if p == nil || p.run(1, s.m.n, 1<<len(s.m.Days)-1, s.m.steps+s.share(forQuick)) {
		s.floor.Consents = 1
	}
	s.settle()
}

// eject looks for a plan by ejection, unless a quick search is to come first.
func (s *solver) eject(l limits, steps int) bool { return !s.quick && s.e.run(l, steps) }

// consents looks for a plan with fewer consents, or for any.
func (s *solver) consents() {
	s.allow(forConsents)
	l := limits{r: s.m.relax(s.c, many, 0), finish: int32(s.m.n), consents: len(s.m.Tasks)}
	if !s.x.found {
		s.eject(l, s.left())
	}
	for s.small() && s.asksMore() && !s.spent() {
		if l.consents = s.x.score.Consents - 1; l.consents == s.c.total {
			l.r = s.m.relax(s.c, l.consents, 0)
		}
		if !s.eject(l, s.left()) {
			break
		}
	}
	if !s.quick && (!s.x.found || s.asksMore()) {
		s.rebuild()
	}
	s.settle()
}

// asksMore reports whether there is a plan that is to be bettered, for it needs more
// consents than the bound.
func (s *solver) asksMore() bool {
	return s.x.found && !s.one && s.x.score.Consents > s.floor.Consents
}

// rebuild looks for fewer consents by tearing down parts of the best plan and building
// them anew, and beside it parts of a plan that begins with nothing, which leads
// elsewhere. With as many consents the best plan stays: what comes of it is as good.
func (s *solver) rebuild() {
	if s.allow(forRebuilt); !s.small() {
		s.allow(forRebuiltBig)
	}
	l := limits{r: s.m.relax(s.c, many, 0), finish: int32(s.m.n), consents: s.floor.Consents}
	if s.one {
		l.consents = many
	}
	s.shareOut(forks, func(f *solver, k int) bool {
		f.m.newRebuilder(f.x, f.b, k).run(l, 1, k > 0, f.left())
		return true
	})
}

// rebuilt looks for a better plan within limits in the same way, unless a quick search
// is to come first.
func (s *solver) rebuilt(l limits, steps int) bool {
	return !s.quick && s.m.newRebuilder(s.x, s.b, 0).run(l, Criteria, false, steps)
}

// tryAll builds plans by each order, forth and back.
func (s *solver) tryAll(l limits, orders [][]int) {
	for _, o := range orders {
		if s.spent() {
			break
		}
		for _, solo := range []bool{false, true} {
			s.b.try(s.x, l, rule{order: o, solo: solo})
		}
		s.b.try(s.x, l, rule{order: o, back: true})
	}
}

// members looks for a plan that holds in as many members as can be: at once for
// the most that any could hold in, then up from what the best has.
func (s *solver) members() {
	if !s.x.found || (s.quick && s.proven < 1) {
		return
	}
	s.allow(forMembers)
	r := s.m.relax(s.c, s.x.score.Consents, 0)
	most, sets := s.m.mostMembers(r)
	s.floor.FivePoints = fivePoints(most, s.m.voters)
	l := limits{r: r, finish: int32(s.m.n), consents: s.x.score.Consents}
	if len(sets) > 0 && s.x.score.FivePoints < s.floor.FivePoints {
		l.members = sets[0]
		s.tryAll(l, s.orders[:6])
		low, high := s.x.score.FivePoints, s.floor.FivePoints
		for mid := high; low < high && !s.spent(); mid = (low + high + 1) / 2 {
			s.keeping(l, needed(mid, s.m.voters))
			if low = s.x.score.FivePoints; low < mid {
				high = mid - 1
			}
		}
	}
	for tries := 0; s.x.score.FivePoints < s.floor.FivePoints && !s.spent() && tries < mostTries; tries++ {
		if !s.holding(l, sets, needed(s.x.score.FivePoints+1, s.m.voters)) && s.quick {
			break
		}
	}
	if s.x.score.FivePoints < s.floor.FivePoints && !s.quick {
		s.surer(l)
	}
	s.settle()
}

// keeping builds plans that lose as few members as possible.
func (s *solver) keeping(l limits, need int) {
	l.members, l.need = nil, need
	for _, o := range s.orders[:6] {
		if s.spent() {
			return
		}
		s.b.try(s.x, l, rule{order: o, keep: true})
		s.b.try(s.x, l, rule{order: o, keep: true, back: true})
	}
}

// mostTries bounds the rounds of a search that may end early for want of any
// place to try.
const mostTries = 40

// mostTried is how many sets of members are tried for one step up.
const mostTried = 8

// holding looks for a plan in as many members as needed: of each set that might
// do, those in which the best plan holds already come first.
func (s *solver) holding(l limits, sets [][]uint64, need int) bool {
	before := s.x.score.FivePoints
	for i, set := range sets {
		if i >= mostTried || count(set) < need || s.spent() {
			break
		}
		for _, l.members = range [][]uint64{set, someOf(set, s.x.joint, need)} {
			if s.eject(l, s.share(forMembers/8)); s.x.score.FivePoints > before {
				return true
			}
		}
	}
	return false
}

// someOf is as many members of a set as needed, first those that are also in
// another.
func someOf(set, first []uint64, need int) []uint64 {
	out := make([]uint64, len(set))
	and(out, set, first)
	for k := 0; k < 64*len(set) && count(out) < need; k++ {
		out[k/64] |= set[k/64] & (1 << (k % 64))
	}
	return out
}

// cooler moves single blocks to cooler hours.
func (s *solver) cooler() {
	s.floor.Heat = 0
	for t := range s.m.Tasks {
		_, heat := s.m.least(t, s.db.r)
		s.floor.Heat += heat
	}
	s.x.polish(s.b, s.db.r, s.share(forCooler))
	s.settle()
}
