package products

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestFinishes checks which surfaces a step goes to unasked and which it must
// not touch. Common practice from the dock.
func TestFinishes(t *testing.T) {
	s := catalogueOf(t)
	tests := []struct {
		id, finish string
		want       Fit
	}{
		{"soap-wash", "canvas", FitSuited},
		{"compound-rotary", "navy-gelcoat", FitSuited},
		{"compound-rotary", "navy-paint", FitConditional},
		{"compound-dual-action", "clear-vinyl", FitNever},
		{"compound-dual-action", "teak", FitNever},
		{"compound-dual-action", "stainless", FitUnlisted},
		{"acid-cleaner", "aluminium", FitNever},
		{"acid-cleaner", "white-paint", FitConditional},
		{"teak-cleaner", "aluminium", FitNever},
		{"antifouling", "aluminium", FitNever}, // its copper eats it (common knowledge)
		{"teak-cleaner", "oiled-teak", FitSuited},
		{"teak-cleaner", "white-gelcoat", FitUnlisted},
		{"polymer-sealant", "black-paint", FitSuited},
		{"polymer-sealant", "white-non-skid", FitNever},
		{"paint-sealant", "navy-paint", FitSuited},
		{"paint-sealant", "white-gelcoat", FitUnlisted},
		{"professional-ceramic", "grey-non-skid", FitNever},
		{"metal-polish", "stainless", FitSuited},
		{"vinyl-protectant", "white-vinyl", FitSuited},
		{"clear-vinyl-protectant", "clear-vinyl", FitSuited},
		{"tube-protectant", "black-tube-fabric", FitSuited},
		{"non-skid-sealer", "grey-non-skid", FitSuited},
		{"teak-sealer", "teak", FitSuited},
		{"varnish", "varnished-wood", FitSuited},
		{"varnish", "teak", FitUnlisted},
		{"antifouling", "antifouled-lead", FitSuited},
		{"epoxy-barrier", "antifouled-laminate", FitSuited},
		{"polymer-sealant", "no-such-finish", FitUnlisted},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, classOf(t, s, tt.id).Fit(tt.finish), "%s on %s", tt.id, tt.finish)
	}
}

// TestFinishLaws holds for every class and for whole groups of them.
func TestFinishLaws(t *testing.T) {
	s := catalogueOf(t)
	known := Finishes()
	gloss := strings.Fields(`cleaner-wax carnauba-wax polymer-sealant spray-sealant consumer-ceramic
		professional-ceramic graphene-ceramic paint-sealant`)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		assert.NotEmpty(t, c.Allowed, id)
		seen := map[string]bool{}
		for _, f := range slices.Concat(c.Allowed, c.Conditional, c.Never) {
			assert.Contains(t, known, f, id)
			assert.False(t, seen[f], "%s lists %s twice", id, f)
			seen[f] = true
		}
		if slices.Contains(gloss, id) {
			for _, f := range finishGroups()["non-skids"] {
				assert.Equal(t, FitNever, c.Fit(f), "gloss on a deck that people walk on: %s", id)
			}
		}
	}
	for _, f := range known {
		washed := classOf(t, s, "soap-wash").Fit(f)
		assert.Equal(t, FitSuited, washed, f)
	}
	for name, members := range finishGroups() {
		for _, f := range members {
			assert.Contains(t, known, f, name)
		}
	}
}

// TestTubes: coated fabric takes soap and what is made for it. Abrasive, acid, solvent, wax,
// silicone and paint must not touch it. Common practice, no source.
func TestTubes(t *testing.T) {
	s := catalogueOf(t)
	for _, f := range finishGroups()["tubes"] {
		for _, id := range theClasses {
			fit := classOf(t, s, id).Fit(f)
			switch id {
			case "soap-wash", "tube-protectant":
				assert.Equal(t, FitSuited, fit, id)
			case "degreaser": // weak, it is used on grimy tubes: for whoever asks
				assert.Equal(t, FitUnlisted, fit, id)
			default:
				assert.Equal(t, FitNever, fit, id)
			}
		}
	}
}

// TestEveryFinishIsLookedAfter: something other than washing suits each finish
// that the trade works on; canvas only gets washed.
func TestEveryFinishIsLookedAfter(t *testing.T) {
	s := catalogueOf(t)
	for _, f := range Finishes() {
		if f == "canvas" {
			continue
		}
		count := 0
		for _, id := range theClasses {
			if id != "soap-wash" && classOf(t, s, id).Fit(f) == FitSuited {
				count++
			}
		}
		assert.Positive(t, count, f)
	}
}
