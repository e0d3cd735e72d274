package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// Water that was put on a panel has to dry off as rain has: after a wash until seven
// the sealant is no-go for its hard hour and marginal for the second (common practice,
// no source), to the slot, whoever says that it was done and by whichever word. What
// brings no water, and what is only to come, stops no clock.
func TestWashDone_DriesOff(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	j.Zones = append(j.Zones, boat.Zone{Name: "starboard side", Finish: finish(t, "white-gelcoat"), Tilt: 90, Faces: 90, AreaM2: 15})
	j.Hours = job.Schedule{Set: true, Default: []job.ClockSpan{{From: 6 * 60, To: 20 * 60}}}
	j.Steps = []job.Step{
		{Name: "first wash", Do: "wash", With: "soap-wash", On: []int{0, 1}},
		{Name: "degrease", Do: "decontaminate", With: "degreaser", On: []int{0, 1}},
		{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{0, 1}},
		{Name: "seal", Do: "seal", With: "polymer-sealant", On: []int{0, 1}},
	}
	seven, now := on(3, 7, 0), on(3, 7, 5)
	sealing := func(d map[string]boat.Done, zone int, at time.Time) (verdict.State, verdict.Limit) {
		j.Zones[0].Done = d
		return stateAt(evaluate(t, dryAir(4), j, now), 6+zone, at)
	}
	for _, word := range []string{"first wash", "wash", "degrease", "decontaminate", "strip wash"} {
		for _, c := range []struct {
			at   time.Time
			want verdict.State
		}{
			{on(3, 7, 10), verdict.NoGo}, {on(3, 7, 50), verdict.NoGo},
			{on(3, 8, 0), verdict.Marginal}, {on(3, 8, 50), verdict.Marginal},
		} {
			s, l := sealing(done(word, seven), 0, c.at)
			assert.Equal(t, c.want, s, "%s, sealing at %s", word, c.at)
			assert.Equal(t, verdict.DryOff, l, "%s, sealing at %s", word, c.at)
		}
		s, _ := sealing(done(word, seven), 0, on(3, 9, 0))
		assert.LessOrEqual(t, s, verdict.Go, "%s: two hours dry", word)
		s, _ = sealing(done(word, seven), 1, on(3, 7, 10))
		assert.LessOrEqual(t, s, verdict.Go, "%s: the other side got no water", word)
	}
	_, l := sealing(map[string]boat.Done{"first wash": {At: seven, Share: 0.5}}, 0, on(3, 7, 10))
	assert.Equal(t, verdict.DryOff, l, "half a side was washed: there is water on it")
	for name, d := range map[string]map[string]boat.Done{
		"nothing done": nil, "compounding brings no water": done("correct", seven),
		"to be washed this noon": done("first wash", on(3, 12, 0)), "washed, nobody said when": {"first wash": {Share: 1}},
	} {
		s, _ := sealing(d, 0, on(3, 7, 10))
		assert.LessOrEqual(t, s, verdict.Go, name)
	}
}

// What explains an hour and what plans it tell of the same water: why counts the minutes
// since the wash, and the plan begins where why has its two hours.
func TestWashDone_WhyAndPlanAgree(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	j.Hours = job.Schedule{Set: true, Default: []job.ClockSpan{{From: 6 * 60, To: 20 * 60}}}
	washFirst(done("wash", on(3, 7, 0)))(j)
	j.Steps[0].On = []int{0}
	in := window.Input{Forecast: dryAir(4), Job: j, Classes: catalogue(t), Location: eastern, Now: on(3, 7, 5)}
	for at, hours := range map[time.Time]float64{on(3, 7, 30): 0.5, on(3, 8, 0): 1, on(3, 9, 0): 2} {
		x, err := window.Explain(in, 0, "polymer-sealant", at)
		assert.NoError(t, err)
		for _, h := range x.Limits {
			if h.Limit == verdict.DryOff {
				assert.InDelta(t, hours, h.Value, 1e-6, "dry at %s", at)
			}
		}
	}
	r, err := window.Evaluate(in)
	assert.NoError(t, err)
	p, err := window.Plan(r, j, window.PlanSettings{SetUpMin: -1, PackUpMin: -1, Budget: 10_000})
	assert.NoError(t, err)
	assert.Equal(t, on(3, 9, 0), r.Grid.At(r.From+p.Blocks[0].From).In(eastern))
}

// dryAir is days of calm, dry, mild air without rain, in which only the people's own
// water can keep a sealant off.
func dryAir(days int) *forecast.Forecast {
	f := calm(days)
	for i := range f.N {
		c := &f.Members[0].Columns
		c[forecast.AirTemperature].Set(i, 20)
		c[forecast.DewPoint].Set(i, 10)

		c[forecast.WindSpeed].Set(i, 1.5)

		c[forecast.CloudCover].Set(i, 100)
	}
	return f
}

// A panel that was read wet, where the forecast left it dry, is worked on once it is
// towelled, and its hours say so; the side that was not read needs no towel. What is
// said of the panel now is what why says of the same minute.
func TestReadWet_TowelledFirst(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	j.Zones = append(j.Zones, boat.Zone{Name: "starboard side", Finish: finish(t, "white-gelcoat"), Tilt: 90, Faces: 90, AreaM2: 15})
	j.Steps[0].On = []int{0, 1}
	f := dryAir(4) // but damp for once: towels help from three degrees over dew point on
	for i := range f.N {
		f.Members[0].Columns[forecast.AirTemperature].Set(i, 15+0.3*float64(i%24))
		f.Members[0].Columns[forecast.DewPoint].Set(i, 13.5)
	}
	now := on(3, 6, 10)
	read := job.Reading{At: on(3, 6, 5), Zone: "port side", Wet: job.Yes}
	r := with(t, f, j, now, read)
	first := r.Rows[0].Windows[0].From - r.From
	film, wet := r.Rows[0].Towel(first)
	assert.True(t, wet, "water was seen on it an hour ago")
	assert.Greater(t, film, 1.0, "g/m², more than a sealant stands")
	_, wet = r.Rows[1].Towel(first)
	assert.False(t, wet, "nobody saw any on the other side")
	for _, slot := range []int{-1, len(r.Rows[0].Panel.Known)} {
		_, wet = r.Rows[0].Towel(slot)
		assert.False(t, wet, "no slot of the horizon")
	}
	last := r.Rows[0].Windows[0].To - 1 - r.From
	_, wet = r.Rows[0].Towel(last)
	assert.False(t, wet, "by evening it has dried by itself")

	x, err := window.Explain(window.Input{
		Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now, Readings: []job.Reading{read},
	}, 0, "polymer-sealant", now)
	assert.NoError(t, err)
	panel, _ := r.Rows[0].Panel.Extents(0, 1)
	for _, h := range x.Limits {
		if h.Limit == verdict.SurfaceMin || h.Limit == verdict.SurfaceMax {
			assert.InDelta(t, panel.Least, h.Value, 1e-4)
		}
	}
	assert.True(t, panel.Known)

	j.Towel = false
	r = with(t, f, j, now, read)
	_, wet = r.Rows[0].Towel(r.Rows[0].Windows[0].From - r.From)
	assert.False(t, wet, "who has no towel waits until it is dry")
}
