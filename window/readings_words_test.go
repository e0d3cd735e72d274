package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	ens "dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface/fit"
	"dewgap/window/verdict"
)

// Each thing that is read is told again in the words in which it was read, with its
// zone, the clock, and the day where it is another.
func TestReadings_Words(t *testing.T) {
	f, now := quay() // a quarter past six on the second
	at := now.Add(-time.Minute)
	for want, m := range map[string]job.Reading{
		"06:14 air 16.2 °C (forecast 16.0 °C)":       {At: at, AirC: num(16.2)},
		"06:14 salt":                                 {At: at, Salt: job.Yes},
		"06:14 no salt":                              {At: at, Salt: job.No},
		"06:14 spray":                                {At: at, Spray: job.Yes},
		"06:14 no spray":                             {At: at, Spray: job.No},
		"06:14 port side salt":                       {At: at, Zone: "port side", Salt: job.Yes},
		"06:14 port side dry":                        {At: at, Zone: "port side", Wet: job.No},
		"06:14 port side wood moisture 17 %":         {At: at, Zone: "port side", MoisturePct: num(17)},
		"06:14 port side cleaner-wax hazed in 4 min": {At: at, Zone: "port side", Product: "cleaner-wax", HazeMin: num(4)},
		"Tue 1 Sep 22:15 wind 1.0 m/s":               {At: now.Add(-8 * time.Hour), WindMS: num(1)},
		"06:14 mast 20.0 °C by hand":                 {At: at, Zone: "mast", SurfaceC: num(20)},
		"06:14 mast 20.0 °C by infrared":             {At: at, Zone: "mast", SurfaceC: num(20), By: job.Infrared},
		"06:14 mast 20.0 °C by contact probe":        {At: at, Zone: "mast", SurfaceC: num(20), By: job.Contact},
	} {
		r := with(t, f, smallJob(t, "cleaner-wax"), now, m)
		require.Len(t, r.Readings, 1, want)
		assert.Equal(t, want, r.Readings[0].Text)
	}
}

// A wind at hand height is brought to the height of the forecast by the shelter of the
// berth, and told at hand height again.
func TestReadings_WindAtTheBerth(t *testing.T) {
	f, now := quay()
	wind := func(exposure job.WindExposure, v float64) float64 {
		j := smallJob(t, "cleaner-wax")
		j.Place.Wind = exposure
		r := with(t, f, j, now, job.Reading{At: now.Add(-5 * time.Minute), WindMS: num(v)})
		require.True(t, use(t, r, window.ReadWind).Used)
		return r.Weather[0].Wind.V
	}
	for _, e := range []job.WindExposure{job.WindOpen, job.WindLee, job.WindBasin, job.WindAtWork} {
		j := smallJob(t, "cleaner-wax")
		j.Place.Wind = e
		plain := evaluate(t, f, j, now).Weather[0].Wind.V
		assert.InDelta(t, plain, wind(e, plain), 0.1, "what was foreseen changes nothing, exposure %v", e)
		assert.Greater(t, wind(e, plain+1.5), plain+0.5, "more than foreseen")
	}
}

// What was learned may make a verdict better from five readings of its kind on: of the
// absorptance those in the sun, of the sky those at night, of a surface those in that
// kind of weather.
func TestLearned_Supported(t *testing.T) {
	l := &window.Learned{Zones: []window.LearnedZone{{
		Zone:        "port side",
		Absorptance: fit.Value{Prior: 0.3, Used: 0.5, Weight: 0.5, Readings: 5},
		Sky:         fit.Value{Prior: 1, Used: 0.7, Weight: 0.4, Readings: 4},
		From:        "white-gelcoat",
	}}}
	l.Zones[0].Surface[ens.ClearNight] = ens.Bias{Readings: 5, Mean: 1, Weight: 1}
	l.Zones[0].Surface[ens.CloudyNight] = ens.Bias{Readings: 4, Mean: 1, Weight: 1}
	l.Weather.Biases[ens.AirError][ens.ClearNight] = ens.Bias{Readings: 4, Mean: 1, Weight: 1}
	s := l.Supported()
	require.Len(t, s.Zones, 1)
	z := s.Zones[0]
	assert.Equal(t, []any{"port side", "white-gelcoat"}, []any{z.Zone, z.From})
	assert.Equal(t, l.Zones[0].Absorptance, z.Absorptance)
	assert.Equal(t, fit.Value{Prior: 1, Used: 1, Readings: 4}, z.Sky, "back to what nobody has taught")
	assert.InDelta(t, 1, z.Surface[ens.ClearNight].Size(ens.SurfaceError), 0)
	assert.Zero(t, z.Surface[ens.CloudyNight].Size(ens.SurfaceError))
	assert.True(t, s.Weather.Empty())
	assert.InDelta(t, 0.7, l.Zones[0].Sky.Used, 0, "what was given is left alone")
	assert.False(t, s.Empty())

	l.Zones[0].Absorptance.Readings, l.Zones[0].Surface[ens.ClearNight].Readings = 4, 4
	assert.True(t, l.Supported().Empty(), "four of each support nothing")
	assert.False(t, l.Empty())
	var none *window.Learned
	assert.True(t, none.Empty())
}

