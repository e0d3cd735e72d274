package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/job"
)

// takenBy is where the people of a plan are, as another boat of their crew is told.
func takenBy(b booked) []window.Elsewhere {
	var out []window.Elsewhere
	for _, x := range b.Blocks {
		machine := 0.0
		if b.Input.Tasks[x.Task].Machine {
			machine = apartH(x.From, x.WorkTo)
		}
		for _, p := range x.People {
			out = append(out, window.Elsewhere{Person: p, From: b.at(x.From).UTC(), To: b.at(x.To).UTC(), MachineH: machine})
		}
	}
	return out
}

// plannedBeside is a plan of a job whose people are elsewhere at times.
func plannedBeside(t require.TestingT, f *forecast.Forecast, j *job.Job, taken []window.Elsewhere) booked {
	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: j.Place.Location, Now: f.Start, Elsewhere: taken, Skies: &skies}
	r, err := window.Evaluate(in)
	require.NoError(t, err)
	p, err := window.Plan(r, j, window.PlanSettings{Budget: 30_000})
	require.NoError(t, err)
	return booked{p, r, j}
}

// apartFrom holds a plan against where its people are elsewhere: nobody is in two places,
// nobody changes boats in less than the time and the way it takes, nobody works machines on both
// for longer than a person may in a day, and no machine of theirs is on both at once.
func apartFrom(t require.TestingT, b booked, taken []window.Elsewhere) {
	holdPolishers(t, b, taken)
	type personDay struct {
		person int
		day    job.Date
	}
	hours, here := map[personDay]float64{}, map[personDay]bool{}
	for _, x := range taken {
		hours[personDay{x.Person, job.DateOf(x.From.In(b.r.Location))}] += x.MachineH
	}
	for _, x := range b.Blocks {
		from, to := b.at(x.From), b.at(x.To)
		for _, p := range x.People {
			for _, e := range taken {
				change := window.ChangeMin*time.Minute + time.Duration(e.WayMin)*time.Minute
				require.False(t, e.Person == p && from.Before(e.To.Add(change)) && e.From.Add(-change).Before(to),
					"person %d is here %s to %s, and elsewhere %s to %s", p, from, to, e.From.In(b.r.Location), e.To.In(b.r.Location))
			}
			if b.Input.Tasks[x.Task].Machine {
				k := personDay{p, job.DateOf(from)}
				hours[k], here[k] = hours[k]+apartH(x.From, x.WorkTo), true
			}
		}
	}
	for k := range here {
		require.LessOrEqual(t, hours[k], 4+1e-9, "hours of machines of %+v", k)
	}
}

// zoned puts a forecast and a job to where the clock is put back in the night to the
// first Sunday of November, or on in March, with the change within the first days.
func zoned(t *rapid.T, f *forecast.Forecast, jobs ...*job.Job) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	f.Start = rapid.SampledFrom([]time.Time{
		time.Date(2026, 9, 1, 0, 0, 0, 0, loc), time.Date(2026, 10, 31, 0, 0, 0, 0, loc), time.Date(2026, 3, 7, 0, 0, 0, 0, loc),
	}).Draw(t, "start").UTC()
	for _, j := range jobs {
		j.Place.Location = loc
	}
}

// Whatever the two jobs of one crew, and whatever the clock does meanwhile, nobody is in
// two places, and not a row of the weather hangs on where people are.
func TestTwoBoatsOneCrew(t *testing.T) {
	t.Parallel()
	both, around := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		one, two := drawJob(t), drawJob(t)
		f := ensemble(4, 2)
		zoned(t, f, one, two)
		first := plannedBeside(t, f, one, nil)
		taken, way := takenBy(first), float64(rapid.IntRange(0, 180).Draw(t, "way"))
		for i := range taken {
			taken[i].WayMin = way
		}
		second := plannedBeside(t, f, two, taken)
		apartFrom(t, second, taken)
		free := plannedBeside(t, f, two, nil)
		require.Equal(t, free.r.Rows, second.r.Rows, "the weather does not ask who is where")
		require.Equal(t, free.r.Ranked, second.r.Ranked)
		if len(taken) == 0 {
			require.Nil(t, second.AllHands)
			return
		}
		if second.AllHands == nil {
			require.False(t, second.Found || free.Found, "what has no place has none with all of them here")
			return
		}
		require.Equal(t, free.Result, second.AllHands.Result, "what it would be with all of them here")
		if second.Found && first.Found {
			both++
			if second.Score != free.Score {
				around++
			}
		}
		if !second.Found && free.Found {
			require.Equal(t, window.NoHands, second.Refusal.Limit)
		}
		// And the first boat, asked anew, leaves the second alone.
		apartFrom(t, plannedBeside(t, f, one, takenBy(second)), takenBy(second))
	})
	require.Positive(t, both)
	require.Positive(t, around, "it did make a difference")
}

