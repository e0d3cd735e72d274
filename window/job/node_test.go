package job

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func nodes(t *testing.T, text string) *node {
	r := &reader{file: "x"}
	n := r.readYAML([]byte(text))
	require.Empty(t, r.errs, text)
	require.NotNil(t, n)
	return n
}

func TestReadYAML_Positions(t *testing.T) {
	n := nodes(t, "a: 1\nbé:\n  - {c: x, d: [7, 'eight']}\n  - e: >-\n      long\n      text\n    f: \"q\"\n")
	assert.Equal(t, mapping, n.shape)
	assert.Equal(t, pos{1, 1}, n.pos)
	assert.Equal(t, pos{1, 4}, n.get("a").pos)
	items := n.get("bé").items
	require.Len(t, items, 2)
	assert.Equal(t, pos{3, 5}, items[0].pos)
	assert.Equal(t, pos{3, 9}, items[0].get("c").pos)
	d := items[0].get("d")
	assert.Equal(t, list, d.shape)
	assert.Equal(t, pos{3, 16}, d.items[0].pos)
	assert.Equal(t, pos{3, 19}, d.items[1].pos)
	assert.Equal(t, "eight", d.items[1].text)
	assert.True(t, d.items[1].quoted)
	assert.Equal(t, pos{4, 5}, items[1].pos, "a block mapping begins at its first key")
	assert.Equal(t, "long text", items[1].get("e").text)
	assert.Equal(t, pos{7, 8}, items[1].get("f").pos)
	assert.Nil(t, n.get("z"))
}

// YAML 1.2: yes and on are words, not truth; a date and a time are text.
func TestReadYAML_Scalars(t *testing.T) {
	n := nodes(t, "a: yes\non: off\nc: 2026-09-07\nd: 07:00-18:00\ne: -70.74\nf: true\ng: ~\nh: null\ni:\nj: 010\nk: 0x10\n")
	for key, text := range map[string]string{"a": "yes", "on": "off", "c": "2026-09-07", "d": "07:00-18:00", "e": "-70.74",
		"f": "true", "j": "010", "k": "0x10"} {
		require.NotNil(t, n.get(key), key)
		assert.Equal(t, scalar, n.get(key).shape, key)
		assert.Equal(t, text, n.get(key).text, key)
		assert.False(t, n.get(key).quoted, key)
	}
	for _, key := range []string{"g", "h", "i"} {
		assert.Equal(t, nothing, n.get(key).shape, key)
	}
}

func TestReadYAML_FlowOverSeveralLines(t *testing.T) {
	n := nodes(t, "zones: [\n  {name: a,\n   tilt: 90},\n  {name: b}\n]\n")
	items := n.get("zones").items
	require.Len(t, items, 2)
	assert.Equal(t, pos{3, 10}, items[0].get("tilt").pos)
	assert.Equal(t, pos{4, 3}, items[1].pos)
}

func TestNesting(t *testing.T) {
	for text, want := range map[string]int{
		"a: 1":                       1,
		"[[[]]]":                     3,
		"[][][]":                     1,
		"a: {b: [1, {c: 2}]}":        3,
		"- - - x":                    3,
		"]]]][":                      1,
		strings.Repeat("a:\n", 9):    0,
		strings.Repeat("- x\n", 500): 1,
	} {
		assert.Equal(t, want, Nesting([]byte(text)), "%.20q", text)
	}
}

// The limit of keys and list items is far from what any real job has: the times, dates and
// names of one do not count.
func TestEntries(t *testing.T) {
	assert.Zero(t, entries([]byte("2026-09-08T06:10 08:00-17:00 soap-wash")))
	files, err := filepath.Glob("../../testdata/jobs/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.Less(t, entries(data), 500, name)
	}
}

func TestParseNumber(t *testing.T) {
	for text, want := range map[string]float64{"1": 1, "-1.5": -1.5, "+2": 2, ".5": 0.5, "1e3": 1000, "010": 10, "1.": 1} {
		got, ok := parseNumber(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "-", ".", "e", "1e", "inf", "nan", "0x1p4", "1_000", "1,5", "1 2", "1e999", "½"} {
		_, ok := parseNumber(text)
		assert.False(t, ok, text)
	}
}

func TestBoolRemark(t *testing.T) {
	for word, want := range map[string]string{"yes": "write true;", "Yes": "write true;", "on": "write true;", "y": "write true;",
		"no": "write false;", "OFF": "write false;", "n": "write false;", "perhaps": "write true or false"} {
		assert.Contains(t, boolRemark(word), want, word)
	}
}
