package boat

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// row is one zone of a kind at 12 m; a pair is told by its starboard half.
type row struct {
	name         string
	tilt, faces  float64
	finish       string
	skin         Skin
	shelter      Shelter
	access       Access
	area, length float64
}

// The presets at 12 m, zone by zone, so that a change of a ratio or a share is
// seen for what it does. The shapes and finishes are those of the trade's table
// of zones: sides upright or nearly so, brow 30 to 40 degrees, decks level,
// masks dark, what stands under a hardtop dry; sizes from memory.
var kindsAt12 = map[string][]row{
	"flybridge-cruiser": {
		{"starboard side", 90, 90, "white-gelcoat", Solid, Open, Deck, 13.4, 0},
		{"starboard lower side", 100, 90, "white-gelcoat", Solid, Open, Ashore, 3.3, 0},
		{"transom", 90, 180, "white-gelcoat", Solid, Open, Deck, 4.4, 0},
		{"starboard underwater body", 150, 90, "antifouled-laminate", Thick, Open, Ashore, 19, 0},
		{"swim platform", 0, 0, "teak", Plank, Open, Deck, 3.6, 0},
		{"foredeck", 0, 0, "white-gelcoat", Cored, Open, Deck, 6.7, 0},
		{"starboard side deck", 0, 0, "white-non-skid", Cored, Open, Deck, 2.3, 0},
		{"starboard superstructure side", 80, 90, "white-gelcoat", Cored, Open, Deck, 7.2, 0},
		{"superstructure front", 35, 0, "white-gelcoat", Cored, Open, Harness, 3.2, 0},
		{"starboard window mask", 80, 90, "black-paint", Cored, Open, Deck, 1.7, 0},
		{"windscreen mask", 55, 0, "black-paint", Cored, Open, Harness, 1.4, 0},
		{"cockpit sole", 0, 0, "teak", Plank, Hardtop, Deck, 3.8, 0},
		{"cockpit seats", 0, 0, "white-vinyl", Plate, Hardtop, Deck, 2.2, 0},
		{"helm", 0, 0, "white-gelcoat", Cored, Hardtop, Deck, 2.9, 0},
		{"helm seats", 0, 0, "white-vinyl", Plate, Hardtop, Deck, 1.7, 0},
		{"hardtop top", 0, 0, "white-gelcoat", Cored, Open, Ladder, 7.2, 0},
		{"enclosure front", 70, 0, "clear-vinyl", Plate, Open, Deck, 2.2, 0},
		{"starboard enclosure", 80, 90, "clear-vinyl", Plate, Open, Deck, 1.7, 0},
		{"starboard radar arch", 80, 90, "white-gelcoat", Cored, Open, Ladder, 1.2, 0},
		{"rails", 0, 0, "stainless", Plate, Open, Deck, 0, 19.2},
	},
	"sport-fisher": {
		{"starboard side", 90, 90, "white-gelcoat", Solid, Open, Deck, 13.5, 0},
		{"starboard lower side", 100, 90, "white-gelcoat", Solid, Open, Ashore, 3.4, 0},
		{"transom", 90, 180, "white-gelcoat", Solid, Open, Deck, 4.6, 0},
		{"starboard underwater body", 150, 90, "antifouled-laminate", Thick, Open, Ashore, 20.7, 0},
		{"foredeck", 0, 0, "white-gelcoat", Cored, Open, Deck, 10.5, 0},
		{"starboard side deck", 0, 0, "white-non-skid", Cored, Open, Deck, 1.6, 0},
		{"starboard superstructure side", 80, 90, "white-gelcoat", Cored, Open, Deck, 5.8, 0},
		{"superstructure front", 40, 0, "white-gelcoat", Cored, Open, Harness, 3.6, 0},
		{"starboard window mask", 80, 90, "black-paint", Cored, Open, Deck, 1.7, 0},
		{"windscreen mask", 55, 0, "black-paint", Cored, Open, Harness, 1.4, 0},
		{"cockpit sole", 0, 0, "teak", Plank, Open, Deck, 9.1, 0},
		{"cockpit seats", 0, 0, "white-vinyl", Plate, Open, Deck, 2.2, 0},
		{"cockpit coamings", 0, 0, "white-gelcoat", Cored, Open, Deck, 2.1, 0},
		{"helm", 0, 0, "white-gelcoat", Cored, Hardtop, Deck, 2.9, 0},
		{"helm seats", 0, 0, "white-vinyl", Plate, Hardtop, Deck, 1.7, 0},
		{"hardtop top", 0, 0, "white-gelcoat", Cored, Open, Ladder, 5.8, 0},
		{"enclosure front", 70, 0, "clear-vinyl", Plate, Open, Deck, 2.2, 0},
		{"starboard enclosure", 80, 90, "clear-vinyl", Plate, Open, Deck, 1.7, 0},
		{"rails", 0, 0, "stainless", Plate, Open, Deck, 0, 10.8},
		{"tower", 0, 0, "aluminium", Plate, Open, Harness, 0, 36},
	},
	"express-cruiser": {
		{"starboard side", 90, 90, "white-gelcoat", Solid, Open, Deck, 12.2, 0},
		{"starboard lower side", 100, 90, "white-gelcoat", Solid, Open, Ashore, 3, 0},
		{"transom", 90, 180, "white-gelcoat", Solid, Open, Deck, 4, 0},
		{"starboard underwater body", 150, 90, "antifouled-laminate", Thick, Open, Ashore, 19, 0},
		{"swim platform", 0, 0, "teak", Plank, Open, Deck, 3.6, 0},
		{"foredeck", 0, 0, "white-gelcoat", Cored, Open, Deck, 9.5, 0},
		{"starboard side deck", 0, 0, "white-non-skid", Cored, Open, Deck, 2.4, 0},
		{"starboard superstructure side", 80, 90, "white-gelcoat", Cored, Open, Deck, 3.6, 0},
		{"superstructure front", 30, 0, "white-gelcoat", Cored, Open, Harness, 3.6, 0},
		{"starboard window mask", 80, 90, "black-paint", Cored, Open, Deck, 1.7, 0},
		{"windscreen mask", 55, 0, "black-paint", Cored, Open, Harness, 1.4, 0},
		{"cockpit sole", 0, 0, "white-non-skid", Cored, Open, Deck, 5.9, 0},
		{"cockpit seats", 0, 0, "white-vinyl", Plate, Open, Deck, 2.2, 0},
		{"helm", 0, 0, "white-gelcoat", Cored, Hardtop, Deck, 2.9, 0},
		{"helm seats", 0, 0, "white-vinyl", Plate, Hardtop, Deck, 1.7, 0},
		{"hardtop top", 0, 0, "white-gelcoat", Cored, Open, Ladder, 5.8, 0},
		{"enclosure front", 70, 0, "clear-vinyl", Plate, Open, Deck, 2.2, 0},
		{"starboard enclosure", 80, 90, "clear-vinyl", Plate, Open, Deck, 1.7, 0},
		{"starboard radar arch", 80, 90, "white-gelcoat", Cored, Open, Ladder, 1.2, 0},
		{"rails", 0, 0, "stainless", Plate, Open, Deck, 0, 18},
	},
	"centre-console": {
		{"starboard side", 90, 90, "white-gelcoat", Solid, Open, Deck, 11, 0},
		{"starboard lower side", 100, 90, "white-gelcoat", Solid, Open, Ashore, 2.7, 0},
		{"transom", 90, 180, "white-gelcoat", Solid, Open, Deck, 3.5, 0},
		{"starboard underwater body", 150, 90, "antifouled-laminate", Thick, Open, Ashore, 18.6, 0},
		{"foredeck", 0, 0, "white-gelcoat", Cored, Open, Deck, 6, 0},
		{"cockpit sole", 0, 0, "white-non-skid", Cored, Open, Deck, 17.9, 0},
		{"cockpit seats", 0, 0, "white-vinyl", Plate, Open, Deck, 2.2, 0},
		{"starboard gunwale", 0, 0, "white-gelcoat", Cored, Open, Deck, 1.8, 0},
		{"starboard console side", 85, 90, "white-gelcoat", Cored, Open, Deck, 1.7, 0},
		{"console front", 75, 0, "white-gelcoat", Cored, Open, Deck, 1.7, 0},
		{"helm", 0, 0, "white-gelcoat", Cored, Hardtop, Deck, 2.9, 0},
		{"helm seats", 0, 0, "white-vinyl", Plate, Hardtop, Deck, 1.7, 0},
		{"hardtop top", 0, 0, "white-gelcoat", Cored, Open, Ladder, 5, 0},
		{"enclosure front", 70, 0, "clear-vinyl", Plate, Open, Deck, 2.2, 0},
		{"rails", 0, 0, "stainless", Plate, Open, Deck, 0, 7.2},
		{"hardtop legs", 0, 0, "aluminium", Plate, Open, Deck, 0, 18},
	},
	"sailing-yacht": {
		{"starboard side", 90, 90, "white-gelcoat", Solid, Open, Deck, 14.5, 0},
		{"transom", 75, 180, "white-gelcoat", Solid, Open, Deck, 3.8, 0},
		{"starboard underwater body", 140, 90, "antifouled-laminate", Thick, Open, Ashore, 17.5, 0},
		{"starboard keel", 95, 90, "antifouled-lead", Keel, Open, Ashore, 2.2, 0},
		{"foredeck", 0, 0, "white-gelcoat", Cored, Open, Deck, 5.1, 0},
		{"starboard side deck", 0, 0, "white-non-skid", Cored, Open, Deck, 5.1, 0},
		{"coachroof top", 0, 0, "white-gelcoat", Cored, Open, Deck, 6.5, 0},
		{"starboard coachroof side", 75, 90, "white-gelcoat", Cored, Open, Deck, 2, 0},
		{"coachroof front", 45, 0, "white-gelcoat", Cored, Open, Deck, 1.2, 0},
		{"cockpit sole", 0, 0, "teak", Plank, Open, Deck, 2.5, 0},
		{"cockpit benches", 0, 0, "teak", Plank, Open, Deck, 3.1, 0},
		{"starboard cockpit coaming", 70, 90, "white-gelcoat", Cored, Open, Deck, 0.9, 0},
		{"sprayhood", 30, 0, "canvas", Plate, Open, Deck, 2.3, 0},
		{"sprayhood window", 60, 0, "clear-vinyl", Plate, Open, Deck, 0.9, 0},
		{"toe rail", 0, 0, "varnished-wood", Plank, Open, Deck, 0, 25.2},
		{"rails", 0, 0, "stainless", Plate, Open, Deck, 0, 24},
		{"mast", 90, 0, "aluminium", Plate, Open, Harness, 0, 16.2},
	},
	"catamaran": {
		{"starboard side", 90, 90, "white-gelcoat", Cored, Open, Deck, 15.4, 0},
		{"starboard inner side", 90, 270, "white-gelcoat", Cored, Hardtop, Float, 15.4, 0},
		{"transom", 70, 180, "white-gelcoat", Solid, Open, Deck, 3.7, 0},
		{"starboard underwater body", 130, 90, "antifouled-laminate", Thick, Open, Ashore, 18.5, 0},
		{"foredeck", 0, 0, "white-gelcoat", Cored, Open, Deck, 8.7, 0},
		{"starboard side deck", 0, 0, "white-non-skid", Cored, Open, Deck, 5.2, 0},
		{"starboard superstructure side", 80, 90, "white-gelcoat", Cored, Open, Deck, 4.3, 0},
		{"superstructure front", 40, 0, "white-gelcoat", Cored, Open, Harness, 4.3, 0},
		{"starboard window mask", 80, 90, "black-paint", Cored, Open, Deck, 1.7, 0},
		{"windscreen mask", 55, 0, "black-paint", Cored, Open, Harness, 1.4, 0},
		{"cockpit sole", 0, 0, "teak", Plank, Hardtop, Deck, 7, 0},
		{"cockpit seats", 0, 0, "white-vinyl", Plate, Hardtop, Deck, 2.2, 0},
		{"helm", 0, 0, "white-gelcoat", Cored, Hardtop, Deck, 2.9, 0},
		{"helm seats", 0, 0, "white-vinyl", Plate, Hardtop, Deck, 1.7, 0},
		{"hardtop top", 0, 0, "white-gelcoat", Cored, Open, Ladder, 14.4, 0},
		{"enclosure front", 70, 0, "clear-vinyl", Plate, Open, Deck, 2.2, 0},
		{"rails", 0, 0, "stainless", Plate, Open, Deck, 0, 24},
	},
}

