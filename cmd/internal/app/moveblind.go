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
	if len(old.Ahead(f.Facts.Now)) == 0 || found && !g.movedBlindly(f) {
		return nil, f.Warnings
	}
	out, broken := hold(f.Later(), &old, g.past.force.at)
	out.Held = nil
	broken = slices.DeleteFunc(broken, func(b brokenPart) bool { return b.dark }) // that is the answer itself
	switch refused := slices.ContainsFunc(broken, func(b brokenPart) bool { return !b.missed }); {
	case found && (out.State != answer.Unknown || refused):
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

// movedBlindly reports whether a block was moved away from hours of which nothing is
// known, and all that moved besides moved for its sake: nothing was spoiled, and there is no
// work that the old plan had not. Nothing was lost either, but where the forecast is too old
// for what was agreed for today: what was missed, or only not logged, calls none of that off.
func (g *gathered) movedBlindly(f *answer.MoveFacts) bool {
	blind, today, missed := false, false, false
	for _, c := range f.Moved.Changes {
		if c.Became == window.Added {
			return false
		}
		if c.Became != window.Shifted {
			continue
		}
		old := f.Old[c.Old]
		switch {
		case c.Why == window.WhyWeather && c.Limit == verdict.Data:
			blind = true
		case c.Why == window.WhyLost && !old.To.After(f.Now):
			missed = true
		case !slices.Contains(byOthers, c.Why):
			return false
		}
		today = today || old.To.After(f.Now) && f.Trust.Distrusts(answer.Later(old.From, f.Now))
	}
	return blind && !missed || missed && today
}

// byOthers are the reasons for which a block moves because another one did.
var byOthers = []window.Why{window.WhyOrder, window.WhyRoom, window.WhyVisit, window.WhyDrier, window.WhyAhead}
