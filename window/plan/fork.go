package plan

import "sync"

// fork is a solver of its own that begins where another one is, to look elsewhere
// beside it. What it reads of the model and the bounds is never written to again.
func (s *solver) fork(k int) *solver {
	m := *s.m
	f := *s
	f.m, f.b, f.x = &m, m.newBuilder(), m.newBest()
	f.x.take(s.x)
	f.e, f.on, f.packed = m.newEjector(f.x, f.b), nil, nil
	f.e.random += lcg(k)
	return &f
}

// forks is how many solvers share out the work on a large job: as many on any number
// of cores, so that the plan is the same.
const forks = 2

// shareOut has n pieces of work done by forks, in turn, each with its part of the steps
// that are left and until work wants no more, and goes on with the best of their plans.
func (s *solver) shareOut(n int, work func(f *solver, i int) bool) {
	begun, each := s.m.steps, s.left()/forks
	var all [forks]*solver
	var wait sync.WaitGroup
	for k := range all {
		f := s.fork(k)
		f.until, all[k] = begun+each, f
		wait.Go(func() {
			for i := k; i < n && work(f, i); i += forks {
				continue
			}
		})
	}
	wait.Wait()
	for _, f := range all {
		s.m.steps += f.m.steps - begun
		if f.x.found && (!s.x.found || f.x.score.Less(s.x.score)) {
			s.x.take(f.x)
		}
	}
}

// take goes on with another's best plan.
func (x *best) take(o *best) {
	if o.found {
		x.found, x.score, x.hits, x.joint, x.since = true, o.score, o.hits, o.joint, x.m.steps
		x.book.copyFrom(o.book)
	}
}
