package demo

import (
	"context"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// whole is the demo's forecast around a day.
func whole(t *testing.T, now string) *forecast.Forecast {
	f, err := Source{Clock: app.At(moment(t, now))}.Forecast(context.Background(), app.Query{})
	require.NoError(t, err)
	return f
}

// The invented columns agree with one another as real ones do: global is direct
// and diffuse, humidity follows from the dew point, gusts exceed the wind, the
// index under cloud does not exceed the clear sky's.
func TestColumnsAgree(t *testing.T) {
	f := whole(t, "2026-06-20T12:00:00-04:00")
	for k := range f.Members {
		m := &f.Members[k]
		v := func(q forecast.Quantity, i int) float64 {
			x, known := m.Columns[q].At(i)
			require.True(t, known, "%v at %d", q, i)
			return x
		}
		for i := range f.N - 1 {
			global := v(forecast.GlobalRadiation, i)
			assert.InDelta(t, global, v(forecast.DirectRadiation, i)+v(forecast.DiffuseRadiation, i), 0.11)
			assert.InDelta(t, air.Humidity(v(forecast.AirTemperature, i), v(forecast.DewPoint, i)), v(forecast.Humidity, i), 1)
			assert.GreaterOrEqual(t, v(forecast.Gust, i), v(forecast.WindSpeed, i))
			assert.LessOrEqual(t, v(forecast.UVIndex, i), v(forecast.UVIndexClearSky, i))
			assert.LessOrEqual(t, v(forecast.DewPoint, i), v(forecast.AirTemperature, i))
			middle := f.Start.Add(time.Duration(i)*time.Hour + 30*time.Minute)
			if sky.Sun(middle, place.Latitude, place.Longitude, 1013, 15).Elevation < -1 {
				assert.Zero(t, global, "by night at %v", middle)
			}
		}
	}
}

// The past is the same in all members: nobody is unsure of yesterday's rain.
func TestPastIsCertain(t *testing.T) {
	f := whole(t, "2026-09-07T06:00:00-04:00")
	for i := range 72 {
		first, _ := f.Members[0].Columns[forecast.Precipitation].At(i)
		for _, m := range f.Members {
			v, _ := m.Columns[forecast.Precipitation].At(i)
			assert.InDelta(t, first, v, 0, "hour %d", i)
		}
	}
	spread := 0
	for _, m := range f.Members {
		a, _ := m.Columns[forecast.AirTemperature].At(9 * 24)
		b, _ := f.Members[0].Columns[forecast.AirTemperature].At(9 * 24)
		if a != b {
			spread++
		}
	}
	assert.Equal(t, members-1, spread, "and all of them of next week's warmth")
}

// Days of 23 and 25 hours have as many hours as they have.
func TestClockChanges(t *testing.T) {
	for _, now := range []string{"2026-03-08T12:00:00-04:00", "2026-11-01T12:00:00-05:00"} {
		f := whole(t, now)
		assert.Equal(t, time.Hour, f.Step)
		assert.Equal(t, 13*24, f.N)
		i, ok := f.Index(moment(t, now))
		require.True(t, ok)
		assert.Equal(t, moment(t, now).UTC(), f.Start.Add(time.Duration(i)*f.Step))
	}
}

// The weather of an hour is told by its code as well.
func TestCode(t *testing.T) {
	for _, c := range []struct {
		h    hour
		want float64
	}{{hour{cloud: 10}, 0}, {hour{cloud: 20}, 2}, {hour{cloud: 60}, 3}, {hour{cloud: 10, rain: 0.1}, 61}} {
		assert.InDelta(t, c.want, code(c.h), 0, "%+v", c.h)
	}
}
