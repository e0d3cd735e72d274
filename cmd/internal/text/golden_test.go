package text

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
	"dewgap/products"
	"dewgap/window/job"
)

var update = flag.Bool("update", false, "write the golden files anew")

const goldens = "../../../testdata/text"

// bothUnits are the screens that every golden file is kept for.
var bothUnits = map[string]Options{
	"metric": {Units: "metric"},
	"us":     {Units: "us"},
}

// golden compares a page with its file and holds it to the rules of every page.
func golden(t *testing.T, file string, o Options, write func(*bytes.Buffer) error) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	keepsTheRules(t, b.String(), o)
	path := filepath.Join(goldens, file)
	if *update {
		require.NoError(t, os.MkdirAll(goldens, 0o755))
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "run go test ./cmd/internal/text -update, then read the new file")
	assert.Equal(t, string(want), b.String(), "if the change is meant: go test ./cmd/internal/text -update")
	return b.String()
}

// must is what t can be of, for the rules hold in tests and properties alike.
type must interface {
	Errorf(format string, args ...any)
	FailNow()
}

// keepsTheRules: no line is too wide or ends in a space, nothing hidden gets
// through, and no word that dock hands do not use.
func keepsTheRules(t must, page string, o Options) {
	width := o.Width
	if width == 0 {
		width = 80
	}
	require.NotEmpty(t, page)
	require.True(t, strings.HasSuffix(page, "\n"))
	for _, l := range strings.Split(strings.TrimSuffix(page, "\n"), "\n") {
		require.LessOrEqual(t, cells(uncoloured(l)), width, "%q", l)
		require.Equal(t, strings.TrimRight(l, " "), l)
		for _, r := range uncoloured(l) {
			require.False(t, hidden(r), "%q in %q", r, l)
			require.NotEqual(t, '\u00a0', r, "%q", l)
		}
	}
	if !o.Colour {
		require.NotContains(t, page, "\x1b")
	}
}

// uncoloured takes out the colours that the package itself writes.
func uncoloured(s string) string {
	for _, c := range sgr {
		s = strings.ReplaceAll(s, c, "")
	}
	return s
}

func TestWeekGolden(t *testing.T) {
	for unit, o := range bothUnits {
		t.Run(unit, func(t *testing.T) {
			page := golden(t, "week_"+unit+".txt", o, func(b *bytes.Buffer) error { return Week(b, lateSummer(t), o) })
			noJargon(t, page)
		})
	}
}

func TestWeekHoursGolden(t *testing.T) {
	for unit, o := range bothUnits {
		o.Hours, o.Wind = true, "kn"
		golden(t, "week_hours_"+unit+".txt", o, func(b *bytes.Buffer) error {
			a := lateSummer(t)
			a.Windows, a.Refusals = nil, nil
			return Week(b, a, o)
		})
	}
}

func TestWeekWithoutWindowGolden(t *testing.T) {
	a := wetWeek(t)
	o := Options{Units: "us"}
	page := golden(t, "week_none_us.txt", o, func(b *bytes.Buffer) error { return Week(b, a, o) })
	noJargon(t, page)
}

// wetWeek has no window: rain on every day, and one that nobody knows.
func wetWeek(t *testing.T) *answer.Week {
	b := builder{t, emptyWeek()}
	for _, s := range []string{
		"seal | port side | 9 00:00 x hours; 07:00 x rain_free 1.2/2; 18:00 x hours; 23:50",
		"seal | port side | 10 00:00 x hours; 07:00 x rain_free 0.3/2; 18:00 x hours; 23:50",
		"seal | port side | 11 00:00 x hours; 07:00 ? data; 18:00 x hours; 23:50",
	} {
		b.line(s)
	}
	a := b.finish()
	a.Headline = &answer.Headline{Step: "seal", WhyNot: []string{"Wed 9 Sep: rain all afternoon"}}
	a.Source = answer.Source{Name: "MET Norway", Model: "nordic", Members: 1, Stale: true, AgeS: ptr(int64(200000))}
	return a
}

func TestMorningGolden(t *testing.T) {
	for unit, o := range bothUnits {
		t.Run(unit, func(t *testing.T) {
			page := golden(t, "morning_"+unit+".txt", o, func(b *bytes.Buffer) error { return Morning(b, early(), o) })
			noJargon(t, page)
		})
	}
}

var jargon = regexp.MustCompile(`\bSED\b|(?i)\b(slots?|binding|after-clock|refusals?|film|spread|members?|score|stars?)\b`)

// noJargon holds a page to the words of the dock. Product notes and sources are
// other people's and not held to it.
func noJargon(t *testing.T, page string) {
	t.Helper()
	found := jargon.FindAllString(page, -1)
	assert.Empty(t, found)
}

func TestProductsGolden(t *testing.T) {
	own, long := invented(), invented()
	long.ID, long.Do, long.Own = "rust-remover", "decontaminate", false
	long.Name = "acid remover of rust, scale and waterline stains, thickened for upright sides"
	bare := products.Class{ID: "varnish", Name: "varnish for brightwork", Do: "coat"}
	odd := products.Class{ID: "gold-leaf", Name: "gold leaf", Do: "gild"}
	for unit, o := range bothUnits {
		golden(t, "products_"+unit+".txt", o, func(b *bytes.Buffer) error {
			return Products(b, []products.Class{own, bare, odd, long}, o)
		})
	}
}

