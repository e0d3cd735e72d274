package window

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"sync"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// Way is one way to get on where the whole job finds no plan.
type Way uint8

// The ways, in the order in which they are offered.
const (
	WayShelter Way = iota // only what lies under a roof, for now
	WayWet                // only what stands the weather wet, for now
	WayClass              // a class with shorter clocks, with the owner's consent
	WaySheet              // a shade sheet or canvas over what cannot be done in the open
	WayTurn               // the boat turned in her berth
	WayNext               // the next window, past the promised day
	WayWash               // a wash first, before all others: only where salt lies that no step washes off
	WayRest               // all but what has no place, or no room beside all else, before the others: only where that is the lesser part
	WayHands              // the whole crew here, first of all: only where some of it is elsewhere
	WayHelper             // a helper for the days, next: only where a product asks for more people than ever come, or hands are too few
)

var wayNames = [...]string{"sheltered_zone", "wet_step", "shorter_clock", "sheet", "turn", "next_window", "wash_first", "rest", "hands", "helper"}

// String is the way's name, as the JSON answer promises it.
func (w Way) String() string { return wayNames[w] }

// LadderInput is what the ladder of fallbacks depends on.
type LadderInput struct {
	Input
	Plan PlanSettings
	// RestBudget is the budget of a longer search for all but what has no place, which is
	// not only to tell whether a way leads on: it is what will be done. 0: there is none.
	RestBudget int
	// Known are the classes from which one with shorter clocks may be taken.
	Known []products.Class
	// Result is that of the job as it stands; nil: it is worked out.
	Result *Result
	// Refused is why the job as it stands has no plan: its task's zone is covered
	// first. nil: all open zones are.
	Refused *Planned
}

// Rung is one way tried.
type Rung struct {
	Way Way
	// Tried is false where there is nothing to try; Why says so then.
	Tried bool
	Why   string
	What  string // what is changed, in words
	// Whole: the plan is for all that is left to do; else for a part of it.
	Whole   bool
	Job     *job.Job // as changed; nil where nothing was tried
	Result  *Result
	Planned *Planned // Found tells whether it works
	Rest    int      // steps on zones that stay undone by it
}

// Ladder tries, one after the other, the ways to get on where a job finds no
// plan, each with the planner. A rung that cannot work says why. There is none where
// the bow alone is lacking.
func Ladder(in LadderInput) ([]Rung, error) {
	if noBow(in.Refused) {
		return nil, nil
	}
	l := newLadder(in)
	one := func(try func() (Rung, error)) func() ([]Rung, error) {
		return func() ([]Rung, error) {
			r, err := try()
			return []Rung{r}, err
		}
	}
	rest := func() ([]Rung, error) {
		r, some, err := l.rest()
		if !some {
			return nil, err
		}
		return []Rung{r}, err
	}
	tries := []func() ([]Rung, error){
		l.hands, l.helper, l.wash, rest, one(l.shelter), one(l.wet), one(l.class), one(l.sheet), one(l.turn), one(l.next),
	}
	rungs, errs := make([][]Rung, len(tries)), make([]error, len(tries))
	sideBySide(in.Workers, len(tries), func(i int) { rungs[i], errs[i] = tries[i]() })
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return slices.Concat(rungs...), nil
}

// Rest is the rung of [WayRest] alone: the greater part of a job without a plan that has one,
// or as much of it as there is room for. It is nil where nothing may be left out, where that
// would be the greater part, or where the bow is lacking; Planned tells whether it works.
func Rest(in LadderInput) (*Rung, error) {
	if noBow(in.Refused) {
		return nil, nil
	}
	r, some, err := newLadder(in).rest()
	if err != nil || !some {
		return nil, err
	}
	return &r, nil
}

// noBow reports whether a job has no plan for lack of the bow alone.
func noBow(p *Planned) bool { return p != nil && p.Refusal != nil && p.Refusal.Limit == NoBow }

type ladder struct {
	LadderInput
	// own is the result of the ladder's job: given, or worked out once. placeless lists the works
	// that have no place whatever is done before them, in however many parts: nothing helps but
	// what changes their own rows.
	own       func() (*Result, error)
	placeless func() ([]work, error)
}

func newLadder(in LadderInput) *ladder {
	l := &ladder{LadderInput: in}
	l.own = sync.OnceValues(func() (*Result, error) {
		if in.Result != nil {
			return in.Result, nil
		}
		return Evaluate(in.Input)
	})
	l.placeless = sync.OnceValues(l.findPlaceless)
	return l
}

// plan tries a changed job with all its rows worked out anew.
func (l *ladder) plan(r Rung, j *job.Job) (Rung, error) {
	in := l.Input
	in.Job = j
	result, err := Evaluate(in)
	return l.planOn(r, j, result, err)
}

// planOn tries a changed job on its result. One that has nothing left to judge is
// no rung.
func (l *ladder) planOn(r Rung, j *job.Job, result *Result, err error) (Rung, error) {
	if errors.Is(err, ErrNoHorizon) {
		r.Why = "the job's last day is over"
		return r, nil
	}
	if err != nil {
		return r, err
	}
	p, maker, err := planOf(result, j, l.Plan)
	if r.Tried, r.Job, r.Result, r.Planned = true, j, result, p; err != nil || p.Found {
		return r, err // what it would be with the whole crew here is a rung of its own
	}
	return r, maker.withAllHands(p)
}

