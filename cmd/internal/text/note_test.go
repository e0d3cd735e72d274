package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/cmd/internal/answer"
)

// A plan that takes another day than the best one for its seal alone says so; reasons and
// dangers are those of the plan's own day, as the headline has them.
func TestNote_OfAPlanOffTheBestDay(t *testing.T) {
	a := lateSummer(t)
	best := a.Headline.Best[0].From
	a.Headline.WhyNot, a.Headline.Breaks = []string{"Wed 9 Sep: thunder (port side)"}, []string{"wind 2 m/s (4 kn) stronger: no-go on port side"}
	planned := func(days int) *answer.Note {
		from := best.AddDate(0, 0, days)
		a.Plan = &answer.Plan{State: "go", Blocks: []answer.PlanBlock{
			{Step: "wash", Zone: "port side", From: best.AddDate(0, 0, -1), To: best.AddDate(0, 0, -1), Confidence: 1},
			{Step: a.Headline.Step, Zone: "port side", From: from, To: from.Add(7200e9), Confidence: 1},
		}}
		return NoteOfWeek(a, ToOwner, metric)
	}
	const alone = "Seal alone would do best on Thu 10 Sep; for the whole job this is the best plan found."

	n := planned(0)
	assert.Equal(t, []string{"Wed 9 Sep: thunder (port side)."}, tidied(n.Why))
	assert.Contains(t, n.Change[0], "stronger")

	n = planned(3)
	assert.Equal(t, []string{"Wed 9 Sep: thunder (port side).", alone}, tidied(n.Why))
	assert.Contains(t, n.Change[0], "stronger")
	a.Headline.Step = "coat"
	assert.NotContains(t, strings.Join(NoteOfWeek(a, ToOwner, metric).Change, " "), "stronger", "the plan has none of that")
	a.Headline.Step = "seal"

	a.Headline.WhyNot = nil
	assert.Equal(t, []string{"These are the first hours that suit the products on each side of the boat."}, planned(0).Why)
	assert.Equal(t, []string{alone}, tidied(planned(3).Why))
	a.Headline.Best = nil
	assert.Equal(t, []string{"These are the first hours that suit the products on each side of the boat."}, planned(3).Why)
}

// Nobody is asked for a yes to hours that are lost, or unknown, since the plan was made.
func TestNote_NoYesForWhatHoldsNoLonger(t *testing.T) {
	a := lateSummer(t)
	for state, asks := range map[string]int{"go": 1, "marginal": 1, "no-go": 0, "unknown": 0} {
		a.Plan = &answer.Plan{State: state, Held: &a.Now, Blocks: []answer.PlanBlock{{
			Step: "seal", Zone: "port side", From: a.Now.Add(3600e9), To: a.Now.Add(7200e9), State: state, NeedsConsent: true, ConsentFor: "its hours are " + state + " now",
		}}}
		assert.Len(t, NoteOfWeek(a, ToOwner, metric).Asks, asks, state)
	}
}
