package app

import (
	"fmt"
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
	for _, x := range j.Past {
		if !x.At.After(now) {
			continue
		}
		p := &Problem{
			Text: x.What + " is " + x.At.In(j.Location()).Format(dated) + ", which is after now, " + now.In(j.Location()).Format(dated) +
				": it tells what has happened",
			Fix: "mend the date",
		}
		if file != nil {
			p.Where = fmt.Sprintf("%s:%d:%d", file.Name, x.Line, x.Column)
		}
		return p
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
