package products

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// product is a whole file with one product whose further keys are given; they
// start in line 4, column 3.
func product(keys ...string) string {
	return "products:\n- id: x\n  like: varnish\n  " + strings.Join(keys, "\n  ") + "\n"
}

// TestErrors gives the exact words for each mistake that a file may hold.
func TestErrors(t *testing.T) {
	tests := []struct{ name, text, want string }{
		// the file
		{"empty", "", "own.yaml:1:1: the file is empty; start it with products: and a list of products below"},
		{"only a remark", "# later\n", "own.yaml:1:1: the file is empty; start it with products: and a list of products below"},
		{"text", "hello\n", "own.yaml:1:1: the file holds text where keys belong; write key: value pairs, indented below it or in { }"},
		{"list at the top", "- id: x\n", "own.yaml:1:1: the file holds a list where keys belong; write key: value pairs, indented below it or in { }"},
		{"other key", "product:\n- id: x\n", "own.yaml:1:1: the file has no key product; did you mean products?"},
		{"no products", "{}\n", "own.yaml:1:1: the file lists no products; start the file with products: and a list of products below"},
		{"products without value", "products:\n", "own.yaml:1:1: products has no value; give it a value or leave the key out"},
		{"empty list", "products: []\n", "own.yaml:1:11: the list of products is empty; add a product or leave the file out"},
		{"no list", "products: {id: x}\n", "own.yaml:1:11: products holds keys where a list belongs; begin each product with - id:"},
		{"item of text", "products:\n- varnish\n", "own.yaml:2:3: a product holds text where keys belong; write key: value pairs, indented below it or in { }"},
		{"not UTF-8", "products:\n- id: x\xff\n", "own.yaml:2:8: the file is not UTF-8 text; save the file as UTF-8"},
		{"old line ends", "products:\r- id: x\xff\r", "own.yaml:2:8: the file is not UTF-8 text; save the file as UTF-8"},
		{"control character", "products:\n- id: \x1b[1m\n", "own.yaml:2:7: control character U+001B in the file; remove it"},
		{"tab", "products:\n- id: x\n\tlike: varnish\n", "own.yaml:3:1: a tab cannot indent YAML; indent with spaces"},
		{"open bracket", "products:\n- {id: x\n", "own.yaml:2:3: the { is never closed; add a }"},
		{"open list", "products: [\n", "own.yaml:1:11: the [ is never closed; add a ]"},
		{"open quote", "products:\n- id: 'x\n", "own.yaml:2:7: the quote is never closed; add the closing quote"},
		{"reserved sign", "products:\n- id: @x\n", "own.yaml:2:7: '@' is a reserved character; check the indentation, brackets and quotes here and just above"},
		{"two colons", "products:\n- id: x: y\n", "own.yaml:2:7: a key: value cannot stand here; put it on a line of its own, indented like its neighbours; put text that holds a colon in quotes"},
		{"two documents", "products: []\n---\nproducts: []\n", "own.yaml:3:1: a second document starts here; keep one document: a single list under products:"},
		{"anchor", "products:\n- &a {id: x}\n", "own.yaml:2:3: & is not read in a products file; write the values out, or use like: to depart from a class"},
		{"alias", "products:\n- *a\n", "own.yaml:2:3: * is not read in a products file; write the values out, or use like: to depart from a class"},
		{"merge", product("<<: {people: 1}"), "own.yaml:4:3: << is not read in a products file; write the values out, or use like: to depart from a class"},
		{"tag", product("people: !!int 1"), "own.yaml:4:11: !!int is not read in a products file; leave the tag out"},
		{"directive", "%YAML 1.2\n---\nproducts: []\n", "own.yaml:1:1: % is not read in a products file; leave the line out"},
		{"explicit key", "? products\n: []\n", "own.yaml:1:1: ? is not read in a products file; write key: value"},
		{"deep brackets", "products: " + strings.Repeat("[", 1000), "own.yaml:1:27: nested more than 16 deep; the deepest that a products file needs is an id's limits and their bands"},
		{"deep dashes", "products:\n" + strings.Repeat("- ", 1000), "own.yaml:2:33: nested more than 16 deep; the deepest that a products file needs is an id's limits and their bands"},
		{"too many keys", strings.Repeat("a: 1\n", maxKeys+1), "own.yaml:20001:2: more than 20000 keys; split the file, or check that it is the right one"},
		{"too big", strings.Repeat("# filler\n", maxBytes/9+1), fmt.Sprintf("own.yaml:1:1: the file has %d bytes, more than 1048576; split it, or check that it is the right file", (maxBytes/9+1)*9)},

		// id and like
		{"no id", "products:\n- like: varnish\n", "own.yaml:2:3: a product has no id; add id: with a short name in lower case, such as my-sealant"},
		{"capitals in the id", "products:\n- {id: My Sealant, like: varnish}\n", "own.yaml:2:8: \"My Sealant\" is no id; write lower-case letters, digits and hyphens, such as my-sealant"},
		{"number as id", "products:\n- {id: 303, like: varnish}\n", "own.yaml:2:8: id holds a number where words belong; write words; put a number that is meant as words in quotes"},
		{"twice", "products:\n- {id: x, like: varnish}\n- {id: x, like: teak-oil}\n", "own.yaml:3:8: x is listed twice, first in line 2; give each product an id of its own"},
		{"no like", "products:\n- id: my-sealant\n", "own.yaml:2:7: my-sealant is no class of the catalogue and has no like:; add like: with the class that it is nearest to; dewgap lists them"},
		{"misspelt like", "products:\n- id: x\n  like: polymer-sealent\n", "own.yaml:3:9: there is no class polymer-sealent to be like; did you mean polymer-sealant?"},
		{"like without value", "products:\n- id: x\n  like:\n", "own.yaml:3:3: like has no value; give it a value or leave the key out"},
		{"class like another", "products:\n- id: varnish\n  like: teak-oil\n", "own.yaml:3:9: varnish is a class of the catalogue and cannot be like teak-oil; choose another id, or leave like: out"},
		{"like an own product", "products:\n- {id: abc-def, like: varnish}\n- {id: y, like: abc-def}\n",
			"own.yaml:3:17: there is no class abc-def to be like; known here: " + strings.Join(theClasses, ", ")},

		// keys
		{"unknown key", product("clock_h: {dry_off: 2}"), "own.yaml:4:3: a product has no key clock_h; did you mean clocks_h?"},
		{"unknown limit", product("limits:", "  surfaec_c: [10, 20]"), "own.yaml:5:5: limits has no key surfaec_c; did you mean surface_c?"},
		{"unknown band", product("limits: {spread_k: {defualt: 2}}"), "own.yaml:4:23: spread_k has no key defualt; did you mean default?"},
		{"one level too high", product("rain_free: 4"), "own.yaml:4:3: a product has no key rain_free; put it under clocks_h:"},
		{"limit too high", product("surface_f: [50, 90]"), "own.yaml:4:3: a product has no key surface_f; put it under limits:"},
		{"key twice", product("people: 1", "machine: false", "people: 2"), "own.yaml:6:3: people is given twice, first in line 4; keep one of the two"},
		{"key without value", product("people:"), "own.yaml:4:3: people has no value; give it a value or leave the key out"},

		// values
		{"yes", product("machine: yes"), "own.yaml:4:12: machine is neither true nor false: \"yes\"; write true: YAML 1.2 knows only true and false"},
		{"no", product("towel: no"), "own.yaml:4:10: towel is neither true nor false: \"no\"; write false: YAML 1.2 knows only true and false"},
		{"quoted true", product("towel: \"true\""), "own.yaml:4:10: towel is neither true nor false: \"true\"; write true or false"},
		{"unit", product("halves_per_k: 10 K"), "own.yaml:4:17: halves_per_k is no number: \"10 K\"; write a plain decimal number such as 12.5, without quotes or unit"},
		{"quoted number", product("halves_per_k: '10'"), "own.yaml:4:17: halves_per_k is no number: \"10\"; write a plain decimal number such as 12.5, without quotes or unit"},
		{"hexadecimal", product("halves_per_k: 0x10"), "own.yaml:4:17: halves_per_k is no number: \"0x10\"; write a plain decimal number such as 12.5, without quotes or unit"},
		{"not a number", product("limits: {spread_k: .nan}"), "own.yaml:4:22: spread_k default is no number: \".nan\"; write a plain decimal number such as 12.5, without quotes or unit"},
		{"infinite", product("limits: {spread_k: 1e999}"), "own.yaml:4:22: spread_k default cannot be 1e999; write a number from 0 to 40"},
		{"°F in °C", product("limits: {air_c: [60, 90]}"), "own.yaml:4:24: air_c default cannot be 90; write a number from -30 to 60"},
		{"choice", product("do: seel"), "own.yaml:4:7: do cannot be seel; did you mean seal?"},
		{"far choice", product("water: everything"), "own.yaml:4:10: water cannot be everything; known here: none, rinse, soap, all"},
		{"half a person", product("people: 1.5"), "own.yaml:4:11: people cannot be 1.5; write a whole number"},
		{"empty text", product("notes: \" \""), "own.yaml:4:10: notes is empty; write something or leave the key out"},
		{"long text", product("notes: " + strings.Repeat("a", 501)), "own.yaml:4:10: notes is too long; keep it under 500 characters"},
		{"hidden control character", product(`notes: "a\x07b"`), "own.yaml:4:10: notes holds a control character; remove it"},
		{"list of keys", product("cautions: {a: b}"), "own.yaml:4:13: cautions holds keys where a list belongs; write [one, two]"},
		{"range of three", product("haze_min: [1, 2, 3]"), "own.yaml:4:13: haze_min has 3 values where two belong; write [least, most], with null where an end is open"},
		{"range backwards", product("haze_min: [30, 3]"), "own.yaml:4:13: haze_min runs from 30 down to 3; write [least, most]"},
		{"range without least", product("haze_min: [null, 3]"), "own.yaml:4:13: haze_min has no least; write the least first; 0 where there is none"},
		{"range without range", product("haze_min: {source: tin}"), "own.yaml:4:13: haze_min has no range; write range: [least, most] in it"},

		// limits
		{"one number for a band", product("limits: {air_c: 20}"), "own.yaml:4:19: air_c default needs two numbers; write [least, most], with null where an end is open"},
		{"two numbers for a least", product("limits: {spread_k: {hard: [2, 3]}}"), "own.yaml:4:29: spread_k hard is no number: a list; write a plain decimal number such as 12.5, without quotes or unit"},
		{"not nested", product("limits: {air_c: {default: [10, 32], hard: [12, 30]}}"), "own.yaml:4:19: air_c default 10–32 reaches outside hard 12–30; give ideal inside default inside hard"},
		{"clock backwards", product("clocks_h:", "  rain_free: {ideal: 4, default: 8}"), "own.yaml:5:16: rain_free ideal ≥ 4 reaches outside default ≥ 8; give ideal inside default inside hard"},
		{"new limit, only hard", product("clocks_h: {launch: {hard: 4}}"), "own.yaml:4:22: launch has no default band; give ideal inside default inside hard"},
		{"both units", product("limits:", "  air_c: [12, 20]", "  air_f: [53, 68]"), "own.yaml:6:12: air_c and air_f are both given; keep the one that your label prints"},
		{"both units of the cure", product("cure: {min_f: 50, min_c: 10}"), "own.yaml:4:17: min_c and min_f are both given; keep the one that your label prints"},
		{"dew clock and towel", product("towel: true", "clocks_h: {dew_dry_off: 4}"), "own.yaml:5:27: dew_dry_off is for products whose dew no towel takes off; keep dew_dry_off with towel: false, or leave it out"},

		// finishes
		{"unknown finish", product("finishes: {allowed: [white-gelcaot]}"), "own.yaml:4:24: finishes allowed cannot be white-gelcaot; did you mean white-gelcoat?"},
		{"in two lists", product("finishes: {allowed: [paints], never: [navy-paint]}"), "own.yaml:4:41: navy-paint is listed under allowed already; list each finish once"},
	}
	s := catalogueOf(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, warnings, err := s.With("own.yaml", []byte(tt.text))
			require.Error(t, err)
			assert.Equal(t, tt.want, firstLine(err))
			assert.Nil(t, out)
			assert.Nil(t, warnings)
			var one *Error
			require.ErrorAs(t, err, &one)
			assert.NotEmpty(t, one.Fix, "every mistake comes with what to do")
		})
	}
}

