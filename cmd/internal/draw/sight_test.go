package draw

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tritan is linear light as who lacks the cones for blue sees it: Machado, Oliveira &
// Fernandes 2009, IEEE TVCG 15(6), severity 1.0, the figures from memory. Viénot's model
// beside it has no such eye.
var tritan = [3]rgb{{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}

// White stays white to every eye: the rows of each matrix add up to one.
func TestSightsKeepWhite(t *testing.T) {
	for name, by := range map[string][3]rgb{"tritan": tritan, "protan": sights["protan"], "deutan": sights["deutan"]} {
		for i, row := range by {
			assert.InDelta(t, 1, row[0]+row[1]+row[2], 1e-5, "%s, row %d", name, i)
		}
	}
}

// distance is ΔE of CIE 1976, the straight way in L*a*b*.
func distance(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// Who does not see blue tells the states apart too, as the others do: by 10 in L*a*b*.
func TestStatesDifferWithoutBlue(t *testing.T) {
	for scheme, c := range schemes(t) {
		if scheme == "paper" {
			continue
		}
		marks := []string{"ideal", "go", "marginal", "nogo", "page"}
		for i, a := range marks {
			for _, b := range marks[:i] {
				assert.GreaterOrEqual(t, distance(seen(c[a], tritan), seen(c[b], tritan)), 10.0, "%s: %s and %s", scheme, a, b)
			}
		}
	}
}

// The warmer the panel, the darker its tone on a bright page and the brighter on a dark
// one, to every eye: no two tones that follow one another are nearer than 2.3 in L*,
// which is just seen (Mahy et al. 1994, from memory).
func TestTonesRiseToEveryEye(t *testing.T) {
	all := map[string][3]rgb{"tritan": tritan}
	for name, by := range sights {
		all[name] = by
	}
	for scheme, c := range schemes(t) {
		for eye, by := range all {
			for i := 1; i < tones; i++ {
				a, b := seen(c["t"+strconv.Itoa(i-1)], by)[0], seen(c["t"+strconv.Itoa(i)], by)[0]
				if scheme == "dark" {
					a, b = b, a
				}
				assert.GreaterOrEqual(t, a-b, 2.3, "%s, %s: t%d and t%d", scheme, eye, i-1, i)
			}
		}
	}
}

// Paper is grey through and through: nothing on it is told by a colour.
func TestPaperIsGrey(t *testing.T) {
	for _, p := range palette {
		c := hex(t, p.paper)
		assert.True(t, c[0] == c[1] && c[1] == c[2], "%s is %s on paper", p.name, p.paper)
	}
}

// What tells something by a mark reaches 3:1 on all that it may stand on (WCAG 2.2,
// success criterion 1.4.11): planned work, water, the edges of a product's bands, the
// dew point, sun, wind and the line of now, by day and under the veil of night.
func TestEveryMarkHasContrast(t *testing.T) {
	on := map[string][]string{
		"plan":  {"page"},
		"water": {"page"},
		"soft":  {"page", "band", "band-best", "sea"}, // hard edges, dew point, ring
		"ink":   {"page", "sea", "band", "band-best"}, // now, clocks, wind, frame
		"sun":   {"sea", "page"},
		"m1":    {"page"},
	}
	for scheme, c := range schemes(t) {
		for mark, grounds := range on {
			for _, g := range grounds {
				assert.GreaterOrEqual(t, contrast(c[mark], c[g]), 3.0, "%s: %s on %s", scheme, mark, g)
				if mark == "sun" || mark == "m1" {
					continue // no night lies behind a sun that is up, nor behind a year
				}
				night := c["night"].over(c[g], nightVeil)
				assert.GreaterOrEqual(t, contrast(c[mark], night), 3.0, "%s: %s on %s by night", scheme, mark, g)
			}
		}
	}
}

// The veil of night is seen and hides nothing: it changes the page by a few per cent of
// its light and keeps words on it at 4.5:1 (success criterion 1.4.3) in every scheme.
func TestNightIsAVeil(t *testing.T) {
	for scheme, c := range schemes(t) {
		night := c["night"].over(c["page"], nightVeil)
		assert.Greater(t, distance(seen(c["page"], sights["as it is"]), seen(night, sights["as it is"])), 2.3, "%s: night is not seen", scheme)
		assert.Less(t, contrast(c["page"], night), 1.35, "%s: night is a wall", scheme)
	}
}

// ruling finds what the cascade makes of a property for pictures: of the rules that hold
// on a screen, the most specific, of those the last (CSS Cascading and Inheritance 4,
// section 6.4). Rules are those that the package writes, and no other kinds.
func ruling(t *testing.T, property string, dark, paper bool, theme string) string {
	rule := regexp.MustCompile(`(?:@media ([^{]+)\{)?([^{}]+)\{([^{}]*)\}\}?`)
	best, value := -1, ""
	for _, m := range rule.FindAllStringSubmatch(CSS(), -1) {
		switch m[1] {
		case "", "print", "(prefers-color-scheme:dark)":
		default:
			require.Fail(t, "a medium that the test does not know", m[1])
		}
		if m[1] == "print" && !paper || m[1] == "(prefers-color-scheme:dark)" && !dark {
			continue
		}
		for _, selector := range strings.Split(strings.TrimSpace(m[2]), ",") {
			specific := 0
			switch selector {
			case ".dg":
				specific = 1
			case "[data-theme] .dg":
				if specific = 2; theme == "" {
					continue
				}
			case "[data-theme=bright] .dg", "[data-theme=night] .dg":
				if specific = 2; !strings.Contains(selector, "="+theme+"]") {
					continue
				}
			default:
				continue // of elements within
			}
			_, after, ok := strings.Cut(m[3], property+":")
			if ok && specific >= best {
				best = specific
				value, _, _ = strings.Cut(after, ";")
			}
		}
	}
	return value
}

// A page's own choice of bright or night outranks the system's, and paper outranks both.
func TestSchemesOutrankOneAnother(t *testing.T) {
	for _, p := range palette {
		for _, c := range []struct {
			dark, paper bool
			theme, want string
		}{
			{false, false, "", p.bright}, {true, false, "", p.dark},
			{true, false, "bright", p.bright}, {false, false, "night", p.dark}, {false, false, "bright", p.bright}, {true, false, "night", p.dark},
			{false, true, "", p.paper}, {true, true, "", p.paper}, {true, true, "night", p.paper}, {false, true, "bright", p.paper},
		} {
			assert.Equal(t, c.want, ruling(t, "--dg-"+p.name, c.dark, c.paper, c.theme), "%s: dark %v, paper %v, theme %q", p.name, c.dark, c.paper, c.theme)
		}
	}
}

// A state is told by its shape: with all colour taken out of the stylesheet no two
// samples of the legend are the same marks.
func TestSamplesDifferInShape(t *testing.T) {
	w := newYorkWeek(t, 24)
	s := newStrip(w, Options{Width: 1280}.checked(""))
	shapes := map[string]string{}
	l := &legend{canvas: s.canvas, left: edge}
	for _, draw := range []func(){l.states, l.marks} {
		svg := s.above(draw)
		for _, part := range strings.SplitAfter(svg, "</text>\n") {
			words := regexp.MustCompile(`<text class="s"[^>]*>([^<]*)</text>`).FindStringSubmatch(part)
			if words == nil {
				continue
			}
			marks := part[:strings.Index(part, "<text class=\"s\"")]
			shape := shapeOf(t, marks)
			for other, seen := range shapes {
				assert.NotEqual(t, seen, shape, "%s looks like %s", words[1], other)
			}
			shapes[words[1]] = shape
		}
	}
	assert.GreaterOrEqual(t, len(shapes), 10)
}

// shapeOf are marks without their colours and their place: where a sample stands is not
// what it looks like.
func shapeOf(t *testing.T, marks string) string {
	out := ""
	for _, e := range parse(t, []byte("<g>"+marks+"</g>")) {
		switch e.name {
		case "path":
			first := vec{}
			for i, p := range cornersOf(t, e.attrs["d"]) {
				if i == 0 {
					first = p
				}
				out += fmt.Sprintf("%.0f,%.0f ", p.x-first.x, p.y-first.y)
			}
		case "rect":
			out += fmt.Sprintf("box %s×%s ", e.attrs["width"], e.attrs["height"])
		case "circle":
			out += "ring " + e.attrs["r"]
		case "text":
			out += e.text
		}
		out += e.name + ";"
	}
	require.NotEmpty(t, out)
	return out
}

// Zones of which the temperature is not known look like none that has one: an outline
// without tone or figure, a dash in the list, and words for who hears the picture.
func TestUnknownZonesAreOutlines(t *testing.T) {
	w := newYorkWeek(t, 24)
	at := w.From.Add(5 * time.Hour)
	h := hourAt(&w.Zones[1], at)
	h.SurfaceC, h.SpreadK = nil, nil
	p := BoatAndSun(w, at, Options{Width: 1280})
	assert.Len(t, elementsOf(t, p, "rect", "none"), 1, "in the list")
	assert.Contains(t, rules, ".dg .none{fill:[page];stroke:[soft];stroke-width:0.75;stroke-dasharray:2 2}")
	all := parse(t, p.SVG)
	outlined, figures := 0, 0
	for i, e := range all {
		if e.name != "g" || e.attrs["class"] != "z" {
			continue
		}
		name, said, _ := strings.Cut(all[i+1].text, ": ")
		if class := all[i+2].attrs["class"]; name == "starboard side" {
			assert.Equal(t, "cell none", class)
			assert.True(t, strings.HasPrefix(said, "–, "), said)
			outlined++
		} else {
			assert.Regexp(t, `^cell t\d$`, class)
			assert.Contains(t, said, "°C")
		}
	}
	for _, e := range all {
		if e.name == "text" && regexp.MustCompile(`\bi\d$`).MatchString(e.attrs["class"]) && strings.ContainsAny(e.text, "0123456789") {
			figures++
		}
	}
	assert.Equal(t, 1, outlined)
	assert.LessOrEqual(t, figures, len(w.Zones)-1)
	assert.Equal(t, "–", p.Table.Rows[1][2])
	assert.NotContains(t, p.Description, "starboard side")
}

// A panel colder than the dew point is told as below it, with no minus before "over".
func TestZonesBelowTheDewPoint(t *testing.T) {
	w := newYorkWeek(t, 24)
	at := w.From.Add(5 * time.Hour)
	hourAt(&w.Zones[1], at).SpreadK = ptr(-0.5)
	p := BoatAndSun(w, at, Options{Width: 1280})
	assert.Contains(t, string(p.SVG), ", 0.5 K below the dew point")
	assert.NotContains(t, string(p.SVG), "-0.5 K")
}
