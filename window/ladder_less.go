package window

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"

	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// helper has more people on every day of work: as many as the product that asks for the most,
// where fewer come on all of them; else one more, where a plan fails for lack of hands or of
// hours at the machine. Where enough come on any day, the product is a matter of the days.
func (l *ladder) helper() ([]Rung, error) {
	come, need := l.Job.MostPeople(), 0
	for step := range l.Job.Steps {
		if c, ok := l.Classes.Class(l.Job.Steps[step].With); ok && l.left(step) {
			need = max(need, c.People)
		}
	}
	what, more := fmt.Sprintf("%d people there, as the product asks", need), func(n int) int { return max(n, need) }
	if need <= come {
		if !l.fewHands() {
			return nil, nil
		}
		what, more = fmt.Sprintf("%d people there, one more than now", come+1), func(n int) int { return n + 1 }
	}
	r := Rung{Way: WayHelper, Whole: true, What: what}
	j := copyOf(l.Job)
	j.People, j.PeopleWeekday, j.PeopleDates = more(j.People), raised(j.PeopleWeekday, more), raised(j.PeopleDates, more)
	r, err := l.plan(r, j)
	return []Rung{r}, err
}

// fewHands reports whether the plan fails for lack of people, or of hours at the machine, of
// which each has some.
func (l *ladder) fewHands() bool {
	if l.Refused == nil || l.Refused.Refusal == nil {
		return false
	}
	limit := l.Refused.Refusal.Limit
	return limit == verdict.People.String() || limit == verdict.Machines.String()
}

// raised are the people of some days, more of them wherever there is anybody.
func raised[K comparable](days map[K]int, more func(int) int) map[K]int {
	out := maps.Clone(days)
	for k, n := range out {
		if n > 0 {
			out[k] = more(n)
		}
	}
	return out
}

// leftOut is what is not done for now, with what comes after it on its zone: by zone, the
// step from which on.
type leftOut map[int]int

// add leaves out a step on a zone as well; false where it is out already.
func (o leftOut) add(step, zone int) bool {
	if s, known := o[zone]; known && s <= step {
		return false
	}
	o[zone] = step
	return true
}

// rest leaves out what has no place whatever comes before it, and then what has none for what
// must come before it. Where all has a place, but not together, it is what has the least work
// of all that makes room for the others, or as much as there is room for. some is false where
// nothing is left out, or nothing leads on.
func (l *ladder) rest() (r Rung, some bool, err error) {
	none, err := l.placeless()
	if errors.Is(err, ErrNoHorizon) {
		return r, false, nil // the other rungs say so themselves
	}
	if err != nil {
		return r, false, err
	}
	out := leftOut{}
	for i := range none {
		out.add(none[i].step, none[i].zone)
	}
	if w, stuck := stuckOn(l.Refused); stuck && len(out) == 0 {
		out.add(w.Step, w.Zone)
	}
	if len(out) == 0 {
		return l.fewer()
	}
	for {
		if r, some, err = l.allBut(out, l.lookedAtLonger); err != nil || !some || r.Planned == nil || r.Planned.Found {
			return r, some, err
		}
		if w, stuck := stuckOn(r.Planned); !stuck || !out.add(w.Step, w.Zone) {
			break
		}
	}
	if much, found, err := l.asMuch(out); err != nil || found {
		return much, found, err
	}
	return r, true, nil
}

// stuckOn is the task that certainly has no place in a plan that is none, where it is one.
func stuckOn(p *Planned) (t PlanTask, ok bool) {
	if p == nil || p.Refusal == nil || !p.Refusal.Certain || p.Refusal.Task < 0 {
		return t, false
	}
	return p.Tasks[p.Refusal.Task], true
}

