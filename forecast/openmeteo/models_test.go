package openmeteo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
)

func TestModels(t *testing.T) {
	data := file(t, "openmeteo_models.json")

	t.Run("the first with every needed column", func(t *testing.T) {
		f := parse(t, data, Options{})
		assert.Equal(t, "harbor_global", f.Model, "the regional one has no humidity")
		near(t, []any{14., 14.4, nil}, values(f, 0, forecast.AirTemperature))
		near(t, []any{0.3, nil, nil}, values(f, 0, forecast.Precipitation))
		text := assertOne(t, f.Warnings, "the reply holds 2 models: harbor_global is taken")
		assert.Contains(t, text, "temperature, humidity, wind, rain and sun or cloud")
	})
	t.Run("the one asked for", func(t *testing.T) {
		f := parse(t, data, Options{Model: "skiff_regional"})
		assert.Equal(t, "skiff_regional", f.Model)
		near(t, []any{15.5, 15.6, 16.}, values(f, 0, forecast.AirTemperature))
		assert.Nil(t, f.Members[0].Columns[forecast.Humidity].Known)
		assert.Equal(t, []string{"the reply has no humidity or dew point"}, f.Warnings)
	})
	t.Run("none of them", func(t *testing.T) {
		_, err := Parse(data, Options{Model: "tug_global"})
		var bad *forecast.ReadError
		require.ErrorAs(t, err, &bad)
		assert.Equal(t, `it has no model "tug_global"`, bad.Reason)
		assert.Equal(t, "take one of skiff_regional, harbor_global", bad.Fix)
	})
	t.Run("a reply that does not name its model", func(t *testing.T) {
		f := parse(t, simple(nil), Options{Model: "tug_global"})
		assert.Empty(t, f.Model)
		assertOne(t, f.Warnings, "the reply does not name its model")
	})
}

// modelReply has the given columns for each model, each a list of numbers.
func modelReply(order []string, has map[string][]string) []column {
	var out []column
	for _, model := range order {
		for _, name := range has[model] {
			c, _ := splitKey(name + "_" + model)
			c.raw = []byte("[1,2]")
			out = append(out, c)
		}
	}
	return out
}

func TestChooseModelPrefersRainAndSun(t *testing.T) {
	core := []string{"temperature_2m", "dew_point_2m", "wind_speed_10m"}
	columns := modelReply([]string{"a", "b", "c", "d"}, map[string][]string{
		"a": {"temperature_2m", "wind_speed_10m"},
		"b": core,
		"c": append([]string{"precipitation", "direct_radiation"}, core...),
		"d": append([]string{"precipitation", "cloud_cover"}, core...),
	})
	model, text, err := chooseModel(columns, "")
	require.NoError(t, err)
	assert.Equal(t, "c", model)
	assert.NotEmpty(t, text)

	model, text, err = chooseModel(columns[:5], "") // a and b
	require.NoError(t, err)
	assert.Equal(t, "b", model)
	assert.Contains(t, text, "the first with temperature, humidity and wind")

	model, text, err = chooseModel(columns[:2], "")
	require.NoError(t, err)
	assert.Equal(t, "a", model)
	assert.Empty(t, text, "one model is no choice")
}

func TestShareAlikeModelsSaySo(t *testing.T) {
	f := parse(t, simple(func(_, units, hourly object) {
		for _, name := range []string{"temperature_2m", "relative_humidity_2m", "wind_speed_10m"} {
			hourly[name+"_ukmo_seamless"], units[name+"_ukmo_seamless"] = hourly[name], units[name]
			delete(hourly, name)
		}
	}), Options{})
	assert.Equal(t, "ukmo_seamless", f.Model)
	assert.Contains(t, f.Licence, "CC BY-SA")
}

func TestEnsembleOfOneModel(t *testing.T) {
	f := parse(t, file(t, "openmeteo_ensemble.json"), Options{Model: "yawl_eps"})

	require.Len(t, f.Members, 4)
	var names []string
	for i := range f.Members {
		names = append(names, f.Members[i].Name)
		near(t, []any{20 + 0.5*float64(i), 19.5 + 0.5*float64(i), 19 + 0.5*float64(i)},
			values(f, i, forecast.AirTemperature))
		near(t, []any{1., 2., 3.}, values(f, i, forecast.WindSpeed))
	}
	assert.Equal(t, []string{"control", "member01", "member02", "member03"}, names)
	near(t, []any{0., 0., nil}, values(f, 1, forecast.Precipitation))
	near(t, []any{0.5, 0., nil}, values(f, 2, forecast.Precipitation))

	f = parse(t, file(t, "openmeteo_ensemble.json"), Options{})
	assert.Equal(t, "dinghy_eps", f.Model)
	assertOne(t, f.Warnings, "the reply holds 2 models: dinghy_eps is taken")
}

func TestMembersWithoutTemperatureAreNone(t *testing.T) {
	f := parse(t, simple(func(_, units, hourly object) {
		hourly["temperature_2m_member01"], units["temperature_2m_member01"] = []any{10, 11, 12}, "°C"
		hourly["uv_index_member02"], units["uv_index_member02"] = []any{1, 2, 3}, ""
	}), Options{})
	require.Len(t, f.Members, 2)
	assert.Equal(t, "member01", f.Members[1].Name)
	assert.Nil(t, f.Members[1].Columns[forecast.Humidity].Known, "the control's humidity is not the member's")
}

func TestSplitKey(t *testing.T) {
	for key, want := range map[string]struct {
		name, model, member string
	}{
		"temperature_2m":                            {"temperature_2m", "", ""},
		"temperature_2m_icon_seamless":              {"temperature_2m", "icon_seamless", ""},
		"temperature_2m_member07":                   {"temperature_2m", "", "member07"},
		"temperature_2m_member07_ncep_gefs025":      {"temperature_2m", "ncep_gefs025", "member07"},
		"temperature_2m_ncep_gefs025_member07":      {"temperature_2m", "ncep_gefs025", "member07"},
		"uv_index_clear_sky":                        {"uv_index_clear_sky", "", ""},
		"uv_index_clear_sky_cams_global":            {"uv_index_clear_sky", "cams_global", ""},
		"cloudcover_low_icon_eu":                    {"cloud_cover_low", "icon_eu", ""},
		"precipitation_probability_gfs_global":      {"precipitation_probability", "gfs_global", ""},
		"relativehumidity_2m_member50":              {"relative_humidity_2m", "", "member50"},
		"wind_speed_10m_meteofrance_arome_france":   {"wind_speed_10m", "meteofrance_arome_france", ""},
		"dew_point_2m_ecmwf_ifs025_ensemble":        {"dew_point_2m", "ecmwf_ifs025_ensemble", ""},
		"rain_knmi_seamless":                        {"rain", "knmi_seamless", ""},
		"surface_pressure_member01_gem_global_eps2": {"surface_pressure", "gem_global_eps2", "member01"},
	} {
		c, ok := splitKey(key)
		require.True(t, ok, key)
		assert.Equal(t, want.name, variables[c.of].name, key)
		assert.Equal(t, want.model, c.model, key)
		assert.Equal(t, want.member, c.member, key)
	}
	for _, key := range []string{
		"time", "apparent_temperature", "temperature_2mm", "temperature_80m",
		"temperature_2m_previous_day1", "temperature_2m_previous_day2_icon_seamless",
		"temperature_2m_spread", "temperature_2m_spread_gfs025", "shortwave_radiation_instant",
		"direct_radiation_instant_icon_d2", "rainfall", "wind_speed_100m",
	} {
		_, ok := splitKey(key)
		assert.False(t, ok, key)
	}
}