// A person who is elsewhere in the morning works here in the afternoon, half an hour after;
// whoever has a number that the job does not have takes nobody.
func TestElsewhere_ForAWhile(t *testing.T) {
	f := calm(3)
	j := smallJob(t, "polymer-sealant")
	j.People = 1
	j.By = job.Date{Year: 2026, Month: 9, Day: 1}
	free := planned(t, f, j)
	require.True(t, free.Found)
	at := free.at(free.Blocks[0].From)
	busy := []window.Elsewhere{{Person: 1, From: at.Add(-time.Hour).UTC(), To: at.Add(30 * time.Minute).UTC()}}
	b := plannedBeside(t, f, j, busy)
	require.True(t, b.Found)
	assert.Equal(t, at.Add(time.Hour), b.at(b.Blocks[0].From), "half an hour to change boats")
	assert.True(t, b.AllHands.Score.Less(b.Score))
	busy[0].WayMin = 10
	b = plannedBeside(t, f, j, busy)
	require.True(t, b.Found)
	assert.Equal(t, at.Add(time.Hour+10*time.Minute), b.at(b.Blocks[0].From), "and the way from another marina")

	busy[0].Person = 2
	b = plannedBeside(t, f, j, busy)
	assert.Equal(t, free.Blocks, b.Blocks, "there is no second person here")
}

// What one person has worked at machines on another boat leaves them less for this one.
func TestElsewhere_MachineHoursAddUp(t *testing.T) {
	f := calm(4)
	j := smallJob(t, "")
	j.Steps = []job.Step{{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0}}}
	j.People, j.Zones[0].AreaM2 = 1, 6
	free := planned(t, f, j)
	require.True(t, free.Found)
	x := free.Blocks[0]
	need := apartH(x.From, x.WorkTo)
	require.Less(t, need, 4.0)
	day := free.at(x.From).Truncate(24 * time.Hour).Add(4 * time.Hour) // midnight there
	early := window.Elsewhere{Person: 1, From: day, To: day.Add(4 * time.Hour), MachineH: 4 - need}
	b := plannedBeside(t, f, j, []window.Elsewhere{early})
	require.True(t, b.Found)
	assert.Equal(t, free.day(x.From), b.day(b.Blocks[0].From), "both within four hours")
	early.MachineH += 0.5
	b = plannedBeside(t, f, j, []window.Elsewhere{early})
	require.True(t, b.Found)
	for _, y := range b.Blocks {
		assert.False(t, b.day(y.From) == free.day(x.From) && apartH(y.From, y.WorkTo) >= need, "not the whole of it on that day")
	}
}

// A plan that was agreed is moved around the hours elsewhere; where there is none around
// them it is said that there would be one with all of them here, and the ladder has it
// first.
func TestMove_AroundTheOtherBoat(t *testing.T) {
	t.Parallel()
	f := calm(8)
	j := sealJob(t)
	j.By = job.Date{Year: 2026, Month: 9, Day: 6}
	b := planned(t, f, j)
	require.True(t, b.Found)
	day := b.at(b.Blocks[0].From).Truncate(24 * time.Hour).Add(4 * time.Hour)
	var busy []window.Elsewhere
	for p := 1; p <= 2; p++ {
		busy = append(busy, window.Elsewhere{Person: p, From: day.Add(6 * time.Hour), To: day.Add(15 * time.Hour)})
	}
	m := b.move(t, f, f.Start, func(in *window.MoveInput) { in.Elsewhere = busy })
	require.True(t, m.Planned.Found)
	assert.Positive(t, m.Moved)
	moved := booked{m.Planned, m.Result, m.Job}
	apartFrom(t, moved, busy)
	for _, c := range m.Changes {
		if c.Became == window.Shifted && b.day(b.Blocks[c.Old].From) == b.day(b.Blocks[0].From) {
			assert.Contains(t, []window.Why{window.WhyRoom, window.WhyOrder}, c.Why)
		}
	}

	var always []window.Elsewhere
	for p := 1; p <= 2; p++ {
		always = append(always, window.Elsewhere{Person: p, From: f.Start, To: f.End()})
	}
	m = b.move(t, f, f.Start, func(in *window.MoveInput) { in.Elsewhere = always })
	require.False(t, m.Planned.Found)
	assert.Equal(t, window.NoHands, m.Planned.Refusal.Limit)
	rungs, err := window.Ladder(window.LadderInput{
		Input: window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start, Elsewhere: always},
		Known: classes(t), Refused: m.Planned, Plan: window.PlanSettings{Budget: 30_000},
	})
	require.NoError(t, err)
	require.Equal(t, window.WayHands, rungs[0].Way)
	assert.True(t, rungs[0].Planned.Found)
	assert.True(t, rungs[0].Whole)
	for _, r := range rungs[1:] {
		if r.Tried && !r.Planned.Found {
			assert.Equal(t, window.NoHands, r.Planned.Refusal.Limit, r.Way.String())
		}
	}
}

