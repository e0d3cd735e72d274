package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rgb is a colour, each part from 0 to 1.
type rgb [3]float64

func hex(t testing.TB, s string) rgb {
	var c rgb
	require.Len(t, s, 7)
	for i := range c {
		v, err := strconv.ParseUint(s[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err)
		c[i] = float64(v) / 255
	}
	return c
}

// luminance is relative luminance, WCAG 2.2.
func (c rgb) luminance() float64 {
	lin := func(v float64) float64 {
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c[0]) + 0.7152*lin(c[1]) + 0.0722*lin(c[2])
}

// contrast is the contrast ratio, WCAG 2.2.
func contrast(a, b rgb) float64 {
	x, y := a.luminance(), b.luminance()
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func (c rgb) over(under rgb, opacity float64) rgb {
	for i := range c {
		c[i] = c[i]*opacity + under[i]*(1-opacity)
	}
	return c
}

// The formula first: black on white is 21:1 by its definition (WCAG 2.2, contrast
// ratio), and #767676 the lightest grey of 4.5:1 on white (from memory).
func TestContrastFormula(t *testing.T) {
	white := hex(t, "#ffffff")
	assert.InDelta(t, 21, contrast(hex(t, "#000000"), white), 1e-9)
	assert.GreaterOrEqual(t, contrast(hex(t, "#767676"), white), 4.5)
	assert.Less(t, contrast(hex(t, "#777777"), white), 4.5)
}

// schemes are the three looks by the names of their colours.
func schemes(t testing.TB) map[string]map[string]rgb {
	out := map[string]map[string]rgb{"bright": {}, "dark": {}, "paper": {}}
	for _, p := range palette {
		for scheme, c := range map[string]string{"bright": p.bright, "dark": p.dark, "paper": p.paper} {
			_, twice := out[scheme][p.name]
			require.False(t, twice, p.name)
			out[scheme][p.name] = hex(t, c)
		}
	}
	return out
}

// nightVeil is the opacity of night in the rules.
const nightVeil = 0.08

// Words reach 4.5:1 on all that they may stand on (WCAG 2.2, 1.4.3), by day and
// under the veil of night.
func TestWordsHaveContrast(t *testing.T) {
	require.Contains(t, rules, fmt.Sprintf("fill-opacity:%s", strings.TrimPrefix(strconv.FormatFloat(nightVeil, 'g', -1, 64), "0")))
	for name, c := range schemes(t) {
		grounds := map[string]rgb{"page": c["page"], "sea": c["sea"], "band": c["band"], "band-best": c["band-best"]}
		for g, under := range grounds {
			night := c["night"].over(under, nightVeil)
			for _, words := range []string{"ink", "soft"} {
				assert.GreaterOrEqual(t, contrast(c[words], under), 4.5, "%s: %s on %s", name, words, g)
				assert.GreaterOrEqual(t, contrast(c[words], night), 4.5, "%s: %s on %s by night", name, words, g)
			}
		}
		for _, words := range []string{"l0", "l1", "l2", "l3", "l4", "l5", "unknown"} {
			assert.GreaterOrEqual(t, contrast(c[words], c["page"]), 4.5, "%s: %s", name, words)
			assert.GreaterOrEqual(t, contrast(c[words], c["night"].over(c["page"], nightVeil)), 4.5, "%s: %s by night", name, words)
		}
		for i := range tones {
			n := "t" + strconv.Itoa(i)
			assert.GreaterOrEqual(t, contrast(c[n+"-ink"], c[n]), 4.5, "%s: figures on %s", name, n)
		}
	}
}

// Marks reach 3:1 on what they stand on (WCAG 2.2, 1.4.11).
func TestMarksHaveContrast(t *testing.T) {
	for name, c := range schemes(t) {
		night := c["night"].over(c["page"], nightVeil)
		for _, mark := range []string{"ideal", "go", "marginal", "unknown", "water", "ink", "nogo"} {
			for _, under := range []rgb{c["page"], night} {
				assert.GreaterOrEqual(t, contrast(c[mark], under), 3.0, "%s: %s", name, mark)
			}
		}
		assert.GreaterOrEqual(t, contrast(c["marginal"], c["marginal-fill"]), 3.0, name)
		assert.GreaterOrEqual(t, contrast(c["sun"], c["sea"]), 3.0, "%s: sun", name)
		for i := range mostLines {
			for _, under := range []string{"band", "band-best"} {
				veiled := c["night"].over(c[under], nightVeil)
				assert.GreaterOrEqual(t, contrast(c["l"+strconv.Itoa(i)], veiled), 3.0, "%s: line %d on %s", name, i, under)
			}
		}
	}
}

// Without colour the temperatures keep their order: each tone is darker on a
// bright page, and brighter on a dark one, than the one before.
func TestTonesKeepTheirOrderInGrey(t *testing.T) {
	for name, c := range schemes(t) {
		for i := 1; i < tones; i++ {
			a, b := c["t"+strconv.Itoa(i-1)].luminance(), c["t"+strconv.Itoa(i)].luminance()
			if name == "dark" {
				a, b = b, a
			}
			assert.Less(t, (b+.05)*1.1, a+.05, "%s: t%d and t%d", name, i-1, i)
		}
	}
}

// Shares of a month keep their order too, all of them marks that reach 3:1, and
// are told by their length besides.
func TestSharesKeepTheirOrderInGrey(t *testing.T) {
	for name, c := range schemes(t) {
		for i := 1; i <= seasonTones; i++ {
			mark := c["m"+strconv.Itoa(i)]
			assert.GreaterOrEqual(t, contrast(mark, c["page"]), 3.0, "%s: m%d", name, i)
			if i > 1 {
				assert.GreaterOrEqual(t, contrast(mark, c["page"]), 1.3*contrast(c["m"+strconv.Itoa(i-1)], c["page"]), "%s: m%d and m%d", name, i-1, i)
			}
		}
	}
	assert.GreaterOrEqual(t, seasonThick, 2.5*seasonThin, "go and only marginal are told by thickness")
}

// Without colour the states are told by the height of their bars, and the two that
// are solid by their brightness as well.
func TestStatesDifferInGrey(t *testing.T) {
	heights := []float64{idealHigh, goHigh, marginalHigh}
	for i := 1; i < len(heights); i++ {
		assert.GreaterOrEqual(t, heights[i-1]-heights[i], 4.0)
	}
	for name, c := range schemes(t) {
		assert.GreaterOrEqual(t, contrast(c["ideal"], c["go"]), 1.6, name)
		assert.GreaterOrEqual(t, contrast(c["go"], c["marginal-fill"]), 2.5, name)
	}
	w := invented(t, "America/New_York", "2026-09-10", 24)
	byClass := map[string]int{}
	question := false
	for _, e := range parse(t, WeekStrip(w, Options{Width: 1280}).SVG) {
		byClass[e.attrs["class"]]++
		question = question || e.name == "text" && e.text == "?"
	}
	for _, class := range []string{"ideal", "go", "marginal", "hatch", "nogo", "unknown", "sure", "plan", "wet", "clock", "mark"} {
		assert.Positive(t, byClass[class], class)
	}
	assert.True(t, question)
}

// Lines are told by their dashes: no two are alike.
func TestLinesDifferInDashes(t *testing.T) {
	dashes := map[string]bool{}
	for i := range mostLines {
		_, rest, ok := strings.Cut(rules, ".dg .l"+strconv.Itoa(i)+"{")
		require.True(t, ok)
		rule, _, _ := strings.Cut(rest, "}")
		_, dash, _ := strings.Cut(rule, "stroke-dasharray:")
		assert.False(t, dashes[dash], "%q", dash)
		dashes[dash] = true
	}
}

// Every colour of a rule stands twice, as itself and as a property that each
// scheme sets; no letters are smaller than 11 px.
func TestStylesheet(t *testing.T) {
	css := CSS()
	assert.NotContains(t, css, "[ink]")
	for _, p := range palette {
		assert.Equal(t, 5, strings.Count(css, "--dg-"+p.name+":"), p.name) // bright, dark, two forced, paper
		if strings.Contains(rules, "["+p.name+"]") {
			assert.Contains(t, css, p.bright+";")
			assert.Contains(t, css, "var(--dg-"+p.name+")")
		} else {
			t.Errorf("no rule uses %s", p.name)
		}
	}
	for _, part := range strings.Split(css, "font-size:")[1:] {
		size, _, _ := strings.Cut(part, "px")
		assert.GreaterOrEqual(t, number(t, size), 11.0)
	}
	for _, line := range strings.Split(strings.TrimSpace(css), "\n") {
		assert.Contains(t, line, ".dg", "a rule for elements outside of pictures")
	}
}

// The dark scheme leaves the eye used to the night: blue light undoes that most, for it
// is near where the rods see best (507 nm; CIE 1951 scotopic), so no colour is more blue
// than warm, and none is as bright as white. How much is enough is common practice.
func TestDarkIsWarmAndDim(t *testing.T) {
	for _, p := range palette {
		c := hex(t, p.dark)
		assert.LessOrEqual(t, c[2], 0.8*c[0], "%s has much blue", p.name)
		assert.LessOrEqual(t, c[1], 1.12*c[0], "%s is green", p.name)
		assert.LessOrEqual(t, c.luminance(), 0.8, "%s dazzles", p.name)
	}
}

// labOf is linear light in CIE L*a*b* under D65 (CIE 15).
func labOf(lin rgb) [3]float64 {
	f := func(v float64) float64 {
		if v > 216.0/24389 {
			return math.Cbrt(v)
		}
		return (24389.0/27*v + 16) / 116
	}
	x := f((0.4124*lin[0] + 0.3576*lin[1] + 0.1805*lin[2]) / 0.95047)
	y := f(0.2126*lin[0] + 0.7152*lin[1] + 0.0722*lin[2])
	z := f((0.0193*lin[0] + 0.1192*lin[1] + 0.9505*lin[2]) / 1.08883)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// sights are linear light as who lacks the cones for red, or those for green, sees it:
// Viénot, Brettel & Mollon 1999, Color Research and Application 24, the figures for
// sRGB from memory.
var sights = map[string][3]rgb{
	"as it is": {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protan":   {{0.11238, 0.88762, 0}, {0.11238, 0.88762, 0}, {0.00401, -0.00401, 1}},
	"deutan":   {{0.29275, 0.70725, 0}, {0.29275, 0.70725, 0}, {-0.02234, 0.02234, 1}},
}

// seen is a colour in L*a*b* by a sight.
func seen(c rgb, by [3]rgb) [3]float64 {
	var lin, out rgb
	for i, v := range c {
		if lin[i] = v / 12.92; v > 0.04045 {
			lin[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	for i := range out {
		for k := range lin {
			out[i] += by[i][k] * lin[k]
		}
	}
	return labOf(out)
}

// White and mid grey have the L* that CIE 15 gives them, and every sight leaves grey grey.
func TestLab(t *testing.T) {
	assert.InDelta(t, 100, seen(hex(t, "#ffffff"), sights["as it is"])[0], 0.01)
	assert.InDelta(t, 53.585, seen(hex(t, "#808080"), sights["as it is"])[0], 0.01)
	for name, by := range sights {
		is := seen(hex(t, "#808080"), by)
		assert.InDelta(t, 0, math.Hypot(is[1], is[2]), 0.5, name)
	}
}

// The marks of the states are told apart by colour too, whichever cones the eye lacks:
// at least 10 in L*a*b*, four times what is just seen (2.3, Mahy et al. 1994, from memory).
func TestStatesDifferToEveryEye(t *testing.T) {
	for scheme, c := range schemes(t) {
		if scheme == "paper" { // which has none
			continue
		}
		for name, by := range sights {
			marks := []string{"ideal", "go", "marginal", "nogo", "page", "plan"}
			for i, a := range marks {
				for _, b := range marks[:i] {
					p, q := seen(c[a], by), seen(c[b], by)
					assert.GreaterOrEqual(t, math.Hypot(math.Hypot(p[0]-q[0], p[1]-q[1]), p[2]-q[2]), 10.0, "%s, %s: %s and %s", scheme, name, a, b)
				}
			}
		}
	}
}
