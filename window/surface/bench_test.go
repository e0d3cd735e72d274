package surface

import (
	"math"
	"testing"
	"time"

	"dewgap/forecast"
)

// benchForecast is one member of days of plausible summer weather with a shower
// every other afternoon, all quantities known.
func benchForecast(days int) *forecast.Forecast {
	n := days * 24
	f := &forecast.Forecast{
		Start: time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC), Step: time.Hour, N: n,
		Members: make([]forecast.Member, 1),
	}
	m := &f.Members[0]
	for q := range forecast.Quantities {
		m.Columns[q] = forecast.NewColumn(n)
	}
	for i := range n {
		day := math.Sin(2 * math.Pi * float64(i%24-9) / 24)
		set := func(q forecast.Quantity, v float64) { m.Columns[q].Set(i, v) }
		set(forecast.AirTemperature, 22+6*day)
		set(forecast.DewPoint, 17+day)
		set(forecast.WindSpeed, 3+2*day)
		set(forecast.Gust, 5+3*day)
		set(forecast.WindFrom, 200)
		set(forecast.CloudCover, 30)
		sun := math.Max(0, 900*math.Sin(2*math.Pi*float64(i%24-11)/24))
		set(forecast.GlobalRadiation, sun)
		set(forecast.DirectRadiation, sun*0.7)
		set(forecast.DiffuseRadiation, sun*0.3)
		set(forecast.UVIndex, sun/110)
		if i%48 > 38 && i%48 < 42 {
			set(forecast.Precipitation, 1.5)
		} else {
			set(forecast.Precipitation, 0)
		}
	}
	m.Columns[forecast.WeatherCode] = forecast.Column{}
	m.Columns[forecast.Visibility] = forecast.Column{}
	return f
}

func benchPanel() Panel {
	return Panel{
		Tilt: 90, Absorptance: 0.3, Emissivity: 0.9, Capacity: 5760, Through: 1.4, HoldingGM2: 50,
		LagH: 4,
	}
}

func benchExposed() Exposed {
	return Exposed{
		Tilt: 90, Facing: func(int) float64 { return 110 },
		Cover: func(int) (Roof, float64) { return NoRoof, 0 },
	}
}

// BenchmarkTrack measures sunlight, UV, surface and film of one zone-slot
// together, 16 days at a time.
func BenchmarkTrack(b *testing.B) {
	f := benchForecast(16)
	g := NewGrid(f.Start, f.End())
	s := NewSky(g, 43.07, -70.74, Model{})
	w := NewWeather(f, &f.Members[0], s, Site{WindShare: 0.89}, Model{})
	x := NewExposure(benchExposed(), s, Model{})
	tr := NewTrack(g.N)
	b.ReportAllocs()
	for b.Loop() {
		tr.Run(benchPanel(), x, w, Model{})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(g.N), "ns/zone-slot")
}

// BenchmarkExpLoop is the bare exp-and-multiply loop that speeds are stated
// against.
func BenchmarkExpLoop(b *testing.B) {
	sum := 0.0
	n := 16 * 144
	for b.Loop() {
		for i := range n {
			sum += math.Exp(float64(i)*1e-3) * 0.5
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/exp")
	if sum < 0 {
		b.Fatal(sum)
	}
}

// BenchmarkWeather measures bringing one of many members onto the grid.
func BenchmarkWeather(b *testing.B) {
	f := benchForecast(16)
	g := NewGrid(f.Start, f.End())
	s := NewSky(g, 43.07, -70.74, Model{})
	frame := NewFrame(f, s, Site{WindShare: 0.89, Members: true}, Model{})
	b.ReportAllocs()
	for b.Loop() {
		frame.Weather(&f.Members[0])
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(g.N), "ns/slot")
}