// What one search tells is not searched again: hours elsewhere that are over, or of nobody
// who works here, change nothing; what has no place has none with the whole crew here; and
// a rung that works needs no other plan beside it.
func TestElsewhere_NoSecondSearch(t *testing.T) {
	f := calm(4)
	j := smallJob(t, "polymer-sealant")
	free := planned(t, f, j)
	for name, x := range map[string]window.Elsewhere{
		"over":   {Person: 1, From: f.Start.Add(-9 * time.Hour), To: f.Start.Add(-5 * time.Hour), MachineH: 2},
		"later":  {Person: 1, From: f.End().Add(9 * time.Hour), To: f.End().Add(12 * time.Hour)},
		"nobody": {Person: 9, From: f.Start, To: f.End()},
	} {
		b := plannedBeside(t, f, j, []window.Elsewhere{x})
		require.NotNil(t, b.AllHands, name)
		assert.Equal(t, b.Result, b.AllHands.Result, name)
		assert.Equal(t, free.Blocks, b.Blocks, name)
	}

	always := []window.Elsewhere{{Person: 1, From: f.Start, To: f.End()}, {Person: 2, From: f.Start, To: f.End()}}
	b := plannedBeside(t, f, j, always)
	require.False(t, b.Found)
	require.True(t, b.AllHands.Found)
	rungs, err := window.Ladder(window.LadderInput{
		Input: window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start, Elsewhere: always},
		Known: classes(t), Refused: b.Planned, Result: b.r, Plan: window.PlanSettings{Budget: 30_000},
	})
	require.NoError(t, err)
	require.Equal(t, window.WayHands, rungs[0].Way)
	assert.Same(t, b.AllHands, rungs[0].Planned, "it was made with the plan that was refused")
	assert.Empty(t, rungs[0].Result.Elsewhere)
	for _, r := range rungs[1:] {
		assert.True(t, !r.Tried || r.Planned.AllHands == nil || !r.Planned.Found, r.Way.String())
	}

	wet := rainOn(calm(4), 0, 96)
	b = plannedBeside(t, wet, j, always)
	require.False(t, b.Found)
	assert.Nil(t, b.AllHands)
	assert.Equal(t, planned(t, wet, j).Refusal.Task, b.Refusal.Task)
	assert.NotEqual(t, window.NoHands, b.Refusal.Limit, "it is the rain")
}

// How many hands there are counts who is on the way as gone.
func TestResult_Hands(t *testing.T) {
	f := calm(3)
	j := smallJob(t, "polymer-sealant")
	r := plannedBeside(t, f, j, []window.Elsewhere{{Person: 2, From: on(1, 9, 0).UTC(), To: on(1, 11, 0).UTC()}, {Person: 7, From: on(1, 9, 0).UTC(), To: on(1, 18, 0).UTC()}}).r
	hands := func(from, to time.Time) int { return r.Hands(j, r.Grid.Index(from), r.Grid.Index(to)) }
	assert.Equal(t, 2, hands(on(1, 7, 0), on(1, 8, 30)))
	assert.Equal(t, 1, hands(on(1, 7, 0), on(1, 8, 40)), "on the way from 08:30")
	assert.Equal(t, 1, hands(on(1, 11, 20), on(1, 12, 0)))
	assert.Equal(t, 2, hands(on(1, 11, 30), on(1, 12, 0)))
	r.Elsewhere[0].WayMin = 45
	assert.Equal(t, 1, hands(on(1, 11, 30), on(1, 12, 0)), "still on the road")
	assert.Equal(t, 2, hands(on(1, 12, 20), on(1, 13, 0)))
}