// allBut has all planned that is not left out; some is false where that is not the greater
// part.
func (l *ladder) allBut(out leftOut, look func(Rung, func(step, zone int) bool) (Rung, error)) (r Rung, some bool, err error) {
	keep := func(s, z int) bool { from, is := out[z]; return !is || s < l.cleaned(from, z) }
	if _, kept, rest := l.only(keep); kept <= rest {
		return r, false, nil
	}
	var left []string
	for z := range l.Job.Zones {
		if s, is := out[z]; is {
			left = append(left, l.Job.Steps[s].Name+" on "+l.Job.Zones[z].Name)
		}
	}
	r, err = look(Rung{Way: WayRest, What: "all but " + andAll(shortened(left)) + l.fallen(out, keep)}, keep)
	return r, true, err
}

// fallen says which work is undone as well with what is left out: what comes after it on its
// zone, and what would only clean the zone for that. "" where there is none.
func (l *ladder) fallen(out leftOut, keep func(step, zone int) bool) string {
	p := planner{j: l.Job}
	var steps []string
	for s, step := range l.Job.Steps {
		if slices.ContainsFunc(step.On, func(z int) bool {
			named, is := out[z]
			return is && s != named && !keep(s, z) && p.doneShare(z, step) < 1
		}) {
			steps = append(steps, step.Name)
		}
	}
	falls, it := "falls", "it"
	switch {
	case len(steps) == 0:
		return ""
	case len(steps) > 1:
		falls = "fall"
	}
	if len(out) > 1 {
		it = "them"
	}
	return "; " + andAll(steps) + " there " + falls + " with " + it
}

// mostFewer is for how many choices of zones a plan without their dry work is looked for.
const mostFewer = 5

// fewer leaves out the dry work of one zone, the least work first, or that of the zones with
// the most: what can be done by the day that is promised; else as much as there is room for.
func (l *ladder) fewer() (Rung, bool, error) {
	if l.Refused == nil || l.Refused.Refusal == nil {
		return Rung{}, false, nil
	}
	own, err := l.own()
	if err != nil {
		return Rung{}, false, err
	}
	for _, out := range l.choices(own) {
		r, some, err := l.allBut(out, l.quickly)
		if err != nil {
			return r, false, err
		}
		if some && r.Planned != nil && r.Planned.Found {
			return l.allBut(out, l.lookedAtLonger)
		}
	}
	return l.asMuch(leftOut{})
}

// asMuch leaves out whole zones beside what is out already, until the others have room in the
// days of the forecast: a large boat takes longer than it reaches, and what is done in these
// days is done. Those with the most work go first, for fewest are left then; what has been
// begun stays in as long as may be. found is false where no such part has a plan.
func (l *ladder) asMuch(out leftOut) (r Rung, found bool, err error) {
	own, err := l.own()
	if err != nil {
		return r, false, err
	}
	zones := l.mostWork(own)
	few, many := 0, len(zones) // with few left out there is no plan
	for few+1 < many {
		n := (few + many) / 2
		_, found, err := l.without(zones[:n], out, l.quickly)
		if err != nil {
			return r, false, err
		}
		if found {
			many = n
		} else {
			few = n
		}
	}
	if many == len(zones) {
		return r, false, nil
	}
	left, err := l.takenIn(zones[:many], out)
	if err != nil {
		return r, false, err
	}
	return l.without(left, out, l.lookedAtLonger)
}

// without has all planned but some zones, and what is out already.
func (l *ladder) without(zones []int, out leftOut, look func(Rung, func(step, zone int) bool) (Rung, error)) (r Rung, found bool, err error) {
	r, err = look(Rung{Way: WayRest, What: l.muchWords(zones, out)}, func(s, z int) bool {
		from, is := out[z]
		return !slices.Contains(zones, z) && (!is || s < l.cleaned(from, z))
	})
	return r, err == nil && r.Planned != nil && r.Planned.Found, err
}

// mostRefused is how many zones in a row are tried to be taken in for nothing.
const mostRefused = 3

