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
	"dewgap/window/plan"
)

// sealDay is a plan of one day for one person: three seals one after the other, the
// first as soon as the crew has set up.
func sealDay(t testing.TB) (booked, *forecast.Forecast, []plan.Block) {
	f, j := calm(8), sealJob(t)
	j.Steps, j.People = j.Steps[3:], 1
	b := planned(t, f, j)
	require.True(t, b.Found)
	blocks := slices.Clone(b.Blocks)
	require.Len(t, blocks, 3)
	require.Equal(t, b.day(blocks[0].From), b.day(blocks[2].From), "one day")
	require.Equal(t, "07:30", b.clock(blocks[0].From))
	return b, f, blocks
}

// logged is the job with every block done that is over at a moment.
func (b booked) logged(now time.Time) func(*window.MoveInput) {
	return func(in *window.MoveInput) {
		j := *b.j
		j.Zones = slices.Clone(j.Zones)
		for z := range j.Zones {
			j.Zones[z].Done = map[string]boat.Done{}
		}
		for _, x := range b.Blocks {
			if t := b.Tasks[x.Task]; !b.at(x.To).After(now) {
				step := j.Steps[t.Step].Name
				share := j.Zones[t.Zone].Done[step].Share + t.Share
				j.Zones[t.Zone].Done[step] = boat.Done{At: b.at(x.To), Share: min(1, share)}
			}
		}
		in.Job = &j
	}
}

// Whoever stands on the dock at 07:20 with a block at 07:30 has set up already or will:
// a plan holds while its blocks can still be begun as planned, to the minute.
func TestMove_StandsUntilItBegins(t *testing.T) {
	b, f, blocks := sealDay(t)
	start := b.at(blocks[0].From)
	for _, before := range []time.Duration{30 * time.Minute, 21 * time.Minute, 10 * time.Minute, time.Minute, 0} {
		m := b.move(t, f, start.Add(-before), nil)
		assert.Zero(t, m.Moved, before)
		assert.Equal(t, map[window.Became]int{window.Kept: 3}, changesOf(m), before)
	}
}

// What nobody logged is presumed to be under way until its planned end and then, for as
// long again, to be done and only not written down; it is said so. Only then is it asked
// for as not done, and what comes after it stays all the same.
func TestMove_PresumedUnderWay(t *testing.T) {
	b, f, blocks := sealDay(t)
	for _, at := range []time.Time{b.at(blocks[0].From).Add(time.Minute), b.at(blocks[0].From + 5), b.at(blocks[0].To).Add(-time.Minute)} {
		m := b.move(t, f, at, nil)
		assert.Zero(t, m.Moved, at)
		require.Equal(t, window.Kept, m.Changes[0].Became)
		assert.Equal(t, window.WhyUnderWay, m.Changes[0].Why, at)
		assert.Zero(t, m.Changes[0].Old)
		assert.Equal(t, window.WhyStands, m.Changes[1].Why)
	}
	took := b.at(blocks[0].To).Sub(b.at(blocks[0].From))
	for _, since := range []time.Duration{0, time.Minute, 30 * time.Minute, took - time.Minute} {
		m := b.move(t, f, b.at(blocks[0].To).Add(since), nil)
		assert.Zero(t, m.Moved, since)
		assert.Equal(t, 3, m.Blocks, "it is still to be done for whoever counts")
		i := slices.IndexFunc(m.Changes, func(c window.Change) bool { return c.Old == 0 })
		assert.Equal(t, window.Change{Became: window.Kept, Why: window.WhyUnlogged, New: -1, Other: -1}, m.Changes[i], since)
		z := b.Tasks[blocks[0].Task].Zone
		assert.Empty(t, m.Stock.Job.Zones[z].Done, "what others are told is not presumed")
	}
	m := b.move(t, f, b.at(blocks[0].To).Add(took), nil)
	assert.Equal(t, 1, m.Moved, "the first alone")
	for _, c := range m.Changes {
		switch c.Old {
		case 0:
			assert.Equal(t, window.Shifted, c.Became)
			assert.Equal(t, window.WhyLost, c.Why)
		case 1:
			assert.Equal(t, window.WhyUnderWay, c.Why)
		}
	}
}

