package products

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// own reads a person's file over the catalogue.
func own(t *testing.T, text string) (*Set, []string) {
	t.Helper()
	s, warnings, err := catalogueOf(t).With("own.yaml", []byte(text))
	require.NoError(t, err)
	return s, warnings
}

// TestOwnProduct is the shape that a products file is promised to have.
func TestOwnProduct(t *testing.T) {
	s, warnings := own(t, `products: [{id: my-sealant, like: polymer-sealant, do: seal, machine: false, water: none,
  limits: {surface_c: {ideal: [15, 27], default: [10, 32], hard: [8, 36], source: your label}, spread_k: {ideal: 4, default: 3, hard: 2}},
  clocks_h: {dry_off: {default: 2, hard: 1}, rain_free: {ideal: 8, default: 4, hard: 2}}, haze_min: [30, 240], rate_m2_h: [6, 12]}]
`)
	assert.Empty(t, warnings)
	c := classOf(t, s, "my-sealant")
	base := classOf(t, s, "polymer-sealant")
	assert.Equal(t, "polymer-sealant", c.Like)
	assert.Equal(t, "my sealant", c.Name)
	assert.True(t, c.Own)
	assert.Equal(t, Limit{Given: true, Ideal: between(15, 27), Default: between(10, 32), Hard: between(8, 36), Source: "your label"}, c.SurfaceC)
	assert.Equal(t, "your label", c.SpreadK.Source)
	assert.Equal(t, base.AirC, c.AirC, "what the file leaves out is the class's")
	assert.Equal(t, base.DewFree, c.DewFree)
	assert.Equal(t, Range{Given: true, Min: 6, Max: 12, Source: "your label"}, c.RateM2H)
	assert.Equal(t, append(append([]string{}, theClasses...), "my-sealant"), s.IDs())
}

// TestTeakSealer12h is the acceptance case of a limit looser than the class's
// hard one: accepted, warned of, and marked.
func TestTeakSealer12h(t *testing.T) {
	for _, text := range []string{
		"products:\n- id: teak-sealer\n  clocks_h:\n    dry_off: 12\n",
		"products:\n- id: teak-sealer\n  clocks_h:\n    dry_off: {default: 12}\n",
		"products:\n- id: teak-sealer\n  like: teak-sealer\n  clocks_h: {dry_off: {default: 12, hard: 12}}\n",
	} {
		s, warnings := own(t, text)
		c := classOf(t, s, "teak-sealer")
		words := "teak-sealer dry-off 12 h is looser than the class's hard 18 h: your label outranks it"
		assert.Equal(t, []string{words}, c.Warnings)
		require.Len(t, warnings, 1)
		assert.Contains(t, warnings[0], "own.yaml:")
		assert.Contains(t, warnings[0], words+", and every verdict says so")
		assert.Equal(t, warnings, c.Remarks)
		assert.Equal(t, Clock{true, 12, 12, 12, true, "your label", true}, c.DryOff)
		assert.Equal(t, theClasses, s.IDs(), "a class's own id takes its place")
		assert.Equal(t, "teak sealer, film-forming or penetrating", c.Name)
	}
}