// How many polishers are left counts those on the way as gone, and those as back that have
// been put down, though their block is not over. Whose hand they are in does not matter.
func TestResult_Polishers(t *testing.T) {
	f := calm(3)
	j := toCompound(t, 2, 2)
	there := []window.Elsewhere{
		{Person: 2, From: on(1, 9, 0).UTC(), To: on(1, 11, 0).UTC(), MachineH: 1},
		{Person: 7, From: on(1, 9, 30).UTC(), To: on(1, 18, 0).UTC(), MachineH: 2, WayMin: 30},
		{Person: 1, From: on(1, 9, 0).UTC(), To: on(1, 18, 0).UTC()},
	}
	r := plannedBeside(t, f, j, there).r
	left := func(from, to time.Time) int { return r.Polishers(j, r.Grid.Index(from), r.Grid.Index(to)) }
	assert.Equal(t, 2, left(on(1, 7, 0), on(1, 8, 30)))
	assert.Equal(t, 0, left(on(1, 7, 0), on(1, 8, 40)), "both on the way from 08:30")
	assert.Equal(t, 1, left(on(1, 10, 30), on(1, 12, 30)), "one is back at 10:30")
	assert.Equal(t, 2, left(on(1, 12, 30), on(1, 18, 0)), "and the other at 12:30")
	assert.Equal(t, 2, left(on(1, 9, 0), on(1, 9, 0)), "none of no hours")
}

// What is refused names the polishers where more of them would do, and else the people.
func TestElsewhere_WhichIsLacking(t *testing.T) {
	f := calm(2)
	day := func(person int, h float64) window.Elsewhere {
		return window.Elsewhere{Person: person, From: f.Start, To: f.End(), MachineH: h}
	}
	whole := f.End().Sub(f.Start).Hours()
	for name, c := range map[string]struct {
		list []window.Elsewhere
		want string
	}{
		"the polisher, in a stranger's hand": {[]window.Elsewhere{day(3, whole)}, window.NoPolishers},
		"the polisher, in one of ours":       {[]window.Elsewhere{day(1, whole)}, window.NoPolishers},
		"the people":                         {[]window.Elsewhere{day(1, 0), day(2, 0)}, window.NoHands},
		"all of it":                          {[]window.Elsewhere{day(1, whole), day(2, 0)}, window.NoHands},
	} {
		b := plannedBeside(t, f, toCompound(t, 2, 1), c.list)
		require.False(t, b.Found, name)
		assert.Equal(t, c.want, b.Refusal.Limit, name)
		assert.True(t, window.LacksHands(b.Refusal))
	}
}

func TestEvaluate_RefusesWorkElsewhereThatCannotBe(t *testing.T) {
	f := calm(2)
	nan := 0.0
	nan /= nan
	for name, x := range map[string]window.Elsewhere{
		"nobody":             {From: f.Start, To: f.Start.Add(time.Hour)},
		"backwards":          {Person: 1, From: f.Start.Add(time.Hour), To: f.Start},
		"longer than it is":  {Person: 1, From: f.Start, To: f.Start.Add(time.Hour), MachineH: 1.5},
		"no number of hours": {Person: 1, From: f.Start, To: f.Start.Add(time.Hour), MachineH: nan},
		"a way back in time": {Person: 1, From: f.Start, To: f.Start.Add(time.Hour), WayMin: -1},
		"no way":             {Person: 1, From: f.Start, To: f.Start.Add(time.Hour), WayMin: nan},
		"a way of two days":  {Person: 1, From: f.Start, To: f.Start.Add(time.Hour), WayMin: 2 * 24 * 60},
	} {
		_, err := window.Evaluate(window.Input{
			Forecast: f, Job: smallJob(t, "polymer-sealant"), Classes: catalogue(t), Location: eastern, Now: f.Start,
			Elsewhere: []window.Elsewhere{x},
		})
		require.ErrorIs(t, err, window.ErrElsewhere, name)
	}
}
