package plan

// What a block costs in a search for plans that hold in more members: for each member in
// which it fails where all else holds, and for each in which it fails at all, for the others
// may be moved yet.
const (
	lostCost = 3
	failCost = 2
)

// surer looks for a plan within limits that holds in more members, by tearing down parts of
// the best one and building them anew where they fail in fewest. A consent costs more than
// any one block can lose; what is untidy costs as much as it does to neatness.
func (s *solver) surer(l limits) {
	s.allow(forSurer)
	e := s.m.newRebuilder(s.x, s.b, 0)
	e.sure, e.enough, e.yes = true, s.floor.FivePoints, 4*s.m.voters
	l.consents, l.members = -1, nil
	s.m.dry = true // who has to wash again has gained little
	e.run(l, Criteria, false, s.left())
	s.m.dry = false
}

// unsure is what an option costs for the members in which it fails.
func (e *rebuilder) unsure(o *option, late bool) int {
	if !e.sure {
		return 0
	}
	set, n := e.m.members(o, late)
	return lostCost*(count(e.b.joint)-common(e.b.joint, set)) + failCost*(e.m.voters-int(n))
}

// doubts is what all that is booked costs for the members in which it fails.
func (e *rebuilder) doubts() int {
	if !e.sure {
		return 0
	}
	cost := 0
	for t, i := range e.b.book.at {
		if i >= 0 {
			cost += failCost * e.fails(t)
		}
	}
	e.b.holds()
	return cost + lostCost*(e.m.voters-count(e.b.joint))
}

// fails is in how many members a booked task fails.
func (e *rebuilder) fails(t int) int {
	_, n := e.m.members(e.b.book.option(t), e.b.book.lateSoFar(t))
	return e.m.voters - int(n)
}

// weakest is of some booked tasks, drawn by chance, the one that fails in most members.
func (e *rebuilder) weakest() int {
	const drawn = 3
	most, weakest := -1, e.any()
	for range drawn {
		t := e.any()
		if e.b.book.at[t] < 0 {
			continue
		}
		if n := e.fails(t); n > most {
			most, weakest = n, t
		}
	}
	return weakest
}
