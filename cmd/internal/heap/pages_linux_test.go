package heap

import (
	"bufio"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestBigPages asks the system itself: a stretch of the heap is to lie in big pages, and to
// lend more makes it longer.
func TestBigPages(t *testing.T) {
	kB := advised(t)
	if kB < 0 {
		t.Skip("this system does not tell how it was advised")
	}
	require.GreaterOrEqual(t, kB, reserved>>10)

	lend(4 * reserved)
	require.GreaterOrEqual(t, advised(t), 4*reserved>>10, "what is asked for is what is advised")
}

// advised is how many kB of this process's memory were asked for in big pages (proc(5):
// "hg" among the VmFlags of smaps), below zero where the system has no such flags.
func advised(t *testing.T) int {
	f, err := os.Open("/proc/self/smaps")
	if err != nil {
		return -1
	}
	defer f.Close()
	sum, size, flags := 0, 0, false
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		words := strings.Fields(lines.Text())
		switch words[0] {
		case "Size:":
			size = number(t, words[1])
		case "VmFlags:":
			flags = true
			if strings.Contains(lines.Text()+" ", " hg ") {
				sum += size
			}
		}
	}
	require.NoError(t, lines.Err())
	if !flags {
		return -1
	}
	return sum
}

func number(t *testing.T, s string) int {
	n, err := strconv.Atoi(s)
	require.NoError(t, err)
	return n
}
