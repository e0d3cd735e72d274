package boat

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWords_IndexIsTheConstant(t *testing.T) {
	assert.Equal(t, []string{"open", "hardtop", "canvas", "shed"}, ShelterWords())
	assert.Equal(t, []string{"deck", "ladder", "harness", "float", "ashore"}, AccessWords())
	assert.Equal(t, []string{"cored", "solid", "thick", "plate", "plank", "keel", "tube"}, SkinWords())
	assert.Equal(t, []string{"cabin", "tank", "engine", "water", "outside"}, BehindWords())
	assert.Equal(t, "shed", Shed.String())
	assert.Equal(t, "ashore", Ashore.String())
	assert.Equal(t, "keel", Keel.String())
	assert.Equal(t, "tube", Tube.String())
	assert.Equal(t, "water", WaterBehind.String())
	assert.Equal(t, "Shelter(9)", Shelter(9).String())
}

// Under a roof a twentieth to a fifth of the sky stays in view (common
// practice); more shelter never shows more sky.
func TestShelter_RoofView(t *testing.T) {
	assert.Equal(t, 0.0, Open.RoofView())
	assert.GreaterOrEqual(t, Hardtop.RoofView(), 0.8)
	assert.LessOrEqual(t, Hardtop.RoofView(), 0.95)
	assert.Equal(t, 1.0, Shed.RoofView())
	for s := Open; s < Shed; s++ {
		assert.LessOrEqual(t, s.RoofView(), (s + 1).RoofView())
	}
}

func TestSkin_Laminate(t *testing.T) {
	for s, want := range map[Skin]bool{Cored: true, Solid: true, Thick: true, Plate: false, Plank: false, Keel: false, Tube: false} {
		assert.Equal(t, want, s.Laminate(), s.String())
	}
}
