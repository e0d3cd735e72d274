package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"slices"
)

// usualMemory is what a run may take before its garbage is collected, in bytes.
const usualMemory = 48 << 20

// putOff has a command that answers and ends collect its garbage only where memory gets
// large: what a small job leaves is gone with the program anyway. Those that stay keep
// Go's own pace, and so does whoever sets one.
func putOff(args []string) bool {
	if len(args) == 0 || slices.Contains([]string{"serve", "watch"}, args[0]) || os.Getenv("GOGC")+os.Getenv("GOMEMLIMIT") != "" {
		return false
	}
	debug.SetGCPercent(-1)
	debug.SetMemoryLimit(usualMemory)
	afterEach(func() { debug.SetMemoryLimit(memoryFor(inUse())) })
	return true
}

// memoryFor is what a run may take that has so much in use: twice that, as is Go's own
// pace, but no less than is usual.
func memoryFor(inUse uint64) int64 { return max(usualMemory, int64(2*inUse)) }

// afterEach calls f after every collection: with one a new object goes that nobody
// holds.
func afterEach(f func()) {
	runtime.AddCleanup(new([64]byte), func(f func()) {
		f()
		afterEach(f)
	}, f)
}

// inUse is what the last collection left, in bytes.
func inUse() uint64 {
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(live)
	return live[0].Value.Uint64()
}
