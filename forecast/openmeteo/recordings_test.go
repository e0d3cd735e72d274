package openmeteo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

// These read real replies, whose first figures were copied by eye.

func TestRecordingRadiation(t *testing.T) {
	f := parse(t, recording(t, "germany_50N10E_2026-03-02_hourly3d_radiation.json"), Options{})

	assert.Equal(t, utc("2026-03-01T23:00:00Z"), f.Start)
	assert.Equal(t, 72, f.N)
	assert.Equal(t, "Europe/Berlin", f.Timezone)
	assert.InDelta(t, 291, f.Place.ElevationM, 1e-9)
	assert.Empty(t, f.Warnings)
	near(t, []any{3.2, 2.3, 1.9}, values(f, 0, forecast.AirTemperature)[:3])
	near(t, []any{1.194444, 1.277778}, values(f, 0, forecast.WindSpeed)[:2]) // 4.3 and 4.6 km/h
	near(t, []any{1.888889, 2.}, values(f, 0, forecast.Gust)[:2])            // 6.8 and 7.2 km/h, the second and third stamp
	near(t, []any{0., 0., 1., 45.}, values(f, 0, forecast.WeatherCode)[:4])
	assert.Equal(t, 71, known(f, forecast.GlobalRadiation))

	// On this clear day the sun stands highest at about 11:32 UTC at 10° E
	// (equation of time −12 min): the radiation must be even about it.
	assert.InDelta(t, 11.53, middle(f, forecast.GlobalRadiation, 24), 0.25)
	for i := range f.N - 1 {
		g, _ := f.Members[0].Columns[forecast.GlobalRadiation].At(i)
		b, _ := f.Members[0].Columns[forecast.DirectRadiation].At(i)
		d, _ := f.Members[0].Columns[forecast.DiffuseRadiation].At(i)
		assert.InDelta(t, g, b+d, 0.11, "hour %d", i)
	}
}

// middle is the mean hour of the first n hours, weighted by a quantity that
// describes its interval.
func middle(f *forecast.Forecast, q forecast.Quantity, n int) float64 {
	var sum, moment float64
	for i := range n {
		v, _ := f.Members[0].Columns[q].At(i)
		sum += v
		moment += v * (float64(i) + 0.5)
	}
	hour := moment/sum + float64(f.Start.Hour())
	if hour >= 24 {
		hour -= 24
	}
	return hour
}

func TestRecordingUV(t *testing.T) {
	f := parse(t, recording(t, "berlin_2026-07-18_hourly3d_radiation_uv.json"), Options{})
	assert.Equal(t, 72, f.N)
	assert.Empty(t, f.Timezone, "GMT is what the service says when nobody asked")
	assert.Equal(t, []string{"the reply has no air temperature", "the reply has no humidity or dew point"}, f.Warnings)
	near(t, []any{3.138889, 2.694444}, values(f, 0, forecast.WindSpeed)[:2]) // 11.3 and 9.7 km/h
	near(t, []any{7., 8.}, values(f, 0, forecast.Gust)[:2])                  // 25.2 and 28.8 km/h
	// Solar noon is at 11:12 UTC at 13.4° E in mid July.
	assert.InDelta(t, 11.2, middle(f, forecast.UVIndex, 24), 0.15)
}

func TestRecordingNullsAtTheHorizon(t *testing.T) {
	f := parse(t, recording(t, "nj_scotchplains_2025-12-28_hourly14d_uv.json"), Options{})
	assert.Equal(t, 336, f.N)
	assert.Equal(t, 312, known(f, forecast.CloudCover), "the last day of cloud cover is null")
	assert.Equal(t, 336, known(f, forecast.AirTemperature))
	assert.Equal(t, 335, known(f, forecast.Precipitation))
	near(t, []any{-2., -2.2, -4.6}, values(f, 0, forecast.AirTemperature)[:3])
}

func TestRecordingSouthernAutumn(t *testing.T) {
	f := parse(t, recording(t, "melbourne_2025-05-09_hourly7d_uv.json"), Options{})
	assert.Equal(t, 168, f.N)
	near(t, []any{13.6, 15.5}, values(f, 0, forecast.AirTemperature)[:2])
	near(t, []any{3.05, 3.7}, values(f, 0, forecast.UVIndex)[:2])
	near(t, []any{0.861111}, values(f, 0, forecast.WindSpeed)[:1]) // 3.1 km/h
}

func TestRecordingPlaces(t *testing.T) {
	data := recording(t, "cities_2024-01-26_multilocation_array_ecmwf.json")
	f := parse(t, data, Options{})
	assert.InDelta(t, 51.6, f.Place.Latitude, 1e-9)
	assertOne(t, f.Warnings, "the reply holds 12 places")
	near(t, []any{11.9, 12., 12.}, values(f, 0, forecast.AirTemperature)[:3])

	f = parse(t, data, Options{Near: &forecast.Place{Latitude: 52.45, Longitude: -1.95}})
	assert.Equal(t, 240, f.N)
	assert.InDelta(t, 52.4, f.Place.Latitude, 1e-9)
	assert.InDelta(t, 151, f.Place.ElevationM, 1e-9)
	near(t, []any{11.5, 11.4, 11.2}, values(f, 0, forecast.AirTemperature)[:3])
}

func TestRecordingModels(t *testing.T) {
	data := recording(t, "pyrenees_2026-07-17_multimodel_suffix72h.json")
	f := parse(t, data, Options{})
	assert.Equal(t, "meteofrance_arome_france_hd", f.Model)
	assert.Equal(t, utc("2026-07-16T22:00:00Z"), f.Start)
	assert.Equal(t, 60, known(f, forecast.AirTemperature), "the last 12 hours are null")
	near(t, []any{17.9, 16.6}, values(f, 0, forecast.AirTemperature)[:2])
	near(t, []any{0.222222}, values(f, 0, forecast.WindSpeed)[:1]) // 0.8 km/h
	assertOne(t, f.Warnings, "the reply holds 2 models")

	f = parse(t, data, Options{Model: "meteofrance_arome_france"})
	near(t, []any{17.3, 16.}, values(f, 0, forecast.AirTemperature)[:2])
	assert.Empty(t, f.Warnings)
}

func TestRecordingMembers(t *testing.T) {
	f := parse(t, recording(t, "germany_52.5N7E_2026-10-03_21members_2h.json"), Options{})
	require.Len(t, f.Members, 21)
	assert.Equal(t, 2, f.N)
	assert.Equal(t, "control", f.Members[0].Name)
	assert.Equal(t, "member20", f.Members[20].Name)
	near(t, []any{10.5, 10.1}, values(f, 0, forecast.AirTemperature))
	near(t, []any{10.1, 9.8}, values(f, 1, forecast.AirTemperature))
	near(t, []any{11.1, 10.8}, values(f, 20, forecast.AirTemperature))
}

func TestRecordingOldNames(t *testing.T) {
	f := parse(t, recording(t, "tampabay_fl_2026-07-23_hourly7d_basic.json"), Options{})
	assert.Equal(t, utc("2026-07-23T04:00:00Z"), f.Start)
	assert.Equal(t, 168, f.N)
	assert.Equal(t, "America/New_York", f.Timezone)
	near(t, []any{67., 81.}, values(f, 0, forecast.CloudCover)[:2])
	near(t, []any{1.028889, 1.491889}, values(f, 0, forecast.WindSpeed)[:2]) // 2.0 and 2.9 kn
	assert.Equal(t, []string{"the reply has no humidity or dew point"}, f.Warnings)
}
