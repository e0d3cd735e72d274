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
	"dewgap/window/verdict"
)

// moving is what moving needs of a job under work on the second morning at ten.
func moving(t testing.TB, f *forecast.Forecast, j *job.Job, now time.Time) window.MoveInput {
	return window.MoveInput{
		Input: window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now, Skies: &skies},
		Plan:  window.PlanSettings{Budget: 100_000},
	}
}

func moved(t testing.TB, in window.MoveInput) *window.Moved {
	t.Helper()
	m, err := window.Move(in)
	require.NoError(t, err)
	return m
}

// taskNames are what a moved plan has to do, by step and zone.
func taskNames(m *window.Moved) map[string]float64 {
	out := map[string]float64{}
	for _, x := range m.Planned.Tasks {
		out[m.Job.Steps[x.Step].Name+" on "+m.Job.Zones[x.Zone].Name] += x.AreaM2
	}
	return out
}

// stepsOn is a job of steps on one side, with the first ones done at a moment.
func stepsOn(t testing.TB, at time.Time, done int, steps ...job.Step) *job.Job {
	j := smallJob(t, "")
	j.Zones[0].AreaM2, j.Steps = 10, nil
	j.Zones[0].Done = map[string]boat.Done{}
	for i, s := range steps {
		if s.On = []int{0}; s.Name == "" {
			s.Name = s.Do
		}
		if i < done {
			j.Zones[0].Done[s.Name] = boat.Done{At: at, Share: 1}
		}
		j.Steps = append(j.Steps, s)
	}
	return j
}

var (
	washStep  = job.Step{Do: "wash", With: "soap-wash"}
	wipeStep  = job.Step{Do: "wipe down", With: "panel-wipe"}
	waxStep   = job.Step{Do: "seal", With: "cleaner-wax"}
	lookStep  = job.Step{Do: "inspect"}
	showerMin = 30 * time.Minute
)

// What rain takes back of the work that lies open, and what it adds: a bare panel gets
// a wash of its own unless a wash comes next anyway, a wiped one is wiped again after
// it, a strip wash is done again.
func TestMoveTakesBack(t *testing.T) {
	f := calm(6)
	now := on(2, 14, 0)
	rain := []window.Rain{{From: now.Add(-time.Hour), To: now.Add(-showerMin), Observed: true}}
	for name, x := range map[string]struct {
		done  int
		steps []job.Step
		want  map[string]float64
		fates []window.Fate
	}{
		"compounded, and to be waxed: a wash of its own": {
			2, []job.Step{washStep, rotary, waxStep},
			map[string]float64{"rewash on port side": 10, "seal on port side": 10}, []window.Fate{window.Rewash},
		},
		"compounded, and to be strip washed anyway": {
			2, []job.Step{washStep, rotary, stripWash, waxStep},
			map[string]float64{"strip wash on port side": 10, "seal on port side": 10}, []window.Fate{window.Rewash},
		},
		"to be looked at first, and strip washed then": {
			2, []job.Step{washStep, rotary, lookStep, stripWash, waxStep},
			map[string]float64{"inspect on port side": 10, "strip wash on port side": 10, "seal on port side": 10}, []window.Fate{window.Rewash},
		},
		"strip washed: once more": {
			3, []job.Step{washStep, rotary, stripWash, waxStep},
			map[string]float64{"strip wash on port side": 10, "seal on port side": 10}, []window.Fate{window.Rewash},
		},
		"wiped down: washed, and wiped again": {
			3, []job.Step{washStep, rotary, wipeStep, waxStep},
			map[string]float64{"rewash on port side": 10, "wipe down on port side": 10, "seal on port side": 10}, []window.Fate{window.Rewash},
		},
		"only washed: it is wet, nothing else": {
			1, []job.Step{washStep, rotary, waxStep},
			map[string]float64{"correct on port side": 10, "seal on port side": 10}, []window.Fate{window.Good},
		},
		"waxed half an hour before: strip it and wax again, though no strip wash was planned": {
			3, []job.Step{washStep, rotary, waxStep},
			map[string]float64{"strip wash on port side (redo)": 10, "seal on port side (redo)": 10}, []window.Fate{window.Redo},
		},
	} {
		t.Run(name, func(t *testing.T) {
			j := stepsOn(t, now.Add(-100*time.Minute), x.done, x.steps...)
			in := moving(t, f, j, now)
			in.Rain = rain
			m := moved(t, in)
			require.Len(t, m.Fates, len(x.fates))
			for i, want := range x.fates {
				assert.Equal(t, want, m.Fates[i].Fate)
			}
			assert.Equal(t, x.want, taskNames(m))
			assert.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
			holdWhys(t, m, j)
			assert.Len(t, j.Steps, len(x.steps), "the job that was given is left alone")
			assert.Len(t, j.Zones, 1)
		})
	}
}

