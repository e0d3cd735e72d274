package draw

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// element is one start tag of a picture with the text directly in it.
type element struct {
	name   string
	attrs  map[string]string
	text   string
	parent *element
}

// parse reads a picture strictly and gives its elements in order.
func parse(t require.TestingT, svg []byte) []*element {
	d := xml.NewDecoder(bytes.NewReader(svg))
	d.Strict = true
	var all []*element
	var open []*element
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			require.Empty(t, open)
			return all
		}
		require.NoError(t, err)
		switch x := tok.(type) {
		case xml.StartElement:
			e := &element{name: x.Name.Local, attrs: map[string]string{}}
			for _, a := range x.Attr {
				_, twice := e.attrs[a.Name.Local]
				require.False(t, twice, "attribute %s twice", a.Name.Local)
				e.attrs[a.Name.Local] = a.Value
			}
			if len(open) > 0 {
				e.parent = open[len(open)-1]
			}
			all, open = append(all, e), append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				open[len(open)-1].text += string(x)
			}
		case xml.ProcInst, xml.Directive, xml.Comment:
			require.Fail(t, "a picture has elements only")
		}
	}
}

// known are the elements that a picture is made of.
var known = map[string]bool{"svg": true, "title": true, "desc": true, "style": true, "g": true, "rect": true, "circle": true, "path": true,
	"text": true, "tspan": true}

// plainAttrs are the attributes that it may have: none that runs, loads or styles.
var plainAttrs = map[string]bool{"xmlns": true, "class": true, "viewBox": true, "width": true, "height": true, "role": true,
	"aria-labelledby": true, "id": true, "x": true, "y": true, "rx": true, "cx": true, "cy": true, "r": true, "d": true, "text-anchor": true}

var classRule = regexp.MustCompile(`\.dg \.([a-z0-9]+)`)

// lawful checks everything that holds for every picture.
func lawful(t require.TestingT, p Picture, o Options) []*element {
	all := parse(t, p.SVG)
	root := all[0]
	require.Equal(t, "svg", root.name)
	require.Equal(t, "img", root.attrs["role"])
	require.Equal(t, []string{"title", "desc"}, []string{all[1].name, all[2].name})
	require.Equal(t, all[1].attrs["id"]+" "+all[2].attrs["id"], root.attrs["aria-labelledby"])
	require.NotEmpty(t, strings.TrimSpace(all[1].text))
	require.NotEmpty(t, strings.TrimSpace(all[2].text))
	require.Equal(t, !o.Bare, strings.Contains(string(p.SVG), "<style>"))
	classes := map[string]bool{"win": true, "p": true, "z": true, "dg": true, "text": true}
	for _, m := range classRule.FindAllStringSubmatch(CSS(), -1) {
		classes[m[1]] = true
	}
	for _, e := range all {
		require.True(t, known[e.name], e.name)
		for a, v := range e.attrs {
			require.True(t, plainAttrs[a], "%s of %s", a, e.name)
			require.NotContains(t, v, "NaN")
		}
		for _, c := range strings.Fields(e.attrs["class"]) {
			require.True(t, classes[c], "class %q has no rule", c)
		}
	}
	require.NotContains(t, strings.ReplaceAll(string(p.SVG), "http://www.w3.org/2000/svg", ""), "http:")
	require.NotContains(t, CSS(), "url(")
	require.NotContains(t, CSS(), "@import")
	for i, r := range p.Table.Rows {
		require.Len(t, r, len(p.Table.Head), "row %d", i)
	}
	require.NotEmpty(t, p.Table.Caption)
	return all
}

