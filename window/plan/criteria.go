package plan

// How much of the budget each criterion's search for better plans may take; what
// is left is for proving.
const (
	forFirst    = 0.25
	forQuick    = 0.03
	forConsents = 0.15
	forMembers  = 0.15
	forDays     = 0.30
	forFinish   = 0.15
	forCooler   = 0.05
)

// allow sets how many steps the search that begins may take.
func (s *solver) allow(share float64) {
	if s.quick && share != forFirst {
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
	s.allow(forFirst)
	for _, consents := range []int{s.c.total, many} {
		l := limits{r: s.m.relax(s.c, consents, 0), finish: int32(s.m.n)}
		s.tryAll(l, s.orders)
		if s.x.found {
			break
		}
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
	for s.x.found && s.x.score.Consents > s.floor.Consents && !s.spent() {
		if l.consents = s.x.score.Consents - 1; l.consents == s.c.total {
			l.r = s.m.relax(s.c, l.consents, 0)
		}
		if !s.eject(l, s.left()) {
			break
		}
	}
	s.settle()
}

func (s *solver) tryAll(l limits, orders [][]int) bool {
	better := false
	for _, o := range orders {
		if s.spent() {
			break
		}
		for _, solo := range []bool{false, true} {
			better = s.b.try(s.x, l, rule{order: o, solo: solo}) || better
		}
		better = s.b.try(s.x, l, rule{order: o, back: true}) || better
	}
	return better
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
		for mid := high; low < high; mid = (low + high + 1) / 2 {
			s.keeping(l, needed(mid, s.m.voters))
			if low = s.x.score.FivePoints; low < mid {
				high = mid - 1
			}
		}
	}
	for s.x.score.FivePoints < s.floor.FivePoints && !s.spent() {
		if !s.holding(l, sets, needed(s.x.score.FivePoints+1, s.m.voters)) && s.quick {
			break
		}
	}
	s.settle()
}

// keeping builds plans that lose as few members as possible.
func (s *solver) keeping(l limits, need int) {
	l.members, l.need = nil, need
	for _, o := range s.orders[:6] {
		s.b.try(s.x, l, rule{order: o, keep: true})
		s.b.try(s.x, l, rule{order: o, keep: true, back: true})
	}
}

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

// days looks for a plan on the fewest days, then for one that ends earlier on as
// many, then for cooler hours.
func (s *solver) days() {
	if !s.x.found || (s.quick && s.proven < 2) {
		return
	}
	s.allow(forDays)
	s.given = s.x.score
	s.db = s.m.newDayBound(s.c, s.m.relax(s.c, s.x.score.Consents, needed(s.x.score.FivePoints, s.m.voters)))
	s.floor.Days = s.db.fewest(s.x.score.Days)
	for size := s.x.score.Days - 1; size >= s.floor.Days; size = min(size, s.x.score.Days) - 1 {
		if !s.onFewer(size) {
			break
		}
	}
	s.finish()
}

// limits of plans as good as the best in the first two criteria.
func (s *solver) limits(set uint64) limits {
	return limits{
		r: s.db.r, days: s.dayBits(set), members: s.x.joint, finish: int32(s.m.n), consents: s.x.score.Consents,
	}
}

// onFewer builds plans on sets of days of that size: once quickly on each, then
// for longer on those where the least was left over. Each run is long enough for
// every task to be put in a few times.
func (s *solver) onFewer(size int) bool {
	sets := s.db.roomiest(size)
	if len(sets) == 0 {
		return false
	}
	run := max(s.share(forDays/2)/len(sets), 4*s.m.ways())
	left := make([]int, len(sets))
	for i, d := range sets {
		left[i] = len(s.m.Tasks) + 1
		if s.spent() {
			break
		}
		l := s.limits(d.set)
		s.tryAll(l, s.orders[:4])
		if s.x.score.Days > size {
			s.eject(l, min(run, s.left()))
		}
		if left[i] = s.e.fewest; s.x.score.Days <= size {
			return true
		}
	}
	for !s.quick && !s.spent() {
		i := least(left)
		if s.eject(s.limits(sets[i].set), min(max(run, s.share(forDays/8)), s.left())); s.x.score.Days <= size {
			return true
		}
		left[i]++
	}
	return false
}

func least(of []int) int {
	best := 0
	for i, v := range of {
		if v < of[best] {
			best = i
		}
	}
	return best
}

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

// finish looks for plans that end earlier, on each set of days that could.
func (s *solver) finish() {
	s.allow(forFinish)
	s.given = s.x.score
	s.sets = s.db.earliest(s.x.score.Days)
	if s.floor.Finish = 0; len(s.sets) > 0 {
		s.floor.Finish = int(s.sets[0].finish)
	}
	days := s.x.score.Days
	for i := 0; i < len(s.sets) && s.x.score.Days == days && !s.spent(); i++ {
		for again := true; again && int(s.sets[i].finish) < s.x.score.Finish && !s.spent(); {
			l, before := s.limits(s.sets[i].set), s.x.score
			l.finish = int32(s.x.score.Finish) - 1
			s.tryAll(l, s.orders[:4])
			if again = s.x.score.Less(before); !again {
				again = s.eject(l, max(s.share(0.02), 2*s.m.ways()))
			}
		}
	}
	s.settle()
	s.cooler()
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
