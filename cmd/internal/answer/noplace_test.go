package answer

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// Work without a place names what stands most in its way, and what does in the hours that
// this leaves: whoever brings lamps against the dark is not to meet the cold unwarned.
func TestNoPlan_NamesTheSecondCause(t *testing.T) {
	b := planBoard(t)
	limits := []verdict.Limit{verdict.Film, verdict.Daylight, verdict.Daylight, verdict.Daylight, verdict.Cure, verdict.Cure, verdict.SurfaceMin, verdict.Film}
	states := make([]verdict.State, len(limits))
	for i := range states {
		states[i] = verdict.NoGo
	}
	in := plan.Input{
		Day: make([]int, len(limits)), Days: []plan.Day{{Open: 1, Close: 7, People: 2}},
		Tasks: []plan.Task{{}, {State: states, Limit: limits}},
	}
	why := func(r plan.Refusal) []string {
		made := sealed(b)
		made.Result, made.Input = plan.Result{Refusal: &r}, in
		return NewPlan(b.f, made).Why
	}
	dark := plan.Refusal{Certain: true, Task: 1, Limit: verdict.Daylight.String(), Share: 0.5}
	assert.Equal(t, []string{"seal on port side has no place: too dark without lamps in 50 % of the crew's hours, and too cold or too dry to cure in 33 %"}, why(dark))
	limits[5], limits[6] = verdict.Order, verdict.Order
	assert.Equal(t, []string{"seal on port side has no place: too dark without lamps in 50 % of the crew's hours, and a film would be wetted too soon in 33 %"}, why(dark))
	states[4], states[5], states[6] = verdict.Go, verdict.Go, verdict.Marginal
	assert.Equal(t, []string{"seal on port side has no place: too dark without lamps in 50 % of the crew's hours"}, why(dark), "what can be worked in stands in no way")
	assert.Equal(t, []string{"seal on port side has no place: the crew has no hours"}, why(plan.Refusal{Certain: true, Task: 1, Limit: "hours", Share: 1}))
	in.MachineSlots = 24
	assert.Equal(t, []string{"every step has a place alone, but not all together: the hours at the machine do not suffice, at most 4 h a day for each person"},
		why(plan.Refusal{Certain: true, Task: -1, Limit: "machines"}))
	assert.Equal(t, []string{"seal on port side has no place: no machine noise is allowed in 50 % of the crew's hours, and too dark without lamps in 50 %"},
		why(plan.Refusal{Certain: true, Task: 1, Limit: "machines", Share: 0.5}), "those of the place")
}

// Of work that what lies before it leaves no room it is said which that is, or which film it
// would wet.
func TestNoPlan_NamesWhatComesBefore(t *testing.T) {
	b := planBoard(t)
	b.f.Job.Zones = append(b.f.Job.Zones, boat.Zone{Name: "foredeck", RunsOnto: []string{"port side"}})
	why := func(limit string, of, behind window.PlanTask, named bool) string {
		made := sealed(b)
		r := plan.Refusal{Certain: true, Task: 1, Limit: limit}
		if named {
			r.Behind = []int{0}
		}
		made.Tasks, made.Result = []window.PlanTask{behind, of}, plan.Result{Refusal: &r}
		return NewPlan(b.f, made).Why[0]
	}
	seal, wash, deck := window.PlanTask{Row: 1, Step: 1}, window.PlanTask{}, window.PlanTask{Zone: 1}
	const no, before = "seal on port side has no place: ", ", which must come before it, leaves no room"
	assert.Equal(t, no+"wash on port side"+before, why("order", seal, wash, true))
	assert.Equal(t, no+"wash on foredeck"+before, why("order", seal, deck, true))
	assert.Equal(t, no+"what must come before it leaves no room", why("order", seal, seal, true), "a coat of its own")
	assert.Equal(t, no+"what must come before it leaves no room", why("order", seal, wash, false))
	assert.Equal(t, no+"it has not dried long enough", why("dry_off", seal, wash, true))

	b.f.Job.Zones[0].Done = map[string]boat.Done{"seal": {At: b.f.Now.Add(-time.Hour), Share: 1}}
	b.f.Classes = films{}
	until := b.f.Now.Add(3 * time.Hour).In(b.f.Job.Location()).Format(hourMinute)
	assert.Contains(t, why("order", wash, seal, false), "wash on port side has no place: sealed ")
	assert.Contains(t, why("order", wash, seal, false), "no water on it until "+until)
}

