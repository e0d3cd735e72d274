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
)

// shower is rain of an hour at six in the evening of the third.
var shower = window.Rain{From: on(3, 18, 0), To: on(3, 19, 0)}

// spoil tells the fate of one stretch of work on one side under some rain.
func spoil(t testing.TB, j *job.Job, w window.Worked, rain ...window.Rain) []window.ZoneFate {
	t.Helper()
	return window.Spoil(window.SpoilInput{Job: j, Classes: catalogue(t), Worked: []window.Worked{w}, Rain: rain})
}

// Of several spells the first that reaches the panel after the work decides; rain that
// was over before the work, or before the section, is no matter.
func TestSpoiledByTheFirstRain(t *testing.T) {
	j := smallJob(t, "cleaner-wax") // rain-free 2 h, hard 1 h
	at := func(d time.Duration) window.Rain {
		return window.Rain{From: shower.From.Add(d), To: shower.To.Add(d)}
	}
	w := window.Worked{To: on(3, 17, 30), Share: 1, Left: window.LeftBuffed}
	got := spoil(t, j, w, at(3*time.Hour), at(-3*time.Hour), at(0), at(time.Hour))
	require.Len(t, got, 1)
	assert.Equal(t, 2, got[0].Rain, "at six")
	assert.Equal(t, window.Redo, got[0].Fate, "half an hour after it")
	assert.InDelta(t, 0.5, got[0].LeastH, 1e-9)

	got = spoil(t, j, w, at(-3*time.Hour))
	assert.Equal(t, []any{-1, window.Good}, []any{got[0].Rain, got[0].Fate}, "it was over by then")
	got = spoil(t, j, w, window.Rain{From: on(3, 17, 0), To: on(3, 17, 40)})
	assert.Equal(t, []any{0, window.Redo}, []any{got[0].Rain, got[0].Fate}, "it rained while it was put on")
	assert.Zero(t, got[0].LeastH)
}

// Sections put on one after the other in the rain's face: those before it are held
// against it, those after it against the next.
func TestSpoiledSectionBySection(t *testing.T) {
	j := smallJob(t, "cleaner-wax")
	w := window.Worked{From: on(3, 15, 30), To: on(3, 18, 30), Share: 0.9, Left: window.LeftBuffed}
	got := spoil(t, j, w, window.Rain{From: on(3, 18, 0), To: on(3, 18, 10)})
	var fates []window.Fate
	share := 0.0
	for i, x := range got {
		fates = append(fates, x.Fate)
		share += x.Share
		if i > 0 {
			assert.True(t, got[i-1].To.Equal(x.From), "without a gap")
		}
	}
	assert.Equal(t, []window.Fate{window.Good, window.Inspect, window.Redo, window.Good}, fates,
		"two hours before it, one hour before it, less or in it, and after it")
	assert.InDelta(t, 0.9, share, 1e-9)
	assert.True(t, got[0].To.Equal(on(3, 16, 0)) && got[1].To.Equal(on(3, 17, 0)) && got[2].To.Equal(on(3, 18, 10)), "%v", got)
	assert.InDelta(t, 0.9*30/180, got[0].Share, 1e-9)
}

// Work whose times are the wrong way round, or whose beginning nobody told, counts as
// all put on at its end: the strict side.
func TestSpoiledAllAtOnce(t *testing.T) {
	j := smallJob(t, "cleaner-wax")
	strict := spoil(t, j, window.Worked{To: on(3, 16, 30), Share: 1, Left: window.LeftBuffed}, shower)
	turned := spoil(t, j, window.Worked{From: on(3, 17, 30), To: on(3, 16, 30), Share: 1, Left: window.LeftBuffed}, shower)
	require.Len(t, strict, 1)
	assert.Equal(t, strict, turned)
	assert.Equal(t, window.Inspect, strict[0].Fate)
	assert.Equal(t, []float64{1.5, 1.5}, []float64{strict[0].LeastH, strict[0].MostH})
	assert.Empty(t, spoil(t, j, window.Worked{To: on(3, 16, 30), Left: window.LeftBuffed}, shower), "none of it, nothing said")
}

