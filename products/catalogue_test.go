package products

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// theClasses is the list of all classes that job files may name.
var theClasses = strings.Fields(`soap-wash degreaser acid-cleaner water-spot-remover compound-rotary
compound-dual-action finishing-polish panel-wipe cleaner-wax carnauba-wax polymer-sealant spray-sealant
consumer-ceramic professional-ceramic graphene-ceramic paint-sealant metal-polish vinyl-protectant
tube-protectant clear-vinyl-protectant non-skid-sealer teak-cleaner teak-sealer teak-oil varnish polyurethane-topcoat
epoxy-barrier antifouling gelcoat-repair polysulfide-sealant moisture-cure-sealant`)

func catalogueOf(t testing.TB) *Set {
	t.Helper()
	s, err := Catalogue()
	require.NoError(t, err)
	return s
}

func classOf(t testing.TB, s *Set, id string) Class {
	t.Helper()
	c, ok := s.Class(id)
	require.True(t, ok, id)
	return c
}

// table reads one of the tables of testdata/products: rows by id and column.
func table(t *testing.T, name string) map[string]map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "products", name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	out := map[string]map[string]string{}
	for _, row := range rows[1:] {
		cells := map[string]string{}
		for i, head := range rows[0] {
			cells[head] = strings.TrimSpace(row[i])
		}
		require.NotContains(t, out, row[0])
		out[row[0]] = cells
	}
	want := slices.Clone(theClasses)
	slices.Sort(want)
	got := make([]string, 0, len(out))
	for id := range out {
		got = append(got, id)
	}
	slices.Sort(got)
	require.Equal(t, want, got, "%s has a row for every class and no other", name)
	return out
}

// cellBand reads a..b, ..b, a.., a or -.
func cellBand(t *testing.T, text string) Band {
	t.Helper()
	text = strings.TrimSpace(text)
	if text == "-" {
		return Band{}
	}
	low, high, isBand := strings.Cut(text, "..")
	if !isBand {
		high = low
	}
	var b Band
	if low != "" {
		b.Min, b.HasMin = number(t, low), true
	}
	if high != "" {
		b.Max, b.HasMax = number(t, high), true
	}
	return b
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	require.NoError(t, err)
	return x
}

// three splits ideal / default / hard.
func three(t *testing.T, cell string) (ideal, normal, hard string) {
	t.Helper()
	parts := strings.Split(cell, "/")
	require.Len(t, parts, 3, cell)
	return parts[0], parts[1], parts[2]
}

// checkBands holds a limit against a cell. The table leaves an end of an inner
// band open where the outer one's bound goes for it; the loader writes it in.
func checkBands(t *testing.T, l Limit, cell string) {
	t.Helper()
	if cell == "-" {
		assert.False(t, l.Given)
		return
	}
	a, b, c := three(t, cell)
	hard := cellBand(t, c)
	normal := cellBand(t, b).fill(hard)
	assert.True(t, l.Given)
	assert.Equal(t, hard, l.Hard)
	assert.Equal(t, normal, l.Default)
	assert.Equal(t, cellBand(t, a).fill(normal), l.Ideal)
}

// one keeps the end of a band that a one-sided limit has.
func one(cell, prefix, suffix string) string {
	if cell == "-" {
		return cell
	}
	parts := strings.Split(cell, "/")
	for i, p := range parts {
		if p = strings.TrimSpace(p); p != "-" {
			parts[i] = prefix + p + suffix
		}
	}
	return strings.Join(parts, "/")
}

