package metnorway_test

import (
	"fmt"
	"os"

	"dewgap/forecast"
	"dewgap/forecast/metnorway"
)

// Hourly values, then six-hourly ones laid onto hours: the span says that an
// amount of rain was stated over six.
func ExampleParse() {
	data, err := os.ReadFile("../../testdata/replies/metnorway_complete.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := metnorway.Parse(data, metnorway.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	m := f.Members[0]
	for _, i := range []int{2, 4, f.N - 1} {
		air, _ := m.Columns[forecast.AirTemperature].At(i)
		rain, known := m.Columns[forecast.Precipitation].At(i)
		span, long := m.Columns[forecast.PrecipitationSpan].At(i)
		fmt.Println(air, "°C", rain, known, span, long)
	}
	fmt.Println(f.Attribution, f.Issued)
	// Output:
	// 19.2 °C 1.1 true 0 false
	// 17 °C 0.5 true 6 true
	// 9 °C 0 false 0 false
	// Based on data from MET Norway 2026-09-10 14:31:07 +0000 UTC
}
