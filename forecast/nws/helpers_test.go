package nws

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/replies", name))
	require.NoError(t, err)
	return data
}

// recording reads a real reply that is kept outside the repository.
func recording(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../../shared/recordings/nws", name))
	if os.IsNotExist(err) {
		t.Skip("the recordings are not beside the repository: ../shared/recordings")
	}
	require.NoError(t, err)
	return data
}

func parse(t testing.TB, data []byte, opt Options) *forecast.Forecast {
	t.Helper()
	f, err := ParseGrid(data, opt)
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
	require.Len(t, f.Members, 1)
	require.NotEmpty(t, f.Attribution)
	require.NotEmpty(t, f.Licence)
	for q, c := range f.Members[0].Columns {
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

// values gives a column with nil where a value is absent.
func values(f *forecast.Forecast, q forecast.Quantity) []any {
	c := f.Members[0].Columns[q]
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

func utc(text string) time.Time {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		panic(err)
	}
	return t
}

// object is a part of a reply under construction.
type object = map[string]any

// changed is the project's own grid after a change.
func changed(t testing.TB, change func(top, properties object)) []byte {
	t.Helper()
	var top object
	require.NoError(t, json.Unmarshal(file(t, "nws_grid.json"), &top))
	change(top, top["properties"].(object))
	data, err := json.Marshal(top)
	require.NoError(t, err)
	return data
}

// layerOf makes a layer from pairs of interval and value.
func layerOf(uom any, pairs ...any) object {
	out := object{"values": []any{}}
	if uom != nil {
		out["uom"] = uom
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		out["values"] = append(out["values"].([]any), object{"validTime": pairs[i], "value": pairs[i+1]})
	}
	return out
}

// refusal parses a bad reply and gives the error.
func refusal(t testing.TB, data []byte) *forecast.ReadError {
	t.Helper()
	f, err := ParseGrid(data, Options{})
	require.Nil(t, f, "nothing of a refused reply may be used")
	var bad *forecast.ReadError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, "NWS", bad.Service)
	require.NotEmpty(t, bad.Fix)
	return bad
}
