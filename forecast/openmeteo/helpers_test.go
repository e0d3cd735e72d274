package openmeteo

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

// quay is the invented place that the project's own replies are for.
var quay = forecast.Place{Latitude: 43.07, Longitude: -70.74}

func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/replies", name))
	require.NoError(t, err)
	return data
}

// recording reads a real reply that is kept outside the repository.
func recording(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../../shared/recordings/openmeteo", name))
	if os.IsNotExist(err) {
		t.Skip("the recordings are not beside the repository: ../shared/recordings")
	}
	require.NoError(t, err)
	return data
}

func parse(t testing.TB, data []byte, opt Options) *forecast.Forecast {
	t.Helper()
	f, err := Parse(data, opt)
	require.NoError(t, err)
	sane(t, f)
	return f
}

// sane checks what must hold of every forecast that a reader makes.
func sane(t testing.TB, f *forecast.Forecast) {
	t.Helper()
	require.Equal(t, time.Hour, f.Step)
	require.Equal(t, time.UTC, f.Start.Location())
	require.True(t, f.Start.Equal(f.Start.Truncate(time.Hour)), "start %v is no whole hour", f.Start)
	require.Positive(t, f.N)
	require.NotEmpty(t, f.Members)
	require.NotEmpty(t, f.Attribution)
	require.NotEmpty(t, f.Licence)
	for _, m := range f.Members {
		for q, c := range m.Columns {
			require.Len(t, c.Values, len(c.Known))
			if c.Known == nil {
				continue
			}
			require.Len(t, c.Known, f.N, "%v", forecast.Quantity(q))
			for i := range c.Known {
				if v, known := c.At(i); known {
					require.False(t, v != v || v < -1e7 || v > 1e7, "%v is %v", forecast.Quantity(q), v)
				}
			}
		}
	}
}

// values gives a column with nil where a value is absent.
func values(f *forecast.Forecast, member int, q forecast.Quantity) []any {
	c := f.Members[member].Columns[q]
	out := make([]any, len(c.Known))
	for i := range out {
		if v, known := c.At(i); known {
			out[i] = v
		}
	}
	return out
}

// near compares columns to a tenth of a thousandth, absence exactly.
func near(t testing.TB, want, got []any) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		if want[i] == nil || got[i] == nil {
			require.Equal(t, want[i], got[i], "value %d", i)
			continue
		}
		require.InDelta(t, want[i], got[i], 1e-4, "value %d", i)
	}
}

func known(f *forecast.Forecast, q forecast.Quantity) int {
	n := 0
	for _, v := range values(f, 0, q) {
		if v != nil {
			n++
		}
	}
	return n
}

// object is a reply under construction.
type object map[string]any

// simple is a small good reply; change may spoil it.
func simple(change func(top, units, hourly object)) []byte {
	units := object{"time": "iso8601", "temperature_2m": "°C", "relative_humidity_2m": "%", "wind_speed_10m": "m/s"}
	hourly := object{
		"time":           []any{"2026-09-10T00:00", "2026-09-10T01:00", "2026-09-10T02:00"},
		"temperature_2m": []any{15, 14.5, 14}, "relative_humidity_2m": []any{80, 82, 84},
		"wind_speed_10m": []any{2, 2, 3},
	}
	top := object{
		"latitude": 43.07, "longitude": -70.74, "utc_offset_seconds": 0, "timezone": "GMT",
		"hourly_units": units, "hourly": hourly,
	}
	if change != nil {
		change(top, units, hourly)
	}
	data, err := json.Marshal(top)
	if err != nil {
		panic(err) // a test's own mistake
	}
	return data
}

func utc(text string) time.Time {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		panic(err)
	}
	return t
}
