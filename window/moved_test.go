package window_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/surface"
)

// blocksOf are the blocks of a plan as they would have been kept.
func (b booked) kept() []window.Booked {
	var out []window.Booked
	for _, x := range b.Blocks {
		t := b.Tasks[x.Task]
		out = append(out, window.Booked{
			Step: b.j.Steps[t.Step].Name, Zone: b.j.Zones[t.Zone].Name, Coat: t.Coat, From: b.at(x.From), To: b.at(x.To),
			WorkTo: b.at(x.WorkTo), People: x.People, PersonHours: t.PersonHours, State: x.State, Confidence: x.Confidence,
			NeedsConsent: x.Consent,
		})
	}
	return out
}

func (b booked) move(t require.TestingT, f *forecast.Forecast, now time.Time, change func(*window.MoveInput)) *window.Moved {
	in := window.MoveInput{
		Input: window.Input{Forecast: f, Job: b.j, Classes: catalogue(t), Location: b.r.Location, Now: now, Skies: &skies},
		Old:   b.kept(), Plan: window.PlanSettings{Budget: 400_000},
	}
	if change != nil {
		change(&in)
	}
	m, err := window.Move(in)
	require.NoError(t, err)
	return m
}

// changesOf counts what became of the blocks.
func changesOf(m *window.Moved) map[window.Became]int {
	out := map[window.Became]int{}
	for _, c := range m.Changes {
		out[c.Became]++
	}
	return out
}

// rainOn puts rain into hours of a forecast, counted from its start.
func rainOn(f *forecast.Forecast, from, to int) *forecast.Forecast {
	for k := range f.Members {
		for i := from; i < to; i++ {
			f.Members[k].Columns[forecast.Precipitation].Set(i, 2)
		}
	}
	return f
}

// Under the same forecast nothing moves, however often it is asked.
func TestMoveNothing(t *testing.T) {
	f := calm(10)
	b := planned(t, f, sealJob(t))
	m := b.move(t, f, f.Start, nil)
	require.True(t, m.Planned.Found)
	assert.Zero(t, m.Moved)
	assert.True(t, m.Proven)
	assert.Equal(t, len(b.Blocks), m.Blocks)
	assert.Equal(t, map[window.Became]int{window.Kept: len(b.Blocks)}, changesOf(m))
	assert.True(t, m.Handover.Kept)
	assert.Empty(t, m.Rain)
	for i, x := range m.Planned.Blocks {
		assert.Equal(t, b.Blocks[i].From, x.From)
		assert.Equal(t, b.Blocks[i].People, x.People, "the same faces")
	}
}

// Rain on the day of the last seals moves those and leaves the days before alone, but for a
// wash that would be paid twice; each move has its reason.
func TestMoveSealAfterRain(t *testing.T) {
	f := calm(10)
	b := planned(t, f, sealJob(t))
	require.True(t, b.Found)
	last := b.day(b.Blocks[len(b.Blocks)-1].From)
	on := map[bool]int{}
	for _, x := range b.Blocks {
		on[b.day(x.From) == last]++
	}
	require.Positive(t, on[false])
	m := b.move(t, rainOn(calm(10), 24*(last-1)+6, 24*(last-1)+20), f.Start, nil)
	require.True(t, m.Planned.Found)
	assert.Equal(t, on[true], m.Least)
	behind := slices.ContainsFunc(m.Changes, func(c window.Change) bool { return c.Why == window.WhyDrier })
	assert.Equal(t, !behind, m.Proven, "a wash that goes along is no part of the fewest")
	for _, c := range m.Changes {
		x := b.Blocks[c.Old]
		if b.day(x.From) != last {
			if c.Why == window.WhyDrier {
				assert.Equal(t, "strip wash", b.j.Steps[b.Tasks[x.Task].Step].Name)
				continue
			}
			assert.Equal(t, window.Kept, c.Became)
			assert.Equal(t, x.From, m.Planned.Blocks[c.New].From)
			continue
		}
		assert.Equal(t, window.Shifted, c.Became)
		assert.Equal(t, window.WhyWeather, c.Why, "rain at its old hours")
		assert.NotZero(t, c.Limit)
		assert.Equal(t, "seal", b.j.Steps[b.Tasks[x.Task].Step].Name)
	}
}

