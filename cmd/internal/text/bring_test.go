package text

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/cmd/internal/answer"
)

// The crew is told what each day takes: products with the area that they are for, the
// machines at work at once, and a dry towel for each 15 m² that were washed and one more.
// The owner brings nothing.
func TestNote_Bring(t *testing.T) {
	block := func(from, to, do, zone, product string, m2 float64, people ...int) answer.PlanBlock {
		b := *blockOn(from, to, do, zone, product, people...)
		b.Do, b.WorkTo = do, b.To
		if b.AreaM2 = nil; m2 > 0 {
			b.AreaM2 = &m2
		}
		return b
	}
	a := lateSummer(t)
	a.Now = at("10 06:00")
	a.Plan = &answer.Plan{State: "go", Blocks: []answer.PlanBlock{
		block("10 07:00", "08:00", "wash", "port side", "soap-wash", 12, 1),
		block("10 07:00", "08:00", "wash", "rails", "soap-wash", 0, 2),
		block("10 08:00", "09:00", "wash", "starboard side", "soap-wash", 18.5, 1, 2),
		block("10 09:30", "11:00", "correct", "port side", "compound-dual-action", 12, 1),
		block("10 10:00", "11:00", "correct", "starboard side", "compound-dual-action", 18.5, 2),
		block("10 11:00", "12:00", "correct", "transom", "compound-dual-action", 4, 1),
		block("11 09:00", "10:00", "seal", "transom", "polymer-sealant", 4, 1),
	}}
	bring := func(to string, o Options) []string {
		var out []string
		for _, s := range NoteOfWeek(a, to, o).What {
			if strings.HasPrefix(s, "Bring") {
				out = append(out, untie(s))
			}
		}
		return out
	}
	want := []string{
		"Bring Thu 10 Sep: soap-wash for 30.5 m² and rails; compound-dual-action for 34.5 m²; 2 polishers; 4 dry towels.",
		"Bring Fri 11 Sep: polymer-sealant for 4 m².",
	}
	assert.Equal(t, want, bring(ToCrew, metric))
	assert.Contains(t, bring(ToCrew, us)[0], "soap-wash for 328 sq ft and rails")
	assert.Empty(t, bring(ToOwner, metric))

	a.Plan.Blocks[0].Reach, a.Plan.Blocks[1].Reach, a.Plan.Blocks[2].Reach, a.Plan.Blocks[6].Reach = "ladder", "ladder", "float", "harness"
	assert.Contains(t, bring(ToCrew, metric)[0], "; 2 polishers; 2 ladders; 1 work float; 4 dry towels.", "who are there at once, each by their own")
	assert.Contains(t, bring(ToCrew, metric)[1], "; 1 harness.")
	a.Plan.Blocks[6].People = []int{1, 2}
	assert.Contains(t, bring(ToCrew, metric)[1], "; 2 harnesses.")
	a.Plan.Blocks[6].People = []int{1}
	for i := range a.Plan.Blocks {
		a.Plan.Blocks[i].Reach = "climb"
	}
	assert.Contains(t, bring(ToCrew, metric)[0], "; 2 polishers; 1 boarding ladder; 4 dry towels.")
	for i := range a.Plan.Blocks {
		a.Plan.Blocks[i].Reach = ""
	}

	a.Plan.Blocks = slices.Delete(a.Plan.Blocks, 4, 5)
	a.Plan.Blocks[0].AreaM2, a.Plan.Blocks[2].AreaM2 = nil, nil
	assert.Equal(t, "Bring Thu 10 Sep: soap-wash for port side, rails and starboard side; compound-dual-action for 16 m²; 1 polisher; 2 dry towels.", bring(ToCrew, metric)[0])
	a.Plan.Blocks[5].Rewash = true
	assert.Equal(t, "Bring Fri 11 Sep: polymer-sealant for 4 m²; 2 dry towels.", bring(ToCrew, metric)[1], "washed first, for it lay bare overnight")
}

// A way to get on is weighed against others: its small washes in a row are one.
func TestWays_SmallWashesAreOne(t *testing.T) {
	wash := func(from, to, zone string, who int) answer.PlanBlock {
		b := *blockOn("10 "+from, to, "wash", zone, "soap-wash", who)
		b.SectionM2 = ptr(4.0)
		return b
	}
	got := planDays([]answer.PlanBlock{
		wash("07:00", "07:10", "foredeck", 1), wash("07:00", "07:10", "transom", 2), wash("07:10", "07:20", "rails", 1),
		wash("07:20", "07:40", "port side", 1), *blockOn("10 08:00", "10:00", "seal", "helm", "polymer-sealant", 1),
		*blockOn("11 08:00", "10:00", "seal", "transom", "polymer-sealant", 1),
	})
	assert.Equal(t, []string{"Thu 10 Sep: wash 3 zones 07:00-07:40, wash transom 07:00-07:10, seal helm 08:00-10:00", "Fri 11 Sep: seal transom 08:00-10:00"}, untied(got))
}
