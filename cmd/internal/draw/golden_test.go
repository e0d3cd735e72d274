package draw

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// update writes the pictures anew, in place of checking them; look at them then, in
// both schemes: go test ./cmd/internal/draw -run Golden -update
var update = flag.Bool("update", false, "write testdata/draw anew")

const goldenFolder = "../../../testdata/draw"

func TestGolden(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 66)
	for _, d := range drawings {
		for _, width := range []int{360, 1280} {
			name := filepath.Join(goldenFolder, fmt.Sprintf("%s-%d.svg", d.kind, width))
			got := d.of(w, Options{Width: width}).SVG
			if *update {
				require.NoError(t, os.MkdirAll(goldenFolder, 0o755))
				require.NoError(t, os.WriteFile(name, got, 0o644))
			}
			want, err := os.ReadFile(name)
			require.NoError(t, err)
			assert.Equal(t, string(want), string(got), "%s is drawn otherwise; run with -update and look at it", name)
		}
	}
}

// The same answer gives the same bytes, and is not touched.
func TestDrawingTwiceIsTheSame(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 66)
	untouched := fmt.Sprintf("%v %v %v", w.Windows, w.Refusals, w.Plan.Blocks)
	for _, d := range drawings {
		a, b := d.of(w, Options{}), d.of(w, Options{})
		assert.Equal(t, string(a.SVG), string(b.SVG), d.kind)
		assert.Equal(t, a.Table, b.Table, d.kind)
	}
	assert.Equal(t, untouched, fmt.Sprintf("%v %v %v", w.Windows, w.Refusals, w.Plan.Blocks))
}