func firstLine(err error) string {
	line, _, _ := strings.Cut(err.Error(), "\n")
	return line
}

// TestOneMistakeOneError: a single mistake is told once, without an echo.
func TestOneMistakeOneError(t *testing.T) {
	for _, text := range []string{
		"products:\n- id: x\n  like: varnsh\n  limits: {uv_index: {hard: 4}}\n",
		"products:\n- {id: x, like: varnish, limits: {air_c: {ideal: [a, 2], default: [1, 3]}}}\n",
		"products:\n- {id: x, like: 3}\n",
		"products:\n- id: x\n  like:\n",
		"products:\n- {id: x, like: varnish, haze_min: {rnage: [1, 2], range: [1, 2]}}\n",
		"products:\n- like: varnish\n  people: 3\n",
	} {
		_, _, err := catalogueOf(t).With("own.yaml", []byte(text))
		var all Errors
		require.ErrorAs(t, err, &all)
		assert.Len(t, all, 1, "%s%v", text, err)
	}
}

// TestAllMistakesAtOnce: a person mends the file in one go.
func TestAllMistakesAtOnce(t *testing.T) {
	_, _, err := catalogueOf(t).With("own.yaml", []byte(`products:
- id: a
  like: varnsh
  machine: yes
- id: b
  like: varnish
  limits:
    air_c: [20, 10]
    sun: 300
  clocks_h: {dry_off: soon}
`))
	want := []string{
		"own.yaml:3:9: there is no class varnsh to be like; did you mean varnish?",
		"own.yaml:4:12: machine is neither true nor false: \"yes\"; write true: YAML 1.2 knows only true and false",
		"own.yaml:8:12: air_c default runs from 20 down to 10; write [least, most]",
		"own.yaml:9:5: limits has no key sun; known here: air_c, air_f, gust_m_s, humidity_pct, spread_f, spread_k, sunlight_w_m2, surface_c, surface_f, surface_on_paint_c, surface_on_paint_f, uv_index, wind_m_s",
		"own.yaml:10:23: dry_off default is no number: \"soon\"; write a plain decimal number such as 12.5, without quotes or unit",
	}
	require.Error(t, err)
	assert.Equal(t, want, strings.Split(err.Error(), "\n"))
	var one *Error
	require.ErrorAs(t, err, &one)
	assert.Equal(t, Error{"own.yaml", 3, 9, "there is no class varnsh to be like", "did you mean varnish?"}, *one)
}

