package answer

import (
	"testing"
	"time"

	"dewgap/window"

	"github.com/stretchr/testify/assert"
)

// rainAt is rain on the days of September 2026 at the quay, "10 22:00" to "11 03:00".
func rainAt(t *testing.T, from, to string, observed bool) Rain {
	return Rain{From: clock(t, "2026-09-"+from), To: clock(t, "2026-09-"+to), Observed: observed}
}

// The owner reads when it rained without guessing the day of any time.
func TestOwnerReadsOfTheRain(t *testing.T) {
	for name, c := range map[string]struct {
		rain []Rain
		want string
	}{
		"none":            {nil, "The plan for Kittiwake has been looked at again."},
		"one":             {[]Rain{rainAt(t, "10 11:40", "10 12:30", true)}, "Rain fell on Kittiwake from Thursday 11:40 to 12:30."},
		"over midnight":   {[]Rain{rainAt(t, "10 22:00", "11 03:00", true)}, "Rain fell on Kittiwake from Thursday 22:00 to Friday 03:00."},
		"more than a day": {[]Rain{rainAt(t, "10 11:00", "11 12:00", true)}, "Rain fell on Kittiwake from Thursday 11:00 to Friday 12:00."},
		"two of a day": {[]Rain{rainAt(t, "10 08:00", "10 09:00", true), rainAt(t, "10 11:00", "10 12:00", true)},
			"Rain fell on Kittiwake from Thursday 08:00 to 09:00 and from 11:00 to 12:00."},
		"on the day that the first ended": {[]Rain{rainAt(t, "10 22:00", "11 03:00", true), rainAt(t, "11 05:00", "11 06:00", true)},
			"Rain fell on Kittiwake from Thursday 22:00 to Friday 03:00 and from 05:00 to 06:00."},
		"on the day that the first began, not ended": {[]Rain{rainAt(t, "10 01:00", "11 03:00", true), rainAt(t, "12 05:00", "12 06:00", true)},
			"Rain fell on Kittiwake from Thursday 01:00 to Friday 03:00 and from Saturday 05:00 to 06:00."},
		"a week apart": {[]Rain{rainAt(t, "10 08:00", "10 09:00", true), rainAt(t, "17 08:00", "17 09:00", true)},
			"Rain fell on Kittiwake from Thursday 08:00 to 09:00 and from Thursday 08:00 to 09:00."},
		"forecast":     {[]Rain{rainAt(t, "10 11:40", "10 12:30", false)}, "Rain was forecast on Kittiwake from Thursday 11:40 to 12:30."},
		"seen in part": {[]Rain{rainAt(t, "10 08:00", "10 09:00", true), rainAt(t, "10 11:00", "10 12:00", false)}, "Rain fell on Kittiwake from Thursday 08:00 to 09:00 and from 11:00 to 12:00."},
	} {
		assert.Equal(t, c.want, happened(&Move{Boat: "Kittiwake", Rain: c.rain}), name)
	}
}