// A day lost: nothing of it is done, and what was due moves because it was due.
func TestMoveLostDay(t *testing.T) {
	f := calm(10)
	b := planned(t, f, sealJob(t))
	next := job.DateOf(b.at(b.Blocks[0].From)).Next().Begins(eastern)
	m := b.move(t, f, next, nil)
	require.True(t, m.Planned.Found)
	lost := 0
	for _, c := range m.Changes {
		if c.Old >= 0 && b.at(b.Blocks[c.Old].From).Before(next) {
			assert.Equal(t, window.Shifted, c.Became)
			assert.Equal(t, window.WhyLost, c.Why)
			lost++
		}
	}
	assert.Positive(t, lost)
	assert.GreaterOrEqual(t, m.Moved, lost)
}

// Event V1 seen from the plan: the sections that the rain caught too soon are
// stripped and sealed again, of their own area; the rest stays sealed. The clean
// morning for it is the next one, and asking again moves nothing more.
func TestMoveRedo(t *testing.T) {
	s, j := scenarioJob(t, "s1.txt", 18, []string{"west side"}, rotary, stripWash, seal)
	west, _ := j.Zone("west side")
	j.Zones[west].Done = map[string]boat.Done{
		"correct":    {At: s.clockAt(1, "05:00").AddDate(0, 0, -1), Share: 1},
		"strip wash": {At: s.clockAt(1, "05:45"), Share: 1},
	}
	in := window.MoveInput{
		Input: window.Input{
			Forecast: s.forecast(surface.Slot), Job: j, Classes: catalogue(t), Location: s.loc, Now: s.clockAt(1, "13:00"),
			Model: surface.HandCheck(),
		},
		Rain: []window.Rain{{From: s.clockAt(1, "11:40"), To: s.clockAt(1, "12:30"), MM: 5, HasMM: true, Observed: true}},
		Worked: []window.Worked{
			{Step: 2, Zone: west, From: s.clockAt(1, "08:00"), To: s.clockAt(1, "09:40"), Share: 0.7, Left: window.LeftBuffed},
			{Step: 2, Zone: west, From: s.clockAt(1, "10:30"), To: s.clockAt(1, "11:00"), Share: 0.3, Left: window.LeftHazing},
		},
		Plan: window.PlanSettings{Budget: 400_000},
	}
	m, err := window.Move(in)
	require.NoError(t, err)
	require.Len(t, m.Fates, 2)
	assert.Equal(t, window.Inspect, m.Fates[0].Fate)
	assert.Equal(t, window.Redo, m.Fates[1].Fate)
	require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
	require.Len(t, m.Planned.Blocks, 2, "strip wash and seal of the spoiled part")
	b := booked{m.Planned, m.Result, m.Job}
	part := m.Job.Zones[len(m.Job.Zones)-1].Name
	strip, again := b.one(t, "strip wash", part), b.one(t, "seal", part)
	assert.Equal(t, west, m.Origin[len(m.Origin)-1])
	assert.InDelta(t, 18*0.3, m.Planned.Tasks[again.Task].AreaM2, 1e-9)
	assert.GreaterOrEqual(t, apartH(strip.To, again.From), 1.0, "dry for the hard hour at least")
	assert.GreaterOrEqual(t, b.at(strip.From).Sub(s.clockAt(1, "09:40")).Hours(), 2.0, "no water on the sealed part before its hard hours")
	assert.Equal(t, 16, b.day(again.From), "the next morning")
	assert.LessOrEqual(t, b.clock(again.To), "12:50", "before the storm")
	assert.InDelta(t, m.Planned.Tasks[strip.Task].PersonHours+m.Planned.Tasks[again.Task].PersonHours, m.AddedH, 1e-9)
	assert.Equal(t, map[window.Became]int{window.Added: 2}, changesOf(m))
	for _, c := range m.Changes {
		assert.Equal(t, window.WhyRedo, c.Why)
	}
	assert.Equal(t, []window.Undone{
		{Step: 1, Zone: west, Share: m.Fates[1].Share, Fate: window.Redo}, {Step: 2, Zone: west, Share: m.Fates[1].Share, Fate: window.Redo},
	}, m.Undone)

	for _, x := range b.kept() {
		x.Zone, x.Redo = "west side", true
		in.Old = append(in.Old, x)
	}
	in.Now = in.Now.Add(20 * time.Minute)
	twice, err := window.Move(in)
	require.NoError(t, err)
	assert.Zero(t, twice.Moved)
	assert.Equal(t, map[window.Became]int{window.Kept: 2}, changesOf(twice))
}

