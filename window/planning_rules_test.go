package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// askedFor makes the plan of a job for what it asks of the planner; how good the plan
// is does not matter here.
func askedFor(t testing.TB, f *forecast.Forecast, j *job.Job, s window.PlanSettings) booked {
	t.Helper()
	r := evaluate(t, f, j, f.Start)
	s.Budget = 20_000
	p, err := window.Plan(r, j, s)
	require.NoError(t, err)
	return booked{p, r, j}
}

// task is the place of the first task of a step on a zone, as one coat and part of it.
func (b booked) task(t testing.TB, step, zone string, coat int) int {
	t.Helper()
	for i, x := range b.Tasks {
		if b.j.Steps[x.Step].Name == step && b.j.Zones[x.Zone].Name == zone && x.Coat == coat && x.Part == 1 {
			return i
		}
	}
	require.Fail(t, "no such task", "%s on %s", step, zone)
	return -1
}

// after is what must lie between two tasks for one reason.
func (b booked) after(first, then int, limit string) (plan.After, bool) {
	x := b.Tasks[first]
	for _, a := range b.Input.Tasks[then].After {
		if a.Task < 0 || a.Limit != limit {
			continue
		}
		if y := b.Tasks[a.Task]; y.Step == x.Step && y.Zone == x.Zone && y.Coat == x.Coat { // the last of its parts
			return a, true
		}
	}
	return plan.After{}, false
}

// hoursIn are slots as hours.
func hoursIn(slots int) float64 { return float64(slots) * verdict.SlotHours }

// What must lie between two steps on one zone, in hours as the catalogue gives them:
// water on a film, a recoat window, a bare panel, a dry-off. Figures typed in from the
// classes; seven days bare, two in salt spray and a rewash of 40 m² an hour are common
// practice, no source.
func TestPlanBetweenSteps(t *testing.T) {
	seal := func(with string) job.Step { return job.Step{Name: "then", Do: "seal", With: with} }
	first := func(do, with string) job.Step { return job.Step{Name: "first", Do: do, With: with} }
	wash := job.Step{Name: "then", Do: "wash", With: "soap-wash"}
	for name, x := range map[string]struct {
		first, then job.Step
		change      func(j *job.Job)
		limit       string
		least, most float64 // hours between them
		overnight   float64 // minutes of one person where a night lies between
	}{
		"no water on a cleaner-wax for its three hours":     {first("seal", "cleaner-wax"), wash, nil, "order", 3, 0, 0},
		"a sealant may be recoated after twelve hours":      {first("seal", "polymer-sealant"), seal("polymer-sealant"), nil, "recoat", 12, 0, 0},
		"which is longer than it must be kept from water":   {first("seal", "polymer-sealant"), wash, nil, "recoat", 12, 0, 0},
		"nothing waits to be looked at":                     {first("seal", "polymer-sealant"), job.Step{Name: "then", Do: "inspect"}, nil, "order", 0, 0, 0},
		"a compounded panel lies bare for a week":           {first("correct", "compound-rotary"), seal("cleaner-wax"), nil, "recoat", 0, 168, 30},
		"a larger one takes longer to wash anew":            {first("correct", "compound-rotary"), seal("cleaner-wax"), area(40), "recoat", 0, 168, 60},
		"a small one a slot":                                {first("correct", "compound-rotary"), seal("cleaner-wax"), area(1), "recoat", 0, 168, 10},
		"two days where it is salty":                        {first("correct", "compound-rotary"), seal("cleaner-wax"), salty, "recoat", 0, 48, 30},
		"and where spray comes over":                        {first("correct", "compound-rotary"), seal("cleaner-wax"), spray("salt"), "recoat", 0, 48, 30},
		"fresh spray is none":                               {first("correct", "compound-rotary"), seal("cleaner-wax"), spray("fresh"), "recoat", 0, 168, 30},
		"a finishing polish lies bare for two days":         {first("correct", "finishing-polish"), seal("cleaner-wax"), nil, "recoat", 0, 48, 30},
		"but a week where it is washed anew anyway":         {first("correct", "finishing-polish"), wash, nil, "recoat", 0, 168, 0},
		"looking at it adds no wash":                        {first("correct", "compound-rotary"), job.Step{Name: "then", Do: "inspect"}, nil, "recoat", 0, 168, 0},
		"a wiped panel is coated within the hour":           {first("wipe down", "panel-wipe"), seal("cleaner-wax"), nil, "recoat", 10.0 / 60, 1, 0},
		"the second film may come whenever the first is on": {first("seal", "spray-sealant"), seal("cleaner-wax"), nil, "recoat", 1, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			j := smallJob(t, "")
			x.first.On, x.then.On = []int{0}, []int{0}
			j.Steps = []job.Step{x.first, x.then}
			if x.change != nil {
				x.change(j)
			}
			b := askedFor(t, calm(3), j, window.PlanSettings{})
			zone := j.Zones[0].Name
			a, ok := b.after(b.task(t, "first", zone, 1), b.task(t, "then", zone, 1), x.limit)
			require.True(t, ok, "%+v", b.Input.Tasks[b.task(t, "then", zone, 1)].After)
			assert.InDelta(t, x.least, hoursIn(a.Hard), 1e-9)
			assert.InDelta(t, x.least, hoursIn(a.Go), 1e-9, "what is asked is asked in full")
			assert.InDelta(t, x.most, hoursIn(a.Most), 1e-9)
			assert.InDelta(t, x.overnight, 60*hoursIn(a.Overnight), 1e-9)
			assert.False(t, a.NextDay)
		})
	}
}

