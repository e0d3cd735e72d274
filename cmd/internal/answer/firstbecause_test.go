package answer

import (
	"testing"

	"dewgap/products"

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
