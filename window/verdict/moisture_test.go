package verdict

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// teak runs the teak sealer (dry-off default 36 h, hard 18 h: common practice)
// over days of fair weather, after a rain that ended at the start of the data.
func teak(t *testing.T, days int, wood WoodReading, change func(*Series)) []Result {
	s := day(days * 24 * hours)
	if change != nil {
		change(s)
	}
	tm := terms(s.Len())
	tm.Soaks, tm.RainedAt, tm.Wood = true, -1, wood
	c := class(t, "teak-sealer")
	require.Equal(t, 36.0, c.DryOff.Default)
	require.Equal(t, 18.0, c.DryOff.Hard)
	return run(c, tm, s)
}

func readAt(hour int, pct float32) WoodReading {
	return WoodReading{Read: true, Slot: hour * hours, Pct: pct}
}

// Without a meter the clock decides: no-go for 18 h, marginal for 36.
func TestMoisture_ClockWithoutReading(t *testing.T) {
	got := teak(t, 5, WoodReading{}, nil)
	assert.Equal(t, NoGo, got[12*hours].State)
	assert.Equal(t, Marginal, got[20*hours].State)
	assert.Equal(t, DryOff, got[20*hours].Limit)
	assert.LessOrEqual(t, got[40*hours].State, Go)
}

// Dry wood, at 16 % and less, is dry whatever the clock says.
func TestMoisture_DryWood(t *testing.T) {
	for _, pct := range []float32{0, 10, 16} {
		got := teak(t, 5, readAt(6, pct), nil)
		assert.Equal(t, NoGo, got[6*hours-1].State, "before the reading the clock counts")
		for i := 6 * hours; i < 40*hours; i++ {
			require.LessOrEqual(t, got[i].State, Go, "%v %%, slot %d: %v", pct, i, got[i].Limit)
		}
	}
}

// Damp wood up to 18 % is marginal by its moisture until the class's default
// hours have run from the reading, though the clock would have been satisfied.
func TestMoisture_DampWood(t *testing.T) {
	for _, pct := range []float32{16.5, 18} {
		got := teak(t, 5, readAt(30, pct), nil)
		for _, h := range []int{30, 40, 65} {
			r := got[h*hours]
			assert.Equal(t, [2]any{Marginal, Moisture}, [2]any{r.State, r.Limit}, "%v %%, hour %d", pct, h)
			assert.Equal(t, pct, r.Value)
			assert.Equal(t, float32(16), r.Bound)
		}
		assert.LessOrEqual(t, got[66*hours].State, Go)
	}
}

// Beyond 18 % it is no-go for the hard hours, and the clock runs anew from the
// reading, which is when the wood was known to be damp.
func TestMoisture_WetWood(t *testing.T) {
	got := teak(t, 5, readAt(40, 19), nil)
	for _, h := range []int{40, 50, 57} {
		r := got[h*hours]
		assert.Equal(t, [2]any{NoGo, Moisture}, [2]any{r.State, r.Limit}, "hour %d", h)
		assert.Equal(t, [2]float32{19, 18}, [2]float32{r.Value, r.Bound})
	}
	r := got[60*hours]
	assert.Equal(t, [2]any{Marginal, DryOff}, [2]any{r.State, r.Limit})
	assert.InDelta(t, 20, r.Value, 0.01)
	assert.LessOrEqual(t, got[77*hours].State, Go)
}

// Rain after the reading, or a gap in what is known of it, takes its hold away.
func TestMoisture_UntilWaterComes(t *testing.T) {
	rain := func(s *Series) { s.Wets[20*hours] = true }
	got := teak(t, 5, readAt(6, 14), rain)
	assert.Equal(t, RainFree, got[20*hours-1].Limit, "the clock before the rain")
	assert.Equal(t, [2]any{NoGo, DryOff}, [2]any{got[21*hours].State, got[21*hours].Limit})
	damp := teak(t, 5, readAt(6, 17), rain)
	assert.Equal(t, [2]any{NoGo, DryOff}, [2]any{damp[21*hours].State, damp[21*hours].Limit})

	gap := teak(t, 5, readAt(6, 14), func(s *Series) { s.KnownRain[20*hours], s.KnownSurface[20*hours] = false, false })
	assert.LessOrEqual(t, teak(t, 5, readAt(6, 14), nil)[21*hours].State, Go)
	assert.Equal(t, Unknown, gap[21*hours].State)
}

// Dew before the reading is outranked, dew after it is not.
func TestMoisture_Dew(t *testing.T) {
	require.True(t, class(t, "teak-sealer").DewDryOff.Given)
	dewAt := func(h int) func(*Series) { return func(s *Series) { s.Film[h*hours] = 40 } }
	before := teak(t, 5, readAt(41, 14), dewAt(40))
	assert.LessOrEqual(t, before[41*hours].State, Go)
	traces := teak(t, 5, readAt(41, 14), func(s *Series) { s.Film[42*hours] = 1.5 })
	assert.Equal(t, DryOff, traces[43*hours].Limit, "more than 1 g/m² is dew")
	after := teak(t, 5, readAt(41, 14), dewAt(42))
	assert.Equal(t, [2]any{NoGo, DryOff}, [2]any{after[43*hours].State, after[43*hours].Limit})
}

// A class without a drying time does not ask a meter.
func TestMoisture_OnlyWhereDryWoodIsAsked(t *testing.T) {
	s := day(24 * hours)
	tm := terms(s.Len())
	tm.Wood = readAt(0, 40)
	for _, r := range run(class(t, "teak-cleaner"), tm, s) {
		require.NotEqual(t, Moisture, r.Limit)
	}
}

// The limit explains itself with its value and bounds, and is never the nearest of
// an ideal slot where no reading is in force.
func TestMoisture_Explained(t *testing.T) {
	s := day(5 * 24 * hours)
	tm := terms(s.Len())
	tm.Soaks, tm.Wood = true, readAt(30, 17)
	j, x := NewJudge(class(t, "teak-sealer"), tm.Terms), tm.sees(s)
	find := func(i int) (h Held) {
		_, all := j.Explain(x, i)
		for _, one := range all {
			if one.Limit == Moisture {
				h = one
			}
		}
		return h
	}
	h := find(31 * hours)
	assert.Equal(t, Held{Limit: Moisture, State: Marginal, Value: 17, Known: true, Ideal: 16, Default: 16, Hard: 18, HasHard: true}, h)
	assert.Equal(t, Ideal, find(10*hours).State)
	for i, r := range run(class(t, "teak-sealer"), tm, s) {
		if i < 30*hours || i > 70*hours {
			require.NotEqual(t, Moisture, r.Limit, "slot %d", i)
		}
	}
	assert.Equal(t, "moisture", Moisture.String())
	assert.Equal(t, "%", Moisture.Unit())
	assert.False(t, Moisture.YesNo())
	assert.True(t, Section < Moisture && Moisture < Block)
}
