package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/verdict"
)

// explained asks why at a moment.
func explained(t *testing.T, f *forecast.Forecast, class string, now, at time.Time) *window.Explanation {
	x, err := window.Explain(window.Input{
		Forecast: f, Job: smallJob(t, "polymer-sealant"), Classes: catalogue(t), Location: eastern, Now: now,
	}, 0, class, at)
	require.NoError(t, err)
	return x
}

// Every slot is explained as it was judged, for one member and for several.
func TestExplainAgreesWithEvaluate(t *testing.T) {
	for _, f := range []*forecast.Forecast{calm(3), ensemble(3, 5)} {
		now := f.Start.Add(6 * time.Hour)
		r := evaluate(t, f, smallJob(t, "polymer-sealant"), now)
		for at := now; at.Before(f.End()); at = at.Add(70 * time.Minute) {
			state, limit := stateAt(r, 0, at)
			x := explained(t, f, "polymer-sealant", now, at)
			assert.Equal(t, state, x.State, "%v", at)
			if !state.Workable() { // a refusal has one limit, a window the worst of its slots
				assert.Equal(t, limit, x.Binding.Limit, "%v", at)
			}
		}
	}
}

func TestExplainOtherProduct(t *testing.T) {
	f := calm(3)
	now := f.Start.Add(6 * time.Hour)
	at := f.Start.Add(10*time.Hour + 5*time.Minute)
	x := explained(t, f, "carnauba-wax", now, at)
	assert.Equal(t, "carnauba-wax", x.Class.ID)
	assert.True(t, f.Start.Add(10*time.Hour).Equal(x.At))
	assert.NotEmpty(t, x.Limits)
	wash := explained(t, f, "soap-wash", now, at)
	names := map[verdict.Limit]bool{}
	for _, h := range wash.Limits {
		names[h.Limit] = true
	}
	assert.True(t, names[verdict.Section], "washing asks how large a section may be")
}

// What a class is for is one and the same to why and to season: not its finish, unless the
// job names the class there, and then only where nothing forbids it.
func TestExplainIsForWhatASeasonIs(t *testing.T) {
	f := calm(3)
	now := f.Start.Add(6 * time.Hour)
	for _, c := range []struct {
		class, finish string
		named, suits  bool
	}{
		{"compound-rotary", "white-gelcoat", false, true}, {"compound-rotary", "stainless", false, false},
		{"compound-rotary", "stainless", true, true}, {"compound-rotary", "navy-paint", true, false},
		{"compound-rotary", "teak", true, false}, {"metal-polish", "stainless", false, true},
		{"metal-polish", "white-gelcoat", false, false}, {"varnish", "teak", false, false}, {"varnish", "teak", true, true},
	} {
		j := smallJob(t, "soap-wash")
		if c.named {
			j = smallJob(t, c.class)
		}
		j.Zones[0].Finish = finish(t, c.finish)
		in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now}
		x, err := window.Explain(in, 0, c.class, f.Start.Add(10*time.Hour))
		require.NoError(t, err)
		assert.Equal(t, !c.suits, x.Binding.Limit == verdict.Finish, "%+v", c)
		assert.Equal(t, !c.suits, x.Limits[0].Limit == verdict.Finish, "%+v", c)
	}
}

func TestExplainOutside(t *testing.T) {
	f := calm(2)
	now := f.Start.Add(6 * time.Hour)
	in := window.Input{Forecast: f, Job: smallJob(t, "polymer-sealant"), Classes: catalogue(t), Location: eastern, Now: now}
	for _, at := range []time.Time{now.Add(-time.Hour), f.End(), f.End().Add(1000 * time.Hour), {}} {
		_, err := window.Explain(in, 0, "polymer-sealant", at)
		assert.ErrorIs(t, err, window.ErrNoSlot, "%v", at)
	}
	in.Forecast = nil
	_, err := window.Explain(in, 0, "polymer-sealant", now)
	assert.ErrorIs(t, err, window.ErrNoForecast)
}

// What is too old to be trusted is unknown from one moment until another, and
// before and after as if it were not.
func TestUnknownUntil(t *testing.T) {
	f := calm(4)
	now := f.Start.Add(30 * time.Hour)
	midnight := f.Start.Add(48 * time.Hour)
	j := smallJob(t, "polymer-sealant")
	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: now}
	whole, err := window.Evaluate(in)
	require.NoError(t, err)
	in.UnknownFrom, in.UnknownUntil = now, midnight
	half, err := window.Evaluate(in)
	require.NoError(t, err)
	for at := now; at.Before(f.End()); at = at.Add(10 * time.Minute) {
		was, _ := stateAt(whole, 0, at)
		is, limit := stateAt(half, 0, at)
		switch {
		case at.Before(midnight):
			assert.False(t, is.Workable(), "%v", at)
		case at.After(midnight.Add(10 * time.Hour)): // surface settled, dry-off known again
			assert.Equal(t, was, is, "%v %v", at, limit)
		}
	}
}
