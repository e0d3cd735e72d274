package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// cmdReply writes a reply in a service's format, of invented steady weather:
// 14 °C at five in the morning and 21 at three in the afternoon of UTC−4, and
// what the keys say.
//
//	service=openmeteo|metnorway|nws…  default openmeteo
//	start=2026-09-10T04:00Z           first hour, default that of the local midnight
//	hours=72                          how many
//	zone=America/New_York             as the service names it (Open-Meteo only)
//	updated=2026-09-10T09:00:00Z      when it was made (MET Norway only)
//	dew=6 wind=2                      °C, m/s
//	rain=30-33:1.5                    mm in each of the hours [30, 33)
//	null=wind_speed_10m:8-20          a column without values there (Open-Meteo only)
func cmdReply(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: reply FILE KEY=VALUE...")
	}
	w := invented{set: map[string]string{
		"service": "openmeteo", "start": "2026-09-10T04:00Z", "hours": "72", "zone": "America/New_York",
		"updated": "2026-09-10T09:00:00Z", "dew": "6", "wind": "2", "rain": "", "null": "",
	}}
	for _, a := range args[1:] {
		k, v, _ := strings.Cut(a, "=")
		if _, ok := w.set[k]; !ok {
			ts.Fatalf("reply: no key %s", k)
		}
		w.set[k] = v
	}
	start, err := time.Parse("2006-01-02T15:04Z", w.set["start"])
	ts.Check(err)
	w.start, w.hours = start, int(w.number("hours"))
	var reply any
	switch w.set["service"] {
	case "openmeteo":
		reply = w.openMeteo()
	case "metnorway":
		reply = w.metNorway()
	default:
		ts.Fatalf("reply: no service %s", w.set["service"])
	}
	data, err := json.Marshal(reply)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o600))
}

type invented struct {
	set   map[string]string
	start time.Time
	hours int
}

func (w invented) number(key string) float64 {
	v, err := strconv.ParseFloat(w.set[key], 64)
	if err != nil {
		panic(fmt.Sprintf("reply: %s=%s", key, w.set[key]))
	}
	return v
}

// air is the temperature of hour i.
func (w invented) air(i int) float64 {
	h := float64(w.start.Add(time.Duration(i-4)*time.Hour).Hour()) - 10
	return math.Round(10*(17.5+3.5*math.Cos(2*math.Pi*(h-5)/24))) / 10
}

// humidity by the Magnus form (Alduchov and Eskridge 1996).
func (w invented) humidity(i int) float64 {
	e := func(t float64) float64 { return math.Exp(17.625 * t / (243.04 + t)) }
	return math.Round(100 * e(w.number("dew")) / e(w.air(i)))
}

// within reads "30-33" and whether i lies in it.
func within(span string, i int) bool {
	var from, to int
	if _, err := fmt.Sscanf(span, "%d-%d", &from, &to); err != nil {
		return false
	}
	return i >= from && i < to
}

func (w invented) rain(i int) float64 {
	span, mm, ok := strings.Cut(w.set["rain"], ":")
	if !ok || !within(span, i) {
		return 0
	}
	v, err := strconv.ParseFloat(mm, 64)
	if err != nil {
		panic("reply: rain=" + w.set["rain"])
	}
	return v
}

func (w invented) openMeteo() map[string]any {
	units := map[string]string{
		"temperature_2m": "°C", "dew_point_2m": "°C", "relative_humidity_2m": "%", "wind_speed_10m": "m/s",
		"wind_gusts_10m": "m/s", "precipitation": "mm", "cloud_cover": "%", "weather_code": "wmo code",
	}
	hourly := map[string]any{}
	times := []int64{}
	columns := map[string][]any{}
	nullColumn, nullSpan, _ := strings.Cut(w.set["null"], ":")
	for i := range w.hours {
		times = append(times, w.start.Add(time.Duration(i)*time.Hour).Unix())
		values := map[string]float64{
			"temperature_2m": w.air(i), "dew_point_2m": w.number("dew"), "relative_humidity_2m": w.humidity(i),
			"wind_speed_10m": w.number("wind"), "wind_gusts_10m": 1.5 * w.number("wind"), "cloud_cover": 50,
			"precipitation": w.rain(i - 1), "weather_code": 2, // the amount is that of the hour before
		}
		for name := range units {
			var v any = values[name]
			if name == nullColumn && within(nullSpan, i) {
				v = nil
			}
			columns[name] = append(columns[name], v)
		}
	}
	units["time"] = "unixtime"
	hourly["time"] = times
	for name, c := range columns {
		hourly[name] = c
	}
	return map[string]any{
		"latitude": 43.07, "longitude": -70.74, "elevation": 3, "timezone": w.set["zone"], "utc_offset_seconds": 0,
		"hourly_units": units, "hourly": hourly,
	}
}

func (w invented) metNorway() map[string]any {
	series := []any{}
	for i := range w.hours {
		series = append(series, map[string]any{
			"time": w.start.Add(time.Duration(i) * time.Hour).Format(time.RFC3339),
			"data": map[string]any{
				"instant": map[string]any{"details": map[string]any{
					"air_pressure_at_sea_level": 1015, "air_temperature": w.air(i), "relative_humidity": w.humidity(i),
					"dew_point_temperature": w.number("dew"), "cloud_area_fraction": 50,
					"wind_from_direction": 230, "wind_speed": w.number("wind"), "wind_speed_of_gust": 1.5 * w.number("wind"),
				}},
				"next_1_hours": map[string]any{
					"summary": map[string]any{"symbol_code": "partlycloudy_day"},
					"details": map[string]any{"precipitation_amount": w.rain(i)},
				},
			},
		})
	}
	return map[string]any{
		"type":     "Feature",
		"geometry": map[string]any{"type": "Point", "coordinates": []float64{-70.74, 43.07, 3}},
		"properties": map[string]any{
			"meta": map[string]any{"updated_at": w.set["updated"], "units": map[string]string{
				"air_pressure_at_sea_level": "hPa", "air_temperature": "celsius", "cloud_area_fraction": "%",
				"dew_point_temperature": "celsius", "precipitation_amount": "mm", "relative_humidity": "%",
				"wind_from_direction": "degrees", "wind_speed": "m/s", "wind_speed_of_gust": "m/s",
			}},
			"timeseries": series,
		},
	}
}
