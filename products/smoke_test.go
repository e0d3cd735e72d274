package products

import (
	"fmt"
	"testing"
	"time"
)

func TestSmoke(t *testing.T) {
	t0 := time.Now()
	s, err := Catalogue()
	fmt.Println(time.Since(t0))
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println(len(s.IDs()), s.IDs(), s.Hash())
	for _, id := range []string{"soap-wash", "polymer-sealant", "teak-sealer"} {
		c, _ := s.Class(id)
		for _, l := range c.Explain() {
			fmt.Printf("%-22s %-8s / %-8s / %-8s %s [%s] %v\n", l.Label, l.Ideal, l.Default, l.Hard, l.Unit, l.Source, l.Graded)
		}
		fmt.Println()
	}
	o, w, err := s.With("own.yaml", []byte("products:\n  - id: teak-sealer\n    clocks_h: {dry_off: 12}\n  - {id: my-sealant, like: polymer-sealant, do: seal, machine: false, water: none, limits: {surface_c: {ideal: [15, 27], default: [10, 32], hard: [8, 36], source: your label}, spread_k: {ideal: 4, default: 3, hard: 2}}, clocks_h: {dry_off: {default: 2, hard: 1}, rain_free: {ideal: 8, default: 4, hard: 2}}, haze_min: [30, 240], rate_m2_h: [6, 12]}\n"))
	fmt.Println(w, err)
	if err == nil {
		c, _ := o.Class("teak-sealer")
		fmt.Printf("%+v\n", c.DryOff)
		fmt.Println(c.Warnings)
	}
}
func BenchmarkCatalogue(b *testing.B) {
	for b.Loop() {
		Catalogue()
	}
}
