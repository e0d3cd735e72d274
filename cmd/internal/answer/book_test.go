package answer

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func again(t require.TestingT, was, is string) *Again {
	a, err := NewAgain(AgainFacts{ID: 1, Was: []byte(was), Is: []byte(is), ProgramWas: "v1", ProgramIs: "v2"})
	require.NoError(t, err)
	return a
}

func TestDifferences(t *testing.T) {
	a := again(t, `{"a":1,"b":[1,{"c":"x"},3],"d":null}`, `{"a":1,"b":[1,{"c":"y"}],"d":{"e":2},"f":1.50}`)
	assert.False(t, a.Same)
	assert.Equal(t, []Difference{
		{"b.1.c", "x", "y"}, {"b.2", json.Number("3"), nil}, {"d", nil, map[string]any{"e": json.Number("2")}}, {"f", nil, json.Number("1.50")},
	}, a.Differences)
	same := again(t, `{"a":1}`, `{"a":1}`)
	assert.True(t, same.Same)
	assert.Equal(t, []Difference{}, same.Differences)
	assert.Equal(t, Change{"v1", "v2"}, same.Program)
}

func TestAgainOfRubbish(t *testing.T) {
	for _, c := range [][2]string{{"{", "{}"}, {"{}", "["}} {
		_, err := NewAgain(AgainFacts{Was: []byte(c[0]), Is: []byte(c[1])})
		assert.Error(t, err)
	}
}

// A value differs from itself nowhere, and from another somewhere, both ways.
func TestDifferencesAreThere(t *testing.T) {
	value := rapid.Custom(func(t *rapid.T) any {
		m := map[string]any{}
		for _, k := range rapid.SliceOfN(rapid.StringMatching(`[a-c]`), 0, 3).Draw(t, "keys") {
			if rapid.Bool().Draw(t, "list") {
				m[k] = []any{rapid.Bool().Draw(t, "x"), map[string]any{"y": rapid.IntRange(0, 2).Draw(t, "y")}}
			} else {
				m[k] = rapid.IntRange(0, 2).Draw(t, "v")
			}
		}
		return m
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b := value.Draw(t, "a"), value.Draw(t, "b")
		assert.Empty(t, differences(nil, "", a, a))
		there, back := differences(nil, "", a, b), differences(nil, "", b, a)
		assert.Equal(t, assert.ObjectsAreEqual(a, b), len(there) == 0)
		require.Len(t, back, len(there))
		for i := range there {
			assert.Equal(t, Difference{there[i].Path, there[i].Is, there[i].Was}, back[i])
		}
	})
}
