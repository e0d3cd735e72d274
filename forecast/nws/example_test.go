package nws_test

import (
	"errors"
	"fmt"
	"os"

	"dewgap/forecast"
	"dewgap/forecast/nws"
)

// The index of a place says where its grid is and what zone it lies in.
func ExampleParsePoint() {
	data, err := os.ReadFile("../../testdata/replies/nws_point.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := nws.ParsePoint(data)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.GridID, p.GridX, p.GridY, p.Timezone)
	// Output: OTQ 12 34 America/New_York
}

func ExampleParseGrid() {
	data, err := os.ReadFile("../../testdata/replies/nws_grid.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := nws.ParseGrid(data, nws.Options{Timezone: "America/New_York"})
	if err != nil {
		fmt.Println(err)
		return
	}
	wind, _ := f.Members[0].Columns[forecast.WindSpeed].At(0)
	fmt.Printf("%d hours from %v, wind %.1f m/s\n", f.N, f.Start, wind)
	// Output:
	// 28 hours from 2026-09-10 06:00:00 +0000 UTC, wind 5.0 m/s
}

// Whoever saved the index instead of the grid is told what to fetch.
func ExampleParseGrid_index() {
	data, err := os.ReadFile("../../testdata/replies/nws_point.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = nws.ParseGrid(data, nws.Options{})
	var bad *forecast.ReadError
	if errors.As(err, &bad) {
		fmt.Println(bad)
		fmt.Println("fix:", bad.Fix)
	}
	// Output:
	// NWS reply: it is only the index of the place, not its forecast
	// fix: fetch https://api.weather.gov/gridpoints/OTQ/12,34
}
