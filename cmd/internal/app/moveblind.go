package app

import (
	"slices"

	"dewgap/cmd/internal/answer"
	"dewgap/window"
)

// standing is, of a move that found no plan, the old one as far as it was left without a
// place, held against what is known; nil where there is a plan or nothing of the old one
// lies ahead. Besides it gives the warnings of the move, with what of the old plan does not
// hold where it is not known whether the rest does.
func (g *gathered) standing(f *answer.MoveFacts) (*answer.Plan, []string) {
	old := answer.Plan{Blocks: homeless(f.Moved, f.Old)}
	if f.Moved.Planned.Found || !slices.ContainsFunc(old.Blocks, func(x answer.PlanBlock) bool { return x.To.After(f.Facts.Now) }) {
		return nil, f.Warnings
	}
	out, broken := hold(f.Later(), &old, g.past.force.at)
	out.Held = nil
	warnings := slices.Clone(f.Warnings)
	if out.State == answer.Unknown {
		for _, b := range broken {
			if !b.dark { // that is the answer itself
				warnings = append(warnings, "in the plan as it was agreed "+b.what)
			}
		}
	}
	return out, warnings
}

// homeless are the old blocks that have no place, in their order.
func homeless(m *window.Moved, old []answer.PlanBlock) []answer.PlanBlock {
	var out []answer.PlanBlock
	for _, c := range m.Changes {
		if c.Became == window.Homeless {
			out = append(out, old[c.Old])
		}
	}
	return out
}
