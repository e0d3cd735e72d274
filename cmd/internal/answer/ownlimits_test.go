package answer

import (
	"encoding/json"
	"strings"
	"testing"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ownSet is the catalogue with products of a person's own over it, whose wind is looser than
// their class's hard bound.
func ownSet(t *testing.T) *products.Set {
	set, err := products.Catalogue()
	require.NoError(t, err)
	set, warnings, err := set.With("my own: products.yaml", []byte("products:\n"+
		"  - {id: my-sealant, like: polymer-sealant, limits: {wind_m_s: {default: 8, hard: 14}}}\n"+
		"  - {id: other-wax, like: carnauba-wax, limits: {wind_m_s: {default: 12, hard: 16}}}\n"))
	require.NoError(t, err)
	require.Len(t, warnings, 2)
	return set
}

func ownSealant(t *testing.T) products.Class {
	c, ok := ownSet(t).Class("my-sealant")
	require.True(t, ok)
	return c
}

const looserWind = "my-sealant wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it"

// Answers name such limits of the products that the job uses, once for all its steps, with
// their place in the file among the warnings and by themselves; of others they say nothing.
func TestOwnLimits(t *testing.T) {
	b := newBoard(t, "seal", "protect")
	b.f.Classes = ownSet(t)
	b.f.Job.Steps[0].With, b.f.Job.Steps[1].With = "my-sealant", "my-sealant"
	b.row("seal", "port side", "g none end")
	own := []OwnLimit{{"my-sealant", looserWind}}
	w := NewWeek(b.f)
	assert.Equal(t, own, w.Own)
	assert.Equal(t, []string{looserWind}, w.OwnLimits())
	for name, warnings := range map[string][]string{"week": w.Warnings, "morning": NewMorning(b.f).Warnings} {
		assert.Contains(t, warnings, "my own: products.yaml:2:64: "+looserWind+", and every verdict says so", name)
		assert.NotContains(t, strings.Join(warnings, "\n"), "other-wax", name)
	}
	w.Windows = nil
	assert.Empty(t, w.OwnLimits(), "asked for no longer")
	w.Refusals = []Refusal{{Product: "my-sealant"}}
	assert.Equal(t, []string{looserWind}, w.OwnLimits())
	assert.Equal(t, []string{looserWind}, (&Plan{Blocks: []PlanBlock{{Product: "my-sealant"}}}).OwnLimits(own))
	assert.Empty(t, (&Plan{}).OwnLimits(own))
	assert.Equal(t, own, PlanOfWeek(w).Own)

	wax, _ := ownSet(t).Class("other-wax")
	why := NewWhy(b.f, &window.Explanation{Class: wax, At: b.f.Now})
	assert.Contains(t, strings.Join(why.Warnings, "\n"), "other-wax", "which is what was asked")
	assert.Equal(t, 1, strings.Count(strings.Join(NewWhy(b.f, &window.Explanation{Class: ownSealant(t), At: b.f.Now}).Warnings, "\n"), looserWind))
}

// Whatever such a limit decides says that it is one; a limit of the class does not.
func TestBindingSaysThatItsLimitIsLooser(t *testing.T) {
	class := ownSealant(t)
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
	b := newBoard(t, "seal")
	b.f.Job.Steps[0].With, b.f.Classes = "my-sealant", ownSet(t)
	b.row("seal", "port side", "g none end")
	a := NewSources(b.f.Job, b.f.Now, []ServiceFacts{{Name: "one", Facts: &b.f}})
	assert.Equal(t, []string{looserWind}, a.Warnings)
}

// The plan of an answer of an older program, which had such limits among its warnings alone,
// says them still; one that has them by themselves is read as it is.
func TestPlanOf_OwnLimitsAmongTheWarnings(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Job.Steps[0].With, b.f.Classes = "my-sealant", ownSet(t)
	b.row("seal", "port side", "g none end")
	w := NewWeek(b.f)
	read := func() PlanOf {
		data, err := json.Marshal(w)
		require.NoError(t, err)
		var of PlanOf
		require.NoError(t, json.Unmarshal(data, &of))
		assert.Equal(t, []any{w.Job, w.Boat, w.Place}, []any{of.Job, of.Boat, of.Place})
		return of
	}
	own := []OwnLimit{{"my-sealant", looserWind}}
	require.Equal(t, own, w.Own)
	assert.Equal(t, own, read().Own)
	w.Own = nil
	require.NotEmpty(t, w.Warnings)
	assert.Equal(t, own, read().Own)
	w.Warnings = []string{"other: words"}
	assert.Empty(t, read().Own)
	require.Error(t, json.Unmarshal([]byte(`{"warnings": 3}`), new(PlanOf)))
}