// What waits for a yes is asked for, however sure the rest is; else the least sure
// block is named.
func TestOwnerReadsWhatCouldChange(t *testing.T) {
	block := func(step string, confidence float64, consent bool) PlanBlock {
		return PlanBlock{Step: step, Confidence: confidence, NeedsConsent: consent, From: clock(t, "2026-09-11 08:00"), To: clock(t, "2026-09-11 10:00")}
	}
	later := func(x PlanBlock) PlanBlock {
		x.From, x.To = x.From.AddDate(0, 0, 1), x.To.AddDate(0, 0, 1)
		return x
	}
	for name, c := range map[string]struct {
		blocks []PlanBlock
		want   string
	}{
		"nothing planned": {nil, ""},
		"all sure":        {[]PlanBlock{block("wash", 1, false), block("seal", 1, false)}, "Rain or damp that the forecast does not show yet could change it."},
		"nearly sure":     {[]PlanBlock{block("wash", 0.995, false)}, "Rain or damp that the forecast does not show yet could change it."},
		"one less sure": {[]PlanBlock{block("wash", 1, false), block("seal", 0.909, false), block("wax", 0.95, false)},
			"What could change it is the weather on Friday 11 September: the seal holds in 10 of 11 forecasts."},
		"a yes is wanted of the least sure": {[]PlanBlock{block("wash", 1, false), block("seal", 0.4, true)},
			"We need your yes for the seal on Friday 11 September: it is on the edge of what the product allows."},
		"a yes is wanted of a surer one": {[]PlanBlock{block("wash", 0.6, false), block("seal", 0.9, true)},
			"We need your yes for the seal on Friday 11 September: it is on the edge of what the product allows."},
		"two are wanted": {[]PlanBlock{block("seal", 0.9, true), block("wash", 0.6, false), block("wax", 0.8, true)},
			"We need your yes for the seal and the wax on Friday 11 September: each is on the edge of what the product allows."},
		"on two days, each once": {[]PlanBlock{block("seal", 0.9, true), later(block("wax", 0.8, true)), later(block("wax", 0.4, true)), block("seal", 0.7, true)},
			"We need your yes for the seal on Friday 11 September and the wax on Saturday 12 September: each is on the edge of what the product allows."},
		"one is over": {[]PlanBlock{block("seal", 0.9, true), later(block("wax", 0.8, true))},
			"We need your yes for the wax on Saturday 12 September: it is on the edge of what the product allows."},
	} {
		m := &Move{Source: Source{Members: 11}, Plan: &Plan{Blocks: c.blocks}}
		if name == "one is over" {
			m.Now = clock(t, "2026-09-11 12:00")
		}
		assert.Equal(t, c.want, couldChange(m), name)
	}
	given := &Move{Source: Source{Members: 11}, Plan: &Plan{Accepted: true, Blocks: []PlanBlock{block("seal", 0.909, true)}}}
	assert.Equal(t, "What could change it is the weather on Friday 11 September: the seal holds in 10 of 11 forecasts.", couldChange(given), "the job says yes")
	one := &Move{Source: Source{Members: 1, Dressed: 30}, Plan: &Plan{Blocks: []PlanBlock{block("seal", 0.9, false)}}}
	assert.Contains(t, couldChange(one), "the seal holds in 27 of 30 futures.", "a single forecast")
}

// Zone by zone what the rain cost, in words without the program's own.
func TestOwnerReadsOfTheCost(t *testing.T) {
	b := moveBuilder{}
	fate := func(zone string, f window.Fate, share float64) Fate {
		return Fate{Zone: zone, Fate: f.String(), Share: share}
	}
	rain := []Rain{rainAt(t, "10 11:00", "10 12:00", true)}
	for name, c := range map[string]struct {
		zones []Fate
		want  string
	}{
		"nothing":  {nil, "Nothing of the work is lost."},
		"all good": {[]Fate{fate("port side", window.Good, 1)}, "Nothing of the work is lost."},
		"redo": {[]Fate{fate("port side", window.Redo, 1), fate("foredeck", window.Good, 1)},
			"The port side got wet too soon and will be done again, at no risk to the boat. The rest is good."},
		"a part": {[]Fate{fate("port side", window.Redo, 0.4), fate("port side", window.Good, 0.6)},
			"Part of the port side got wet too soon and will be done again, at no risk to the boat. The rest is good."},
		"as good as all": {[]Fate{fate("port side", window.Redo, 0.996)}, "The port side got wet too soon and will be done again, at no risk to the boat."},
		"inspect and rewash": {[]Fate{fate("port side", window.Inspect, 0.5), fate("foredeck", window.Rewash, 0.5), fate("transom", window.Rewash, 1)},
			"Part of the port side got wet a little early: we dry it and look at it in the sun. The foredeck and the transom only need another wash before the next step."},
		"twice the same": {[]Fate{fate("port side", window.Redo, 1), fate("port side", window.Redo, 1)}, "The port side got wet too soon and will be done again, at no risk to the boat."},
	} {
		assert.Equal(t, c.want, b.cost(&Move{Rain: rain, Zones: c.zones}), name)
	}
	assert.Empty(t, b.cost(&Move{Zones: []Fate{fate("port side", window.Redo, 1)}}), "without rain nothing is told of it")
}