// A wash of half an hour that was over ten minutes ago and is not in the book moves
// nothing, and what it is washed for keeps its hours: dry since its planned end. After
// half an hour it is asked for again. What cannot have been begun is not taken as done.
func TestMove_NotWrittenDownYet(t *testing.T) {
	t.Parallel()
	f := calm(8)
	b := planned(t, f, sealJob(t))
	strip := b.one(t, "strip wash", "port side")
	end := b.at(strip.To)
	require.LessOrEqual(t, strip.To-strip.From, 3)
	unlogged := func(m *window.Moved) (out []int) {
		for _, c := range m.Changes {
			if c.Why == window.WhyUnlogged {
				out = append(out, c.Old)
			}
		}
		return out
	}
	before := b.logged(b.at(strip.From))
	now := end.Add(10 * time.Minute)
	m := b.move(t, f, now, before)
	assert.Zero(t, m.Moved)
	assert.NotEmpty(t, unlogged(m))
	for _, c := range m.Changes {
		assert.Contains(t, []window.Became{window.Kept, window.Done}, c.Became, c.Why)
	}
	assert.Positive(t, b.move(t, f, end.Add(31*time.Minute), before).Moved)
	assert.Empty(t, unlogged(b.move(t, f, now, nil)), "nothing before it was done either")
	m = b.move(t, f, now, func(in *window.MoveInput) {
		before(in)
		in.Rain = []window.Rain{{From: now.Add(-8 * time.Minute), To: now.Add(-4 * time.Minute), Observed: true}}
	})
	for _, old := range unlogged(m) {
		assert.NotEqual(t, strip.Task, b.Blocks[old].Task, "what it rained on is not taken as done")
	}
}

// Half of what is left, in one of two blocks: no more is taken as done.
func TestMove_NotWrittenDownYetInPart(t *testing.T) {
	b, f, blocks := sealDay(t)
	kept := b.kept()
	first := kept[0]
	middle := first.From.Add(first.To.Sub(first.From) / 2)
	second := first
	first.To, first.WorkTo, first.PersonHours = middle, middle, first.PersonHours/2
	second.From, second.PersonHours = middle, second.PersonHours/2
	m := b.move(t, f, middle.Add(time.Minute), func(in *window.MoveInput) {
		in.Old = append([]window.Booked{first, second}, kept[1:]...)
	})
	require.True(t, m.Planned.Found)
	z := b.Tasks[blocks[0].Task].Zone
	assert.InDelta(t, 0.5, m.Job.Zones[z].Done["seal"].Share, 1e-9)
	assert.Equal(t, middle, m.Job.Zones[z].Done["seal"].At)
	for _, c := range m.Changes {
		switch c.Old {
		case 0:
			assert.Equal(t, window.WhyUnlogged, c.Why)
		case 1:
			assert.Equal(t, window.WhyUnderWay, c.Why)
		}
	}
}

// Once the last section is on, weather that would have forbidden to lay it on moves
// nothing: it hazes and is wiped where it is.
func TestMove_HazesWhereItIs(t *testing.T) {
	b, _, blocks := sealDay(t)
	require.Less(t, blocks[0].WorkTo, blocks[0].To)
	now := b.at(blocks[0].WorkTo).Add(time.Minute)
	hour := int(now.Sub(b.at(0)).Hours()) + 1
	m := b.move(t, rainOn(calm(8), hour, hour+2), now, nil)
	require.True(t, m.Planned.Found)
	assert.Equal(t, window.Shifted, m.Changes[len(m.Changes)-1].Became, "the next ones move")
	i := slices.IndexFunc(m.Changes, func(c window.Change) bool { return c.Old == 0 })
	assert.Equal(t, window.Kept, m.Changes[i].Became)
	assert.Equal(t, window.WhyUnderWay, m.Changes[i].Why)
}

// Logged as half done it is known how far the work is: no presumption, the rest goes on
// where there is room.
func TestMove_LoggedInPart(t *testing.T) {
	b, f, blocks := sealDay(t)
	now := b.at(blocks[0].From + 9)
	m := b.move(t, f, now, func(in *window.MoveInput) {
		b.logged(now)(in)
		x := b.Tasks[blocks[0].Task]
		in.Job.Zones[x.Zone].Done["seal"] = boat.Done{At: now.Add(-10 * time.Minute), Share: 0.4}
	})
	for _, c := range m.Changes {
		if c.Old == 0 {
			assert.Equal(t, window.Shifted, c.Became)
			assert.Equal(t, window.WhyUnderWay, c.Why)
		}
	}
}