// A class without a hard clock is done again where the usual hours were not kept.
func TestSpoiledWithoutAHardClock(t *testing.T) {
	wax, _ := catalogue(t).Class("cleaner-wax")
	wax.RainFree.HasHard, wax.RainFree.Hard = false, 0
	fate := func(hours float64) window.Fate {
		got := window.Spoil(window.SpoilInput{
			Job: smallJob(t, "cleaner-wax"), Classes: only{wax}, Rain: []window.Rain{shower},
			Worked: []window.Worked{{To: shower.From.Add(-time.Duration(hours * float64(time.Hour))), Share: 1, Left: window.LeftBuffed}},
		})
		return got[0].Fate
	}
	assert.Equal(t, window.Good, fate(2))
	assert.Equal(t, window.Redo, fate(1.9), "nothing lies between")
}

// The haze of a section is that of the hour it was put on in, or what a test patch took
// on that zone; a patch elsewhere says nothing of it.
func TestSpoiledByTheTestPatch(t *testing.T) {
	f, done := calm(4), on(2, 15, 0)
	said := 0.0
	hazing := func(minutes int, patch float64, zone string) bool {
		j := smallJob(t, "polymer-sealant")
		j.Steps[0].HazeMin = said
		j.Zones = append(j.Zones, boat.Zone{Name: "transom", Finish: j.Zones[0].Finish, Tilt: 90})
		rain := []window.Rain{{From: done.Add(time.Duration(minutes) * time.Minute), To: done.Add(3 * time.Hour), Observed: true}}
		in := window.Input{Forecast: f, Rained: rain, Job: j, Classes: catalogue(t), Location: eastern, Now: on(2, 14, 0)}
		if patch > 0 {
			in.Readings = []job.Reading{{At: on(2, 13, 0), Zone: zone, Product: "polymer-sealant", HazeMin: num(patch)}}
		}
		r, err := window.Evaluate(in)
		require.NoError(t, err)
		return window.Spoil(window.SpoilInput{
			Job: j, Classes: catalogue(t), Rain: rain, Result: r, Worked: []window.Worked{{To: done, Share: 1}},
		})[0].Hazing
	}
	assert.True(t, hazing(89, 80, "port side"), "80 minutes, and ten to wipe it")
	assert.False(t, hazing(90, 80, "port side"))
	assert.True(t, hazing(19, 10, "port side"))
	assert.False(t, hazing(20, 10, "port side"))
	assert.Equal(t, hazing(60, 0, ""), hazing(60, 80, "transom"), "a patch on the transom is of the transom")
	warm := 0 // how long it may be seen to haze without a patch
	for hazing(warm+1, 0, "") {
		warm++
	}
	said = 55
	assert.False(t, hazing(20, 10, "port side"), "what was read outranks what the job says")
	assert.True(t, hazing(64, 0, ""), "which outranks the class")
	assert.True(t, warm >= 15 && warm < 40, "%d min: 30 at 20 °C, it is warmer, and the wiping", warm)
}

// How a section was left outranks the clock; a class that does not haze was wiped as
// one went, and rain that comes with the last stroke finds it wet.
func TestSpoiledAsItWasLeft(t *testing.T) {
	on := shower.From.Add(-5 * time.Hour)
	fate := func(with string, at time.Time, left window.Left) (window.Fate, bool) {
		got := spoil(t, smallJob(t, with), window.Worked{To: at, Share: 1, Left: left}, shower)
		require.Len(t, got, 1)
		return got[0].Fate, got[0].Hazing
	}
	f, hazing := fate("polymer-sealant", on, window.LeftHazing)
	assert.Equal(t, []any{window.Redo, true}, []any{f, hazing}, "five hours, and nobody wiped it")
	f, hazing = fate("polymer-sealant", on, window.LeftUncured)
	assert.Equal(t, []any{window.Good, false}, []any{f, hazing})
	f, hazing = fate("spray-sealant", shower.From.Add(-time.Hour), window.LeftUnsaid)
	assert.Equal(t, []any{window.Inspect, false}, []any{f, hazing}, "half an hour is the least, two are usual")
	f, hazing = fate("spray-sealant", shower.From, window.LeftUnsaid)
	assert.Equal(t, []any{window.Redo, true}, []any{f, hazing})
	f, hazing = fate("varnish", shower.From.Add(-time.Minute), window.LeftUnsaid)
	assert.Equal(t, []any{window.Redo, false}, []any{f, hazing}, "a coat stays on: it is not wiped")
}