// only keeps the step and zone pairs that a test holds for and counts those that
// are left out though they are not done.
func (l *ladder) only(keep func(step, zone int) bool) (j *job.Job, kept, rest int) {
	return Part(l.Job, keep)
}

// Part is a job with those of its steps on zones alone for which a test holds, how many of
// them are not done, and how many of those that are left out.
func Part(whole *job.Job, keep func(step, zone int) bool) (part *job.Job, kept, rest int) {
	part = copyOf(whole)
	p := planner{j: whole}
	for s := range part.Steps {
		part.Steps[s].On = slices.DeleteFunc(part.Steps[s].On, func(z int) bool {
			left := p.doneShare(z, whole.Steps[s]) < 1
			if keep(s, z) {
				if left {
					kept++
				}
				return false
			}
			if left {
				rest++
			}
			return true
		})
	}
	return part, kept, rest
}

// part plans a part of the job.
func (l *ladder) part(r Rung, none string, keep func(step, zone int) bool) (Rung, error) {
	j, kept, rest := l.only(keep)
	if r.Rest = rest; kept == 0 {
		r.Why = none
		return r, nil
	}
	if r.Whole = rest == 0; r.Whole {
		r.Why = "it is all of what is left"
		return r, nil
	}
	result, err := l.some(j)
	return l.planOn(r, j, result, err)
}

func (l *ladder) shelter() (Rung, error) {
	r := Rung{Way: WayShelter, What: "only the zones under a roof"}
	return l.part(r, "no zone with work left lies under a hardtop, canvas or shed", func(_, z int) bool {
		return l.Job.Zones[z].Shelter != boat.Open
	})
}

// wet keeps, on each zone, what may be done before anything that has to be dry.
func (l *ladder) wet() (Rung, error) {
	r := Rung{Way: WayWet, What: "only the work that stands rain"}
	return l.part(r, "no work that stands rain comes next on any zone", func(step, z int) bool {
		p := planner{j: l.Job}
		for s := 0; s <= step; s++ {
			if slices.Contains(l.Job.Steps[s].On, z) && p.doneShare(z, l.Job.Steps[s]) < 1 && !l.standsRain(l.Job.Steps[s]) {
				return false
			}
		}
		return true
	})
}

func (l *ladder) standsRain(s job.Step) bool {
	c, ok := l.Classes.Class(s.With)
	return ok && c.Surface == products.SurfaceWet && !c.RainFree.Given
}

// mostClasses is how many classes are tried for one step.
const mostClasses = 3

// class puts classes with shorter clocks in the place of those that seal, the
// nearest first, until one has a plan.
func (l *ladder) class() (Rung, error) {
	r := Rung{Way: WayClass, What: "a product with shorter clocks", Whole: true, Why: "no class of the catalogue does the same with shorter clocks"}
	for step := range l.Job.Steps {
		if !l.left(step) {
			continue
		}
		if l.coated(step) {
			if !r.Tried {
				r.Why = "a coat of it is on already, and the next one is of the same product"
			}
			continue
		}
		shorter := l.shorter(step)
		if len(shorter) == 0 {
			continue
		}
		why, err := l.past(func(w work) bool { return w.step == step })
		if err != nil {
			return r, err
		}
		if why != "" {
			if !r.Tried {
				r.Why = why
			}
			continue
		}
		for _, c := range shorter[:min(len(shorter), mostClasses)] {
			j := copyOf(l.Job)
			was := j.Steps[step].With
			j.Steps[step].With, j.Steps[step].HazeMin = c.ID, 0
			next := Rung{
				Way: WayClass, Whole: true,
				What: fmt.Sprintf("%s with %s instead of %s, if the owner agrees", j.Steps[step].Name, c.ID, was),
			}
			result, err := l.swapped(j, step)
			if next, err = l.planOn(next, j, result, err); err != nil {
				return r, err
			}
			if !r.Tried || next.Planned != nil && next.Planned.Found {
				r = next
			}
			if r.Planned != nil && r.Planned.Found {
				return r, nil
			}
		}
	}
	return r, nil
}

// left reports whether any of a step is still to be done.
func (l *ladder) left(step int) bool {
	p := planner{j: l.Job}
	return slices.ContainsFunc(l.Job.Steps[step].On, func(z int) bool { return p.doneShare(z, l.Job.Steps[step]) < 1 })
}

// coated reports whether a coat of a step is on already somewhere and another is to
// follow: that is of the same product.
func (l *ladder) coated(step int) bool {
	s := l.Job.Steps[step]
	return s.Coats > 1 && slices.ContainsFunc(s.On, func(z int) bool {
		d, ok := doneOn(l.Job, z, s)
		on, _ := CoatsOn(s, d.Share)
		return ok && on > 0 && on < s.Coats
	})
}

