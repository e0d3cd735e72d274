package answer

import (
	"testing"

	"dewgap/window"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
)

// bySlots gives a row slots of its own: as many of each limit as said, from a moment on, all
// marginal.
func (b *board) bySlots(row *window.Row, from string, limits ...any) {
	n := b.f.Result.To - b.f.Result.From
	row.Slots = &window.Slots{State: make([]verdict.State, n), Limit: make([]verdict.Limit, n)}
	k := b.slot(from) - b.f.Result.From
	for i := 0; i < len(limits); i += 2 {
		for range limits[i].(int) {
			row.Slots.State[k], row.Slots.Limit[k] = verdict.Marginal, limits[i+1].(verdict.Limit)
			k++
		}
	}
}

// A cold morning that ends in the sun is told of both: the limit of the worst slot is not that
// of all, and whoever has a sheet against the sun seals on a cold panel else.
func TestBesides(t *testing.T) {
	b := newBoard(t, "seal")
	row := b.row("seal", "port side", night+"m sunlight_max 10:00;x hours end")
	besides := func() []string { return newBuilder(b.f).windows()[0].Besides }
	assert.Empty(t, besides(), "a row that does not tell its slots apart")
	b.bySlots(row, "07:00", 10, verdict.AirMin, 8, verdict.SunlightMax)
	assert.Equal(t, []string{"the air is too cold"}, besides())
	b.bySlots(row, "07:00", 3, verdict.AirMin, 5, verdict.DewFree, 4, verdict.SurfaceMin, 1, verdict.UVMax, 5, verdict.SunlightMax)
	assert.Equal(t, []string{"dew follows too soon", "the panel is too cold"}, besides(), "two of them, and the sun's own once")
	row.Windows[0].Limit = verdict.GustMax
	b.bySlots(row, "07:00", 9, verdict.WindMax, 9, verdict.GustMax)
	assert.Empty(t, besides(), "gusts are wind")
	row.Windows[0].State = verdict.Go
	b.bySlots(row, "07:00", 18, verdict.AirMin)
	assert.Empty(t, besides(), "nobody is asked for a yes")
}

// Against a day stands what most of its marginal slots need the yes for, over all zones, and
// not what the worst of them does. It has a figure where a window is told by it.
func TestWhyNotCountsSlots(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"m sunlight_max 10:00;x hours +07:00;g none end")
	b.row("seal", "foredeck", night+"m cure 09:00;x hours +07:00;g none end")
	port, deck := &b.f.Result.Rows[0], &b.f.Result.Rows[1]
	against := func() []string { return newBuilder(b.f).headline().WhyNot }
	assert.Equal(t, []string{"Thu 10 Sep: sunlight on the panel 3 W/m², at most 4 (port side)"}, against())
	b.bySlots(port, "07:00", 10, verdict.AirMin, 8, verdict.SunlightMax)
	b.bySlots(deck, "07:00", 6, verdict.AirMin, 6, verdict.Cure)
	assert.Equal(t, []string{"Thu 10 Sep: the air is too cold (port side, foredeck)"}, against())
	deck.Windows[0].Limit, deck.Windows[0].Binding.Limit = verdict.AirMin, verdict.AirMin
	assert.Equal(t, []string{"Thu 10 Sep: air 3 °C, needs 4 (port side, foredeck)"}, against())
}
