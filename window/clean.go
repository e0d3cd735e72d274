package window

import (
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/plan"
)

// Clean is a panel that lies washed for its film: nothing dirty is to run over it any more.
type Clean struct {
	Step, Zone int // the wash, indices into the job's steps and zones
	At         time.Time
}

// CleanBelow are the panels that by a moment lie washed for the film that comes next there,
// of those that a step on a zone soils, in the order of the zones.
func CleanBelow(j *job.Job, classes Classes, step, zone int, by time.Time) []Clean {
	c, _ := classes.Class(j.Steps[step].With)
	if !dirty(c, j.Steps[step].Do) {
		return nil
	}
	var out []Clean
	for below, reached := range reaching(j.Zones, runs)[zone] {
		if !reached {
			continue
		}
		if c, ok := cleanOn(j, classes, below); ok && !c.At.After(by) {
			out = append(out, c)
		}
	}
	return out
}

// dirty reports whether a step throws slurry or lets water run, which takes suds and dirt
// with it.
func dirty(c products.Class, do string) bool { return do == "correct" || wet(c, do) }

// cleanOn is the wash on a zone that is done and that a film is to follow next.
func cleanOn(j *job.Job, classes Classes, zone int) (c Clean, ok bool) {
	for s, step := range j.Steps {
		if step.Do == "inspect" || !slices.Contains(step.On, zone) {
			continue
		}
		d, done := doneOn(j, zone, step)
		switch {
		case done && d.Share > 0 && washes(step):
			c, ok = Clean{Step: s, Zone: zone, At: d.At}, true
		case done && d.Share > 0:
			ok = false
		default:
			class, known := classes.Class(step.With)
			return c, ok && known && class.RainFree.Given
		}
	}
	return c, false
}

// soils tells which works would soil a panel below between its last wash and its film.
func (p *planner) soils() {
	for k := range p.works {
		b := &p.works[k]
		clean, washed := p.washedFor(k)
		if !washed {
			continue
		}
		soil := plan.Soil{Clean: -1, Film: p.first[k]}
		if clean >= 0 {
			soil.Clean = p.last[clean]
		}
		for i := range p.works {
			a := &p.works[i]
			if !p.runs[a.zone][b.zone] || !dirty(a.class, p.j.Steps[a.step].Do) {
				continue
			}
			for soil.By = p.first[i]; soil.By <= p.last[i]; soil.By++ {
				p.in.Soils = append(p.in.Soils, soil)
			}
		}
	}
}

// washedFor is the last wash before a work that puts a film on its panel, −1 where that is
// done already; false where the work puts none on, or one that lies on another.
func (p *planner) washedFor(k int) (clean int, ok bool) {
	w := &p.works[k]
	if !w.class.RainFree.Given || w.coat > 1 {
		return -1, false
	}
	if clean = p.prevOn(k, wet); clean >= 0 {
		return clean, p.covers(k, clean)
	}
	for s := w.step - 1; s >= 0; s-- {
		step := p.j.Steps[s]
		if _, done := p.doneOf(w.zone, step); !done {
			continue
		}
		if c := p.classOf(s, w.zone); c.RainFree.Given || washes(step) {
			return -1, washes(step)
		}
	}
	return -1, false
}

// soiled tells, by task, which panels lie washed for their film as it throws slurry or
// lets water run over them.
func (p *planner) soiled(blocks []plan.Block) map[int][]Clean {
	at := make(map[int]*plan.Block, len(blocks))
	for i := range blocks {
		at[blocks[i].Task] = &blocks[i]
	}
	out := map[int][]Clean{}
	for _, s := range p.in.Soils {
		by, film := at[s.By], at[s.Film]
		if by == nil || film == nil || by.From >= film.From {
			continue
		}
		c, ok := cleanOn(p.j, rowClasses{p}, p.tasks[s.Film].Zone)
		if clean := at[s.Clean]; clean != nil {
			c = Clean{Step: p.tasks[s.Clean].Step, Zone: p.tasks[s.Film].Zone, At: p.at(clean.WorkTo)}
			ok = by.WorkTo > clean.WorkTo
		}
		if ok {
			out[s.By] = append(out[s.By], c)
		}
	}
	return out
}
