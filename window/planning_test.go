package window_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// booked is a plan with its result, to be asked for blocks by name.
type booked struct {
	*window.Planned
	r *window.Result
	j *job.Job
}

func planned(t require.TestingT, f *forecast.Forecast, j *job.Job) booked {
	return plannedIn(t, f, j, 400_000)
}

// soon is how many steps are enough for what has to hold of any plan, good or not.
const soon = 30_000

func soonMoved(in *window.MoveInput) { in.Plan.Budget = soon }

// plannedIn is planned within a budget.
func plannedIn(t require.TestingT, f *forecast.Forecast, j *job.Job, budget int) booked {
	r := evaluate(t, f, j, f.Start)
	p, err := window.Plan(r, j, window.PlanSettings{Budget: budget})
	require.NoError(t, err)
	return booked{p, r, j}
}

// of lists the blocks of a step on a zone, by start.
func (b booked) of(step, zone string) []plan.Block {
	var out []plan.Block
	for _, x := range b.Blocks {
		t := b.Tasks[x.Task]
		if b.j.Steps[t.Step].Name == step && b.j.Zones[t.Zone].Name == zone {
			out = append(out, x)
		}
	}
	return out
}

func (b booked) one(t testing.TB, step, zone string) plan.Block {
	t.Helper()
	x := b.of(step, zone)
	require.Len(t, x, 1, "%s on %s: %+v", step, zone, b.Refusal)
	return x[0]
}

// clock is the local time of a slot of the horizon; day its date.
func (b booked) clock(slot int) string { return b.at(slot).Format("15:04") }
func (b booked) day(slot int) int      { return b.at(slot).Day() }
func (b booked) at(slot int) time.Time { return b.r.Grid.At(b.r.From + slot).In(b.r.Location) }

// hours between two slots.
func apartH(from, to int) float64 { return float64(to-from) * verdict.SlotHours }

// sealJob is wash, correct, strip wash and seal on two sides and the deck above
// them.
func sealJob(t require.TestingT) *job.Job {
	j := smallJob(t, "polymer-sealant")
	j.Zones = []boat.Zone{
		{Name: "port side", Finish: finish(t, "white-gelcoat"), Tilt: 90, Faces: 270, AreaM2: 12},
		{Name: "starboard side", Finish: finish(t, "white-gelcoat"), Tilt: 90, Faces: 90, AreaM2: 12},
		{Name: "foredeck", Finish: finish(t, "white-gelcoat"), AreaM2: 8, DrainsTo: []string{"port side", "starboard side"}},
	}
	all := []int{0, 1, 2}
	j.Steps = []job.Step{
		{Name: "wash", Do: "wash", With: "soap-wash", On: all},
		{Name: "correct", Do: "correct", With: "compound-rotary", On: all},
		{Name: "strip wash", Do: "strip wash", With: "soap-wash", On: all},
		{Name: "seal", Do: "seal", With: "polymer-sealant", On: all},
	}
	return j
}

// Common practice, no source: nothing sealed before its strip wash and
// dry-off, top down, no compound above a sealed zone, no water on what cures.
func TestPlanOrder(t *testing.T) {
	b := planned(t, calm(10), sealJob(t))
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.Zero(t, b.Score.Consents)
	require.Len(t, b.Blocks, 12)
	for _, z := range b.j.Zones {
		wash, correct := b.one(t, "wash", z.Name), b.one(t, "correct", z.Name)
		strip, seal := b.one(t, "strip wash", z.Name), b.one(t, "seal", z.Name)
		assert.LessOrEqual(t, wash.To, correct.From)
		assert.LessOrEqual(t, correct.To, strip.From)
		assert.GreaterOrEqual(t, apartH(strip.To, seal.From), 2.0, "dry-off of a polymer sealant, default")
		assert.LessOrEqual(t, apartH(correct.To, seal.From), 7*24.0, "no longer bare than seven days")
	}
	for _, side := range []string{"port side", "starboard side"} {
		for _, step := range []string{"wash", "correct", "strip wash"} {
			assert.LessOrEqual(t, b.one(t, step, "foredeck").To, b.one(t, step, side).From, "%s from the top down", step)
		}
		seal := b.one(t, "seal", side)
		assert.LessOrEqual(t, b.one(t, "correct", "foredeck").To, seal.From, "no compound above a sealed zone")
		for _, step := range []string{"wash", "strip wash"} {
			water := b.one(t, step, "foredeck")
			before, after := apartH(water.To, seal.From) >= 2, apartH(seal.To, water.From) >= 4
			assert.True(t, before || after, "dried for 2 h, or rain-free for 4 h")
		}
	}
	for _, x := range b.Blocks {
		assert.GreaterOrEqual(t, b.clock(x.From), "07:30", "half an hour to set up")
		assert.LessOrEqual(t, b.clock(x.To), "17:30", "half an hour to pack up")
	}
}

