package air

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// ln(z/z0)/ln(10/z0) worked out independently; pythermalcomfort's and thermofeel's tests
// beneath.
func TestWindAt(t *testing.T) {
	for _, c := range []struct{ z0, z, factor float64 }{
		{RoughnessWater, 3, 0.88872}, {RoughnessWater, 5, 0.93594},
		{RoughnessGrass, 2, 0.72295}, {RoughnessGrass, 3, 0.79275},
		{RoughnessHedges, 3, 0.73856}, {RoughnessSuburb, 3, 0.59810}, {RoughnessYard, 3, 0.47712},
	} {
		assert.InDelta(t, c.factor, WindAt(1, 10, c.z, c.z0), 1e-5, "%+v", c)
	}
	assert.InEpsilon(t, 5.0, WindAt(6.52, 10, 2, 0.01), 0.01)
	assert.InEpsilon(t, 5.0, WindAt(7.69, 10, 2, 0.1), 0.01)
	assert.InDelta(t, 5.369069989882623, WindAt(7, 10, 2, 0.01), 1e-9)
	// FAO-56, example 14: 3.2 m/s at 10 m is 2.4 m/s at 2 m over clipped grass
	// (0.12 m high: roughness 0.0148 m, its zero plane 0.08 m up).
	assert.InDelta(t, 2.4, WindAt(3.2, 10-0.08, 2-0.08, 0.01476), 0.05)
	assert.Zero(t, WindAt(5, 10, 0.02, RoughnessGrass), "among the grass")
}

func TestWindAtComposes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(0, 40).Draw(t, "v")
		z0 := rapid.Float64Range(0.0001, 1).Draw(t, "z0")
		z := rapid.Float64Range(1.5, 50).Draw(t, "z")
		assert.InDelta(t, v, WindAt(WindAt(v, 10, z, z0), z, 10, z0), 1e-9, "there and back")
		assert.LessOrEqual(t, WindAt(v, 10, z, z0), WindAt(v, 10, z+1, z0), "more wind higher up")
	})
}

func TestEquivalentHours(t *testing.T) {
	assert.Equal(t, 1.0, EquivalentHours(20, 10))
	assert.Equal(t, 2.0, EquivalentHours(30, 10))
	assert.Equal(t, 0.5, EquivalentHours(10, 10))
	assert.Equal(t, 0.25, EquivalentHours(0, 10))
	// Arrhenius with 51.216 kJ/mol doubles from 20 to 30 °C; 25 °C lies between.
	assert.InDelta(t, 1.41421356, EquivalentHours(25, 10), 1e-8)
}
