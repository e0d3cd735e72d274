package text

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

// washing is ten minutes of one person's wash of a panel that is washed whole.
func washing(zone, from string) answer.PlanBlock {
	area, rewet := 2.0, 20.0
	b := answer.PlanBlock{
		From: at(from), Step: "wash", Product: "soap-wash", Zone: zone, People: []int{1}, State: "go",
		AreaM2: &area, SectionM2: &area, RewetMin: &rewet,
	}
	b.To = b.From.Add(10 * time.Minute)
	return b
}

// planText is the plan of some blocks as the week writes it.
func planText(blocks ...answer.PlanBlock) string {
	p := newPage(Options{Width: 80})
	p.plan(&answer.Week{Plan: &answer.Plan{State: "go", Blocks: blocks}})
	return p.b.String()
}

// Small panels that one person washes one after the other are one line, each with when it
// is begun; what is to be minded of the water is the shortest of all.
func TestStints(t *testing.T) {
	deck, side, house := washing("foredeck", "10 08:00"), washing("port side", "10 08:10"), washing("helm", "10 08:30")
	half, soon := 9.1, 11.0
	whole := 18.0
	side.AreaM2, side.SectionM2, side.RewetMin, side.To = &whole, &half, &soon, at("10 08:30")
	page := planText(deck, side, house)
	assert.Contains(t, page, `
  + go       08:00-08:40  1    wash, soap-wash: foredeck 08:00, port side 08:10,
                               helm 08:30
             port side 9.1 m² at a time, re-wet every 11 min
`)
	page = planText(deck, house)
	assert.Contains(t, page, "08:00-08:10  1    wash, foredeck, soap-wash\n             re-wet every 20 min\n", "two are told by themselves; all of it at once needs no word")
	page = planText(side)
	assert.Contains(t, page, "wash, port side, soap-wash\n             9.1 m² at a time, re-wet every 11 min\n")

	lines := metric.crewLines(&answer.Plan{Blocks: []answer.PlanBlock{deck, side, house}})
	require.Len(t, lines, 1)
	assert.Equal(t, "Thu 10 Sep 08:00-08:40 (1) wash, soap-wash: foredeck 08:00, port side 08:10, helm 08:30; "+
		"port side 9.1 m² at a time, re-wet every 11 min.", untie(lines[0]))
}