// TestLimitsTable checks every bound while applying. Common practice, no
// source, but for the hard spread of 3 K (ISO 8502-4, ISO 12944-7).
func TestLimitsTable(t *testing.T) {
	s := catalogueOf(t)
	for id, row := range table(t, "limits.csv") {
		t.Run(id, func(t *testing.T) {
			c := classOf(t, s, id)
			checkBands(t, c.AirC, row["air_c"])
			checkBands(t, c.SurfaceC, row["surface_c"])
			checkBands(t, c.HumidityPct, row["humidity_pct"])
			checkBands(t, c.SpreadK, one(row["spread_k"], "", ".."))
			checkBands(t, c.WindMS, one(row["wind_m_s"], "..", ""))
			checkBands(t, c.SunlightWM2, one(row["sunlight_w_m2"], "..", ""))
			assert.Equal(t, row["cool_sun"] == "yes", c.CoolSun)
			assert.InDelta(t, 1.5*c.WindMS.Ideal.Max, c.GustMS.Ideal.Max, 1e-9)
			assert.InDelta(t, 1.5*c.WindMS.Default.Max, c.GustMS.Default.Max, 1e-9)
			assert.InDelta(t, 1.5*c.WindMS.Hard.Max, c.GustMS.Hard.Max, 1e-9)
			assert.True(t, c.GustMS.Given && c.GustMS.Hard.HasMax)
		})
	}
}

var unit = regexp.MustCompile(`^(\S+) (s|min|h|d|wk|mo|y)$`)

// checkRange holds a range, kept in the unit that factors convert to, against a
// cell such as "3..8 wk".
func checkRange(t *testing.T, r Range, cell string, factors map[string]float64, tolerance float64) {
	t.Helper()
	if cell == "-" {
		assert.False(t, r.Given)
		return
	}
	m := unit.FindStringSubmatch(cell)
	require.NotNil(t, m, cell)
	f, ok := factors[m[2]]
	require.True(t, ok, cell)
	b := cellBand(t, m[1])
	assert.True(t, r.Given)
	assert.InDelta(t, b.Min*f, r.Min, tolerance)
	assert.Equal(t, !b.HasMax, r.NoMax)
	if b.HasMax {
		assert.InDelta(t, b.Max*f, r.Max, tolerance)
	} else {
		assert.InDelta(t, r.Min, r.Max, 0)
	}
}

// amount is a single value of a cell such as "48 h", 0 for none.
func amount(t *testing.T, cell string, factors map[string]float64) float64 {
	t.Helper()
	if cell == "-" {
		return 0
	}
	m := unit.FindStringSubmatch(cell)
	require.NotNil(t, m, cell)
	return number(t, m[1]) * factors[m[2]]
}

var (
	minutes = map[string]float64{"s": 1.0 / 60, "min": 1, "h": 60}
	hours   = map[string]float64{"min": 1.0 / 60, "h": 1, "d": 24}
	months  = map[string]float64{"wk": 12 / 52.18, "mo": 1, "y": 12}
)

// TestTimesTable checks the times while working. Common practice, no source.
func TestTimesTable(t *testing.T) {
	s := catalogueOf(t)
	dryOff := regexp.MustCompile(`^(\S+)(?: \((\S+)\))?$`)
	for id, row := range table(t, "times.csv") {
		t.Run(id, func(t *testing.T) {
			c := classOf(t, s, id)
			assert.Equal(t, row["surface"], c.Surface.String())
			m := dryOff.FindStringSubmatch(row["dry_off_h"])
			require.NotNil(t, m)
			if m[1] == "0" {
				assert.False(t, c.DryOff.Given, "no clock where none is needed")
			} else {
				assert.InDelta(t, number(t, m[1]), c.DryOff.Default, 1e-9)
				assert.InDelta(t, number(t, m[1]), c.DryOff.Ideal, 1e-9, "ideal is default")
				assert.InDelta(t, number(t, m[2]), c.DryOff.Hard, 1e-9)
				assert.True(t, c.DryOff.Given && c.DryOff.HasHard)
			}
			checkRange(t, c.FlashMin, row["flash"], minutes, 0.001)
			checkRange(t, c.HazeMin, row["haze"], minutes, 1e-9)
			assert.InDelta(t, amount(t, row["haze_soft"], minutes), c.HazeSoft, 1e-9)
			assert.InDelta(t, cellBand(t, row["halves_k"]).Max, c.HalvesPerK, 1e-9)
			checkRange(t, c.RecoatH, row["recoat"], hours, 0.001)
			assert.InDelta(t, amount(t, row["recoat_end"], hours), c.RecoatEndH, 1e-9)
			assert.Equal(t, row["fast_in_damp"] == "yes", c.FastInDamp)
		})
	}
}

