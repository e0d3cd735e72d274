package window

import (
	"cmp"
	"slices"

	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// Trips is on how many days that are none of the plan's somebody comes to wash a panel anew.
func (p *Planned) Trips() int { return tripsOf(p.Wetted) }

func tripsOf(wetted map[int]Wetting) int {
	days := map[job.Date]bool{}
	for _, w := range wetted {
		if w.Trip {
			days[job.DateOf(w.By)] = true
		}
	}
	return len(days)
}

// How often a whole plan is looked for whose washes stand after the rain, for what is put
// right of one may go wrong with another, and in how many steps all but the first of them; in
// how many steps a plan of which most is pinned, and how often; and for plans of how many blocks
// at most.
const (
	dryRounds    = 4
	againBudget  = 1_000_000
	pinnedBudget = 20_000
	mostSingly   = 12
	dryBlocks    = 64
)

// book makes of what the planner found the plan that is told: its washes after the
// rain where that is better, and where it rains all the same, that it does; and where
// whoever washes may better change the order.
func (p *planner) book(r plan.Result) *Planned {
	out := p.planned(r)
	if len(out.Wetted) > 0 && len(out.Blocks) <= dryBlocks {
		p.inOneGo(out)
		p.drier(out)
	}
	p.tellDown(out)
	return out
}

// inOneGo looks for another plan in the place of one that rain, or too long a wait, has wash
// some panels anew, which nobody has booked: one whose washes stand after the rain from the
// start, that asks for no more consent, is as sure within a band of noise, and is over by the
// day after, or whenever it can be where the other one leaves no hours for what it asks.
func (p *planner) inOneGo(out *Planned) {
	in := p.in
	if in.Tasks = slices.Clone(in.Tasks); unbookedOf(out.Wetted).noTime == 0 {
		until(&in, p.in.Days[min(p.lastDay(out.Blocks)+1, len(p.in.Days)-1)].Close)
	}
	left := 2 * cmp.Or(p.in.Budget, plan.DefaultBudget)
	was, wetted := out.Score, out.Wetted
	for round := 0; round < dryRounds && left > 0; round++ {
		tasks := p.washedAnew(wetted)
		for _, t := range tasks {
			p.washAfterRain(&in, t, wetted[t].After)
		}
		if len(tasks) == 0 {
			break
		}
		in.Budget = left
		r, err := plan.Solve(in)
		if left = min(left-r.Steps, againBudget); err != nil || !r.Found || r.Score.Consents > was.Consents || r.Score.FivePoints < was.FivePoints-noise {
			break
		}
		if wetted = p.wetted(r.Blocks); p.drierThan(r.Score, wetted, out.Score, out.Wetted) {
			p.put(out, r, wetted)
		}
	}
}

// washedAnew are the tasks before which a plain or a strip wash is to be done once more, in
// order: what was compounded lies no worse before rain than after it.
func (p *planner) washedAnew(wetted map[int]Wetting) []int {
	var tasks []int
	for t, w := range wetted {
		if washes(p.j.Steps[w.After]) {
			tasks = append(tasks, t)
		}
	}
	slices.Sort(tasks)
	return tasks
}

// drier moves the washes that rain or too long a wait would follow behind it, one zone
// after another where not all can, all else but their days as it is: where that needs no more
// consent and holds at least half as often, for the wash would be asked anew all the same.
func (p *planner) drier(out *Planned) {
	tasks := p.washedAnew(out.Wetted)
	if len(tasks) == 0 || p.washInTime(out, tasks) || len(tasks) == 1 {
		return
	}
	for _, t := range tasks[:min(len(tasks), mostSingly)] {
		if _, still := out.Wetted[t]; still {
			p.washInTime(out, []int{t})
		}
	}
}

// washInTime moves the washes before some tasks by the last day of the plan and, where the
// told ones have no time, by the day after it.
func (p *planner) washInTime(out *Planned, tasks []int) bool {
	noTime := slices.ContainsFunc(tasks, func(t int) bool { return out.Wetted[t].NoTime })
	last := p.lastDay(out.Blocks)
	return p.washLater(out, tasks, p.in.Days[last].Close) ||
		noTime && last+1 < len(p.in.Days) && p.washLater(out, tasks, p.in.Days[last+1].Close)
}

// washLater moves the washes before some tasks behind the rain: with them, and with
// what is booked on their days, all else as it is and all done by a slot.
func (p *planner) washLater(out *Planned, tasks []int, by int) bool {
	in := p.in
	in.Tasks, in.Budget = slices.Clone(p.in.Tasks), pinnedBudget
	free := map[int]bool{}
	for _, b := range out.Blocks {
		in.Tasks[b.Task].Held = plan.Held{From: b.From, People: len(b.People)}
		in.Tasks[b.Task].Pinned = true
		if slices.Contains(tasks, b.Task) {
			free[p.in.Day[b.From]] = true
		}
	}
	for _, b := range out.Blocks {
		if free[p.in.Day[b.From]] {
			in.Tasks[b.Task].Pinned = false
		}
	}
	for _, t := range tasks {
		p.washAfterRain(&in, t, out.Wetted[t].After)
	}
	until(&in, by)
	r, err := plan.Solve(in)
	if err != nil || !r.Found || r.Score.Consents > out.Score.Consents || 2*r.Score.FivePoints < out.Score.FivePoints {
		return false
	}
	if wetted := p.wetted(r.Blocks); p.drierThan(r.Score, wetted, out.Score, out.Wetted) {
		p.put(out, r, wetted)
		return true
	}
	return false
}

// unbooked is the washing anew that a plan asks for and has not booked.
type unbooked struct {
	noTime int     // before how many blocks there are no hours for it
	trips  int     // on how many days of its own
	hours  float64 // of one person
}

func unbookedOf(wetted map[int]Wetting) unbooked {
	out := unbooked{trips: tripsOf(wetted)}
	for _, w := range wetted {
		if out.hours += w.WashH; w.NoTime {
			out.noTime++
		}
	}
	return out
}

// drierThan reports whether a plan, of which that is wetted, is better than another: it
// leaves hours for more of what is washed anew; then it takes fewer days, those for a wash
// alone included, then it is over on an earlier day; then it asks for less, and then it is over
// earlier.
func (p *planner) drierThan(is plan.Score, wetted map[int]Wetting, was plan.Score, wettedWas map[int]Wetting) bool {
	u, v := unbookedOf(wetted), unbookedOf(wettedWas)
	return cmp.Or(
		cmp.Compare(u.noTime, v.noTime),
		cmp.Compare(is.Days+u.trips, was.Days+v.trips),
		cmp.Compare(p.in.Day[is.Finish-1], p.in.Day[was.Finish-1]),
		cmp.Compare(u.hours, v.hours),
		cmp.Compare(is.Finish, was.Finish),
	) < 0
}

// until has all tasks that are not pinned done by a slot.
func until(in *plan.Input, slot int) {
	for t := range in.Tasks {
		if x := &in.Tasks[t]; !x.Pinned && (x.Until <= 0 || x.Until > slot) {
			x.Until, x.UntilLimit = slot, verdict.Order.String()
		}
	}
}

// lastDay is the local day of the last of some blocks.
func (p *planner) lastDay(blocks []plan.Block) int {
	last := 0
	for day := range p.daysOf(blocks) {
		last = max(last, day)
	}
	return last
}

// noise is by how many five points plans may differ and be as sure as each other: a band of
// ten points (common practice, no source).
const noise = 2

// put puts another plan, of which that is wetted, in the place of one.
func (p *planner) put(out *Planned, r plan.Result, wetted map[int]Wetting) {
	if k := r.Score.Behind(out.Score); k < plan.Criteria { // what was proven of the other plan is no longer of this one
		out.Proven = min(out.Proven, k)
		if !slices.Contains(out.Notes, laterWash) {
			out.Notes = append(slices.Clone(out.Notes), laterWash)
		}
	}
	out.Proven = max(out.Proven, r.Score.Behind(out.Bound)) // it may well meet a bound that the other one missed
	if r.Later > 0 && !slices.Contains(out.Notes, endsLater) {
		out.Notes = append(slices.Clone(out.Notes), endsLater)
	}
	out.Blocks, out.Score, out.Confidence, out.Misses = r.Blocks, r.Score, r.Confidence, r.Misses
	out.Wetted, out.SinceRain, out.Soiled = wetted, p.sinceRain(r.Blocks), p.soiled(r.Blocks)
	out.SinceDamp = p.sinceDamp(r.Blocks)
}

// laterWash says why a plan does not end as early as it could.
const laterWash = "a wash stands later than it could: before that it would have had to be done anew"