// shorter are the classes for the same step on the same finishes that stand rain
// sooner, the nearest first.
func (l *ladder) shorter(step int) []products.Class {
	s := l.Job.Steps[step]
	is, ok := l.Classes.Class(s.With)
	if !ok || !is.RainFree.Given {
		return nil
	}
	var out []products.Class
	for _, c := range l.Known {
		if c.Do == is.Do && c.ID != is.ID && c.RainFree.Given && c.Equivalent == is.Equivalent &&
			c.RainFree.Default < is.RainFree.Default && l.suits(c, s) {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b products.Class) int {
		return cmp.Or(cmp.Compare(b.RainFree.Default, a.RainFree.Default), cmp.Compare(a.ID, b.ID))
	})
	return out
}

func (l *ladder) suits(c products.Class, s job.Step) bool {
	for _, z := range s.On {
		if !slices.Contains(c.Allowed, l.Job.Zones[z].Finish.Name) && !slices.Contains(c.Allowed, "all") {
			return false
		}
	}
	return true
}

// sheet covers the zone that has no place, then every open zone.
func (l *ladder) sheet() (Rung, error) {
	open := l.open()
	r := Rung{Way: WaySheet, Whole: true, What: "a sheet or canvas", Why: "every zone with work left lies under a roof already"}
	if len(open) == 0 {
		return r, nil
	}
	tries := [][]string{open}
	if p := l.Refused; p != nil && p.Refusal != nil && p.Refusal.Task >= 0 {
		if z := l.Job.Zones[p.Tasks[p.Refusal.Task].Zone]; z.Shelter == boat.Open && len(open) > 1 {
			tries = [][]string{{z.Name}, open}
		}
	}
	for _, zones := range tries {
		what := "a sheet or canvas over " + named(zones, len(l.Job.Zones))
		under := l.under(zones)
		why, err := l.past(func(w work) bool { return slices.Contains(under, l.Job.Zones[w.zone].Name) })
		if err != nil {
			return r, err
		}
		if why != "" {
			r.What, r.Why = what, why
			continue
		}
		j := copyOf(l.Job)
		j.Covers = append(j.Covers, job.Cover{Zones: zones, Kind: boat.Canvas, From: l.Now})
		next, err := l.plan(Rung{Way: WaySheet, Whole: true, What: what}, j)
		if err != nil {
			return r, err
		}
		if r = next; r.Planned != nil && r.Planned.Found {
			break
		}
	}
	return r, nil
}

// open are the zones in the open with work left.
func (l *ladder) open() []string {
	var out []string
	p := planner{j: l.Job}
	for z, zone := range l.Job.Zones {
		for _, s := range l.Job.Steps {
			if zone.Shelter == boat.Open && slices.Contains(s.On, z) && p.doneShare(z, s) < 1 {
				out = append(out, zone.Name)
				break
			}
		}
	}
	return out
}

// named lists zones in words; many are all of them.
func named(zones []string, of int) string {
	if n := len(zones); n > 3 || n > 1 && n == of {
		return fmt.Sprintf("all %d zones in the open", n)
	}
	return andAll(zones)
}

// turn turns the boat end for end. Within the walls of a shed she has sun and driven rain from
// no side.
func (l *ladder) turn() (Rung, error) {
	r := Rung{Way: WayTurn, Whole: true, What: "the boat turned end for end"}
	walled := func(z int) bool { return l.Job.Zones[z].Shelter == boat.Shed && len(l.Job.Zones[z].OpenSide) == 0 }
	if bow, known := l.Job.BowAt(l.Now); known && !l.Job.Swinging {
		if _, outside, _ := l.only(func(_, z int) bool { return !walled(z) }); outside == 0 {
			r.Why = "every zone with work left lies in a shed, where her bow changes nothing"
			return r, nil
		}
		why, err := l.past(func(w work) bool { return !walled(w.zone) })
		if why != "" || err != nil {
			r.Why = why
			return r, err
		}
		j := copyOf(l.Job)
		j.Berths = slices.DeleteFunc(j.Berths, func(b job.Berth) bool { return b.From.After(l.Now) })
		turned := bow + 180
		if turned >= 360 {
			turned -= 360
		}
		j.Berths = append(j.Berths, job.Berth{From: l.Now, Bow: turned})
		r.What = fmt.Sprintf("the boat turned, her bow to %.0f°", turned)
		if !l.Job.Afloat {
			r.What += ", which ashore takes a lift or her trailer"
		}
		return l.plan(r, j)
	}
	r.Why = "where her bow points is not known"
	return r, nil
}

// next gives up the promised day and what must be met.
func (l *ladder) next() (Rung, error) {
	r := Rung{Way: WayNext, Whole: true, What: "the next window, past the promised day"}
	if l.Job.By.IsZero() && len(l.Job.Must) == 0 {
		r.Why = "the forecast ends first: ask again when it reaches further"
		if lasts, err := l.lasts(); err != nil {
			return r, err
		} else if lasts {
			r.Why = "no later day changes what stands against it"
		}
		return r, nil
	}
	j := copyOf(l.Job)
	j.By, j.Must = job.Date{}, nil
	return l.plan(r, j)
}
