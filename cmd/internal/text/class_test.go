package text

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/products"
)

func classPage(t *testing.T, c products.Class, o Options) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Class(&b, c, o))
	keepsTheRules(t, b.String(), o)
	return b.String()
}

// Shown bounds lie inside the true ones: 15 to 27 °C are 59 to 80.6 °F.
func TestClassRoundsInwards(t *testing.T) {
	page := classPage(t, invented(), us)
	assert.Contains(t, page, "  panel                 59-80 °F         50-89 °F         47-96 °F        [1]\n")
	assert.Contains(t, page, "  over dew point        from 7.2 °F      from 5.4 °F      from 3.6 °F     [2]\n")
	assert.Contains(t, page, "  wind                  up to 6 mph      up to 13 mph     any             [3]\n")
	metricPage := classPage(t, invented(), metric)
	assert.Contains(t, metricPage, "  panel                 15-27 °C         10-32 °C         8-36 °C         [1]\n")
	assert.Contains(t, metricPage, "  no rain, by warmth    8 h              4 h              2 h 30          [4]\n")
}

// Every source is named once, and every bound points at its own.
func TestClassNamesItsSources(t *testing.T) {
	page := classPage(t, invented(), metric)
	assert.Contains(t, page, "[1] your label, looser than the class's hard bound\n[2] ISO 8502-4\n[3] common practice\n[4] your label\n")
	for _, l := range invented().Explain() {
		assert.Contains(t, page, l.Source)
	}
}

// Sources stay in the units of whoever said them; notes go into the reader's.
func TestClassConvertsNotesAndNotSources(t *testing.T) {
	c := invented()
	c.SpreadK.Source = "3 K: ISO 8502-4"
	page := classPage(t, c, us)
	assert.Contains(t, page, "3 K: ISO 8502-4")
	assert.Contains(t, page, "Notes: Sections of 3 sq ft, at most 86 °F.")
}

func TestClassOfItsOwn(t *testing.T) {
	page := classPage(t, invented(), metric)
	assert.Contains(t, page, "Your own product: like polymer-sealant, but for what your file says.")
	assert.Contains(t, page, "Please note: surface up to 36 °C is looser than the class's hard 35 °C.")
	assert.Contains(t, page, "2 people at least")
	c := invented()
	c.Own, c.Warnings, c.People = false, nil, 1
	page = classPage(t, c, metric)
	assert.NotContains(t, page, "Your own")
	assert.NotContains(t, page, "people")
}

func TestClassHead(t *testing.T) {
	c := products.Class{
		ID:      "x",
		Do:      "wash",
		AlsoDo:  []string{"strip wash"},
		Machine: true,
		Water:   products.WaterSoap,
		Surface: products.SurfaceWet,
	}
	page := strings.Join(strings.Fields(classPage(t, c, metric)), " ")
	assert.Contains(t, page, "For the step wash or strip wash; needs machine hours; panel wetted by the work; soapy water runs off.")
	assert.NotContains(t, page, "towel", "on a wet panel nobody asks")
	for w, want := range map[products.Water]string{

		products.WaterNone:  "",
		products.WaterRinse: "fresh water runs off",
		products.WaterAll:   "acid, caustic, slurry or solvent runs off",
	} {
		assert.Equal(t, want, runOff(w))
	}
	c.Surface = products.SurfaceDry
	assert.Contains(t, classPage(t, c, metric), "a towel does not help")
}

func TestClassWithoutAnything(t *testing.T) {
	assert.NotEmpty(t, classPage(t, products.Class{}, us))
}

func TestClassOfEveryFinish(t *testing.T) {
	c := invented()
	c.Allowed, c.Conditional = products.Finishes(), nil
	page := classPage(t, c, metric)
	assert.Contains(t, page, "Goes on: every finish.")
	assert.NotContains(t, page, "stand buffing")
}

func TestRate(t *testing.T) {
	for unit, want := range map[string][2]string{
		"m²/h and person": {"6-12 m² an hour and person", "65-129 sq ft an hour and person"},
		"m/h and person":  {"6-12 m an hour and person", "20-39 ft an hour and person"},
		"repairs a day":   {"6-12 repairs a day", "6-12 repairs a day"},
	} {
		b := products.Band{Min: 6, Max: 12, HasMin: true, HasMax: true}
		for i, o := range []Options{metric, us} {
			p := newPage(o)
			assert.Equal(t, want[i], untie(p.band(p.rate(unit), b)))
		}
	}
}

func TestLabourByLength(t *testing.T) {
	l := products.Line{Key: "h_per_ft"}
	b := products.Band{Min: 0.25, Max: 0.45, HasMin: true, HasMax: true}
	p := newPage(us)
	assert.Equal(t, "0.25-0.45 h a foot", untie(p.band(p.lineUnit(l), b)))
	p = newPage(metric)
	assert.Equal(t, "0.83-1.47 h a metre", untie(p.band(p.lineUnit(l), b)), "3.28 feet in a metre")
}

func TestBand(t *testing.T) {
	p := newPage(metric)
	q := p.o.temperature()
	for want, b := range map[string]products.Band{
		"10-20 °C":    {Min: 10, Max: 20, HasMin: true, HasMax: true},
		"-5 to 20 °C": {Min: -5, Max: 20, HasMin: true, HasMax: true},
		"10 °C":       {Min: 10, Max: 10, HasMin: true, HasMax: true},
		"from 10 °C":  {Min: 10, HasMin: true},
		"up to 20 °C": {Max: 20, HasMax: true},
		"any":         {},
	} {
		assert.Equal(t, want, untie(p.band(q, b)))
	}
}

// In the list a person's own product says that it is theirs.
func TestProductLine(t *testing.T) {
	var b bytes.Buffer
	own, bare := invented(), products.Class{ID: "bare", Name: "bare", Do: "seal", Own: true}
	require.NoError(t, Products(&b, []products.Class{own, bare}, us))
	keepsTheRules(t, b.String(), us)
	assert.Contains(t, b.String(), "yours, 50-89 °F\n")
	assert.Contains(t, b.String(), "  yours\n")
	assert.NotContains(t, b.String(), "COAT", "no heading without a product")
}

func TestProductsOfOddNames(t *testing.T) {
	for _, n := range []string{"\x1b[31mred", strings.Repeat("long ", 40), "⛵ Möwe 船", ""} {
		c := invented()
		c.ID, c.Name, c.Notes, c.Like, c.Do = n, n, n, n, n
		c.Cautions, c.Never, c.HazeWord = []string{n}, []string{n}, n
		for _, o := range []Options{metric, us, {Width: 60}, {Width: 40}} {
			var b bytes.Buffer
			require.NoError(t, Products(&b, []products.Class{c}, o))
			keepsTheRules(t, b.String(), o)
			b.Reset()
			require.NoError(t, Class(&b, c, o))
			keepsTheRules(t, b.String(), o)
		}
	}
}
