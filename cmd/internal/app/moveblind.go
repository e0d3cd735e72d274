package app

import (
	"slices"

	"dewgap/cmd/internal/answer"
	"dewgap/window"
	"dewgap/window/verdict"
)

// standing is what a move leaves of the old plan ahead, held against what is known, where
// there is no new plan or only missing data would move it; else nil. Besides it gives the
// warnings of the move, with what of the old plan does not hold where it is not known
// whether the rest does.
func (g *gathered) standing(f *answer.MoveFacts) (*answer.Plan, []string) {
	found := f.Moved.Planned.Found
	var old answer.Plan
	for _, c := range f.Left() {
		old.Blocks = append(old.Blocks, f.Old[f.Moved.Changes[c].Old])
	}
	if len(old.Ahead(f.Facts.Now)) == 0 || found && !movedByDataAlone(f.Moved.Changes) {
		return nil, f.Warnings
	}
	out, broken := hold(f.Later(), &old, g.past.force.at)
	out.Held = nil
	broken = slices.DeleteFunc(broken, func(b brokenPart) bool { return b.dark }) // that is the answer itself
	switch {
	case found && (out.State != answer.Unknown || len(broken) > 0):
		return nil, f.Warnings
	case out.State != answer.Unknown:
		return out, f.Warnings
	}
	warnings := slices.Clone(f.Warnings)
	for _, b := range broken {
		warnings = append(warnings, "in the plan as it was agreed "+b.what)
	}
	return out, warnings
}

// movedByDataAlone reports whether a block was moved away from hours of which nothing is
// known, and all that moved besides moved for its sake: nothing was lost or spoiled, and
// there is no work that the old plan had not.
func movedByDataAlone(list []window.Change) bool {
	blind := false
	for _, c := range list {
		switch {
		case c.Became == window.Added:
			return false
		case c.Became != window.Shifted:
		case c.Why == window.WhyWeather && c.Limit == verdict.Data:
			blind = true
		case !slices.Contains(byOthers, c.Why):
			return false
		}
	}
	return blind
}

// byOthers are the reasons for which a block moves because another one did.
var byOthers = []window.Why{window.WhyOrder, window.WhyRoom, window.WhyVisit, window.WhyDrier, window.WhyAhead}
