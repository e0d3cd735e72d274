package answer

import (
	"testing"

	"dewgap/products"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// own is the catalogue with a sealant of a person's own over it, whose wind is looser than
// the class's hard bound, and what the file is warned of.
func ownSealant(t *testing.T) (products.Class, []string) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	set, warnings, err := set.With("my own: products.yaml", []byte("products:\n"+
		"  - {id: my-sealant, like: polymer-sealant, limits: {wind_m_s: {default: 8, hard: 14}}}\n"+
		"  - {id: other-wax, like: carnauba-wax, limits: {wind_m_s: {default: 12, hard: 16}}}\n"))
	require.NoError(t, err)
	c, ok := set.Class("my-sealant")
	require.True(t, ok)
	return c, warnings
}

const looserWind = "my-sealant wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it"

// What the file is warned of is known again among the warnings of an answer, once and for
// the products that are used alone.
func TestOwnLimits(t *testing.T) {
	_, warnings := ownSealant(t)
	require.Len(t, warnings, 2)
	list := append([]string{"the forecast is old: my-sealant"}, append(warnings, warnings...)...)
	assert.Equal(t, []string{looserWind}, OwnLimits(list, func(id string) bool { return id == "my-sealant" }))
	assert.Len(t, OwnLimits(list, func(string) bool { return true }), 2)
	assert.Empty(t, OwnLimits(list, func(string) bool { return false }))

	w := &Week{Warnings: list, Refusals: []Refusal{{Product: "my-sealant"}}}
	assert.Equal(t, []string{looserWind}, w.OwnLimits())
	w = &Week{Warnings: list, Windows: []Window{{Product: "my-sealant"}}}
	assert.Equal(t, []string{looserWind}, w.OwnLimits())
	assert.Empty(t, (&Week{Warnings: list}).OwnLimits())
	p := &Plan{Blocks: []PlanBlock{{Product: "my-sealant"}}}
	assert.Equal(t, []string{looserWind}, p.OwnLimits(list))
	assert.Empty(t, (&Plan{}).OwnLimits(list))
}

// Whatever such a limit decides says that it is one; a limit of the class does not.
func TestBindingSaysThatItsLimitIsLooser(t *testing.T) {
	class, _ := ownSealant(t)
	b := newBoard(t, "seal")
	b.f.Classes = classes{"seal-class": class}
	b.row("seal", "port side", night+"m wind_max 12:00;m surface_max 14:00;x hours end")
	w := NewWeek(b.f)
	require.Len(t, w.Windows, 2)
	for _, x := range w.Windows {
		if x.Binding.Limit == verdict.WindMax.String() {
			assert.Contains(t, x.Binding.Source, "your label")
			assert.Contains(t, x.Binding.Source, ", looser than the class's hard bound")
		} else {
			assert.NotContains(t, x.Binding.Source, "looser")
		}
	}
}

// Services side by side go by it too.
func TestSources_OwnLimits(t *testing.T) {
	_, warnings := ownSealant(t)
	b := newBoard(t, "seal")
	b.f.Job.Steps[0].With = "my-sealant"
	b.row("seal", "port side", "g none end")
	b.f.Warnings = warnings
	a := NewSources(b.f.Job, b.f.Now, []ServiceFacts{{Name: "one", Facts: &b.f}})
	assert.Equal(t, []string{looserWind}, a.Warnings)
}
