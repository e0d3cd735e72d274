package pages

import (
	"net/http"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Small panels that one person washes one after the other are one entry of the week, of the
// day and of the sheet, each with its hour; on the sheet each can be ticked off.
func TestStintsOnPages(t *testing.T) {
	job := strings.Replace(webtest.SmallJob, "  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 6}\n",
		"  - {name: locker, tilt: 0, finish: white-gelcoat, area_m2: 2}\n  - {name: hatch, tilt: 0, finish: white-gelcoat, area_m2: 2}\n  - {name: helm, tilt: 0, finish: white-gelcoat, area_m2: 2}\n", 1)
	job = strings.Replace(job, "{do: seal, with: polymer-sealant}", "{do: wash, with: soap-wash}", 1)
	s := standOn(t, setup{texts: []string{job}})
	w, err := fitted{s.desk, nil}.Week(t.Context(), "kittiwake")
	require.NoError(t, err)
	require.Len(t, w.Plan.Blocks, 3)
	require.Len(t, answer.Stints(w.Plan.Blocks), 1)
	blocks := func(path string) []*node {
		root := decent(t, path, s.get(path).Body.String())
		return root.all(func(n *node) bool { return n.name == "li" && strings.HasPrefix(n.attr["class"], "block ") })
	}
	day := "/day/kittiwake/" + isoDay(w.Plan.Blocks[0].From)
	for _, path := range []string{"/week/kittiwake", day} {
		list := blocks(path)
		require.Len(t, list, 1, path)
		for _, b := range w.Plan.Blocks {
			assert.Contains(t, list[0].text(), b.Zone, path)
			assert.Contains(t, list[0].text(), clock(b.From), path)
		}
		assert.Contains(t, list[0].text(), plainly(hours(w.Plan.Blocks[0].From, w.Plan.Blocks[2].To)), path)
	}
	sheet := decent(t, day, s.get(day+"/sheet").Body.String())
	rows := sheet.named("tbody")[0].named("tr")
	require.Len(t, rows, 1)
	assert.Len(t, rows[0].all(func(n *node) bool { return n.attr["class"] == "box" }), 3)
}

// Good hours that no plan of the whole job leads to are no promise: the page says so with
// the verdict, and why.
func TestGoButNoPlan(t *testing.T) {
	job := strings.Replace(webtest.SmallJob, "timezone: America/New_York", "timezone: America/New_York, water: none", 1)
	job = strings.Replace(strings.Replace(job, "by: 2026-09-09", "by: 2026-09-12", 1), "steps:\n", "steps:\n  - {do: wash, with: soap-wash}\n", 1)
	s := standOn(t, setup{texts: []string{job}})
	says(t, s.main("/week/kittiwake", http.StatusOK), "Go, but no plan: seal", "No plan of the whole job leads there: wash on port side has no place: the place does not allow this water to run off.")
	text := standOn(t, setup{texts: []string{strings.Replace(job, ", water: none", "", 1)}}).main("/week/kittiwake", http.StatusOK)
	assert.NotContains(t, text, "but no plan")
	assert.NotContains(t, text, "No plan of the whole job")
}
