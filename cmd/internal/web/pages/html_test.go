package pages

import (
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// node is an element of a page, as strict a reading of it as encoding/xml gives.
type node struct {
	name   string
	attr   map[string]string
	kids   []*node // elements, and words as nodes without a name
	words  string
	parent *node
}

// parsePage reads a page; one that is not well formed fails the test.
func parsePage(t testing.TB, page string) *node {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	root := &node{name: "#root"}
	at := root
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch x := tok.(type) {
		case xml.StartElement:
			n := &node{name: x.Name.Local, attr: map[string]string{}, parent: at}
			for _, a := range x.Attr {
				n.attr[a.Name.Local] = a.Value
			}
			at.kids = append(at.kids, n)
			at = n
		case xml.EndElement:
			require.Equal(t, at.name, x.Name.Local, "an element is closed that is not open")
			at = at.parent
		case xml.CharData:
			at.kids = append(at.kids, &node{words: string(x), parent: at})
		}
	}
	require.Same(t, root, at, "an element stays open: %s", at.name)
	return root
}

// all are the elements beneath that pick chooses, in order.
func (n *node) all(pick func(*node) bool) []*node {
	var out []*node
	for _, k := range n.kids {
		if k.name != "" && pick(k) {
			out = append(out, k)
		}
		out = append(out, k.all(pick)...)
	}
	return out
}

func (n *node) named(names ...string) []*node {
	return n.all(func(x *node) bool { return slices.Contains(names, x.name) })
}

// text is all words beneath, with single spaces.
func (n *node) text() string { return strings.Join(strings.Fields(plainly(n.raw())), " ") }

// elements are the node's own.
func (n *node) elements() []*node {
	return slices.DeleteFunc(slices.Clone(n.kids), func(k *node) bool { return k.name == "" })
}

// says wants words in a text, and shows only the words where they are not there.
func says(t testing.TB, text string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(plainly(text), plainly(w)) {
			t.Errorf("the page does not say %q", w)
		}
	}
}

func (n *node) raw() string {
	s := n.words
	for _, k := range n.kids {
		s += k.raw()
	}
	return s
}

// decent holds a page to what every page is held to: landmarks, one heading of the
// first order, labels, captions, nothing inline and nothing from elsewhere.
func decent(t testing.TB, path, page string) *node {
	t.Helper()
	assert.LessOrEqual(t, len(page), 150_000, "%s is too heavy", path)
	for _, wrong := range []string{"ZgotmplZ", "%!", "<nil>", "Sentence."} {
		if strings.Contains(page, wrong) {
			t.Errorf("%s: a value is printed wrongly: %s", path, wrong)
		}
	}
	root := parsePage(t, page)
	assert.Len(t, root.named("main"), 1, path)
	assert.Len(t, root.named("h1"), 1, "%s: headings of the first order", path)
	assert.NotEmpty(t, root.named("title")[0].text(), path)
	assert.Equal(t, "en", root.named("html")[0].attr["lang"], path)
	inline(t, path, root)
	uniqueIDs(t, path, root)
	labelled(t, path, root)
	tables(t, path, root)
	headings(t, path, root)
	return root
}

func inline(t testing.TB, path string, root *node) {
	t.Helper()
	for _, n := range root.all(func(*node) bool { return true }) {
		for a := range n.attr {
			assert.False(t, a == "style" || strings.HasPrefix(a, "on"), "%s: %s has an inline %s", path, n.name, a)
		}
		for _, a := range []string{"href", "src", "action"} {
			if v, ok := n.attr[a]; ok {
				assert.Regexp(t, `^(/[^/]|/$|#|\?)`, v, "%s: %s leads elsewhere", path, n.name)
			}
		}
	}
	for _, n := range root.named("script") {
		assert.Empty(t, n.text(), "%s: an inline script", path)
		assert.NotEmpty(t, n.attr["src"], path)
	}
	assert.Empty(t, root.named("style", "iframe", "object", "embed", "base"), path)
}

func uniqueIDs(t testing.TB, path string, root *node) {
	t.Helper()
	seen := map[string]bool{}
	for _, n := range root.all(func(n *node) bool { return n.attr["id"] != "" }) {
		assert.False(t, seen[n.attr["id"]], "%s: two elements with the id %s", path, n.attr["id"])
		seen[n.attr["id"]] = true
	}
	for _, n := range root.all(func(*node) bool { return true }) {
		for _, a := range []string{"aria-labelledby", "aria-describedby", "for"} {
			for _, id := range strings.Fields(n.attr[a]) {
				assert.True(t, seen[id], "%s: %s of %s names %s, which is not there", path, a, n.name, id)
			}
		}
		if id, ok := strings.CutPrefix(n.attr["href"], "#"); ok {
			assert.True(t, seen[id], "%s: a link to #%s, which is not there", path, id)
		}
	}
}

func labelled(t testing.TB, path string, root *node) {
	t.Helper()
	labels := map[string]string{}
	for _, n := range root.named("label") {
		labels[n.attr["for"]] = n.text()
	}
	for _, n := range root.named("input", "select", "textarea") {
		if n.attr["type"] == "hidden" {
			continue
		}
		assert.NotEmpty(t, labels[n.attr["id"]], "%s: %s %s has no label", path, n.name, n.attr["name"])
	}
	for _, n := range root.named("button", "a", "summary") {
		assert.True(t, n.text() != "" || n.attr["aria-label"] != "", "%s: a %s without words", path, n.name)
	}
	for _, n := range root.named("form") {
		assert.NotEmpty(t, n.named("button"), "%s: a form that only a script can send", path)
		assert.Contains(t, []string{"post", "get"}, n.attr["method"], path)
	}
	for _, n := range root.named("fieldset") {
		assert.Len(t, n.named("legend"), 1, path)
	}
	for _, n := range root.named("svg") {
		hidden := n.attr["aria-hidden"] == "true"
		assert.True(t, hidden || n.attr["role"] == "img" && (n.attr["aria-labelledby"] != "" || n.attr["aria-label"] != ""), "%s: a picture without words", path)
	}
	navs := map[string]bool{}
	for _, n := range root.named("nav") {
		assert.NotEmpty(t, n.attr["aria-label"], path)
		assert.False(t, navs[n.attr["aria-label"]], "%s: two ways by the name %s", path, n.attr["aria-label"])
		navs[n.attr["aria-label"]] = true
	}
}

func tables(t testing.TB, path string, root *node) {
	t.Helper()
	for _, n := range root.named("table") {
		require.NotEmpty(t, n.named("caption"), "%s: a table without caption", path)
		assert.NotEmpty(t, n.named("caption")[0].text(), path)
		columns := -1
		for _, row := range n.named("tr") {
			if columns < 0 {
				columns = len(row.elements())
			}
			assert.Len(t, row.elements(), columns, "%s: a row of another length", path)
		}
		for _, th := range n.named("th") {
			assert.Contains(t, []string{"col", "row"}, th.attr["scope"], path)
		}
	}
	for _, n := range root.all(func(n *node) bool { return n.attr["class"] == "scroll" }) {
		assert.Equal(t, "0", n.attr["tabindex"], "%s: a region that no key reaches", path)
		assert.True(t, n.attr["aria-label"] != "" || n.attr["aria-labelledby"] != "", path)
	}
}

func headings(t testing.TB, path string, root *node) {
	t.Helper()
	level := 0
	for _, n := range root.named("h1", "h2", "h3", "h4") {
		is := int(n.name[1] - '0')
		assert.LessOrEqual(t, is, level+1, "%s: heading %q skips a level", path, n.text())
		level = is
	}
}
