package app

import (
	"maps"
	"slices"
	"time"

	"dewgap/window/job"
)

// dated is how a moment far from now is written in words.
const dated = "Mon 2 Jan 2006 15:04"

// pastInFuture is the error of a job that tells what has happened and dates it
// after now: the first such date, nil without any.
func pastInFuture(j *job.Job, file *JobFile, now time.Time) error {
	check := func(what string, at time.Time) error {
		if !at.After(now) {
			return nil
		}
		p := &Problem{
			Text: what + " is " + at.In(j.Location()).Format(dated) + ", which is after now, " + now.In(j.Location()).Format(dated) +
				": it tells what has happened",
			Fix: "mend the date",
		}
		if file != nil {
			p.Where = file.Name
		}
		return p
	}
	if err := check("`rain` under `since`", j.Since.Rain); err != nil {
		return err
	}
	if err := check("`wash` under `since`", j.Since.Wash); err != nil {
		return err
	}
	for _, z := range j.Zones {
		for _, step := range slices.Sorted(maps.Keys(z.Done)) {
			if err := check("`"+step+"` under `done` of "+z.Name, z.Done[step].At); err != nil {
				return err
			}
		}
	}
	return nil
}

// mustInPast warns of the moments that the plan has to meet and that are over.
func mustInPast(j *job.Job, now time.Time) []string {
	var out []string
	for _, name := range slices.Sorted(maps.Keys(j.Must)) {
		if at := j.Must[name]; at.Before(now) {
			out = append(out, "`"+name+"` under `must` is "+at.In(j.Location()).Format(dated)+
				", which is over: mend the date in the job")
		}
	}
	return out
}
