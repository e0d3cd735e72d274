package products

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCoolPanel is the trade's rule of the cool panel: seal up to 32 °C (hard
// 36), ceramic up to 27 (30), compound up to 35 (45). Common practice.
func TestCoolPanel(t *testing.T) {
	s := catalogueOf(t)
	for id, want := range map[string][2]float64{
		"polymer-sealant": {32, 36}, "professional-ceramic": {27, 30}, "compound-rotary": {35, 45},
	} {
		l := classOf(t, s, id).SurfaceC
		assert.Equal(t, want, [2]float64{l.Default.Max, l.Hard.Max}, id)
	}
}

// TestHardSun: film-forming and ceramic classes, clear vinyl and acids keep a
// hard bound on sunlight; classes that only heat harms have none. Common
// practice.
func TestHardSun(t *testing.T) {
	keep := strings.Fields(`consumer-ceramic professional-ceramic graphene-ceramic varnish polyurethane-topcoat
		epoxy-barrier gelcoat-repair teak-sealer clear-vinyl-protectant acid-cleaner`)
	s := catalogueOf(t)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		if slices.Contains(keep, id) {
			assert.True(t, c.SunlightWM2.Hard.HasMax, id)
			assert.False(t, c.CoolSun, id)
		}
		if c.CoolSun {
			assert.False(t, c.SunlightWM2.Hard.HasMax, "%s: sunlight never blocks alone", id)
			assert.True(t, c.SurfaceC.Ideal.HasMax, "%s: cool is up to the ideal surface", id)
		}
	}
}

// TestReactiveFilms: 3 K over the dew point is the hard bound of whatever cures
// outdoors (ISO 8502-4, ISO 12944-7; an analogy, since those are for steel),
// and the dew clocks do not let a film be applied that dew then spoils.
func TestReactiveFilms(t *testing.T) {
	s := catalogueOf(t)
	for _, id := range strings.Fields(`consumer-ceramic professional-ceramic graphene-ceramic teak-sealer teak-oil varnish
		polyurethane-topcoat epoxy-barrier antifouling gelcoat-repair polysulfide-sealant moisture-cure-sealant`) {
		c := classOf(t, s, id)
		assert.InDelta(t, 3, c.SpreadK.Hard.Min, 0, id)
		assert.True(t, c.RainFree.Given && c.DewFree.Given && c.HasCureMin, id)
		assert.InDelta(t, 10, c.HalvesPerK, 0, "%s: twice as fast per 10 K", id)
	}
}

// TestNeverColderThanItCures: no class may be applied, inside its hard band,
// on a surface far below the least at which it cures.
func TestNeverColderThanItCures(t *testing.T) {
	s := catalogueOf(t)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		if !c.HasCureMin {
			continue
		}
		require.True(t, c.SurfaceC.Hard.HasMin, id)
		assert.GreaterOrEqual(t, c.SurfaceC.Hard.Min, c.CureMinC, id)
		assert.True(t, c.SurfaceC.Default.Within(c.SurfaceC.Hard))
	}
}

// TestWetSteps: what is applied to a wet panel asks neither for spread nor for
// hours of dryness.
func TestWetSteps(t *testing.T) {
	s := catalogueOf(t)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		if c.Surface == SurfaceDry {
			assert.True(t, c.SpreadK.Given, id)
			assert.True(t, c.HasFilmMax, id)
			continue
		}
		assert.False(t, c.SpreadK.Given || c.HumidityPct.Given || c.DryOff.Given || c.HasFilmMax || c.RainFree.Given, id)
	}
}

// suited lists, apart from the catalogue, where each class goes unasked.
const suited = `
soap-wash: all
degreaser: gelcoats non-skids
acid-cleaner: gelcoats
water-spot-remover: gelcoats
compound-rotary: gelcoats
compound-dual-action: gelcoats
finishing-polish: gelcoats
panel-wipe: gelcoats paints
cleaner-wax: gelcoats
carnauba-wax: gelcoats paints
polymer-sealant: gelcoats paints
spray-sealant: gelcoats paints
consumer-ceramic: gelcoats paints
professional-ceramic: gelcoats paints
graphene-ceramic: gelcoats paints
paint-sealant: paints
metal-polish: stainless aluminium
vinyl-protectant: white-vinyl
tube-protectant: tubes
clear-vinyl-protectant: clear-vinyl
non-skid-sealer: non-skids
teak-cleaner: teak oiled-teak
teak-sealer: teak oiled-teak
teak-oil: teak oiled-teak
varnish: varnished-wood
polyurethane-topcoat: paints
epoxy-barrier: antifouled-laminate antifouled-lead
antifouling: antifouled-laminate antifouled-lead
gelcoat-repair: gelcoats
polysulfide-sealant: gelcoats paints non-skids stainless aluminium teak oiled-teak varnished-wood
moisture-cure-sealant: gelcoats paints non-skids stainless aluminium teak oiled-teak varnished-wood`

