package window_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// ensemble is an invented forecast of days with members that differ in
// temperature, wind and the hour of the afternoon's rain.
func ensemble(days, members int) *forecast.Forecast {
	n := days * 24
	f := &forecast.Forecast{
		Service: "invented", Start: time.Date(2026, 9, 1, 4, 0, 0, 0, time.UTC), Step: time.Hour, N: n,
		Members: make([]forecast.Member, members),
	}
	for k := range f.Members {
		m := &f.Members[k]
		for _, q := range []forecast.Quantity{
			forecast.AirTemperature, forecast.DewPoint, forecast.WindSpeed, forecast.CloudCover, forecast.Precipitation,
		} {
			m.Columns[q] = forecast.NewColumn(n)
		}
		shift := math.Sin(float64(k))
		for i := range n {
			day := -math.Cos(2 * math.Pi * (float64(i%24) - 3) / 24)
			m.Columns[forecast.AirTemperature].Set(i, 20+6*day+2*shift)
			m.Columns[forecast.DewPoint].Set(i, 13+1.5*shift)
			m.Columns[forecast.WindSpeed].Set(i, 3+1.5*day+shift)
			m.Columns[forecast.CloudCover].Set(i, 40+30*math.Sin(float64(i+3*k)/17))
			mm := 0.0
			if (i/24+k)%5 == 3 && i%24 > 12 && i%24 < 16 {
				mm = 1.2
			}
			m.Columns[forecast.Precipitation].Set(i, mm)
		}
	}
	return f
}

// bigJob is twelve zones with eight steps of different classes on each.
func bigJob() *job.Job {
	gelcoat, _ := boat.FinishByName("white-gelcoat")
	j := &job.Job{
		Place:  job.Place{Latitude: 43.07, Longitude: -70.74, Location: time.UTC},
		People: 2, Towel: true, Sure: 0.8, ShortestH: 2, Rinse: "tap",
		Hours: job.Schedule{Set: true, Default: []job.ClockSpan{{From: 7 * 60, To: 18 * 60}}},
	}
	var on []int
	for i := range 12 {
		on = append(on, i)
		j.Zones = append(j.Zones, boat.Zone{
			Name: string(rune('a' + i)), Finish: gelcoat, Tilt: float64(i%4) * 30, Faces: float64(i) * 30,
			FacesTrue: true, AreaM2: 10,
		})
	}
	for _, c := range []string{
		"soap-wash", "compound-dual-action", "finishing-polish", "panel-wipe", "polymer-sealant",
		"spray-sealant", "carnauba-wax", "consumer-ceramic",
	} {
		j.Steps = append(j.Steps, job.Step{Name: c, Do: "seal", With: c, On: on})
	}
	return j
}

// week is 51 members over 16 days, for the big job, on two cores.
func week(t require.TestingT) window.Input {
	cat, err := products.Catalogue()
	require.NoError(t, err)
	f := ensemble(16, 51)
	return window.Input{Forecast: f, Job: bigJob(), Classes: cat, Location: time.UTC, Now: f.Start, Workers: 2}
}

// BenchmarkWeek measures all from a parsed forecast to the ranked windows: physics,
// verdicts, the hours of all zones, windows, refusals and ranking of 51 members, 12 zones,
// 16 days, eight steps, on two cores. Three of the zones are level and so worked out once.
func BenchmarkWeek(b *testing.B) {
	in := week(b)
	b.ReportAllocs()
	for b.Loop() {
		_, err := window.Evaluate(in)
		require.NoError(b, err)
	}
}

// BenchmarkPhysicsAndVerdicts measures what of it is physics and verdicts, and the same
// where no zone is like another.
func BenchmarkPhysicsAndVerdicts(b *testing.B) {
	in := week(b)
	apart := in
	j := bigJob()
	for z := range j.Zones {
		j.Zones[z].Tilt++
	}
	apart.Job = j
	for name, in := range map[string]window.Input{"alike=3": in, "alike=0": apart} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				n, err := window.PhysicsAndVerdicts(in)
				require.NoError(b, err)
				require.Positive(b, n)
			}
		})
	}
}
