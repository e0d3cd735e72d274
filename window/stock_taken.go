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
}

// enough is how far two shares of a zone may differ and still be the same.
const enough = 1e-9

// covering reports whether whoever has done a step must have done those before it. A
// wash is none of them: one may wash at any time.
func covering(s job.Step) bool {
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
			if over > share+enough && !(washes(step) && slices.Contains(k.in.Salted, z)) {
				if step.Coats > 1 && over < 1 {
					setDone(j, z, step.Name, d.At, max(d.Share, over/float64(step.Coats)))
				} else {
					setDone(j, z, step.Name, d.At, over)
				}
				k.out.Taken = append(k.out.Taken, Taken{s, z, by})
			}
			if on := k.wasOn(s, z, share); covering(step) && on > over {
				over, by = on, s
			}
		}
		slices.Reverse(k.out.Taken[before:])
	}
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
			setDone(j, z, step.Name, d.At, stands)
			u := Undone{Step: s, Zone: z, Share: d.Share - stands, Fate: Rewash, Stale: stale, Early: !stale, Whole: true}
			if k.out.Undone = append(k.out.Undone, u); stale {
				k.out.Stale = append(k.out.Stale, u)
			} else {
				k.out.Early = append(k.out.Early, u)
			}
			for i := range k.done {
				if w := &k.done[i]; w.Step == s && w.Zone == z {
					w.Share = min(w.Share, stands)
				}
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
		later, before := 0.0, 0.0
		for _, w := range k.done {
			switch {
			case w.Step != s || w.Zone != zone:
			case w.To.After(at):
				later += w.Share
			default:
				before += w.Share
			}
		}
		if later > 0 {
			least = min(least, before)
		}
	}
	return least
}

// coveredSince is the share of a zone on which a step after one is done that nobody
// does without it.
func (k *taker) coveredSince(step, zone int) float64 {
	most := 0.0
	for s := step + 1; s < len(k.fixed.Steps); s++ {
		x := k.fixed.Steps[s]
		if d, ok := doneOn(k.fixed, zone, x); ok && covering(x) && slices.Contains(x.On, zone) {
			most = max(most, CoveredBy(x, d.Share))
		}
	}
	return most
}
