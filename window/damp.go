package window

import (
	"dewgap/products"
	"dewgap/window/plan"
)

// Damp is water on a panel that nobody let run and that is no rain.
type Damp struct {
	Slots int  // between the last of it and a block
	Fog   bool // fog; else water that lay there, dew or what rain left
}

// fogs marks the slots of the grid in which at least half of the members that decide have
// fog, which wets everything outdoors; nil without any.
func (e *evaluation) fogs() []bool {
	return e.agreed(func(m int) func(i int) bool {
		fog := e.known[m].fog
		return func(i int) bool { return fog[i] }
	})
}

// lain marks the slots of the grid in which water lies on the zone in at least half of
// the members that decide, by the rule of the clock that dew restarts; nil where no row of
// the zone has that clock.
func (w *zoneWork) lain(rows []Row) []bool {
	asked := false
	for i := range rows {
		asked = asked || dewCounts(&rows[i].Class, w.Job.Towel)
	}
	if !asked {
		return nil
	}
	return w.agreed(func(m int) func(i int) bool {
		film := w.tracks[m].Film
		return func(i int) bool { return film[i] > dryGM2 }
	})
}

// dewCounts reports whether a class counts its dry-off from dew as well: dew is not
// towelled off it.
func dewCounts(c *products.Class, towel bool) bool {
	return !(towel && c.Towel) && (c.DewDryOff.Given || c.DryOff.Given && !towel)
}

// agreed marks the slots of the grid for which something holds in at least half of the
// members that decide; nil where it holds in none of them.
func (e *evaluation) agreed(holds func(m int) func(i int) bool) []bool {
	deciding := e.deciding()
	count, some := make([]int32, e.grid.N), false
	for m := range deciding {
		in := holds(m)
		for i := range count {
			if in(i) {
				count[i]++
				some = true
			}
		}
	}
	if !some {
		return nil
	}
	out := make([]bool, len(count))
	for i, n := range count {
		out[i] = 2*int(n) >= deciding
	}
	return out
}

// sinceDamp tells, by task, of which blocks fog, or where their class minds it dew, is the
// last water before them, later than the wash of their Dried.
func (p *planner) sinceDamp(blocks []plan.Block) map[int]Damp {
	out := map[int]Damp{}
	for _, b := range blocks {
		t := p.tasks[b.Task]
		if b.Dried < 0 {
			continue
		}
		since := func(marks []bool) int { // slots since the last mark, at most Dried
			for n := range b.Dried {
				if i := p.r.From + b.From - 1 - n; i >= 0 && i < len(marks) && marks[i] {
					return n
				}
			}
			return b.Dried
		}
		least := b.Dried
		if n := since(p.r.foggy); n < least {
			out[b.Task], least = Damp{n, true}, n
		}
		if class := p.r.Rows[t.Row].Class; t.Zone < len(p.r.lain) && dewCounts(&class, p.j.Towel) {
			if n := since(p.r.lain[t.Zone]); n < least {
				out[b.Task] = Damp{n, false}
			}
		}
	}
	return out
}
