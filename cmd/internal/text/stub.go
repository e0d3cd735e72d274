package text
import ("io";"dewgap/products";"dewgap/window/job")

// Products writes the catalogue, one line a class, grouped by what it does.
func Products(w io.Writer, list []products.Class, o Options) error { return nil }

// Class writes one class: limits, clocks, life, finishes and cautions.
func Class(w io.Writer, c products.Class, o Options) error { return nil }

// Check writes what a checked job says, in short.
func Check(w io.Writer, j *job.Job, o Options) error { return nil }
