package window

import (
	"errors"
	"fmt"
	"slices"

	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// some is the result of a job that asks for less on the same zones: rows of the
// ladder's own, for no row depends on another but through a wash before it, and
// that is kept.
func (l *ladder) some(j *job.Job) (*Result, error) {
	own, err := l.own()
	if err != nil {
		return nil, err
	}
	var rows []Row
	for i := range own.Rows {
		if x := &own.Rows[i]; slices.Contains(j.Steps[x.Step].On, x.Zone) {
			rows = append(rows, *x)
		}
	}
	return ranked(own, j, rows), nil
}

// swapped is the result of a job with another product for one step: the rows of that
// step worked out, with the washes before it, and the others as they were.
func (l *ladder) swapped(j *job.Job, step int) (*Result, error) {
	own, err := l.own()
	if err != nil {
		return nil, err
	}
	in := l.Input
	in.Job = copyOf(j)
	for s := range in.Job.Steps {
		if s != step && !washes(in.Job.Steps[s]) {
			in.Job.Steps[s].On = nil
		}
	}
	fresh, err := Evaluate(in)
	if err != nil {
		return nil, err
	}
	rows := slices.Clone(own.Rows)
	for i := range rows {
		if rows[i].Step != step {
			continue
		}
		for k := range fresh.Rows {
			if x := &fresh.Rows[k]; x.Step == step && x.Zone == rows[i].Zone {
				rows[i] = *x
			}
		}
	}
	return ranked(own, j, rows), nil
}

// ranked is a result with other rows.
func ranked(own *Result, j *job.Job, rows []Row) *Result {
	r := *own
	r.Rows = rows
	for i := range r.Rows {
		r.Rows[i].Windows = slices.Clone(r.Rows[i].Windows) // a rank is written into each
	}
	r.Ranked = make([][]Ref, len(j.Steps))
	r.rank()
	return &r
}

func (l *ladder) findPlaceless() ([]work, error) {
	r, err := l.own()
	if err != nil {
		return nil, err
	}
	p := newPlanner(r, l.Job, l.Plan)
	p.in.Taken = nil // that is no matter of rows: see hands
	p.chains()
	var out []work
	for i := range p.works {
		if w := &p.works[i]; !p.hasPlace(p.task(w)) {
			out = append(out, *w)
		}
	}
	return out, nil
}

// hands has the whole crew here: of no account where nobody is elsewhere.
func (l *ladder) hands() ([]Rung, error) {
	if len(l.Elsewhere) == 0 {
		return nil, nil
	}
	r := Rung{Way: WayHands, Whole: true, What: "the whole crew here, nobody elsewhere"}
	own, err := l.own()
	if err != nil {
		own = &Result{}
	}
	free := *own
	free.Elsewhere = nil
	if p := l.Refused; p != nil && p.AllHands != nil && p.beside == own { // the search has been made
		r.Tried, r.Job, r.Result, r.Planned = true, l.Job, &free, p.AllHands
		return []Rung{r}, nil
	}
	r, err = l.planOn(r, l.Job, &free, err)
	return []Rung{r}, err
}

// past is a work that stays without a place though one step, or some zones, are
// changed: why that is no way to get on. "" where nothing is known to speak against
// it.
func (l *ladder) past(changed func(w work) bool) (string, error) {
	none, err := l.placeless()
	if errors.Is(err, ErrNoHorizon) {
		return "", nil // the rung says so itself
	}
	for i := range none {
		if w := &none[i]; !changed(*w) {
			return fmt.Sprintf("that alone does not do: %s has no place on %s, whatever comes before it",
				l.Job.Steps[w.step].Name, l.Job.Zones[w.zone].Name), nil
		}
	}
	return "", err
}

// lookedAtLonger plans a part of the job that will be done, and not only told: where a quick
// search has not proven its plan the best, a longer one is made beside it, and the better
// plan of the two is taken.
func (l *ladder) lookedAtLonger(r Rung, keep func(step, zone int) bool) (Rung, error) {
	quick, err := l.part(r, "", keep)
	if err != nil || l.RestBudget <= l.Plan.Budget || quick.Planned == nil || quick.Planned.settled() {
		return quick, err
	}
	long := *l // what has been found out so far is shared
	long.Plan.Budget = l.RestBudget
	out, err := long.part(r, "", keep)
	if err != nil || quick.Planned.Found && (!out.Planned.Found || quick.Planned.Score.Less(out.Planned.Score)) {
		return quick, err
	}
	return out, nil
}

// settled reports whether no longer search finds anything better: the plan is proven in
// all that it is compared by, or there is certainly none.
func (p *Planned) settled() bool {
	return p.Proven == plan.Criteria || p.Refusal != nil && p.Refusal.Certain
}

// cleaned is the first of the steps on a zone that do nothing but clean it for a step: the
// strip wash and the wiping right before it, else the step itself.
func (l *ladder) cleaned(step, zone int) int {
	for s := step - 1; s >= 0; s-- {
		x := l.Job.Steps[s]
		switch {
		case !slices.Contains(x.On, zone) || x.Do == "inspect":
		case x.Do == "strip wash" || x.Do == "wipe down":
			step = s
		default:
			return step
		}
	}
	return step
}

// under are zones by name with all that their water runs onto.
func (l *ladder) under(names []string) []string {
	out := slices.Clone(names)
	for i := 0; i < len(out); i++ {
		for _, z := range l.Job.Zones {
			if z.Name != out[i] {
				continue
			}
			for _, below := range z.DrainsTo {
				if !slices.Contains(out, below) {
					out = append(out, below)
				}
			}
		}
	}
	return out
}

// wash puts a wash before all else on the zones that salt keeps from their steps; no
// rung where there is none.
func (l *ladder) wash() ([]Rung, error) {
	own, err := l.own()
	if errors.Is(err, ErrNoHorizon) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var salty []int
	var names []string
	for i := range own.Rows {
		r := &own.Rows[i]
		if !slices.Contains(salty, r.Zone) && slices.Contains(own.Salty, r.Zone) &&
			slices.ContainsFunc(r.Refusals, func(x verdict.Run) bool { return x.Limit == verdict.Salt }) {
			salty, names = append(salty, r.Zone), append(names, l.Job.Zones[r.Zone].Name)
		}
	}
	with := l.washClass()
	if len(salty) == 0 || with == "" {
		return nil, nil
	}
	j := copyOf(l.Job)
	for _, z := range salty {
		for _, s := range []string{"wash", "strip wash", saltWash} {
			delete(j.Zones[z].Done, s) // done before the salt came
		}
	}
	name := "wash"
	if _, taken := j.Step(name); taken {
		name = saltWash
	}
	j.Steps = slices.Insert(j.Steps, 0, job.Step{Name: name, Do: "wash", With: with, On: salty, Coats: 1})
	r, err := l.plan(Rung{Way: WayWash, Whole: true, What: "a flood rinse and a wash of " + named(names, len(l.Job.Zones)) + " first"}, j)
	return []Rung{r}, err
}

// saltWash names a wash for the salt where the job has another.
const saltWash = "salt wash"

// washClass is a class that washes on every finish, "" where none is known.
func (l *ladder) washClass() string {
	i := slices.IndexFunc(l.Known, func(c products.Class) bool {
		return c.Do == "wash" && slices.Contains(c.AlsoDo, "strip wash")
	})
	if i < 0 {
		return ""
	}
	return l.Known[i].ID
}

// lasts reports whether a row has no window and nothing but limits against it that come
// with the job and not with the weather or the day. A job that gives hours or people for
// single dates may have better ones to come.
func (l *ladder) lasts() (bool, error) {
	if j := l.Job; len(j.Hours.Dates)+len(j.Place.Machines.Dates)+len(j.Place.Washing.Dates)+len(j.PeopleDates) > 0 {
		return false, nil
	}
	own, err := l.own()
	if errors.Is(err, ErrNoHorizon) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	return slices.ContainsFunc(own.Rows, func(r Row) bool {
		return len(r.Windows) == 0 && len(r.Refusals) > 0 && !slices.ContainsFunc(r.Refusals, func(x verdict.Run) bool {
			switch x.Limit {
			case verdict.Hours, verdict.Machines, verdict.Water, verdict.People, verdict.Finish, verdict.Salt, verdict.Block:
				return false
			}
			return true
		})
	}), nil
}
