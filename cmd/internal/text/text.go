// Package text renders answers as plain text for a person on a dock: 80
// columns, state by word and shape, colour only as an extra.
package text

import (
	"io"

	"dewgap/cmd/internal/answer"
	"dewgap/products"
	"dewgap/window/job"
)

// Options are the choices of a screen.
type Options struct {
	Units  string // "metric" or "us"; "" is metric
	Wind   string // "m/s", "mph" or "kn"; "" takes the unit that goes with Units
	Colour bool   // ANSI colours, as an extra to word and shape
	Width  int    // columns; 0 is 80
	Hours  bool   // week: an hourly table per zone as well
}

// Week writes the answer of dewgap week.
func Week(w io.Writer, a *answer.Week, o Options) error { return nil }

// Morning writes the answer of dewgap morning.
func Morning(w io.Writer, a *answer.Morning, o Options) error { return nil }

// Products writes the catalogue, one line a class, grouped by what it does.
func Products(w io.Writer, list []products.Class, o Options) error { return nil }

// Class writes one class: limits, clocks, life, finishes and cautions.
func Class(w io.Writer, c products.Class, o Options) error { return nil }

// Check writes what a checked job says, in short.
func Check(w io.Writer, j *job.Job, o Options) error { return nil }

// Because is the sentence for what decides a state, in the units of o.
func Because(b answer.Binding, o Options) string { return b.Text }
