package answer

import (
	"testing"

	"dewgap/products"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each bound has the provenance of its own line in the class, and where that has
// none the class's.
func TestClassProvenance(t *testing.T) {
	limit := func(name string) products.Limit { return products.Limit{Given: true, Source: name} }
	clockOf := func(name string) products.Clock { return products.Clock{Given: true, Source: name} }
	class := products.Class{
		Source: "the class", AirC: limit("air"), SurfaceC: limit("surface"), HumidityPct: limit("humidity"), SpreadK: limit("spread"),
		WindMS: limit("wind"), GustMS: limit("gust"), SunlightWM2: limit("sunlight"), UVIndex: limit("uv"), FilmSource: "film",
		DryOff: clockOf("dry"), DewDryOff: clockOf("dew dry"), RainFree: clockOf("rain"), DewFree: clockOf("dew"), CureSource: "cure",
	}
	want := map[verdict.Limit]string{
		verdict.AirMin: "air", verdict.AirMax: "air", verdict.SurfaceMin: "surface", verdict.SurfaceMax: "surface",
		verdict.HumidityMin: "humidity", verdict.HumidityMax: "humidity", verdict.SpreadMin: "spread",
		verdict.WindMax: "wind", verdict.GustMax: "gust", verdict.SunlightMax: "sunlight", verdict.UVMax: "uv",
		verdict.Film: "film", verdict.DryOff: "dry", verdict.RainFree: "rain", verdict.DewFree: "dew", verdict.Cure: "cure",
		verdict.People: "the class", verdict.Finish: "the class",
	}
	b := newBuilder(newBoard(t, "seal").f)
	for l, source := range want {
		assert.Equal(t, source, b.provenance(l, class), l)
		assert.Equal(t, "the class", b.provenance(l, products.Class{Source: "the class"}), l)
	}
	class.DryOff = products.Clock{}
	assert.Equal(t, "dew dry", b.provenance(verdict.DryOff, class), "dew restarts the only clock there is")
}

func TestOtherProvenance(t *testing.T) {
	board := newBoard(t, "seal")
	b := newBuilder(board.f)
	assert.Equal(t, "invented", b.provenance(verdict.Data, products.Class{}), "the forecast's own name")
	assert.Equal(t, commonPractice, b.provenance(verdict.Block, products.Class{}))
	b.Job.ShortestH = 2
	assert.Equal(t, commonPractice, b.provenance(verdict.Block, products.Class{}))
	b.Job.ShortestH = 3
	assert.Equal(t, yourJob, b.provenance(verdict.Block, products.Class{}))
}

// No bound of the catalogue is without a provenance.
func TestCatalogueHasProvenance(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	b := newBuilder(newBoard(t, "seal").f)
	for _, id := range set.IDs() {
		c, _ := set.Class(id)
		for l := verdict.Hours; int(l) < verdict.Limits; l++ {
			assert.NotEmpty(t, b.provenance(l, c), "%s %v", id, l)
		}
	}
}
