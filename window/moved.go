package window

import (
	"errors"
	"slices"
	"time"

	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// Booked is a block of an earlier plan.
type Booked struct {
	Step, Zone   string // names, as the plan was kept; a job may have lost them since
	Coat         int    // from 1
	From, To     time.Time
	WorkTo       time.Time // where its haze begins; zero: To
	People       []int     // numbers, from 1
	PersonHours  float64
	State        verdict.State
	Confidence   float64 // 0–1
	NeedsConsent bool
	Redo         bool // for a part that rain had spoiled already
}

// MoveInput is all that moving a plan depends on.
type MoveInput struct {
	// Input is as for Evaluate, under the newest forecast, its job with what is done.
	// Its Rained is the Rain below.
	Input
	Old    []Booked
	Worked []Worked // with the times at which it was done; what is only in the job counts as done at its end
	// Rain that fell; of days of which nothing is told the forecast's own counts, since
	// the work began. Empty and not nil: none fell.
	Rain []Rain
	Bad  []Bad
	// Parts is the work as it was logged part by part, each at its own end; nothing of a
	// step on a zone where that is not known. No share is in two of them.
	Parts []Worked
	// Salted are zones with salt on them: what was done there does not stand for a wash.
	Salted []int
	// LeaveOut tells of a step on a zone, by their names, that it is not to be planned, for the
	// plan is of a part of the job. nil: all is.
	LeaveOut func(step, zone string) bool
	Plan     PlanSettings
}

// Moved is a plan moved the least that it can be.
type Moved struct {
	Stock *Stock // what the rain left of the work
	// Job is the one that was planned: with what rain spoiled taken back. Its zones
	// past Origin's own are parts of zones to be redone.
	Job     *job.Job
	Origin  []int // per zone of Job: the zone of the job that was given
	Result  *Result
	Planned *Planned // Found is false where there is no plan: then ask Ladder
	Rain    []Rain
	Fates   []ZoneFate // zones and steps of the job that was given
	Undone  []Undone
	Changes []Change // block by block, in the order of the new plan, then what has none

	LeftOut int // steps on zones with work left that were not planned, as they were to be left out

	Blocks int // old blocks that are still to be done
	Moved  int // of them, how many stand elsewhere now
	// Proven: no plan moves fewer and keeps the hand-over as well, however the work is
	// cut up. Least is what no plan can beat.
	Proven   bool
	Least    int
	Handover Handover
	AddedH   float64 // person-hours that the rain has added
}

// Undone is work that counts as done no longer, for whoever keeps the record.
type Undone struct {
	Step, Zone int     // of the job that was given
	Share      float64 // of the zone that has to be done again
	Fate       Fate    // Rewash or Redo
	// Stale and Early: no rain took it, but its age, or work by machine after it.
	Stale, Early bool
	// Over: it lies over other work that was found bad, and comes off with that. Film: it
	// was found bad itself, and what it left has to come off first.
	Over, Film bool
	// Whole: it is asked again on the zone itself; else on a part of it, which is a
	// zone of its own in the job that is left.
	Whole bool
}

// Handover is what became of the date that was promised.
type Handover struct {
	By       time.Time // end of the promised day; where none was, of the old plan's last day; zero: neither
	Promised bool      // the job says it
	Kept     bool
	Days     int    // how many days later it must be
	Must     string // the moment that has to move too, "" if none
	// Proven: there is no plan that keeps it. True where it is kept.
	Proven bool
	Ends   time.Time // of the new plan; zero without one
}

// ErrMoveRain is rain that ends before it begins.
var ErrMoveRain = errors.New("a spell of rain must end after it begins")

// Move moves a plan after rain or a lost day: it tells the fate of the work that
// was done, takes back what is spoiled, and books what is left so that the
// promised hand-over is kept if it can be, else broken by the fewest days, and,
// given that, the fewest blocks move. What is moved is placed as a new plan would
// place it. Blocks move only if they cannot stay; one that is far less sure than
// it was moves where that helps. What is over and nobody had to log yet is taken to be
// done: see [GraceUntil].
//
// Its errors are those of [Evaluate], and [ErrMoveRain].
func Move(in MoveInput) (*Moved, error) {
	for _, r := range in.Rain {
		if !r.To.After(r.From) {
			return nil, ErrMoveRain
		}
	}
	m := &mover{in: in, loc: in.Location}
	m.in.Rained = in.Rain
	stock, err := TakeStock(m.in)
	if err != nil {
		return nil, err
	}
	m.fixed, m.out.Stock = copyOf(stock.Job), stock
	m.out.Origin, m.out.Rain, m.out.Fates, m.out.Undone = stock.Origin, stock.Rain, stock.Fates, stock.Undone
	m.leaveOut()
	m.takeAsDone()
	if err := m.book(); err != nil {
		return nil, err
	}
	m.compare()
	m.handsLack()
	return &m.out, nil
}

// handsLack says of a plan that was not found whether there would be one were nobody of
// the crew elsewhere. That is told besides: where it cannot be worked out, what is known
// of the move stands, and why that is all.
func (m *mover) handsLack() {
	p := m.out.Planned
	if p.Found || len(m.in.Elsewhere) == 0 || p.Refusal.Limit == NoBow {
		return
	}
	in := m.in
	in.Elsewhere = nil
	switch free, err := Move(in); {
	case err != nil:
		p.Notes = append(slices.Clone(p.Notes), handsUntold+err.Error())
	case free.Planned.Found:
		p.AllHands = free.Planned
		lackHands(p.Refusal)
	}
}

// handsUntold begins the note of a move of which that is not known.
const handsUntold = "whether there is a plan with the whole crew here could not be worked out: "

type mover struct {
	in    MoveInput
	loc   *time.Location
	fixed *job.Job // with the spoiled work taken back
	out   Moved
	p     *planner
	// unlogged: old blocks that are taken to be done though nobody wrote it yet.
	unlogged []bool
	// idle: old blocks whose time has come and that cannot have been begun.
	idle map[int]bool
	// atWork: today's work has begun by the old plan.
	atWork bool
	holds  []hold       // per task of the planner
	anew   *plan.Result // the plan that would be made without an old one, where that was asked
	marks  marks
	behind map[int]int // washes moved behind rain, by task: the task that they are for
	tries  int         // left to look whether more blocks can stay
}

// book looks for the plan, under the hand-over that was promised first, then
// later day by day as far as the forecast reaches: with the moments that must be
// met as they are, else moved by as much.
func (m *mover) book() error {
	h := &m.out.Handover
	h.Proven = true
	m.promised()
	days := 0
	if !m.fixed.By.IsZero() {
		days = int(m.in.Forecast.End().Sub(m.fixed.By.Next().Begins(m.loc)).Hours()/24) + 1
	}
	for d := 0; d <= max(0, min(days, horizonDays)); d++ {
		for _, musts := range [...]bool{false, true} {
			if musts && (d == 0 || len(m.fixed.Must) == 0) {
				continue
			}
			found, err := m.try(d, musts)
			if err != nil || found {
				return err
			}
			if p := m.out.Planned; p != nil && p.Refusal.Limit == NoBow {
				h.Kept = false
				return nil // no later day helps
			}
		}
	}
	h.Kept = false
	return m.hopeless()
}

// promised notes the hand-over.
func (m *mover) promised() {
	h := &m.out.Handover
	if by := m.fixed.By; !by.IsZero() {
		h.By, h.Promised = by.Next().Begins(m.loc), true
		return
	}
	for _, b := range m.in.Old {
		if end := job.DateOf(b.To.Add(-1).In(m.loc)).Next().Begins(m.loc); end.After(h.By) {
			h.By = end
		}
	}
}

// try plans with the hand-over so many days later.
func (m *mover) try(days int, musts bool) (found bool, err error) {
	j := later(m.fixed, days, musts)
	in := m.in.Input
	in.Job = j
	r, err := Evaluate(in)
	if errors.Is(err, ErrNoHorizon) && days == 0 {
		return false, nil // the promised day is over
	}
	if err != nil {
		return false, err
	}
	m.p = newPlanner(r, j, m.in.Plan)
	m.arrive()
	m.p.chains()
	if m.p.bowless() {
		m.out.Job, m.out.Result, m.out.Planned = j, r, m.p.noBow()
		return false, nil
	}
	p, err := m.solve()
	if err != nil {
		return false, err
	}
	if m.out.Job == nil || p.Found {
		m.out.Job, m.out.Result, m.out.Planned = j, r, p
	}
	h := &m.out.Handover
	if !p.Found {
		h.Proven = h.Proven && p.Refusal.Certain
		return false, nil
	}
	h.Days, h.Ends = days, m.p.at(p.Score.Finish)
	if len(p.Blocks) == 0 {
		h.Ends = m.lastUnlogged()
	}
	h.Kept = days == 0 && (h.By.IsZero() || !h.Ends.After(h.By))
	if h.Kept {
		h.Proven = true
	}
	if musts {
		h.Must = firstMust(j)
	}
	return true, nil
}

// hopeless fills in what is said where there is no plan at all. Where even the
// first horizon is over there is nothing to show.
func (m *mover) hopeless() error {
	if m.out.Job == nil {
		return ErrNoHorizon
	}
	return nil
}