// An inspection leaves nothing that rain could spoil, and covers nothing either.
func TestSpoiledInspection(t *testing.T) {
	j := smallJob(t, "cleaner-wax")
	j.Steps = append(j.Steps, job.Step{Name: "look", Do: "inspect", On: []int{0}})
	got := window.Spoil(window.SpoilInput{
		Job: j, Classes: catalogue(t), Rain: []window.Rain{shower},
		Worked: []window.Worked{{Step: 0, To: on(3, 17, 40), Share: 1, Left: window.LeftBuffed}, {Step: 1, To: on(3, 17, 50), Share: 1}},
	})
	require.Len(t, got, 1)
	assert.Equal(t, []any{0, window.Redo}, []any{got[0].Step, got[0].Fate})
}

// Rain in spells one after the other: the panel dries from the end of the last, and all
// of them together rinse an open deck.
func TestSpoiledBySpells(t *testing.T) {
	j := smallJob(t, "soap-wash")
	j.Steps[0].Do, j.Zones[0].Tilt = "wash", 44.9
	mm := func(from, to time.Time, mm float64) window.Rain {
		return window.Rain{From: from, To: to, MM: mm, HasMM: true}
	}
	w := window.Worked{To: on(3, 12, 0), Share: 1}
	one, two, before := mm(on(3, 18, 0), on(3, 19, 0), 2), mm(on(3, 20, 0), on(3, 21, 0), 1), mm(on(3, 10, 0), on(3, 11, 0), 9)
	assert.False(t, spoil(t, j, w, one)[0].Rinsed, "two millimetres")
	assert.True(t, spoil(t, j, w, two, one)[0].Rinsed, "three in all")
	assert.False(t, spoil(t, j, w, before, one)[0].Rinsed, "what fell before it was washed does not count")
	j.Zones[0].Shelter = boat.Hardtop
	assert.False(t, spoil(t, j, w, one, two)[0].Rinsed, "nothing rinses it under a roof")
	j.Zones[0].Shelter, j.Zones[0].Tilt = boat.Open, 45
	assert.False(t, spoil(t, j, w, one, two)[0].Rinsed, "45° is a side")

	f := calm(6)
	j = smallJob(t, "cleaner-wax")
	rain := []window.Rain{{From: on(2, 12, 0), To: on(2, 13, 0), Observed: true}, {From: on(2, 15, 0), To: on(2, 16, 0), Observed: true}}
	r := rainedOn(t, f, rain, j, on(2, 6, 0))
	got := window.Spoil(window.SpoilInput{
		Job: j, Classes: catalogue(t), Rain: rain, Result: r, Worked: []window.Worked{{To: on(2, 11, 30), Share: 1, Left: window.LeftBuffed}},
	})
	require.Len(t, got, 1)
	assert.Equal(t, window.Redo, got[0].Fate)
	assert.False(t, got[0].Unaided.IsZero())
	assert.True(t, got[0].Unaided.After(on(2, 16, 0)), "not before the second is over: %v", got[0].Unaided.In(eastern))
	assert.False(t, got[0].Towel.After(got[0].Unaided), "a towel is no slower than the air")
	j.Towel = false
	got = window.Spoil(window.SpoilInput{
		Job: j, Classes: catalogue(t), Rain: rain, Result: r, Worked: []window.Worked{{To: on(2, 11, 30), Share: 1, Left: window.LeftBuffed}},
	})
	assert.True(t, got[0].Towel.IsZero(), "no towel is used here")
	assert.False(t, got[0].Unaided.IsZero())
	j.Towel, j.Steps[0].With = true, "teak-sealer"
	got = window.Spoil(window.SpoilInput{
		Job: j, Classes: catalogue(t), Rain: rain, Result: r, Worked: []window.Worked{{To: on(2, 11, 30), Share: 1, Left: window.LeftUncured}},
	})
	assert.True(t, got[0].Towel.IsZero(), "bare teak is not towelled dry")
	assert.False(t, got[0].Unaided.IsZero())
}