func TestLoosened(t *testing.T) {
	tests := []struct{ name, text, warning string }{
		{"surface most", "- {id: x, like: polymer-sealant, limits: {surface_c: {hard: [8, 40]}}}",
			"x surface maximum 40 °C is looser than the class's hard 36 °C"},
		{"surface least, by default alone", "- {id: x, like: polymer-sealant, limits: {surface_c: [5, 32]}}",
			"x surface minimum 5 °C is looser than the class's hard 8 °C"},
		{"open end", "- {id: x, like: polymer-sealant, limits: {surface_c: {hard: [8, null]}}}",
			"x surface maximum none is looser than the class's hard 36 °C"},
		{"spread", "- {id: x, like: varnish, limits: {spread_k: {default: 2}}}",
			"x spread 2 K is looser than the class's hard 3 K"},
		{"wind", "- {id: x, like: varnish, limits: {wind_m_s: {hard: 6.5}}}",
			"x wind 6.5 m/s is looser than the class's hard 5 m/s"},
		{"UV index", "- {id: x, like: varnish, limits: {uv_index: {hard: 11}}}",
			"x UV index 11 is looser than the class's hard 8"},
		{"humidity", "- {id: x, like: varnish, limits: {humidity_pct: {hard: [25, 90]}}}",
			"x humidity maximum 90% is looser than the class's hard 80%"},
		{"rain-free", "- {id: x, like: varnish, clocks_h: {rain_free: {default: 5}}}",
			"x rain-free 5 h is looser than the class's hard 6 h"},
		{"limit taken away", "- {id: x, like: varnish, limits: {sunlight_w_m2: none}}",
			"x sunlight none is looser than the class's hard 400 W/m²"},
		{"cure", "- {id: x, like: varnish, cure: {min_c: 5}}",
			"x cure minimum 5 °C is looser than the class's 8 °C"},
		{"no cure", "- {id: x, like: varnish, cure: none}",
			"x cure minimum none is looser than the class's 8 °C"},
		{"water on the panel", "- {id: x, like: varnish, film_max_g_m2: 5}",
			"x water on the panel 5 g/m² is looser than the class's hard 1 g/m²"},
		{"wet panel allowed", "- {id: x, like: spray-sealant, film_max_g_m2: none}",
			"x water on the panel none is looser than the class's hard 1 g/m²"},
		{"one person", "- {id: x, like: professional-ceramic, people: 1}",
			"x people 1 is fewer than the class's 2"},
		{"finish", "- {id: x, like: polymer-sealant, finishes: {allowed: [gelcoats, white-non-skid]}}",
			"x white-non-skid is a finish that the class must not touch"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, warnings := own(t, "products:\n"+tt.text+"\n")
			want := tt.warning + ": your label outranks it"
			assert.Equal(t, []string{want}, classOf(t, s, "x").Warnings)
			require.NotEmpty(t, warnings)
			assert.Contains(t, warnings[len(warnings)-1], want)
		})
	}
}

// TestLoosenedFlag: the flag stands on the limit itself, and nowhere else.
func TestLoosenedFlag(t *testing.T) {
	s, _ := own(t, "products:\n- {id: x, like: varnish, limits: {spread_k: 2, air_c: [14, 20]}, clocks_h: {dew_free: {hard: 1}}}\n")
	c := classOf(t, s, "x")
	assert.True(t, c.SpreadK.Loosened)
	assert.True(t, c.DewFree.Loosened)
	assert.False(t, c.AirC.Loosened)
	assert.False(t, c.RainFree.Loosened)
	assert.Len(t, c.Warnings, 2)
}

func TestClipped(t *testing.T) {
	s, warnings := own(t, "products:\n- id: x\n  like: polymer-sealant\n  limits:\n    surface_c: {default: [18, 25]}\n")
	assert.Equal(t, []string{"own.yaml:5:16: x surface: ideal clipped to 18–25 by your default"}, warnings)
	c := classOf(t, s, "x")
	assert.Equal(t, between(18, 25), c.SurfaceC.Ideal)
	assert.Equal(t, between(8, 36), c.SurfaceC.Hard)
	assert.Equal(t, "your label; other bands: common practice", c.SurfaceC.Source)
	assert.Empty(t, c.Warnings, "a stricter label is no matter for every verdict")
}

func TestFahrenheit(t *testing.T) {
	s, warnings := own(t, `products:
- id: x
  like: polymer-sealant
  limits:
    surface_f: {ideal: [59, 77], default: [50, 86], hard: [50, 95]}
    air_f: [50, 86]
    spread_f: {ideal: 9, default: 5.4, hard: 3.6}
  cure: {min_f: 50}
`)
	assert.Empty(t, warnings)
	c := classOf(t, s, "x")
	for got, want := range map[float64]float64{
		c.SurfaceC.Ideal.Min: 15, c.SurfaceC.Ideal.Max: 25, c.SurfaceC.Default.Max: 30, c.SurfaceC.Hard.Max: 35,
		c.AirC.Default.Min: 10, c.SpreadK.Ideal.Min: 5, c.SpreadK.Default.Min: 3, c.SpreadK.Hard.Min: 2,
	} {
		assert.InDelta(t, want, got, 1e-9)
	}
	assert.InDelta(t, 10, c.CureMinC, 1e-9)
}

