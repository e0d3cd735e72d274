package products

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCatalogue(t *testing.T) {
	s := catalogueOf(t)
	assert.Equal(t, theClasses, s.IDs())
	_, ok := s.Class("snow-wax")
	assert.False(t, ok)
}

func TestNearest(t *testing.T) {
	s := catalogueOf(t)
	for word, want := range map[string]string{
		"polymer-sealent": "polymer-sealant", "Varnish": "varnish", "teak-oli": "teak-oil", "compound-rotery": "compound-rotary",
		"snow": "", "": "", strings.Repeat("varnish", 100): "",
	} {
		got, ok := s.Nearest(word)
		assert.Equal(t, want, got, word)
		assert.Equal(t, want != "", ok, word)
	}
}

func TestHash(t *testing.T) {
	s := catalogueOf(t)
	assert.Regexp(t, "^[0-9a-f]{64}$", s.Hash())
	assert.Equal(t, s.Hash(), catalogueOf(t).Hash(), "the same content, the same hash")
	a, _ := own(t, "products:\n- id: x\n  like: varnish\n  people: 2\n")
	b, _ := own(t, "# a remark\nproducts: [{people: 2, like: varnish, id: x}]\n")
	c, _ := own(t, "products: [{people: 3, like: varnish, id: x}]\n")
	assert.Equal(t, a.Hash(), b.Hash(), "layout does not count")
	assert.NotEqual(t, a.Hash(), c.Hash())
	assert.NotEqual(t, a.Hash(), s.Hash())
}

// TestHashSeesEveryField: whatever a file changes, the hash tells.
func TestHashSeesEveryField(t *testing.T) {
	base, _ := own(t, "products: [{id: x, like: varnish}]\n")
	seen := map[string]string{base.Hash(): "nothing"}
	for _, keys := range []string{
		"do: seal", "machine: true", "water: all", "people: 4", "limits: {air_c: [14, 20]}", "limits: {air_c: {default: [14, 20], source: tin}}",
		"clocks_h: {dry_off: 13}", "cure: {min_c: 9}", "notes: other", "haze_min: 3", "finishes: {never: [canvas]}", "halves_per_k: 9",
	} {
		s, _ := own(t, "products: [{id: x, like: varnish, "+keys+"}]\n")
		assert.NotContains(t, seen, s.Hash(), keys)
		seen[s.Hash()] = keys
	}
}

// TestLikeAlone: a product that says nothing more is its class under another
// name.
func TestLikeAlone(t *testing.T) {
	s := catalogueOf(t)
	for _, id := range theClasses {
		o, warnings, err := s.With("own.yaml", []byte("products: [{id: mine, like: "+id+"}]\n"))
		require.NoError(t, err)
		assert.Empty(t, warnings, id)
		want := classOf(t, s, id)
		want.ID, want.Like, want.Own, want.Name, want.Source = "mine", id, true, "mine", yourLabel
		assert.Equal(t, want, classOf(t, o, "mine"))
	}
}

// TestCatalogueOverItself: the catalogue's own file, read as a person's, gives
// the same classes back: the two shapes are one.
func TestCatalogueOverItself(t *testing.T) {
	s := catalogueOf(t)
	o, warnings, err := s.With("classes.yaml", catalogue)
	require.NoError(t, err)
	assert.Empty(t, warnings)
	for _, id := range theClasses {
		want := classOf(t, s, id)
		want.Own, want.Like = true, id
		assert.Equal(t, want, classOf(t, o, id))
	}
}
