package app

import (
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
)

// A zone with two blocks on the best day is told by the hour where they fare differently:
// "no-go on helm; marginal on helm" would leave nobody the wiser.
func TestCompare_TellsTwoBlocksOfAZoneApart(t *testing.T) {
	at := func(h int) time.Time { return time.Date(2026, 4, 4, h, 0, 0, 0, time.UTC) }
	facts := func(runs ...verdict.State) answer.Facts {
		r := &window.Result{Location: time.FixedZone("", 2*60*60), Grid: surface.Grid{Start: at(0), N: 24 * surface.PerHour}}
		row := window.Row{}
		for i, s := range runs { // six hours each
			run := verdict.Run{From: i * 6 * surface.PerHour, To: (i + 1) * 6 * surface.PerHour, State: s, Limit: verdict.Fog, Binding: verdict.Binding{Limit: verdict.Fog}}
			if s.Workable() {
				row.Windows = append(row.Windows, window.Window{Run: run})
			} else {
				row.Refusals = append(row.Refusals, run)
			}
		}
		r.Rows = []window.Row{row}
		return answer.Facts{Job: &job.Job{Zones: []boat.Zone{{Name: "helm"}}}, Result: r}
	}
	blocks := []block{{name: "helm", from: at(1), to: at(3)}, {name: "helm", from: at(7), to: at(9)}, {name: "helm", from: at(13), to: at(15)}}
	const g, m, x = verdict.Go, verdict.Marginal, verdict.NoGo
	before := facts(g, g, m)
	for want, after := range map[string]answer.Facts{
		"":                                   facts(g, g, x),
		"no-go on helm (fog wets the panel)": facts(x, x, x),
		"no-go on helm 03:00 (fog wets the panel); marginal on helm 09:00": facts(x, m, m),
		"marginal on helm": facts(g, m, m),
	} {
		assert.Equal(t, want, compare(blocks, before, after))
	}
}
