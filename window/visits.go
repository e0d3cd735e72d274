package window

import (
	"cmp"
	"slices"

	"dewgap/window/verdict"
)

// RowBlock is a block of a row in slots [From, To) of a result's grid. From WorkTo on it hazes.
type RowBlock struct{ Row, From, WorkTo, To int }

// Visited is a result in which the short stretches that blocks of a plan lie in are
// windows: the shortest useful block is that of a visit, and what is booked belongs to
// one. The result itself stays as it is.
func (r *Result) Visited(blocks []RowBlock) *Result {
	out := *r
	out.Rows, out.Ranked = slices.Clone(r.Rows), make([][]Ref, len(r.Ranked))
	for i := range out.Rows {
		row := &out.Rows[i]
		row.Windows = slices.Clone(row.Windows)
		row.Refusals = slices.DeleteFunc(slices.Clone(row.Refusals), func(run verdict.Run) bool {
			in := func(b RowBlock) bool { return b.Row == i && b.From < run.To && run.From < b.To }
			if run.Limit != verdict.Block || !slices.ContainsFunc(blocks, in) {
				return false
			}
			for _, w := range row.Short {
				if w.From >= run.From && w.To <= run.To {
					row.Windows = append(row.Windows, w)
				}
			}
			return true
		})
		slices.SortFunc(row.Windows, func(a, b Window) int { return cmp.Compare(a.From, b.From) })
	}
	out.rank()
	return &out
}
