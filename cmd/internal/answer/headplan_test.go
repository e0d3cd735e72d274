package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Where the plan takes several days, or needs a yes, the answer says which, and what comes
// first: the first line has room for the first of them alone.
func TestInPlan(t *testing.T) {
	quay := time.FixedZone("quay", -4*3600)
	at := func(day, hour int) time.Time { return time.Date(2026, 5, day, hour, 0, 0, 0, quay) }
	block := func(step, zone string, day, hour int) PlanBlock {
		return PlanBlock{Step: step, Zone: zone, From: at(day, hour).UTC(), To: at(day, hour+1).UTC(), State: "go"}
	}
	lost := func(x PlanBlock) PlanBlock { x.State = "no-go"; return x }
	yes := func(x PlanBlock) PlanBlock { x.NeedsConsent = true; return x }
	for name, x := range map[string]struct {
		blocks []PlanBlock
		want   string
	}{
		"all of it on the best day needs no word":    {[]PlanBlock{block("wash", "port side", 11, 8), block("seal", "port side", 11, 10), block("seal", "transom", 11, 12)}, ""},
		"nor does all of it on another":              {[]PlanBlock{block("correct", "port side", 12, 8), block("seal", "port side", 13, 8)}, ""},
		"several days, and what comes first":         {[]PlanBlock{block("wash", "port side", 11, 8), block("correct", "port side", 12, 8), block("seal", "port side", 13, 8), block("seal", "transom", 14, 8)}, "Wed 13 May port side, Thu 14 May transom; wash and correct come first"},
		"what comes first on other zones is not its": {[]PlanBlock{block("wash", "transom", 11, 8), block("correct", "port side", 12, 8), yes(block("seal", "port side", 13, 8))}, "Wed 13 May port side with your yes; correct comes first"},
		"nor what comes later":                       {[]PlanBlock{yes(block("seal", "port side", 13, 8)), block("wax", "port side", 14, 8)}, "Wed 13 May port side with your yes"},
		"day by day, in order, a zone once":          {[]PlanBlock{block("seal", "transom", 13, 8), block("seal", "port side", 11, 8), block("seal", "port side", 11, 10)}, "Mon 11 May port side, Wed 13 May transom"},
		"a yes counts on the best day as well":       {[]PlanBlock{yes(block("seal", "port side", 11, 8)), block("seal", "transom", 11, 10)}, "Mon 11 May port side and transom in part with your yes"},
		"and alone":                                  {[]PlanBlock{yes(block("seal", "port side", 12, 8))}, "Tue 12 May port side with your yes"},
		"hours that are lost are told":               {[]PlanBlock{lost(block("seal", "port side", 11, 8))}, "Mon 11 May port side, no longer good"},
		"and in part":                                {[]PlanBlock{lost(block("seal", "port side", 11, 8)), yes(block("seal", "transom", 11, 10))}, "Mon 11 May port side and transom, in part no longer good, in part with your yes"},
		"what is over is told no more":               {[]PlanBlock{block("wash", "port side", 11, 5), block("seal", "port side", 11, 5), yes(block("seal", "transom", 12, 8))}, "Tue 12 May transom with your yes"},
		"the day is that of the place":               {[]PlanBlock{block("seal", "port side", 11, 21)}, ""},
		"many zones are counted": {[]PlanBlock{block("seal", "a", 12, 8), block("seal", "b", 12, 8), block("seal", "c", 12, 8), block("seal", "d", 12, 8),
			yes(block("seal", "e", 12, 8))}, "Tue 12 May 5 zones in part with your yes"},
		"a plan without it":      {[]PlanBlock{block("wash", "port side", 12, 8)}, ""},
		"a plan of what is done": {nil, ""},
	} {
		w := &Week{Now: at(11, 6), Headline: &Headline{Step: "seal", Best: []Window{{From: at(11, 7), To: at(11, 12)}}}, Plan: &Plan{State: Go, Blocks: x.blocks}}
		assert.Equal(t, x.want, w.InPlan(), name)
		w.Plan.State = None
		assert.Empty(t, w.InPlan(), name)
		w.Plan = nil
		assert.Empty(t, w.InPlan(), name)
	}
	w := &Week{Now: at(11, 6), Headline: &Headline{Step: "seal"}, Plan: &Plan{State: Go, Blocks: []PlanBlock{block("seal", "port side", 11, 8)}}}
	assert.Empty(t, w.InPlan())
	w.Headline = nil
	assert.Empty(t, w.InPlan())
}

// A plan that stands and holds no longer is told first, and what to do; of hours that are lost
// nothing is asked that could break them.
func TestBrokenAndLost(t *testing.T) {
	quay := time.FixedZone("quay", -4*3600)
	at := func(day, hour int) time.Time { return time.Date(2026, 5, day, hour, 0, 0, 0, quay) }
	made := at(10, 6)
	w := &Week{
		Now: at(11, 6), Headline: &Headline{Step: "seal", Best: []Window{{From: at(14, 7), To: at(14, 12)}}},
		Plan: &Plan{State: Go, Blocks: []PlanBlock{
			{Step: "seal", Zone: "port side", From: at(11, 8), To: at(11, 9), State: "go"},
			{Step: "seal", Zone: "transom", From: at(11, 9), To: at(11, 10), State: "no-go"},
		}},
	}
	assert.False(t, w.Lost(), "one of two")
	assert.Empty(t, w.Broken())
	w.Plan.Held = &made
	assert.Empty(t, w.Broken(), "it holds")
	assert.Contains(t, w.OffBest(false), "; the plan of Sun 10 May 06:00 stands.")
	w.Warnings = []string{"another", BrokenPlan + "Sun 10 May 06:00 does not hold: seal on transom is no-go now"}
	assert.Equal(t, "The plan of Sun 10 May 06:00 holds no longer: ask for a move (dewgap move)", w.Broken())
	assert.Equal(t, "Seal alone would do best on Thu 14 May.", w.OffBest(false))
	w.Plan.Blocks[0].State = "unknown"
	assert.True(t, w.Lost())
	w.Plan = nil
	assert.Empty(t, w.Broken())
	assert.False(t, w.Lost(), "without a plan its hours are the good ones")
}
