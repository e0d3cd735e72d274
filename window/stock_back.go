package window

import (
	"slices"
	"strings"
	"time"

	"dewgap/window/job"
)

// takeBack returns spoiled work to the list of what is to be done.
func (k *taker) takeBack() {
	j := k.fixed
	for z := range j.Zones {
		k.out.Origin = append(k.out.Origin, z)
	}
	stepOf := make([]int, len(j.Steps)) // where each step given stands now
	for s := range stepOf {
		stepOf[s] = s
	}
	b := backer{k: k, j: j, stepOf: stepOf}
	for _, f := range k.out.Spoiled() {
		switch f.Fate {
		case Rewash:
			b.rewash(f)
		case Redo:
			b.redo(f)
		}
	}
	for _, x := range k.in.Bad {
		b.bad(x)
	}
}

// backer changes a job fate by fate.
type backer struct {
	k      *taker
	j      *job.Job
	stepOf []int
}

// undo takes a share of a step back on a zone.
func (b *backer) undo(step, zone int, share float64) {
	s := b.j.Steps[b.stepOf[step]]
	if d, ok := doneOn(b.j, zone, s); ok {
		setDone(b.j, zone, s.Name, d.At, max(0, d.Share-share))
	}
	b.k.out.Undone = append(b.k.out.Undone, Undone{Step: step, Zone: zone, Share: share, Fate: Rewash, Whole: true})
}

// bad has a strip wash done before a film that was found bad is put on again: the old one
// has to come off first. What was done of either since it was found is done.
func (b *backer) bad(x Bad) {
	at := b.stepOf[x.Step]
	c, _ := b.k.in.Classes.Class(b.j.Steps[at].With)
	again := func(step int) bool {
		d, ok := doneOn(b.j, x.Zone, b.j.Steps[step])
		return ok && d.Share > 0 && d.At.After(x.At)
	}
	if again(at) || !slices.Contains(b.j.Steps[at].On, x.Zone) || !c.RainFree.Given || !Stripped(b.j.Steps[at].Do) {
		return
	}
	stripped := false
	for s := range x.Step {
		if step := b.j.Steps[b.stepOf[s]]; step.Do == "strip wash" && slices.Contains(step.On, x.Zone) {
			if stripped = true; !again(b.stepOf[s]) {
				b.clear(s, x.Zone)
			}
		}
	}
	if !stripped {
		b.insert(at, "strip wash", "strip wash", x.Zone)
	}
}

// clear takes all of a step back on a zone.
func (b *backer) clear(step, zone int) {
	s := b.j.Steps[b.stepOf[step]]
	d, _ := doneOn(b.j, zone, s)
	setDone(b.j, zone, s.Name, d.At, 0)
	b.k.out.Undone = append(b.k.out.Undone, Undone{Step: step, Zone: zone, Share: 1, Fate: Redo, Whole: true})
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
		if c, _ := b.k.in.Classes.Class(x.With); wet(c, x.Do) {
			return
		}
		break
	}
	s := b.insert(at, "rewash", "wash", f.Zone)
	if s >= 0 && f.Share < 1-1e-9 {
		setDone(b.j, f.Zone, b.j.Steps[s].Name, time.Time{}, 1-f.Share)
	}
}

// Stripped reports whether a spoiled film of a kind of work comes off with a strip wash:
// not what is coated or bedded, which is sanded, wiped or scraped off by hand.
func Stripped(do string) bool { return do != "coat" && do != "bed" }

// redo makes of the spoiled part a zone of its own, on which everything from the
// strip wash on is to be done again, of a coat only itself.
func (b *backer) redo(f ZoneFate) {
	at, all := b.stepOf[f.Step], b.all(f)
	strip := -1
	for s := range at {
		if x := b.j.Steps[s]; x.Do == "strip wash" && slices.Contains(x.On, f.Zone) {
			strip = s
		}
	}
	v := b.part(f)
	switch {
	case !Stripped(b.j.Steps[at].Do):
		strip = at
	case strip < 0:
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
			if d, ok := doneOn(b.j, f.Zone, *x); ok && s < at && b.since(f, d.At) {
				setDone(b.j, v, x.Name, d.At, min(1, d.Share/f.Share))
			} else if ok && s == at && x.Coats > 1 {
				// The coats that were still to come on the part are the part's now.
				setDone(b.j, f.Zone, x.Name, d.At, min(1, d.Share+f.Share*(1-d.Share)))
			}
		}
	}
	if all {
		x := b.j.Steps[at]
		d, _ := doneOn(b.j, f.Zone, x)
		d.Spoiled = true
		b.j.Zones[f.Zone].Done[x.Name] = d
	}
	for s, now := range b.stepOf {
		if now >= strip && now <= at && slices.Contains(b.j.Steps[now].On, f.Zone) {
			b.k.out.Undone = append(b.k.out.Undone, Undone{Step: s, Zone: f.Zone, Share: f.Share, Fate: Redo})
		}
	}
}

// all reports whether the part to be redone is all that a step has put on its zone.
func (b *backer) all(f ZoneFate) bool {
	s := b.j.Steps[b.stepOf[f.Step]]
	d, ok := doneOn(b.j, f.Zone, s)
	return ok && f.Share >= CoveredBy(s, d.Share)-enough
}

// since reports whether work that was done at a moment came after the rain that
// spoiled a part, and no rain has fallen on it again.
func (b *backer) since(f ZoneFate, at time.Time) bool {
	return !slices.ContainsFunc(b.k.out.Rain, func(r Rain) bool { return r.To.After(at) && !r.From.Before(b.k.out.Rain[f.Rain].From) })
}

// part adds the spoiled part of a zone as a zone.
func (b *backer) part(f ZoneFate) int {
	z := b.j.Zones[f.Zone]
	whole := z.Name
	z.Name = b.freshName(whole + " (redo)")
	z.AreaM2, z.LengthM, z.Done = z.AreaM2*f.Share, z.LengthM*f.Share, nil
	if z.Count > 0 {
		z.Count = max(1, int(float64(z.Count)*f.Share+0.5))
	}
	for i := range b.j.Zones {
		if x := &b.j.Zones[i]; slices.Contains(x.DrainsTo, whole) {
			x.DrainsTo = append(x.DrainsTo, z.Name)
		}
		if x := &b.j.Zones[i]; slices.Contains(x.RunsOnto, whole) {
			x.RunsOnto = append(x.RunsOnto, z.Name)
		}
	}
	for i := range b.j.Covers {
		if c := &b.j.Covers[i]; slices.Contains(c.Zones, whole) {
			c.Zones = append(c.Zones, z.Name)
		}
	}
	b.j.Zones = append(b.j.Zones, z)
	b.k.out.Origin = append(b.k.out.Origin, f.Zone)
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
	if c, ok := b.k.in.Classes.Class("soap-wash"); ok {
		return c.ID
	}
	return ""
}
