package metnorway

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

// series is a reply as the service lays it out: hourly, then six-hourly, then
// a last stamp with instants only.
func series(r *rapid.T) (data []byte, hourly, sixHourly int, total float64) {
	hourly = rapid.IntRange(0, 60).Draw(r, "hourly")
	sixHourly = rapid.IntRange(0, 30).Draw(r, "six-hourly")
	at := utc("2026-09-10T00:00:00Z")
	var steps []any
	add := func(name string, hours int) {
		details := object{
			"air_temperature":     rapid.Float64Range(-20, 35).Draw(r, "temperature"),
			"wind_speed":          rapid.Float64Range(0, 20).Draw(r, "wind"),
			"relative_humidity":   rapid.Float64Range(0, 100).Draw(r, "humidity"),
			"wind_from_direction": rapid.Float64Range(0, 360).Draw(r, "from"),
		}
		data := object{"instant": object{"details": details}}
		if name != "" {
			mm := rapid.Float64Range(0, 20).Draw(r, "rain")
			total += mm
			data[name] = object{"summary": object{"symbol_code": "rain"}, "details": object{"precipitation_amount": mm}}
		}
		steps = append(steps, object{"time": at.Format(time.RFC3339), "data": data})
		at = at.Add(time.Duration(hours) * time.Hour)
	}
	for range hourly {
		add("next_1_hours", 1)
	}
	for range sixHourly {
		add("next_6_hours", 6)
	}
	add("", 0)
	data, err := json.Marshal(object{
		"geometry": object{"coordinates": []any{-70.74, 43.07, 3}},
		"properties": object{
			"meta": object{"units": object{
				"air_temperature": "celsius", "wind_speed": "m/s", "relative_humidity": "%",
				"wind_from_direction": "degrees", "precipitation_amount": "mm"}},
			"timeseries": steps,
		},
	})
	if err != nil {
		r.Fatal(err)
	}
	return data, hourly, sixHourly, total
}

// Every hour of a whole reply is known, rain keeps its total and its span, and
// only the last stamp says nothing of rain.
func TestWholeSeries(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		data, hourly, sixHourly, total := series(r)
		f, err := Parse(data, Options{})
		if err != nil {
			r.Fatal(err)
		}
		n := hourly + 6*sixHourly
		if f.N != n+1 || len(f.Warnings) != 0 {
			r.Fatalf("%d hours instead of %d, %q", f.N, n+1, f.Warnings)
		}
		m := &f.Members[0]
		sum := 0.0
		for i := range n + 1 {
			for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.Humidity, forecast.WindSpeed, forecast.WindFrom} {
				if _, known := m.Columns[q].At(i); !known {
					r.Fatalf("%v is unknown in hour %d", q, i)
				}
			}
			mm, known := m.Columns[forecast.Precipitation].At(i)
			span, long := m.Columns[forecast.PrecipitationSpan].At(i)
			if known != (i < n) || long != (i >= hourly && i < n) || long && span != 6 {
				r.Fatalf("hour %d: rain %v %v, span %v %v", i, mm, known, span, long)
			}
			if known {
				sum += mm
			}
		}
		if math.Abs(sum-total) > 1e-9 {
			r.Fatalf("%v mm instead of %v", sum, total)
		}
	})
}

// An hour's own word counts before the six hours', which fill in for it where
// it is lacking.
func TestHourBeforeSixHours(t *testing.T) {
	steps := []any{}
	for i, rain := range []any{0.4, nil, 0.9} {
		data := object{
			"instant":      object{"details": object{"air_temperature": 15}},
			"next_6_hours": object{"summary": object{"symbol_code": "heavyrain"}, "details": object{"precipitation_amount": 12, "probability_of_precipitation": 80}},
		}
		if rain != nil {
			data["next_1_hours"] = object{
				"summary": object{"symbol_code": "lightrain"}, "details": object{"precipitation_amount": rain}}
		}
		steps = append(steps, object{"time": utc("2026-09-10T15:00:00Z").Add(time.Duration(i) * time.Hour).Format(time.RFC3339), "data": data})
	}
	f := parse(t, changed(t, func(_, p object, _ []any) {
		p["timeseries"] = steps
		p["meta"].(object)["units"].(object)["probability_of_precipitation"] = "%"
	}), Options{})
	near(t, []any{0.4, 2., 0.9}, values(f, forecast.Precipitation))
	near(t, []any{nil, 6., nil}, values(f, forecast.PrecipitationSpan))
	near(t, []any{61., 65., 61.}, values(f, forecast.WeatherCode))
	near(t, []any{80., 80., 80.}, values(f, forecast.PrecipitationProbability))
	require.Equal(t, 3, f.N)
}

// Every unknown unit is an error, wherever in the reply its values stand.
func TestUnitsEverywhere(t *testing.T) {
	for _, name := range []string{
		"wind_from_direction", "wind_speed_of_gust", "ultraviolet_index_clear_sky",
		"probability_of_precipitation", "probability_of_thunder", "dew_point_temperature",
	} {
		var top object
		require.NoError(t, json.Unmarshal(file(t, "metnorway_complete.json"), &top))
		top["properties"].(object)["meta"].(object)["units"].(object)[name] = "smoots"
		data, err := json.Marshal(top)
		require.NoError(t, err)
		_, err = Parse(data, Options{})
		require.ErrorContains(t, err, name+` has an unknown unit: "smoots"`)
	}
}
