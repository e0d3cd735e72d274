package sky_test

import (
	"fmt"
	"time"

	"dewgap/forecast/sky"
)

// Where the sun stood over a dock one September noon, without refraction by a
// measured pressure.
func ExampleSun() {
	at := time.Date(2026, 9, 8, 12, 0, 0, 0, time.FixedZone("", -4*3600))
	p := sky.Sun(at, 43.07, -70.74, 1013, 20)
	fmt.Printf("%.1f° high, bearing %.0f°\n", p.Elevation, p.Azimuth)
	// Output: 51.4° high, bearing 164°
}