// TestFahrenheitLooser: a label's °F is held against the class in °C.
func TestFahrenheitLooser(t *testing.T) {
	s, _ := own(t, "products:\n- {id: x, like: polymer-sealant, limits: {surface_f: {hard: [46.4, 100]}}}\n")
	assert.Equal(t, []string{"x surface maximum 37.778 °C is looser than the class's hard 36 °C: your label outranks it"},
		classOf(t, s, "x").Warnings)
}

func TestGustFollowsWind(t *testing.T) {
	s, _ := own(t, `products:
- {id: a, like: varnish, limits: {wind_m_s: {ideal: 1, default: 2, hard: 4}}}
- {id: b, like: varnish, limits: {wind_m_s: {ideal: 1, default: 2, hard: 4}, gust_m_s: {ideal: 2, default: 5, hard: 7}}}
- {id: c, like: varnish, limits: {wind_m_s: none}}
`)
	a, b, c := classOf(t, s, "a"), classOf(t, s, "b"), classOf(t, s, "c")
	assert.Equal(t, [3]Band{atMost(1.5), atMost(3), atMost(6)}, [3]Band{a.GustMS.Ideal, a.GustMS.Default, a.GustMS.Hard})
	assert.Equal(t, gustSource, a.GustMS.Source)
	assert.Equal(t, [3]Band{atMost(2), atMost(5), atMost(7)}, [3]Band{b.GustMS.Ideal, b.GustMS.Default, b.GustMS.Hard})
	assert.Equal(t, "your label", b.GustMS.Source)
	assert.False(t, c.GustMS.Given)
	assert.False(t, c.WindMS.Given)
}

// TestEveryKey: each key of a product reaches its field.
func TestEveryKey(t *testing.T) {
	s, _ := own(t, `products:
- id: x
  like: metal-polish
  name: rail cream
  do: seal
  also_do: [protect, wipe down]
  machine: true
  water: rinse
  surface: damp
  people: 3
  film_max_g_m2: 0.5
  cool_sun: true
  towel: false
  equivalent: true
  source: tin in the locker
  cure: {min_c: 6, humidity_pct: [20, null], full_h: [1, 2], source: leaflet}
  flash_min: [2, 3]
  flash_word: to haze
  pot_min: 90
  haze_min: {range: [4, 9], source: test patch}
  haze_soft_min: 6
  haze_word: haze
  haze_in_damp: true
  fast_in_damp: true
  halves_per_k: 8
  recoat_h: [5, null]
  recoat_end_h: 30
  recoat_anew_h: 40
  handle_h: [1, 2]
  no_soap_h: [48, 72]
  rate_m2_h: [1, 2]
  rate_unit: count
  h_per_ft: [0.1, 0.3]
  life_months: {sun: [1, 2], mild: 3, roof: [4, null]}
  finishes: {allowed: stainless, conditional: [aluminium], never: [canvas]}
  if_violated: again
  cautions: [gloves, "mind: the dock"]
  notes: >-
    two
    lines
  clocks_h: {launch: {ideal: 20, default: 12}, dew_dry_off: {default: 6, hard: 3}}
`)
	c := classOf(t, s, "x")
	base := classOf(t, s, "metal-polish")
	tin, full := "tin in the locker", Range{Given: true, Min: 1, Max: 2, Source: "leaflet"}
	rangeOf := func(low, high float64) Range { return Range{Given: true, Min: low, Max: high, Source: tin} }
	want := Class{
		ID: "x", Name: "rail cream", Like: "metal-polish", Own: true, Do: "seal", AlsoDo: []string{"protect", "wipe down"},
		Source: tin, Machine: true, Water: WaterRinse, Surface: SurfaceDamp, People: 3, FilmMaxGM2: 0.5, HasFilmMax: true,
		FilmSource: tin, CoolSun: true, Equivalent: true, CureMinC: 6, HasCureMin: true, CureHumid: atLeast(20),
		CureSource: "leaflet", FullCureH: full, FlashMin: rangeOf(2, 3), FlashWord: "to haze", PotMin: rangeOf(90, 90),
		HazeMin: Range{Given: true, Min: 4, Max: 9, Source: "test patch"}, HazeSoft: 6, HazeWord: "haze",
		HazeInDamp: true, FastInDamp: true, HalvesPerK: 8, RecoatH: Range{true, 5, 5, true, tin}, RecoatEndH: 30, RecoatAnew: 40,
		HandleH: rangeOf(1, 2), NoSoapH: rangeOf(48, 72), RateM2H: rangeOf(1, 2), RateUnit: "count", HoursPerFt: rangeOf(0.1, 0.3),
		LifeSunMo: rangeOf(1, 2), LifeMildMo: rangeOf(3, 3), LifeRoofMo: Range{true, 4, 4, true, tin},
		Allowed: []string{"stainless"}, Conditional: []string{"aluminium"}, Never: []string{"canvas"},
		IfViolated: "again", Cautions: []string{"gloves", "mind: the dock"}, Notes: "two lines",
		LaunchH:   Clock{Given: true, Ideal: 20, Default: 12, Source: tin},
		DewDryOff: Clock{Given: true, Ideal: 6, Default: 6, Hard: 3, HasHard: true, Source: tin},
		AirC:      base.AirC, SurfaceC: base.SurfaceC, HumidityPct: base.HumidityPct, SpreadK: base.SpreadK,
		WindMS: base.WindMS, GustMS: base.GustMS, SunlightWM2: base.SunlightWM2, UVIndex: base.UVIndex,
		DryOff: base.DryOff, RainFree: base.RainFree, DewFree: base.DewFree, Warnings: c.Warnings, Remarks: c.Remarks,
	}
	assert.Equal(t, want, c)
	assert.Len(t, c.Warnings, 1, "the finishes that metal polish must not touch")
}