// holdWhys: all blocks are new, and each for its reason: what is spoiled is redone, what
// is bare or was taken back is washed anew, and the rest was to be done anyway.
func holdWhys(t *testing.T, m *window.Moved, j *job.Job) {
	t.Helper()
	for _, c := range m.Changes {
		task := m.Planned.Tasks[m.Planned.Blocks[c.New].Task]
		step, why := m.Job.Steps[task.Step].Name, window.WhyNew
		switch {
		case m.Origin[task.Zone] != task.Zone:
			why = window.WhyRedo
		case step == "rewash", j.Zones[0].Done[step].Share > 0:
			why = window.WhyRewash
		}
		assert.Equal(t, []any{window.Added, why}, []any{c.Became, c.Why}, step)
	}
}

// Rain while a part is bare: that part alone is washed again.
func TestMoveRewashesAPart(t *testing.T) {
	f, now := calm(6), on(2, 14, 0)
	j := stepsOn(t, now.Add(-2*time.Hour), 1, washStep, rotary, waxStep)
	in := moving(t, f, j, now)
	in.Worked = []window.Worked{{Step: 1, Zone: 0, From: now.Add(-3 * time.Hour), To: now.Add(-2 * time.Hour), Share: 0.4}}
	in.Rain = []window.Rain{{From: now.Add(-time.Hour), To: now.Add(-showerMin), Observed: true}}
	m := moved(t, in)
	got := taskNames(m)
	assert.InDelta(t, 4, got["rewash on port side"], 1e-9)
	assert.InDelta(t, 6, got["correct on port side"], 1e-9, "the rest of the compound")
	assert.InDelta(t, 10, got["seal on port side"], 1e-9)
	for _, c := range m.Changes {
		if m.Job.Steps[m.Planned.Tasks[m.Planned.Blocks[c.New].Task].Step].Name == "rewash" {
			assert.Equal(t, window.WhyRewash, c.Why)
		} else {
			assert.Equal(t, window.WhyNew, c.Why)
		}
	}
	assert.InDelta(t, 4.0/40, m.AddedH, 0.07, "4 m² at 40 an hour, in whole slots")
}

