package text

import (
	"slices"
	"strings"

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
		for _, x := range g.zones {
			switch {
			case told && x.Done:
			case told && !x.Waits, !told && (!asked || x.Asked || x.Done):
				return false
			default:
				waits = true
			}
		}
	}
	return waits
}

// forToday says which of the zones of a line are asked today, where others could be worked
// on as well.
func forToday(a *answer.Morning, step string, zones []string) string {
	today, part := a.ForToday(step, zones)
	switch {
	case !part:
		return ""
	case len(today) == len(zones):
		return " (for today)"
	}
	return " (for today: " + strings.Join(short(today, zoneCells), ", ") + ")"
}
