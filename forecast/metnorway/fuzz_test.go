package metnorway

import (
	"encoding/json"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

// cassette takes the reply out of the recorded exchange.
func cassette(t testing.TB) []byte {
	t.Helper()
	var in struct {
		Interactions []struct {
			Response struct {
				Body struct {
					String string `json:"string"`
				} `json:"body"`
			} `json:"response"`
		} `json:"http_interactions"`
	}
	require.NoError(t, json.Unmarshal(recording(t, "australia_compact_http_cassette.json"), &in))
	require.NotEmpty(t, in.Interactions)
	return []byte(in.Interactions[0].Response.Body.String)
}

// Whatever the bytes, the reader gives either a sound forecast or a ReadError.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"metnorway_complete.json", "metnorway_compact.json", "nws_grid.json", "openmeteo_hourly.json"} {
		f.Add(file(f, name))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := Parse(data, Options{Near: &forecast.Place{Latitude: 43.07, Longitude: -70.74}})
		if err != nil {
			var bad *forecast.ReadError
			if !errors.As(err, &bad) || got != nil || bad.Reason == "" {
				t.Fatalf("%v, %v", got, err)
			}
			return
		}
		sane(t, got)
	})
}
