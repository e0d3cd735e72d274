package openmeteo_test

import (
	"fmt"
	"os"

	"dewgap/forecast"
	"dewgap/forecast/openmeteo"
)

// A saved reply, its first hour and what it says of the sun: the radiation of
// the hour from ten to eleven stands at eleven in the reply.
func ExampleParse() {
	data, err := os.ReadFile("../../testdata/replies/openmeteo_hourly.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	quay := forecast.Place{Latitude: 43.07, Longitude: -70.74}
	f, err := openmeteo.Parse(data, openmeteo.Options{Near: &quay})
	if err != nil {
		fmt.Println(err)
		return
	}
	air, _ := f.Members[0].Columns[forecast.AirTemperature].At(0)
	sun, _ := f.Members[0].Columns[forecast.GlobalRadiation].At(0)
	_, known := f.Members[0].Columns[forecast.GlobalRadiation].At(f.N - 1)
	fmt.Println(f.Attribution)
	fmt.Println(f.Start, f.Step, f.N)
	fmt.Println(air, "°C,", sun, "W/m²; sun of the last hour known:", known)
	// Output:
	// Weather data by Open-Meteo.com
	// 2026-09-10 14:00:00 +0000 UTC 1h0m0s 6
	// 16.2 °C, 452 W/m²; sun of the last hour known: false
}

// Of several models one is taken, and the forecast says which and why.
func ExampleParse_models() {
	data, err := os.ReadFile("../../testdata/replies/openmeteo_models.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := openmeteo.Parse(data, openmeteo.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Model)
	fmt.Println(f.Warnings[0])
	// Output:
	// harbor_global
	// the reply holds 2 models: harbor_global is taken, the first with temperature, humidity, wind, rain and sun or cloud
}