func TestSuited(t *testing.T) {
	s := catalogueOf(t)
	lines := strings.Split(strings.TrimSpace(suited), "\n")
	require.Len(t, lines, len(theClasses))
	for _, line := range lines {
		id, words, _ := strings.Cut(line, ": ")
		var want []string
		for _, word := range strings.Fields(words) {
			if members, ok := finishGroups()[word]; ok {
				want = append(want, members...)
			} else {
				want = append(want, word)
			}
		}
		assert.ElementsMatch(t, want, classOf(t, s, id).Allowed, id)
	}
}

// TestWords: each word of a file comes back as the same word on a screen.
func TestWords(t *testing.T) {
	for i, word := range waterWords() {
		assert.Equal(t, word, Water(i).String())
	}
	for i, word := range surfaceWords() {
		assert.Equal(t, word, Surface(i).String())
	}
	assert.Equal(t, "unknown", Water(9).String())
	assert.Equal(t, "unknown", Surface(9).String())
	assert.Equal(t, []string{"none", "rinse", "soap", "all"}, []string{
		WaterNone.String(), WaterRinse.String(), WaterSoap.String(), WaterAll.String()}, "in the order of the constants")
}

// TestCatalogueRules: what the catalogue itself may not hold, in the words that
// its maintainer gets.
func TestCatalogueRules(t *testing.T) {
	none := func(string) (Class, bool) { return Class{}, false }
	for text, want := range map[string]string{
		"products:\n- id: x\n":                                              "classes.yaml:2:7: x does not say what it does; add do: with one of " + strings.Join(doWords(), ", "),
		"products:\n- {id: x, do: seal, like: y}\n":                         "classes.yaml:2:27: a class of the catalogue cannot be like another; write the class out in full",
		"products:\n- {id: x, do: seal, limits: {air_c: {hard: [1, 2]}}}\n": "classes.yaml:2:37: air_c has no default band; give ideal inside default inside hard",
	} {
		r := &reader{file: catalogueFile}
		r.products(r.parse([]byte(text)), false, none, nil)
		require.Error(t, r.err())
		assert.Equal(t, want, r.err().Error())
	}
}

// TestPlainValues: what counts as a number in a file, and as which.
func TestPlainValues(t *testing.T) {
	s := catalogueOf(t)
	for text, want := range map[string]float64{
		"8": 8, "8.5": 8.5, "08": 8, "+8": 8, ".5e1": 5, "1e1": 10, "8.": 8, "99.999": 99.999,
	} {
		o, _, err := s.With("own.yaml", []byte(product("halves_per_k: "+text)))
		require.NoError(t, err, text)
		assert.InDelta(t, want, classOf(t, o, "x").HalvesPerK, 1e-12, text)
	}
	for _, text := range []string{"1_0", "0b11", "0o7", "1,5", "1 000", ".inf", "-.inf", "true", "1e", "ten", "[8]", "{a: 8}", "\"8\"", "8h", "0.5", "101", "-8"} {
		_, _, err := s.With("own.yaml", []byte(product("halves_per_k: "+text)))
		assert.Error(t, err, text)
	}
	o, _, err := s.With("own.yaml", []byte(product("halves_per_k: none", "recoat_h: none")))
	require.NoError(t, err)
	c := classOf(t, o, "x")
	assert.Zero(t, c.HalvesPerK, "times that do not change with warmth")
	assert.False(t, c.RecoatH.Given)
}

// TestLimitTakenAway: none removes a limit; where the class's had no hard bound
// nobody needs to be warned on every verdict.
func TestLimitTakenAway(t *testing.T) {
	s, _ := own(t, product("limits: {sunlight_w_m2: none, humidity_pct: none}", "clocks_h: {dry_off: none}"))
	c := classOf(t, s, "x")
	assert.False(t, c.SunlightWM2.Given || c.HumidityPct.Given || c.DryOff.Given)
	assert.True(t, c.SunlightWM2.Loosened && c.DryOff.Loosened)
	assert.Len(t, c.Warnings, 4, "sunlight, both ends of humidity, dry-off")
	s, warnings := own(t, strings.ReplaceAll(product("limits: {uv_index: none}"), "varnish", "carnauba-wax"))
	assert.Empty(t, classOf(t, s, "x").Warnings)
	require.Len(t, warnings, 1)
	assert.Contains(t, warnings[0], "x UV index: taken away")
}
