package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// Work without a place names what stands most in its way, and what does in the hours that
// this leaves: whoever brings lamps against the dark is not to meet the cold unwarned.
func TestNoPlan_NamesTheSecondCause(t *testing.T) {
	b := planBoard(t)
	limits := []verdict.Limit{verdict.Film, verdict.Daylight, verdict.Daylight, verdict.Daylight, verdict.Cure, verdict.Cure, verdict.SurfaceMin, verdict.Film}
	states := make([]verdict.State, len(limits))
	for i := range states {
		states[i] = verdict.NoGo
	}
	in := plan.Input{
		Day: make([]int, len(limits)), Days: []plan.Day{{Open: 1, Close: 7, People: 2}},
		Tasks: []plan.Task{{}, {State: states, Limit: limits}},
	}
	why := func(r plan.Refusal) []string {
		made := sealed(b)
		made.Result, made.Input = plan.Result{Refusal: &r}, in
		return NewPlan(b.f, made).Why
	}
	dark := plan.Refusal{Certain: true, Task: 1, Limit: verdict.Daylight.String(), Share: 0.5}
	assert.Equal(t, []string{"seal on port side has no place: too dark without lamps in 50 % of the crew's hours, and too cold or too dry to cure in 33 %"}, why(dark))
	states[4], states[5], states[6] = verdict.Go, verdict.Go, verdict.Marginal
	assert.Equal(t, []string{"seal on port side has no place: too dark without lamps in 50 % of the crew's hours"}, why(dark), "what can be worked in stands in no way")
	assert.Equal(t, []string{"seal on port side has no place: the crew has no hours"}, why(plan.Refusal{Certain: true, Task: 1, Limit: "hours", Share: 1}))
	in.MachineSlots = 24
	assert.Equal(t, []string{"every step has a place alone, but not all together: the hours at the machine do not suffice, at most 4 h a day for each person"},
		why(plan.Refusal{Certain: true, Task: -1, Limit: "machines"}))
	assert.Equal(t, []string{"seal on port side has no place: the machine hours do not suffice in 50 % of the crew's hours, and too dark without lamps in 50 %"},
		why(plan.Refusal{Certain: true, Task: 1, Limit: "machines", Share: 0.5}), "those of the place")
}
