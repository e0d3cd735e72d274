package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/plan"
	"dewgap/window/surface"
)

// Masking tape stays on for 24 hours in the sun (common practice, no source): the second coat
// of the next morning is still within them, one that ends later wants fresh tape, which lasts
// for its own day.
func TestTape(t *testing.T) {
	b := newBoard(t, "coat")
	b.row("coat", "port side", night+"g none 18:00"+tomorrow)
	b.f.Job.Steps[0].Tape = true
	p := &window.Planned{Tasks: make([]window.PlanTask, 3)}
	p.Input.Tasks = make([]plan.Task, 3)
	coats := func(from ...int) (words []string) {
		p.Blocks = nil
		for k := range from {
			p.Blocks = append(p.Blocks, plan.Block{Task: k, From: from[k], To: from[k] + 6, WorkTo: from[k] + 6, Dried: -1})
		}
		made := newBuilder(b.f)
		for _, x := range p.Blocks {
			words = append(words, made.planBlock(p, x).Mind)
		}
		return words
	}
	const day = 24 * 6
	begins := newBuilder(b.f).at(b.f.Result.From + 12)
	by := func(days int) string { return "tape off by " + begins.AddDate(0, 0, days).Format(stamp) }
	assert.Equal(t, []string{by(1), by(1), "fresh tape first, " + by(3)}, coats(12, 12+day-6, 12+2*day))
	assert.Equal(t, []string{by(1), "fresh tape first, tape off by " + begins.AddDate(0, 0, 2).Add(-5*surface.Slot).Format(stamp)},
		coats(12, 12+day-5), "it ends ten minutes too late")

	b.f.Job.Zones[0].Done = map[string]boat.Done{"coat": {Share: 1. / 3, At: begins.Add(-surface.Slot * 40)}}
	assert.Equal(t, []string{"tape off by " + begins.Add(-surface.Slot*40).AddDate(0, 0, 1).Format(stamp)}, coats(12), "of the coat that is logged")

	b.f.Job.Zones[0].Shelter = boat.Hardtop
	assert.Equal(t, []string{""}, coats(12), "no sun")
	b.f.Job.Zones[0].Shelter = boat.Open
	b.f.Job.Steps[0].Tape = false
	assert.Equal(t, []string{""}, coats(12))
}