// Every slot of a block is one that its row calls workable, in the block's state,
// and the shortest useful block is a matter of the visit alone.
func TestPlanKeepsToTheRows(t *testing.T) {
	b := planned(t, calm(10), sealJob(t))
	for _, x := range b.Blocks {
		row := b.r.Rows[b.Tasks[x.Task].Row]
		for i := x.From; i < x.To; i++ {
			assert.LessOrEqual(t, row.Slots.State[i], x.State)
		}
	}
	short := 0
	for _, x := range b.Blocks {
		if x.To-x.From < 12 {
			short++
		}
	}
	assert.Positive(t, short, "blocks under two hours stand within longer visits")
}

// Hours = area ÷ rate × access ÷ people; a polymer sealant is worked at the
// middle of 3.43 to 6.67 m² an hour and hazes for at least 30 min at 20 °C.
func TestPlanHours(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].AreaM2 = 10.1
	b := planned(t, calm(6), j)
	x := b.one(t, "seal", "port side")
	assert.InDelta(t, 2, b.Tasks[0].PersonHours, 0.01)
	assert.Equal(t, 12, (x.WorkTo-x.From)*len(x.People), "person-slots")
	hazed := float64(x.To-x.WorkTo) * surface.SlotMinutes
	assert.True(t, hazed >= 10 && hazed <= 60, "%v min, as warm as it is", hazed)

	hoursOf := func(change func(j *job.Job)) window.PlanTask {
		j := smallJob(t, "compound-dual-action")
		j.Steps[0].Do, j.Zones[0].AreaM2 = "correct", 6
		change(j)
		p := planned(t, calm(4), j)
		return p.Tasks[0]
	}
	assert.InDelta(t, 2, hoursOf(func(*job.Job) {}).PersonHours, 0, "6 m² at 3 an hour")
	assert.InDelta(t, 3, hoursOf(func(j *job.Job) { j.Zones[0].Access = boat.Ladder }).PersonHours, 0, "× 1.45, in whole slots")
	assert.InDelta(t, 3.5, hoursOf(func(j *job.Job) { j.Zones[0].Access = boat.Harness }).PersonHours, 0, "× 1.75")
	dark := hoursOf(func(j *job.Job) { j.Zones[0].Finish = finish(t, "navy-gelcoat") })
	assert.InDelta(t, 2.67, dark.PersonHours, 0.01, "× 1.3 for a dark hull")
	assert.InDelta(t, 5, hoursOf(func(j *job.Job) { j.Steps[0].Hours, j.Zones[0].Access = 5, boat.Ladder }).PersonHours, 0,
		"the person's own hours outrank the rate and the access")
	nothing := hoursOf(func(j *job.Job) { j.Zones[0].AreaM2 = 0 })
	assert.True(t, nothing.Assumed)
	assert.InDelta(t, 2, nothing.PersonHours, 0)
}

