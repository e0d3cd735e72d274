package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
)

// Zones are worked out in memory that others have left. Nothing of those is left in
// it: each zone's answer is the one that it gets alone, with gaps in the forecast, parts
// with another finish and water that drips from above.
func TestZonesLeaveNothingBehind(t *testing.T) {
	cat, err := products.Catalogue()
	require.NoError(t, err)
	f, j := ensemble(4, 5), bigJob()
	for k := range f.Members {
		for i := range f.N {
			f.Members[k].Columns[forecast.AirTemperature].Known[i] = (i+k)%41 > 2
			f.Members[k].Columns[forecast.Precipitation].Known[i] = (i+2*k)%29 > 1
		}
	}
	dark, ok := boat.FinishByName("black-gelcoat")
	require.True(t, ok)
	j.Zones, j.Steps = j.Zones[:6], j.Steps[:5]
	for s := range j.Steps {
		j.Steps[s].On = []int{0, 1, 2, 3, 4, 5}
	}
	j.Zones[2].Parts = []boat.Part{{Finish: dark}}
	j.Zones[4].DrainsTo = []string{"b"}
	evaluate := func(workers int) *window.Result {
		r, err := window.Evaluate(window.Input{
			Forecast: f, Job: j, Classes: cat, Location: time.UTC, Now: f.Start.Add(6 * time.Hour), Workers: workers,
		})
		require.NoError(t, err)
		for i := range r.Rows {
			for k := range r.Rows[i].Windows {
				r.Rows[i].Windows[k].Rank = 0 // among all zones
			}
		}
		return r
	}
	one, two := evaluate(1), evaluate(2)
	require.Equal(t, one.Rows, two.Rows)
	require.Equal(t, one.Zones, two.Zones)
	zones := j.Zones
	for s := range j.Steps {
		j.Steps[s].On = []int{0}
	}
	for z, only := range zones {
		if z == 1 { // it is dripped on, and needs what lies above it
			continue
		}
		only.DrainsTo = nil
		j.Zones = []boat.Zone{only}
		alone := evaluate(1)
		require.Equal(t, one.Zones[z], alone.Zones[0])
		var rows []window.Row
		for _, r := range one.Rows {
			if r.Zone == z {
				r.Zone = 0
				rows = append(rows, r)
			}
		}
		require.Equal(t, rows, alone.Rows)
	}
}