// What no hour changes is not counted by the hour, and of a finish it is said which
// product it is that must not touch it.
func TestNoPlan_CountsNoHoursOfWhatNoneChanges(t *testing.T) {
	b := planBoard(t)
	const no = "seal on port side has no place: "
	why := func(limit verdict.Limit, share float64) string {
		made := sealed(b)
		made.Result = plan.Result{Refusal: &plan.Refusal{Certain: true, Task: 1, Limit: limit.String(), Share: share}}
		return NewPlan(b.f, made).Why[0]
	}
	assert.Equal(t, no+"the place does not allow this water to run off", why(verdict.Water, 1))
	assert.Equal(t, no+"the place does not allow this water to run off in 60 % of the crew's hours", why(verdict.Water, 0.6), "washing has its hours there")
	assert.Equal(t, no+"rain follows too soon in all of the crew's hours", why(verdict.RainFree, 0.996))
	assert.Equal(t, no+"rain follows too soon in 99 % of the crew's hours", why(verdict.RainFree, 0.994))
	assert.Equal(t, no+"the zone cannot be reached in all of the crew's hours", why(verdict.Reach, 1))
	b.f.Job.Afloat, b.f.Job.Zones[0].Access = true, boat.Ashore
	assert.Equal(t, no+"it is reached only ashore, and she is afloat: give the hours of the lift as its reach", why(verdict.Reach, 1))
	b.f.Job.Zones[0].Reach = []boat.Span{{}}
	assert.Equal(t, no+"the zone cannot be reached in 20 % of the crew's hours", why(verdict.Reach, 0.2))
	b.f.Classes = classes{"seal-class": products.Class{ID: "seal-class", Do: "seal", Name: "polymer sealant", Never: []string{"teak"}}}
	b.f.Job.Zones[0].Finish.Name = "teak"
	assert.Equal(t, no+"polymer sealant does not suit teak", why(verdict.Finish, 1))
	b.f.Classes = classes{"seal-class": products.Class{ID: "seal-class", Do: "seal", Name: "compound", Conditional: []string{"navy-paint"}}}
	b.f.Job.Zones[0].Finish.Name, b.f.Job.Zones[0].Buffable = "navy-paint", "unknown"
	assert.Equal(t, no+"navy-paint is not known to stand buffing (zone key buffable)", why(verdict.Finish, 1), "a word of the person's is all it lacks")
	b.f.Job.Zones[0].Buffable = "no"
	assert.Equal(t, no+"navy-paint must not be buffed here, says the job", why(verdict.Finish, 1))
}

// Too few polishers are told as what they are, and where one of them makes a block longer
// than any stretch, with both lengths.
func TestNoPlan_Polishers(t *testing.T) {
	b := planBoard(t)
	why := func(machines int, r plan.Refusal) string {
		made := sealed(b)
		r.Limit = plan.Polishers
		made.Result, made.Input.Machines = plan.Result{Refusal: &r}, machines
		return NewPlan(b.f, made).Why[0]
	}
	const place = "seal on port side has no place: "
	assert.Equal(t, "every step has a place alone, but not all together: the one polisher does not suffice", why(1, plan.Refusal{Certain: true, Task: -1}))
	assert.Equal(t, "no plan was found, which does not prove that there is none: the 2 polishers do not suffice", why(2, plan.Refusal{Task: -1}))
	assert.Equal(t, place+"the one polisher does not suffice", why(1, plan.Refusal{Certain: true, Task: 1, Longest: 9, Needed: 9}))
	assert.Equal(t, place+"the one polisher does not suffice; the longest stretch that can be worked in is 1 h 10, the block takes 1 h 30",
		why(1, plan.Refusal{Certain: true, Task: 1, Longest: 7, Needed: 9}))
}

// A plan says that the polishers are fewer than the people where anything is done with them.
func TestPlanHabits_Polishers(t *testing.T) {
	b := planBoard(t)
	why := func(machines int, machine bool) []string {
		made := sealed(b)
		made.Input.Machines, made.Input.Tasks[1].Machine = machines, machine
		return NewPlan(b.f, made).Why
	}
	assert.Contains(t, why(1, true), "there is one polisher: no more than one person at a time works a machine")
	assert.Contains(t, why(2, true), "there are 2 polishers: no more than 2 people at a time work a machine")
	for _, none := range [][]string{why(0, true), why(1, false)} {
		assert.NotContains(t, strings.Join(none, "\n"), "polisher")
	}
}