// The days of the work, and the promised one.
func TestOwnerReadsTheDays(t *testing.T) {
	blocks := func(days ...string) *Move {
		m := &Move{Plan: &Plan{}}
		for _, d := range days {
			m.Plan.Blocks = append(m.Plan.Blocks, PlanBlock{Step: "wash", From: clock(t, "2026-09-"+d+" 08:00")}, PlanBlock{Step: "seal", From: clock(t, "2026-09-"+d+" 10:00")})
		}
		return m
	}
	assert.Equal(t, "All work is done.", goesOn(blocks()))
	assert.Equal(t, "Work goes on on Thursday 10 September (wash and seal).", goesOn(blocks("10")))
	four := goesOn(blocks("10", "11", "12", "13"))
	assert.Contains(t, four, "Saturday 12 September (wash and seal) and Sunday 13 September (wash and seal)", "four are still told one by one")
	assert.Equal(t, "Work goes on on 5 days from Thursday 10 September to Monday 14 September.", goesOn(blocks("10", "11", "12", "13", "14")))

	ends := clock(t, "2026-09-11 15:00")
	for want, h := range map[string]Handover{
		"": {Promised: true},
		"The boat is ready Friday 11 September: the promised day stands.":         {Ends: &ends, Kept: true, Promised: true},
		"The promised day cannot be kept: the boat is ready Friday 11 September.": {Ends: &ends, Promised: true},
		"The boat is ready Friday 11 September.":                                  {Ends: &ends, Kept: true},
	} {
		assert.Equal(t, want, stands(&Move{Handover: h}))
	}
}

// The owner knows by 18:00 the evening before, else by 07:00, else at once, to the
// minute and over the change of the clocks.
func TestTellByTheMinute(t *testing.T) {
	b := &moveBuilder{builder: newBuilder(newBoard(t, "seal").f)}
	tell := func(now, first string) string {
		b.Now = clock(t, now)
		moved := PlanBlock{From: clock(t, first)}
		return b.tellBy(&Move{Changes: []BlockChange{{Change: window.Shifted.String(), After: &moved}}}).Format("2 Jan 15:04 MST")
	}
	assert.Equal(t, "10 Sep 18:00 EDT", tell("2026-09-10 18:00", "2026-09-11 08:00"), "at 18:00 it is not too late")
	assert.Equal(t, "11 Sep 07:00 EDT", tell("2026-09-10 18:01", "2026-09-11 08:00"))
	assert.Equal(t, "11 Sep 07:00 EDT", tell("2026-09-11 07:00", "2026-09-11 08:00"))
	assert.Equal(t, "11 Sep 07:01 EDT", tell("2026-09-11 07:01", "2026-09-11 08:00"))
	assert.Equal(t, "31 Oct 18:00 EDT", tell("2026-10-31 12:00", "2026-11-01 08:00"), "the clocks go back in the night")
	assert.Equal(t, "1 Nov 07:00 EST", tell("2026-10-31 19:00", "2026-11-01 08:00"))
	assert.Equal(t, "8 Mar 07:00 EDT", tell("2026-03-07 19:00", "2026-03-08 08:00"), "and forward in this one")

	b.Now = clock(t, "2026-09-10 12:00")
	over, next := PlanBlock{From: b.Now.Add(-time.Minute)}, PlanBlock{From: clock(t, "2026-09-12 08:00")}
	assert.Nil(t, b.tellBy(&Move{}), "nothing changes")
	assert.Nil(t, b.tellBy(&Move{Changes: []BlockChange{{Change: window.Kept.String(), After: &next}, {Change: window.Done.String(), Before: &next}, {Change: window.Shifted.String(), Before: &over}}}))
	assert.Equal(t, "11 18:00", b.tellBy(&Move{Changes: []BlockChange{{Change: window.Shifted.String(), Before: &over, After: &next}}}).Format("2 15:04"))
	now := PlanBlock{From: b.Now}
	assert.Equal(t, "10 12:00", b.tellBy(&Move{Changes: []BlockChange{{Change: window.Shifted.String(), Before: &now}}}).Format("2 15:04"), "what begins now is not over")
}
