package window_test

import (
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Futures that bring rain are counted where something is done that it may spoil: members
// of an ensemble, or the dressed futures of a single forecast and not that itself.
func TestRainIn(t *testing.T) {
	judged := func(f *forecast.Forecast, dressed []forecast.Member, done bool) *window.Result {
		j := smallJob(t, "polymer-sealant")
		if done {
			j.Zones[0].Done = map[string]boat.Done{"seal": {At: f.Start.Add(30 * time.Hour), Share: 1}}
		}
		in := window.Input{Forecast: f, Dressed: dressed, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start.Add(31 * time.Hour)}
		r, err := window.Evaluate(in)
		require.NoError(t, err)
		return r
	}
	open := func(time.Time) bool { return true }
	f := ensemble(4, 10)
	for k := range f.Members {
		for i := range f.N {
			f.Members[k].Columns[forecast.Precipitation].Set(i, 0)
		}
		if k < 3 {
			f.Members[k].Columns[forecast.Precipitation].Set(34+k, 0.4)
		}
	}
	at := func(h int) time.Time { return f.Start.Add(time.Duration(h) * time.Hour) }
	count := func(r *window.Result, from, to int) [2]int {
		in, of := r.RainIn(open, at(from), at(to))
		return [2]int{in, of}
	}
	r := judged(f, nil, true)
	assert.Equal(t, [2]int{3, 10}, count(r, 31, 40))
	assert.Equal(t, [2]int{1, 10}, count(r, 31, 35), "half-open")
	assert.Equal(t, [2]int{2, 10}, count(r, 35, 40))
	assert.Equal(t, [2]int{3, 10}, count(r, 31, 4000), "as far as it reaches")
	assert.Equal(t, [2]int{0, 0}, count(judged(f, nil, false), 31, 40), "nothing is done")
	in, of := r.RainIn(func(x time.Time) bool { return x.Before(at(35)) }, at(31), at(40))
	assert.Equal(t, [2]int{1, 10}, [2]int{in, of}, "a roof from then on")

	single := *f
	single.Members = f.Members[:1]
	assert.Equal(t, [2]int{2, 9}, count(judged(&single, f.Members[1:], true), 31, 40), "the forecast itself is not one of its futures")
	assert.Equal(t, [2]int{0, 0}, count(judged(&single, nil, true), 31, 40), "not dressed")
}

// Futures that bring dew are counted zone by zone, by the spread at which a dew clock
// stops, where something is done that dew may spoil.
func TestDewIn(t *testing.T) {
	f := ensemble(4, 10)
	for k := range f.Members {
		for i := range f.N {
			f.Members[k].Columns[forecast.Precipitation].Set(i, 0)
			if at := f.Start.Add(time.Duration(i) * time.Hour).In(eastern); k < 3 && at.Day() == f.Start.In(eastern).Day()+2 && at.Hour() >= 20 {
				air, _ := f.Members[k].Columns[forecast.AirTemperature].At(i)
				f.Members[k].Columns[forecast.DewPoint].Set(i, air)
			}
		}
	}
	day := func(h int) time.Time {
		s := f.Start.In(eastern)
		return time.Date(s.Year(), s.Month(), s.Day()+2, h, 0, 0, 0, eastern)
	}
	j := smallJob(t, "polymer-sealant")
	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: day(17)}
	judged := func() *window.Result {
		r, err := window.Evaluate(in)
		require.NoError(t, err)
		return r
	}
	n, of := judged().DewIn(0, day(17), day(24))
	assert.Equal(t, [2]int{0, 0}, [2]int{n, of}, "nothing is done")
	j.Zones[0].Done = map[string]boat.Done{"seal": {At: day(16), Share: 1}}
	r := judged()
	n, of = r.DewIn(0, day(17), day(18))
	assert.Equal(t, [2]int{0, 10}, [2]int{n, of}, "a dry afternoon")
	n, of = r.DewIn(0, day(20), day(22))
	assert.Equal(t, [2]int{3, 10}, [2]int{n, of}, "damp air")
	n, _ = r.DewIn(9, day(20), day(22))
	assert.Zero(t, n)
	assert.True(t, window.Curing(r, j, catalogue(t), day(17))[0].DewFree.After(day(20)))

	single := *f
	single.Members, in.Dressed = f.Members[:1], f.Members[1:]
	in.Forecast = &single
	n, of = judged().DewIn(0, day(20), day(22))
	assert.Equal(t, [2]int{2, 9}, [2]int{n, of}, "the forecast itself is not one of its futures")
	in.Dressed = nil
	n, of = judged().DewIn(0, day(20), day(22))
	assert.Equal(t, [2]int{0, 0}, [2]int{n, of}, "not dressed")
}
