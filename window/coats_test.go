package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// secondDay is a time of the second day of a calm forecast.
func secondDay(hour, minute int) time.Time {
	return calm(1).Start.Add(24*time.Hour + time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
}

// shed is a small side in a shed, to be given two coats of a ceramic: the weather
// stands against nothing for most of the day.
func shed(t require.TestingT) *job.Job {
	j := smallJob(t, "professional-ceramic")
	j.Zones[0].Faces, j.Zones[0].AreaM2, j.Zones[0].Shelter = 0, 8, boat.Shed
	j.Steps[0].Coats = 2
	return j
}

// coated is a ceramic of two coats whose first one went on by half past seven of the
// second day. Its next coat may follow after 1 h and must within 6 h (the catalogue's
// figures, common practice).
func coated(t require.TestingT, change func(s *job.Step)) *job.Job {
	j := shed(t)
	j.Zones[0].Done = map[string]boat.Done{"seal": {At: secondDay(7, 30), Share: 0.5}}
	if change != nil {
		change(&j.Steps[0])
	}
	return j
}

// A half of two coats is the first coat on all of the side, not both on half of it.
func TestCoatsOn(t *testing.T) {
	for _, c := range []struct {
		coats int
		share float64
		whole int
		begun bool
	}{
		{2, 0, 0, false},
		{2, 0.25, 0, true},
		{2, 0.5, 1, false},
		{3, 1.0 / 3, 1, false},
		{3, 0.67, 2, true},
		{2, 1, 2, false},
		{0, 0.5, 0, true},
	} {
		whole, begun := window.CoatsOn(job.Step{Coats: c.coats}, c.share)
		assert.Equal(t, c.whole, whole, "%+v", c)
		assert.Equal(t, c.begun, begun, "%+v", c)
	}
	assert.InDelta(t, 1, window.CoveredBy(job.Step{Coats: 2}, 0.5), 1e-9)
	assert.InDelta(t, 0.5, window.CoveredBy(job.Step{Coats: 2}, 0.25), 1e-9, "half of the first coat")
	assert.InDelta(t, 0.5, window.CoveredBy(job.Step{}, 0.5), 1e-9, "of one coat, what is done is what is covered")
}

// From the coat that is logged the time for the next one runs: too soon for an hour,
// missed after six, whatever the weather; abraded between it may wait.
func TestCoats_TheNextCoatHasItsTime(t *testing.T) {
	for name, c := range map[string]struct {
		change func(s *job.Step)
		now    time.Time
		shut   map[string]bool // by the clock of the second day
		after  bool            // shut the day after too
	}{
		"the second of two": {nil, secondDay(7, 40), map[string]bool{"08:20": true, "08:30": false, "13:20": false, "13:40": true}, true},
		"abraded between":   {func(s *job.Step) { s.Sand = true }, secondDay(7, 40), map[string]bool{"08:20": true, "08:30": false, "13:40": false}, false},
		"in the afternoon":  {nil, secondDay(15, 0), map[string]bool{"15:00": true, "17:30": true}, true},
		"all coats on":      {func(s *job.Step) { s.Coats = 1 }, secondDay(7, 40), map[string]bool{"08:20": false, "13:40": false}, false},
	} {
		r := evaluate(t, calm(4), coated(t, c.change), c.now)
		for clock, shut := range c.shut {
			at, err := time.ParseInLocation("15:04", clock, eastern)
			require.NoError(t, err)
			s, l := stateAt(r, 0, secondDay(at.Hour(), at.Minute()))
			assert.Equal(t, shut, l == verdict.Recoat, "%s, %s: %v", name, clock, l)
			assert.True(t, !shut || s == verdict.NoGo, "%s, %s", name, clock)
		}
		_, l := stateAt(r, 0, secondDay(24+10, 0))
		assert.Equal(t, c.after, l == verdict.Recoat, name)
	}
}

// Of three coats the first does not shut the hours of the third; once the second has
// missed its time, nothing may follow.
func TestCoats_ThirdCoatHasATimeOfItsOwn(t *testing.T) {
	j := coated(t, func(s *job.Step) { s.Coats = 3 })
	j.Zones[0].Done["seal"] = boat.Done{At: secondDay(7, 30), Share: 1.0 / 3}
	_, l := stateAt(evaluate(t, calm(4), j, secondDay(7, 40)), 0, secondDay(15, 0))
	assert.NotEqual(t, verdict.Recoat, l)
	_, l = stateAt(evaluate(t, calm(4), j, secondDay(14, 0)), 0, secondDay(15, 0))
	assert.Equal(t, verdict.Recoat, l)
}

func planAt(t require.TestingT, j *job.Job, days int, now time.Time) booked {
	r := evaluate(t, calm(days), j, now)
	p, err := window.Plan(r, j, window.PlanSettings{Budget: 400_000})
	require.NoError(t, err)
	return booked{p, r, j}
}

// The plan puts the second coat on within the time that runs from the first; when that
// is missed it has none, unless the film is abraded first.
func TestCoats_PlanAfterALoggedCoat(t *testing.T) {
	b := planAt(t, coated(t, nil), 4, secondDay(7, 40))
	require.True(t, b.Found, "%+v", b.Refusal)
	x := b.one(t, "seal", "port side")
	assert.Equal(t, secondDay(12, 0).In(eastern).Day(), b.day(x.From), "on the same day")
	assert.GreaterOrEqual(t, b.clock(x.From), "08:30")
	assert.LessOrEqual(t, b.clock(x.From), "13:30")
	assert.Equal(t, 2, b.Tasks[x.Task].Coat)
	assert.InDelta(t, 8, b.Tasks[x.Task].AreaM2, 1e-9, "all of the side")

	b = planAt(t, coated(t, nil), 4, secondDay(15, 0))
	require.False(t, b.Found)
	assert.Equal(t, "recoat", b.Refusal.Limit)
	assert.True(t, b.Refusal.Certain)

	b = planAt(t, coated(t, func(s *job.Step) { s.Sand = true }), 4, secondDay(15, 0))
	assert.True(t, b.Found, "%+v", b.Refusal)
}

// One coat of varnish a day, the day of the one that is logged too (common practice).
func TestCoats_NextDayAfterALoggedCoat(t *testing.T) {
	j := coated(t, func(s *job.Step) { s.Do, s.With = "coat", "varnish" })
	j.Zones[0].Finish, j.Zones[0].AreaM2, j.Zones[0].Shelter = finish(t, "varnished-wood"), 3, boat.Shed
	b := planAt(t, j, 6, secondDay(7, 40))
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.Greater(t, b.day(b.one(t, "seal", "port side").From), secondDay(7, 40).In(eastern).Day())
}

// Moved after the first coat the second stays where it stood, and what lies open is all
// of the side.
func TestCoats_MoveAfterALoggedCoat(t *testing.T) {
	j := shed(t)
	j.From = job.DateOf(secondDay(12, 0).In(eastern))
	b := planned(t, calm(4), j)
	first := b.of("seal", "port side")[0]
	j.Zones[0].Done = map[string]boat.Done{"seal": {At: b.at(first.To), Share: 0.5}}
	m := b.move(t, calm(4), b.at(first.To), nil)
	require.True(t, m.Planned.Found)
	assert.Zero(t, m.Moved)
	require.Len(t, m.Fates, 1)
	assert.Equal(t, window.Good, m.Fates[0].Fate)
	assert.InDelta(t, 8, m.Fates[0].AreaM2, 1e-9, "a coat on all of it is no half of it")

	m = b.move(t, calm(4), b.at(first.To).Add(7*time.Hour), nil)
	assert.False(t, m.Planned.Found, "the time to recoat is missed")
}

// Rain on the first coat before it stands it: all of the side is stripped and coated
// twice anew, and no second coat is asked on the film that comes off.
func TestCoats_FirstCoatInTheRain(t *testing.T) {
	f := calm(4)
	j := coated(t, nil)
	j.Zones[0].Shelter = boat.Open
	s := stockAt(t, f, j, []window.Rain{fell(f, 32.5, 33)}, func(in *window.MoveInput) { in.Now = secondDay(9, 30) })
	require.Len(t, s.Spoiled(), 1)
	assert.Equal(t, window.Redo, s.Spoiled()[0].Fate)
	assert.InDelta(t, 1, s.Spoiled()[0].Share, 1e-9)
	assert.InDelta(t, 1, left(t, s, "seal", "port side"), 1e-9, "nothing is asked of what comes off")
	z, ok := s.Job.Zone("port side (redo)")
	require.True(t, ok)
	assert.InDelta(t, 8, s.Job.Zones[z].AreaM2, 1e-9)
	assert.Zero(t, s.Job.Zones[z].Done["seal"].Share, "both coats of the part are to come")
}

// Two products are no two coats of one film: with the first coat on, none is put in the
// place of the second.
func TestCoats_NoOtherProductOnAFirstCoat(t *testing.T) {
	rungs := func(j *job.Job) window.Rung {
		all, err := window.Ladder(window.LadderInput{
			Input: window.Input{Forecast: calm(4), Job: j, Classes: catalogue(t), Location: eastern, Now: secondDay(15, 0)},
			Known: classes(t), Plan: window.PlanSettings{Budget: 5_000},
		})
		require.NoError(t, err)
		for _, r := range all {
			if r.Way == window.WayClass {
				return r
			}
		}
		require.Fail(t, "no such way")
		return window.Rung{}
	}
	on := rungs(coated(t, nil))
	assert.False(t, on.Tried)
	assert.Contains(t, on.Why, "the same product")
}