// A spoiled part is a zone of its own: it lies under the same covers, drains onto the
// same zones, has its share of the size, and a name that nothing else has.
func TestMoveRedoPart(t *testing.T) {
	f, now := calm(6), on(2, 14, 0)
	j := stepsOn(t, now.Add(-100*time.Minute), 3, washStep, stripWash, waxStep)
	j.Zones[0].LengthM, j.Zones[0].Count = 8, 5
	j.Zones = append(j.Zones,
		boat.Zone{Name: "foredeck", Finish: finish(t, "white-gelcoat"), AreaM2: 6, DrainsTo: []string{"port side"},
			RunsOnto: []string{"port side"}, Shelter: boat.Open},
		boat.Zone{Name: "port side (redo)", Finish: finish(t, "white-gelcoat"), AreaM2: 1})
	j.Covers = []job.Cover{{Zones: []string{"port side"}, Kind: boat.Canvas, From: on(4, 0, 0)}}
	in := moving(t, f, j, now)
	in.Worked = []window.Worked{{Step: 2, Zone: 0, From: now.Add(-100 * time.Minute), To: now.Add(-90 * time.Minute), Share: 0.5, Left: window.LeftBuffed}}
	j.Zones[0].Done["seal"] = boat.Done{At: now.Add(-90 * time.Minute), Share: 0.5}
	in.Rain = []window.Rain{{From: now.Add(-time.Hour), To: now.Add(-showerMin), Observed: true}}
	m := moved(t, in)
	require.Len(t, m.Job.Zones, 4)
	part := m.Job.Zones[3]
	assert.Equal(t, "port side (redo)'", part.Name)
	assert.Equal(t, []int{0, 1, 2, 0}, m.Origin)
	assert.InDelta(t, 5, part.AreaM2, 1e-9)
	assert.InDelta(t, 4, part.LengthM, 1e-9)
	assert.Equal(t, 3, part.Count, "half of five, to the nearest")
	assert.Equal(t, []string{"port side", "port side (redo)'"}, m.Job.Zones[1].DrainsTo)
	assert.Equal(t, []string{"port side", "port side (redo)'"}, m.Job.Zones[1].RunsOnto)
	assert.Equal(t, []string{"port side", "port side (redo)'"}, m.Job.Covers[0].Zones)
	assert.Equal(t, []string{"port side"}, j.Covers[0].Zones, "the job that was given is left alone")
	assert.Equal(t, []string{"port side"}, j.Zones[1].DrainsTo)
	assert.Equal(t, []string{"port side"}, j.Zones[1].RunsOnto)
	got := taskNames(m)
	assert.InDelta(t, 5, got["seal on port side"], 1e-9, "the half that was not sealed yet")
	assert.InDelta(t, 5, got["seal on port side (redo)'"], 1e-9)
	assert.InDelta(t, 5, got["strip wash on port side (redo)'"], 1e-9)
	assert.InDelta(t, 5, got["strip wash on port side"], 1e-9, "that half lay stripped in the rain")
	assert.Zero(t, got["wash on port side (redo)'"], "it was washed before it was sealed")
}

// What was sealed next to a spoiled part has to stand water before that part is
// stripped: its usual hours, the hard ones at least.
func TestMoveKeepsTheStripWashOff(t *testing.T) {
	f, now := calm(6), on(2, 14, 0)
	j := stepsOn(t, now.Add(-100*time.Minute), 2, washStep, stripWash, job.Step{Do: "seal", With: "polymer-sealant"})
	in := moving(t, f, j, now)
	in.Worked = []window.Worked{
		{Step: 2, Zone: 0, From: now.Add(-4 * time.Hour), To: now.Add(-230 * time.Minute), Share: 0.6, Left: window.LeftBuffed},
		{Step: 2, Zone: 0, From: now.Add(-100 * time.Minute), To: now.Add(-90 * time.Minute), Share: 0.4, Left: window.LeftBuffed},
	}
	in.Rain = []window.Rain{{From: now.Add(-time.Hour), To: now.Add(-showerMin), Observed: true}}
	m := moved(t, in)
	require.Equal(t, []window.Fate{window.Inspect, window.Redo}, []window.Fate{m.Fates[0].Fate, m.Fates[1].Fate})
	b := booked{m.Planned, m.Result, m.Job}
	strip := b.Input.Tasks[b.task(t, "strip wash", "port side (redo)", 1)]
	var until []string
	for _, a := range strip.After {
		if a.Task < 0 && a.Limit == verdict.Order.String() {
			until = append(until, b.at(a.End).In(now.Location()).Format("15:04"))
		}
	}
	assert.Contains(t, until, "16:10", "six hours of the polymer sealant, from 10:10 on")
}

// Rain that comes down on what was done is told of the forecast where nobody saw any,
// from the work's beginning to now.
func TestMoveRainOfTheForecast(t *testing.T) {
	f, now := rainOn(calm(6), 36, 38), on(2, 15, 0) // 12:00 to 14:00
	j := stepsOn(t, on(2, 11, 30), 2, washStep, rotary, waxStep)
	in := moving(t, f, j, now)
	m := moved(t, in)
	require.Len(t, m.Rain, 1)
	assert.True(t, on(2, 12, 0).Equal(m.Rain[0].From) && on(2, 14, 0).Equal(m.Rain[0].To))
	assert.False(t, m.Rain[0].Observed)
	assert.Equal(t, window.Rewash, m.Fates[0].Fate)
	in.Rain = []window.Rain{}
	assert.Equal(t, window.Good, moved(t, in).Fates[0].Fate, "the person says that none fell")
	in.Rain = []window.Rain{{From: on(2, 9, 0), To: on(2, 10, 0), Observed: true}}
	assert.Equal(t, window.Good, moved(t, in).Fates[0].Fate, "what fell on that day fell before the work")
	in.Rain = []window.Rain{{From: on(1, 20, 0), To: on(1, 21, 0), Observed: true}}
	assert.Equal(t, window.Rewash, moved(t, in).Fates[0].Fate, "yesterday's rain was told of, and nothing of today's")
}

