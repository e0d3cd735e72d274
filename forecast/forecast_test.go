package forecast

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Every quantity has a name of its own, and the kind that its comment promises.
func TestQuantities(t *testing.T) {
	seen := map[string]bool{}
	for q := range Quantities {
		name := Quantity(q).String()
		assert.NotEmpty(t, name)
		assert.False(t, seen[name], name)
		seen[name] = true
		assert.LessOrEqual(t, Quantity(q).Kind(), Label)
	}
	for q, want := range map[Quantity]Kind{
		AirTemperature: Instant, DewPoint: Instant, Humidity: Instant, Pressure: Instant, WindSpeed: Instant, WindFrom: Label, Gust: Maximum,
		CloudCover: Instant, CloudLow: Instant, CloudMiddle: Instant, CloudHigh: Instant, Precipitation: Sum, PrecipitationSpan: Label,
		PrecipitationProbability: Label, ThunderProbability: Label, WeatherCode: Label, Visibility: Instant, GlobalRadiation: Mean,
		DirectRadiation: Mean, DiffuseRadiation: Mean, UVIndex: Mean, UVIndexClearSky: Mean,
	} {
		assert.Equal(t, want, q.Kind(), q)
	}
	assert.Equal(t, "UV index", UVIndex.String())
	assert.Equal(t, "precipitation probability", PrecipitationProbability.String())
}

// Of the codes that the open services give (WMO 4677, subset) these two are fog; drizzle, rain
// and thunder are not.
func TestFog(t *testing.T) {
	for code := range 100 {
		assert.Equal(t, code == 45 || code == 48, Fog(float64(code)), code)
	}
	assert.False(t, Fog(math.NaN()))
}

// Absence is a flag: no number that cannot be is ever known, and nothing is known
// outside the column.
func TestColumn(t *testing.T) {
	c := NewColumn(3)
	assert.False(t, c.Any())
	c.Set(1, 0)
	v, ok := c.At(1)
	assert.True(t, ok, "nought is a value")
	assert.Zero(t, v)
	assert.True(t, c.Any())
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		c.Set(1, bad)
		_, ok = c.At(1)
		assert.False(t, ok, "%v takes away what was known", bad)
	}
	assert.False(t, c.Any())
	for _, i := range []int{-1, 3, math.MaxInt, math.MinInt} {
		_, ok = c.At(i)
		assert.False(t, ok, i)
	}
	var none Column
	_, ok = none.At(0)
	assert.False(t, ok, "the zero column knows nothing")
	assert.False(t, none.Any())
}

// What is set is given back, what is not is not, whatever lies beneath a false.
func TestColumnLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 20).Draw(rt, "n")
		c, model := NewColumn(n), map[int]float64{}
		for range rapid.IntRange(0, 40).Draw(rt, "sets") {
			i := rapid.IntRange(0, n-1).Draw(rt, "i")
			v := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1)})).Draw(rt, "v")
			c.Set(i, v)
			if delete(model, i); !math.IsNaN(v) && !math.IsInf(v, 0) {
				model[i] = v
			}
		}
		require.Equal(rt, len(model) > 0, c.Any())
		for i := -2; i < n+2; i++ {
			v, ok := c.At(i)
			want, known := model[i]
			require.Equal(rt, known, ok)
			require.Equal(rt, want, v)
		}
	})
}

// Distances on the sphere: a degree of the equator is π·6371/180 km, pole to pole
// half the circumference; JFK to LAX 3974 km on that sphere (an airport pair used in
// many worked examples of the haversine formula; from memory, ± 0.5 %).
func TestDistance(t *testing.T) {
	at := func(lat, lon float64) Place { return Place{Latitude: lat, Longitude: lon} }
	degree := math.Pi * 6371 / 180
	assert.InDelta(t, degree, at(0, 0).DistanceKM(at(0, 1)), 1e-6)
	assert.InDelta(t, degree, at(10, 20).DistanceKM(at(11, 20)), 1e-6)
	assert.InDelta(t, degree/2, at(60, 0).DistanceKM(at(60, 1)), 0.01, "half as far at 60 degrees")
	assert.InDelta(t, 180*degree, at(90, 0).DistanceKM(at(-90, 0)), 1e-6)
	assert.InDelta(t, 180*degree, at(0, 0).DistanceKM(at(0, 180)), 1e-6, "the far side, where rounding may leave the arcsine's range")
	assert.InDelta(t, 2*degree, at(0, 179).DistanceKM(at(0, -179)), 1e-6, "over the date line")
	assert.InDelta(t, 0, at(90, 12).DistanceKM(at(90, -99)), 1e-6, "one pole whatever the longitude")
	assert.InEpsilon(t, 3974, at(40.6413, -73.7781).DistanceKM(at(33.9416, -118.4085)), 0.005)
	assert.Zero(t, at(43.07, -70.74).DistanceKM(at(43.07, -70.74)))
}

