package heap

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestTheCollectorWaitsOnce: it is patient until it has looked once, and as usual from then on.
func TestTheCollectorWaitsOnce(t *testing.T) {
	require.Eventually(t, func() bool { // what the import began has ended
		runtime.GC()
		return percent() != patience
	}, 10*time.Second, time.Millisecond)
	before := debug.SetGCPercent(70)
	t.Cleanup(func() { debug.SetGCPercent(before) })

	lookLater()
	require.Equal(t, patience, percent())
	require.Eventually(t, func() bool {
		runtime.GC()
		return percent() == 70
	}, 10*time.Second, time.Millisecond)
}

// percent is how patient the collector is now, in hundredths.
func percent() int {
	now := []metrics.Sample{{Name: "/gc/gogc:percent"}}
	metrics.Read(now)
	return int(now[0].Value.Uint64())
}
