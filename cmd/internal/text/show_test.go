package text

import (
	"os"
	"testing"

	"dewgap/products"
)

func TestShow(t *testing.T) {
	u := os.Getenv("SHOW")
	if u == "" {
		t.Skip("")
	}
	set, err := products.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	var all []products.Class
	for _, id := range []string{"soap-wash", "compound-dual-action", "polymer-sealant", "varnish", "antifouling", "moisture-cure-sealant", "gelcoat-repair"} {
		c, _ := set.Class(id)
		all = append(all, c)
		Class(os.Stdout, c, Options{Units: u})
		os.Stdout.WriteString("\n----\n")
	}
	Products(os.Stdout, all, Options{Units: u})
	os.Stdout.WriteString("\n----\n")
	Morning(os.Stdout, early(), Options{Units: u})
}