// Each single thing that was learned is felt, whether it is supported or not: an answer
// with it is not the one without.
func TestLearned_EachThingTells(t *testing.T) {
	f, now := damp()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), now)
	plain := taughtBy(t, in, nil)
	zone := func(change func(z *window.LearnedZone)) *window.Learned {
		z := window.LearnedZone{Zone: "port side", Absorptance: fit.Value{Prior: 0.3, Used: 0.3}, Sky: fit.Value{Prior: 1, Used: 1}}
		change(&z)
		return &window.Learned{Zones: []window.LearnedZone{z}}
	}
	for name, l := range map[string]*window.Learned{
		"the sky":         zone(func(z *window.LearnedZone) { z.Sky.Used = 0.6 }),
		"the absorptance": zone(func(z *window.LearnedZone) { z.Absorptance.Used = 0.5 }),
		"the surface": zone(func(z *window.LearnedZone) {
			for r := range z.Surface {
				z.Surface[r] = ens.Bias{Readings: 9, Mean: -2, Weight: 1}
			}
		}),
		"the air":       biased(ens.AirError, 1.5, 9),
		"the dew point": biased(ens.DewError, 1.5, 9),
	} {
		got := taughtBy(t, in, l)
		assert.NotEqual(t, plain.Zones[0].Hours, got.Zones[0].Hours, name)
		for row := range got.Rows { // and nothing that was no-go before is lifted
			for i, s := range got.Rows[row].Slots.State {
				if !plain.Rows[row].Slots.State[i].Workable() {
					require.False(t, s.Workable(), "%s, slot %d", name, i)
				}
			}
		}
	}
	other := zone(func(z *window.LearnedZone) { z.Zone, z.Sky.Used = "starboard side", 0.5 })
	assert.Equal(t, plain.Rows, taughtBy(t, in, other).Rows, "what another panel taught is not of this one")
}

// A part with another finish learns the sky of its zone, for that is of the berth, and
// not its absorptance, for that is of the gelcoat.
func TestLearned_Parts(t *testing.T) {
	f, now := quay()
	j := smallJob(t, "polymer-sealant")
	stripe := j.Zones[0].Finish
	stripe.Name, stripe.Absorptance = "navy-gelcoat", 0.9
	j.Zones[0].Finish.Absorptance = 0.2
	states := func(l *window.Learned, part bool) []verdict.State {
		k := *j
		k.Zones = append(k.Zones[:0:0], j.Zones...)
		if part {
			k.Zones[0].Parts = []boat.Part{{Name: "stripe", Finish: stripe, AreaM2: 2}}
		}
		return taughtBy(t, inputOf(t, f, &k, now), l).Rows[0].Slots.State
	}
	l := panelled("port side", 0.25, 1, 9)
	l.Zones[0].Absorptance.Prior = 0.2
	assert.NotEqual(t, states(nil, false), states(nil, true), "the stripe is hot in the morning sun")
	hot := func(list []verdict.State) (n int) {
		for _, s := range list {
			n += one(s == verdict.NoGo)
		}
		return n
	}
	assert.Equal(t, hot(states(nil, true)), hot(states(l, true)), "the stripe alone binds, and it has learned nothing of its own")
}

// Who was at a block stays at it where it stays: the numbers are the old plan's, however
// the planner counts its people.
func TestMoveSameFaces(t *testing.T) {
	f, now := calm(6), on(2, 10, 0)
	j := stepsOn(t, on(1, 10, 0), 0, rotary)
	z := j.Zones[0]
	z.Name = "starboard side"
	j.Zones, j.Steps[0].On = append(j.Zones, z), []int{0, 1}
	in := moving(t, f, j, now)
	block := func(zone string, from time.Time, who ...int) window.Booked {
		return window.Booked{
			Step: "correct", Zone: zone, Coat: 1, From: from, To: from.Add(150 * time.Minute), People: who, PersonHours: 2.5 * float64(len(who)), Confidence: 1,
		}
	}
	in.Old = []window.Booked{block("port side", on(3, 14, 0), 2), block("starboard side", on(3, 14, 0), 1)}
	people := func() map[string][]int {
		m := moved(t, in)
		require.True(t, m.Planned.Found)
		require.Zero(t, m.Moved)
		out := map[string][]int{}
		for _, b := range m.Planned.Blocks {
			out[m.Job.Zones[m.Planned.Tasks[b.Task].Zone].Name] = b.People
		}
		return out
	}
	assert.Equal(t, map[string][]int{"port side": {2}, "starboard side": {1}}, people())
	in.Old[0].People, in.Old[1].People = []int{1}, []int{2}
	assert.Equal(t, map[string][]int{"port side": {1}, "starboard side": {2}}, people())
	in.Old[0].People, in.Old[1].People = []int{7}, []int{2}
	assert.Equal(t, map[string][]int{"port side": {1}, "starboard side": {2}}, people(), "who is not there any longer is replaced")
}
