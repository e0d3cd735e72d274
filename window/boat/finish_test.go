package boat

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The 25 finishes that a job file may name.
var finishNames = []string{
	"white-gelcoat", "aged-white-gelcoat", "cream-gelcoat", "grey-gelcoat", "red-gelcoat", "blue-gelcoat",
	"navy-gelcoat", "black-gelcoat", "white-paint", "navy-paint", "black-paint", "white-non-skid", "grey-non-skid",
	"stainless", "aluminium", "teak", "oiled-teak", "varnished-wood", "clear-vinyl", "white-vinyl", "grey-tube-fabric",
	"black-tube-fabric", "canvas",
	"antifouled-laminate", "antifouled-lead",
}

func TestFinishes_Names(t *testing.T) {
	var names []string
	for _, f := range Finishes() {
		names = append(names, f.Name)
	}
	assert.Equal(t, finishNames, names)
}

// Ranges of the trade's table of zones and of textbook tables of solar
// absorptance (from memory there, not measured on boats).
func TestFinishes_AbsorptanceInPublishedRange(t *testing.T) {
	ranges := map[string][2]float64{
		"white-gelcoat": {0.25, 0.40}, "aged-white-gelcoat": {0.30, 0.40}, "grey-gelcoat": {0.40, 0.55},
		"red-gelcoat": {0.65, 0.75}, "blue-gelcoat": {0.70, 0.80}, "navy-gelcoat": {0.88, 0.95},
		"black-gelcoat": {0.88, 0.95}, "white-paint": {0.12, 0.252}, "navy-paint": {0.88, 0.95},
		"black-paint": {0.95, 0.975}, "white-non-skid": {0.40, 0.65}, "grey-non-skid": {0.60, 0.75},
		"stainless": {0.35, 0.50}, "teak": {0.60, 0.75}, "oiled-teak": {0.75, 0.85}, "varnished-wood": {0.60, 0.80},
		"canvas": {0.50, 0.90}, "antifouled-laminate": {0.85, 0.95}, "antifouled-lead": {0.85, 0.95},
	}
	for name, r := range ranges {
		f, ok := FinishByName(name)
		require.True(t, ok, name)
		assert.GreaterOrEqual(t, f.Absorptance, r[0], name)
		assert.LessOrEqual(t, f.Absorptance, r[1], name)
	}
}

// The values on which the practitioner's scenarios were computed: white 0.30,
// dark 0.92.
func TestFinishes_ScenarioValues(t *testing.T) {
	white, _ := FinishByName("white-gelcoat")
	navy, _ := FinishByName("navy-gelcoat")
	aged, _ := FinishByName("aged-white-gelcoat")
	assert.Equal(t, 0.30, white.Absorptance)
	assert.Equal(t, 0.92, navy.Absorptance)
	assert.Equal(t, 0.35, aged.Absorptance)
	assert.Equal(t, 0.90, white.Emissivity)
}

// Coating inspectors read paint and gelcoat at 0.90 to 0.95; polished
// stainless steel lies at 0.1 to 0.2 (handbooks of infrared thermometry).
func TestFinishes_Emissivity(t *testing.T) {
	for _, f := range Finishes() {
		switch f.Name {
		case "stainless":
			assert.InDelta(t, 0.15, f.Emissivity, 0.05)
		case "aluminium":
			assert.Less(t, f.Emissivity, 0.2)
		default:
			assert.GreaterOrEqual(t, f.Emissivity, 0.90, f.Name)
			assert.LessOrEqual(t, f.Emissivity, 0.95, f.Name)
		}
	}
}

// Smooth side 50, smooth deck 100, non-skid 250, canvas 200 g/m² (common
// practice).
func TestFinish_Holding(t *testing.T) {
	for _, c := range []struct {
		finish string
		tilt   float64
		want   float64
	}{
		{"white-gelcoat", 90, 50}, {"white-gelcoat", 0, 100}, {"white-non-skid", 0, 250},
		{"grey-non-skid", 0, 250}, {"canvas", 0, 200}, {"navy-paint", 90, 50}, {"antifouled-laminate", 150, 50},
	} {
		f, ok := FinishByName(c.finish)
		require.True(t, ok)
		assert.InDelta(t, c.want, f.Holding(c.tilt), 1e-9, c.finish)
	}
}

func TestFinish_HoldingFallsWithTilt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom(Finishes()).Draw(t, "finish")
		a := rapid.Float64Range(0, 180).Draw(t, "a")
		b := rapid.Float64Range(0, 180).Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		assert.GreaterOrEqual(t, f.Holding(a), f.Holding(b)-1e-9)
		assert.GreaterOrEqual(t, f.Holding(b), f.HoldingGM2/2-1e-9)
	})
}

func TestFinishes_OnlyBareTeakSoaks(t *testing.T) {
	for _, f := range Finishes() {
		assert.Equal(t, f.Name == "teak", f.Soaks, f.Name)
		assert.NotEmpty(t, f.Source, f.Name)
	}
}

func TestFinishes_SkinAndBehind(t *testing.T) {
	for name, want := range map[string]struct {
		skin   Skin
		behind Behind
	}{
		"white-gelcoat": {Cored, Cabin}, "stainless": {Plate, Outside}, "canvas": {Plate, Outside},
		"clear-vinyl": {Plate, Outside}, "teak": {Plank, Cabin}, "antifouled-laminate": {Thick, Cabin},
		"antifouled-lead": {Keel, Outside}, "black-tube-fabric": {Tube, Outside},
	} {
		f, _ := FinishByName(name)
		assert.Equal(t, want.skin, f.Skin, name)
		assert.Equal(t, want.behind, f.Behind, name)
	}
}

func TestFinishByName_Unknown(t *testing.T) {
	f, ok := FinishByName("mauve-gelcoat")
	assert.False(t, ok)
	assert.Zero(t, f)
}

func TestFinishes_OwnCopy(t *testing.T) {
	Finishes()[0].Absorptance = 9
	assert.Equal(t, 0.30, Finishes()[0].Absorptance)
}
