package window

import (
	"maps"
	"slices"
	"strings"
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
		out.Zones[z].DrainsTo = slices.Clone(j.Zones[z].DrainsTo)
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

// takeBack returns spoiled work to the list of what is to be done.
func (m *mover) takeBack() {
	j := m.fixed
	for z := range j.Zones {
		m.out.Origin = append(m.out.Origin, z)
	}
	stepOf := make([]int, len(j.Steps)) // where each step given stands now
	for s := range stepOf {
		stepOf[s] = s
	}
	b := backer{m: m, j: j, stepOf: stepOf}
	for _, f := range m.out.Fates {
		switch f.Fate {
		case Rewash:
			b.rewash(f)
		case Redo:
			b.redo(f)
		}
	}
}

// backer changes a job fate by fate.
type backer struct {
	m      *mover
	j      *job.Job
	stepOf []int
}

// undo takes a share of a step back on a zone.
func (b *backer) undo(step, zone int, share float64) {
	s := b.j.Steps[b.stepOf[step]]
	if d, ok := doneOn(b.j, zone, s); ok {
		setDone(b.j, zone, s.Name, d.At, max(0, d.Share-share))
	}
	b.m.out.Undone = append(b.m.out.Undone, Undone{Step: step, Zone: zone, Share: share, Fate: Rewash})
}

// rewash has a bare or stripped panel washed before anything else: a strip wash
// again, and before other work a wash of its own, unless one comes next anyway.
func (b *backer) rewash(f ZoneFate) {
	at := b.stepOf[f.Step]
	switch b.j.Steps[at].Do {
	case "strip wash":
		b.undo(f.Step, f.Zone, f.Share)
		return
	case "wipe down":
		b.undo(f.Step, f.Zone, f.Share)
	default:
		at++
	}
	for s := at; s < len(b.j.Steps); s++ {
		x := b.j.Steps[s]
		if !slices.Contains(x.On, f.Zone) || x.Do == "inspect" {
			continue
		}
		if c, _ := b.m.in.Classes.Class(x.With); wet(c, x.Do) {
			return
		}
		break
	}
	s := b.insert(at, "rewash", "wash", f.Zone)
	if s >= 0 && f.Share < 1-1e-9 {
		setDone(b.j, f.Zone, b.j.Steps[s].Name, time.Time{}, 1-f.Share)
	}
}

// redo makes of the spoiled part a zone of its own, on which everything from the
// strip wash on is to be done again.
func (b *backer) redo(f ZoneFate) {
	at := b.stepOf[f.Step]
	strip := -1
	for s := range at {
		if x := b.j.Steps[s]; x.Do == "strip wash" && slices.Contains(x.On, f.Zone) {
			strip = s
		}
	}
	v := b.part(f)
	if strip < 0 {
		if s := b.insert(at, "strip wash", "strip wash", v); s >= 0 {
			strip = s
			at++
		} else {
			strip = at
		}
	}
	for s := range b.j.Steps {
		x := &b.j.Steps[s]
		switch {
		case s < strip && slices.Contains(x.On, f.Zone):
			if d, ok := doneOn(b.j, f.Zone, *x); ok {
				setDone(b.j, v, x.Name, d.At, 1)
			}
		case s >= strip && s <= at && (slices.Contains(x.On, f.Zone) || s == at):
			if !slices.Contains(x.On, v) {
				x.On = append(x.On, v)
			}
		}
	}
	for s, now := range b.stepOf {
		if now >= strip && now <= at && slices.Contains(b.j.Steps[now].On, f.Zone) {
			b.m.out.Undone = append(b.m.out.Undone, Undone{Step: s, Zone: f.Zone, Share: f.Share, Fate: Redo})
		}
	}
}

// part adds the spoiled part of a zone as a zone.
func (b *backer) part(f ZoneFate) int {
	z := b.j.Zones[f.Zone]
	whole := z.Name
	z.Name = b.freshName(whole + ", redo")
	z.AreaM2, z.LengthM, z.Done = z.AreaM2*f.Share, z.LengthM*f.Share, nil
	if z.Count > 0 {
		z.Count = max(1, int(float64(z.Count)*f.Share+0.5))
	}
	for i := range b.j.Zones {
		if x := &b.j.Zones[i]; slices.Contains(x.DrainsTo, whole) {
			x.DrainsTo = append(x.DrainsTo, z.Name)
		}
	}
	for i := range b.j.Covers {
		if c := &b.j.Covers[i]; slices.Contains(c.Zones, whole) {
			c.Zones = append(c.Zones, z.Name)
		}
	}
	b.j.Zones = append(b.j.Zones, z)
	b.m.out.Origin = append(b.m.out.Origin, f.Zone)
	return len(b.j.Zones) - 1
}

func (b *backer) freshName(name string) string {
	for {
		if _, taken := b.j.Zone(name); !taken {
			return name
		}
		name += "'"
	}
}

// insert puts a wash before step at, or adds a zone to the one that stands there
// already; −1 where no class of wash is known.
func (b *backer) insert(at int, name, do string, zone int) int {
	with := b.washing()
	if with == "" {
		return -1
	}
	for _, s := range []int{at, at - 1} {
		if s >= 0 && s < len(b.j.Steps) && b.j.Steps[s].Do == do && strings.HasPrefix(b.j.Steps[s].Name, name) && !slices.Contains(b.stepOf, s) {
			b.j.Steps[s].On = append(b.j.Steps[s].On, zone)
			return s
		}
	}
	for {
		if _, taken := b.j.Step(name); !taken {
			break
		}
		name += " again"
	}
	b.j.Steps = slices.Insert(b.j.Steps, at, job.Step{Name: name, Do: do, With: with, On: []int{zone}})
	for i, s := range b.stepOf {
		if s >= at {
			b.stepOf[i]++
		}
	}
	return at
}

// washing is the class that the job washes with, else soap.
func (b *backer) washing() string {
	for _, s := range b.j.Steps {
		if s.Do == "strip wash" || s.Do == "wash" {
			return s.With
		}
	}
	if c, ok := b.m.in.Classes.Class("soap-wash"); ok {
		return c.ID
	}
	return ""
}
