package products

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

func lineOf(t *testing.T, c Class, key string) Line {
	t.Helper()
	for _, l := range c.Explain() {
		if l.Key == key {
			return l
		}
	}
	t.Fatalf("%s has no line %s", c.ID, key)
	return Line{}
}

func TestExplain(t *testing.T) {
	s := catalogueOf(t)
	seal := classOf(t, s, "polymer-sealant")
	assert.Equal(t, Line{
		Key: "surface_c", Label: "surface", Unit: "°C", Graded: true,
		Ideal: between(15, 27), Default: between(10, 32), Hard: between(8, 36), Source: "common practice",
	}, lineOf(t, seal, "surface_c"))
	assert.Equal(t, Line{
		Key: "rain_free", Label: "rain-free", Unit: "h", Graded: true,
		Ideal: atLeast(8), Default: atLeast(4), Hard: atLeast(2), Source: "common practice",
	}, lineOf(t, seal, "rain_free"))
	assert.Equal(t, Line{
		Key: "haze_min", Label: "haze", Unit: "min", Default: between(30, 240), Source: "common practice",
	}, lineOf(t, seal, "haze_min"))
	assert.Equal(t, atMost(1), lineOf(t, seal, "film_max_g_m2").Hard)
	assert.Equal(t, "m²/h and person", lineOf(t, seal, "rate_m2_h").Unit)
	assert.Equal(t, "m/h and person", lineOf(t, classOf(t, s, "metal-polish"), "rate_m2_h").Unit)
	assert.Equal(t, "repairs a day", lineOf(t, classOf(t, s, "gelcoat-repair"), "rate_m2_h").Unit)
	varnish := classOf(t, s, "varnish")
	assert.Equal(t, "h at 20 °C", lineOf(t, varnish, "dew_free").Unit, "equivalent hours are said to be so")
	assert.Equal(t, "h", lineOf(t, varnish, "dry_off").Unit, "dry-off is in plain hours")
	assert.Equal(t, "wet edge", lineOf(t, varnish, "flash_min").Label)
	assert.Equal(t, atMost(80), lineOf(t, varnish, "cure_humidity_pct").Default)
	assert.Equal(t, atLeast(120), lineOf(t, classOf(t, s, "polyurethane-topcoat"), "roof").Default)
}

// TestExplainLeavesOut: what a class does not limit has no line, and each key
// has one at the most.
func TestExplainLeavesOut(t *testing.T) {
	s := catalogueOf(t)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		seen := map[string]bool{}
		for _, l := range c.Explain() {
			assert.False(t, seen[l.Key], "%s %s", id, l.Key)
			seen[l.Key] = true
			assert.NotEmpty(t, l.Label)
			assert.False(t, l.Loosened)
		}
		assert.Equal(t, c.SpreadK.Given, seen["spread_k"], id)
		assert.Equal(t, c.UVIndex.Given, seen["uv_index"], id)
		assert.Equal(t, c.DewDryOff.Given, seen["dew_dry_off"], id)
		assert.Equal(t, c.HasCureMin, seen["min_c"], id)
	}
}

func TestExplainLoosened(t *testing.T) {
	s, _ := own(t, "products: [{id: teak-sealer, clocks_h: {dry_off: {default: 12, source: page 2}}}]\n")
	l := lineOf(t, classOf(t, s, "teak-sealer"), "dry_off")
	assert.True(t, l.Loosened)
	assert.Equal(t, "page 2, looser than the class's hard bound", l.Source, "it is said wherever the bound is")
	assert.Equal(t, l.Source, classOf(t, s, "teak-sealer").DryOff.Provenance())
	partly, _ := own(t, "products: [{id: teak-sealer, limits: {wind_m_s: {default: 12, hard: 16, source: page 2}}}]\n")
	assert.Regexp(t, "^page 2, looser than the class's hard bound; other bands: .", classOf(t, partly, "teak-sealer").WindMS.Provenance())
	within, _ := own(t, "products: [{id: teak-sealer, clocks_h: {dry_off: {default: 24, hard: 20, source: page 2}}}]\n")
	assert.Equal(t, "page 2", classOf(t, within, "teak-sealer").DryOff.Provenance())
}

// A label outranks the class; what it leaves out is the class's.
func ExampleSet_With() {
	set, err := Catalogue()
	if err != nil {
		fmt.Println(err)
		return
	}
	label := "products:\n- id: locker-wax\n  like: carnauba-wax\n  limits: {surface_f: [55, 85]}\n  clocks_h: {rain_free: 0.5}\n"
	set, warnings, err := set.With("label.yaml", []byte(label))
	if err != nil {
		fmt.Println(err)
		return
	}
	wax, _ := set.Class("locker-wax")
	fmt.Println("surface", wax.SurfaceC.Default, "°C from", wax.SurfaceC.Source)
	fmt.Println("air", wax.AirC.Default, "°C from", wax.AirC.Source)
	fmt.Println(warnings[len(warnings)-1])
	// Output:
	// surface 12.778–29.444 °C from your label; other bands: common practice
	// air 12–30 °C from common practice
	// label.yaml:5:25: locker-wax rain-free 0.5 h is looser than the class's hard 1 h: your label outranks it, and every verdict says so
}
