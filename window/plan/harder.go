package plan

import "slices"

// harder looks again for a plan of a large job where none was found: with as many steps
// as a small job may take; then with some of the people left at home. What those do is a
// plan for all of them too, and one that the rules find more easily: many hands make
// blocks short, and visits shorter than the shortest useful one.
func harder(in Input, was Result) (Result, error) {
	in.Budget = DefaultBudget
	r, err := attempt(in, false)
	r.Steps += was.Steps
	for people := in.mostPeople() - 1; err == nil && !r.Found && people > 0; people = min(people-1, (2*people+2)/3) {
		x := with(in, people)
		x.Steps += r.Steps
		x.Proven, x.Bound = 0, r.Bound // what is proven for some may not hold for all
		r = x
	}
	if !r.Found {
		r.Refusal = was.Refusal
	}
	return r, err
}

// mostPeople is how many there are on the day with most.
func (in *Input) mostPeople() int {
	most := 0
	for _, d := range in.Days {
		most = max(most, d.People)
	}
	return most
}

// with looks for a plan with no more than so many people at work on any day; there is
// none where a task needs more, or is pinned with more.
func with(in Input, people int) Result {
	in.Budget = largeBudget / 2
	in.Days, in.Tasks = slices.Clone(in.Days), slices.Clone(in.Tasks)
	for d := range in.Days {
		in.Days[d].People = min(in.Days[d].People, people)
	}
	for t := range in.Tasks {
		x := &in.Tasks[t]
		if x.Least > people || x.Pinned && x.Held.People > people {
			return Result{}
		}
		x.Most = min(x.Most, people)
	}
	r, _ := attempt(in, false) // what was right with all of them is right with fewer
	return r
}
