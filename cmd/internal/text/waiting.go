package text

import (
	"slices"

	"dewgap/cmd/internal/answer"
)

const onceBefore = ", once the step before it is done"

// waiting reports whether a step waits for the one before it wherever it is not done. In
// answers that do not tell what waits it is one that is neither asked nor done anywhere.
func waiting(a *answer.Morning, groups []morningGroup) bool {
	asked := slices.ContainsFunc(a.Steps, func(x answer.MorningStep) bool { return x.Asked })
	told := slices.ContainsFunc(a.Steps, func(x answer.MorningStep) bool { return x.Waits })
	waits := false
	for _, g := range groups {
		switch x := g.zones[0]; {
		case told && x.Done:
		case told && !x.Waits, !told && (!asked || x.Asked || x.Done):
			return false
		default:
			waits = true
		}
	}
	return waits
}
