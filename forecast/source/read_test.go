package source

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

func saved(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/replies", name))
	require.NoError(t, err)
	return data
}

func TestReadTellsTheServicesApart(t *testing.T) {
	for name, service := range map[string]string{
		"openmeteo_hourly.json": "Open-Meteo", "openmeteo_places.json": "Open-Meteo",
		"openmeteo_ensemble.json": "Open-Meteo", "openmeteo_quarter_hours.json": "Open-Meteo",
		"metnorway_complete.json": "MET Norway", "metnorway_compact.json": "MET Norway",
		"nws_grid.json": "NWS", "nws_grid_old_units.json": "NWS",
	} {
		f, err := Read(saved(t, name), Options{Near: &forecast.Place{Latitude: 43.07, Longitude: -70.74}})
		require.NoError(t, err, name)
		assert.Equal(t, service, f.Service, name)
		assert.InDelta(t, 43.07, f.Place.Latitude, 0.01, name)
	}
}

func TestReadPassesTheOptionsOn(t *testing.T) {
	f, err := Read(saved(t, "openmeteo_models.json"), Options{Model: "skiff_regional"})
	require.NoError(t, err)
	assert.Equal(t, "skiff_regional", f.Model)

	for _, name := range []string{"openmeteo_hourly.json", "metnorway_complete.json", "nws_grid.json"} {
		f, err := Read(saved(t, name), Options{Near: &forecast.Place{Latitude: 43.5, Longitude: -70.74}})
		require.NoError(t, err, name)
		require.NotEmpty(t, f.Warnings, name)
		assert.Contains(t, f.Warnings[0], "48 km from the place asked about", name)
	}
}

// Services with one forecast of their own say that a model asked for is not used,
// whether their reply was saved or is asked for.
func TestNoModelToChoose(t *testing.T) {
	for name, service := range map[string]string{"metnorway_complete.json": "MET Norway", "nws_grid.json": "NWS"} {
		f, err := Read(saved(t, name), Options{Model: "skiff_regional"})
		require.NoError(t, err, name)
		assert.Contains(t, f.Warnings, `the model "skiff_regional" that was asked for is not used: `+service+` gives one forecast of its own`)
		f, err = Read(saved(t, name), Options{})
		require.NoError(t, err, name)
		assert.NotContains(t, strings.Join(f.Warnings, "; "), "is not used")
	}
	for _, name := range []string{NWS, MetNorway} {
		f, _, err := Fetch(context.Background(), newLiveWorld(t).config(liveNamed(name)), Query{Place: liveQuay, Model: "skiff_regional"})
		require.NoError(t, err, name)
		assert.Contains(t, strings.Join(f.Warnings, "; "), `"skiff_regional" that was asked for is not used`, name)
	}
}

// The weather of elsewhere is never judged, whoever sent it, and however many
// places a reply holds.
func TestReadRefusesElsewhere(t *testing.T) {
	for _, name := range []string{
		"openmeteo_hourly.json", "openmeteo_ensemble.json", "openmeteo_places.json",
		"metnorway_complete.json", "metnorway_compact.json", "nws_grid.json",
	} {
		f, err := Read(saved(t, name), Options{Near: &forecast.Place{Latitude: -33.87, Longitude: 151.21}})
		assert.Nil(t, f, name)
		var bad *forecast.ReadError
		require.ErrorAs(t, err, &bad, name)
		assert.Contains(t, bad.Reason, "it is for a place 16", name)
		assert.Contains(t, bad.Reason, " km away", name)
		assert.Contains(t, bad.Fix, "fetch it for the job's place", name)
	}
}

