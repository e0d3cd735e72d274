package products_test

import (
	"fmt"

	"dewgap/products"
)

// A person's own product departs from a class where the label in hand says so.
func ExampleSet_With() {
	set, _ := products.Catalogue()
	set, warnings, err := set.With("mine.yaml", []byte(`
products:
  - {id: harbour-wax, like: carnauba-wax, limits: {surface_c: {default: [12, 28], source: your label}}}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	c, _ := set.Class("harbour-wax")
	fmt.Println(c.Like, c.SurfaceC.Default.Min, c.SurfaceC.Default.Max, c.SurfaceC.Source, len(warnings))
	// Output: carnauba-wax 12 28 your label; other bands: common practice 0
}

// A mistake is told with line, column and what to do.
func ExampleSet_With_mistake() {
	set, _ := products.Catalogue()
	_, _, err := set.With("mine.yaml", []byte("products:\n  - {id: harbour-wax, like: carnauba-vax}\n"))
	fmt.Println(err)
	// Output: mine.yaml:2:29: there is no class carnauba-vax to be like; did you mean carnauba-wax?
}