// Of what cannot have been begun, for the wash before it is not logged, no hour is lost:
// whenever it is asked with nothing logged, all of the work stands in the plan.
func TestMove_NothingLoggedNothingLost(t *testing.T) {
	t.Parallel()
	f := calm(6)
	b := planned(t, f, sealJob(t))
	first, last := b.at(b.Blocks[0].From), b.at(b.Blocks[len(b.Blocks)-1].To)
	type place struct{ step, zone int }
	rapid.Check(t, func(t *rapid.T) {
		now := first.Add(time.Duration(rapid.IntRange(0, int(last.Sub(first).Minutes())).Draw(t, "minutes")) * time.Minute)
		m := b.move(t, f, now, soonMoved)
		require.True(t, m.Planned.Found)
		owed, going := map[place]float64{}, map[place]float64{}
		for _, x := range b.Blocks {
			t := b.Tasks[x.Task]
			owed[place{t.Step, t.Zone}] += t.PersonHours
		}
		for _, c := range m.Changes {
			if c.Why == window.WhyUnlogged { // over, and it still stands to be logged
				of := b.Tasks[b.Blocks[c.Old].Task]
				going[place{of.Step, of.Zone}] += of.PersonHours
			}
			if c.New < 0 {
				continue
			}
			task := m.Planned.Tasks[m.Planned.Blocks[c.New].Task]
			h := task.PersonHours
			if c.Became == window.Kept && c.Why == window.WhyUnderWay {
				h = b.Tasks[b.Blocks[c.Old].Task].PersonHours
			}
			going[place{task.Step, task.Zone}] += h
		}
		for at, h := range owed {
			require.InDelta(t, h, going[at], 1.0/6+1e-9, "%s on %s at %s", b.j.Steps[at.step].Name, b.j.Zones[at.zone].Name, now)
		}
	})
}

// Nobody seals on in the rain: what it fell on is not presumed to be under way.
func TestMove_RainedOff(t *testing.T) {
	b, f, blocks := sealDay(t)
	now := b.at(blocks[0].From + 9)
	rain := window.Rain{From: now.Add(-40 * time.Minute), To: now.Add(-20 * time.Minute), Observed: true}
	m := b.move(t, f, now, func(in *window.MoveInput) { in.Rain = []window.Rain{rain} })
	require.Positive(t, m.Moved)
	for _, c := range m.Changes {
		if c.Old == 0 {
			assert.Equal(t, window.Shifted, c.Became)
			assert.Equal(t, window.WhyWeather, c.Why, "it was not stopped unfinished, for nobody said that it was begun")
		}
	}
}

// A strip wash that was done and then rained on moves because of the rain, not because
// it was due.
func TestMove_WashedAnewForTheRain(t *testing.T) {
	f := calm(10)
	b := planned(t, f, sealJob(t))
	strip := b.one(t, "strip wash", "port side")
	now := b.at(strip.To).Add(90 * time.Minute)
	rain := window.Rain{From: now.Add(-time.Hour), To: now.Add(-50 * time.Minute), MM: 2, HasMM: true, Observed: true}
	m := b.move(t, f, now, func(in *window.MoveInput) {
		b.logged(now)(in)
		in.Rain = []window.Rain{rain}
	})
	found := false
	for _, c := range m.Changes {
		if c.Old >= 0 && b.Blocks[c.Old].Task == strip.Task {
			found = true
			assert.Equal(t, window.Shifted, c.Became)
			assert.Equal(t, window.WhyRewash, c.Why)
		}
	}
	assert.True(t, found)
}

// The clock alone moves nothing: at whatever minute it is asked, under the same forecast,
// with the work logged as it ends, every block stays where it was agreed.
func TestMove_ClockMovesNothing(t *testing.T) {
	t.Parallel()
	f := calm(6)
	b := planned(t, f, sealJob(t))
	require.True(t, b.Found)
	first, last := b.at(b.Blocks[0].From), b.at(b.Blocks[len(b.Blocks)-1].To)
	rapid.Check(t, func(t *rapid.T) {
		now := first.Add(time.Duration(rapid.IntRange(-60, int(last.Sub(first).Minutes())).Draw(t, "minutes")) * time.Minute)
		m := b.move(t, f, now, func(in *window.MoveInput) {
			soonMoved(in)
			b.logged(now)(in)
		})
		require.True(t, m.Planned.Found)
		for _, c := range m.Changes {
			require.Contains(t, []window.Became{window.Kept, window.Done}, c.Became, "%s: block %d, %s", now, c.Old, c.Why)
		}
		require.Zero(t, m.Moved)
	})
}
