package crew_test

import (
	"fmt"
	"time"

	"dewgap/window/crew"
)

// A noon in the sun that a heat index, which assumes shade, lets pass.
func ExampleWBGT() {
	r := crew.WBGT(crew.WBGTInput{
		AirC: 27.5, HumidityPct: 60, PressureHPa: 1015, SolarWM2: 850, CosZenith: 0.9,
		WindMS: 2, WindHeightM: 3,
	})
	fmt.Printf("WBGT %.1f °C: wet bulb %.1f, globe %.1f\n", r.WBGT, r.NaturalWetBulb, r.GlobeC)
	fmt.Printf("lines for polishing: %.1f and %.1f °C\n",
		crew.AlertLimit(crew.PolishW), crew.ExposureLimit(crew.PolishW))
	// Output:
	// WBGT 27.9 °C: wet bulb 23.8, globe 42.6
	// lines for polishing: 25.0 and 28.2 °C
}

func ExampleHeatIndex() {
	fmt.Printf("%.1f °C\n", crew.HeatIndex(33, 60))
	// Output: 39.5 °C
}

func ExampleCautions() {
	at := time.Date(2026, 9, 7, 16, 0, 0, 0, time.UTC)
	in := crew.Input{Step: time.Hour, Slots: []crew.Slot{{
		At: at, AirC: crew.Some(27.5), HumidityPct: crew.Some(60), WindDeckMS: crew.Some(2),
		GustMS: crew.Some(5), SunlightWM2: crew.Some(850), CosZenith: crew.Some(0.9),
		UVIndex: crew.Some(7.2), ThunderKnown: true,
	}}}
	for _, c := range crew.Cautions(in) {
		fmt.Printf("%s %s %.1f %s\n", c.Kind, c.Level, c.Value, c.Unit)
	}
	// Output:
	// wbgt caution 27.9 °C
	// uv caution 7.2
}