// weeks are answers of all kinds, good and poor.
func weeks(t testing.TB) map[string]*answer.Week {
	ny := "America/New_York"
	out := map[string]*answer.Week{
		"usual": invented(t, ny, "2026-09-10", 66), "25 hours": invented(t, ny, "2026-10-31", 72), "23 hours": invented(t, ny, "2027-03-13", 72),
		"16 days": invented(t, ny, "2026-09-10", 16*24), "names": named(t, hostile...), "long": named(t, strings.Repeat("deck of ten kilobytes ", 500)),
		"empty": {}, "one hour": invented(t, ny, "2026-09-10", 1),
	}
	polar := invented(t, "Europe/Oslo", "2026-12-10", 48)
	polar.Place.Latitude, polar.Place.Longitude = 70, 25
	gone := invented(t, ny, "2026-09-10", 48)
	gone.Scene, gone.Plan, gone.Headline = nil, nil, nil
	for i := range gone.Zones {
		for k := range gone.Zones[i].Hours {
			gone.Zones[i].Hours[k] = answer.Hour{At: gone.Zones[i].Hours[k].At}
		}
	}
	backwards := invented(t, ny, "2026-09-10", 24)
	backwards.To = backwards.From.Add(-time.Hour)
	turned := invented(t, ny, "2026-09-10", 48)
	later := turned.From.Add(24 * time.Hour)
	turned.Scene.Berths = append(turned.Scene.Berths, answer.Berth{From: &later, BowDeg: 20})
	out["polar night"], out["nothing known"], out["backwards"], out["turned"] = polar, gone, backwards, turned
	return out
}

func TestPicturesAreLawful(t *testing.T) {
	t.Parallel()
	for name, w := range weeks(t) {
		for _, d := range drawings {
			for _, width := range []int{0, 360, 1280, 1} {
				o := Options{Width: width, Bare: width == 0, Units: map[bool]string{true: "us"}[width == 1280]}
				t.Run(name+"/"+d.kind+"/"+strconv.Itoa(width), func(t *testing.T) {
					withinSheet(t, lawful(t, d.of(w, o), o))
				})
			}
		}
	}
}

// insideOf allows a pixel of rounding; withinSheet checks that nothing is drawn outside of the picture.
func insideOf(v, most float64) bool { return v >= -1 && v <= most+1 }

func withinSheet(t *testing.T, all []*element) {
	t.Helper()
	wide, high := number(t, all[0].attrs["width"]), number(t, all[0].attrs["height"])
	for _, e := range all {
		switch e.name {
		case "rect":
			x, y := number(t, e.attrs["x"]), number(t, e.attrs["y"])
			assert.True(t, insideOf(x, wide) && insideOf(x+number(t, e.attrs["width"]), wide), "%v", e.attrs)
			assert.True(t, insideOf(y, high) && insideOf(y+number(t, e.attrs["height"]), high), "%v", e.attrs)
		}
	}
	for _, l := range labelsOf(t, all) {
		assert.True(t, insideOf(l.left, wide) && insideOf(l.right, wide) && insideOf(l.bottom, high), "%q %v of %g × %g", l.words, l.box, wide, high)
	}
}

