package window

import (
	"slices"
	"time"

	"dewgap/window/job"
)

// Taken is work that nobody logged and that is taken as done, because a later step was
// done over it.
type Taken struct {
	Step, Zone int // of the job that was given
	By         int // the later step
	// Logged is the share of the zone on which it was logged, and Over that on which the
	// later step was; 0–1, Logged the smaller.
	Logged, Over float64
}

// enough is how far two shares of a zone may differ and still be the same.
const enough = 1e-9

// Covering reports whether whoever has done a step must have done those before it. A
// wash is none of them: one may wash at any time.
func Covering(s job.Step) bool {
	return s.Do != "inspect" && s.Do != "wipe down" && !washes(s)
}

// imply takes the steps before one that is done as done, as far as that reaches. Nothing
// is known of when they were. What salt is to be washed off stays to be washed.
func (k *taker) imply() {
	j := k.fixed
	for z := range j.Zones {
		over, by, before := 0.0, -1, len(k.out.Taken)
		for s := len(j.Steps) - 1; s >= 0; s-- {
			step := j.Steps[s]
			if !slices.Contains(step.On, z) {
				continue
			}
			d, _ := doneOn(j, z, step)
			share := CoveredBy(step, d.Share)
			if over > share+enough && !(washes(step) && slices.Contains(k.in.Salted, z)) && !k.foundSince(s, z, by) {
				if step.Coats > 1 && over < 1 {
					setDone(j, z, step.Name, d.At, max(d.Share, over/float64(step.Coats)))
				} else {
					setDone(j, z, step.Name, d.At, over)
				}
				if over >= 1-enough { // what was found bad is no longer owed
					k.out.Undone = slices.DeleteFunc(k.out.Undone, func(u Undone) bool { return u.Step == s && u.Zone == z && u.Fate == Redo })
				}
				k.out.Taken = append(k.out.Taken, Taken{Step: s, Zone: z, By: by, Logged: share, Over: over})
			}
			if on := k.wasOn(s, z, share); Covering(step) && on > over {
				over, by = on, s
			}
		}
		slices.Reverse(k.out.Taken[before:])
	}
}

// foundSince reports whether a step on a zone was found bad after a later one was done over it.
func (k *taker) foundSince(step, zone, by int) bool {
	d, _ := doneOn(k.fixed, zone, k.fixed.Steps[by])
	return slices.ContainsFunc(k.in.Bad, func(x Bad) bool { return x.Step == step && x.Zone == zone && !d.At.After(x.At) })
}

// wasOn is the share of a zone on which a step has been done, though it was found bad
// since.
func (k *taker) wasOn(step, zone int, share float64) float64 {
	for _, x := range k.in.Bad {
		if x.Step == step && x.Zone == zone {
			share = max(share, x.Share)
		}
	}
	return share
}

// uncover takes back what was found bad, and what lies over it, which comes off with it:
// nothing comes off for a poor wash. What was logged of either since it was found stands.
func (k *taker) uncover() {
	for _, x := range k.in.Bad {
		for s := x.Step; s < len(k.fixed.Steps); s++ {
			step := k.fixed.Steps[s]
			d, _ := doneOn(k.fixed, x.Zone, step)
			over := s > x.Step
			switch {
			case !slices.Contains(step.On, x.Zone), over && !Covering(k.fixed.Steps[x.Step]):
			case d.Share > 0 && d.At.After(x.At), over && d.Share <= 0:
			default:
				c, _ := k.in.Classes.Class(step.With)
				k.lose(Undone{Step: s, Zone: x.Zone, Share: 1, Fate: Redo, Over: over, Film: !over && c.RainFree.Given, Whole: true}, 0)
			}
		}
	}
}

// machined takes back the films of what was compounded or polished on a later day: the
// machine takes them off. Within a day nobody minds in which order the work is logged.
func (k *taker) machined() {
	j := k.fixed
	for z := range j.Zones {
		for s, step := range j.Steps {
			d, ok := doneOn(j, z, step)
			c, _ := k.in.Classes.Class(step.With)
			if !c.RainFree.Given || !Stripped(step.Do) || !ok || d.At.IsZero() || d.Share <= 0 || !slices.Contains(step.On, z) {
				continue
			}
			stands := k.machinedBy(s, z, job.DateOf(d.At.In(k.in.Location)).Next().Begins(k.in.Location))
			film := CoveredBy(step, d.Share)
			if stands >= film-enough { // the machine was where no film was yet
				continue
			}
			left := d.Share * stands / film
			u := Undone{Step: s, Zone: z, Share: d.Share - left, Fate: Rewash, Early: true, Whole: true}
			k.lose(u, left)
			k.out.Early = append(k.out.Early, u)
		}
	}
}

