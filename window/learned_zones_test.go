package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	ens "dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// fairDays is eight days of calm, clear and dry weather.
func fairDays() *forecast.Forecast {
	f := calm(8)
	for i := range f.N {
		f.Members[0].Columns[forecast.DewPoint].Set(i, 3)
		f.Members[0].Columns[forecast.CloudCover].Set(i, 10)
	}
	return f
}

// visits reads the port side of a boat that takes in absorptance of the sun, at
// the local hours of six days; each day is a visit under a forecast of its own.
func visits(t require.TestingT, absorptance float64, hours ...int) []window.PastReadings {
	f := fairDays()
	var out []window.PastReadings
	for day := 1; day < 7; day++ {
		p := window.PastReadings{Forecast: f}
		for _, h := range hours {
			at := f.Start.Add(time.Duration(24*day+h)*time.Hour + 5*time.Minute)
			p.Readings = append(p.Readings, job.Reading{
				At: at, Zone: "port side", SurfaceC: num(really(t, f, absorptance, at)), By: job.Contact,
			})
		}
		out = append(out, p)
	}
	return out
}

// really is the panel's temperature at a moment, by the model of the boat as she is.
func really(t require.TestingT, f *forecast.Forecast, absorptance float64, at time.Time) float64 {
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].Finish.Absorptance = absorptance
	j.By = job.DateOf(at.In(eastern))
	r := evaluate(t, f, j, at)
	return r.Zones[0].Hours[0].Surface.V // the mean over the hour of the reading
}

func learnFrom(t require.TestingT, past []window.PastReadings) []window.LearnedZone {
	return window.LearnZones(window.LearnInput{
		Job: smallJob(t, "polymer-sealant"), Location: eastern, Now: fairDays().End(), Past: past,
	})
}

// A side that takes in half of the sun where its table says 0.3: mornings in the sun
// and nights find it, and believe about half of it.
func TestLearnZones_FindsTheAbsorptance(t *testing.T) {
	got := learnFrom(t, visits(t, 0.5, 5, 9, 10))
	require.Len(t, got, 1)
	z := got[0]
	assert.Equal(t, [2]string{"port side", "white-gelcoat"}, [2]string{z.Zone, z.From})
	assert.Equal(t, finish(t, "white-gelcoat").Absorptance, z.Absorptance.Prior)
	assert.InDelta(t, 0.5, z.Absorptance.Fitted, 0.06, "the readings are means over an hour")
	assert.GreaterOrEqual(t, z.Absorptance.Readings, ens.EnoughReadings)
	assert.InDelta(t, 0.65, z.Absorptance.Weight, 0.1)
	assert.Greater(t, z.Absorptance.Used, 0.38)
	assert.Greater(t, z.Sky.Fitted, 0.7, "the sky is open")
}

// Nights alone leave it where it was.
func TestLearnZones_NightsSayNothingOfTheSun(t *testing.T) {
	got := learnFrom(t, visits(t, 0.5, 3, 5))
	require.Len(t, got, 1)
	assert.Equal(t, got[0].Absorptance.Prior, got[0].Absorptance.Used)
	assert.Zero(t, got[0].Absorptance.Readings)
	assert.Positive(t, got[0].Sky.Readings)
}

// What is not believed in the morning teaches nothing: infrared on a glossy deck
// under a clear sky, a panel that is wet, a slip of 20 K, another boat's zone, and a
// forecast that says nothing of the hour.
func TestLearnZones_WhatTeachesNothing(t *testing.T) {
	past := visits(t, 0.5, 5)
	for k := range past {
		past[k].Readings[0].Wet = job.Yes
	}
	assert.Empty(t, learnFrom(t, past))
	past = visits(t, 0.5, 5)
	for k := range past {
		past[k].Readings[0].SurfaceC.V -= 20
	}
	assert.Empty(t, learnFrom(t, past))
	past = visits(t, 0.5, 5)
	for k := range past {
		past[k].Readings[0].Zone = "helm"
	}
	assert.Empty(t, learnFrom(t, past))
	late := *fairDays()
	late.Start = late.End()
	past = visits(t, 0.5, 5)
	for k := range past {
		past[k].Forecast = &late
	}
	assert.Empty(t, learnFrom(t, past))
	assert.Empty(t, learnFrom(t, []window.PastReadings{{}, {Forecast: fairDays()}, {Forecast: &forecast.Forecast{}}}))

	j := smallJob(t, "polymer-sealant")
	j.Zones[0].Tilt = 0
	past = visits(t, 0.5, 5)
	for k := range past {
		past[k].Readings[0].By = job.Infrared
	}
	assert.Empty(t, window.LearnZones(window.LearnInput{Job: j, Location: eastern, Now: fairDays().End(), Past: past}), "the deck mirrors the sky")
}

// The weather of the time is the one that was measured: air that was 3 K warmer than
// forecast does not make a panel of the same absorptance another.
func TestLearnZones_AirOfTheTime(t *testing.T) {
	past := visits(t, 0.3, 9, 10)
	cold := *past[0].Forecast
	cold.Members = []forecast.Member{cold.Members[0]}
	off := forecast.NewColumn(cold.N)
	for i := range cold.N {
		v, _ := cold.Members[0].Columns[forecast.AirTemperature].At(i)
		off.Set(i, v-3)
	}
	cold.Members[0].Columns[forecast.AirTemperature] = off
	fooled, told := make([]window.PastReadings, len(past)), make([]window.PastReadings, len(past))
	for k, p := range past {
		fooled[k] = window.PastReadings{Forecast: &cold, Readings: p.Readings}
		first := p.Readings[0].At
		v, ok := ens.Instant(p.Forecast, &p.Forecast.Members[0], forecast.AirTemperature, first.Add(-15*time.Minute))
		require.True(t, ok)
		told[k] = window.PastReadings{Forecast: &cold, Readings: append([]job.Reading{{At: first.Add(-15 * time.Minute), AirC: num(v)}}, p.Readings...)}
	}
	by := func(past []window.PastReadings) float64 { return learnFrom(t, past)[0].Absorptance.Fitted }
	assert.InDelta(t, 0.3, by(told), 0.04)
	assert.Greater(t, by(fooled), by(told)+0.05)
}

// What was learned of a zone works in the answer that it is for.
func TestLearnZones_IntoTheAnswer(t *testing.T) {
	f := fairDays()
	in := inputOf(t, f, smallJob(t, "polymer-sealant"), f.Start.Add(30*time.Hour))
	plain := taughtBy(t, in, nil)
	got := taughtBy(t, in, &window.Learned{Zones: learnFrom(t, visits(t, 0.6, 5, 9, 10))})
	assert.Greater(t, hottest(got), hottest(plain)+1.5)
	assert.GreaterOrEqual(t, hoursOf(got, 0, verdict.NoGo), hoursOf(plain, 0, verdict.NoGo))
}

func hottest(r *window.Result) float64 {
	most := -99.0
	for _, h := range r.Zones[0].Hours {
		most = max(most, h.Surface.V)
	}
	return most
}