func TestProductsHasALineForEveryClass(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	var list []products.Class
	for _, id := range set.IDs() {
		c, ok := set.Class(id)
		require.True(t, ok)
		list = append(list, c)
	}
	for _, o := range bothUnits {
		var b bytes.Buffer
		require.NoError(t, Products(&b, list, o))
		keepsTheRules(t, b.String(), o)
		for _, id := range set.IDs() {
			assert.Equal(t, 1, strings.Count(b.String(), "\n  "+id+" "), "one line for %s", id)
		}
	}
}

func TestProductsNone(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Products(&b, nil, Options{}))
	assert.Equal(t, "There are no products.\n", b.String())
}

// Classes of the catalogue change with it: only one invented product is kept as
// a golden file, and the others are held to the rules of every page.
func TestClassGolden(t *testing.T) {
	for unit, o := range bothUnits {
		golden(t, "class_"+unit+".txt", o, func(b *bytes.Buffer) error { return Class(b, invented(), o) })
	}
}

func TestEveryClassKeepsTheRules(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	for _, id := range set.IDs() {
		c, _ := set.Class(id)
		for _, o := range bothUnits {
			var b bytes.Buffer
			require.NoError(t, Class(&b, c, o))
			keepsTheRules(t, b.String(), o)
			assert.Contains(t, b.String(), strings.ToUpper(id))
			assert.NotContains(t, b.String(), ellipsis, "nothing of %s is cut", id)
		}
	}
}

func invented() products.Class {
	band := func(lo, hi float64) products.Band { return products.Band{Min: lo, Max: hi, HasMin: true, HasMax: true} }
	least := func(x float64) products.Band { return products.Band{Min: x, HasMin: true} }
	most := func(x float64) products.Band { return products.Band{Max: x, HasMax: true} }
	return products.Class{
		ID:     "my-sealant",
		Name:   "sealant from the blue tin",
		Like:   "polymer-sealant",
		Own:    true,
		Do:     "seal",
		People: 2,
		SurfaceC: products.Limit{
			Given:    true,
			Ideal:    band(15, 27),
			Default:  band(10, 32),
			Hard:     band(8, 36),
			Source:   "your label",
			Loosened: true,
		},
		SpreadK:     products.Limit{Given: true, Ideal: least(4), Default: least(3), Hard: least(2), Source: "ISO 8502-4"},
		WindMS:      products.Limit{Given: true, Ideal: most(3), Default: most(6), Source: "common practice"},
		SunlightWM2: products.Limit{Given: true, Ideal: most(100), Default: most(250), Source: "common practice"},
		CoolSun:     true,
		Towel:       true,
		HasFilmMax:  true,
		FilmMaxGM2:  1,
		FilmSource:  "common practice",
		DryOff:      products.Clock{Given: true, Ideal: 2, Default: 2, Hard: 1, HasHard: true, Source: "your label"},
		RainFree:    products.Clock{Given: true, Ideal: 8, Default: 4, Hard: 2.5, HasHard: true, Source: "your label"},
		Equivalent:  true,
		HalvesPerK:  10,
		CureMinC:    8,
		HasCureMin:  true,
		CureSource:  "your label",
		HazeMin:     products.Range{Given: true, Min: 30, Max: 240, Source: "your label"},
		HazeWord:    "haze",
		RateM2H:     products.Range{Given: true, Min: 6, Max: 12, Source: "common practice"},
		RateUnit:    "m2",
		Allowed:     []string{"white-gelcoat", "navy-gelcoat"},
		Never:       []string{"teak"},
		Conditional: []string{"white-paint"},
		IfViolated:  "re-buff",
		Notes:       "Sections of 0.3 m², at most 30 °C.",
		Cautions:    []string{"gloves", "no naked flame"},
		Warnings:    []string{"surface up to 36 °C is looser than the class's hard 35 °C"},
	}
}

func TestCheckGolden(t *testing.T) {
	j, err := job.Parse("job.yaml", []byte(jobFile), nil, job.Options{})
	require.NoError(t, err)
	// The zone database of the machine has no part in the golden file.
	j.Place.Location = time.FixedZone("EDT", -4*3600)
	for unit, o := range bothUnits {
		golden(t, "check_"+unit+".txt", o, func(b *bytes.Buffer) error { return Check(b, j, o) })
	}
}

const jobFile = `job: Late-summer clean and seal
place:
  name: Otter Quay
  latitude: 43.07
  longitude: -70.74
  timezone: America/New_York
  machines: {default: "08:00-17:00", sun: none}
  water: soap
boat: {name: Kittiwake, length_m: 13, bow: 200, afloat: true}
zones:
  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 18}
  - {name: starboard side, faces: 90, tilt: 90, finish: navy-paint, area_m2: 18, access: float, salt: true}
  - {name: foredeck, tilt: 0, finish: white-non-skid}
  - {name: helm, tilt: 30, faces: 180, finish: white-gelcoat, shelter: hardtop}
steps:
  - {do: wash, with: soap-wash, on: [port side, starboard side, foredeck, helm]}
  - {do: correct, with: compound-dual-action, on: [port side, starboard side, helm]}
  - {do: seal, with: polymer-sealant, on: [port side]}
people: 2
hours: {default: "07:00-12:00", sat: "08:00-12:00"}
away: [2026-09-10]
from: 2026-09-07
by: 2026-09-14
must: {launch: 2026-09-14T08:00}
`
