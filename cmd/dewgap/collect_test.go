package main

import (
	"math"
	"runtime"
	"runtime/debug"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Commands that stay, and people who set a pace of their own, are left alone; what has
// more in use may take more.
func TestPutOff(t *testing.T) {
	t.Setenv("GOGC", "")
	t.Setenv("GOMEMLIMIT", "")
	defer debug.SetMemoryLimit(math.MaxInt64)
	defer debug.SetGCPercent(debug.SetGCPercent(100))
	for _, args := range [][]string{nil, {"serve", "--demo"}, {"watch"}} {
		assert.False(t, putOff(args), args)
	}
	assert.Equal(t, int64(usualMemory), memoryFor(1<<20))
	assert.Equal(t, int64(600<<20), memoryFor(300<<20))

	require.True(t, putOff([]string{"week"}))
	assert.Equal(t, int64(usualMemory), debug.SetMemoryLimit(-1))
	held := make([]byte, 100<<20)
	assert.Eventually(t, func() bool {
		runtime.GC()
		return debug.SetMemoryLimit(-1) >= 200<<20
	}, 10*time.Second, time.Millisecond, "it grows with what is in use")
	runtime.KeepAlive(held)
	assert.Eventually(t, func() bool {
		runtime.GC()
		return debug.SetMemoryLimit(-1) == usualMemory
	}, 10*time.Second, time.Millisecond, "and shrinks with it")

	t.Setenv("GOGC", "50")
	assert.False(t, putOff([]string{"week"}))
}
