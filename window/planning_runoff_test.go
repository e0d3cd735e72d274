package window_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/plan"
)

// shedding is the seal job on a boat whose deck is no overhang: its water runs down
// the sides and drips on nothing.
func shedding(t require.TestingT) *job.Job {
	j := sealJob(t)
	j.Zones[2].RunsOnto, j.Zones[2].DrainsTo = j.Zones[2].DrainsTo, nil
	return j
}

// dryBelow holds a plan against the rule that no water comes onto a zone that is
// worked on, hazes or cures, nor slurry onto a film that does.
func dryBelow(t *testing.T, b booked, deck string, sides ...string) {
	t.Helper()
	onDeck := func(step string) []plan.Block { return b.of(step, deck) }
	for _, side := range sides {
		for _, seal := range b.of("seal", side) {
			for _, wet := range append(onDeck("wash"), onDeck("strip wash")...) {
				assert.True(t, apartH(wet.To, seal.From) >= 2 || apartH(seal.To, wet.From) >= 6, "water onto %s", side)
			}
			for _, x := range onDeck("correct") {
				assert.True(t, x.To <= seal.From || apartH(seal.To, x.From) >= 6, "slurry onto %s", side)
			}
		}
		for _, x := range b.of("correct", side) {
			for _, wet := range append(onDeck("wash"), onDeck("strip wash")...) {
				assert.True(t, wet.To <= x.From || wet.From >= x.To, "water onto %s at the machine", side)
			}
		}
	}
}

// Rule of the trade: no water above a hazing or uncured zone, and nothing compounded
// above a zone that is sealed.
func TestPlanRunsOnto(t *testing.T) {
	for _, people := range []int{1, 2, 3} {
		j := shedding(t)
		j.People = people
		b := askedFor(t, calm(10), j, window.PlanSettings{})
		require.True(t, b.Found, "%+v", b.Refusal)
		dryBelow(t, b, "foredeck", "port side", "starboard side")
		for _, side := range []string{"port side", "starboard side"} {
			assert.LessOrEqual(t, b.one(t, "correct", "foredeck").To, b.one(t, "seal", side).From, "compounded from the top down")
			_, led := b.after(b.task(t, "wash", "foredeck", 1), b.task(t, "wash", side, 1), "order")
			assert.False(t, led, "what is washed on one day may be washed in any order")
		}
	}
}

// Rule of the trade (common practice, no source): everything wet first, the teak above all,
// for its cleaner takes the film off the sides below even when that has cured.
func TestPlan_StrongCleanersBeforeTheSealBelow(t *testing.T) {
	for cleaner, before := range map[string]bool{"teak-cleaner": true, "soap-wash": false} {
		f, j := calm(8), shedding(t)
		j.Zones[2].Finish = finish(t, "teak")
		day := func(n time.Duration) time.Time { return f.Start.Add(n * 24 * time.Hour) }
		j.Zones[2].Reach = []boat.Span{{From: day(3), To: day(4)}}
		for z := range 2 { // before her deck, or after
			j.Zones[z].Reach = []boat.Span{{From: f.Start, To: day(3)}, {From: day(4), To: f.End()}}
		}
		j.Steps = []job.Step{
			{Name: "strip wash", Do: "strip wash", With: "soap-wash", On: []int{0, 1}},
			{Name: "seal", Do: "seal", With: "polymer-sealant", On: []int{0, 1}},
			{Name: "teak", Do: "decontaminate", With: cleaner, On: []int{2}},
		}
		j.ShortestH = 0.2
		b := askedFor(t, f, j, window.PlanSettings{})
		require.True(t, b.Found, "%+v", b.Refusal)
		for _, side := range []string{"port side", "starboard side"} {
			assert.Equal(t, before, b.one(t, "teak", "foredeck").To <= b.one(t, "seal", side).From, "%s above %s", cleaner, side)
		}
	}
}

// sealedWithin has the sides of a job that is washed alone sealed as well, within some hours
// in which they can be reached again.
func sealedWithin(j *job.Job, from time.Time, hours float64) {
	j.Steps = append(j.Steps, job.Step{Name: "seal", Do: "seal", With: "polymer-sealant", On: []int{0, 1}})
	for z := range 2 {
		again := boat.Span{From: from, To: from.Add(time.Duration(hours * float64(time.Hour)))}
		j.Zones[z].Reach = append(j.Zones[z].Reach, again)
	}
}

