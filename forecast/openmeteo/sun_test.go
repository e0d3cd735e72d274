package openmeteo

import (
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// meanSun is the clear-sky sunlight at the quay over so many hours before a stamp, by the
// minute.
func meanSun(stamp time.Time, hours int, share float64) float64 {
	sum := 0.0
	for m := range 60 * hours {
		at := stamp.Add(-time.Duration(m)*time.Minute - 30*time.Second)
		sum += share * sky.Haurwitz(max(0, sky.Sun(at, quay.Latitude, quay.Longitude, 0, 0).CosZenith()))
	}
	return sum / float64(60*hours)
}

// coarse is a reply of a day of means, each over so many hours before its stamp.
func coarse(t testing.TB, hours int, means func(stamp time.Time) any) *forecast.Forecast {
	start, n := utc("2026-09-10T00:00:00Z"), 24/hours+2
	radiation, flat := make([]any, n), make([]any, n)
	for i := range n {
		radiation[i], flat[i] = means(start.Add(time.Duration(i*hours)*time.Hour)), 15
	}
	return parse(t, simple(func(_, units, hourly object) {
		hourly["time"] = hoursFrom("2026-09-10T00:00", n, time.Duration(hours)*time.Hour)
		for _, name := range []string{"temperature_2m", "relative_humidity_2m", "wind_speed_10m"} {
			hourly[name] = flat
		}
		hourly["shortwave_radiation"], units["shortwave_radiation"] = radiation, "W/m²"
	}), Options{})
}

// The hours of a clear day come back from its three- and six-hour means as they were: no
// light before dawn, and no saw of noon hours.
func TestCoarseSunlight_OfAClearDay(t *testing.T) {
	for _, hours := range []int{3, 6} {
		for _, share := range []float64{1, 0.6} {
			f := coarse(t, hours, func(stamp time.Time) any { return meanSun(stamp, hours, share) })
			c := f.Members[0].Columns[forecast.GlobalRadiation]
			dark, bright := 0, 0
			for k := range f.N {
				v, known := c.At(k)
				if !known {
					continue
				}
				want := meanSun(f.Start.Add(time.Duration(k+1)*time.Hour), 1, share)
				assert.InDelta(t, want, v, 4, "%d h, hour %d", hours, k)
				if want == 0 {
					dark++
					assert.InDelta(t, 0, v, 0.1, "hour %d", k)
				} else {
					bright++
				}
			}
			assert.Greater(t, dark, 8)
			assert.Greater(t, bright, 10)
		}
	}
}

// Whatever the means are, each span keeps its own, and nothing is below zero.
func TestCoarseSunlight_KeepsItsSums(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		hours := rapid.SampledFrom([]int{2, 3, 6}).Draw(r, "hours")
		var said []float64
		f := coarse(t, hours, func(time.Time) any {
			v := rapid.Float64Range(0, 900).Draw(r, "mean")
			said = append(said, v)
			return v
		})
		c := f.Members[0].Columns[forecast.GlobalRadiation]
		for i, v := range said[1:] { // the first is of hours before the reply
			sum := 0.0
			for k := range hours {
				x, known := c.At(i*hours + k)
				require.True(r, known)
				require.GreaterOrEqual(r, x, 0.0)
				sum += x
			}
			require.InDelta(r, v, sum/float64(hours), 1e-6)
		}
	})
}

// An hourly reply is taken as it is.
func TestCoarseSunlight_LeavesHoursAlone(t *testing.T) {
	f := coarse(t, 1, func(stamp time.Time) any { return float64(stamp.Hour()) })
	v, known := f.Members[0].Columns[forecast.GlobalRadiation].At(14)
	require.True(t, known)
	assert.InDelta(t, 15, v, 0)
}
