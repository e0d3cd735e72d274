package window

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// Elsewhere is a stretch in which a person of the crew is at work elsewhere, at another boat.
// It is no weather: no row depends on it, only who can be booked does.
type Elsewhere struct {
	Person   int // number, from 1, as the blocks of plans have them
	From, To time.Time
	// MachineH is how many hours of it, from its beginning, are at a machine. They count to
	// what one person may in a day, and keep one of the crew's machines.
	MachineH float64
	WayMin   float64 // minutes of the way there and of the way back, beside ChangeMin; 0: the same marina
}

// Away is from when to when nobody may be booked for it: with the way, and the time to
// pack up and set up.
func (x *Elsewhere) Away() (from, to time.Time) {
	change := time.Duration((ChangeMin + x.WayMin) * float64(time.Minute))
	return x.From.Add(-change), x.To.Add(change)
}

// Machine is from when to when a machine is kept there, with the way: it comes back by itself,
// before the haze is wiped off. Both are the same where none is.
func (x *Elsewhere) Machine() (from, to time.Time) {
	from, back := x.Away()
	if x.MachineH <= 0 {
		return from, from
	}
	return from, x.From.Add(time.Duration(x.MachineH * float64(time.Hour))).Add(back.Sub(x.To))
}

// ChangeMin is how many minutes it takes to change boats within a marina, packing up and
// setting up included: before and after a stretch elsewhere nobody is booked for so
// long. As much as [PlanSettings] leaves for setting up on arrival (common practice).
const ChangeMin = usualSetUpMin

// NoHands and NoPolishers are the limits of a refusal where there would be a plan if nobody of
// the crew were elsewhere, NoPolishers where more machines would do for it as well.
const (
	NoHands     = "hands"
	NoPolishers = "polishers_elsewhere"
)

// MostWayMin is the longest way, in minutes, that can be told: nobody drives for longer than a day
// between two blocks.
const MostWayMin = 24 * 60

// ErrElsewhere is a stretch of somebody's work elsewhere that cannot be.
var ErrElsewhere = errors.New("a person's work elsewhere is not sound")

// checkElsewhere refuses stretches that the planner could not read.
func checkElsewhere(list []Elsewhere) error {
	for _, x := range list {
		switch h := x.To.Sub(x.From).Hours(); {
		case x.Person < 1:
			return fmt.Errorf("%w: people are numbered from 1, not %d", ErrElsewhere, x.Person)
		case h <= 0:
			return fmt.Errorf("%w: it ends %s and begins %s", ErrElsewhere, x.To.UTC().Format(time.RFC3339), x.From.UTC().Format(time.RFC3339))
		case !(x.MachineH >= 0 && x.MachineH <= h):
			return fmt.Errorf("%w: %g hours at a machine within %g", ErrElsewhere, x.MachineH, h)
		case !(x.WayMin >= 0 && x.WayMin <= MostWayMin):
			return fmt.Errorf("%w: a way of %g minutes", ErrElsewhere, x.WayMin)
		}
	}
	return nil
}

// away tells the planner who is elsewhere when, with the time to change boats, and which
// machines are. Somebody whom this job does not have is not missed here, but the machine
// in their hands is, where machines are counted.
func (p *planner) away() {
	for _, x := range p.r.Elsewhere {
		if !p.hasPerson(x.Person) && (p.in.Machines == 0 || x.MachineH == 0) {
			continue
		}
		leaves, back := x.Away()
		to, _ := p.slotOf(back)
		t := plan.Taken{
			Person: x.Person,
			From:   min(p.n, max(0, p.slotBefore(leaves))),
			To:     min(p.n, max(0, to)),
		}
		if x.MachineH > 0 {
			_, done := x.Machine()
			free, _ := p.slotOf(done)
			t.ToolTo = min(t.To, free)
		}
		date := job.DateOf(x.From.In(p.r.Location))
		if first := slices.IndexFunc(p.in.Day, func(d int) bool { return p.dates[d] == date }); first >= 0 {
			t.Day, t.Machine = p.in.Day[first], int(math.Ceil(x.MachineH/verdict.SlotHours-1e-9))
		}
		if t.To > t.From || t.Machine > 0 {
			p.in.Taken = append(p.in.Taken, t)
		}
	}
}