// A deck's dirt runs down the sides: where they are washed before it on the same day the
// plan says what to do, and where they are not it is silent.
func TestPlanTellsToWashFromTheTopDown(t *testing.T) {
	f := calm(5)
	noon := f.Start.Add(8 * time.Hour)
	note := func(deckLast bool, change func(*job.Job)) bool {
		j := shedding(t)
		j.Steps, j.ShortestH = j.Steps[:1], 0.2
		first, last := []boat.Span{{From: f.Start, To: noon}}, []boat.Span{{From: noon, To: noon.Add(5 * time.Hour)}}
		if !deckLast {
			first, last = last, first
		}
		j.Zones[0].Reach, j.Zones[1].Reach, j.Zones[2].Reach = first, first, last
		change(j)
		b := askedFor(t, f, j, window.PlanSettings{})
		require.True(t, b.Found, "%+v", b.Refusal)
		for _, s := range b.Notes {
			if strings.Contains(s, "washed before what runs down onto it on the same day") {
				return true
			}
		}
		return false
	}
	asItIs := func(*job.Job) {}
	assert.True(t, note(true, asItIs))
	assert.False(t, note(false, asItIs), "from the top down")
	assert.False(t, note(true, func(j *job.Job) { j.Zones[2].RunsOnto = nil }), "its water runs elsewhere")
	assert.False(t, note(true, func(j *job.Job) {
		j.Zones[2].Reach = []boat.Span{{From: f.Start.Add(36 * time.Hour), To: f.End()}}
	}), "on another day they are no more than dusty by then")
	assert.False(t, note(true, func(j *job.Job) {
		j.Steps = append(j.Steps, j.Steps[0])
		j.Steps[0].On, j.Steps[1].On, j.Steps[1].Name = []int{0, 1}, []int{2}, "the deck"
	}), "the person has ordered it so")
	assert.False(t, note(true, func(j *job.Job) { sealedWithin(j, f.Start.Add(31*time.Hour), 6) }),
		"the block of the deck's wash tells it already: the sides lie washed for their seal")
}

// A plan says that it could end earlier only where it does not end as early as any can.
func TestPlan_EndsLaterOnlyThanItCould(t *testing.T) {
	f := calm(5)
	noon := f.Start.Add(8 * time.Hour)
	for hours := 7.0; hours <= 10; hours += 0.5 {
		j := shedding(t)
		j.Steps, j.ShortestH = j.Steps[:1], 0.2
		for z := range 2 {
			j.Zones[z].Reach = []boat.Span{{From: f.Start, To: noon}}
		}
		j.Zones[2].Reach = []boat.Span{{From: noon, To: noon.Add(5 * time.Hour)}}
		sealedWithin(j, f.Start.Add(31*time.Hour), hours)
		b := askedFor(t, f, j, window.PlanSettings{})
		require.True(t, b.Found, "%+v", b.Refusal)
		require.Equal(t, plan.Criteria, b.Proven)
		assert.Equal(t, b.Score, b.Bound)
		assert.Zero(t, b.Later, "%g hours: no plan ends earlier", hours)
		assert.Empty(t, b.Notes)
	}
}

// Where the deck can be reached only once the sides cannot, there is no order from the
// top down, and the plan does without it; without water still on what cures.
func TestPlanRunsOntoWhereNoOrderIsPossible(t *testing.T) {
	f := calm(10)
	j := shedding(t)
	day := 24 * time.Hour
	for z := range 2 {
		j.Zones[z].Reach = []boat.Span{{From: f.Start, To: f.Start.Add(2 * day)}}
	}
	j.Zones[2].Reach = []boat.Span{{From: f.Start.Add(2 * day), To: f.End()}}
	b := askedFor(t, f, j, window.PlanSettings{})
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.Greater(t, b.one(t, "correct", "foredeck").From, b.one(t, "seal", "port side").To)
	dryBelow(t, b, "foredeck", "port side", "starboard side")

	j.Zones[2].Reach[0].From = f.End() // nor any plan
	b = askedFor(t, f, j, window.PlanSettings{})
	require.False(t, b.Found)
	assert.Equal(t, "reach", b.Refusal.Limit)
}

// Rain falls on the sides as on the deck: what runs over them changes no row.
func TestRunsOntoIsNoOverhang(t *testing.T) {
	f := ensemble(4, 5)
	runs, bare := shedding(t), shedding(t)
	bare.Zones[2].RunsOnto = nil
	assert.Equal(t, evaluate(t, f, bare, f.Start).Rows, evaluate(t, f, runs, f.Start).Rows)
}
