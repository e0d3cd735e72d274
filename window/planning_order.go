package window

import (
	"math"
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// Longest that a compounded or polished panel may lie bare before the next step,
// in hours: seven days in the sun, two where salt spray reaches it (common
// practice).
const (
	bareH     = 7 * 24
	bareSaltH = 48
)

// chains makes the works, zone by zone in the order of the job's steps, and what
// must lie between them on one zone and on zones that drain onto one another.
func (p *planner) chains() {
	for s := range p.j.Steps {
		for i := range p.r.Rows {
			if r := &p.r.Rows[i]; r.Step == s && r.Slots != nil {
				p.add(i)
			}
		}
	}
	p.unsized()
	p.drains, p.runs = reaching(p.j.Zones, drains), reaching(p.j.Zones, runs)
	for i := range p.works {
		p.chain(i)
		p.keepDone(&p.works[i])
	}
	for i := range p.works {
		for k := range p.works {
			if p.drains[p.works[i].zone][p.works[k].zone] || p.metalFirst(i, k) {
				p.runsDown(i, k)
			}
		}
	}
	if p.topFirst {
		p.fromTheTop()
	}
	p.sort()
}

// chain puts a work after the one before it on its zone.
func (p *planner) chain(i int) {
	w := &p.works[i]
	prev := p.prevOn(i, func(products.Class, string) bool { return true })
	if prev >= 0 {
		x := &p.works[prev]
		a := p.step(&x.class, x.step, w)
		if x.class.RainFree.Given && dirty(w.class, p.j.Steps[w.step].Do) {
			if n := p.standing(x); n > a.Hard {
				a.Hard, a.Go = n, max(n, a.Go)
				if a.Most == 0 {
					a.Limit = "order"
				}
			}
		}
		w.before = append(w.before, before{prev, a})
		p.coatDays(i)
	}
	p.afterDone(i, prev)
	p.washedSince(i)
	if k := p.prevOn(i, correcting); k >= 0 && k != prev && p.covers(i, k) {
		w.before = append(w.before, before{k, plan.After{Most: slotsOfHours(p.bareH(&products.Class{}, w.zone)), Limit: "recoat"}})
	}
	if !w.class.DryOff.Given || wet(w.class, p.j.Steps[w.step].Do) {
		return
	}
	if k := p.prevOn(i, wet); k >= 0 {
		w.before = append(w.before, before{k, dryOff(w.class)})
	}
}

// washedSince has the last wash before a work come after the salt that the wind
// brings in between.
func (p *planner) washedSince(i int) {
	w := &p.works[i]
	if w.zone >= len(p.r.saltSince) || p.r.saltSince[w.zone] == nil || washes(p.j.Steps[w.step]) {
		return
	}
	if k := p.prevOn(i, func(_ products.Class, do string) bool { return washes(job.Step{Do: do}) }); k >= 0 {
		w.before = append(w.before, before{k, plan.After{Since: p.r.saltSince[w.zone], Limit: "salt"}})
	}
}

func correcting(_ products.Class, do string) bool { return do == "correct" }

// covers reports whether work i is the first after work k on its zone that puts a
// film on the panel: until then it lies bare.
func (p *planner) covers(i, k int) bool {
	first := p.works[i].class.RainFree.Given
	for n := k + 1; n < i; n++ {
		if p.works[n].zone == p.works[i].zone && p.works[n].class.RainFree.Given {
			return false
		}
	}
	return first
}

// prevOn is the latest work before i on its zone that a test holds for, −1 for
// none.
func (p *planner) prevOn(i int, is func(c products.Class, do string) bool) int {
	for k := i - 1; k >= 0; k-- {
		if x := &p.works[k]; x.zone == p.works[i].zone && is(x.class, p.j.Steps[x.step].Do) {
			return k
		}
	}
	return -1
}

// wet reports whether work lets water run.
func wet(c products.Class, do string) bool {
	return do == "wash" || do == "strip wash" || c.Water > products.WaterNone && c.Surface == products.SurfaceWet
}

func dryOff(c products.Class) plan.After {
	a := plan.After{Go: slotsOfHours(c.DryOff.Default), Limit: "dry_off"}
	if c.DryOff.HasHard {
		a.Hard = min(slotsOfHours(c.DryOff.Hard), a.Go)
	}
	return a
}

// step is what a class asks for before the next work on its zone: another coat
// within its recoat window, the next step before a bare panel has lain too long. For how
// long no water comes onto a film is told by standing, or keepDone where it is on already.
func (p *planner) step(c *products.Class, step int, w *work) plan.After {
	a := plan.After{Limit: "order"}
	same, s, do := w.step == step, p.j.Steps[step], p.j.Steps[w.step].Do
	least := func(h float64, limit string) {
		if n := slotsOfHours(h); n > a.Hard {
			a.Hard, a.Go, a.Limit = n, n, limit
		}
	}
	if c.RecoatH.Given && do != "inspect" {
		least(c.RecoatH.Min, "recoat")
	}
	switch {
	case same && !p.j.Steps[w.step].Sand:
		a.Most, a.Anew = slotsOfHours(c.RecoatEndH), slotsOfHours(c.RecoatAnew)
	case !same && (s.Do == "correct" || s.Do == "wipe down"):
		a.Most = slotsOfHours(p.bareH(c, w.zone))
		if wet(w.class, do) {
			a.Most = slotsOfHours(p.bareH(&products.Class{}, w.zone)) // it is washed anew anyway
		}
		if s.Do == "correct" && !wet(w.class, do) && do != "inspect" {
			a.Overnight = max(1, slotsOfHours(p.j.Zones[w.zone].AreaM2/rewashM2H))
		}
	}
	if a.Most > 0 {
		a.Limit = "recoat"
	}
	return a
}

// bareH is how long a panel may lie as a class leaves it, in hours.
func (p *planner) bareH(c *products.Class, zone int) float64 {
	switch {
	case c.RecoatEndH > 0:
		return c.RecoatEndH
	case p.j.Zones[zone].Salt || p.j.Place.WaterKind == "salt" && p.j.Place.HasExposed:
		return bareSaltH
	}
	return bareH
}

// coatDays keeps to so many coats of a step a day: to as many as the job says, else
// to one, unless the product's recoat window does not last until the next day.
func (p *planner) coatDays(i int) {
	w := &p.works[i]
	perDay := p.j.Steps[w.step].PerDay
	if perDay == 0 && shutByMorning(&w.class) {
		return
	}
	perDay = max(1, perDay)
	for k := i - 1; k >= 0; k-- {
		if x := &p.works[k]; x.zone == w.zone && x.step == w.step && x.coat == w.coat-perDay {
			w.before = append(w.before, before{k, plan.After{NextDay: true, Limit: "recoat"}})
		}
	}
}

// shutByMorning reports whether a class wants its next coat before the hour of the
// next day at which the last one went on.
func shutByMorning(c *products.Class) bool {
	usual := c.RecoatH.Given && !c.RecoatH.NoMax && c.RecoatH.Max < 24
	return usual || c.RecoatEndH > 0 && c.RecoatEndH <= 24
}

// afterDone puts a work after the steps on its zone that are done: their clocks
// still run. prev is the work before it on the zone.
func (p *planner) afterDone(i, prev int) {
	w := &p.works[i]
	var lastWet time.Time
	for s := w.step; s >= 0; s-- {
		step := p.j.Steps[s]
		d, ok := p.doneOf(w.zone, step)
		if !ok || d.At.IsZero() || !slices.Contains(step.On, w.zone) {
			continue
		}
		c := p.classOf(s, w.zone)
		if wet(c, step.Do) && d.At.After(lastWet) {
			lastWet = d.At
		}
		if s == w.step && p.afterCoats(w, d, prev) {
			prev = 0
		}
		if prev < 0 && s < w.step && p.doneShare(w.zone, step) >= 1 {
			a := p.step(&c, s, w)
			a.End, a.EndDay = p.slotOf(d.At)
			if step.Do == "correct" && a.Most > 0 {
				w.task.Dull, a.Most = max(1, a.End+a.Most), 0
			}
			w.before = append(w.before, before{-1, a})
			prev = 0 // only the latest of them
		}
	}
	if !lastWet.IsZero() && w.class.DryOff.Given && !wet(w.class, p.j.Steps[w.step].Do) {
		a := dryOff(w.class)
		a.End, a.EndDay = p.slotOf(lastWet)
		w.before = append(w.before, before{-1, a})
	}
}

// dulled is a task that needs a yes from the slot on from which its panel has lain bare for
// longer than it should (common practice): somebody has to look whether it has dulled. No plan
// would be worse, for it would lie on. One yes would do for poor hours too, so that a wash,
// which has others, keeps to those that are go.
func (p *planner) dulled(w *work, t plan.Task) plan.Task {
	words := len(p.in.Voters)
	t.State, t.Limit, t.Go = slices.Clone(t.State), slices.Clone(t.Limit), slices.Clone(t.Go)
	strict := t
	strict.State = slices.Clone(t.State)
	for i := w.task.Dull; i < len(t.State); i++ {
		clear(t.Go[i*words : (i+1)*words])
		switch t.State[i] {
		case verdict.Ideal, verdict.Go:
			t.State[i], t.Limit[i] = verdict.Marginal, verdict.Recoat
			strict.State[i] = verdict.Marginal
		case verdict.Marginal:
			strict.State[i] = verdict.NoGo
		}
	}
	if !wet(w.class, p.j.Steps[w.step].Do) {
		return t
	}
	if found, _ := p.in.Place(strict); !found {
		return t
	}
	return strict
}

// afterCoats puts a coat after those of its step that are logged, and reports whether
// the last of them is the work before it on the zone.
func (p *planner) afterCoats(w *work, d boat.Done, prev int) bool {
	step := p.j.Steps[w.step]
	on, begun := CoatsOn(step, d.Share)
	if on == 0 || w.coat > on+1 && prev < 0 {
		return false
	}
	end, day := p.slotOf(d.At)
	perDay := step.PerDay
	if perDay == 0 && !shutByMorning(&w.class) {
		perDay = 1
	}
	if perDay > 0 && w.coat-perDay == on {
		w.before = append(w.before, before{-1, plan.After{End: end, EndDay: day, NextDay: true, Limit: verdict.Recoat.String()}})
	}
	if prev >= 0 || w.coat != on+1 {
		return false
	}
	a := p.step(&w.class, w.step, w)
	if a.End, a.EndDay = end, day; begun {
		a.Hard, a.Go = 0, 0 // it has been begun
	}
	w.before = append(w.before, before{-1, a})
	return true
}

// classOf is the class of a step on a zone, as its row has it.
func (p *planner) classOf(step, zone int) products.Class {
	for i := range p.r.Rows {
		if r := &p.r.Rows[i]; r.Step == step && r.Zone == zone {
			return r.Class
		}
	}
	return products.Class{}
}

// slotOf is the slot of the horizon that ends at t or holds it, negative before
// it, and the local day of it, −1 before the first.
func (p *planner) slotOf(t time.Time) (slot, day int) {
	slot = int(math.Ceil(t.Sub(p.r.Grid.At(p.r.From)).Minutes() / surface.SlotMinutes))
	if job.DateOf(t.In(p.r.Location)) == job.DateOf(p.at(0)) {
		return slot, 0
	}
	if slot > 0 {
		return slot, p.in.Day[min(slot, p.n)-1]
	}
	return slot, -1
}

// metalFirst reports whether work i polishes metal and work k is the last wash of
// another zone: the black of the polish is washed off with it.
func (p *planner) metalFirst(i, k int) bool {
	a, b := &p.works[i], &p.works[k]
	if a.zone == b.zone || (a.class.ID != "metal-polish" && a.class.Like != "metal-polish") {
		return false
	}
	return lastWash(p.j, b.step, b.zone)
}

// lastWash reports whether a step is the last wash of a zone, before which it is
// washed at least once.
func lastWash(j *job.Job, step, zone int) bool {
	washings := 0
	for s, x := range j.Steps {
		if !washes(x) || !slices.Contains(x.On, zone) {
			continue
		}
		if washings++; s > step {
			return false
		}
	}
	return washings > 1 && washes(j.Steps[step])
}

// runsDown orders work i on a zone and work k on one that lies below: the same
// wet or machine work from the top down, and compounding before anything below is
// sealed. Metal comes before the last wash anywhere.
func (p *planner) runsDown(i, k int) {
	a, b := &p.works[i], &p.works[k]
	do := p.j.Steps[a.step].Do
	topDown := a.step == b.step && a.coat == b.coat && (do == "correct" || wet(a.class, do))
	beforeSeal := do == "correct" && b.class.RainFree.Given
	if (topDown || beforeSeal || p.metalFirst(i, k)) && !p.leads(k, i) {
		b.before = append(b.before, before{i, plan.After{Limit: "order"}})
	}
}

// leads reports whether work a must come before work b already.
func (p *planner) leads(a, b int) bool {
	if a == b {
		return true
	}
	seen := make([]bool, len(p.works))
	var walk func(k int) bool
	walk = func(k int) bool {
		if k == a {
			return true
		}
		if seen[k] {
			return false
		}
		seen[k] = true
		for _, x := range p.works[k].before {
			if x.work >= 0 && walk(x.work) {
				return true
			}
		}
		return false
	}
	return walk(b)
}

// sort brings the works into an order in which they could be done, as near the
// job's own as may be.
func (p *planner) sort() {
	place := make([]int, len(p.works))
	var order []int
	done := make([]bool, len(p.works))
	ready := func(i int) bool {
		for _, b := range p.works[i].before {
			if b.work >= 0 && !done[b.work] {
				return false
			}
		}
		return true
	}
	for len(order) < len(p.works) {
		next := -1
		for i := range p.works {
			if !done[i] && (next < 0 || ready(i)) {
				if next = i; ready(i) {
					break
				}
			}
		}
		done[next], place[next] = true, len(order)
		order = append(order, next)
	}
	works := make([]work, len(order))
	for k, i := range order {
		works[k] = p.works[i]
		for n := range works[k].before {
			if b := &works[k].before[n]; b.work >= 0 {
				b.work = place[b.work]
			}
		}
	}
	p.works = works
}
