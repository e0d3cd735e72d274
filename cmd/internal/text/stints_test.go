package text

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

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

// A block with anything to be said of it stands alone, and so does the work after it.
func TestStints_NothingIsLost(t *testing.T) {
	for name, change := range map[string]func(b *answer.PlanBlock){
		"a yes":                   func(b *answer.PlanBlock) { b.State, b.NeedsConsent = "marginal", true },
		"marginal with a yes":     func(b *answer.PlanBlock) { b.State = "marginal" },
		"salt":                    func(b *answer.PlanBlock) { b.FloodRinse = true },
		"a part that rain undid":  func(b *answer.PlanBlock) { b.Redo = true },
		"one part of several":     func(b *answer.PlanBlock) { b.Part, b.Parts = 2, 2 },
		"other work to mind":      func(b *answer.PlanBlock) { b.Mind = "mask what is below" },
		"rain on the bare panel":  func(b *answer.PlanBlock) { b.RainBefore = &answer.RainBefore{} },
		"a wash too old":          func(b *answer.PlanBlock) { b.StaleWash = &answer.StaleWash{} },
		"washed and dried first":  func(b *answer.PlanBlock) { b.Rewash = true },
		"another step":            func(b *answer.PlanBlock) { b.Step = "strip wash" },
		"another product":         func(b *answer.PlanBlock) { b.Product = "degreaser" },
		"other people":            func(b *answer.PlanBlock) { b.People = []int{1, 2} },
		"dry work":                func(b *answer.PlanBlock) { b.SectionM2 = nil },
		"a long pause before it":  func(b *answer.PlanBlock) { b.From, b.To = at("10 09:10"), at("10 09:20") },
		"the same hours tomorrow": func(b *answer.PlanBlock) { b.From, b.To = at("11 08:20"), at("11 08:30") },
	} {
		blocks := []answer.PlanBlock{washing("a", "10 08:00"), washing("b", "10 08:10"), washing("c", "10 08:20"), washing("d", "10 08:30")}
		require.Len(t, stints(blocks), 1, name)
		change(&blocks[2])
		slices.SortStableFunc(blocks, func(a, b answer.PlanBlock) int { return a.From.Compare(b.From) })
		if name == "a long pause before it" || name == "the same hours tomorrow" {
			assert.Len(t, stints(blocks), 2, "%s: a, b and d stay together", name)
			continue
		}
		assert.Len(t, stints(blocks), 4, name)
	}
}

// Whatever the plan, every block is in one stint, those of a stint follow each other by the
// same hands, and stints come in the order in which they begin.
func TestStints_Partition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var blocks []answer.PlanBlock
		now := at("10 07:00")
		for i := range rapid.IntRange(0, 24).Draw(t, "blocks") {
			b := washing(fmt.Sprintf("zone %d", i), "10 07:00")
			now = now.Add(time.Duration(rapid.SampledFrom([]int{0, 0, 10, 10, 20, 50}).Draw(t, "later")) * time.Minute)
			b.From, b.To = now, now.Add(10*time.Minute)
			b.People = rapid.SampledFrom([][]int{{1}, {1}, {2}, {1, 2}}).Draw(t, "people")
			b.Step = rapid.SampledFrom([]string{"wash", "wash", "wash", "strip wash"}).Draw(t, "step")
			b.NeedsConsent = rapid.IntRange(0, 9).Draw(t, "yes") == 0
			blocks = append(blocks, b)
		}
		var zones []string
		begun := time.Time{}
		for _, r := range stints(blocks) {
			require.False(t, r[0].From.Before(begun))
			begun = r[0].From
			require.True(t, len(r) == 1 || len(r) >= stintLeast)
			for i, b := range r {
				zones = append(zones, b.Zone)
				if i == 0 {
					continue
				}
				require.Equal(t, r[0].People, b.People)
				require.Equal(t, r[0].Step, b.Step)
				require.False(t, b.NeedsConsent || r[0].NeedsConsent)
				require.Less(t, b.From.Sub(r[i-1].To), stintGap)
				for _, x := range blocks { // nobody of them did anything else in between
					if x.From.After(r[i-1].From) && x.From.Before(b.From) {
						require.False(t, slices.ContainsFunc(x.People, func(p int) bool { return slices.Contains(b.People, p) }))
					}
				}
			}
		}
		require.Len(t, zones, len(blocks))
		slices.Sort(zones)
		require.Len(t, slices.Compact(zones), len(blocks))
	})
}