// takenIn is what stays left out of some zones once each, the least work first, has been taken
// in where there is room for it: one alone that has none may have kept the smaller ones out.
func (l *ladder) takenIn(zones []int, out leftOut) ([]int, error) {
	left, refused := zones, 0
	for _, z := range slices.Backward(zones) {
		if refused == mostRefused {
			break
		}
		less := slices.DeleteFunc(slices.Clone(left), func(x int) bool { return x == z })
		_, found, err := l.without(less, out, l.quickly)
		if err != nil {
			return nil, err
		}
		if refused++; found {
			left, refused = less, 0
		}
	}
	return left, nil
}

// mostWork are the zones on which work is left: those with the most of it first, and behind
// them those on which some is done.
func (l *ladder) mostWork(own *Result) []int {
	p := newPlanner(own, l.Job, l.Plan)
	p.in.Taken = nil
	p.chains()
	work := map[int]int{}
	for i := range p.works {
		work[p.works[i].zone] += p.works[i].person
	}
	begun := func(z int) int {
		if slices.ContainsFunc(l.Job.Steps, func(s job.Step) bool {
			return slices.Contains(s.On, z) && p.doneShare(z, s) > 0
		}) {
			return 1
		}
		return 0
	}
	return slices.SortedFunc(maps.Keys(work), func(a, b int) int {
		return cmp.Or(cmp.Compare(begun(a), begun(b)), cmp.Compare(work[b], work[a]), cmp.Compare(a, b))
	})
}

// muchWords say what is left out where as much is planned as there is room for.
func (l *ladder) muchWords(zones []int, out leftOut) string {
	var left []string
	for _, z := range zones {
		left = append(left, l.Job.Zones[z].Name)
	}
	for _, z := range slices.Sorted(maps.Keys(out)) {
		if !slices.Contains(zones, z) {
			left = append(left, l.Job.Steps[out[z]].Name+" on "+l.Job.Zones[z].Name)
		}
	}
	return "as much as there is room for: all but " + andAll(shortened(left))
}

// shortened is a list with a count in the place of what is past its first few.
func shortened(left []string) []string {
	const few = 3
	if n := len(left); n > few {
		return append(left[:few-1:few-1], fmt.Sprintf("%d more", n-few+1))
	}
	return left
}

// quickly looks whether a part of the job has a plan. Of that nothing more is told, so it is not
// looked at for what rain would have washed anew.
func (l *ladder) quickly(r Rung, keep func(step, zone int) bool) (Rung, error) {
	j, kept, rest := l.only(keep)
	if kept == 0 || rest == 0 {
		return r, nil
	}
	result, err := l.some(j)
	if err != nil {
		return r, err
	}
	found, err := plannable(result, j, l.Plan)
	r.Planned = &Planned{Result: plan.Result{Found: found}}
	return r, err
}

// choices are what fewer tries, in order.
func (l *ladder) choices(own *Result) []leftOut {
	p := newPlanner(own, l.Job, l.Plan)
	p.in.Taken = nil
	p.chains()
	from, work := leftOut{}, map[int]int{}
	for i := range p.works {
		w := &p.works[i]
		if first, known := from[w.zone]; known && w.step >= first || !l.standsRain(l.Job.Steps[w.step]) {
			from.add(w.step, w.zone)
			work[w.zone] += w.person
		}
	}
	zones := slices.SortedFunc(maps.Keys(from), func(a, b int) int { return cmp.Or(cmp.Compare(work[a], work[b]), cmp.Compare(a, b)) })
	var out []leftOut
	alone := zones[:min(len(zones), mostFewer-2)]
	for _, z := range alone {
		out = append(out, leftOut{z: from[z]})
	}
	most := leftOut{}
	for _, z := range slices.Backward(zones) {
		if most[z] = from[z]; len(most) > 1 || len(zones) > len(alone) {
			out = append(out, maps.Clone(most))
		}
	}
	return out[:min(len(out), mostFewer)]
}