// Zones whose size nobody knows are told in one sentence, however many they are, with
// the steps that are left to do there.
func TestPlan_ZonesWithoutASize(t *testing.T) {
	notes := func(change func(j *job.Job)) []string {
		j := sealJob(t)
		change(j)
		return planned(t, calm(4), j).Notes
	}
	assert.Empty(t, notes(func(*job.Job) {}))
	assert.Equal(t, []string{"no size is known of port side: 2 h of work assumed there for each step: wash, correct, strip wash and seal"},
		notes(func(j *job.Job) { j.Zones[0].AreaM2 = 0 }))
	assert.Equal(t, []string{"no size is known of port side: 2 h of work assumed there for seal"}, notes(func(j *job.Job) {
		j.Zones[0].AreaM2, j.Steps = 0, j.Steps[3:]
	}))
	assert.Equal(t, []string{"no size is known of port side: 2 h of work assumed there for each step: correct, strip wash and seal"}, notes(func(j *job.Job) {
		j.Zones[0].AreaM2 = 0
		j.Zones[0].Done = map[string]boat.Done{"wash": {At: calm(4).Start, Share: 1}}
	}), "what is done takes no time any more")
	assert.Equal(t, []string{"no length is known of port side: 2 h of work assumed there for protect"}, notes(func(j *job.Job) {
		j.Zones[0].Finish = finish(t, "stainless")
		j.Steps = []job.Step{{Name: "protect", Do: "protect", With: "metal-polish", On: []int{0}}}
	}), "its area is known, but the rate is by the metre")
	assert.Equal(t, []string{"no size is known of port side: 2 h of work assumed there for each step: wash and protect"}, notes(func(j *job.Job) {
		j.Zones[0].AreaM2, j.Zones[0].Finish = 0, finish(t, "stainless")
		j.Steps = []job.Step{j.Steps[0], {Name: "protect", Do: "protect", With: "metal-polish", On: []int{0}}}
	}))
	many := func(n int) func(j *job.Job) {
		return func(j *job.Job) {
			zone := j.Zones[2]
			zone.AreaM2, zone.DrainsTo, j.Zones = 0, nil, nil
			on := make([]int, n)
			for i := range n {
				zone.Name, on[i] = "hatch "+string(rune('a'+i)), i
				j.Zones = append(j.Zones, zone)
			}
			j.Steps = j.Steps[:1]
			j.Steps[0].On = on
		}
	}
	assert.Equal(t, []string{"no size is known of hatch a, hatch b, hatch c and hatch d: 2 h of work assumed on each for wash"}, notes(many(4)))
	assert.Equal(t, []string{"no size is known of hatch a, hatch b, hatch c and 2 more zones: 2 h of work assumed on each for wash"}, notes(many(5)))
}

// The person's hours for a step are split by area.
func TestPlanOwnHours(t *testing.T) {
	j := sealJob(t)
	j.Steps = j.Steps[:1]
	j.Steps[0].Hours = 4
	b := planned(t, calm(4), j)
	for i, want := range []float64{1.5, 1.5, 1} {
		for _, task := range b.Tasks {
			if task.Zone == i {
				assert.InDelta(t, want, task.PersonHours, 0.01, j.Zones[i].Name)
			}
		}
	}
}

// What is done is not planned again, what is half done is half planned, and the
// clocks of a wash that is done run on.
func TestPlanDone(t *testing.T) {
	f := calm(6)
	j := sealJob(t)
	j.Zones = j.Zones[:1]
	for i := range j.Steps {
		j.Steps[i].On = []int{0}
	}
	now := f.Start.Add(34 * time.Hour) // 10:00
	j.Zones[0].Done = map[string]boat.Done{
		"wash": {At: now.Add(-3 * time.Hour), Share: 1}, "correct": {At: now.Add(-2 * time.Hour), Share: 0.5},
	}
	r := evaluate(t, f, j, now)
	p, err := window.Plan(r, j, window.PlanSettings{})
	require.NoError(t, err)
	b := booked{p, r, j}
	require.True(t, p.Found)
	assert.Empty(t, b.of("wash", "port side"))
	half := b.one(t, "correct", "port side")
	assert.InDelta(t, 6, p.Tasks[half.Task].AreaM2, 1e-9)

	for name := range map[string]bool{"correct": true, "strip wash": true} {
		j.Zones[0].Done[name] = boat.Done{At: now.Add(-30 * time.Minute), Share: 1}
	}
	r = evaluate(t, f, j, now)
	p, err = window.Plan(r, j, window.PlanSettings{})
	require.NoError(t, err)
	b = booked{p, r, j}
	require.Len(t, p.Blocks, 1)
	assert.GreaterOrEqual(t, apartH(-3, b.one(t, "seal", "port side").From), 2.0, "the strip wash ended 30 min ago")
}