// Event V4 seen from the plan: two panels compounded by 15:30 and not waxed stay
// overnight; in the morning they are washed and dried first, in the block's time.
func TestMoveBareOvernight(t *testing.T) {
	s, j := scenarioJob(t, "s4.txt", 8, []string{"north", "west"}, rotary, wax)
	for _, z := range j.Steps[0].On {
		j.Zones[z].Done = map[string]boat.Done{"correct": {At: s.clockAt(1, "15:30"), Share: 1}}
	}
	in := window.MoveInput{
		Input: window.Input{
			Forecast: s.forecast(surface.Slot), Job: j, Classes: catalogue(t), Location: s.loc, Now: s.clockAt(1, "15:30"),
			Model: surface.HandCheck(),
		},
		Plan: window.PlanSettings{Budget: 400_000},
	}
	m, err := window.Move(in)
	require.NoError(t, err)
	require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
	require.Len(t, m.Planned.Blocks, 2)
	for _, x := range m.Planned.Blocks {
		assert.True(t, x.Rewash, "a night lies between: rewash and dry first")
	}
	for _, f := range m.Fates {
		assert.Equal(t, window.Good, f.Fate)
	}

	in.Now = s.clockAt(2, "06:00")
	in.Rain = []window.Rain{{From: s.clockAt(1, "20:00"), To: s.clockAt(1, "22:00"), Observed: true}}
	m, err = window.Move(in)
	require.NoError(t, err)
	require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
	b := booked{m.Planned, m.Result, m.Job}
	for _, z := range []string{"north", "west"} {
		wash, waxed := b.one(t, "rewash", z), b.one(t, "seal", z)
		assert.GreaterOrEqual(t, apartH(wash.To, waxed.From), 0.5, "dried since the rewash")
	}
	for _, c := range m.Changes {
		if b.Tasks[m.Planned.Blocks[c.New].Task].Step == 1 {
			assert.Equal(t, window.WhyRewash, c.Why)
		}
	}
}

// The hand-over is broken only if it must be, and then by as few days as can be:
// while rain leaves the last promised day dry it stands, though that moves more.
func TestMoveHandover(t *testing.T) {
	t.Parallel()
	f := calm(8)
	j := sealJob(t)
	for i := range j.Zones {
		j.Zones[i].Done = map[string]boat.Done{}
		for _, s := range []string{"wash", "correct", "strip wash"} {
			j.Zones[i].Done[s] = boat.Done{At: f.Start.Add(-time.Hour), Share: 1}
		}
	}
	j.From, j.By = job.Date{Year: 2026, Month: 9, Day: 1}, job.Date{Year: 2026, Month: 9, Day: 3}
	b := planned(t, f, j)
	require.True(t, b.Found)
	require.Equal(t, 1, b.day(b.Blocks[0].From))

	m := b.move(t, rainOn(calm(8), 0, 26), f.Start.Add(5*time.Hour), nil)
	require.True(t, m.Planned.Found)
	assert.True(t, m.Handover.Kept, "the second or third day is dry")
	assert.Zero(t, m.Handover.Days)
	assert.Equal(t, len(b.Blocks), m.Moved)

	m = b.move(t, rainOn(calm(8), 0, 4*24+2), f.Start.Add(5*time.Hour), nil)
	require.True(t, m.Planned.Found)
	assert.False(t, m.Handover.Kept)
	assert.True(t, m.Handover.Promised)
	assert.True(t, m.Handover.Proven, "no plan keeps it")
	assert.Equal(t, 2, m.Handover.Days, "rain to the small hours of the 5th")
	assert.Equal(t, 5, m.Handover.Ends.In(eastern).Day())

	j.Must = map[string]time.Time{"launch": time.Date(2026, 9, 4, 8, 0, 0, 0, eastern)}
	m = b.move(t, rainOn(calm(8), 0, 4*24+2), f.Start.Add(5*time.Hour), nil)
	assert.Equal(t, "launch", m.Handover.Must, "the lift has to move too")

	m = b.move(t, rainOn(calm(8), 0, 8*24), f.Start.Add(5*time.Hour), nil)
	assert.False(t, m.Planned.Found)
	assert.False(t, m.Handover.Kept)
	assert.Equal(t, len(b.Blocks), changesOf(m)[window.Homeless])
}