// Work of weeks ago is looked at over the last three days alone.
func TestMoveLongAgo(t *testing.T) {
	f, now := calm(8), on(6, 9, 0)
	j := stepsOn(t, on(1, 10, 0), 2, washStep, rotary, waxStep)
	in := moving(t, rainOn(f, 24*1+12, 24*1+14), j, now)
	m := moved(t, in)
	assert.Empty(t, m.Rain, "the second of September is more than three days ago")
	in.Forecast = rainOn(calm(8), 24*3+12, 24*3+14)
	m = moved(t, in)
	require.Len(t, m.Rain, 1)
	assert.Equal(t, window.Rewash, m.Fates[0].Fate)
}

// What the words of a moved plan are called is a promise of the JSON answer.
func TestMoveWords(t *testing.T) {
	var became, why []string
	for b := window.Kept; b <= window.Homeless; b++ {
		became = append(became, b.String())
	}
	for w := window.WhyStands; w <= window.WhyCovered; w++ {
		why = append(why, w.String())
	}
	assert.Equal(t, []string{"kept", "moved", "added", "done", "dropped", "none"}, became)
	assert.Equal(t, []string{
		"stands", "lost", "under_way", "weather", "clock", "order", "room", "less_sure", "redo", "rewash", "new", "stale_wash", "early_wash", "short_visit", "rain_between", "order_after", "unlogged", "polishers", "covered",
	}, why)
	var fates []string
	for x := window.Good; x <= window.Redo; x++ {
		fates = append(fates, x.String())
	}
	assert.Equal(t, []string{"good", "inspect", "rewash", "redo"}, fates)
}