func TestPreset_At12Metres(t *testing.T) {
	require.Len(t, kindsAt12, len(Kinds()))
	for kind, rows := range kindsAt12 {
		zones, err := Preset(kind, 12)
		require.NoError(t, err)
		var got []row
		for _, z := range zones {
			if !strings.HasPrefix(z.Name, "port ") {
				got = append(got, row{z.Name, z.Tilt, z.Faces, z.Finish.Name, z.Skin, z.Shelter, z.Access, z.AreaM2, z.LengthM})
			}
		}
		assert.Equal(t, rows, got, kind)
	}
}

// Ranges of tilt in the trade's table of zones, by what the zone is.
func TestPreset_TiltsOfTheTrade(t *testing.T) {
	ranges := []struct {
		word     string
		low, top float64
	}{
		{"superstructure side", 75, 90}, {"superstructure front", 0, 55}, {"foredeck", 0, 35}, {"hardtop top", 0, 10},
		{"lower side", 95, 115}, {"transom", 70, 100}, {"side deck", 0, 5}, {"enclosure", 60, 90}, {"mask", 55, 90},
		{"arch", 60, 90}, {"underwater body", 110, 180}, {"keel", 90, 180}, {"swim platform", 0, 5},
	}
	for kind, rows := range kindsAt12 {
		for _, z := range rows {
			for _, r := range ranges {
				if strings.Contains(z.name, r.word) {
					assert.True(t, z.tilt >= r.low && z.tilt <= r.top, "%s of %s: %v", z.name, kind, z.tilt)
				}
			}
		}
	}
}

