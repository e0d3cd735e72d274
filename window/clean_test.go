package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/plan"
)

// soiledOnPaper lists, of a plan, the pairs of a block and the zone below that lies
// stripped for its seal as it throws slurry or lets dirty water run.
func soiledOnPaper(b booked) map[[2]int]bool {
	out := map[[2]int]bool{}
	for _, x := range b.Blocks {
		above := b.Tasks[x.Task]
		if s := b.j.Steps[above.Step].Do; s != "correct" && s != "wash" && s != "strip wash" {
			continue
		}
		for below, reached := range window.RunsOnto(b.j, above.Zone) {
			if !reached {
				continue
			}
			stripped, sealed := -1, -1
			for _, y := range b.Blocks {
				if t := b.Tasks[y.Task]; t.Zone != below || t.Coat > 1 {
					continue
				}
				switch b.j.Steps[b.Tasks[y.Task].Step].Do {
				case "strip wash":
					stripped = max(stripped, y.WorkTo)
				case "seal":
					if sealed < 0 || y.From < sealed {
						sealed = y.From
					}
				}
			}
			if stripped >= 0 && x.WorkTo > stripped && x.From < sealed {
				out[[2]int{x.Task, below}] = true
			}
		}
	}
	return out
}

// Rule of the trade (common practice, no source): what is stripped for its seal is not
// compounded above. In easy weather the plan keeps to it; where it cannot, it tells each.
func TestPlan_SoilsNothingThatIsStripped(t *testing.T) {
	for _, people := range []int{1, 2, 3} {
		j := shedding(t)
		j.People = people
		b := planned(t, calm(10), j)
		require.True(t, b.Found, "%+v", b.Refusal)
		assert.Empty(t, soiledOnPaper(b), "%d people", people)
		assert.Empty(t, b.Soiled)
	}
}

// The deck can be reached only between the hours in which the sides are stripped and
// those in which they can be sealed: the plan tells what it soils.
func TestPlan_TellsWhatItSoils(t *testing.T) {
	f, j := calm(10), shedding(t)
	at := func(day, hour int) time.Time { return f.Start.Add(time.Duration(24*day+hour) * time.Hour) }
	first := at(0, 0)
	for z := range 2 { // stripped on the first day
		j.Zones[z].Done = map[string]boat.Done{}
		for _, s := range j.Steps[:3] {
			j.Zones[z].Done[s.Name] = boat.Done{At: first.Add(-time.Hour), Share: 1}
		}
		j.Zones[z].Reach = []boat.Span{{From: at(1, 0), To: f.End()}}
	}
	j.Zones[2].Reach = []boat.Span{{From: first, To: at(1, 0)}}
	b := askedFor(t, f, j, window.PlanSettings{})
	require.True(t, b.Found, "%+v", b.Refusal)
	told := map[string][]window.Clean{}
	for task, clean := range b.Soiled {
		told[b.j.Steps[b.Tasks[task].Step].Name] = clean
	}
	want := []window.Clean{{Step: 2, Zone: 0, At: first.Add(-time.Hour)}, {Step: 2, Zone: 1, At: first.Add(-time.Hour)}}
	assert.ElementsMatch(t, want, told["correct"])
	assert.ElementsMatch(t, want, told["wash"])
	assert.ElementsMatch(t, want, told["strip wash"], "suds and what they took off")
	assert.NotContains(t, told, "seal")
}

// A plan tells what a person finds on it, no more and no less.
func TestPlan_SoilsAsOnPaper(t *testing.T) {
	t.Parallel()
	found := 0
	for hours := 8.0; hours <= 40; hours += 4 {
		for _, rain := range []int{20, 30, 55} {
			j := shedding(t)
			j.People = 1 + int(hours)%3
			j.Steps[1].Hours = hours
			b := askedFor(t, rainOn(calm(10), rain, rain+3), j, window.PlanSettings{})
			if !b.Found {
				continue
			}
			paper := soiledOnPaper(b)
			told := 0
			for task, clean := range b.Soiled {
				for _, c := range clean {
					told++
					assert.Contains(t, paper, [2]int{task, c.Zone})
				}
			}
			assert.Len(t, paper, told)
			found += told
		}
	}
	t.Log(found, "told")
}

// A panel is clean for its film from its last wash to the film, and for no other work.
func TestCleanBelow(t *testing.T) {
	j, at := shedding(t), calm(1).Start
	clean := func(step int, done ...string) []window.Clean {
		j.Zones[0].Done = map[string]boat.Done{}
		for k, s := range done {
			j.Zones[0].Done[s] = boat.Done{At: at.Add(time.Duration(k) * time.Hour), Share: 1}
		}
		return window.CleanBelow(j, catalogue(t), step, 2, at.Add(6*time.Hour))
	}
	assert.Equal(t, []window.Clean{{Step: 2, Zone: 0, At: at.Add(2 * time.Hour)}}, clean(1, "wash", "correct", "strip wash"))
	assert.Len(t, clean(0, "wash", "correct", "strip wash"), 1)
	assert.Len(t, clean(2, "wash", "correct", "strip wash"), 1)
	assert.Empty(t, clean(3, "wash", "correct", "strip wash"), "nor does a seal run")
	assert.Empty(t, clean(1, "wash"), "it is to be compounded itself")
	assert.Empty(t, clean(1, "wash", "correct"))
	assert.Empty(t, clean(1, "wash", "correct", "strip wash", "seal"), "it has its film")
	assert.Empty(t, clean(1))
	assert.Empty(t, window.CleanBelow(j, catalogue(t), 1, 0, at), "nothing lies below")
	j.Zones[0].Done["strip wash"] = boat.Done{At: at.Add(7 * time.Hour), Share: 1}
	delete(j.Zones[0].Done, "seal")
	assert.Empty(t, window.CleanBelow(j, catalogue(t), 1, 2, at.Add(6*time.Hour)), "not washed by then")
}

// A wash alone before a seal, as on a boat that is only cared for, is a last wash too.
func TestPlan_OneWashAlone(t *testing.T) {
	j := shedding(t)
	j.Steps = append(j.Steps[:1:1], j.Steps[3])
	b := planned(t, calm(10), j)
	require.True(t, b.Found, "%+v", b.Refusal)
	deck := b.one(t, "wash", "foredeck")
	for _, side := range []string{"port side", "starboard side"} {
		assert.True(t, deck.To <= b.one(t, "wash", side).To || deck.From >= b.one(t, "seal", side).From,
			"from the top down: %v", []plan.Block{deck, b.one(t, "wash", side)})
	}
}