// Wind drives rain in under a roof where it blows at 5 m/s or more while it rains; an
// hour before or after is no matter.
func TestSpoiledByDrivenRain(t *testing.T) {
	fate := func(v float64, from, to int) window.ZoneFate {
		f := calm(4)
		for i := range f.N {
			f.Members[0].Columns[forecast.WindSpeed].Set(i, 1)
		}
		for i := from; i < to; i++ {
			f.Members[0].Columns[forecast.WindSpeed].Set(i, v)
		}
		j := smallJob(t, "cleaner-wax")
		j.Zones[0].Shelter, j.Place.Wind = boat.Hardtop, job.WindAtWork
		rain := []window.Rain{{From: on(2, 12, 0), To: on(2, 13, 0), Observed: true}}
		r := rainedOn(t, f, rain, j, on(2, 6, 0))
		got := window.Spoil(window.SpoilInput{
			Job: j, Classes: catalogue(t), Rain: rain, Result: r, Worked: []window.Worked{{To: on(2, 11, 30), Share: 1, Left: window.LeftBuffed}},
		})
		require.Len(t, got, 1)
		return got[0]
	}
	noon := 36 // hours from the forecast's start
	assert.True(t, fate(6, noon-1, noon+3).Driven)
	assert.False(t, fate(4, noon-1, noon+3).Driven)
	dry := fate(9, noon-6, noon-3)
	assert.Equal(t, []any{window.Good, true, false, -1}, []any{dry.Fate, dry.Roofed, dry.Driven, dry.Rain}, "it blew in the morning")
	dry = fate(9, noon+3, noon+6)
	assert.Equal(t, []any{window.Good, true, false}, []any{dry.Fate, dry.Roofed, dry.Driven}, "and in the evening")
}

// Spells of the forecast are joined where one hour follows the other, and told apart
// where a dry hour lies between; a trace is no rain, and only the hours asked for count.
func TestForecastRainSpells(t *testing.T) {
	f := calm(3)
	for hour, mm := range map[int]float64{30: 1, 31: 2, 33: 0.5, 36: 0.09, 40: 4} {
		f.Members[0].Columns[forecast.Precipitation].Set(hour, mm)
	}
	r := evaluate(t, f, smallJob(t, "cleaner-wax"), f.Start)
	at := func(h int) time.Time { return f.Start.Add(time.Duration(h) * time.Hour) }
	got := window.ForecastRain(r, at(0), at(72))
	require.Len(t, got, 3)
	for i, want := range []struct {
		from, to int
		mm       float64
	}{{30, 32, 3}, {33, 34, 0.5}, {40, 41, 4}} {
		assert.True(t, got[i].From.Equal(at(want.from)) && got[i].To.Equal(at(want.to)), "%v", got[i])
		assert.InDelta(t, want.mm, got[i].MM, 1e-5)
		assert.True(t, got[i].HasMM)
		assert.False(t, got[i].Observed)
	}
	assert.Len(t, window.ForecastRain(r, at(32), at(40)), 1, "from the end of the first to the beginning of the last")
	assert.Len(t, window.ForecastRain(r, at(31), at(41)), 3, "an hour that is under way counts")
}
