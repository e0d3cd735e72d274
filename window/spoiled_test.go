package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
)

// clockAt is a local time on a day of a scenario, 1 the first.
func (s *scenario) clockAt(day int, text string) time.Time {
	return s.day.AddDate(0, 0, day-1).Add(time.Duration(clock(text)) * time.Minute)
}

// spoiledAt tells the fates of work on a scenario, from the morning of day 1 on.
func (s *scenario) spoiledAt(t *testing.T, j *job.Job, rain []window.Rain, worked ...window.Worked) []window.ZoneFate {
	t.Helper()
	r, err := window.Evaluate(window.Input{Forecast: s.forecast(surface.Slot), Rained: rain, Job: j, Classes: catalogue(t), Location: s.loc, Now: s.day, Model: surface.HandCheck()})
	require.NoError(t, err)
	return window.Spoil(window.SpoilInput{Job: j, Classes: catalogue(t), Worked: worked, Rain: rain, Result: r})
}

// Event V1 of the trade: in the storms of S1 rain comes at 11:40, 40 min after the
// last section of a polymer sealant. It still hazes: rinse, strip and seal again.
// What was sealed and buffed from 08:00, 3.7 h before, is inspected, for it lies
// between the hard 2 h and the usual 4 h.
func TestSpoiledInTheStorm(t *testing.T) {
	s, j := scenarioJob(t, "s1.txt", 18, []string{"west side"}, rotary, stripWash, seal)
	rain := []window.Rain{{From: s.clockAt(1, "11:40"), To: s.clockAt(1, "12:30"), MM: 5, HasMM: true, Observed: true}}
	west, _ := j.Zone("west side")
	got := s.spoiledAt(t, j, rain,
		window.Worked{Step: 2, Zone: west, From: s.clockAt(1, "08:00"), To: s.clockAt(1, "10:50"), Share: 17.0 / 18},
		window.Worked{Step: 2, Zone: west, From: s.clockAt(1, "10:50"), To: s.clockAt(1, "11:00"), Share: 1.0 / 18, Left: window.LeftHazing})
	require.Len(t, got, 3, "inspect, redo what was buffed within 2 h, redo what hazes: %+v", got)
	first, buffed, hazing := got[0], got[1], got[2]

	assert.Equal(t, window.Inspect, first.Fate)
	assert.True(t, s.clockAt(1, "08:00").Equal(first.From))
	assert.InDelta(t, 3.7, first.MostH, 0.05, "3.7 h")
	assert.GreaterOrEqual(t, first.LeastH, 2.0, "hard")
	assert.InDelta(t, 4, first.WantH, 0)
	assert.InDelta(t, 2, first.HardH, 0)

	assert.Equal(t, window.Redo, buffed.Fate)
	assert.False(t, buffed.Hazing)
	assert.Less(t, buffed.MostH, 2.2)

	assert.Equal(t, window.Redo, hazing.Fate)
	assert.True(t, hazing.Hazing, "it was seen to haze")
	assert.True(t, s.clockAt(1, "11:00").Equal(hazing.To))
	assert.InDelta(t, 40.0/60, hazing.LeastH, 1e-9)

	assert.InDelta(t, 1, first.Share+buffed.Share+hazing.Share, 1e-9)
	assert.InDelta(t, 18, first.AreaM2+buffed.AreaM2+hazing.AreaM2, 1e-9)
	assert.False(t, first.Unaided.IsZero(), "it dries again")
	assert.True(t, first.Unaided.After(rain[0].To), "but not before the rain ends")
	assert.False(t, first.Rinsed, "a side is not rinsed")
}

// Event V4: in the autumn of S4 work stops with two panels compounded, not waxed.
// They may lie bare overnight; without rain nothing is lost, and after rain they
// are washed anew.
func TestBarePanelsOvernight(t *testing.T) {
	s, j := scenarioJob(t, "s4.txt", 8, []string{"north", "west"}, rotary, wax)
	var worked []window.Worked
	for _, z := range j.Steps[0].On {
		worked = append(worked, window.Worked{Step: 0, Zone: z, To: s.clockAt(1, "15:30"), Share: 1})
	}
	for _, f := range s.spoiledAt(t, j, nil, worked...) {
		assert.Equal(t, window.Good, f.Fate)
		assert.Equal(t, -1, f.Rain)
	}
	rain := []window.Rain{{From: s.clockAt(1, "20:00"), To: s.clockAt(1, "22:00"), Observed: true}}
	got := s.spoiledAt(t, j, rain, worked...)
	require.Len(t, got, 2)
	for _, f := range got {
		assert.Equal(t, window.Rewash, f.Fate)
		assert.InDelta(t, 1, f.Share, 1e-9)
	}
}

