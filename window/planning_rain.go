package window

import (
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// Wetting is why a panel is to be washed anew between the work that leaves it bare or
// stripped and the block that follows there: rain that is forecast on it, or too long a
// wait. Then [TakeStock] asks for the wash.
type Wetting struct {
	Rain  Rain    // from the first to the last of it before the block; none where it waits too long
	Often bool    // with dry hours between
	After int     // the step that left the panel bare, index into Job.Steps
	WashH float64 // person-hours of washing it anew; 0 where no class of wash is known
	Told  bool    // the same rain lies before an earlier block of the zone: the panel is washed anew before that
	// Waits is how long the panel lies washed before its film, where that is too long.
	Waits time.Duration
	// By is when the panel has to be washed anew for the block to begin in time. NoTime:
	// the hours before that allow no such wash.
	By     time.Time
	NoTime bool
	// Trip: those hours are on none of the plan's days, so that somebody comes for it alone.
	Trip bool
}

// washAfterRain lets the washes of a step that come before a task stand anywhere with
// no rain between.
func (p *planner) washAfterRain(in *plan.Input, t, step int) {
	task := &in.Tasks[t]
	since := p.cleanSince(task.Zone)
	task.After = slices.Clone(task.After)
	for k := range in.Tasks {
		if x := &in.Tasks[k]; x.Zone == task.Zone && x.Step == step {
			x.Pinned = false
		}
	}
	for k := range task.After {
		a := &task.After[k]
		if a.Task < 0 || in.Tasks[a.Task].Zone != task.Zone || in.Tasks[a.Task].Step != step {
			continue
		}
		a.Since = slices.Clone(a.Since)
		if a.Since == nil {
			a.Since = make([]int32, p.n)
		}
		for i := range a.Since {
			a.Since[i] = max(a.Since[i], since[i])
		}
	}
}

// repeats tells from when on the last wash of a panel before its film has to be done once more:
// rain has fallen since on what it stripped, or it has lain too long.
func (p *planner) repeats() {
	stale := p.staleSince()
	stripped := map[int][]int32{}
	for k := range p.works {
		w := &p.works[k]
		clean, washed := p.washedFor(k)
		if !washed || clean < 0 || !washes(p.j.Steps[p.works[clean].step]) {
			continue
		}
		since := stale
		if rainUndoes(p.j.Steps[p.works[clean].step].Do) {
			if stripped[w.zone] == nil {
				stripped[w.zone] = p.cleanSince(w.zone)
			}
			since = stripped[w.zone]
		}
		for film := p.first[k]; film <= p.last[k]; film++ {
			p.in.Repeats = append(p.in.Repeats, plan.Repeat{Wash: p.last[clean], Film: film, Since: since})
		}
	}
}

// cleanSince is, per slot of the horizon, where the last wash of a zone may have ended for a
// film on it: after the rain, and not too long ago.
func (p *planner) cleanSince(zone int) []int32 {
	since := p.rainSince(zone)
	for i, stale := range p.staleSince() {
		since[i] = max(since[i], stale)
	}
	return since
}

// staleSince is, per slot of the horizon, where a wash may have ended that is not too long ago.
func (p *planner) staleSince() []int32 {
	since := make([]int32, p.n)
	for i := range since {
		since[i] = int32(max(0, i-slotsOfHours(cleanH)))
	}
	return since
}

// rainSince is, per slot of the horizon, how many slots of it are over when the last
// rain that reaches a zone before it ends, at most the slot.
func (p *planner) rainSince(zone int) []int32 {
	out := make([]int32, p.n)
	s := spoiler{SpoilInput{Job: p.j, Result: p.r}}
	for _, r := range ForecastRain(p.r, p.at(0), p.at(p.n)) {
		if !rainReaches(p.j, zone, r.From) && !s.drives(zone, r) {
			continue
		}
		from, _ := p.slotOf(r.From)
		to, _ := p.slotOf(r.To)
		for i := max(0, from+1); i < p.n; i++ {
			out[i] = int32(min(to, i))
		}
	}
	return out
}

// sinceRain tells, by task, of which blocks rain is the last water before them, and how
// many slots before.
func (p *planner) sinceRain(blocks []plan.Block) map[int]int {
	out := map[int]int{}
	zones := map[int][]int32{}
	for _, b := range blocks {
		zone := p.tasks[b.Task].Zone
		if zones[zone] == nil {
			zones[zone] = p.rainSince(zone)
		}
		last := int(zones[zone][b.From])
		if n := b.From - last; b.Dried >= 0 && last > 0 && n < b.Dried {
			out[b.Task] = n
		}
	}
	return out
}

// wetted tells, by task, before which blocks of a plan rain is forecast on a panel
// that lies bare: by the same rule by which it will be held against the work done.
func (p *planner) wetted(blocks []plan.Block) map[int]Wetting {
	out := map[int]Wetting{}
	told := map[int]time.Time{} // per zone: what rained before was told with another block
	for _, b := range blocks {
		t := &p.tasks[b.Task]
		c := p.classOf(t.Step, t.Zone)
		if do := p.j.Steps[t.Step].Do; b.Rewash || wet(c, do) || do == "inspect" {
			continue
		}
		w, ok := p.wetBefore(b, blocks)
		if ok = ok && w.After != t.Step; ok {
			w.Told = !w.Rain.To.After(told[t.Zone])
			told[t.Zone] = w.Rain.To
		} else {
			w, ok = p.waitsBefore(b, blocks)
		}
		if ok {
			p.inTime(&w, b, blocks)
			out[b.Task] = w
		}
	}
	return out
}

// cleanH is how long a washed panel may wait for its film or for the machine, in hours: then
// dust, dew and salt lie on it again, to be shut in or ground in (common practice).
const cleanH = 48

// wantsClean reports whether work is put on a panel, or ground into it, so that it may not
// lie washed for long before.
func wantsClean(c *products.Class, do string) bool { return c.RainFree.Given || do == "correct" }

// waitsBefore tells of a block that wants its panel clean whether that was washed too long
// before, and nothing has been done on it since.
func (p *planner) waitsBefore(b plan.Block, blocks []plan.Block) (Wetting, bool) {
	t := &p.tasks[b.Task]
	if c := p.classOf(t.Step, t.Zone); !wantsClean(&c, p.j.Steps[t.Step].Do) || t.Coat > 1 || t.Part > 1 {
		return Wetting{}, false
	}
	var last Worked
	for _, w := range p.workBefore(t.Zone, b, blocks) {
		if p.j.Steps[w.Step].Do != "inspect" && !w.To.Before(last.To) {
			last = w
		}
	}
	waits := p.at(b.From).Sub(last.To)
	if last.To.IsZero() || !washes(p.j.Steps[last.Step]) || waits <= cleanH*time.Hour {
		return Wetting{}, false
	}
	return Wetting{After: last.Step, Waits: waits, WashH: p.rewashH(ZoneFate{Zone: t.Zone, Step: last.Step, Share: 1})}, true
}

// inTime says by when a panel is to be washed anew before a block, in hours that allow it
// without a yes and in which somebody is free and no film lies where the water runs, and
// whether there are any: on a day of the plan where that is not too long before.
func (p *planner) inTime(w *Wetting, b plan.Block, blocks []plan.Block) {
	t := &p.tasks[b.Task]
	by := b.From
	if c := p.classOf(t.Step, t.Zone); c.DryOff.Given {
		by -= slotsOfHours(c.DryOff.Default)
	}
	w.By = p.at(by)
	step := w.After
	if !washes(p.j.Steps[step]) {
		step = slices.IndexFunc(p.j.Steps, washes)
	}
	row := slices.IndexFunc(p.r.Rows, func(r Row) bool { return r.Step == step && r.Zone == t.Zone && r.Slots != nil })
	if row < 0 {
		return
	}
	first, _ := p.slotOf(w.Rain.To)
	need, run := max(1, slotsOfHours(w.WashH)), 0
	w.NoTime = true
	free, there := p.freeToWash(t.Zone, blocks), p.daysOf(blocks)
	fresh := b.From - slotsOfHours(cleanH)
	for i := by - 1; i >= max(first, 0) && (w.NoTime || w.Trip && i >= fresh); i-- {
		if run++; p.r.Rows[row].Slots.State[i] > verdict.Go || !free[i] {
			run = 0
		}
		if day := p.in.Day[i]; run >= need && (w.NoTime || there[day]) {
			w.By, w.NoTime, w.Trip = p.at(i+need), false, !there[day]
		}
	}
}

// daysOf are the local days on which a plan's blocks are.
func (p *planner) daysOf(blocks []plan.Block) map[int]bool {
	days := map[int]bool{}
	for _, b := range blocks {
		days[p.in.Day[b.From]] = true
	}
	return days
}

// wetBefore is the rain on the bare panel of a block before it.
func (p *planner) wetBefore(b plan.Block, blocks []plan.Block) (Wetting, bool) {
	zone := p.tasks[b.Task].Zone
	work := p.workBefore(zone, b, blocks)
	began := p.at(0)
	rain := slices.DeleteFunc(ForecastRain(p.r, began, p.at(b.From)), func(r Rain) bool { return !r.From.Before(p.at(b.From)) })
	if len(work) == 0 || len(rain) == 0 {
		return Wetting{}, false
	}
	s := spoiler{SpoilInput{Job: p.j, Classes: rowClasses{p}, Worked: work, Rain: rain, Result: p.r}}
	out, found := Wetting{}, false
	for _, f := range s.zone(zone) {
		if f.Fate != Rewash {
			continue
		}
		if !found || rain[f.Rain].From.Before(out.Rain.From) {
			out.Rain.From = rain[f.Rain].From
		}
		found, out.After = true, f.Step
		out.WashH += p.rewashH(f)
	}
	if !found {
		return out, false
	}
	for _, r := range rain {
		if !r.From.Before(out.Rain.From) {
			out.Often = out.Rain.HasMM
			out.Rain.To, out.Rain.MM, out.Rain.HasMM = r.To, out.Rain.MM+r.MM, true
		}
	}
	return out, true
}

// workBefore is the work on a zone that is done or booked before a block of it.
func (p *planner) workBefore(zone int, b plan.Block, blocks []plan.Block) []Worked {
	var out []Worked
	for s, step := range p.j.Steps {
		if d, ok := p.doneOf(zone, step); ok && d.Share > 0 && !d.At.IsZero() && slices.Contains(step.On, zone) {
			out = append(out, Worked{Step: s, Zone: zone, To: d.At, Share: CoveredBy(step, d.Share)})
		}
	}
	for _, x := range blocks {
		t := &p.tasks[x.Task]
		if t.Zone == zone && x.To <= b.From && t.Coat == 1 {
			out = append(out, Worked{Step: t.Step, Zone: zone, From: p.at(x.From), To: p.at(x.WorkTo), Share: t.Share})
		}
	}
	return out
}

// rewashH is what it takes to wash a part of a zone anew.
func (p *planner) rewashH(f ZoneFate) float64 {
	step := f.Step
	if !washes(p.j.Steps[step]) {
		step = slices.IndexFunc(p.j.Steps, washes)
	}
	if step < 0 {
		return p.j.Zones[f.Zone].AreaM2 * f.Share / rewashM2H
	}
	return p.hours(step, f.Zone, p.classWith(step)).PersonHours * f.Share
}

// classWith is the class of a step on any zone.
func (p *planner) classWith(step int) products.Class {
	for i := range p.r.Rows {
		if p.r.Rows[i].Step == step {
			return p.r.Rows[i].Class
		}
	}
	return products.Class{}
}

// rowClasses are the classes that a planner's rows were judged by.
type rowClasses struct{ p *planner }

// Class is a class of the rows by its name.
func (r rowClasses) Class(id string) (products.Class, bool) {
	for i := range r.p.r.Rows {
		if c := r.p.r.Rows[i].Class; c.ID == id {
			return c, true
		}
	}
	return products.Class{}, false
}

// freeToWash tells, by slot, whether somebody is there and free beside the blocks of a plan,
// and no film of it lies, hazes or cures where water from a zone runs.
func (p *planner) freeToWash(zone int, blocks []plan.Block) []bool {
	busy, out := make([]int, p.n), make([]bool, p.n)
	for _, x := range blocks {
		for i := x.From; i < x.WorkTo; i++ {
			busy[i] += len(x.People)
		}
	}
	for i := range out {
		d := p.in.Days[p.in.Day[i]]
		out[i] = busy[i] < d.People && i >= d.Open+p.in.SetUp && i < d.Close-p.in.PackUp
	}
	for _, x := range blocks {
		t := &p.tasks[x.Task]
		w := work{row: t.Row, zone: t.Zone, class: p.classOf(t.Step, t.Zone)}
		if !w.class.RainFree.Given || t.Zone != zone && !p.runs[zone][t.Zone] {
			continue
		}
		for i := max(0, x.From-slotsOfHours(w.class.DryOff.Default)); i < min(p.n, x.To+p.standing(&w)); i++ {
			out[i] = out[i] && t.Zone == zone && i < x.From
		}
	}
	return out
}
