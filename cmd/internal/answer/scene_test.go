package answer

import (
	"testing"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func limit(least, most float64) products.Limit {
	b := products.Band{Min: least, Max: most, HasMin: true, HasMax: true}
	return products.Limit{Given: true, Ideal: b, Default: b, Hard: products.Band{Max: most + 5, HasMax: true}}
}

// The scene tells how she lies, whence the wind comes, and each product's bands:
// once for the zones on which it asks the same.
func TestScene(t *testing.T) {
	b := newBoard(t, "seal")
	turned := clock(t, "2026-09-11 08:00")
	b.f.Job.Berths = []job.Berth{{Bow: 200}, {From: turned.UTC(), Bow: 20}}
	b.f.Job.Kind, b.f.Job.LengthM = "express-cruiser", 13
	class := products.Class{ID: "seal-class", Name: "a sealant", SurfaceC: limit(10, 30), FullCureH: products.Range{Given: true, Min: 12}, HalvesPerK: 10}
	paint := class
	paint.SurfaceC = limit(10, 25)
	b.f.Result.Rows = []window.Row{{Zone: 0, Class: class}, {Zone: 1, Class: paint}, {Zone: 0, Class: class}}
	from := &b.f.Forecast.Members[0].Columns[forecast.WindFrom]
	from.Known[7] = false

	s := newBuilder(b.f).scene()
	assert.Equal(t, "express-cruiser", s.Kind)
	assert.Equal(t, 13.0, *s.LengthM)
	require.Len(t, s.Berths, 2)
	assert.Nil(t, s.Berths[0].From)
	assert.Equal(t, "2026-09-11T08:00:00-04:00", s.Berths[1].From.Format("2006-01-02T15:04:05Z07:00"))
	require.Len(t, s.Wind, len(b.f.Result.Weather))
	assert.Equal(t, 10.0, *s.Wind[0].FromDeg)
	assert.Nil(t, s.Wind[1].FromDeg, "07:00 is not known")
	require.Len(t, s.Classes, 2)
	assert.Equal(t, []string{"port side"}, s.Classes[0].Zones)
	assert.Equal(t, []string{"foredeck"}, s.Classes[1].Zones)
	assert.Equal(t, 25.0, *s.Classes[1].SurfaceC.Ideal[1])
	assert.Nil(t, s.Classes[0].SurfaceC.Hard[0], "open at that end")
	assert.Nil(t, s.Classes[0].SpreadK)
	assert.Equal(t, 12.0, *s.Classes[0].FullCureH)
}

// Where nobody knows the bow there is no berth, and an empty job draws nothing.
func TestSceneWithoutBow(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Job.HasBow = false
	s := newBuilder(b.f).scene()
	assert.Empty(t, s.Berths)
	assert.NotNil(t, s.Berths)
	assert.Nil(t, s.LengthM)
	assert.NotNil(t, s.Classes)
}
