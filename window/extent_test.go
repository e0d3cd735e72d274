package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/verdict"
)

// What is told of a panel in some slots is what the verdict saw in them: no good slot
// lies nearer the dew point than 3 K (ISO 8502-4), though the hour that it lies in
// began on a colder panel; and all of a window's slots together are what the window
// itself tells.
func TestMet_IsWhatTheVerdictSaw(t *testing.T) {
	f, now := damp()
	for _, towel := range []bool{true, false} {
		j := smallJob(t, "polymer-sealant")
		j.Towel = towel
		r := evaluate(t, f, j, now)
		row := r.Rows[0]
		good := 0
		for _, w := range row.Windows {
			panel, over := row.Panel.Extents(w.From-r.From, w.To-r.From)
			assert.Equal(t, w.Panel, panel)
			assert.Equal(t, w.OverDew, over)
			for i := w.From; i < w.To && w.State <= verdict.Go; i++ {
				_, one := row.Panel.Extents(i-r.From, i-r.From+1)
				require.True(t, one.Known)
				assert.GreaterOrEqual(t, one.Least, 3-1e-4)
				good++
			}
		}
		assert.Positive(t, good, "there are good hours")
		panel, over := row.Panel.Extents(row.Refusals[0].From-r.From, row.Refusals[0].From-r.From)
		assert.False(t, panel.Known || over.Known, "of no slot nothing is told")
	}
}

// Rows made by hand keep nothing, and slots beyond the horizon are none.
func TestMet_ToldOfNothing(t *testing.T) {
	var none *window.Met
	panel, over := none.Extents(0, 9)
	assert.False(t, panel.Known || over.Known)
	m := &window.Met{Surface: []float32{20, 21}, OverDew: []float32{4, 5}, Known: []bool{false, true}}
	panel, over = m.Extents(-3, 9)
	assert.Equal(t, window.Extent{Least: 21, Most: 21, Known: true}, panel)
	assert.Equal(t, window.Extent{Least: 5, Most: 5, Known: true}, over)
	panel, _ = m.Extents(0, 1)
	assert.False(t, panel.Known)
}

// Water on the panel is told while it lies there, towelled off later or not, on wood that
// soaks as well; and of a panel of which nothing is known none is.
func TestMet_Wet(t *testing.T) {
	for name, finished := range map[string]string{"gelcoat": "white-gelcoat", "teak": "teak"} {
		for _, towel := range []bool{true, false} {
			j := smallJob(t, "polymer-sealant")
			j.Towel, j.Zones[0].Finish = towel, finish(t, finished)
			dry, rained := calm(3), calm(3)
			now := dry.Start.Add(36 * time.Hour)
			for i := 33; i < 36; i++ {
				rained.Members[0].Columns[forecast.Precipitation].Set(i, 2)
			}
			wet := func(f *forecast.Forecast) bool {
				r := evaluate(t, f, j, now)
				return r.Rows[0].Panel.Wet(0)
			}
			assert.True(t, wet(rained), "%s, towel %t", name, towel)
			assert.False(t, wet(dry), "%s, towel %t", name, towel)
			rained.Members[0].Columns[forecast.AirTemperature] = forecast.NewColumn(rained.N)
			assert.False(t, wet(rained), "%s, towel %t: nothing is known", name, towel)
		}
	}
	var none *window.Met
	assert.False(t, none.Wet(0))
	m := &window.Met{Film: []float32{50, 50}, Known: []bool{true, false}}
	assert.Equal(t, []bool{false, true, false, false}, []bool{m.Wet(-1), m.Wet(0), m.Wet(1), m.Wet(2)})
}
