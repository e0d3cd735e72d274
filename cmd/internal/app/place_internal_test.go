package app

import (
	"testing"
	"time"

	"dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/surface/fit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What was learned comes back from the book as it was used: the same sizes and the
// same words, whatever it was.
func TestLearnedSurvivesTheBook(t *testing.T) {
	now := time.Date(2026, 9, 11, 10, 0, 0, 0, time.UTC)
	rapid.Check(t, func(t *rapid.T) {
		bias := func() ensemble.Bias {
			return ensemble.Bias{
				Readings: rapid.IntRange(0, 9).Draw(t, "readings"), Stations: rapid.IntRange(0, 9).Draw(t, "stations"),
				From: now.Add(-time.Hour), To: now, Mean: rapid.Float64Range(-9, 9).Draw(t, "mean"), Weight: rapid.Float64Range(0, 1).Draw(t, "weight"),
			}
		}
		in := &window.Learned{}
		for v := range in.Weather.Biases {
			for r := range in.Weather.Biases[v] {
				in.Weather.Biases[v][r] = bias()
			}
		}
		for v := range in.Weather.Spreads {
			in.Weather.Spreads[v] = ensemble.Spread{
				Cases: rapid.IntRange(0, 40).Draw(t, "cases"), Readings: rapid.IntRange(0, 9).Draw(t, "at the place"), From: now.Add(-time.Hour), To: now,
				Said: 1, Found: rapid.Float64Range(0, 3).Draw(t, "found"), Floor: rapid.Float64Range(0, 3).Draw(t, "floor"), Stretch: 0.7,
			}
		}
		z := window.LearnedZone{Zone: "port side", From: "white-gelcoat", Sky: fit.Value{Prior: 1, Fitted: 1, Used: 1}}
		z.Absorptance = fit.Value{Prior: 0.3, Fitted: 0.5, Used: rapid.Float64Range(0, 1).Draw(t, "used"), Weight: 0.5, Readings: 7}
		z.Surface[ensemble.ClearDay] = bias()
		in.Zones = []window.LearnedZone{z, {Zone: "nothing of it is used"}}
		text, err := encodeLearned(in)
		require.NoError(t, err)
		out, err := decodeLearned(text)
		require.NoError(t, err)
		for v := range in.Weather.Biases {
			for r := range in.Weather.Biases[v] {
				a, b := in.Weather.Biases[v][r], out.Weather.Biases[v][r]
				require.Equal(t, a.Size(ensemble.Variable(v)), b.Size(ensemble.Variable(v)))
				if a.Size(ensemble.Variable(v)) != 0 {
					require.Equal(t, a, b)
				}
			}
		}
		for v, a := range in.Weather.Spreads {
			if a.Factor() == 1 {
				a = ensemble.Spread{}
			}
			require.Equal(t, a, out.Weather.Spreads[v])
		}
		require.Equal(t, (&taught{learned: in}).lines(), (&taught{learned: out}).lines())
		again, err := encodeLearned(out)
		require.NoError(t, err)
		require.Equal(t, text, again)
	})
}

func TestDecodeLearned(t *testing.T) {
	none, err := decodeLearned("")
	require.NoError(t, err)
	assert.Nil(t, none)
	text, err := encodeLearned(nil)
	require.NoError(t, err)
	assert.Empty(t, text)
	for _, bad := range []string{"{", `{"biases":[{"of":3}]}`, `{"biases":[{"regime":4}]}`, `{"spreads":[{"of":2}]}`, `{"zones":[{"Surface":[{"regime":9}]}]}`} {
		_, err := decodeLearned(bad)
		assert.Error(t, err, bad)
	}
}

// FuzzDecodeLearned: whatever stands in a book, it is read or refused.
func FuzzDecodeLearned(f *testing.F) {
	f.Add(`{"biases":[{"of":0,"regime":1,"Readings":7,"Mean":1.5,"Weight":0.5}],"zones":[{"Zone":"port side","Absorptance":{"Prior":0.3,"Used":0.4}}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		l, err := decodeLearned(text)
		if err == nil && l != nil {
			_ = (&taught{learned: l}).lines()
			_ = l.Supported().Empty()
		}
	})
}

// A dew point comes of air and humidity together, the wind from the berth's share.
func TestObserved(t *testing.T) {
	num := func(v float64) job.Measured { return job.Measured{V: v, Known: true} }
	o := observed(job.Reading{AirC: num(20), HumidityPct: num(50), WindMS: num(2)}, 0.5)
	assert.InDelta(t, 9.261, o.DewPointC, 0.001, "Magnus, 20 °C and 50 %")
	assert.Equal(t, 4.0, o.WindMS)
	assert.True(t, o.HasAir && o.HasDewPoint && o.HasWind && !o.Station)
	assert.False(t, observed(job.Reading{HumidityPct: num(50)}, 1).HasDewPoint)
}