// checkClock holds a clock against ideal/default/hard; 0 is no clock.
func checkClock(t *testing.T, k Clock, cell string) {
	t.Helper()
	if cell == "0" {
		assert.False(t, k.Given)
		return
	}
	a, b, c := three(t, cell)
	assert.True(t, k.Given && k.HasHard)
	assert.InDelta(t, number(t, a), k.Ideal, 1e-9)
	assert.InDelta(t, number(t, b), k.Default, 1e-9)
	assert.InDelta(t, number(t, c), k.Hard, 1e-9)
}

// TestAfterTable checks the clocks after application. Common practice.
func TestAfterTable(t *testing.T) {
	s := catalogueOf(t)
	for id, row := range table(t, "after.csv") {
		t.Run(id, func(t *testing.T) {
			c := classOf(t, s, id)
			checkClock(t, c.RainFree, row["rain_free_h"])
			checkClock(t, c.DewFree, row["dew_free_h"])
			checkRange(t, c.HandleH, row["handle"], hours, 1e-9)
			checkRange(t, c.FullCureH, row["full_cure"], hours, 1e-9)
			assert.Equal(t, row["cure_min_c"] != "-", c.HasCureMin)
			assert.InDelta(t, cellBand(t, row["cure_min_c"]).Max, c.CureMinC, 1e-9)
			assert.Equal(t, cellBand(t, row["cure_humidity_pct"]), c.CureHumid)
			assert.NotEmpty(t, c.IfViolated)
		})
	}
	c := classOf(t, s, "antifouling")
	checkClock(t, c.LaunchH, "12/12/8")
	for _, id := range []string{"professional-ceramic", "graphene-ceramic"} {
		assert.InDelta(t, 168, classOf(t, s, id).NoSoapH.Min, 0, "no soap for 7 days")
	}
	assert.Equal(t, Range{true, 120, 168, false, "common practice"}, classOf(t, s, "consumer-ceramic").NoSoapH)
	assert.InDelta(t, 24, classOf(t, s, "teak-sealer").RecoatAnew, 0, "wet on tacky, or after 24 h")
	assert.Equal(t, Range{true, 120, 240, false, "common practice"}, classOf(t, s, "polyurethane-topcoat").PotMin)
	assert.InDelta(t, 20, classOf(t, s, "epoxy-barrier").PotMin.Min, 0)
	assert.InDelta(t, 60, classOf(t, s, "epoxy-barrier").PotMin.Max, 0)
}

// TestOutputTable checks labour and lifetime. Common practice, around one count
// of the trade press.
func TestOutputTable(t *testing.T) {
	s := catalogueOf(t)
	for id, row := range table(t, "output.csv") {
		t.Run(id, func(t *testing.T) {
			c := classOf(t, s, id)
			want := cellBand(t, strings.Split(row["rate"], "+")[0])
			if on, off, ok := strings.Cut(row["rate"], "+"); ok {
				a, b := cellBand(t, on), cellBand(t, off)
				want = Band{1 / (1/a.Min + 1/b.Min), 1 / (1/a.Max + 1/b.Max), true, true}
			}
			assert.InDelta(t, want.Min, c.RateM2H.Min, 0.005)
			assert.InDelta(t, want.Max, c.RateM2H.Max, 0.005)
			assert.Equal(t, row["unit"], c.RateUnit)
			perFt := cellBand(t, row["h_per_ft"])
			assert.Equal(t, perFt.HasMin, c.HoursPerFt.Given)
			assert.InDelta(t, perFt.Min, c.HoursPerFt.Min, 1e-9)
			assert.InDelta(t, perFt.Max, c.HoursPerFt.Max, 1e-9)
			checkRange(t, c.LifeSunMo, row["sun"], months, 0.06)
			checkRange(t, c.LifeMildMo, row["mild"], months, 0.06)
			checkRange(t, c.LifeRoofMo, row["roof"], months, 0.06)
		})
	}
}

