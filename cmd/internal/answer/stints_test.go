package answer

import (
	"fmt"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// onTenth is a moment of 10 September 2026 or of a day near it, "10 08:00".
func onTenth(s string) time.Time {
	d, err := strconv.Atoi(s[:2])
	at, err2 := time.Parse("15:04", s[3:])
	if err != nil || err2 != nil {
		panic("no time: " + s)
	}
	return time.Date(2026, time.September, d, at.Hour(), at.Minute(), 0, 0, time.FixedZone("", -4*3600))
}

// washOf is ten minutes of one person's wash of a panel that is washed whole.
func washOf(zone, from string) PlanBlock {
	area, rewet := 2.0, 20.0
	at := onTenth(from)
	return PlanBlock{
		From: at, To: at.Add(10 * time.Minute), Step: "wash", Product: "soap-wash", Zone: zone, People: []int{1}, State: "go",
		Confidence: 1, PersonHours: 0.2, AreaM2: &area, SectionM2: &area, RewetMin: &rewet,
	}
}

// One block of a stint spans it, in the worse state and the lesser confidence.
func TestStint_One(t *testing.T) {
	a, b, c := washOf("a", "10 08:00"), washOf("b", "10 08:10"), washOf("c", "10 08:30")
	a.State, c.State, b.Confidence = "ideal", "ideal", 0.7
	one := Stint{a, b, c}.One()
	assert.Equal(t, []time.Time{onTenth("10 08:00"), onTenth("10 08:40")}, []time.Time{one.From, one.To})
	assert.Equal(t, "go", one.State)
	assert.InDelta(t, 0.7, one.Confidence, 1e-12)
	assert.InDelta(t, 0.6, one.PersonHours, 1e-12)
	assert.Equal(t, "ideal", Stint{a, c}.One().State)
}

// A block with anything to be said of it stands alone, and so does the work after it.
func TestStints_NothingIsLost(t *testing.T) {
	for name, change := range map[string]func(b *PlanBlock){
		"a yes":                   func(b *PlanBlock) { b.State, b.NeedsConsent = "marginal", true },
		"marginal with a yes":     func(b *PlanBlock) { b.State = "marginal" },
		"salt":                    func(b *PlanBlock) { b.FloodRinse = true },
		"a part that rain undid":  func(b *PlanBlock) { b.Redo = true },
		"one part of several":     func(b *PlanBlock) { b.Part, b.Parts = 2, 2 },
		"other work to mind":      func(b *PlanBlock) { b.Mind = "mask what is below" },
		"rain on the bare panel":  func(b *PlanBlock) { b.RainBefore = &RainBefore{} },
		"a wash too old":          func(b *PlanBlock) { b.StaleWash = &StaleWash{} },
		"washed and dried first":  func(b *PlanBlock) { b.Rewash = true },
		"another step":            func(b *PlanBlock) { b.Step = "strip wash" },
		"another product":         func(b *PlanBlock) { b.Product = "degreaser" },
		"other people":            func(b *PlanBlock) { b.People = []int{1, 2} },
		"dry work":                func(b *PlanBlock) { b.SectionM2 = nil },
		"a long pause before it":  func(b *PlanBlock) { b.From, b.To = onTenth("10 09:10"), onTenth("10 09:20") },
		"the same hours tomorrow": func(b *PlanBlock) { b.From, b.To = onTenth("11 08:20"), onTenth("11 08:30") },
	} {
		blocks := []PlanBlock{washOf("a", "10 08:00"), washOf("b", "10 08:10"), washOf("c", "10 08:20"), washOf("d", "10 08:30")}
		require.Len(t, Stints(blocks), 1, name)
		change(&blocks[2])
		slices.SortStableFunc(blocks, func(a, b PlanBlock) int { return a.From.Compare(b.From) })
		if name == "a long pause before it" || name == "the same hours tomorrow" {
			assert.Len(t, Stints(blocks), 2, "%s: a, b and d stay together", name)
			continue
		}
		assert.Len(t, Stints(blocks), 4, name)
	}
}

// Whatever the plan, every block is in one stint, those of a stint follow each other by the
// same hands, and stints come in the order in which they begin.
func TestStints_Partition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var blocks []PlanBlock
		now := onTenth("10 07:00")
		for i := range rapid.IntRange(0, 24).Draw(t, "blocks") {
			b := washOf(fmt.Sprintf("zone %d", i), "10 07:00")
			now = now.Add(time.Duration(rapid.SampledFrom([]int{0, 0, 10, 10, 20, 50}).Draw(t, "later")) * time.Minute)
			b.From, b.To = now, now.Add(10*time.Minute)
			b.People = rapid.SampledFrom([][]int{{1}, {1}, {2}, {1, 2}}).Draw(t, "people")
			b.Step = rapid.SampledFrom([]string{"wash", "wash", "wash", "strip wash"}).Draw(t, "step")
			b.NeedsConsent = rapid.IntRange(0, 9).Draw(t, "yes") == 0
			blocks = append(blocks, b)
		}
		var zones []string
		begun := time.Time{}
		for _, r := range Stints(blocks) {
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
