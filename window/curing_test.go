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

// A fresh film is watched until it has stood its usual hours: rain before the hard ones
// spoils it, rain between them may mark it, later rain is none of its business.
func TestCuring(t *testing.T) {
	c, ok := catalogue(t).Class("polymer-sealant")
	require.True(t, ok)
	require.InDelta(t, 4, c.RainFree.Default, 0)
	require.InDelta(t, 2, c.RainFree.Hard, 0)
	curing := func(sealed, now float64, rain [2]int, change func(z *boat.Zone)) []window.Film {
		f := calm(8)
		hour := func(h float64) time.Time { return f.Start.Add(time.Duration(h * float64(time.Hour))) }
		if rain[1] > 0 {
			f = rainOn(f, rain[0], rain[1])
		}
		j := doneAt(t, f, map[string]float64{"seal": sealed})
		if change != nil {
			change(&j.Zones[0])
		}
		in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: hour(now)}
		r, err := window.Evaluate(in)
		require.NoError(t, err)
		return window.Curing(r, j, catalogue(t), hour(now))
	}
	start := calm(8).Start
	hour := func(h float64) time.Time { return start.Add(time.Duration(h * float64(time.Hour))) }
	film := window.Film{Step: 3, On: hour(80.5), Hard: hour(82.5), Until: hour(84.5)}

	assert.Equal(t, []window.Film{film}, curing(80.5, 81, [2]int{}, nil))
	assert.Equal(t, []window.Film{film}, curing(80.5, 81, [2]int{85, 86}, nil), "rain when it has stood its hours")
	wet := film
	wet.WetAt, wet.Fate = hour(82), window.Redo
	assert.Equal(t, []window.Film{wet}, curing(80.5, 81, [2]int{82, 83}, nil))
	wet.WetAt, wet.Fate = hour(83), window.Inspect
	assert.Equal(t, []window.Film{wet}, curing(80.5, 81, [2]int{83, 84}, nil))
	wet.WetAt, wet.Fate = hour(81.25), window.Redo
	assert.Equal(t, []window.Film{wet}, curing(80.5, 81.25, [2]int{81, 82}, nil), "it rains already")
	assert.Equal(t, []window.Film{film}, curing(80.5, 81, [2]int{82, 83}, func(z *boat.Zone) { z.Shelter = boat.Hardtop }), "under a roof")
	assert.Empty(t, curing(80.5, 84.5, [2]int{}, nil), "it has stood")
	assert.Empty(t, curing(82, 81, [2]int{}, nil), "not yet put on")
}

// Varnish counts its hours as at 20 °C: in the cold they last longer than by the clock.
func TestCuring_EquivalentHours(t *testing.T) {
	c, _ := catalogue(t).Class("varnish")
	require.True(t, c.Equivalent)
	until := func(warmer float64) time.Time {
		f := calm(8)
		for i := range f.N {
			for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.DewPoint} {
				if v, ok := f.Members[0].Columns[q].At(i); ok {
					f.Members[0].Columns[q].Set(i, v+warmer)
				}
			}
		}
		now := f.Start.Add(82 * time.Hour)
		j := smallJob(t, "varnish")
		j.Zones[0].Done = map[string]boat.Done{"seal": {At: now, Share: 1}}
		list := window.Curing(evaluate(t, f, j, now), j, catalogue(t), now)
		require.Len(t, list, 1)
		require.False(t, list[0].Until.IsZero())
		assert.True(t, list[0].Hard.Before(list[0].Until))
		return list[0].Until
	}
	assert.True(t, until(-6).After(until(0)))
}