func TestDistanceLaws(t *testing.T) {
	place := rapid.Custom(func(t *rapid.T) Place {
		return Place{Latitude: rapid.Float64Range(-90, 90).Draw(t, "lat"), Longitude: rapid.Float64Range(-180, 180).Draw(t, "lon")}
	})
	rapid.Check(t, func(rt *rapid.T) {
		a, b, c := place.Draw(rt, "a"), place.Draw(rt, "b"), place.Draw(rt, "c")
		d := a.DistanceKM(b)
		require.False(rt, math.IsNaN(d))
		require.GreaterOrEqual(rt, d, 0.0)
		require.LessOrEqual(rt, d, math.Pi*6371+1e-6)
		require.InDelta(rt, d, b.DistanceKM(a), 1e-6)
		require.LessOrEqual(rt, d, a.DistanceKM(c)+c.DistanceKM(b)+1e-3, "no way round is shorter")
	})
}

// Intervals are half-open: each moment of the forecast lies in one, none outside.
func TestIndex(t *testing.T) {
	f := &Forecast{Start: time.Date(2026, 9, 7, 4, 0, 0, 0, time.UTC), Step: time.Hour, N: 3}
	assert.Equal(t, f.Start.Add(3*time.Hour), f.End())
	for after, want := range map[time.Duration]int{0: 0, 59*time.Minute + 59*time.Second: 0, time.Hour: 1, 3*time.Hour - 1: 2} {
		i, ok := f.Index(f.Start.Add(after))
		assert.True(t, ok, after)
		assert.Equal(t, want, i, after)
	}
	for _, after := range []time.Duration{-1, -time.Hour, 3 * time.Hour, 300 * time.Hour} {
		_, ok := f.Index(f.Start.Add(after))
		assert.False(t, ok, after)
	}
	east := time.FixedZone("east", 9*3600)
	i, ok := f.Index(f.Start.Add(90 * time.Minute).In(east))
	assert.True(t, ok)
	assert.Equal(t, 1, i, "a moment is a moment in any zone")
	for _, none := range []*Forecast{{}, {Start: f.Start, N: 3}, {Start: f.Start, Step: -time.Hour, N: 3}, {Start: f.Start, Step: time.Hour}} {
		_, ok := none.Index(f.Start)
		assert.False(t, ok, "%+v holds no moment", none)
	}
}

func TestIndexLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := &Forecast{
			Start: time.Unix(rapid.Int64Range(0, 4e9).Draw(rt, "start"), 0).UTC(),
			Step:  time.Duration(rapid.IntRange(1, 360).Draw(rt, "step")) * time.Minute, N: rapid.IntRange(1, 400).Draw(rt, "n"),
		}
		at := f.Start.Add(time.Duration(rapid.Int64Range(-1e6, 1e7).Draw(rt, "seconds")) * time.Second)
		i, ok := f.Index(at)
		if !ok {
			require.True(rt, at.Before(f.Start) || !at.Before(f.End()))
			return
		}
		begins := f.Start.Add(time.Duration(i) * f.Step)
		require.False(rt, at.Before(begins))
		require.True(rt, at.Before(begins.Add(f.Step)))
		require.Less(rt, i, f.N)
	})
}

// A time that is not said has no bound; the ends do not touch.
func TestAlertCovers(t *testing.T) {
	at := func(h int) time.Time { return time.Date(2026, 9, 7, h, 0, 0, 0, time.UTC) }
	never := time.Time{}
	for name, c := range map[string]struct {
		a    Alert
		want bool
	}{
		"within":             {Alert{From: at(9), Until: at(10)}, true},
		"round it":           {Alert{From: at(1), Until: at(20)}, true},
		"before":             {Alert{From: at(1), Until: at(7)}, false},
		"up to it":           {Alert{From: at(1), Until: at(8)}, false},
		"into it":            {Alert{From: at(1), Until: at(9)}, true},
		"from its end":       {Alert{From: at(12), Until: at(20)}, false},
		"from within":        {Alert{From: at(11), Until: at(20)}, true},
		"no end":             {Alert{From: at(11), Until: never}, true},
		"no end, too late":   {Alert{From: at(12), Until: never}, false},
		"no beginning":       {Alert{From: never, Until: at(9)}, true},
		"no beginning, over": {Alert{From: never, Until: at(8)}, false},
		"neither":            {Alert{}, true},
	} {
		assert.Equal(t, c.want, c.a.Covers(at(8), at(12)), name)
	}
}
