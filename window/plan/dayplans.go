package plan

import (
	"cmp"
	"slices"
)

// days looks for a plan on the fewest days, then for one that ends earlier on as
// many, then for cooler hours.
func (s *solver) days() {
	if !s.x.found || (s.quick && (s.proven < 2 || !s.small())) {
		return
	}
	s.given, s.floor.Finish, s.floor.Heat = s.x.score, 0, 0
	s.db = s.m.newDayBound(s.c, s.m.relax(s.c, s.x.score.Consents, needed(s.x.score.FivePoints, s.m.voters)))
	s.on = s.m.newSearch(s.b, s.x, s.db.r)
	s.packed = newPacking(s.b, s.x, s.db.r, s.x.score)
	s.allow(forDays)
	s.floor.Days = s.db.fewest(s.x.score.Days)
	s.refute()
	for size := s.x.score.Days - 1; size >= s.floor.Days && s.onFewer(size); {
		size = min(size, s.x.score.Days) - 1
	}
	s.finish()
}

// forBound is the part of the steps that raising the bound of the days may take where it
// lies further from the best plan than a day: a plan on a day less is then more likely to be
// built than the bound is to be reached. Of 80 invented jobs of 15 to 72 tasks 24 took fewer
// days so and three more, in as many steps. Of a job too large to be packed few sets are
// searched anyhow.
const forBound = 0.125

// refute raises the bound of the days as far as every set of so many can be searched to the
// end.
func (s *solver) refute() {
	until := s.until
	for s.floor.Days < s.x.score.Days {
		if s.until = until; s.floor.Days+1 < s.x.score.Days && s.small() {
			s.until = s.m.steps + int(forBound*float64(s.left()))
		}
		if !s.refuted(s.floor.Days) {
			break
		}
		s.floor.Days++
	}
	s.until = until
}

// refuted searches every set of that many days to the end: true, no plan on so
// few days is as good in the criteria before. It ends early with false where it
// finds one, or has no steps left.
func (s *solver) refuted(size int) bool {
	open := slices.Clone(s.db.sized(size))
	slices.SortFunc(open, func(x, y daySet) int {
		return cmp.Or(cmp.Compare(y.room, x.room), cmp.Compare(x.set, y.set))
	})
	for steps := s.firstLook(); len(open) > 0 && !s.spent(); steps *= lookLonger {
		kept := open[:0]
		for k, d := range open {
			if s.spent() || !s.searchOn(d.set, 3, min(steps, s.left())) {
				kept = append(kept, d)
			}
			if s.x.score.Days <= size || s.hopeless(k, len(kept)-1) {
				return false
			}
		}
		if open = kept; !s.small() {
			break
		}
	}
	return len(open) == 0
}

// hopeless reports whether of the sets of days of a large job, up to k, none could
// be searched to the end, kept being the last one that could not: no more are then
// tried.
func (s *solver) hopeless(k, kept int) bool { return !s.small() && k >= 2 && kept == k }

// firstLook is how many steps a set of days is searched at first, and lookLonger
// by how much more each time after.
func (s *solver) firstLook() int { return max(2000, s.m.ways()/4) }

const lookLonger = 8

// searchOn looks for a plan better in criterion stage, 3 or 4, on some of the
// bound's days alone: first by packing them, then, where that left it open, by
// search. It is true where it has seen all that there are.
func (s *solver) searchOn(set uint64, stage, steps int) bool {
	s.on.days = s.dayBits(set)
	if s.packed != nil {
		before := s.x.score
		finish := s.m.n
		if stage == 4 {
			finish = before.Finish - 1
		}
		sure := s.packed.run(stage, finish, s.on.days, s.m.steps+steps)
		if sure || s.x.score.Less(before) {
			return sure
		}
	}
	return s.on.run(stage, s.m.steps+steps)
}

// limits of plans as good as the best in the first two criteria.
func (s *solver) limits(set uint64) limits {
	return limits{
		r: s.db.r, days: s.dayBits(set), members: s.x.joint, finish: int32(s.m.n), consents: s.x.score.Consents,
	}
}

