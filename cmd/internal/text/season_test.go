package text

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

// typicalYear is an invented year: one product on three zones, one of which it
// does not suit, and one product that no zone takes.
func typicalYear() *answer.Season {
	months := func(windows, days [12]int) (out [12]*answer.SeasonMonth) {
		for m := range out {
			out[m] = &answer.SeasonMonth{Windows: windows[m], Days: days[m], Hours: float64(5 * windows[m])}
		}
		return out
	}
	a := &answer.Season{
		Format: answer.SeasonFormat, Job: "Clean and seal", Boat: "Kittiwake", Place: answer.Place{Name: "Otter Quay", Latitude: 43.07, Longitude: -70.74},
		Station: "Otter Quay, ME", Data: "invented", Year: 2026, ShortestH: 2.5,
		Gauged:   [12]float64{0, 0.49, 0.5, 1, 1, 1, 1, 1, 1, 1, 1, 0},
		Warnings: []string{"the typical year has no rain gauge in Jan, Feb, Dec: wet hours there are estimated from damp air, cloud and visibility."},
	}
	a.Rows = []answer.SeasonRow{
		{Product: "polymer-sealant", Name: "polymer sealant", Zone: "port side", Suits: true,
			Months: months([12]int{0, 0, 2, 14, 31, 48, 40, 38, 22, 9, 1, 0}, [12]int{0, 0, 2, 12, 27, 28, 26, 25, 20, 9, 1, 0})},
		{Product: "polymer-sealant", Name: "polymer sealant", Zone: "starboard superstructure side", Suits: true,
			Months: months([12]int{0, 0, 4, 18, 29, 30, 27, 25, 24, 11, 0, 0}, [12]int{0, 0, 4, 16, 25, 26, 24, 23, 22, 11, 0, 0})},
		{Product: "polymer-sealant", Name: "polymer sealant", Zone: "foredeck"},
		{Product: "teak-oil", Name: "teak oil", Zone: "port side"},
		{Product: "teak-oil", Name: "teak oil", Zone: "starboard superstructure side"},
	}
	// One zone of which the data say nothing in October, and less in September.
	a.Rows[1].Months[9] = &answer.SeasonMonth{UnknownDays: 31}
	a.Rows[1].Months[8].UnknownDays = 3
	return a
}

func TestSeasonGolden(t *testing.T) {
	o := Options{Units: "metric"}
	page := golden(t, "season.txt", o, func(b *bytes.Buffer) error { return Season(b, typicalYear(), o) })
	noJargon(t, page)
}

func TestInOne(t *testing.T) {
	assert.Empty(t, answer.Listed(nil))
	assert.Equal(t, "helm", answer.Listed([]string{"helm"}))
	assert.Equal(t, "helm, rails and mast", answer.Listed([]string{"helm", "rails", "mast"}))
}

// On a narrow page a name that has no room beside the months stands above them, whole, and
// the halves of the year below one another.
func TestSeason_Narrow(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Season(&b, typicalYear(), Options{Width: 40}))
	assert.Contains(t, b.String(), `
POLYMER SEALANT
           ~Jan ~Feb  Mar  Apr  May  Jun
port side     0    0    2   14   31   48
starboard superstructure side
              0    0    4   18   29   30
            Jul  Aug  Sep  Oct  Nov ~Dec
port side    40   38   22    9    1    0
starboard superstructure side
             27   25  24?    ?    0    0
  Not for foredeck: it does not suit the
`)
}
