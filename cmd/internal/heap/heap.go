// Package heap readies the memory of a program that answers within a tenth of a second. Its
// import is all there is to it, and what it does is done before other packages begin: the
// runtime starts packages whose imports are ready in the order of their paths.
//
// Half of that tenth went to memory. A page of 4 kB that is touched for the first time costs
// up to 20 µs in a virtual machine, and the demo touches four thousand; a collector that
// begins at 4 MB runs ten times for an answer that never needs 40.
package heap

import (
	"os"
	"runtime"
	"runtime/debug"
)

const (
	// reserved is how much of the heap lies in big pages, in bytes: more than a week of one
	// boat needs. It is taken from the system only as far as it is touched.
	reserved = 48 << 20

	// patience is how much is in use when the collector first looks, as GOGC counts it: in
	// hundredths of the 4 MB at which it would begin.
	patience = 800
)

func init() {
	usual := debug.SetGCPercent(-1)
	inBigPages(reserved)
	debug.SetGCPercent(usual)
	if os.Getenv("GOGC") == "" {
		lookLater()
	}
}

// lookLater lets the collector wait until 32 MB are in use. From then on it runs as it always
// does: what lasts longer than an answer, a server or a watch, shall not grow by it.
func lookLater() {
	usual := debug.SetGCPercent(patience)
	runtime.AddCleanup(new([64]byte), func(percent int) { debug.SetGCPercent(percent) }, usual)
}
