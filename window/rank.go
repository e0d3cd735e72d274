package window

import (
	"cmp"
	"math"
	"slices"
)

// Ref points at one window: Rows[Row].Windows[Window].
type Ref struct{ Row, Window int }

// rank orders the windows of every step by their best block: state (ideal
// counts as go), confidence rounded down to five points, mean heat index above
// the screening line, earlier start; equals by their own start and then in the
// order of the job's zones.
func (r *Result) rank() {
	for s := range r.Ranked {
		r.Ranked[s] = nil
	}
	for i := range r.Rows {
		for k := range r.Rows[i].Windows {
			s := r.Rows[i].Step
			r.Ranked[s] = append(r.Ranked[s], Ref{i, k})
		}
	}
	for _, refs := range r.Ranked {
		slices.SortStableFunc(refs, func(a, b Ref) int { return compare(r.At(a), r.At(b)) })
		for n, ref := range refs {
			r.At(ref).Rank = n + 1
		}
	}
}

// At is the window that a reference points at.
func (r *Result) At(ref Ref) *Window { return &r.Rows[ref.Row].Windows[ref.Window] }

func compare(a, b *Window) int {
	x := block{from: a.BestFrom, state: a.BestState, confidence: a.bestAsGo, heat: a.BestHeat}
	y := block{from: b.BestFrom, state: b.BestState, confidence: b.bestAsGo, heat: b.BestHeat}
	switch {
	case better(x, y):
		return -1
	case better(y, x):
		return 1
	default:
		return cmp.Compare(a.From, b.From)
	}
}

// round2 keeps the heat of two blocks from differing by arithmetic dust.
func round2(x float64) float64 { return math.Round(x*100) / 100 }
