package text

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/cmd/internal/answer"
	"dewgap/window/verdict"
)

// Every state of a verdict has a shape, a word and a colour that no other has.
func TestEveryStateHasALook(t *testing.T) {
	shapes, words, colours := map[string]string{}, map[string]string{}, map[rune]string{}
	states := []string{"wait"}
	for s := verdict.Ideal; s <= verdict.NoGo; s++ {
		states = append(states, s.String())
	}
	for _, s := range states {
		l, ok := looks[s]
		assert.True(t, ok, s)
		assert.Empty(t, shapes[l.shape], "the shape of %s", s)
		assert.Empty(t, words[l.word], "the word of %s", s)
		assert.Empty(t, colours[l.colour], "the colour of %s", s)
		shapes[l.shape], words[l.word], colours[l.colour] = s, s, s
		assert.Equal(t, 1, cells(l.shape))
		assert.Greater(t, l.colour, markFirst)
		assert.LessOrEqual(t, l.colour, markLast)
	}
}

func TestTags(t *testing.T) {
	p := newPage(metric)
	for state, want := range map[string]string{
		"ideal": "* ideal", "go": "+ go", "marginal": "! marginal", "no-go": "x no-go", "unknown": "? unknown",
	} {
		assert.Equal(t, want, p.finish(tag(state)))
	}
	assert.Equal(t, "x NO-GO", p.finish(loud("no-go")))
	assert.Equal(t, "> WAIT", p.finish(loud("wait")))
	assert.Equal(t, "? strange", p.finish(tag("strange")), "what is not known is never shown as go")
	assert.Equal(t, "? (no name)", p.finish(tag("")))
}

func TestRankOf(t *testing.T) {
	for s := verdict.Ideal; s <= verdict.NoGo; s++ {
		assert.Equal(t, int(s), rankOf(s.String()))
		assert.Equal(t, s.Workable(), answer.Workable(s.String()))
	}
	assert.Equal(t, rankOf("unknown"), rankOf("strange"))
	assert.False(t, answer.Workable("strange"))
	assert.False(t, answer.Workable("wait"))
}

func TestColours(t *testing.T) {
	on := newPage(Options{Colour: true})
	off := newPage(Options{})
	assert.Equal(t, "\x1b[31mx no-go\x1b[0m.", on.finish(tag("no-go")+"."))
	assert.Equal(t, "x no-go.", off.finish(tag("no-go")+"."))
	// A tag that is cut short does not colour the rest of the screen.
	assert.Equal(t, "\x1b[31mx n…\x1b[0m", on.finish(cut(tag("no-go"), 4)))
}

// The legend names every shape once and fits the narrowest page.
func TestLegend(t *testing.T) {
	got := newPage(metric).finish(legend())
	assert.Equal(t, "* ideal   + go   ! marginal: only with your yes   x no-go   ? unknown", got)
}
