package answer

import (
	"testing"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/plan"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
)

// Whoever is asked for a yes to hours to come is told to what; of hours that need none, or
// that have begun, there is nothing to tell beside the hour.
func TestMorning_TellsWhatAYesToComeIsFor(t *testing.T) {
	for row, want := range map[string]string{
		night + "x film 09:00;m humidity_max 18:00":                   "humidity over 4 %",
		night + "m humidity_max 18:00":                                "humidity over 4 %",
		night + "x film 09:00;g none 18:00":                           "",
		night + "x film 09:00;m humidity_max 10:00;g none 18:00":      "",
		"m humidity_max 18:00":                                        "",
		night + "x film 09:00;m rain_free 12:00;m humidity_max 18:00": "rain less than 4 h after the work",
	} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", row+tomorrow)
		s := NewMorning(b.f).Steps[0]
		assert.Equal(t, want, s.FirstBecause, row)
	}
	b := newBoard(t, "seal")
	b.f.Classes = classes{"seal-class": products.Class{ID: "seal-class", Do: "seal", People: 1, RateUnit: "m2",
		RateM2H: products.Range{Given: true, Min: 4, Max: 4}}}
	b.f.Job.Zones[0].AreaM2 = 20
	b.row("seal", "port side", night+"x film 08:40;g none 09:20;m wind_max 13:00;x gust_max 18:00"+tomorrow)
	s := NewMorning(b.f).Steps[0]
	assert.Equal(t, []any{"marginal", "good for only 40 min"}, []any{s.FirstState, s.FirstBecause})
}

// Short work that has no window alone but a block beside other work is not said to have no
// window: the plan of the book counts, else the one just made.
func TestChange_TellsOfTheBlockInThePlan(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"x film 18:00;x hours end")
	change := func() string { return NewMorning(b.f).Steps[0].Change }
	assert.Equal(t, "no window within 42 hours", change())

	block := plan.Block{Task: 0, From: b.slot("+11:50"), State: verdict.Marginal, Consent: true}
	block.From -= b.f.Result.From
	block.To = block.From + 2
	b.f.Planned = &window.Planned{Tasks: []window.PlanTask{{Row: 0, Step: 0, Zone: 0}}, Result: plan.Result{Found: true, Blocks: []plan.Block{block}}}
	assert.Equal(t, "too few hours alone; in the plan Fri 11 Sep 11:50, beside other work, with your yes", change())

	agreed := func(zone, at string) PlanBlock {
		return PlanBlock{Step: "seal", Zone: zone, From: clock(t, at), To: clock(t, at).Add(time.Hour)}
	}
	b.f.Agreed = []PlanBlock{agreed("port side", "2026-09-11 15:00"), agreed("port side", "2026-09-11 14:00"), agreed("foredeck", "2026-09-11 08:00")}
	assert.Equal(t, "too few hours alone; in the plan Fri 11 Sep 14:00, beside other work", change(), "the plan that was agreed outranks a new one")
	b.f.Agreed = b.f.Agreed[2:]
	assert.Equal(t, "no window within 42 hours", change(), "and has no block for it")
}
