package text

import (
	"bytes"
	"io"
	"slices"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/products"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pagesOf are pages with columns in them.
func pagesOf(t *testing.T) map[string]func(w io.Writer, o Options) error {
	week := lateSummer(t)
	week.Plan = afterRain().Plan
	set, err := products.Catalogue()
	require.NoError(t, err)
	class, _ := set.Class("polymer-sealant")
	four := twoServices(t)
	for _, s := range []string{"openmeteo", "openmeteo-ensemble"} {
		x := four.Services[0]
		x.Name = s
		four.Services = append(four.Services[:2:2], append([]answer.Service{x}, four.Services[2:]...)...)
	}
	return map[string]func(w io.Writer, o Options) error{
		"week":    func(w io.Writer, o Options) error { o.Hours = true; return Week(w, week, o) },
		"morning": func(w io.Writer, o Options) error { return Morning(w, early(), o) },
		"move":    func(w io.Writer, o Options) error { return Move(w, afterRain(), o) },
		"season":  func(w io.Writer, o Options) error { return Season(w, typicalYear(), o) },
		"class":   func(w io.Writer, o Options) error { return Class(w, class, o) },
		"classes": func(w io.Writer, o Options) error { return Products(w, []products.Class{class}, o) },
		"sources": func(w io.Writer, o Options) error { return Sources(w, four, o) },
	}
}

// A narrow page says all that a wide one does: what stands in columns there stands below
// one another here. Nothing is cut off, and no line is wider than the page.
func TestNarrow_NothingIsLost(t *testing.T) {
	words := func(write func(w io.Writer, o Options) error, o Options) []string {
		var b bytes.Buffer
		require.NoError(t, write(&b, o))
		keepsTheRules(t, b.String(), o)
		return strings.FieldsFunc(b.String(), func(r rune) bool { return strings.ContainsRune(" \n().:,;-", r) })
	}
	elsewhere := strings.Fields("before after the same who " + // heads and places of columns
		"What would break full each block least") // of lines that say again what a wide page has cut
	for name, write := range pagesOf(t) {
		for _, width := range []int{40, 48, 59, 60} {
			if name == "week" && width == 60 {
				continue // its first lines are one line each, and say the rest below
			}
			has := map[string]bool{}
			for _, w := range words(write, Options{Width: width}) {
				has[w] = true
			}
			for _, w := range words(write, Options{}) {
				if !strings.Contains(w, ellipsis) && !slices.Contains(elsewhere, w) {
					assert.True(t, has[w], "%s at %d does not say %q", name, width, w)
				}
			}
		}
	}
}

// What has no room beside its lead, or is tied to what it has no room with, goes on below.
func TestNarrow_Lines(t *testing.T) {
	written := func(width int, write func(p *page)) string {
		p := newPage(Options{Width: width})
		write(p)
		return p.b.String()
	}
	line := func(p *page) { p.line("  + go       07:30-08:00  1    wash, port side, soap-wash, twice") }
	assert.Equal(t, "  + go 07:30-08:00 1 wash, port side,\n    soap-wash, twice\n", written(40, line))
	assert.Equal(t, "  + go       07:30-08:00  1    wash, port side, soap-wash…\n", written(60, line), "a wide one has its columns")
	in := func(p *page) { p.para("    port side          ", 24, "+ go 07:00-09:00 ! marginal 09:00-12:00") }
	assert.Equal(t, "    port side + go 07:00-09:00 !\n      marginal 09:00-12:00\n", written(40, in))
	tied := func(p *page) { p.para("- ", 2, "of "+tie("a name of many words that nobody ever parts")+" more") }
	assert.Equal(t, "- of a name of many words that nobody\n  ever parts more\n", written(40, tied))
	long := func(p *page) { p.para("  1  + GO         Thu 10 Sep 07:00-16:40  ", 6, "port side") }
	assert.Equal(t, "  1 + GO Thu 10 Sep 07:00-16:40 port\n      side\n", written(40, long))
}

// The lines that answer the question are whole on a narrow page, and nothing that a wide one
// would have cut is said again below.
func TestNarrow_TheFirstLines(t *testing.T) {
	a := lateSummer(t)
	a.Headline.Breaks = []string{"dew point 2 °C higher: marginal on starboard superstructure side, foredeck, transom", "wind +2 m/s: no-go on foredeck, transom"}
	page := func(width int) string {
		var b bytes.Buffer
		require.NoError(t, Week(&b, a, Options{Width: width}))
		return strings.Join(strings.Fields(b.String()), " ")
	}
	const all = "dew point 2 °C higher: marginal on starboard superstructure side, foredeck, transom; wind +2 m/s: no-go on foredeck, transom."
	for _, width := range []int{40, 50, 59} {
		assert.Contains(t, page(width), " Breaks it: "+all)
		assert.NotContains(t, page(width), "more below")
		assert.NotContains(t, page(width), "What would break")
	}
	assert.Contains(t, page(60), "; more below ")
	assert.Contains(t, page(60), "What would break Thu 10 Sep: "+all)
}
