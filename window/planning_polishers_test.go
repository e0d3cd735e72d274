package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/plan"
)

// atMachines is the most people of a plan who work machines at once, with those elsewhere.
func atMachines(b booked, taken []window.Elsewhere) int {
	most := 0
	for s := range b.Input.Day {
		n := 0
		for _, x := range b.Blocks {
			if b.Input.Tasks[x.Task].Machine && x.From <= s && s < x.WorkTo {
				n += len(x.People)
			}
		}
		here := n > 0
		for _, x := range taken {
			done := x.From.Add(time.Duration(x.MachineH * float64(time.Hour)))
			if !b.at(s).Before(x.From) && b.at(s).Before(done) {
				n++
			}
		}
		if here {
			most = max(most, n)
		}
	}
	return most
}

// Three people with one polisher wash together and compound one at a time, and with three
// polishers they work as if nothing had been said of them.
func TestPolishers(t *testing.T) {
	f := calm(8)
	j := sealJob(t)
	j.People = 3
	free := planned(t, f, j)
	require.True(t, free.Found)
	assert.Greater(t, atMachines(free, nil), 1)
	j.Polishers = 3
	enough := planned(t, f, j)
	assert.Equal(t, free.Planned, enough.Planned)
	j.Polishers = 1
	one := planned(t, f, j)
	require.True(t, one.Found)
	assert.Equal(t, 1, atMachines(one, nil))
	washers := 0
	for _, x := range one.Blocks {
		if j.Steps[one.Tasks[x.Task].Step].Do == "wash" {
			washers = max(washers, len(x.People))
		}
	}
	assert.Greater(t, washers, 1)
	assert.True(t, free.Score.Less(one.Score), "it takes longer: %+v, %+v", free.Score, one.Score)
}

// Whatever the job, no slot has more people at machines than there are machines, and as
// many as people are no limit at all.
func TestPolishers_Laws(t *testing.T) {
	t.Parallel()
	found, limited := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t)
		j.Polishers = 0
		f := ensemble(5, 2)
		r := evaluate(t, f, j, f.Start)
		free, err := window.Plan(r, j, window.PlanSettings{Budget: 30_000})
		require.NoError(t, err)
		j.Polishers = rapid.IntRange(1, 4).Draw(t, "polishers")
		p, err := window.Plan(r, j, window.PlanSettings{Budget: 30_000})
		require.NoError(t, err)
		if j.Polishers >= j.People {
			require.Equal(t, free, p)
		}
		if !p.Found {
			require.NotEmpty(t, p.Refusal.Limit)
			return
		}
		found++
		if p.Input.Machines > 0 {
			limited++
		}
		require.LessOrEqual(t, atMachines(booked{p, r, j}, nil), j.Polishers)
		holdOrder(t, p)
		holdCrew(t, p)
	})
	require.Positive(t, found)
	require.Positive(t, limited)
}

// A plan is moved within the polishers that there are now: who has one less than when it
// was made does not keep what two were for, and is told so.
func TestMove_WithOnePolisherLess(t *testing.T) {
	f := calm(8)
	j := sealJob(t)
	j.People = 2
	b := planned(t, f, j)
	require.True(t, b.Found)
	require.Equal(t, 2, atMachines(b, nil))
	same := b.move(t, f, f.Start, nil)
	require.Zero(t, same.Moved)
	m := b.move(t, f, f.Start, func(in *window.MoveInput) {
		less := *j
		less.Polishers = 1
		in.Job = &less
	})
	require.True(t, m.Planned.Found)
	assert.Positive(t, m.Moved)
	assert.Equal(t, 1, atMachines(booked{m.Planned, m.Result, m.Job}, nil))
	told := 0
	for _, c := range m.Changes {
		if c.Became == window.Shifted && c.New >= 0 && m.Planned.Input.Tasks[m.Planned.Blocks[c.New].Task].Machine {
			assert.Contains(t, []window.Why{window.WhyPolishers, window.WhyRoom, window.WhyOrder}, c.Why)
			told += one(c.Why == window.WhyPolishers)
		}
	}
	assert.Positive(t, told)
}

// toCompound is a side of 6 m² to compound by so many people with so many polishers.
func toCompound(t *testing.T, people, polishers int) *job.Job {
	j := smallJob(t, "")
	j.Steps = []job.Step{{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0}}}
	j.People, j.Polishers, j.Zones[0].AreaM2 = people, polishers, 6
	return j
}

