package app_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/demo"
)

// A plan tells of each block what has to be brought to reach its panel.
func TestWeek_TellsWhatPanelsAreReachedBy(t *testing.T) {
	t.Parallel()
	text := strings.Replace(string(demo.JobFile()), "steps:", "zones:\n  - {name: port side, access: ladder}\n  - {name: transom, access: float}\nsteps:", 1)
	w := fixture{now: monday, forecast: weather(t, monday), job: text}.week(t)
	want := map[string]string{"port side": "ladder", "transom": "float", "starboard side": "", "foredeck": ""}
	seen := map[string]bool{}
	require.NotNil(t, w.Plan)
	for _, b := range w.Plan.Blocks {
		assert.Equal(t, want[b.Zone], b.Reach, "%s", b.Zone)
		seen[b.Zone] = true
	}
	assert.Len(t, seen, len(want))
}