// Two coats of varnish: twelve hours apart at least, on different days, and with
// sanding between within no recoat window.
func TestPlanCoats(t *testing.T) {
	j := smallJob(t, "varnish")
	j.Zones[0].Finish, j.Zones[0].AreaM2, j.Zones[0].Shelter = finish(t, "varnished-wood"), 3, boat.Shed
	j.Steps[0].Do, j.Steps[0].Coats, j.Steps[0].PerDay = "coat", 2, 1
	b := planned(t, calm(8), j)
	require.True(t, b.Found, "%+v", b.Refusal)
	coats := b.of("seal", "port side")
	require.Len(t, coats, 2)
	gap := apartH(coats[0].To, coats[1].From)
	assert.True(t, gap >= 12 && gap <= 48, "%v h", gap)
	assert.Less(t, b.day(coats[0].From), b.day(coats[1].From))
	plain := b.Tasks[coats[1].Task].PersonHours
	j.Steps[0].Sand = true
	b = planned(t, calm(8), j)
	require.True(t, b.Found, "%+v", b.Refusal)
	coats = b.of("seal", "port side")
	assert.Greater(t, b.Tasks[coats[1].Task].PersonHours, plain, "sanding takes its time")
}

// Two coats of a product whose recoat window shuts within hours go on the same day
// without anybody saying so (professional ceramic: an hour to three apart, six at
// most; common practice); one that is said to take one coat a day has no place.
// Where the window reaches into the next day, as for varnish, it is one a day.
func TestPlanCoatsWithinTheirWindow(t *testing.T) {
	j := smallJob(t, "professional-ceramic")
	j.Zones[0].Faces, j.Zones[0].AreaM2, j.Zones[0].Shelter, j.People = 0, 8, boat.Shed, 2
	j.Steps[0].Coats = 2
	f := calm(4)
	b := planned(t, f, j)
	require.True(t, b.Found, "%+v", b.Refusal)
	coats := b.of("seal", "port side")
	require.Len(t, coats, 2)
	gap := apartH(coats[0].To, coats[1].From)
	assert.True(t, gap >= 1 && gap <= 6, "%v h", gap)
	assert.Equal(t, b.day(coats[0].From), b.day(coats[1].From))

	j.Steps[0].PerDay = 1
	b = planned(t, f, j)
	require.False(t, b.Found)
	assert.Equal(t, "recoat", b.Refusal.Limit)

	j = smallJob(t, "varnish")
	j.Zones[0].Finish, j.Zones[0].AreaM2, j.Zones[0].Shelter = finish(t, "varnished-wood"), 3, boat.Shed
	j.Steps[0].Do, j.Steps[0].Coats = "coat", 2
	b = planned(t, calm(8), j)
	require.True(t, b.Found, "%+v", b.Refusal)
	coats = b.of("seal", "port side")
	assert.Less(t, b.day(coats[0].From), b.day(coats[1].From))
}

// At most four hours a day at the machine: a hull of seven hours of one person
// takes two days and parts.
func TestPlanMachineHours(t *testing.T) {
	j := smallJob(t, "compound-dual-action")
	j.People, j.Steps[0].Do, j.Steps[0].Name, j.Zones[0].AreaM2 = 1, "correct", "correct", 21
	b := planned(t, calm(8), j)
	require.True(t, b.Found, "%+v", b.Refusal)
	parts := b.of("correct", "port side")
	require.Len(t, parts, 2)
	assert.NotEqual(t, b.day(parts[0].From), b.day(parts[1].From))
	for _, x := range parts {
		assert.LessOrEqual(t, apartH(x.From, x.WorkTo), 4.0)
		assert.InDelta(t, 10.5, b.Tasks[x.Task].AreaM2, 1e-9)
	}
	j.People = 2
	assert.Len(t, planned(t, calm(8), j).of("correct", "port side"), 1, "two people need no second day")
}