// Each move tells what keeps the block from where it stood.
func TestMoveWhy(t *testing.T) {
	f := calm(8)
	old := func(step string, from time.Time, hours float64, people ...int) window.Booked {
		to := from.Add(time.Duration(hours * float64(time.Hour)))
		return window.Booked{Step: step, Zone: "port side", Coat: 1, From: from, To: to, People: people, Confidence: 1, State: verdict.Go}
	}
	change := func(m *window.Moved, i int) window.Change {
		t.Helper()
		for _, c := range m.Changes {
			if c.Old == i {
				return c
			}
		}
		require.Fail(t, "nothing is said of it")
		return window.Change{}
	}
	now := on(2, 10, 0)
	sides := func(steps ...job.Step) *job.Job { return stepsOn(t, on(1, 10, 0), 0, steps...) }

	in := moving(t, f, sides(rotary), now)
	in.Old = []window.Booked{old("correct", on(2, 9, 30), 1.5, 1, 2)}
	assert.Equal(t, window.WhyUnderWay, change(moved(t, in), 0).Why, "begun, and not said to be done")
	in.Old = []window.Booked{old("correct", on(2, 8, 0), 1.5, 1, 2)}
	assert.Equal(t, window.WhyUnlogged, change(moved(t, in), 0).Why, "just over, and not written down yet")
	in.Old = []window.Booked{old("correct", on(2, 7, 0), 1.5, 1, 2)}
	assert.Equal(t, window.WhyLost, change(moved(t, in), 0).Why, "over, and not said to be done")
	begun := sides(rotary)
	begun.Zones[0].Done["correct"] = boat.Done{At: on(2, 8, 30), Share: 0.4}
	in.Job = begun
	assert.Equal(t, window.WhyUnderWay, change(moved(t, in), 0).Why, "over, and some of it was logged as it ended")
	begun.Zones[0].Done["correct"] = boat.Done{At: on(1, 12, 0), Share: 0.4}
	assert.Equal(t, window.WhyLost, change(moved(t, in), 0).Why, "what was logged is of a day before")
	in.Job = sides(rotary)

	in.Old = []window.Booked{old("correct", on(3, 20, 0), 1.5, 1, 2)}
	c := change(moved(t, in), 0)
	assert.Equal(t, []any{window.Shifted, window.WhyWeather, verdict.Hours}, []any{c.Became, c.Why, c.Limit}, "the crew's hours end at six")
	in.Old = []window.Booked{old("correct", on(3, 7, 0), 1.5, 1, 2)}
	c = change(moved(t, in), 0)
	assert.Equal(t, []any{window.Shifted, verdict.Hours}, []any{c.Became, c.Limit}, "half an hour to set up")
	in.Old = []window.Booked{old("correct", on(12, 9, 0), 1.5, 1, 2)}
	c = change(moved(t, in), 0)
	assert.Equal(t, []any{window.Shifted, verdict.Hours}, []any{c.Became, c.Limit}, "past the forecast")

	j := sides(washStep, job.Step{Do: "seal", With: "polymer-sealant"})
	now = on(2, 14, 0) // the side is in the shade by now
	j.Zones[0].Done["wash"] = boat.Done{At: on(2, 13, 50), Share: 1}
	in = moving(t, f, j, now)
	in.Plan.SetUpMin = -1 // they are there
	in.Old = []window.Booked{old("seal", on(2, 14, 20), 1.5, 1)}
	c = change(moved(t, in), 0)
	assert.Equal(t, []any{window.Shifted, window.WhyClock, "dry_off"}, []any{c.Became, c.Why, c.Clock}, "half an hour after the wash: an hour is the least")

	j = sides(washStep, job.Step{Do: "seal", With: "polymer-sealant"})
	in = moving(t, f, j, now)
	in.Plan.SetUpMin = -1
	in.Old = []window.Booked{old("wash", on(2, 12, 0), 0.5, 1), old("seal", on(2, 14, 20), 1.5, 1)}
	m := moved(t, in)
	assert.Equal(t, window.WhyLost, change(m, 0).Why)
	c = change(m, 1)
	require.Equal(t, []any{window.Shifted, window.WhyOrder}, []any{c.Became, c.Why}, "the wash it waited for was lost")
	assert.Equal(t, change(m, 0).New, c.Other)
}

// A wash that has grown too old is washed anew for its age: no rain is to blame where none
// fell, nor does it cost hours of the rain's.
func TestMoveWhyOfAnOldWash(t *testing.T) {
	f, now := calm(9), on(4, 14, 0)
	j := stepsOn(t, on(1, 9, 0), 1, washStep, rotary)
	in := moving(t, f, j, now)
	in.Old = []window.Booked{{Step: "correct", Zone: "port side", Coat: 1, From: on(5, 9, 0), To: on(5, 11, 0), People: []int{1}, State: verdict.Go}}
	m := moved(t, in)
	require.True(t, m.Planned.Found)
	var why []window.Why
	for _, c := range m.Changes {
		if c.Became == window.Added {
			why = append(why, c.Why)
		}
	}
	assert.Equal(t, []window.Why{window.WhyStale}, why)
	assert.Zero(t, m.AddedH)

	in.Rained = []window.Rain{{From: on(1, 11, 0), To: on(1, 12, 0)}}
	in.Now = on(2, 14, 0)
	in.Old[0].From, in.Old[0].To = on(3, 9, 0), on(3, 11, 0)
	for _, c := range moved(t, in).Changes {
		assert.NotEqual(t, window.WhyStale, c.Why, "a day old")
	}
}