// The polisher of a crew is not on two boats at once, though there are hands enough; once
// it has been put down there, and the boats are changed, it is to be had here.
func TestPolishers_OnTheOtherBoat(t *testing.T) {
	f := calm(4)
	j := toCompound(t, 2, 1)
	free := planned(t, f, j)
	require.True(t, free.Found)
	first := free.Blocks[0]
	from := free.at(first.From)
	there := window.Elsewhere{Person: 2, From: from.UTC(), To: from.Add(5 * time.Hour).UTC(), MachineH: 4}
	b := plannedBeside(t, f, j, []window.Elsewhere{there})
	require.True(t, b.Found)
	assert.Equal(t, 1, atMachines(b, []window.Elsewhere{there}))
	assert.Equal(t, from.Add(270*time.Minute), b.at(b.Blocks[0].From), "four hours, and half an hour to change boats")
	assert.Equal(t, []int{1}, b.Blocks[0].People, "the other one wipes off there")
	j.Polishers = 2
	b = plannedBeside(t, f, j, []window.Elsewhere{there})
	assert.Equal(t, from, b.at(b.Blocks[0].From), "there is another one")
}

// Whose hand it is in there does not matter: a third person, whom this job has not, keeps
// the one polisher of two, and one of two polishers, so that two do not work them here.
func TestPolishers_InAStrangersHand(t *testing.T) {
	f := calm(4)
	j := toCompound(t, 2, 1)
	free := planned(t, f, j)
	require.True(t, free.Found)
	from := free.at(free.Blocks[0].From)
	there := []window.Elsewhere{{Person: 3, From: from.UTC(), To: from.Add(5 * time.Hour).UTC(), MachineH: 4}}
	b := plannedBeside(t, f, j, there)
	require.True(t, b.Found)
	assert.Equal(t, from.Add(270*time.Minute), b.at(b.Blocks[0].From), "four hours, and half an hour to change boats")

	j.Polishers = 2
	two := planned(t, f, j)
	require.Equal(t, 2, atMachines(two, nil))
	require.Zero(t, two.Input.Machines, "enough for both")
	b = plannedBeside(t, f, j, there)
	require.True(t, b.Found)
	assert.Equal(t, 2, b.Input.Machines)
	assert.Equal(t, 2, atMachines(b, there))
	j.Polishers = 3
	assert.Equal(t, two.Blocks, plannedBeside(t, f, j, there).Blocks, "one each")

	j.Polishers, there[0].MachineH = 1, 0
	assert.Equal(t, free.Blocks, plannedBeside(t, f, j, there).Blocks, "no machine in it")
	j.Polishers, there[0].MachineH = 0, 4
	assert.Empty(t, plannedBeside(t, f, j, there).Input.Taken, "where machines are not counted it takes nothing")
	j.Polishers, there[0].From, there[0].To = 2, there[0].From.AddDate(0, 0, 30), there[0].To.AddDate(0, 0, 30)
	assert.Zero(t, plannedBeside(t, f, j, there).Input.Machines, "after all that is looked at")
}

// Somebody who works here on other days only is no hand of this day either.
func TestPolishers_InTheHandOfAnotherDay(t *testing.T) {
	f := calm(4)
	j := toCompound(t, 1, 1)
	free := planned(t, f, j)
	require.True(t, free.Found)
	from := free.at(free.Blocks[0].From)
	j.PeopleDates = map[job.Date]int{job.DateOf(from).Next(): 2}
	there := []window.Elsewhere{{Person: 2, From: from.UTC(), To: from.Add(time.Hour).UTC(), MachineH: 1}}
	b := plannedBeside(t, f, j, there)
	require.True(t, b.Found)
	assert.LessOrEqual(t, atMachines(b, there), 1)
	assert.NotEqual(t, from, b.at(b.Blocks[0].From))
}

// Where one polisher leaves no plan by the promised day, that is what is told, and the
// ladder looks past the day with one polisher still.
func TestPolishers_Refused(t *testing.T) {
	f := calm(8)
	j := sealJob(t)
	j.People, j.Polishers = 3, 1
	j.By = job.Date{Year: 2026, Month: 9, Day: 1}
	p := planned(t, f, j)
	require.False(t, p.Found)
	assert.Equal(t, plan.Polishers, p.Refusal.Limit)
	assert.True(t, p.Refusal.Certain)
	plenty := *j
	plenty.Polishers = 0
	require.True(t, planned(t, f, &plenty).Found)
	rungs, err := window.Ladder(window.LadderInput{
		Input: window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start},
		Known: classes(t), Refused: p.Planned, Plan: window.PlanSettings{Budget: 30_000},
	})
	require.NoError(t, err)
	next := rungs[len(rungs)-1]
	require.Equal(t, window.WayNext, next.Way)
	require.True(t, next.Planned.Found)
	assert.Equal(t, 1, atMachines(booked{next.Planned, next.Result, next.Job}, nil))
}

// As long as a block has to be for one at the machine is what is asked of its hours.
func TestNeeded_WithOnePolisher(t *testing.T) {
	f := calm(3)
	j := smallJob(t, "")
	j.Steps = []job.Step{{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0}}}
	j.People, j.Zones[0].AreaM2 = 3, 4
	of := func() int { return window.NewNeeds(evaluate(t, f, j, f.Start), j).Of(0) }
	three := of()
	j.Polishers = 1
	one := of()
	assert.Greater(t, one, three)
	j.People, j.Polishers = 1, 0
	assert.Equal(t, of(), one)
}