func area(m2 float64) func(j *job.Job) { return func(j *job.Job) { j.Zones[0].AreaM2 = m2 } }

func salty(j *job.Job) { j.Zones[0].Salt = true }

func spray(water string) func(j *job.Job) {
	return func(j *job.Job) { j.Place.WaterKind, j.Place.HasExposed, j.Place.ExposedTo = water, true, 90 }
}

// Coats of one step: within the recoat window of the class, or from when it may be
// begun anew; sanded between, no window counts; and no more of them a day than the
// person says.
func TestPlanBetweenCoats(t *testing.T) {
	coats := func(with, on string, change func(s *job.Step)) booked {
		j := smallJob(t, with)
		j.Zones[0].Finish = finish(t, on)
		j.Steps[0].Do, j.Steps[0].Coats, j.Steps[0].PerDay = "coat", 3, 1
		if change != nil {
			change(&j.Steps[0])
		}
		return askedFor(t, calm(6), j, window.PlanSettings{})
	}
	between := func(b booked, first, then int) plan.After {
		a, ok := b.after(b.task(t, "seal", "port side", first), b.task(t, "seal", "port side", then), "recoat")
		require.True(t, ok)
		return a
	}
	nextDay := func(b booked, first, then int) bool {
		for _, a := range b.Input.Tasks[b.task(t, "seal", "port side", then)].After {
			if a.NextDay && b.Tasks[a.Task].Coat == first {
				return true
			}
		}
		return false
	}
	b := coats("teak-sealer", "teak", nil)
	a := between(b, 1, 2)
	assert.InDelta(t, 0.5, hoursIn(a.Hard), 1e-9, "wet on wet from half an hour on")
	assert.InDelta(t, 4, hoursIn(a.Most), 1e-9, "to four hours")
	assert.InDelta(t, 24, hoursIn(a.Anew), 1e-9, "or begun anew after a day")
	assert.True(t, nextDay(b, 1, 2))
	assert.True(t, nextDay(b, 2, 3))

	b = coats("varnish", "varnished-wood", func(s *job.Step) { s.Sand = true })
	a = between(b, 1, 2)
	assert.InDelta(t, 12, hoursIn(a.Hard), 1e-9)
	assert.Zero(t, a.Most, "sanded between, the second coat may wait")

	b = coats("teak-sealer", "teak", func(s *job.Step) { s.PerDay = 2 })
	assert.False(t, nextDay(b, 1, 2), "two a day")
	assert.True(t, nextDay(b, 1, 3))
	assert.False(t, nextDay(b, 2, 3))
}