func TestTowelAndDew(t *testing.T) {
	s, warnings := own(t, "products:\n- {id: a, like: teak-oil, towel: true}\n- {id: b, like: polymer-sealant, towel: false}\n")
	a, b := classOf(t, s, "a"), classOf(t, s, "b")
	assert.True(t, a.Towel)
	assert.False(t, a.DewDryOff.Given)
	assert.Equal(t, []string{"own.yaml:2:8: a: dew may now be taken off by towel, so dew dry-off is dropped"}, warnings)
	assert.False(t, b.Towel)
	checkClock(t, b.DewDryOff, "4/4/2")
}

func TestFinishMoves(t *testing.T) {
	s, _ := own(t, "products:\n- {id: x, like: compound-rotary, finishes: {never: [white-paint, canvas]}}\n")
	c := classOf(t, s, "x")
	assert.Equal(t, FitNever, c.Fit("white-paint"))
	assert.Equal(t, FitConditional, c.Fit("navy-paint"))
	assert.Equal(t, FitUnlisted, c.Fit("teak"))
	assert.Equal(t, FitSuited, c.Fit("white-gelcoat"))
}

// TestWithLeavesTheSetAlone: a set never changes, and neither does what it
// handed out.
func TestWithLeavesTheSetAlone(t *testing.T) {
	s := catalogueOf(t)
	before := s.Hash()
	_, _, err := s.With("own.yaml", []byte("products:\n- {id: varnish, finishes: {allowed: [canvas]}, cautions: [none]}\n"))
	require.NoError(t, err)
	c := classOf(t, s, "varnish")
	c.Allowed[0], c.Cautions[0], c.Never[0] = "changed", "changed", "changed"
	assert.Equal(t, before, s.Hash())
	assert.NotEqual(t, c.Allowed, classOf(t, s, "varnish").Allowed)
}

// TestWithTwice: a second file outranks the first, and like: still means the
// class of the catalogue.
func TestWithTwice(t *testing.T) {
	s, _ := own(t, "products:\n- {id: varnish, limits: {spread_k: 2}}\n- {id: x, like: varnish}\n")
	s, warnings, err := s.With("more.yaml", []byte("products:\n- {id: x, like: varnish, people: 2}\n"))
	require.NoError(t, err)
	assert.Empty(t, warnings)
	assert.InDelta(t, 2, classOf(t, s, "varnish").SpreadK.Default.Min, 0)
	assert.InDelta(t, 5, classOf(t, s, "x").SpreadK.Default.Min, 0)
	assert.Equal(t, 2, classOf(t, s, "x").People)
	assert.Len(t, s.IDs(), len(theClasses)+1)
}