// lose leaves a share of a step on a zone done, and notes what is not done any longer.
func (k *taker) lose(u Undone, stands float64) {
	step := k.fixed.Steps[u.Step]
	d, _ := doneOn(k.fixed, u.Zone, step)
	setDone(k.fixed, u.Zone, step.Name, d.At, stands)
	k.out.Undone = append(k.out.Undone, u)
	for i := range k.done {
		if w := &k.done[i]; w.Step == u.Step && w.Zone == u.Zone {
			w.Share = min(w.Share, CoveredBy(step, stands))
		}
	}
}

// early takes back the strip wash and the wiping of what was compounded or polished
// after them, unless a film went on since: oil and dust of the machine lie on the panel
// again. It takes back as well what was washed too long ago for the film or the machine
// that comes next.
func (k *taker) early() {
	j := k.fixed
	for z := range j.Zones {
		for s, step := range j.Steps {
			d, ok := doneOn(j, z, step)
			if !washes(step) && step.Do != "wipe down" || !ok || d.At.IsZero() || d.Share <= 0 || !slices.Contains(step.On, z) {
				continue
			}
			stale := k.in.Now.Sub(d.At) > cleanH*time.Hour && k.leadsToClean(s, z)
			stands := k.coveredSince(s, z)
			switch {
			case stale:
			case step.Do == "wash":
				continue
			default:
				stands = max(k.machinedBy(s, z, d.At), stands)
			}
			if stands >= d.Share-enough {
				continue
			}
			u := Undone{Step: s, Zone: z, Share: d.Share - stands, Fate: Rewash, Stale: stale, Early: !stale, Whole: true}
			if k.lose(u, stands); stale {
				k.out.Stale = append(k.out.Stale, u)
			} else {
				k.out.Early = append(k.out.Early, u)
			}
		}
	}
}

// leadsToClean reports whether the next step on a zone after one wants the panel clean.
func (k *taker) leadsToClean(step, zone int) bool {
	for _, x := range k.fixed.Steps[step+1:] {
		if slices.Contains(x.On, zone) && x.Do != "inspect" {
			c, _ := k.in.Classes.Class(x.With)
			return wantsClean(&c, x.Do)
		}
	}
	return false
}

// StaleFrom is from when on what was washed on a zone is too old for a step there, whose
// panel has to be clean; ok is false where no such wash is the last work on it.
func StaleFrom(j *job.Job, classes Classes, step, zone int) (t time.Time, ok bool) {
	x := j.Steps[step]
	c, _ := classes.Class(x.With)
	if !wantsClean(&c, x.Do) {
		return t, false
	}
	last, by := time.Time{}, -1
	for s := range step + 1 { // its own first coat is on a panel that was clean
		if d, done := doneOn(j, zone, j.Steps[s]); done && d.Share > 0 && slices.Contains(j.Steps[s].On, zone) && !d.At.Before(last) && j.Steps[s].Do != "inspect" {
			last, by = d.At, s
		}
	}
	if by < 0 || last.IsZero() || !washes(j.Steps[by]) {
		return t, false
	}
	return last.Add(cleanH * time.Hour), true
}

// machinedBy is the share of a zone that no machine has touched since a moment, of the
// steps before one: all of it where none was at work later.
func (k *taker) machinedBy(step, zone int, at time.Time) float64 {
	least := 1.0
	for s := range step {
		if k.fixed.Steps[s].Do != "correct" {
			continue
		}
		before, later := around(k.done, s, zone, at)
		if parts, _ := around(k.in.Parts, s, zone, at); later > 0 {
			least = min(least, max(before, parts))
		}
	}
	return least
}

// around are the shares of a zone on which a step was done until a moment and after it.
func around(done []Worked, step, zone int, at time.Time) (before, later float64) {
	for _, w := range done {
		switch {
		case w.Step != step || w.Zone != zone:
		case w.To.After(at):
			later += w.Share
		default:
			before += w.Share
		}
	}
	return before, later
}

// coveredSince is the share of a zone on which a step after one is done that nobody
// does without it.
func (k *taker) coveredSince(step, zone int) float64 {
	most := 0.0
	for s := step + 1; s < len(k.fixed.Steps); s++ {
		x := k.fixed.Steps[s]
		if d, ok := doneOn(k.fixed, zone, x); ok && Covering(x) && slices.Contains(x.On, zone) {
			most = max(most, CoveredBy(x, d.Share))
		}
	}
	return most
}