// From the last water on the panel to dry work the class's dry-off, the hard hours at
// least; what the water is of does not matter, what is dry between does not either.
func TestPlanDryOff(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	j.Steps = []job.Step{
		{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0}},
		{Name: "descale", Do: "decontaminate", With: "acid-cleaner", On: []int{0}},
		{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0}},
		{Name: "seal", Do: "seal", With: "polymer-sealant", On: []int{0}},
	}
	b := askedFor(t, calm(4), j, window.PlanSettings{})
	task := func(step string) int { return b.task(t, step, "port side", 1) }
	dry, ok := b.after(task("descale"), task("correct"), "dry_off")
	require.True(t, ok)
	assert.Equal(t, []float64{0, 0.5}, []float64{hoursIn(dry.Hard), hoursIn(dry.Go)}, "compound: half an hour, at a pinch at once")
	dry, ok = b.after(task("descale"), task("seal"), "dry_off")
	require.True(t, ok, "the acid's rinse is the last water, the compound is dry")
	assert.Equal(t, []float64{1, 2}, []float64{hoursIn(dry.Hard), hoursIn(dry.Go)})
	_, ok = b.after(task("wash"), task("descale"), "dry_off")
	assert.False(t, ok, "wet work needs no dry panel")
	_, ok = b.after(task("wash"), task("seal"), "dry_off")
	assert.False(t, ok, "only the last water counts")
}

// A compounded panel lies bare until the first film is on, not the second: a strip
// wash between does not start the week again.
func TestPlanBareUntilTheFirstFilm(t *testing.T) {
	j := smallJob(t, "")
	j.Steps = []job.Step{
		{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0}},
		{Name: "strip wash", Do: "strip wash", With: "soap-wash", On: []int{0}},
		{Name: "seal", Do: "seal", With: "spray-sealant", On: []int{0}},
		{Name: "top", Do: "seal", With: "cleaner-wax", On: []int{0}},
	}
	b := askedFor(t, calm(4), j, window.PlanSettings{})
	task := func(step string) int { return b.task(t, step, "port side", 1) }
	a, ok := b.after(task("correct"), task("seal"), "recoat")
	require.True(t, ok)
	assert.InDelta(t, 168, hoursIn(a.Most), 1e-9)
	_, ok = b.after(task("correct"), task("top"), "recoat")
	assert.False(t, ok, "it is covered by then")
}

// Work that is done does not stand in the way of all that comes after it: a panel that has lain
// bare for longer than it should (seven days, two in salt: common practice, no source) is
// washed and sealed with a yes, for somebody has to look whether it has dulled.
func TestPlan_BareTooLong(t *testing.T) {
	for _, x := range []struct {
		days int
		salt bool
		yes  bool
	}{{3, false, false}, {6, false, false}, {8, false, true}, {30, false, true}, {1, true, false}, {3, true, true}} {
		j := sealJob(t)
		f := calm(8)
		for z := range j.Zones {
			done := boat.Done{At: f.Start.Add(-time.Duration(x.days) * 24 * time.Hour), Share: 1}
			j.Zones[z].Done, j.Zones[z].Salt = map[string]boat.Done{"wash": done, "correct": done}, x.salt
		}
		b := planned(t, f, j)
		require.True(t, b.Found, "%+v: %+v", x, b.Refusal)
		for _, y := range b.Blocks {
			task := b.Input.Tasks[y.Task]
			bare := b.j.Steps[task.Step].Do == "strip wash"
			assert.Equal(t, x.yes && bare, y.Consent, "%+v: %s", x, b.j.Steps[task.Step].Name)
			if y.Consent {
				assert.Contains(t, task.Limit[y.From:y.To], verdict.Recoat, "%+v %s", x, task.Limit[y.From])
				assert.NotContains(t, task.Limit[y.From:y.To], verdict.None, "what is marginal says by what")
			}
		}
	}
}