// onFewer builds plans on the roomiest sets of days of that size.
func (s *solver) onFewer(size int) bool {
	sets := s.db.roomiest(size)
	steps := max(s.share(forDays/2)/max(len(sets), 1), 4*s.m.ways())
	s.each(len(sets), func(f *solver, i int) bool {
		if f.spent() {
			return false
		}
		l := f.limits(sets[i].set)
		f.tryAll(l, f.orders[:4])
		if f.x.score.Days > size {
			_ = f.eject(l, min(steps, f.left())) || f.rebuilt(l, min(steps/2, f.left()))
		}
		return f.x.score.Days > size
	})
	return s.x.score.Days <= size
}

// each does n pieces of work one after the other, until one wants no more; those of a
// large job are shared out.
func (s *solver) each(n int, work func(f *solver, i int) bool) {
	if !s.small() {
		s.shareOut(n, work)
		return
	}
	for i := 0; i < n && work(s, i); i++ {
		continue
	}
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

// finish looks for plans that end earlier on as many days: on each set of days
// that could, first by building, then by search to the end.
func (s *solver) finish() {
	s.allow(forFinish)
	days := s.x.score.Days
	s.given.Days = days
	sets := s.db.earliest(days)
	open := sets
	if s.packed.strong() {
		open = s.packedSooner(sets)
	}
	if len(open) > 0 {
		s.each(min(len(sets), mostDaySets), func(f *solver, i int) bool {
			if f.spent() || int(sets[i].finish) >= f.x.score.Finish {
				return false
			}
			f.sooner(sets[i])
			return true
		})
		open = s.unfinished(open)
	}
	s.floor.Finish = s.x.score.Finish
	for _, d := range open {
		s.floor.Finish = min(s.floor.Finish, int(d.finish))
	}
	if s.x.score.Days < days {
		s.floor.Finish = 0
	}
	s.settle()
	s.cooler()
}

// packedSooner packs the job into each set of days, to end before the best, for half
// the steps at most. It gives the sets that this leaves open.
func (s *solver) packedSooner(sets []daySet) []daySet {
	var open []daySet
	until := s.m.steps + s.left()/2
	for i, d := range sets {
		for sure := false; !sure && int(d.finish) < s.x.score.Finish; {
			if s.m.steps >= until {
				return append(open, sets[i:]...)
			}
			before := s.x.score
			sure = s.packed.run(4, before.Finish-1, s.dayBits(d.set), min(until, s.m.steps+lookLonger*s.firstLook()))
			if !sure && !s.x.score.Less(before) {
				open = append(open, d)
				break
			}
		}
	}
	return open
}

// sooner builds plans on a set of days, each ending before the best.
func (s *solver) sooner(d daySet) {
	for again := true; again && int(d.finish) < s.x.score.Finish && !s.spent(); {
		l, before := s.limits(d.set), s.x.score
		l.finish = int32(s.x.score.Finish) - 1
		s.tryAll(l, s.orders[:4])
		if again = s.x.score.Less(before); !again {
			again = s.eject(l, min(2*s.m.ways(), s.left())) || s.eject(l, min(4*s.m.ways(), s.left())) || s.rebuilt(l, min(2*s.m.ways(), s.left()))
		}
	}
}

// unfinished gives the sets on which a plan might yet end before the best: those
// that the search could not see to the end.
func (s *solver) unfinished(sets []daySet) []daySet {
	open := slices.Clone(sets)
	for steps := s.firstLook(); ; steps *= lookLonger {
		kept := open[:0]
		for k, d := range open {
			if k > 0 && s.hopeless(k-1, len(kept)-1) {
				return open
			}
			for done := false; int(d.finish) < s.x.score.Finish && !done; {
				before := s.x.score
				if done = !s.spent() && s.searchOn(d.set, 4, min(steps, s.left())); done {
					continue
				}
				if kept = append(kept, d); !s.x.score.Less(before) {
					break
				}
				kept = kept[:len(kept)-1]
			}
		}
		open = kept
		if len(open) == 0 || s.spent() || !s.small() {
			return open
		}
	}
}