// A block whose neighbour was done before its time would be twenty minutes for which nobody
// comes: that is why it moves, and not that others take its hours. Where somebody does take
// them, that is said.
func TestMoveWhyOfAShortVisit(t *testing.T) {
	f, now := calm(8), on(2, 14, 0)
	job3 := func(done bool) *job.Job {
		j := sealJob(t)
		j.Zones[2].DrainsTo, j.People = nil, 1
		j.Steps = []job.Step{
			{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0, 1}}, {Name: "correct", Do: "correct", With: "compound-rotary", On: []int{2}},
		}
		if done {
			j.Zones[1].Done = map[string]boat.Done{"wash": {At: on(2, 9, 0), Share: 1}}
		}
		return j
	}
	at := func(zone, step string, from, to time.Time) window.Booked {
		return window.Booked{Step: step, Zone: zone, Coat: 1, From: from, To: to, People: []int{1}, State: verdict.Go}
	}
	old := []window.Booked{
		at("port side", "wash", on(3, 7, 30), on(3, 7, 50)), at("starboard side", "wash", on(3, 7, 50), on(3, 8, 10)),
		at("foredeck", "correct", on(3, 8, 30), on(3, 11, 10)),
	}
	in := moving(t, f, job3(false), now)
	in.Old = old
	m := moved(t, in)
	require.True(t, m.Planned.Found)
	assert.Zero(t, m.Moved, "together they are a visit")

	in = moving(t, f, job3(true), now)
	in.Old = old
	m = moved(t, in)
	require.True(t, m.Planned.Found)
	assert.Equal(t, 1, m.Moved)
	for _, c := range m.Changes {
		if c.Old == 0 {
			assert.Equal(t, []any{window.Shifted, window.WhyVisit}, []any{c.Became, c.Why})
		}
	}

	in.Old = []window.Booked{at("port side", "wash", on(3, 9, 0), on(3, 9, 20)), old[2]}
	m = moved(t, in)
	require.True(t, m.Planned.Found)
	for _, c := range m.Changes {
		if c.Became == window.Shifted {
			assert.Equal(t, window.WhyRoom, c.Why, "one person, and two works at once")
		}
	}
}

// Water from above keeps a block away from its old hours: the wash that was lost and is
// made up runs down onto it.
func TestMoveWetted(t *testing.T) {
	f, now := calm(6), on(2, 10, 0)
	j := smallJob(t, "")
	j.Zones = append(j.Zones, boat.Zone{Name: "foredeck", Finish: finish(t, "white-gelcoat"), AreaM2: 8, DrainsTo: []string{"port side"}})
	j.Steps = []job.Step{
		{Name: "wash", Do: "wash", With: "soap-wash", On: []int{1}}, {Name: "seal", Do: "seal", With: "spray-sealant", On: []int{0}},
	}
	j.By, j.ShortestH = job.Date{Year: 2026, Month: 9, Day: 2}, 0.1
	at := func(zone, step string, from, to time.Time) window.Booked {
		return window.Booked{Step: step, Zone: zone, Coat: 1, From: from, To: to, People: []int{1}, Confidence: 1}
	}
	in := moving(t, f, j, now)
	in.Old = []window.Booked{at("foredeck", "wash", on(2, 15, 0), on(2, 15, 20)), at("port side", "seal", on(2, 14, 0), on(2, 14, 40))}
	m := moved(t, in)
	require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
	assert.Equal(t, 1, m.Moved, "two hours rain-free: one of the two has to give way")
	for _, c := range m.Changes {
		if c.Became == window.Shifted {
			assert.Equal(t, window.WhyOrder, c.Why)
			assert.GreaterOrEqual(t, c.Other, 0)
		}
	}
}

// A promised day that is over is over: the hand-over is broken by as few days as can be
// and nothing else is tried on it.
func TestMovePromisedDayOver(t *testing.T) {
	f := calm(6)
	j := stepsOn(t, on(1, 10, 0), 1, washStep, rotary)
	j.By = job.Date{Year: 2026, Month: 9, Day: 2}
	in := moving(t, f, j, on(3, 6, 0))
	m := moved(t, in)
	require.True(t, m.Planned.Found)
	assert.Equal(t, []any{true, false, 1, true}, []any{m.Handover.Promised, m.Handover.Kept, m.Handover.Days, m.Handover.Proven})
	assert.Equal(t, 3, m.Handover.Ends.In(eastern).Day())
	assert.True(t, m.Handover.By.Equal(on(3, 0, 0)), "the end of the second")

	in.Now = f.End()
	_, err := window.Move(in)
	require.ErrorIs(t, err, window.ErrNoHorizon, "and so is the forecast")
}

