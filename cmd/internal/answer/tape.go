package answer

import (
	"slices"
	"time"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/plan"
)

// tapeLasts is how long masking tape may stay on in the sun before its glue stays behind or
// it takes the film along (common practice, no source).
const tapeLasts = 24 * time.Hour

// tape notes on a block of a step that is masked by when its tape has to be off and whether
// fresh tape goes on before it, and puts that into words. Tape goes on as work on the zone
// begins and serves every block that ends while it lasts. Under a roof it may stay.
func (b *builder) tape(p *window.Planned, x plan.Block, out *PlanBlock) string {
	t := p.Tasks[x.Task]
	if !b.Job.Steps[t.Step].Tape || b.Job.Zones[t.Zone].Shelter != boat.Open {
		return ""
	}
	var on time.Time
	if d := b.doneOf(t.Zone, t.Step); d.Share > 0 && d.Share < 1 {
		on = d.At // of what was begun the log keeps the last alone
	}
	for _, y := range b.sameWork(p, x) {
		over := b.at(b.Result.From + y.To).After(on.Add(tapeLasts))
		if out.TapeAnew = over && !on.IsZero(); over {
			on = b.at(b.Result.From + y.From)
		}
		if y.Task == x.Task {
			break
		}
	}
	by := on.Add(tapeLasts)
	out.TapeBy = &by
	words := "tape off by " + by.In(b.loc).Format(stamp)
	if out.TapeAnew {
		return "fresh tape first, " + words
	}
	return words
}

// sameWork are the blocks of a plan that do the same step on the same zone as one of them, in
// order.
func (b *builder) sameWork(p *window.Planned, x plan.Block) []plan.Block {
	t := p.Tasks[x.Task]
	blocks := slices.DeleteFunc(slices.Clone(p.Blocks), func(y plan.Block) bool {
		u := p.Tasks[y.Task]
		return u.Step != t.Step || u.Zone != t.Zone
	})
	slices.SortFunc(blocks, func(a, z plan.Block) int { return a.From - z.From })
	return blocks
}
