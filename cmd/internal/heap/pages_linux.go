package heap

import (
	"runtime"
	"syscall"
)

// inBigPages asks for the first bytes of the heap in pages of 2 MB, where the system has
// them on request (transparent huge pages at "madvise", as most do): one fault in place of
// 512. The runtime has no word for it, so it lends us the memory as a slice that is never
// touched, and has it back at once; what the system was told of its addresses stays.
// Where the system refuses, pages are as small as ever.
func inBigPages(bytes int) {
	lend(bytes)
	runtime.GC()
}

//go:noinline so that no register holds the slice while the collector looks
func lend(bytes int) {
	_ = syscall.Madvise(make([]byte, bytes), syscall.MADV_HUGEPAGE)
}
