package job_test

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"dewgap/products"
	"dewgap/window/job"
)

const small = `
place: {latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: Kittiwake, bow: 200}
zones:
  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat}
  - {name: rails, tilt: 0, finish: stainless, length_m: 12}
steps:
  - {do: wash, with: soap-wash}
  - {do: seal, with: polymer-sealant}
hours: {default: "07:00-18:00", sun: none}
`

func ExampleParse() {
	classes, err := products.Catalogue()
	if err != nil {
		fmt.Println(err)
		return
	}
	j, err := job.Parse("job.yaml", []byte(small), classes, job.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range j.Steps {
		fmt.Print(s.Name, ":")
		for _, i := range s.On {
			fmt.Print(" ", j.Zones[i].Name)
		}
		fmt.Println()
	}
	noon := time.Date(2026, 9, 7, 16, 0, 0, 0, time.UTC)
	facing := j.Facing(j.Zones[0], noon)
	fmt.Println("port side faces", job.CompassPoint(facing), facing)
	fmt.Println("crew at noon:", j.CrewHours(noon))
	// Output:
	// wash: port side rails
	// seal: port side
	// port side faces ESE 110
	// crew at noon: true
}

func ExampleErrors() {
	spoilt := strings.NewReplacer("latitude: 43.07", "latitude: 430.7", "bow: 200", "bow: WWS", "soap-wash", "soapwash").Replace(small)
	classes, _ := products.Catalogue()
	_, err := job.Parse("job.yaml", []byte(spoilt), classes, job.Options{})
	var all job.Errors
	if errors.As(err, &all) {
		for _, e := range all {
			fmt.Printf("%s | %s | %s\n", e.Where(), e.Message, e.Fix)
		}
	}
	// Output:
	// job.yaml:2:19 | `latitude` 430.7 is out of range | give degrees, north positive, from -90 to 90
	// job.yaml:3:30 | `bow` is no bearing: WWS | give degrees from 0 to 360, or a compass point such as NW
	// job.yaml:8:22 | unknown product `soapwash` | did you mean `soap-wash`?
}

func ExampleNew() {
	file, err := job.New(job.NewOptions{Kind: "centre-console", LengthM: 8.5, Boat: "Teal", Bow: "NW"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range strings.Split(string(file), "\n")[16:22] {
		fmt.Println(line)
	}
	// Output:
	// boat:
	//   name: Teal
	//   kind: centre-console            # brings the zones listed below
	//   length_m: 8.5                   # or length_ft
	//   bow: NW                         # degrees true, NW, {magnetic: 190, variation: -14}, or swinging
	//   afloat: true                    # false: ashore, with the underwater body
}

func ExampleQuick() {
	classes, _ := products.Catalogue()
	lat, lon, _ := job.ParseAt("43.07,-70.74")
	length, _ := job.ParseLength("43ft")
	j, err := job.Quick(job.QuickOptions{Latitude: lat, Longitude: lon, Kind: "flybridge-cruiser", LengthM: length, Bow: "200",
		Timezone: "America/New_York"}, classes)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range j.Steps {
		fmt.Println(s.Do, "with", s.With, "on", len(s.On), "zones")
	}
	// Output:
	// wash with soap-wash on 24 zones
	// correct with compound-dual-action on 11 zones
	// strip wash with soap-wash on 14 zones
	// seal with polymer-sealant on 14 zones
}

func ExampleJob_CheckTimezone() {
	classes, _ := products.Catalogue()
	text := strings.Replace(small, ", timezone: America/New_York", "", 1)
	j, _ := job.Parse("job.yaml", []byte(text), classes, job.Options{})
	fmt.Println(j.CheckTimezone())
	j, _ = job.Parse("job.yaml", []byte(text), classes, job.Options{Timezone: "Europe/London"})
	fmt.Println(j.CheckTimezone(), j.Location())
	// Output:
	// no time zone known for the place: write timezone under place, or give --timezone America/New_York
	// <nil> Europe/London
}

func ExampleNearest() {
	fmt.Println(job.Nearest("polymer-sealent", []string{"soap-wash", "polymer-sealant"}))
	// Output: polymer-sealant
}

func ExampleDate_Begins() {
	loc, err := time.LoadLocation("Europe/London")
	if err != nil {
		fmt.Println(err)
		return
	}
	d, _ := job.ParseDate("2026-10-25")
	fmt.Println(d.Begins(loc).Format(time.RFC3339), d.Next().Begins(loc).Sub(d.Begins(loc)))
	// Output: 2026-10-24T23:00:00Z 25h0m0s
}
