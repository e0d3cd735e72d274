package text

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Widths as in Unicode Annex 11; emoji counted wide.
func TestCells(t *testing.T) {
	for s, want := range map[string]int{
		"":          0,
		"dock":      4,
		"é":         1,
		"e\u0301":   1, // a combining accent takes no room
		"°·…–²":     5,
		"船":         2,
		"カモメ":       6,
		"⛵":         2,
		"🛥🌊":        4,
		"קיטי":      4,
		"a\x1b[31m": 5, // the escape itself never reaches the page
		"\u202eabc": 3,
		nbsp:        1,
		tag("go"):   4, // colour marks take no room
	} {
		assert.Equal(t, want, cells(s), "%q", s)
	}
}

func TestCut(t *testing.T) {
	assert.Equal(t, "port side", cut("port side", 9))
	assert.Equal(t, "port…", cut("port side", 6), "no space before the dots")
	assert.Equal(t, "…", cut("port side", 1))
	assert.Equal(t, "船…", cut("船船船", 4), "no half of a wide character")
}

func TestCutWords(t *testing.T) {
	assert.Equal(t, "port side", cutWords("port side", 9))
	assert.Equal(t, "port side…", cutWords("port side, starboard", 14), "no half of a word, no comma")
	assert.Equal(t, "port side…", cutWords("port side starboard", 10), "a whole word stays")
	assert.Equal(t, "starboards…", cutWords("starboardside", 11), "but for a word alone")
	assert.Equal(t, "a superstr…", cutWords("a superstructure", 11), "or half of the line")
}

func TestName(t *testing.T) {
	assert.Equal(t, "Kittiwake", name("  Kitti\x00wake\n", 20))
	assert.Equal(t, "two lines", name("two\r\n\tlines", 20))
	assert.Equal(t, "[31mred", name("\x1b[31mred", 20))
	assert.Equal(t, "cba", name("\u202ecba\u202c", 20), "nothing turns the direction of writing")
	assert.Equal(t, "(no name)", name(" \u200e\x07 ", 20))
	assert.Equal(t, "x", name(string(markFirst+4)+"x", 20), "a name cannot bring colour marks")
	assert.Equal(t, "x", name("x\xff", 20))
	assert.Equal(t, 20, cells(name(strings.Repeat("Kittiwake ", 20), 20)))
}

func TestWrap(t *testing.T) {
	assert.Equal(t, []string{"port", "side and", "more"}, wrap("port side and more", 8, 2))
	assert.Equal(t, []string{"59" + nbsp + "°F", "panel"}, wrap("59"+nbsp+"°F panel", 7, 0), "number and unit stay together")
	assert.Equal(t, []string{"a", "bcdefg…"}, wrap("a bcdefghijk", 7, 0), "a word that is too wide is cut")
	assert.Equal(t, []string{""}, wrap("  ", 7, 0))
}

func TestWrapKeepsEveryWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-z°é船]{1,8}`)).Draw(t, "words")
		width := rapid.IntRange(20, 90).Draw(t, "width")
		lines := wrap(strings.Join(words, " "), width, rapid.IntRange(0, 3).Draw(t, "first"))
		for _, l := range lines {
			require.LessOrEqual(t, cells(l), width)
		}
		require.Equal(t, words, append([]string{}, strings.Fields(strings.Join(lines, " "))...))
	})
}

func TestTidyAndCutAreSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "s")
		n := rapid.IntRange(1, 60).Draw(t, "n")
		got := cut(tidy(s), n)
		require.LessOrEqual(t, cells(got), n)
		require.True(t, utf8.ValidString(got))
		require.Equal(t, tidy(s), tidy(tidy(s)), "tidying twice changes nothing")
	})
}

func TestPad(t *testing.T) {
	assert.Equal(t, "船  ", pad("船", 4))
	assert.Equal(t, "  船", padLeft("船", 4))
	assert.Equal(t, "abcde", pad("abcde", 4))
}

func TestParaGivesALongLeadItsOwnLine(t *testing.T) {
	p := newPage(Options{Width: 60})
	p.para(strings.Repeat("x", 50)+" ", 2, "one two")
	assert.Equal(t, strings.Repeat("x", 50)+"\n  one two\n", p.b.String())
	p = newPage(Options{Width: 10})
	assert.Equal(t, leastWidth, p.o.Width)
}
