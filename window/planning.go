package window

import (
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// Slots is one row of the horizon slot by slot, before the shortest useful block
// is held against it: to a plan that counts for a whole visit.
type Slots struct {
	State []verdict.State
	Limit []verdict.Limit
	// Go and Marginal are, per slot, the members at least that good, a bit each, in
	// as many words a slot as Voters has: the members whose share is the confidence.
	Go, Marginal, Voters []uint64
}

func slotsOf(row *verdict.Row, from, to int) *Slots {
	s := &Slots{
		State: make([]verdict.State, to-from), Limit: make([]verdict.Limit, to-from),
		Go: row.AtLeast(verdict.Go, from, to), Marginal: row.AtLeast(verdict.Marginal, from, to), Voters: row.Voters(),
	}
	for i := range s.State {
		s.State[i], s.Limit[i] = row.Shown[from+i].State, row.Shown[from+i].Limit
	}
	return s
}

// PlanSettings are what a plan takes from the person's settings; the zero value
// is the usual practice.
type PlanSettings struct {
	MachineH  float64 // most machine hours a day of one person; 0: 4 (hand-arm vibration)
	SetUpMin  float64 // minutes from arrival to the first work; 0: 30, negative: none
	PackUpMin float64 // minutes from the last work to leaving; 0: 30, negative: none
	Budget    int     // of the search; 0: plan.DefaultBudget
}

// Planned is the plan of a whole job. Slots of its blocks count from the
// beginning of the horizon: add Result.From for slots of the grid.
type Planned struct {
	plan.Result
	Tasks []PlanTask
	Input plan.Input // what was searched, for whoever plans again with a change
	Notes []string   // what was assumed, in words
	// Wetted is, by task, the rain that is forecast on its panel while it lies bare or
	// stripped before the task's block.
	Wetted map[int]Wetting
	// SinceRain is, by task, how many slots lie between the last rain that is forecast on
	// its zone and its block, where that rain is later than the wash of its Dried.
	SinceRain map[int]int
	// SinceDamp is the same of fog, and of dew where the task's class minds that.
	SinceDamp map[int]Damp
	// Soiled is, by task, the panels below that lie washed for their film as it throws slurry
	// or lets dirty water run: no plan as good keeps them apart.
	Soiled map[int][]Clean
	// AllHands is the plan that there would be were nobody of the crew elsewhere; nil
	// where nobody is, and where hands are not what a plan lacks.
	AllHands *Planned
	beside   *Result // of AllHands, where [Plan] made it: the result that it was made for
}

// PlanTask is one task of a plan: a step on a zone, one coat of it, one part.
type PlanTask struct {
	Row, Step, Zone int // indices into Result.Rows, Job.Steps and Job.Zones
	Coat, Coats     int // from 1
	Part, Parts     int // from 1
	Share           float64
	AreaM2          float64 // of this part; 0 where the zone has none
	PersonHours     float64
	Rate            float64 // per hour and person with the access reckoned in; 0 where the hours are the person's own or assumed
	Access          float64 // factor on the hours
	Assumed         bool    // two hours, for the zone has no size
	Dull            int     // slot of the horizon from which its panel has lain bare of work that is done for too long; 0: none
}

// Plan books the job that a result was worked out for. The result must be that
// of the job. It fails only where the two do not belong together.
//
// Nothing is compounded above a zone that the plan has sealed before, where there is
// such a plan that needs no more consent than others.
func Plan(r *Result, j *job.Job, s PlanSettings) (*Planned, error) {
	out, p, err := planOf(r, j, s)
	if err != nil {
		return nil, err
	}
	return out, p.withAllHands(out)
}

// planOf is Plan but for AllHands, and the planner that made it.
func planOf(r *Result, j *job.Job, s PlanSettings) (*Planned, *planner, error) {
	p, result, err := planned(r, j, s, true)
	switch {
	case err != nil:
		return nil, nil, err
	case p.bowless():
		return p.noBow(), p, nil
	}
	if p.preferred && (!result.Found || result.Score.Consents > 0) && !p.placeless(result.Refusal) {
		free, other, err := planned(r, j, s, false)
		if err != nil {
			return nil, nil, err
		}
		if !result.Found || other.Found && other.Score.Consents < result.Score.Consents {
			p, result = free, other
		}
	}
	return p.book(result), p, nil
}

// plannable reports whether planOf finds a plan.
func plannable(r *Result, j *job.Job, s PlanSettings) (bool, error) {
	p, result, err := planned(r, j, s, true)
	if err != nil || result.Found || !p.preferred || p.placeless(result.Refusal) {
		return result.Found, err
	}
	_, result, err = planned(r, j, s, false)
	return result.Found, err
}

// planned solves a job, its zones compounded from the top down where asked.
func planned(r *Result, j *job.Job, s PlanSettings, topFirst bool) (*planner, plan.Result, error) {
	p := newPlanner(r, j, s)
	p.topFirst = topFirst
	p.chains()
	if p.bowless() {
		return p, p.noBow().Result, nil
	}
	for range mostSplits {
		p.input()
		result, err := plan.Solve(p.in)
		if err != nil || result.Found || !p.splitMore(result.Refusal) {
			return p, result, err
		}
	}
	result, err := plan.Solve(p.in)
	return p, result, err
}

// placeless reports whether a plan was refused for a work that has no place whatever
// comes before it.
func (p *planner) placeless(r *plan.Refusal) bool {
	if r == nil || r.Task < 0 {
		return false
	}
	for i := range p.works {
		if p.first[i] <= r.Task && r.Task <= p.last[i] {
			return !p.hasPlace(p.task(&p.works[i]))
		}
	}
	return false
}

// How far work on a zone is cut up: into at most so many parts, each of at least
// an hour of one person, in at most so many rounds.
const (
	mostParts     = 6
	leastPartWork = surface.PerHour
	mostSplits    = 4
)

// planner makes a plan's input of a result.
type planner struct {
	r     *Result
	j     *job.Job
	s     PlanSettings
	n     int // slots of the horizon
	in    plan.Input
	works []work // in the order in which they could be done
	tasks []PlanTask
	first []int // per work: its first task
	last  []int // per work: its last task
	notes []string
	tails map[int][]uint8
	heat  []int32
	// drains and runs tell which zone's water reaches which: dripping from an overhang,
	// and running.
	drains, runs [][]bool
	topFirst     bool       // compound from the top down
	dates        []job.Date // by local day
	preferred    bool       // … and that bound something
}

// work is one coat of a step on one zone, to be cut into parts.
type work struct {
	row, step, zone int
	coat, coats     int
	class           products.Class
	person          int // slots of one person
	parts           int
	task            PlanTask // what is said of it
	before          []before
}

// before is what must lie between an earlier work, or a done one, and a work.
type before struct {
	work  int // −1: done
	after plan.After
}

func newPlanner(r *Result, j *job.Job, s PlanSettings) *planner {
	p := &planner{r: r, j: j, s: s, n: r.To - r.From, tails: map[int][]uint8{}}
	p.in = plan.Input{
		Shortest: slotsOfHours(p.shortestH()), Gap: visitGapMin / surface.SlotMinutes, Budget: s.Budget,
		SetUp: slotsOfMinutes(s.SetUpMin, usualSetUpMin), PackUp: slotsOfMinutes(s.PackUpMin, usualPackUpMin),
		MachineSlots: slotsOfMinutes(60*s.MachineH, 60*usualMachineH), Voters: []uint64{1},
	}
	p.days()
	p.machines()
	p.away()
	for i := range r.Rows {
		if x := r.Rows[i].Slots; x != nil {
			p.in.Voters = x.Voters
		}
	}
	return p
}

// NoBow is the limit of a refusal where work is left on sides of a boat whose bow is not
// known, or swings: nobody knows how many of the faces that the compass gives her are
// hers, nor how large, so nothing was looked for.
const NoBow = "bow"

// noBow is the plan that is none for lack of the bow, which assumes nothing.
func (p *planner) noBow() *Planned {
	return &Planned{Result: plan.Result{Refusal: &plan.Refusal{Certain: true, Task: -1, Limit: NoBow}}, Input: p.in}
}

// bowless reports whether work is left on faces that stand for sides.
func (p *planner) bowless() bool {
	return slices.ContainsFunc(p.works, func(w work) bool { return p.j.Zones[w.zone].Quarter })
}

// Usual set-up and pack-up in minutes and machine hours a day (common practice;
// the last for hand-arm vibration).
const (
	usualSetUpMin  = 30
	usualPackUpMin = 30
	usualMachineH  = 4
	visitGapMin    = 30
)

// input makes the tasks anew, each work in its number of parts.
func (p *planner) input() {
	p.in.Tasks, p.in.Apart, p.in.Soils, p.in.Downs, p.in.Repeats = nil, nil, nil, nil, nil
	p.tasks, p.first, p.last = nil, nil, nil
	for i := range p.works {
		p.addWork(i)
	}
	p.keepApart()
	p.soils()
	p.downs()
	p.repeats()
}

func (p *planner) shortestH() float64 {
	if p.j.ShortestH <= 0 {
		return defaultShortestH
	}
	return p.j.ShortestH
}

// slotsOfHours is as many whole slots as hours need.
func slotsOfHours(h float64) int { return int(h/verdict.SlotHours + 0.999) }

func slotsOfMinutes(minutes, usual float64) int {
	switch {
	case minutes < 0:
		return 0
	case minutes == 0:
		minutes = usual
	}
	return slotsOfHours(minutes / 60)
}

// days lists the local days of the horizon with the people who are there. Where
// the crew has no hours, setting up and packing up take nothing from the day.
func (p *planner) days() {
	p.in.Day = make([]int, p.n)
	var date job.Date
	for i := range p.n {
		from := p.at(i)
		if d := job.DateOf(from); i == 0 || d != date {
			date = d
			p.in.Days, p.dates = append(p.in.Days, p.day(i)), append(p.dates, d)
		}
		d := len(p.in.Days) - 1
		p.in.Day[i] = d
		if p.j.Hours.Set && p.in.Days[d].People > 0 && p.j.Hours.Open(from) && p.j.Hours.Open(from.Add(surface.Slot-1)) {
			x := &p.in.Days[d]
			if x.Close == 0 {
				x.Open = i
			}
			x.Close = i + 1
		}
	}
	for d := range p.in.Days {
		if x := &p.in.Days[d]; !p.j.Hours.Set {
			x.Open, x.Close = -p.in.SetUp, p.n+p.in.PackUp
		}
	}
}

func (p *planner) day(slot int) plan.Day {
	if !p.j.WorksOn(p.at(slot)) {
		return plan.Day{}
	}
	return plan.Day{People: p.j.PeopleOn(p.at(slot))}
}

// machines tells the planner how many polishers there are, where they are fewer than the
// people of some day, or where somebody who is not of this job's people has one elsewhere:
// who is of them keeps no other from a machine by taking their own along.
func (p *planner) machines() {
	n := p.j.Polishers
	if n > 0 && (slices.ContainsFunc(p.in.Days, func(d plan.Day) bool { return d.People > n }) || slices.ContainsFunc(p.r.Elsewhere, p.takesAnother)) {
		p.in.Machines = n
	}
}

// at is the beginning of slot i of the horizon by the clock at the place.
func (p *planner) at(i int) time.Time { return p.r.Grid.At(p.r.From + i).In(p.r.Location) }

// addWork turns a work into its parts.
func (p *planner) addWork(i int) {
	w := &p.works[i]
	t := p.task(w)
	if w.parts == 0 {
		w.parts = p.fewestParts(t)
	}
	p.first = append(p.first, len(p.in.Tasks))
	for part := range w.parts {
		x := t
		x.Part = part + 1
		x.Work = (w.person + w.parts - 1) / w.parts
		if part == 0 {
			x.After = p.afters(w)
		} else {
			x.After = append([]plan.After{{Task: len(p.in.Tasks) - 1}}, p.afters(w)...)
			for k := range x.After {
				x.After[k].Overnight = 0
			}
		}
		x.Alone = p.farApart(x.After)
		p.in.Tasks = append(p.in.Tasks, x)
		said := w.task
		said.Part, said.Parts, said.Share = part+1, w.parts, 1/float64(w.parts)
		said.AreaM2 /= float64(w.parts)
		said.PersonHours = float64(x.Work) * verdict.SlotHours
		p.tasks = append(p.tasks, said)
	}
	p.last = append(p.last, len(p.in.Tasks)-1)
}

// aDayApart is how far apart two works are that cannot share a day, slots: twelve
// hours.
const aDayApart = 12 * surface.PerHour

// farApart reports whether a task cannot be done on the day of one before it, or only with
// a yes, and marks that one too: both may make a visit of their own. A rail that is washed
// in ten minutes is washed the day before it is varnished, and not four hours before.
func (p *planner) farApart(after []plan.After) bool {
	far := false
	for _, a := range after {
		if !a.NextDay && max(a.Hard, a.Go) < aDayApart {
			continue
		}
		if far = true; a.Task >= 0 {
			p.in.Tasks[a.Task].Alone = true
		}
	}
	return far
}

// afters are what must lie before a work, in tasks.
func (p *planner) afters(w *work) []plan.After {
	var out []plan.After
	for _, b := range w.before {
		a := b.after
		if a.Task = -1; b.work >= 0 {
			a.Task = p.last[b.work]
		}
		out = append(out, a)
	}
	return out
}

// task is a work as one task, without what lies before it.
func (p *planner) task(w *work) plan.Task {
	row := &p.r.Rows[w.row]
	t := plan.Task{
		Step: w.step, Zone: w.zone, Coat: w.coat, Work: w.person, Least: max(1, w.class.People), Machine: w.class.Machine,
		State: row.Slots.State, Limit: row.Slots.Limit, Go: row.Slots.Go, Marginal: row.Slots.Marginal,
		Tail: p.tail(w), Heat: p.heats(),
	}
	t.Most = t.Least
	for _, d := range p.in.Days {
		t.Most = max(t.Most, d.People)
	}
	if w.task.Assumed {
		t.Most = t.Least
	}
	p.musts(w, &t)
	if w.task.Dull > 0 {
		t = p.dulled(w, t)
	}
	return t
}

// fewestParts cuts a work into as few parts as there is a place for without
// consent; else with consent; else it stays whole.
func (p *planner) fewestParts(t plan.Task) int {
	marginal := 0
	whole := t.Work
	for k := 1; k <= mostParts && (k == 1 || whole/k >= leastPartWork); k++ {
		t.Work = (whole + k - 1) / k
		found, clean := p.in.Place(t)
		if clean {
			return k
		}
		if found && marginal == 0 {
			marginal = k
		}
	}
	return max(1, marginal)
}

// hasPlace reports whether a work has a place by itself, whole or in parts.
func (p *planner) hasPlace(t plan.Task) bool {
	whole := t.Work
	for k := 1; k <= mostParts && (k == 1 || whole/k >= leastPartWork); k++ {
		t.Work = (whole + k - 1) / k
		if found, _ := p.in.Place(t); found {
			return true
		}
	}
	return false
}

// cuttable reports whether a work may be cut into one part more.
func (w *work) cuttable() bool {
	return w.parts < mostParts && w.person/(w.parts+1) >= leastPartWork
}

// splitMore cuts the work that found no place into one part more, if that may
// help.
func (p *planner) splitMore(r *plan.Refusal) bool {
	if r == nil || r.Task < 0 {
		return false
	}
	for i := range p.works {
		w := &p.works[i]
		if r.Task < p.first[i] || r.Task > p.last[i] {
			continue
		}
		if !w.cuttable() {
			return false
		}
		w.parts++
		return true
	}
	return false
}