// A block that stays and is far less sure moves where that helps; a small loss
// moves nothing (noise), and a locked one stays though it is marginal now.
func TestMoveNoise(t *testing.T) {
	quiet := ensemble(6, 10)
	for k := range quiet.Members {
		for i := range quiet.N {
			quiet.Members[k].Columns[forecast.Precipitation].Set(i, 0)
		}
	}
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].AreaM2 = 10
	b := planned(t, quiet, j)
	require.True(t, b.Found)
	x := b.Blocks[0]
	hour := int(b.at(x.From).Sub(quiet.Start).Hours())
	wetIn := func(members int) *window.Moved {
		f := ensemble(6, 10)
		for k := range f.Members {
			for i := range f.N {
				mm := 0.0
				if k < members && i >= hour && i <= hour+4 {
					mm = 2
				}
				f.Members[k].Columns[forecast.Precipitation].Set(i, mm)
			}
		}
		return b.move(t, f, quiet.Start, nil)
	}
	one := wetIn(1)
	assert.Zero(t, one.Moved, "ten points are noise")
	two := wetIn(2)
	assert.Equal(t, 1, two.Moved, "twenty points are not")
	assert.Equal(t, window.WhyWeak, two.Changes[0].Why)
	assert.Equal(t, []any{false, 0}, []any{two.Proven, two.Least}, "it could stay: none at all need move")
	all := wetIn(10)
	assert.Equal(t, 1, all.Moved)
	assert.Equal(t, window.WhyWeather, all.Changes[0].Why)
	assert.Equal(t, []any{true, 1}, []any{all.Proven, all.Least})
}

// What the job has lost is dropped, what is done is done.
func TestMoveDone(t *testing.T) {
	f := calm(10)
	b := planned(t, f, sealJob(t))
	m := b.move(t, f, f.Start, func(in *window.MoveInput) {
		j := *in.Job
		j.Zones = append([]boat.Zone(nil), in.Job.Zones...)
		j.Zones[0].Done = map[string]boat.Done{"wash": {At: f.Start, Share: 1}}
		in.Job = &j
		in.Old = append(in.Old, window.Booked{Step: "seal", Zone: "mast", From: f.Start.Add(30 * time.Hour), To: f.Start.Add(32 * time.Hour), People: []int{1}})
	})
	got := changesOf(m)
	assert.Equal(t, 1, got[window.Done])
	assert.Equal(t, 1, got[window.Dropped])
	assert.Equal(t, len(b.Blocks)-1, got[window.Kept])
	_, err := window.Move(window.MoveInput{Rain: []window.Rain{{From: f.Start, To: f.Start}}})
	assert.ErrorIs(t, err, window.ErrMoveRain)
}