// hasPerson reports whether somebody of a number works here on any day.
func (p *planner) hasPerson(number int) bool {
	return slices.ContainsFunc(p.in.Days, func(d plan.Day) bool { return number <= d.People })
}

// takesAnother reports whether a stretch elsewhere keeps a machine within the horizon for
// somebody who is not of this job's people of that day.
func (p *planner) takesAnother(x Elsewhere) bool {
	leaves, back := x.Away()
	return x.MachineH > 0 && x.Person > p.j.PeopleOn(x.From) && leaves.Before(p.at(p.n)) && back.After(p.at(0))
}

// slotBefore is the slot of the horizon in which a moment lies, or at which it stands.
func (p *planner) slotBefore(t time.Time) int {
	return int(math.Floor(t.Sub(p.at(0)).Hours()/verdict.SlotHours + 1e-9))
}

// Hands is how many of the people of a stretch's first day, in slots of the grid, are
// there in all of it: who is elsewhere, or on the way, is not.
func (r *Result) Hands(j *job.Job, from, to int) int {
	at := r.Grid.At(from).In(r.Location)
	n := j.PeopleOn(at)
	gone := map[int]bool{}
	for _, x := range r.Elsewhere {
		if leaves, back := x.Away(); x.Person <= n && leaves.Before(r.Grid.At(to)) && back.After(at) {
			gone[x.Person] = true
		}
	}
	return n - len(gone)
}

// Polishers is how many of a job's polishers, which have to be counted, are there at the least
// in a stretch of slots of the grid: those kept elsewhere, or on the way, are not.
func (r *Result) Polishers(j *job.Job, from, to int) int {
	most := 0
	for i := from; i < to; i++ {
		n := 0
		for _, x := range r.Elsewhere {
			if leaves, back := x.Machine(); leaves.Before(r.Grid.At(i+1)) && back.After(r.Grid.At(i)) {
				n++
			}
		}
		most = max(most, n)
	}
	return j.Polishers - most
}

// withAllHands adds to a plan the one that there would be were nobody elsewhere. Nothing is
// searched a second time where the first search tells already: nobody is elsewhere within
// the horizon, or what was refused has no place with all of them here either.
func (p *planner) withAllHands(out *Planned) error {
	switch {
	case len(p.r.Elsewhere) == 0 || !out.Found && p.placelessFree(out.Refusal):
		return nil
	case len(p.in.Taken) == 0:
		same := *out
		out.AllHands = &same
		return nil
	}
	free := *p.r
	free.Elsewhere = nil
	all, _, err := planOf(&free, p.j, p.s)
	if err != nil {
		return err
	}
	out.AllHands, out.beside = all, p.r
	if all.Found && !out.Found {
		lackHands(out.Refusal)
	}
	return nil
}

// lackHands has a refusal say that with nobody elsewhere there would be a plan: it names the
// polishers where the search has found one with more of them.
func lackHands(r *plan.Refusal) {
	limit := NoHands
	if r.Limit == plan.Polishers {
		limit = NoPolishers
	}
	r.Limit, r.Share = limit, 0
}

// LacksHands reports whether a plan was refused for what is elsewhere alone.
func LacksHands(r *plan.Refusal) bool { return r.Limit == NoHands || r.Limit == NoPolishers }

// placelessFree is placeless with all of the crew here.
func (p *planner) placelessFree(r *plan.Refusal) bool {
	taken := p.in.Taken
	p.in.Taken = nil
	defer func() { p.in.Taken = taken }()
	return p.bowless() || p.placeless(r)
}