func TestReadRefuses(t *testing.T) {
	hourly := string(saved(t, "openmeteo_hourly.json"))
	for name, c := range map[string]struct {
		data            string
		service, reason string
		fix             string
	}{
		"empty":       {"", "", "it is empty", "fetch the reply again"},
		"page":        {"<html></html>", "", "it is a web page, not JSON", "browser"},
		"half":        {hourly[:1000], "", "it breaks off after 1000 bytes", "fetch the reply again"},
		"streaming":   {hourly[:1000] + "Unexpected error while streaming data: x", "", "the server failed halfway", "fetch the reply again"},
		"stranger":    {`{"weather":"fine"}`, "", "it is of no service that dewgap knows", "save a whole reply"},
		"number":      {`7`, "", "it is of no service that dewgap knows", "save a whole reply"},
		"empty list":  {`[]`, "", "it is of no service that dewgap knows", "save a whole reply"},
		"deep list":   {strings.Repeat("[", 5000) + strings.Repeat("]", 5000), "", "it is of no service that dewgap knows", "save a whole reply"},
		"index":       {string(saved(t, "nws_point.json")), "NWS", "it is only the index of the place, not its forecast", "fetch https://api.weather.gov/gridpoints/OTQ/12,34"},
		"problem":     {string(saved(t, "nws_problem.json")), "NWS", "the service refused: Not Found", "/points"},
		"observation": {`{"type":"FeatureCollection","features":[]}`, "NWS", "it is a list of observations or alerts", "forecastGridData"},
		"limit":       {string(saved(t, "openmeteo_error.json")), "Open-Meteo", "Hourly API request limit exceeded", "wait"},
		"no series":   {`{"type":"Feature","properties":{"timeseries":[]}}`, "MET Norway", "it has no properties.timeseries", "locationforecast"},
		"daily only":  {`{"latitude":43,"longitude":-70,"daily":{"time":[]}}`, "Open-Meteo", "it has no hourly values", "hourly="},
	} {
		f, err := Read([]byte(c.data), Options{})
		require.Nil(t, f, name)
		var bad *forecast.ReadError
		require.ErrorAs(t, err, &bad, name)
		assert.Equal(t, c.service, bad.Service, name)
		assert.Contains(t, bad.Reason, c.reason, name)
		assert.Contains(t, bad.Fix, c.fix, name)
	}
}

func TestReadRecordings(t *testing.T) {
	const dir = "../../../shared/recordings"
	if _, err := os.Stat(dir); err != nil {
		t.Skip("the recordings are not beside the repository: ../shared/recordings")
	}
	for folder, service := range map[string]string{"openmeteo": "Open-Meteo", "metnorway": "MET Norway", "nws": "NWS"} {
		names, err := filepath.Glob(filepath.Join(dir, folder, "*.json"))
		require.NoError(t, err)
		require.NotEmpty(t, names)
		for _, name := range names {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			f, err := Read(data, Options{})
			switch base := filepath.Base(name); {
			case strings.HasPrefix(base, "observations_"):
				assert.ErrorContains(t, err, "observations or alerts", base)
			case strings.HasPrefix(base, "points_"):
				assert.ErrorContains(t, err, "only the index", base)
			case strings.Contains(base, "cassette"), strings.Contains(base, "headers"):
				assert.ErrorContains(t, err, "no service that dewgap knows", base)
			default:
				require.NoError(t, err, base)
				assert.Equal(t, service, f.Service, base)
				assert.True(t, f.Members[0].Columns[forecast.WindSpeed].Any() || f.Members[0].Columns[forecast.AirTemperature].Any(), base)
			}
		}
	}
}

// Any JSON value, and any cut of one, is read or refused in words.
func FuzzRead(f *testing.F) {
	names, err := filepath.Glob("../../testdata/replies/*.json")
	require.NoError(f, err)
	for _, name := range names {
		data, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := Read(data, Options{})
		if (got == nil) == (err == nil) {
			t.Fatalf("%v, %v", got, err)
		}
		if got != nil && !json.Valid([]byte(strings.TrimPrefix(string(data), "\xef\xbb\xbf"))) {
			t.Fatal("a forecast from what is not JSON")
		}
	})
}