// Whatever the new forecast: the plan keeps its own rules, every block that is
// said to stay stands where it stood, and the count of the moves is that of the
// changes; no fewer moves do, as far as it is said to be proven.
func TestMoveLaws(t *testing.T) {
	t.Parallel()
	f := calm(4)
	j := sealJob(t)
	j.Zones = j.Zones[:1]
	for i := range j.Steps {
		j.Steps[i].On = []int{0}
	}
	b := planned(t, f, j)
	require.True(t, b.Found)
	someMoved, someStay := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		g := calm(4)
		for range rapid.IntRange(0, 3).Draw(t, "spells") {
			at := rapid.IntRange(0, g.N-2).Draw(t, "from")
			rainOn(g, at, min(g.N, at+rapid.IntRange(1, 12).Draw(t, "hours")))
		}
		now := f.Start.Add(time.Duration(rapid.IntRange(0, 30).Draw(t, "now")) * time.Hour)
		m := b.move(t, g, now, func(in *window.MoveInput) { in.Plan.Budget = 20_000 })
		if !m.Planned.Found {
			return
		}
		moved := 0
		for _, c := range m.Changes {
			switch c.Became {
			case window.Kept:
				if c.Why == window.WhyUnlogged {
					require.False(t, b.at(b.Blocks[c.Old].To).After(now))
					continue
				}
				x := m.Planned.Blocks[c.New]
				at := m.Result.Grid.At(m.Result.From + x.From)
				require.True(t, b.at(b.Blocks[c.Old].From).Equal(at))
				require.Len(t, x.People, len(b.Blocks[c.Old].People))
			case window.Shifted:
				moved++
			}
		}
		require.Equal(t, moved, m.Moved)
		someMoved += moved
		someStay += m.Blocks - moved
		require.LessOrEqual(t, m.Least, m.Moved)
		if m.Proven && m.Moved > 0 {
			in := m.Planned.Input
			in.Stay = true
			for i := range in.Tasks {
				in.Tasks[i].Pinned = false
			}
			r, err := plan.Solve(in)
			require.NoError(t, err)
			require.GreaterOrEqual(t, m.Moved, r.Bound.Consents)
		}
	})
	assert.Positive(t, someMoved)
	assert.Positive(t, someStay)
}

// Coats that had still to come when rain spoiled the one under them are booked anew with
// it: their old blocks are replaced, none of them is done, and they cost nothing more.
func TestMoveRedoOfACoat(t *testing.T) {
	f := calm(10)
	j := smallJob(t, "antifouling")
	j.Steps[0].Do, j.Steps[0].Coats, j.Afloat = "coat", 2, false
	b := planned(t, f, j)
	require.True(t, b.Found)
	require.Len(t, b.Blocks, 2)
	first, second := b.at(b.Blocks[0].To), b.kept()[1]
	move := func(share float64) *window.Moved {
		return b.move(t, f, first.Add(2*time.Hour), func(in *window.MoveInput) {
			done := *j
			done.Zones = []boat.Zone{j.Zones[0]}
			done.Zones[0].Done = map[string]boat.Done{"seal": {At: first, Share: share}}
			in.Job = &done
			in.Rain = []window.Rain{{From: first.Add(30 * time.Minute), To: first.Add(time.Hour), MM: 3, HasMM: true, Observed: true}}
		})
	}
	m := move(0.5)
	require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
	assert.Equal(t, map[window.Became]int{window.Added: len(m.Planned.Blocks), window.Done: 1, window.Dropped: 1}, changesOf(m))
	added := 0.0
	for _, c := range m.Changes {
		switch c.Became {
		case window.Done:
			assert.Equal(t, 0, c.Old)
		case window.Dropped:
			assert.Equal(t, 1, c.Old)
			assert.Equal(t, window.WhyRedo, c.Why)
		default:
			added += m.Planned.Tasks[m.Planned.Blocks[c.New].Task].PersonHours
		}
	}
	assert.InDelta(t, added-second.PersonHours, m.AddedH, 1e-9)

	told := b.move(t, f, first.Add(2*time.Hour), func(in *window.MoveInput) {
		in.Worked = []window.Worked{{To: first, Share: 1}}
		in.Rain = []window.Rain{{From: first.Add(30 * time.Minute), To: first.Add(time.Hour), MM: 3, HasMM: true, Observed: true}}
	})
	assert.Equal(t, changesOf(m), changesOf(told), "who tells of the work has it done, though nobody logged it")

	m = move(1)
	require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
	assert.Equal(t, 2, changesOf(m)[window.Done], "both coats were on")
}