// TestUVIndex checks the bounds of the UV index on the plane. Common practice,
// from memory; an ‘0’ stands for no bound.
func TestUVIndex(t *testing.T) {
	want := map[string][3]float64{}
	for group, bounds := range map[string][3]float64{
		"consumer-ceramic professional-ceramic graphene-ceramic":               {2, 4, 7},
		"cleaner-wax carnauba-wax polymer-sealant spray-sealant paint-sealant": {3, 6, 0},
		"tube-protectant":                         {3, 6, 0},
		"vinyl-protectant clear-vinyl-protectant": {3, 6, 9},
		"varnish polyurethane-topcoat":            {3, 5, 8},
		"epoxy-barrier":                           {3, 6, 8},
	} {
		for _, id := range strings.Fields(group) {
			want[id] = bounds
		}
	}
	s := catalogueOf(t)
	for _, id := range theClasses {
		l, w := classOf(t, s, id).UVIndex, want[id]
		assert.Equal(t, w != [3]float64{}, l.Given, id)
		assert.Equal(t, [3]float64{l.Ideal.Max, l.Default.Max, l.Hard.Max}, w, id)
		assert.Equal(t, w[2] != 0, l.Hard.HasMax, id)
		if l.Given {
			assert.Equal(t, "common practice, from memory", l.Source)
		}
	}
}

// TestGroups checks what holds for whole groups of classes. Common practice
// from the dock.
func TestGroups(t *testing.T) {
	noTowel := strings.Fields(`teak-sealer teak-oil varnish epoxy-barrier gelcoat-repair polysulfide-sealant
		moisture-cure-sealant polyurethane-topcoat`)
	equivalent := strings.Fields("varnish polyurethane-topcoat epoxy-barrier gelcoat-repair antifouling teak-sealer")
	machine := strings.Fields("compound-rotary compound-dual-action finishing-polish")
	two := strings.Fields("polyurethane-topcoat professional-ceramic graphene-ceramic")
	wet := strings.Fields("soap-wash degreaser acid-cleaner water-spot-remover teak-cleaner")
	s := catalogueOf(t)
	for _, id := range theClasses {
		t.Run(id, func(t *testing.T) {
			c := classOf(t, s, id)
			assert.Equal(t, !slices.Contains(noTowel, id), c.Towel)
			if c.Towel {
				assert.False(t, c.DewDryOff.Given)
			} else {
				checkClock(t, c.DewDryOff, "4/4/2")
			}
			assert.Equal(t, slices.Contains(equivalent, id), c.Equivalent)
			assert.Equal(t, slices.Contains(machine, id), c.Machine)
			people, film := 1, 1.0
			if slices.Contains(two, id) {
				people = 2
			}
			if c.Machine {
				film = 5
			}
			assert.Equal(t, people, c.People)
			assert.Equal(t, !slices.Contains(wet, id), c.HasFilmMax)
			if c.HasFilmMax {
				assert.InDelta(t, film, c.FilmMaxGM2, 0)
			}
			assert.Equal(t, c.Machine, c.PaintSurfaceC.Given)
			if c.Machine { // on paint default 30, hard 35 °C
				assert.InDelta(t, 30, c.PaintSurfaceC.Default.Max, 0)
				assert.InDelta(t, 35, c.PaintSurfaceC.Hard.Max, 0)
				assert.Equal(t, finishGroups()["paints"], c.Conditional)
			}
			assert.False(t, c.Own)
			assert.Empty(t, c.Like)
			assert.Empty(t, c.Warnings)
			assert.NotEqual(t, c.ID, c.Name)
		})
	}
}