// Where all is done nothing is left to move, and no hand-over ends.
func TestMoveAllDone(t *testing.T) {
	f, now := calm(4), on(2, 14, 0)
	j := stepsOn(t, on(2, 9, 0), 2, washStep, rotary)
	in := moving(t, f, j, now)
	in.Old = []window.Booked{{Step: "correct", Zone: "port side", From: on(2, 8, 0), To: on(2, 9, 0), People: []int{1}}}
	m := moved(t, in)
	assert.True(t, m.Planned.Found)
	assert.Empty(t, m.Planned.Blocks)
	assert.True(t, m.Handover.Ends.IsZero())
	assert.True(t, m.Handover.Kept)
	require.Len(t, m.Changes, 1)
	assert.Equal(t, window.Done, m.Changes[0].Became)
}

// An old plan that does not say how much work a block was is read by how long it took
// and how many were at it, its haze left out.
func TestMoveWorkOfABlock(t *testing.T) {
	f, now := calm(6), on(2, 6, 0)
	j := stepsOn(t, on(1, 10, 0), 0, job.Step{Do: "seal", With: "polymer-sealant", Name: "seal"})
	j.Steps[0].Hours = 4
	share := func(b ...window.Booked) []float64 {
		in := moving(t, f, j, now)
		for i := range b {
			b[i].Step, b[i].Zone = "seal", "port side"
		}
		in.Old = b
		var out []float64
		for _, x := range moved(t, in).Planned.Tasks {
			out = append(out, x.PersonHours)
		}
		return out
	}
	assert.InDeltaSlice(t, []float64{3, 1}, share(
		window.Booked{From: on(3, 10, 0), To: on(3, 12, 0), WorkTo: on(3, 11, 30), People: []int{1, 2}},
		window.Booked{From: on(4, 10, 0), To: on(4, 11, 30), WorkTo: on(4, 11, 0), People: []int{1}}), 1e-9, "two for an hour and a half, one for an hour")
	assert.InDeltaSlice(t, []float64{2.5, 1.5}, share(
		window.Booked{From: on(3, 10, 0), To: on(3, 11, 0), People: []int{1}},
		window.Booked{From: on(4, 10, 0), To: on(4, 11, 30), People: []int{1}}), 1e-9, "the last as it was, the rest in the first")
	assert.InDeltaSlice(t, []float64{4}, share(
		window.Booked{From: on(3, 10, 0), To: on(3, 11, 0), People: []int{1}},
		window.Booked{From: on(4, 10, 0), To: on(4, 13, 0), People: []int{1, 2}}), 1e-9, "the last of them does it all")
	assert.InDeltaSlice(t, []float64{1, 3}, share(
		window.Booked{From: on(4, 10, 0), To: on(4, 11, 0), PersonHours: 3, People: []int{1}},
		window.Booked{From: on(3, 10, 0), To: on(3, 12, 0), PersonHours: 1, People: []int{1}})[:2], 1e-9, "by their start, whatever their order")
}

// Where the promise is broken the moments that must be met move by as many days and by
// nothing else.
func TestMoveMoments(t *testing.T) {
	j := stepsOn(t, on(1, 10, 0), 1, washStep, rotary)
	j.By, j.Must = job.Date{Year: 2026, Month: 9, Day: 2}, map[string]time.Time{"survey": on(3, 7, 30), "launch": on(3, 9, 0)}
	in := moving(t, rainOn(calm(8), 24, 24*4-4), j, on(2, 6, 0))
	m := moved(t, in)
	require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
	assert.Equal(t, []any{3, "survey"}, []any{m.Handover.Days, m.Handover.Must}, "the first of the two")
	assert.True(t, m.Job.Must["survey"].Equal(on(6, 7, 30)), "%v", m.Job.Must)
	assert.True(t, m.Job.Must["launch"].Equal(on(6, 9, 0)), "%v", m.Job.Must)
	assert.True(t, j.Must["survey"].Equal(on(3, 7, 30)), "the job that was given is left alone")
	assert.Equal(t, job.Date{Year: 2026, Month: 9, Day: 5}, m.Job.By)
}
