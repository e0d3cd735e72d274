package nws

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

func TestParsePoint(t *testing.T) {
	p, err := ParsePoint(file(t, "nws_point.json"))
	require.NoError(t, err)
	assert.Equal(t, Point{
		Place:  forecast.Place{Latitude: 43.07, Longitude: -70.74},
		GridID: "OTQ", GridX: 12, GridY: 34,
		Timezone: "America/New_York",
	}, p)
}

func TestBadPoints(t *testing.T) {
	for text, reason := range map[string]string{
		"":                  "it is empty",
		"{}":                "it has no properties",
		`{"properties":{}}`: "it names no raw grid for the place",
		`{"properties":{"forecastGridData":null}}`:                                                        "it names no raw grid for the place",
		`{"properties":{"forecastGridData":"u","gridX":"a"}}`:                                             "properties.gridX is of type string where a number should be",
		`{"geometry":{"type":"Point","coordinates":[1]},"properties":{"forecastGridData":"u"}}`:           "its geometry names no longitude and latitude",
		`{"geometry":{"type":"Point","coordinates":[1,91]},"properties":{"forecastGridData":"u"}}`:        "latitude 91 is outside -90 to 90",
		`{"title":"Data Unavailable For Requested Point","status":404,"detail":"Unable to provide data"}`: "the service refused: Data Unavailable For Requested Point: Unable to provide data",
	} {
		_, err := ParsePoint([]byte(text))
		var bad *forecast.ReadError
		require.ErrorAs(t, err, &bad, text)
		assert.Equal(t, reason, bad.Reason, text)
		assert.NotEmpty(t, bad.Fix)
	}
}

func TestRecordingPoint(t *testing.T) {
	p, err := ParsePoint(recording(t, "points_hoboken.json"))
	require.NoError(t, err)
	assert.Equal(t, "OKX", p.GridID)
	assert.Equal(t, [2]int{1, 1}, [2]int{p.GridX, p.GridY})
	assert.Equal(t, "America/New_York", p.Timezone)
	assert.InDelta(t, 40.743, p.Place.Latitude, 1e-9)
}

// Whatever the bytes, the readers give either something sound or a ReadError.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"nws_grid.json", "nws_grid_old_units.json", "nws_point.json", "nws_problem.json", "metnorway_compact.json"} {
		f.Add(file(f, name))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var bad *forecast.ReadError
		if _, err := ParsePoint(data); err != nil && !errors.As(err, &bad) {
			t.Fatal(err)
		}
		got, err := ParseGrid(data, Options{})
		if err != nil {
			if !errors.As(err, &bad) || got != nil || bad.Reason == "" {
				t.Fatalf("%v, %v", got, err)
			}
			return
		}
		sane(t, got)
	})
}
