package window

import (
	"sync"

	"dewgap/products"
	"dewgap/window/verdict"
)

// trial is one class held against a zone.
type trial struct {
	step     int
	class    products.Class
	judge    *verdict.Judge
	towelled bool
	film     [][]float32 // per member: m² of one wash section; nil for dry work
	board    *verdict.Board
}

// trial prepares a class for the zone. For a wash it works out the sections first.
func (w *zoneWork) trial(step int, c products.Class) *trial {
	t := &trial{step: step, class: c, towelled: towelledBy(w.Job, c)}
	terms := w.terms(step, c)
	if c.Do == "wash" {
		t.film, terms.Section = w.sections(c, terms.Fixed), leastSection(w.Job.Rinse)
	}
	t.judge = verdict.NewJudge(c, terms)
	return t
}

// looking is what a zone sees of one member: the dew as it lies and, once asked,
// towelled off.
type looking struct {
	member       int
	sight, wiped *verdict.Sight
}

// see is one member as a trial's judge sees it. Work for which dew is towelled off
// meets the panel as the towel leaves it; other work meets it as it is. One member is
// looked at at a time.
func (w *zoneWork) see(m int, t *trial) *verdict.Sight {
	l := &w.looking
	if l.sight == nil || l.member != m {
		if l.sight == nil {
			l.sight = w.idle.sight()
		}
		l.sight.Look(w.series(m), w.past(), w.asked)
		l.member, l.wiped = m, nil
	}
	x := l.sight
	if t.towelled {
		if l.wiped == nil {
			l.wiped = x.Towelled(w.tracks[m].Bare, w.bare[m])
		}
		x = l.wiped
	}
	if t.film != nil {
		x = x.Washed(t.film[m])
	}
	return x
}

// verdicts gives every member's verdict on every asked slot. The members come one
// after the other, each before all classes: what the classes see alike stays at hand.
// A part with another finish is worked as one with the zone: the worse of the two
// holds.
func (w *zoneWork) verdicts(trials []*trial) {
	for _, t := range trials {
		t.board = w.idle.board(w.asked, len(w.members))
	}
	for m := range w.members {
		for _, t := range trials {
			t.judge.Run(w.see(m, t), t.board, m)
		}
	}
	for _, part := range w.parts {
		for k, p := range part.retry(trials) {
			trials[k].board.Join(worse, p.board)
			part.done(p)
		}
	}
	w.hold(trials)
}

// worse is the worse of a zone's verdict and that of a part of it.
func worse(own verdict.Result, part []verdict.Result) verdict.Result {
	return verdict.Worse(own, part[0])
}

// retry gives the verdicts of other trials of the same classes.
func (w *zoneWork) retry(trials []*trial) []*trial {
	out := make([]*trial, len(trials))
	for k, t := range trials {
		out[k] = w.trial(t.step, t.class)
	}
	w.verdicts(out)
	return out
}

// done gives back what other trials can use again.
func (w *zoneWork) done(trials ...*trial) {
	w.idle.give(w.looking.sight, trials)
	w.looking = looking{}
}

// idle is memory of trials that are done.
type idle struct {
	sync.Mutex
	sights []*verdict.Sight
	boards []*verdict.Board
}

func (l *idle) sight() *verdict.Sight {
	l.Lock()
	defer l.Unlock()
	if x, ok := pop(&l.sights); ok {
		return x
	}
	return &verdict.Sight{}
}

// board is an old one, or a new one where none is idle.
func (l *idle) board(a *verdict.Asked, members int) *verdict.Board {
	l.Lock()
	defer l.Unlock()
	if b, ok := pop(&l.boards); ok {
		b.Reset(a, members)
		return b
	}
	return verdict.NewBoard(a, members)
}

// pop takes the last of a list off it, where there is one.
func pop[T any](list *[]T) (last T, ok bool) {
	k := len(*list) - 1
	if k < 0 {
		return last, false
	}
	last, *list = (*list)[k], (*list)[:k]
	return last, true
}

func (l *idle) give(x *verdict.Sight, trials []*trial) {
	l.Lock()
	defer l.Unlock()
	if x != nil {
		l.sights = append(l.sights, x)
	}
	for _, t := range trials {
		l.boards = append(l.boards, t.board)
		t.board = nil
	}
}
