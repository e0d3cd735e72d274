package answer

import (
	"testing"
	"time"

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
	against := func() []string { return headed(b.f).WhyNot }
	assert.Equal(t, []string{"Thu 10 Sep: sunlight on the panel 3 W/m², at most 4 (port side)"}, against())
	b.bySlots(port, "07:00", 10, verdict.AirMin, 8, verdict.SunlightMax)
	b.bySlots(deck, "07:00", 6, verdict.AirMin, 6, verdict.Cure)
	assert.Equal(t, []string{"Thu 10 Sep: the air is too cold (port side, foredeck)"}, against())
	deck.Windows[0].Limit, deck.Windows[0].Binding.Limit = verdict.AirMin, verdict.AirMin
	assert.Equal(t, []string{"Thu 10 Sep: air 3 °C, needs 4 (port side, foredeck)"}, against())
}

// Windows that are told in one are told with all that the yes is for: what other hours of
// the first need it for, and other zones, each once and the wind and its gusts as one.
func TestAlsoFor(t *testing.T) {
	w := func(zone, limit string, besides ...string) Window {
		return Window{Zone: zone, State: "marginal", Binding: Binding{Limit: limit}, Besides: besides}
	}
	assert.Empty(t, AlsoFor([]Window{w("transom", "uv_max")}))
	assert.Equal(t, "in other hours the air is too cold", AlsoFor([]Window{w("transom", "uv_max", "the air is too cold", "too much sun")}))
	assert.Equal(t, "in other hours or on other zones the air is too cold and too windy",
		AlsoFor([]Window{w("transom", "uv_max", "the air is too cold"), w("foredeck", "gust_max"), w("port side", "air_min", "too much sun")}))
	assert.Empty(t, AlsoFor([]Window{w("transom", "uv_max"), w("foredeck", "sunlight_max")}), "the same all over")
	assert.Empty(t, AlsoFor([]Window{{Zone: "transom", State: "go", Besides: []string{"fog"}}}), "nobody is asked for a yes")
}

// The work before is told where a block begins before it can be done, the latest of all zones.
func TestReadyAt(t *testing.T) {
	six := time.Date(2026, 9, 10, 6, 0, 0, 0, time.UTC)
	w := func(block, ready int) Window {
		at := six.Add(time.Duration(ready) * time.Hour)
		return Window{State: "go", Best: &Block{From: six.Add(time.Duration(block) * time.Hour), State: "go"}, ReadyAt: &at}
	}
	assert.Equal(t, six.Add(4*time.Hour), *ReadyAt([]Window{w(2, 3), w(3, 4), w(0, 1)}))
	assert.Nil(t, ReadyAt([]Window{w(3, 3)}))
	none := w(1, 3)
	none.Best = nil
	assert.Nil(t, ReadyAt([]Window{none, {State: "go", Best: w(1, 1).Best}}))
}
