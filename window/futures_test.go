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