// Backwards from the launch, with the least drying of the last coat.
func TestPlanLaunch(t *testing.T) {
	f := calm(8)
	j := smallJob(t, "antifouling")
	j.Afloat = false
	j.Zones[0] = boat.Zone{Name: "bottom", Finish: finish(t, "antifouled-laminate"), Tilt: 120, Faces: 90, AreaM2: 15, Access: boat.Ashore}
	j.Steps[0].Do = "coat"
	launch := time.Date(2026, 9, 3, 8, 0, 0, 0, eastern)
	j.Must = map[string]time.Time{"launch": launch}
	b := planned(t, f, j)
	require.True(t, b.Found, "%+v", b.Refusal)
	x := b.one(t, "seal", "bottom")
	assert.GreaterOrEqual(t, launch.Sub(b.at(x.To)).Hours(), 8.0, "8 hard hours even when warm")
	j.Must["launch"] = f.Start.Add(8 * time.Hour)
	b = planned(t, f, j)
	require.False(t, b.Found)
	assert.Equal(t, "launch", b.Refusal.Limit)
}

// Metal is polished before the last wash of whatever the black may run onto.
func TestPlanMetalFirst(t *testing.T) {
	j := sealJob(t)
	j.Zones = append(j.Zones[:1], boat.Zone{Name: "rails", Finish: finish(t, "stainless"), LengthM: 8})
	for i := range j.Steps {
		j.Steps[i].On = []int{0}
	}
	j.Steps = append(j.Steps, job.Step{Name: "metal", Do: "protect", With: "metal-polish", On: []int{1}})
	b := planned(t, calm(8), j)
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.LessOrEqual(t, b.one(t, "metal", "rails").To, b.one(t, "strip wash", "port side").From)
}

// Where it rains every day, the plan says which limit of
// which step leaves it no place.
func TestPlanRefusal(t *testing.T) {
	f := calm(4)
	for i := range f.N {
		if h := i % 24; h > 9 && h < 20 {
			f.Members[0].Columns[forecast.Precipitation].Set(i, 2)
		}
	}
	j := smallJob(t, "professional-ceramic")
	j.Zones[0].Faces, j.Zones[0].FacesTrue = 330, true // never in the sun
	b := planned(t, f, j)
	require.False(t, b.Found)
	assert.True(t, b.Refusal.Certain)
	assert.Equal(t, 0, b.Refusal.Task)
	counts, most, open := map[string]int{}, "", 0
	for i, l := range b.r.Rows[0].Slots.Limit {
		if hour := b.at(i).Hour(); hour < 7 || hour >= 18 {
			continue
		}
		open++
		if counts[l.String()]++; counts[l.String()] > counts[most] {
			most = l.String()
		}
	}
	assert.Equal(t, most, b.Refusal.Limit)
	assert.Contains(t, []string{"film", "rain_free"}, most)
	assert.InDelta(t, float64(counts[most])/float64(open), b.Refusal.Share, 1e-9)
}

// The plan of a job is the same however often it is made.
func TestPlanTwice(t *testing.T) {
	a, b := planned(t, ensemble(8, 5), sealJob(t)), planned(t, ensemble(8, 5), sealJob(t))
	assert.Equal(t, a.Result, b.Result)
}

// scenarioJob is a scenario with steps of its own on some zones.
func scenarioJob(t *testing.T, file string, area float64, zones []string, steps ...job.Step) (*scenario, *job.Job) {
	s := readScenario(t, "../testdata/scenarios/"+file)
	j := s.job(expect{})
	j.Hours = job.Schedule{Set: true, Default: []job.ClockSpan{{From: 5*60 + 30, To: 19 * 60}}}
	for i := range j.Zones {
		j.Zones[i].AreaM2 = area
	}
	for _, step := range steps {
		step.Name, step.Coats, step.PerDay = step.Do, 1, 1
		for i, z := range j.Zones {
			for _, want := range zones {
				if z.Name == want {
					step.On = append(step.On, i)
				}
			}
		}
		j.Steps = append(j.Steps, step)
	}
	return s, j
}

func (s *scenario) planned(t *testing.T, j *job.Job) booked {
	t.Helper()
	r, err := window.Evaluate(window.Input{
		Forecast: s.forecast(surface.Slot), Job: j, Classes: catalogue(t), Location: s.loc, Now: s.day, Model: surface.HandCheck(),
	})
	require.NoError(t, err)
	p, err := window.Plan(r, j, window.PlanSettings{Budget: 400_000})
	require.NoError(t, err)
	return booked{p, r, j}
}

