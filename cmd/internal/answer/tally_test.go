package answer

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func figures(limit string, value, bound float64, unit string) Binding {
	return Binding{Limit: limit, Value: &value, Bound: &bound, Unit: unit}
}

func TestWorse(t *testing.T) {
	for _, c := range []struct {
		limit          string
		further, other float64
		bound          float64
	}{
		{"spread_min", 1, 2, 3}, {"surface_max", 40, 33, 32}, {"rain_free", 1, 3, 4}, {"haze", 10, 20, 30},
		{"surface_max", 31, 20, 32}, // within the bound: nearer to it
		{"spread_min", 4, 9, 3},
	} {
		x, y := figures(c.limit, c.further, c.bound, "K"), figures(c.limit, c.other, c.bound, "K")
		assert.True(t, x.Further(y), "%+v", c)
		assert.False(t, y.Further(x), "%+v", c)
		assert.Equal(t, x, y.Worse(x))
		assert.Equal(t, x, x.Worse(y))
	}
	x := figures("film", 4, 1, "g/m²")
	assert.Equal(t, x, Binding{Limit: "film"}.Worse(x), "figures go before none")
	assert.Equal(t, x, x.Worse(Binding{Limit: "film"}))
	assert.Equal(t, x, x.Worse(figures("film", math.Inf(1), 1, "g/m²")))
	percent := figures("cure", 20, 30, "%")
	assert.Equal(t, percent, percent.Worse(figures("cure", 1, 30, "°C")), "two units are not compared")
}

// What takes the most time is told first, of a limit its worst, of missing data the cause
// that takes the most.
func TestTally(t *testing.T) {
	var sums Tally
	assert.Empty(t, sums.Longest())
	begins, lacks := Binding{Limit: "data", Text: "the forecast begins at ten"}, Binding{Limit: "data", Text: "the forecast lacks cloud"}
	wind := figures("wind_max", 9, 8, "m/s")
	sums.Add(wind, 3*time.Hour)
	sums.Add(begins, 2*time.Hour)
	sums.Add(lacks, time.Hour)
	sums.Add(figures("film", 2, 1, "g/m²"), 3*time.Hour)
	worst := figures("wind_max", 12, 8, "m/s")
	sums.Add(worst, time.Minute)
	got := sums.Longest()
	require.Len(t, got, 3)
	assert.Equal(t, worst, got[0].Binding)
	assert.Equal(t, 3*time.Hour+time.Minute, got[0].For)
	assert.Equal(t, "data", got[1].Binding.Limit, "as it came where the time is the same")
	assert.Equal(t, begins, got[1].Binding)
	sums.Add(lacks, 90*time.Minute)
	assert.Equal(t, lacks, sums.Longest()[0].Binding)
}
