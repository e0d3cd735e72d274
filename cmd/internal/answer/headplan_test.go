package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// The best day of a step is that of its own weather. Where the plan takes other days, or
// needs a yes, the answer says which, and what comes first: it is the plan's day that an
// owner may be promised.
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
		"another day, and what comes first":          {[]PlanBlock{block("wash", "port side", 11, 8), block("correct", "port side", 12, 8), block("seal", "port side", 13, 8)}, "Wed 13 May port side; wash and correct come first"},
		"what comes first on other zones is not its": {[]PlanBlock{block("wash", "transom", 11, 8), block("correct", "port side", 12, 8), block("seal", "port side", 13, 8)}, "Wed 13 May port side; correct comes first"},
		"nor what comes later":                       {[]PlanBlock{block("seal", "port side", 13, 8), block("wax", "port side", 14, 8)}, "Wed 13 May port side"},
		"day by day, in order, a zone once":          {[]PlanBlock{block("seal", "transom", 13, 8), block("seal", "port side", 11, 8), block("seal", "port side", 11, 10)}, "Mon 11 May port side, Wed 13 May transom"},
		"a yes counts on the best day as well":       {[]PlanBlock{yes(block("seal", "port side", 11, 8)), block("seal", "transom", 11, 10)}, "Mon 11 May port side and transom in part with your yes"},
		"and alone":                                  {[]PlanBlock{yes(block("seal", "port side", 12, 8))}, "Tue 12 May port side with your yes"},
		"hours that are lost are told":               {[]PlanBlock{lost(block("seal", "port side", 11, 8))}, "Mon 11 May port side, no longer good"},
		"and in part":                                {[]PlanBlock{lost(block("seal", "port side", 11, 8)), yes(block("seal", "transom", 11, 10))}, "Mon 11 May port side and transom, in part no longer good, in part with your yes"},
		"what is over is told no more":               {[]PlanBlock{block("wash", "port side", 11, 5), block("seal", "port side", 11, 5), block("seal", "transom", 12, 8)}, "Tue 12 May transom"},
		"the day is that of the place":               {[]PlanBlock{block("seal", "port side", 11, 21)}, ""},
		"many zones are counted": {[]PlanBlock{block("seal", "a", 12, 8), block("seal", "b", 12, 8), block("seal", "c", 12, 8), block("seal", "d", 12, 8),
			block("seal", "e", 12, 8)}, "Tue 12 May 5 zones"},
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
	assert.Equal(t, "Mon 11 May port side", w.InPlan(), "without hours of its own the plan's are all it has")
	w.Headline = nil
	assert.Empty(t, w.InPlan())
}

// A day on which the plan has the step, within a visit, is not told as one without hours;
// one on which it waits for a yes is.
func TestWhyNots(t *testing.T) {
	at := func(day int) time.Time { return time.Date(2026, 5, day, 8, 0, 0, 0, time.UTC) }
	list := []string{"Mon 11 May: panel 45 °C, at most 32", "Tue 12 May: rain at 9", "no hours at all"}
	block := PlanBlock{Step: "seal", From: at(11), To: at(11).Add(time.Hour), State: Go}
	w := &Week{Now: at(11), Headline: &Headline{Step: "seal", WhyNot: list}, Plan: &Plan{State: Go, Blocks: []PlanBlock{block}}}
	assert.Equal(t, list[1:], w.WhyNots())
	assert.Len(t, w.Headline.WhyNot, 3, "the answer stays as it is")
	w.Plan.Blocks[0].NeedsConsent = true
	assert.Equal(t, list, w.WhyNots())
	w.Plan.Blocks[0].NeedsConsent, w.Plan.Blocks[0].State = false, NoGo
	assert.Equal(t, list, w.WhyNots(), "its hours are lost")
	w.Plan.Blocks[0].State, w.Plan.State = Go, NoGo
	assert.Equal(t, list, w.WhyNots(), "what they hang on is lost")
	w.Plan.State, w.Plan.Blocks[0].Step = Go, "wash"
	assert.Equal(t, list, w.WhyNots())
	w.Plan = nil
	assert.Equal(t, list, w.WhyNots())
	w.Headline = nil
	assert.Empty(t, w.WhyNots())
}