// From the top down: each zone that drains onto another has its wet and machine work
// first, through any number of decks; nothing leads in a circle.
func TestPlanFromTheTop(t *testing.T) {
	j := sealJob(t)
	j.Zones[2].DrainsTo, j.Zones[0].DrainsTo = []string{"port side"}, []string{"starboard side"} // foredeck, port, starboard
	b := askedFor(t, calm(4), j, window.PlanSettings{})
	leads := func(first, then int) bool {
		for _, a := range b.Input.Tasks[then].After {
			if a.Task == first {
				return true
			}
		}
		return false
	}
	for _, step := range []string{"wash", "correct", "strip wash"} {
		deck, port, starboard := b.task(t, step, "foredeck", 1), b.task(t, step, "port side", 1), b.task(t, step, "starboard side", 1)
		assert.True(t, leads(deck, port), step)
		assert.True(t, leads(port, starboard), step)
		assert.False(t, leads(starboard, deck), step)
	}
	assert.False(t, leads(b.task(t, "seal", "foredeck", 1), b.task(t, "seal", "port side", 1)), "film runs nowhere")
	wet, dry := 0, 0
	for _, a := range b.Input.Apart {
		w, d := b.Tasks[a.Wet], b.Tasks[a.Dry]
		assert.NotEqual(t, w.Zone, d.Zone)
		assert.Contains(t, []int{0, 2}, w.Step, "the washes run down")
		wet += one(d.Step == 3)
		dry += one(d.Step == 1)
		if d.Step == 3 {
			assert.Equal(t, []float64{2, 6}, []float64{hoursIn(a.Before), hoursIn(a.Keep)}, "dry for two hours before a sealant, six after it")
		}
	}
	assert.Equal(t, 2*3, wet, "two washes of each zone above, onto the seal of each below: deck over two, port over one")
	assert.Equal(t, 2*3, dry)

	j.Zones[1].DrainsTo = []string{"foredeck"} // and round
	b = askedFor(t, calm(4), j, window.PlanSettings{})
	for i, x := range b.Input.Tasks {
		for _, a := range x.After {
			assert.Less(t, a.Task, i, "an order in which it can be done")
		}
	}
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// Metal's black goes with the last wash of whatever else is on the boat; the first
// wash, or a zone that is washed but once, does not wait for it.
func TestPlanMetalBeforeTheLastWash(t *testing.T) {
	j := sealJob(t)
	j.Zones = append(j.Zones, boat.Zone{Name: "rails", Finish: finish(t, "stainless"), LengthM: 8})
	j.Steps[2].On = []int{0, 1} // the foredeck has no strip wash
	j.Steps = append(j.Steps, job.Step{Name: "metal", Do: "protect", With: "metal-polish", On: []int{3}})
	b := askedFor(t, calm(4), j, window.PlanSettings{})
	metal := b.task(t, "metal", "rails", 1)
	waits := map[string]bool{}
	for i, x := range b.Input.Tasks {
		for _, a := range x.After {
			if a.Task == metal {
				waits[j.Steps[b.Tasks[i].Step].Name+" "+j.Zones[b.Tasks[i].Zone].Name] = true
			}
		}
	}
	assert.Equal(t, map[string]bool{"strip wash port side": true, "strip wash starboard side": true}, waits)
}

// What was done before the plan begins still holds it up: its dry-off, its recoat
// window and its night, from when it was done.
func TestPlanAfterWhatIsDone(t *testing.T) {
	f := calm(5)
	now := time.Date(2026, 9, 2, 10, 0, 0, 0, eastern)
	afters := func(done map[string]boat.Done) []plan.After {
		j := sealJob(t)
		j.Zones = j.Zones[:1]
		for i := range j.Steps {
			j.Steps[i].On = []int{0}
		}
		j.Zones[0].Done = done
		r := evaluate(t, f, j, now)
		p, err := window.Plan(r, j, window.PlanSettings{Budget: 1000})
		require.NoError(t, err)
		return p.Input.Tasks[0].After
	}
	all := func(at time.Time, steps ...string) map[string]boat.Done {
		out := map[string]boat.Done{}
		for i, s := range steps {
			out[s] = boat.Done{At: at.Add(time.Duration(i) * time.Minute), Share: 1}
		}
		return out
	}
	got := afters(all(now.Add(-62*time.Minute), "wash", "correct", "strip wash"))
	require.Len(t, got, 2)
	assert.Equal(t, plan.After{Task: -1, End: -6, Limit: "order"}, got[0], "the strip wash, in whole slots the later")
	assert.Equal(t, plan.After{Task: -1, End: -6, Hard: 6, Go: 12, Limit: "dry_off"}, got[1])

	got = afters(all(now.Add(-20*time.Hour), "wash", "correct"))
	require.Len(t, got, 1)
	assert.Zero(t, got[0].Most, "after a week it needs a yes, and is not forbidden")
	assert.Equal(t, []int{-1, 0}, []int{got[0].EndDay, got[0].Overnight}, "the strip wash is a wash anyway")

	got = afters(all(now.Add(-10*time.Minute), "wash"))
	require.Len(t, got, 2)
	assert.Equal(t, []int{-1, 0}, []int{got[1].End, got[1].EndDay}, "ten minutes ago, today")

	assert.Empty(t, afters(map[string]boat.Done{"wash": {Share: 1}}), "when, nobody said")
	got = afters(map[string]boat.Done{"wash": {At: now.Add(-time.Hour), Share: 0.4}})
	assert.Empty(t, got, "half a wash is washed on")
}

// Work that goes whole by itself, but not after what comes before it, is cut once more:
// the keel can be reached for three hours on one day and an hour and a half on the next,
// and the wash takes the first of them.
func TestPlanCutsOnceMore(t *testing.T) {
	j := smallJob(t, "")
	j.Zones[0].AreaM2, j.People, j.ShortestH = 13, 1, 0.5
	j.Zones[0].Reach = []boat.Span{{From: on(2, 13, 0), To: on(2, 16, 0)}, {From: on(3, 13, 0), To: on(3, 14, 40)}}
	j.Steps = []job.Step{
		{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0}}, {Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0}, Hours: 3},
	}
	r := evaluate(t, calm(4), j, on(2, 6, 0))
	p, err := window.Plan(r, j, window.PlanSettings{SetUpMin: -1, PackUpMin: -1, Budget: 100_000})
	require.NoError(t, err)
	b := booked{p, r, j}
	require.True(t, b.Found, "%+v", b.Refusal)
	halves := b.of("correct", "port side")
	require.Len(t, halves, 2)
	for _, x := range halves {
		assert.InDelta(t, 1.5, b.Tasks[x.Task].PersonHours, 1e-9)
		assert.Equal(t, []any{2, 0.5}, []any{b.Tasks[x.Task].Parts, b.Tasks[x.Task].Share})
	}
	assert.Equal(t, []int{2, 3}, []int{b.day(halves[0].From), b.day(halves[1].From)})

	j.Steps[1].Hours, j.Zones[0].Reach[1].To = 1.9, on(3, 13, 10) // under two hours it is not cut
	j.Zones[0].Reach[0].To = on(2, 15, 0)
	r = evaluate(t, calm(4), j, on(2, 6, 0))
	p, err = window.Plan(r, j, window.PlanSettings{SetUpMin: -1, PackUpMin: -1, Budget: 100_000})
	require.NoError(t, err)
	assert.False(t, p.Found)
}

