package nws

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"dewgap/forecast"
)

// drawLayer draws a layer as the service merges it, and hour by hour.
func drawLayer(r *rapid.T, name string, start time.Time, hours int, low, high float64) (layer object, expected []any) {
	var pairs []any
	for len(expected) < hours {
		n := min(rapid.IntRange(1, 30).Draw(r, name+" hours"), hours-len(expected))
		var v any
		if rapid.IntRange(0, 9).Draw(r, name+" null") > 0 || len(pairs) == 0 {
			v = rapid.Float64Range(low, high).Draw(r, name)
		}
		from := start.Add(time.Duration(len(expected)) * time.Hour)
		length := fmt.Sprintf("PT%dH", n)
		if n >= 24 {
			length = fmt.Sprintf("P%dDT%dH", n/24, n%24)
		}
		pairs = append(pairs, from.Format(time.RFC3339)+"/"+length, v)
		for range n {
			expected = append(expected, v)
		}
	}
	return layerOf(nil, pairs...), expected
}

func drawGrid(r *rapid.T) (data []byte, start time.Time, hours int, want map[forecast.Quantity][]any) {
	start = utc("2026-09-10T06:00:00Z").Add(time.Duration(rapid.IntRange(0, 99).Draw(r, "start")) * time.Hour)
	hours = rapid.IntRange(1, 180).Draw(r, "hours")
	p := object{}
	want = map[forecast.Quantity][]any{}
	for _, l := range []struct {
		name, unit string
		q          forecast.Quantity
		low, high  float64
	}{
		{"temperature", "wmoUnit:degC", forecast.AirTemperature, -30, 40},
		{"dewpoint", "wmoUnit:degC", forecast.DewPoint, -30, 25},
		{"skyCover", "wmoUnit:percent", forecast.CloudCover, 0, 100},
		{"windSpeed", "wmoUnit:m_s-1", forecast.WindSpeed, 0, 30},
	} {
		layer, expected := drawLayer(r, l.name, start, hours, l.low, l.high)
		layer["uom"] = l.unit
		p[l.name], want[l.q] = layer, expected
	}
	data, err := json.Marshal(object{"properties": p})
	if err != nil {
		r.Fatal(err)
	}
	return data, start, hours, want
}

// Merged intervals read as the same value in each of their hours, a null as
// absent. The horizon ends with the last hour whose temperature is known.
func TestMergedIntervalsAreTheirHours(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		data, start, hours, want := drawGrid(r)
		f, err := ParseGrid(data, Options{Near: &forecast.Place{Latitude: 43.07, Longitude: -70.74}})
		if err != nil {
			r.Fatal(err)
		}
		temperature := want[forecast.AirTemperature]
		for hours > 0 && temperature[hours-1] == nil {
			hours--
		}
		if !f.Start.Equal(start) || f.N != hours {
			r.Fatalf("%v and %d hours instead of %v and %d", f.Start, f.N, start, hours)
		}
		for q, expected := range want {
			for i := range hours {
				v, known := f.Members[0].Columns[q].At(i)
				if known != (expected[i] != nil) || known && v != expected[i] {
					r.Fatalf("%v, hour %d: %v, %v instead of %v", q, i, v, known, expected[i])
				}
			}
		}
	})
}

// Spreading keeps the total of rain, and every hour says over how many hours
// its amount was stated.
func TestRainKeepsItsTotal(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		start := utc("2026-09-10T06:00:00Z")
		var pairs []any
		var spans []int
		total, hours := 0.0, 0
		for range rapid.IntRange(1, 12).Draw(r, "intervals") {
			n := rapid.IntRange(1, 12).Draw(r, "hours")
			v := rapid.Float64Range(0, 40).Draw(r, "mm")
			pairs = append(pairs, start.Add(time.Duration(hours)*time.Hour).Format(time.RFC3339)+fmt.Sprintf("/PT%dH", n), v)
			total, hours = total+v, hours+n
			for range n {
				spans = append(spans, n)
			}
		}
		f, err := ParseGrid(changed(t, func(_, p object) {
			p["temperature"] = layerOf("wmoUnit:degC", start.Format(time.RFC3339)+fmt.Sprintf("/PT%dH", hours), 12)
			p["quantitativePrecipitation"] = layerOf("wmoUnit:mm", pairs...)
		}), Options{})
		if err != nil {
			r.Fatal(err)
		}
		sum := 0.0
		for i := range f.N {
			v, known := f.Members[0].Columns[forecast.Precipitation].At(i)
			span, long := f.Members[0].Columns[forecast.PrecipitationSpan].At(i)
			if !known || long != (spans[i] > 1) || long && span != float64(spans[i]) {
				r.Fatalf("hour %d: %v, span %v, %v", i, known, span, long)
			}
			sum += v
		}
		if math.Abs(sum-total) > 1e-9 {
			r.Fatalf("%v mm instead of %v", sum, total)
		}
	})
}
