package answer

import (
	"time"

	"dewgap/window/verdict"
)

// Worst is the worst state of a zone's first step in [from, to), and why; ""
// where the reason holds for a longer run and not for these hours in particular.
func Worst(f Facts, zone string, from, to time.Time) (verdict.State, string) {
	b := newBuilder(f)
	first, end := f.Result.Grid.Index(from), f.Result.Grid.Index(to)
	worst, because := verdict.Ideal, ""
	for i := range f.Result.Rows {
		r := &f.Result.Rows[i]
		if b.zone(r) != zone {
			continue
		}
		look := func(run verdict.Run) {
			if run.From < end && run.To > first && run.State > worst {
				worst, because = run.State, ""
				if !run.State.Workable() || (run.From >= first && run.To <= end) {
					because = b.because(r, run)
				}
			}
		}
		for _, w := range r.Windows {
			look(w.Run)
		}
		for _, run := range r.Refusals {
			look(run)
		}
		break
	}
	return worst, because
}