func TestTooManyMistakes(t *testing.T) {
	_, _, err := catalogueOf(t).With("own.yaml", []byte("products:\n"+strings.Repeat("- id: x\n", 25)))
	var all Errors
	require.ErrorAs(t, err, &all)
	require.Len(t, all, maxErrors+1)
	assert.Contains(t, all[maxErrors].Message, "more mistakes from here on")
	assert.ErrorIs(t, err, all[3], "each mistake can be reached")
}

// TestMarks: a byte order mark and Windows line ends are no mistakes, and
// columns count characters.
func TestMarks(t *testing.T) {
	s := catalogueOf(t)
	_, _, err := s.With("own.yaml", []byte("\ufeffproducts:\r\n- id: x\r\n  like: varnish\r\n"))
	require.NoError(t, err)
	_, _, err = s.With("own.yaml", []byte("products:\n- {name: \"für Öl\", id: x, like: varnsh}\n"))
	assert.Equal(t, "own.yaml:2:33: there is no class varnsh to be like; did you mean varnish?", firstLine(err))
}

func TestDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"abc", "", 3}, {"abc", "abc", 0}, {"kitten", "sitting", 3}, {"defualt", "default", 1}, {"ab", "ba", 1}, {"é", "e", 1}} {
		assert.Equal(t, tt.want, distance(tt.a, tt.b), "%s %s", tt.a, tt.b)
		assert.Equal(t, tt.want, distance(tt.b, tt.a), "%s %s", tt.b, tt.a)
	}
}
