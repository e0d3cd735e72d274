package window

import (
	"maps"
	"slices"
	"time"

	"dewgap/window/boat"
	"dewgap/window/job"
)

// copyOf is a job whose zones, steps and covers may be changed.
func copyOf(j *job.Job) *job.Job {
	out := *j
	out.Zones, out.Steps, out.Covers = slices.Clone(j.Zones), slices.Clone(j.Steps), slices.Clone(j.Covers)
	out.Berths, out.Must = slices.Clone(j.Berths), maps.Clone(j.Must)
	for z := range out.Zones {
		out.Zones[z].Done = maps.Clone(j.Zones[z].Done)
		out.Zones[z].DrainsTo, out.Zones[z].RunsOnto = slices.Clone(j.Zones[z].DrainsTo), slices.Clone(j.Zones[z].RunsOnto)
	}
	for s := range out.Steps {
		out.Steps[s].On = slices.Clone(j.Steps[s].On)
	}
	for c := range out.Covers {
		out.Covers[c].Zones = slices.Clone(j.Covers[c].Zones)
	}
	return &out
}

// later is a job that may end so many days later, its moments to be met too where
// asked.
func later(j *job.Job, days int, musts bool) *job.Job {
	if days == 0 {
		return j
	}
	out := copyOf(j)
	for range days {
		out.By = out.By.Next()
	}
	if musts {
		for name, at := range out.Must {
			out.Must[name] = at.AddDate(0, 0, days)
		}
	}
	return out
}

// firstMust is the first moment that a job must meet, "" without any.
func firstMust(j *job.Job) string {
	name := ""
	for n, at := range j.Must {
		if was, ok := j.Must[name]; !ok || at.Before(was) || (at.Equal(was) && n < name) {
			name = n
		}
	}
	return name
}

// doneOn is what a job says is done of a step on a zone.
func doneOn(j *job.Job, zone int, s job.Step) (boat.Done, bool) {
	p := planner{j: j}
	return p.doneOf(zone, s)
}

// setDone says how much of a step is done on a zone, nothing with no share.
func setDone(j *job.Job, zone int, step string, at time.Time, share float64) {
	z := &j.Zones[zone]
	if z.Done == nil {
		z.Done = map[string]boat.Done{}
	}
	z.Done[step] = boat.Done{At: at, Share: share}
}

// leaveOut takes what is not to be planned out of the job, once it is known what became of
// all its work. What has to be done again of a zone is a zone of its own and stays in.
func (m *mover) leaveOut() {
	if m.in.LeaveOut == nil {
		return
	}
	m.fixed, _, m.out.LeftOut = Part(m.fixed, func(step, zone int) bool {
		return !m.in.LeaveOut(m.fixed.Steps[step].Name, m.fixed.Zones[zone].Name)
	})
}
