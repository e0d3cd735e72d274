package text

import (
	"os"
	"testing"
)

func TestShow(t *testing.T) {
	u := os.Getenv("SHOW")
	if u == "" {
		t.Skip("")
	}
	Week(os.Stdout, lateSummer(t), Options{Units: u, Colour: true})
	os.Stdout.WriteString("\n----\n")
	Morning(os.Stdout, early(), Options{Units: u})
}
