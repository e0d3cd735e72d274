package air_test

import (
	"fmt"

	"dewgap/forecast/air"
)

// Dew forms on a panel that is colder than this.
func ExampleDewPoint() {
	fmt.Printf("%.1f °C\n", air.DewPoint(25, 60))
	// Output: 16.7 °C
}