// What was done last is judged by its own product: a finishing polish lies bare for two
// days, whatever the wash before it was done with.
func TestPlanAfterItsOwnProduct(t *testing.T) {
	j := smallJob(t, "")
	z := j.Zones[0]
	z.Name = "starboard side"
	j.Zones = append(j.Zones, z)
	j.Steps = []job.Step{
		{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0, 1}},
		{Name: "polish", Do: "correct", With: "finishing-polish", On: []int{0, 1}},
		{Name: "seal", Do: "seal", With: "cleaner-wax", On: []int{0, 1}},
	}
	now := on(2, 10, 0)
	for i := range j.Zones {
		j.Zones[i].Done = map[string]boat.Done{"wash": {At: now.Add(-3 * time.Hour), Share: 1}, "polish": {At: now.Add(-time.Hour), Share: 1}}
	}
	r := evaluate(t, calm(4), j, now)
	p, err := window.Plan(r, j, window.PlanSettings{Budget: 1000})
	require.NoError(t, err)
	require.Len(t, p.Input.Tasks, 2)
	for i, x := range p.Input.Tasks {
		require.NotEmpty(t, x.After)
		assert.InDelta(t, 47, hoursIn(p.Tasks[i].Dull), 1e-9, "it was polished an hour ago")
		assert.Equal(t, -6, x.After[0].End)
	}
}