// What lies below the water or below the rub rail is worked on ashore only;
// nothing else is.
func TestPreset_AshoreOnly(t *testing.T) {
	for kind, rows := range kindsAt12 {
		for _, z := range rows {
			below := strings.Contains(z.name, "underwater") || strings.Contains(z.name, "keel") || strings.Contains(z.name, "lower")
			assert.Equal(t, below, z.access == Ashore, "%s of %s", z.name, kind)
		}
	}
}

// Rails, masts and towers have lengths, as their labour goes by the metre.
func TestPreset_LengthsOfRails(t *testing.T) {
	for kind, rows := range kindsAt12 {
		for _, z := range rows {
			pipe := z.name == "rails" || z.name == "mast" || z.name == "tower" || z.name == "hardtop legs" || z.name == "toe rail"
			assert.Equal(t, pipe, z.length > 0, "%s of %s", z.name, kind)
		}
	}
}

// Without a bottom a boat of 12 m has 60 to 200 m² to work on: bare outline
// 12 × 4 m twice over, and less than the box around her (from memory).
func TestPreset_WholeBoatIsPlausible(t *testing.T) {
	for kind := range kindsAt12 {
		zones, err := Preset(kind, 12)
		require.NoError(t, err)
		sum := 0.0
		for _, z := range zones {
			if z.Access != Ashore {
				sum += z.AreaM2
			}
		}
		assert.True(t, sum > 60 && sum < 200, "%s has %.0f m²", kind, sum)
	}
}

