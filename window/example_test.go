package window_test

import (
	"fmt"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"
)

// The whole way from a job and a forecast to the best window of a step.
func ExampleEvaluate() {
	set, _ := products.Catalogue()
	j, err := job.Parse("job.yaml", []byte(`
place: {latitude: 43.07, longitude: -70.74, timezone: UTC}
boat: {name: Kittiwake, bow: 200}
zones:
  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 12}
steps:
  - {do: seal, with: polymer-sealant}
hours: "07:00-18:00"
since: {rain: 2026-08-31T12:00:00Z, wash: 2026-08-31T12:00:00Z}
by: 2026-09-02
`), set, job.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := window.Evaluate(window.Input{
		Forecast: ensemble(5, 11), Job: j, Classes: set, Location: time.UTC,
		Now: time.Date(2026, 9, 1, 6, 0, 0, 0, time.UTC),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	best := r.At(r.Ranked[0][0])
	fmt.Println(best.State, r.Grid.At(best.From).Format("Mon 15:04"), "to", r.Grid.At(best.To).Format("15:04"))
	// Output: go Tue 10:40 to 12:00
}
