package text

import (
	"dewgap/window/job"
	"io"
)

// Check writes what a checked job says, in short.
func Check(w io.Writer, j *job.Job, o Options) error { return nil }
