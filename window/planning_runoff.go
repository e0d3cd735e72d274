package window

import (
	"slices"

	"dewgap/products"
	"dewgap/window/plan"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// compounds reports whether a work throws slurry, which is no better for a film below
// than water.
func (p *planner) compounds(w *work) bool { return p.j.Steps[w.step].Do == "correct" }

// endsLater says why a plan does not end as early as it could.
const endsLater = "it could end earlier, but for panels that would be soiled or rained on as they lie washed for their film, which costs no less"

func (p *planner) runsWet(w *work) bool { return wet(w.class, p.j.Steps[w.step].Do) }

// fromTheTop has a zone compounded, and treated with acid or alkali, before anything that
// its water runs onto is sealed: those take a film off again long after it has cured.
func (p *planner) fromTheTop() {
	for i := range p.works {
		for k := range p.works {
			a, b := &p.works[i], &p.works[k]
			if (p.compounds(a) || a.class.Water == products.WaterAll) && b.class.RainFree.Given && p.runs[a.zone][b.zone] && !p.leads(i, k) && !p.leads(k, i) {
				b.before = append(b.before, before{i, plan.After{Limit: "order"}})
				p.preferred = true
			}
		}
	}
}

// keepApart keeps water off what lies below and is dry, hazes or cures, and the slurry
// of compounding off what hazes or cures.
func (p *planner) keepApart() {
	for i := range p.works {
		a := &p.works[i]
		water := p.runsWet(a)
		if !water && !p.compounds(a) {
			continue
		}
		for k := range p.works {
			b := &p.works[k]
			film := b.class.RainFree.Given
			if !p.runs[a.zone][b.zone] || p.runsWet(b) || !water && (!film || p.leads(i, k)) {
				continue
			}
			apart := plan.Apart{}
			if film {
				apart.Keep = p.standing(b)
			}
			if water {
				apart.Before = slotsOfHours(b.class.DryOff.Default)
			}
			for apart.Wet = p.first[i]; apart.Wet <= p.last[i]; apart.Wet++ {
				for apart.Dry = p.first[k]; apart.Dry <= p.last[k]; apart.Dry++ {
					p.in.Apart = append(p.in.Apart, apart)
				}
			}
		}
	}
}

// downWash is said of a plan in which a panel is washed before what runs down onto it, on
// one day: in which order the washes of a day stand nobody but the dirt minds.
const downWash = "a panel is washed before what runs down onto it on the same day: change the two round where you can, or rinse it once more"

// tellDown says so of a plan of which it is true, but where the block itself tells what to
// do: see Planned.Soiled.
func (p *planner) tellDown(out *Planned) {
	for i := range out.Blocks {
		for k := range out.Blocks {
			a, b := &out.Blocks[i], &out.Blocks[k]
			told := func(c Clean) bool { return c.Zone == p.tasks[b.Task].Zone }
			if p.dirties(a, b) && !slices.ContainsFunc(out.Soiled[a.Task], told) {
				out.Notes = append(slices.Clone(out.Notes), downWash)
				return
			}
		}
	}
}

// dirties reports whether a block washes what runs down onto the panel of another one, after
// that was washed by the same step on the same day.
func (p *planner) dirties(a, b *plan.Block) bool {
	return p.in.Day[a.From] == p.in.Day[b.From] && a.To > b.From && p.runsOver(&p.tasks[a.Task], &p.tasks[b.Task])
}

// downs has a panel washed after what runs down onto it, where they are washed on one day
// by the same step.
func (p *planner) downs() {
	for i := range p.tasks {
		for k := range p.tasks {
			if p.runsOver(&p.tasks[i], &p.tasks[k]) {
				p.in.Downs = append(p.in.Downs, plan.Down{Above: i, Below: k})
			}
		}
	}
}

// runsOver reports whether a task washes what runs down onto the panel of another one that
// is washed by the same step.
func (p *planner) runsOver(s, t *PlanTask) bool {
	return s.Step == t.Step && washes(p.j.Steps[s.Step]) && p.runs[s.Zone][t.Zone] && !p.runs[t.Zone][s.Zone]
}

// standing is for how many slots no water may be let run on a film after it was put on. Where its
// hours hang on the panel's temperature it is the longest that any start in its windows
// wants, of those whose end the result sees.
func (p *planner) standing(w *work) int {
	keep := slotsOfHours(noWaterH(&w.class))
	if byClock(&w.class) {
		return keep
	}
	for _, x := range p.r.Rows[w.row].Windows {
		for i := x.From; i < x.To; i += surface.PerHour {
			on := p.r.Grid.At(i)
			if until := (standing{p.r, w.class, w.zone, on}).until(noWaterH(&w.class)); !until.IsZero() {
				keep = max(keep, slotsOfHours(until.Sub(on).Hours()))
			}
		}
	}
	return keep
}

// keepDone puts a work that lets water or slurry run after the films below it that are
// on already.
func (p *planner) keepDone(w *work) {
	if !dirty(w.class, p.j.Steps[w.step].Do) {
		return
	}
	f, ok := Uncured(p.r, p.j, rowClasses{p}, w.zone, p.at(0))
	if !ok {
		return
	}
	until := f.NoWater()
	if until.IsZero() {
		until = p.at(p.n)
	}
	a := plan.After{Limit: verdict.Order.String()}
	a.End, a.EndDay = p.slotOf(until)
	w.before = append(w.before, before{-1, a})
}