func number(t require.TestingT, s string) float64 {
	if s == "" {
		return 0
	}
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// label is a word or a number on a picture.
type label struct {
	box
	words string
	class string
}

// labelsOf are the words of a picture: each text, and each part of one that has a
// place of its own.
func labelsOf(t require.TestingT, all []*element) []label {
	var out []label
	for _, e := range all {
		if e.name == "tspan" && e.attrs["x"] != "" {
			merged := &element{name: e.name, text: e.text, attrs: map[string]string{}}
			for a, v := range e.parent.attrs {
				merged.attrs[a] = v
			}
			for a, v := range e.attrs {
				merged.attrs[a] = v
			}
			e = merged
		} else if e.name != "text" {
			continue
		}
		if strings.TrimSpace(e.text) != "" {
			out = append(out, label{boxOf(t, e), e.text, e.attrs["class"]})
		}
	}
	return out
}

// apartWords checks that no words of a picture stand on others.
func apartWords(t *testing.T, p Picture, name string) {
	t.Helper()
	list := labelsOf(t, parse(t, p.SVG))
	slices.SortStableFunc(list, func(a, b label) int { return cmp.Compare(a.top, b.top) })
	for i := range list {
		for k := i + 1; k < len(list) && list[k].top <= list[i].bottom; k++ {
			assert.True(t, list[i].clear(list[k].box), "%s: %q on %q", name, list[i].words, list[k].words)
		}
	}
}

// boxOf is where words stand, by the widths that the package reckons with.
func boxOf(t require.TestingT, e *element) box {
	size, bold := 12.0, false
	for _, c := range strings.Fields(e.attrs["class"]) {
		switch c {
		case "t":
			size = 11
		case "h":
			size, bold = 16, true
		case "b", "q":
			bold = true
		}
	}
	wide := width(strings.TrimSpace(e.text), size)
	if bold {
		wide *= boldness
	}
	x, y := number(t, e.attrs["x"]), number(t, e.attrs["y"])
	switch e.attrs["text-anchor"] {
	case "middle":
		x -= wide / 2
	case "end":
		x -= wide
	}
	return box{x, y - size*0.74, x + wide, y + size*0.2}
}

// No words stand on other words, at any width.
func TestLabelsDoNotOverlap(t *testing.T) {
	t.Parallel()
	list := weeks(t)
	for _, name := range []string{"usual", "25 hours", "16 days", "polar night"} {
		for _, d := range drawings {
			for _, wide := range []int{320, 360, 720, 1280} {
				apartWords(t, d.of(list[name], Options{Width: wide}), fmt.Sprint(name, " ", d.kind, " ", wide))
			}
		}
	}
}

// Whatever names people give, a picture stays well-formed and lets nothing in.
func TestNamesAreEscaped(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		names := rapid.SliceOfN(rapid.String(), 4, 4).Draw(rt, "names")
		w := named(t, names...)
		d := rapid.SampledFrom(drawings).Draw(rt, "picture")
		o := Options{Width: rapid.IntRange(320, 1920).Draw(rt, "width"), ID: rapid.String().Draw(rt, "id")}
		lawful(rt, d.of(w, o), o)
	})
}

// A name that is cut has the whole in its title.
func TestLongNamesKeepTheirWhole(t *testing.T) {
	long := strings.Repeat("abcdefghi ", 1000) + "END"
	w := named(t, long, "foredeck", "port side", "transom")
	for _, d := range drawings {
		cut, whole := false, false
		for _, e := range parse(t, d.of(w, Options{Width: 360}).SVG) {
			cut = cut || (e.name == "text" || e.name == "tspan") && strings.HasPrefix(e.text, "abcdefghi") && strings.HasSuffix(e.text, "…")
			whole = whole || e.name == "title" && strings.HasSuffix(e.text, "END")
		}
		assert.True(t, cut, d.kind)
		assert.True(t, whole, d.kind)
	}
}

func TestBareAndIDs(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 48)
	a, b := WeekStrip(w, Options{ID: `x"y-1`}), BoatAndSun(w, w.From, Options{})
	assert.Equal(t, "xy-1-title", parse(t, a.SVG)[1].attrs["id"])
	assert.Equal(t, "dg-boat-title", parse(t, b.SVG)[1].attrs["id"])
	assert.Equal(t, "dg-day-2026-09-11-desc", parse(t, DayCurves(w, "2026-09-11", Options{}).SVG)[2].attrs["id"])
	ids := map[string]bool{}
	for _, p := range []Picture{a, b} {
		for _, e := range parse(t, p.SVG) {
			if id := e.attrs["id"]; id != "" {
				assert.False(t, ids[id], id)
				ids[id] = true
			}
		}
	}
	assert.NotContains(t, string(WeekStrip(w, Options{Bare: true}).SVG), "{")
}

// A day that the answer does not cover says so in place of curves.
func TestDayOutside(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 48)
	p := DayCurves(w, "2026-12-24", Options{})
	assert.Contains(t, string(p.SVG), "no temperatures for this day")
	assert.Contains(t, p.Description, "Thu 24 Dec")
	assert.Empty(t, p.Table.Rows)
	p = DayCurves(w, "not a day", Options{})
	assert.Contains(t, p.Title, "Thu 10 Sep")
}

func FuzzEscape(f *testing.F) {
	for _, s := range hostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		all := parse(t, []byte(`<text class="`+escape(s)+`">`+escape(s)+"</text>"))
		require.Len(t, all, 1)
		require.Equal(t, all[0].attrs["class"], all[0].text)
		require.NotContains(t, all[0].text, "\u202e")
	})
}
