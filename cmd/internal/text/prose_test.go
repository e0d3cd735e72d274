package text

import (
	"strconv"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestProse(t *testing.T) {
	for in, want := range map[string]string{
		"dew point +2 K makes the last 13:50":                  "dew point +3.6 °F makes the last 13:50",
		"wind +2 m/s, a breeze over 6 m/s":                     "wind +4 mph, a breeze over 13 mph",
		"panel 13.4 °C (forecast said 15.1)":                   "panel 56 °F (forecast said 15.1)",
		"between 10 and 20 °C":                                 "between 50 and 68 °F",
		"10-20 °C, −5 °C":                                      "50-68 °F, 23 °F",
		"sections of 0.3 to 0.5 m²":                            "sections of 3 to 5 sq ft",
		"4 mm of rain":                                         "0.16 in of rain",
		"82 g/m² of water":                                     "82 g/m² of water",
		"water on the panel, 31.1 g/m², at most 1 (all zones)": "water on the panel (all zones)",
		// A bound that leaves its unit out goes with the value, to its strict side.
		"gusts 11.4 m/s, at most 9 (foredeck)":                       "gusts 26 mph, at most 20 (foredeck)",
		"panel 2.6 K over dew point, needs 3":                        "panel 4.6 °F over dew point, needs 5.4",
		"panel 0.3 K below dew point, in the shade":                  "panel 0.6 °F below dew point, in the shade",
		"panel under 2.6 K over dew point, from 11:00":               "panel under 4.7 °F over dew point, from 11:00",
		"surface down to 6 °C while it cures, needs 8":               "surface down to 42 °F while it cures, needs 47",
		"wind 4 m/s at the panel, ideal up to 3; air 9 °C, needs 10": "wind 9 mph at the panel, ideal up to 6; air 48 °F, needs 50",
		// A value past its bound never looks as if it were inside it.
		"panel 30.1 °C, at most 30":        "panel 87 °F, at most 86",
		"panel 29.9 °C, at most 30":        "panel 85 °F, at most 86",
		"air -2.9 °C, needs 8 (port side)": "air 26 °F, needs 47 (port side)",
		// A bound that stands alone goes to its strict side as well.
		"air under 8 °C, from 15:50":                      "air under 47 °F, from 15:50",
		"panel under 8 °C while it cures, from 14:50":     "panel under 47 °F while it cures, from 14:50",
		"panel under 8 °C for most of its cure":           "panel under 47 °F for most of its cure",
		"panel over 36 °C, from 11:00":                    "panel over 96 °F, from 11:00",
		"wind over 8 m/s at the panel, from 09:20":        "wind over 17 mph at the panel, from 09:20",
		"air at most 8 °C, at least 8 °C, needs 8 °C":     "air at most 46 °F, at least 47 °F, needs 47 °F",
		"panel turnover 8 °C, thunder 8 °C, over it 8 °C": "panel turnover 46 °F, thunder 46 °F, over it 46 °F",
		"air 9 °C, needs 10 °C":                           "air 48 °F, needs 50 °F",
		"surface 12 °C, needs 4 h":                        "surface 54 °F, needs 4 h",
		"rain 2.5 h after, needs 4":                       "rain 2.5 h after, needs 4",
		// The same thing said twice is said once.
		"dew point 2 K (3.6 °F) higher": "dew point 3.6 °F higher",
		"wind 2 m/s (4 kn) stronger":    "wind 4 mph stronger",
		// What is no quantity, or has no other unit, stays.
		"1.5 × wind, 30 min, 2026-09-10": "1.5 × wind, 30 min, 2026-09-10",
		"520 W/m² and 30 %":              "520 W/m² and 30 %",
		"E20 m/second, A4 K":             "E20 m/second, A4 K",
		"12 mmol":                        "12 mmol",
	} {
		assert.Equal(t, want, untie(us.prose(in)), in)
	}
	assert.Equal(t, "sections of 0.3 to 0.5 m², +2 °C", untie(metric.prose("sections of 0.3 to 0.5 m², +2 K")))
	assert.Equal(t, "6 m/s", untie(metric.prose("6 m/s")))
	assert.Equal(t, "12 kn", untie(Options{Wind: "kn"}.prose("6 m/s")))
}

// A bound reads the same wherever it stands: beside a value, alone in a sentence, and
// among what ends the work.
func TestABoundReadsTheSameEverywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bound := float64(rapid.IntRange(-100, 500).Draw(t, "tenths")) / 10
		l := rapid.SampledFrom([]struct{ limit, what, unit, sentence, needs string }{
			{"air_min", "air", "°C", "under", "needs"}, {"surface_min", "panel", "°C", "under", "needs"},
			{"surface_max", "panel", "°C", "over", "at most"}, {"gust_max", "gusts", "m/s", "over", "at most"},
		}).Draw(t, "limit")
		o := rapid.SampledFrom([]Options{us, metric, {Wind: "kn"}}).Draw(t, "units")
		value := float64(rapid.IntRange(-100, 500).Draw(t, "value")) / 10
		b := answer.Binding{Limit: l.limit, Value: &value, Bound: &bound, Unit: l.unit}
		alone := newPage(o).limit(b)
		figure := strconv.FormatFloat(bound, 'f', -1, 64)
		require.Equal(t, untie(alone), untie(o.prose(l.what+" "+l.sentence+" "+figure+" "+l.unit)))
		beside := o.prose(l.what + " " + strconv.FormatFloat(value, 'f', -1, 64) + " " + l.unit + ", " + l.needs + " " + figure)
		require.Equal(t, untie(because(b, o)), untie(beside), "and so does the value")
		_, want, _ := strings.Cut(because(b, o), ", "+l.needs+" ")
		require.Contains(t, alone, l.sentence+" "+want)
	})
}

func TestProseNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`([+−-]?[0-9.]{1,20}( to |-| and )?){1,3} ?(°C|K|m/s|mm|m²)`)).Draw(t, "s")
		for _, o := range []Options{metric, us} {
			got := o.prose(s)
			require.Equal(t, untie(got), tidy(got))
		}
	})
}
