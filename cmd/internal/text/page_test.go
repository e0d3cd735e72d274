package text

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPageWidths(t *testing.T) {
	for asked, want := range map[int]int{0: 80, 80: 80, 10: leastWidth, -3: leastWidth, 72: 72, 500: mostWidth} {
		assert.Equal(t, want, newPage(Options{Width: asked}).o.Width, "asked for %d", asked)
	}
}

func TestLineIsCutAndTrimmed(t *testing.T) {
	p := newPage(Options{Width: 60})
	p.line("  port side   " + nbsp)
	p.line(strings.Repeat("x", 61))
	p.blank()
	assert.Equal(t, "  port side\n"+strings.Repeat("x", 59)+"…\n\n", p.b.String())
}

func TestParaHangs(t *testing.T) {
	p := newPage(Options{Width: 60})
	p.para("  - ", 4, strings.TrimSpace(strings.Repeat("word ", 20)))
	lines := strings.Split(strings.TrimSpace(p.b.String()), "\n")
	require.Len(t, lines, 2)
	assert.True(t, strings.HasPrefix(lines[0], "- word"))
	assert.True(t, strings.HasPrefix(lines[1], "    word"))
	assert.NotContains(t, lines[1], "     ")
}

func TestParaWithoutText(t *testing.T) {
	p := newPage(Options{})
	p.para("SEAL", 2, "")
	assert.Equal(t, "SEAL\n", p.b.String(), "no empty line behind it")
}

// A paragraph never widens the page, whatever its lead and indent.
func TestParaFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Width: rapid.IntRange(40, 100).Draw(t, "width")}
		p := newPage(o)
		p.para(rapid.StringN(0, 120, -1).Draw(t, "lead"), rapid.IntRange(0, 30).Draw(t, "indent"), rapid.String().Draw(t, "text"))
		var b bytes.Buffer
		require.NoError(t, p.writeTo(&b))
		keepsTheRules(t, b.String(), o)
	})
}

// Control characters that slipped past tidy are still dropped at the end.
func TestFinishIsTheLastGuard(t *testing.T) {
	p := newPage(Options{Colour: true})
	p.line("a\x1b[31mb\u202ec\x00")
	assert.Equal(t, "a[31mbc\n", p.b.String())
}