// A superstructure cannot be wider or longer than the boat.
func TestKinds_Ratios(t *testing.T) {
	for _, k := range kinds() {
		h := k.hull
		assert.True(t, h.beam > 0.2 && h.beam < 0.6, k.name)
		assert.True(t, h.freeboard > 0.05 && h.freeboard < 0.15, k.name)
		assert.True(t, h.waterline > 0.7 && h.waterline <= 1, k.name)
		assert.Less(t, h.draft, h.freeboard, k.name)
		assert.True(t, h.hullBeam == 0 || 2*h.hullBeam < h.beam, k.name)
	}
}

// A displacement hull has less bottom than beam and waterline alone would give
// a planing one, for its fullness is less.
func TestAreas_PlaningAndDisplacement(t *testing.T) {
	h := hull{beam: 0.3, freeboard: 0.1, draft: 0.05, waterline: 0.9, house: 0.2}
	planing := h.areas(10)
	h.sails = true
	sailing := h.areas(10)
	assert.InDelta(t, 13.5, planing.under, 1e-9) // 9 × 3 / 2
	assert.InDelta(t, 11.8125, sailing.under, 1e-9)
	assert.Equal(t, planing.side, sailing.side)
	assert.Equal(t, 100.0, planing.square)
	assert.Zero(t, planing.inner)
	h.hullBeam = 0.1
	two := h.areas(10)
	assert.Equal(t, two.side, two.inner, "two hulls have inner sides too")
}

func TestFinish_HoldingAtTheEnds(t *testing.T) {
	f := Finish{HoldingGM2: 100}
	assert.InDelta(t, 100, f.Holding(0), 1e-9)
	assert.InDelta(t, 50, f.Holding(90), 1e-9)
	assert.InDelta(t, 50, f.Holding(180), 1e-9)
}

func TestPart_Mirrored(t *testing.T) {
	for faces, want := range map[float64]float64{90: 270, 270: 90, 0: 0, 180: 180, 45: 315} {
		assert.Equal(t, want, part{faces: faces}.mirrored().faces)
	}
}

func TestPart_UnknownFinishIsASlipInTheTable(t *testing.T) {
	assert.Panics(t, func() { part{finish: "tartan"}.zone("", areas{}, 1) })
}