func TestDoAndWater(t *testing.T) {
	do := map[string]string{
		"wash":          "soap-wash",
		"decontaminate": "degreaser acid-cleaner water-spot-remover teak-cleaner",
		"correct":       "compound-rotary compound-dual-action finishing-polish",
		"wipe down":     "panel-wipe",
		"strip wash":    "soap-wash",
		"seal": `cleaner-wax carnauba-wax polymer-sealant spray-sealant consumer-ceramic professional-ceramic
			graphene-ceramic paint-sealant`,
		"protect": "metal-polish vinyl-protectant tube-protectant clear-vinyl-protectant non-skid-sealer",
		"coat":    "teak-sealer teak-oil varnish polyurethane-topcoat epoxy-barrier antifouling gelcoat-repair",
		"bed":     "polysulfide-sealant moisture-cure-sealant",
	}
	require.Len(t, do, len(doWords()))
	water := map[string]Water{
		"soap-wash": WaterSoap, "degreaser": WaterAll, "acid-cleaner": WaterAll, "teak-cleaner": WaterAll,
		"water-spot-remover": WaterSoap, "vinyl-protectant": WaterRinse, "clear-vinyl-protectant": WaterRinse,
	}
	s := catalogueOf(t)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		for word, list := range do {
			assert.Equal(t, slices.Contains(strings.Fields(list), id), c.Serves(word), "%s: %s", id, word)
		}
		assert.Equal(t, water[id], c.Water, id)
	}
}

// TestNested is the law of the three bands, for every class.
func TestNested(t *testing.T) {
	s := catalogueOf(t)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		for _, spec := range limitSpecs() {
			checkNested(t, c, spec.key, *spec.field(&c))
		}
		for _, spec := range clockSpecs() {
			k := *spec.clock(&c)
			checkNested(t, c, spec.key, k.limit())
			assert.True(t, k.Ideal >= k.Default && k.Default >= k.Hard && k.Hard >= 0, "%s %s", id, spec.key)
		}
	}
}

func checkNested(t *testing.T, c Class, key string, l Limit) {
	t.Helper()
	assert.True(t, l.Ideal.Within(l.Default), "%s %s: ideal %v in default %v", c.ID, key, l.Ideal, l.Default)
	assert.True(t, l.Default.Within(l.Hard), "%s %s: default %v in hard %v", c.ID, key, l.Default, l.Hard)
	for _, b := range []Band{l.Ideal, l.Default, l.Hard} {
		assert.False(t, b.empty(), "%s %s", c.ID, key)
		assert.False(t, math.IsNaN(b.Min) || math.IsNaN(b.Max))
	}
}

// TestProvenance: whatever is shown can be asked where it is from.
func TestProvenance(t *testing.T) {
	s := catalogueOf(t)
	for _, id := range theClasses {
		c := classOf(t, s, id)
		for _, line := range c.Explain() {
			assert.NotEmpty(t, line.Source, "%s %s", id, line.Key)
		}
		if c.SpreadK.Given && c.SpreadK.Hard.Min == 3 {
			assert.Contains(t, c.SpreadK.Source, "ISO 8502-4", id)
			assert.Contains(t, c.SpreadK.Source, "ISO 12944-7", id)
		} else if c.SpreadK.Given {
			assert.Equal(t, "common practice", c.SpreadK.Source, id)
		}
	}
}

// TestCatalogueStays: the one set that all share is what the file says, whatever was made
// of it and of what it gave.
func TestCatalogueStays(t *testing.T) {
	fresh, err := readCatalogue()
	require.NoError(t, err)
	shared := catalogueOf(t)
	require.Same(t, shared, catalogueOf(t))
	for _, id := range theClasses {
		own(t, "products: [{id: "+id+", people: 3}, {id: mine, like: "+id+", cautions: [], people: 3}]")
		c := classOf(t, shared, id)
		for _, list := range [][]string{c.AlsoDo, c.Allowed, c.Never, c.Conditional, c.Cautions, c.Warnings} {
			for i := range list {
				list[i] = "spoilt"
			}
		}
	}
	assert.Equal(t, fresh.Hash(), shared.Hash())
	assert.Equal(t, fresh, shared)
}

// TestCatalogueIsQuick: the catalogue is read at every start of the program.
func TestCatalogueIsQuick(t *testing.T) {
	best := time.Hour
	for range 5 {
		start := time.Now()
		_, err := readCatalogue()
		require.NoError(t, err)
		best = min(best, time.Since(start))
	}
	assert.Less(t, best, 200*time.Millisecond, "a tenth of this is usual; ten times leaves room for a busy machine")
}

func BenchmarkCatalogue(b *testing.B) {
	for b.Loop() {
		if _, err := readCatalogue(); err != nil {
			b.Fatal(err)
		}
	}
}