var (
	rotary    = job.Step{Do: "correct", With: "compound-rotary"}
	stripWash = job.Step{Do: "strip wash", With: "soap-wash"}
	seal      = job.Step{Do: "seal", With: "polymer-sealant"}
	wax       = job.Step{Do: "seal", With: "cleaner-wax"}
)

// Scenario S1 of the trade: storms every afternoon. The clean seal of the west
// side needs its strip wash the day before; on the morning itself it is marginal
// by dry-off, and later than 12:30 it does not go at all.
func TestPlanStorms(t *testing.T) {
	s, j := scenarioJob(t, "s1.txt", 14, []string{"west side"}, rotary, stripWash, seal)
	b := s.planned(t, j)
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.Zero(t, b.Score.Consents)
	w, x := b.one(t, "strip wash", "west side"), b.one(t, "seal", "west side")
	assert.Less(t, b.day(w.From), b.day(x.From), "the day before")
	assert.GreaterOrEqual(t, b.clock(x.From), "07:30")
	assert.LessOrEqual(t, b.clock(x.To), "10:20", "20 minutes of the hand check's own")
	assert.LessOrEqual(t, b.clock(b.one(t, "correct", "west side").To), "12:10", "compounded before the storm")
	rain := b.Wetted[x.Task]
	assert.Equal(t, "14:00", rain.Rain.From.In(b.r.Location).Format("15:04"), "and it is told that the storm comes between")
	assert.Equal(t, 1, rain.After)

	s, j = scenarioJob(t, "s1.txt", 14, []string{"west side"}, stripWash, seal)
	j.By = job.DateOf(s.day)
	b = s.planned(t, j)
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.Equal(t, 1, b.Score.Consents, "on one morning the seal is marginal")
	w, x = b.one(t, "strip wash", "west side"), b.one(t, "seal", "west side")
	assert.Equal(t, verdict.Marginal, x.State)
	assert.GreaterOrEqual(t, apartH(w.To, x.From), 1.0, "dry for the hard hour at least")
	assert.LessOrEqual(t, b.clock(x.To), "12:50")

	s, j = scenarioJob(t, "s1.txt", 14, []string{"east side"}, seal)
	if b = s.planned(t, j); b.Found {
		assert.Equal(t, 1, b.Score.Consents, "the east side never goes clean: in the sun, then the storm")
	}
}

// Scenario S4: an autumn anticyclone. Compound on the first day, rewash and wax
// on a later one between the morning's and the evening's dew; a polymer sealant
// waits for consent, and a two-part topcoat has no place.
func TestPlanAutumn(t *testing.T) {
	s, j := scenarioJob(t, "s4.txt", 14, []string{"north"}, rotary, stripWash, wax)
	b := s.planned(t, j)
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.Zero(t, b.Score.Consents)
	w, x := b.one(t, "strip wash", "north"), b.one(t, "seal", "north")
	assert.GreaterOrEqual(t, apartH(w.To, x.From), 1.0, "a cleaner-wax wants 1 h since the wash")
	assert.GreaterOrEqual(t, b.clock(x.From), "10:10")
	assert.LessOrEqual(t, b.clock(x.To), "15:00")
	assert.GreaterOrEqual(t, b.clock(b.one(t, "correct", "north").From), "09:30")

	s, j = scenarioJob(t, "s4.txt", 16, []string{"north"}, seal)
	b = s.planned(t, j)
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.Equal(t, 1, b.Score.Consents)
	assert.Equal(t, verdict.Marginal, b.one(t, "seal", "north").State)

	s, j = scenarioJob(t, "s4.txt", 16, []string{"deck"}, job.Step{Do: "coat", With: "polyurethane-topcoat"})
	b = s.planned(t, j)
	require.False(t, b.Found)
	assert.True(t, strings.HasPrefix(b.Refusal.Limit, "dew") || b.Refusal.Limit == "cure" || b.Refusal.Limit == "surface_min" ||
		b.Refusal.Limit == "air_min", b.Refusal.Limit)
}
