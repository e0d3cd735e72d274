package answer

import (
	"time"

	"dewgap/window/verdict"
)

// Worst is the worst state of a zone's first step in [from, to), and why.
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
			if run.From < end && run.To > first && (run.State > worst || because == "") {
				worst, because = run.State, b.because(r, run)
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