// From the usual rain-free hours on rain is ignored, between hard and usual
// the panel is inspected, before the hard ones the zone is done again. The clock of
// each section is its own.
func TestSpoiledByTheClock(t *testing.T) {
	j := smallJob(t, "polymer-sealant") // rain-free 4 h, hard 2 h
	rain := time.Date(2026, 9, 3, 18, 0, 0, 0, time.UTC)
	at := func(h float64) []window.ZoneFate {
		on := rain.Add(-time.Duration(h * float64(time.Hour)))
		return window.Spoil(window.SpoilInput{
			Job: j, Classes: catalogue(t), Rain: []window.Rain{{From: rain, To: rain.Add(time.Hour)}},
			Worked: []window.Worked{{To: on, Share: 0.5, Left: window.LeftBuffed}},
		})
	}
	for h, want := range map[float64]window.Fate{
		4: window.Good, 9: window.Good, 3.99: window.Inspect, 2: window.Inspect, 1.99: window.Redo, 0.2: window.Redo,
	} {
		got := at(h)
		require.Len(t, got, 1)
		assert.Equal(t, want, got[0].Fate, "%v h", h)
		assert.InDelta(t, h, got[0].LeastH, 1e-9)
		assert.InDelta(t, 7.5, got[0].AreaM2, 1e-9, "half of 15 m²")
	}
}

// The person's word outranks the haze clock, and without it the clock decides.
func TestHazing(t *testing.T) {
	j := smallJob(t, "polymer-sealant") // hazes 30 min at least at 20 °C
	rain := time.Date(2026, 9, 3, 18, 0, 0, 0, time.UTC)
	hazing := func(minutes int, left window.Left) bool {
		got := window.Spoil(window.SpoilInput{
			Job: j, Classes: catalogue(t), Rain: []window.Rain{{From: rain, To: rain.Add(time.Hour)}},
			Worked: []window.Worked{{To: rain.Add(-time.Duration(minutes) * time.Minute), Share: 1, Left: left}},
		})
		require.Len(t, got, 1)
		assert.Equal(t, window.Redo, got[0].Fate)
		return got[0].Hazing
	}
	assert.True(t, hazing(35, window.LeftUnsaid), "30 min of haze and the wiping")
	assert.False(t, hazing(45, window.LeftUnsaid))
	assert.False(t, hazing(35, window.LeftBuffed))
	assert.True(t, hazing(100, window.LeftHazing))
	j.Steps[0].HazeMin = 55
	assert.True(t, hazing(45, window.LeftUnsaid), "the test patch took 55 min")
}

// A roof keeps rain off, unless the wind drives it in; a cover does while it is up.
func TestSpoiledUnderARoof(t *testing.T) {
	f := calm(4)
	now := f.Start.Add(36 * time.Hour)
	rain := []window.Rain{{From: now, To: now.Add(time.Hour), Observed: true}}
	fate := func(change func(*job.Job, *forecast.Forecast)) window.ZoneFate {
		j, f := smallJob(t, "polymer-sealant"), calm(4)
		change(j, f)
		r := rainedOn(t, f, rain, j, now.Add(-3*time.Hour))
		got := window.Spoil(window.SpoilInput{
			Job: j, Classes: catalogue(t), Rain: rain, Result: r, Worked: []window.Worked{{To: now.Add(-time.Hour), Share: 1}},
		})
		require.Len(t, got, 1)
		return got[0]
	}
	wind := func(f *forecast.Forecast, v float64) {
		for i := range f.N {
			f.Members[0].Columns[forecast.WindSpeed].Set(i, v)
		}
	}
	open := fate(func(*job.Job, *forecast.Forecast) {})
	assert.Equal(t, window.Redo, open.Fate)
	roofed := fate(func(j *job.Job, f *forecast.Forecast) { j.Zones[0].Shelter = boat.Hardtop; wind(f, 3) })
	assert.Equal(t, window.Good, roofed.Fate)
	assert.True(t, roofed.Roofed)
	driven := fate(func(j *job.Job, f *forecast.Forecast) { j.Zones[0].Shelter = boat.Hardtop; wind(f, 8) })
	assert.Equal(t, window.Inspect, driven.Fate, "it may have stayed dry")
	assert.True(t, driven.Driven)
	covered := fate(func(j *job.Job, f *forecast.Forecast) {
		wind(f, 3)
		j.Covers = []job.Cover{{Zones: []string{"port side"}, Kind: boat.Canvas, From: now.Add(-2 * time.Hour)}}
	})
	assert.Equal(t, window.Good, covered.Fate)
}

// Three millimetres rinse an open deck, not a side and not what lies under a hardtop.
func TestRinsed(t *testing.T) {
	rain := time.Date(2026, 9, 3, 18, 0, 0, 0, time.UTC)
	rinsed := func(tilt, mm float64) bool {
		j := smallJob(t, "soap-wash")
		j.Steps[0] = job.Step{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0}}
		j.Zones[0].Tilt = tilt
		got := window.Spoil(window.SpoilInput{
			Job: j, Classes: catalogue(t), Worked: []window.Worked{{To: rain.Add(-time.Hour), Share: 1}},
			Rain: []window.Rain{{From: rain, To: rain.Add(time.Hour), MM: mm, HasMM: true}},
		})
		require.Len(t, got, 1)
		assert.Equal(t, window.Good, got[0].Fate, "a washed panel only gets wet")
		return got[0].Rinsed
	}
	assert.True(t, rinsed(0, 3))
	assert.False(t, rinsed(0, 2.9))
	assert.False(t, rinsed(90, 10))
}

// Only what lies open is judged: a sealed half covers its compound, the bare half
// is washed anew.
func TestOnlyWhatLiesOpen(t *testing.T) {
	j := sealJob(t)
	rain := time.Date(2026, 9, 3, 18, 0, 0, 0, time.UTC)
	at := rain.Add(-6 * time.Hour)
	got := window.Spoil(window.SpoilInput{
		Job: j, Classes: catalogue(t), Rain: []window.Rain{{From: rain, To: rain.Add(time.Hour)}},
		Worked: []window.Worked{
			{Step: 0, To: at, Share: 1}, {Step: 1, To: at, Share: 1}, {Step: 2, To: at, Share: 0.5}, {Step: 3, To: at, Share: 0.5},
		},
	})
	require.Len(t, got, 2)
	assert.Equal(t, 1, got[0].Step)
	assert.Equal(t, window.Rewash, got[0].Fate)
	assert.InDelta(t, 0.5, got[0].Share, 1e-9)
	assert.Equal(t, 3, got[1].Step)
	assert.Equal(t, window.Good, got[1].Fate)
	assert.InDelta(t, 0.5, got[1].Share, 1e-9)
}

// Clocks in equivalent hours run slower in the cold: Σ 2^((T−20)/10)·Δt, so that
// ten hours at 10 °C count five. Without a temperature none have passed.
func TestSpoiledInEquivalentHours(t *testing.T) {
	c, _ := catalogue(t).Class("varnish")
	require.True(t, c.Equivalent)
	j := smallJob(t, "varnish")
	j.Steps[0].Do = "coat"
	start := time.Date(2026, 9, 3, 4, 0, 0, 0, time.UTC)
	r := &window.Result{Zones: []window.Zone{{}}}
	for h := range 12 {
		r.Weather = append(r.Weather, window.Hour{At: start.Add(time.Duration(h) * time.Hour)})
		r.Zones[0].Hours = append(r.Zones[0].Hours, window.ZoneHour{Surface: window.Value{V: 20 - c.HalvesPerK, Known: true}})
	}
	in := window.SpoilInput{
		Job: j, Classes: catalogue(t), Result: r, Rain: []window.Rain{{From: start.Add(10 * time.Hour), To: start.Add(11 * time.Hour)}},
		Worked: []window.Worked{{To: start, Share: 1, Left: window.LeftUncured}},
	}
	assert.InDelta(t, 5, window.Spoil(in)[0].LeastH, 1e-9)
	in.Result = nil
	assert.Zero(t, window.Spoil(in)[0].LeastH)
}

// Whatever the work and the rain: shares add up to what is done, later sections
// never fare better than earlier ones of the same work, and rain that comes later
// never makes a fate worse.
func TestSpoilLaws(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	rapid.Check(t, func(t *rapid.T) {
		rain := time.Date(2026, 9, 3, 18, 0, 0, 0, time.UTC)
		minutes := time.Duration(rapid.IntRange(1, 500).Draw(t, "before")) * time.Minute
		takes := time.Duration(rapid.IntRange(0, 400).Draw(t, "takes")) * time.Minute
		share := rapid.Float64Range(0.05, 1).Draw(t, "share")
		later := time.Duration(rapid.IntRange(0, 300).Draw(t, "later")) * time.Minute
		spoil := func(rain time.Time) []window.ZoneFate {
			to := time.Date(2026, 9, 3, 18, 0, 0, 0, time.UTC).Add(-minutes)
			return window.Spoil(window.SpoilInput{
				Job: j, Classes: catalogue(t), Rain: []window.Rain{{From: rain, To: rain.Add(time.Hour)}},
				Worked: []window.Worked{{From: to.Add(-takes), To: to, Share: share}},
			})
		}
		got := spoil(rain)
		sum := 0.0
		for i, x := range got {
			sum += x.Share
			require.LessOrEqual(t, x.LeastH, x.MostH)
			if i > 0 {
				require.GreaterOrEqual(t, x.Fate, got[i-1].Fate)
			}
		}
		require.InDelta(t, share, sum, 1e-9)
		worse := func(list []window.ZoneFate, fate window.Fate) float64 {
			n := 0.0
			for _, x := range list {
				if x.Fate >= fate {
					n += x.Share
				}
			}
			return n
		}
		after := spoil(rain.Add(later))
		for _, fate := range []window.Fate{window.Inspect, window.Redo} {
			require.LessOrEqual(t, worse(after, fate), worse(got, fate)+1e-9)
		}
	})
}
