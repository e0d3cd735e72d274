package draw

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Whatever the weather, the zones, the horizon and the width: a picture is well-formed,
// everything in it is on the sheet, no words stand on others, and nothing in it is no
// number.
func TestMadeUpWeeksAreDrawn(t *testing.T) {
	t.Parallel()
	for _, d := range drawings {
		t.Run(d.kind, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				w, o := madeWeek(t, rt), madeOptions(rt)
				p := d.of(w, o)
				all := lawful(rt, p, o)
				onSheet(rt, all)
				list := labelsOf(rt, all)
				for i := range list {
					require.NotContains(rt, list[i].words, "Inf")
					require.NotContains(rt, list[i].words, "NaN")
					for k := range list[:i] {
						require.True(rt, list[i].inked().clear(list[k].inked()), "%v on %v", list[i], list[k])
					}
				}
			})
		})
	}
}

// sentences are what a screen reader reads of a picture.
func sentences(p Picture) []string { return []string{p.Title, p.Description, p.Table.Caption} }

var (
	oneOfMany = regexp.MustCompile(`(?:^|[^0-9.,])1 (?:more )?(?:zones|blocks|forecasts|futures|products|notes|days)\b`)
	manyOfOne = regexp.MustCompile(`(?:^|\s)(?:[02-9]|[1-9][0-9]+) (?:more )?(?:zone|block|forecast|future|product|note|day)\b`)
)

// What is read aloud is made of sentences: no double blanks, no blank before a stop, a
// stop at the end, one thing in the singular and more in the plural; no number that is
// none, and the units that were asked for and no other.
func TestMadeUpWeeksAreTold(t *testing.T) {
	t.Parallel()
	foreign := map[string]*regexp.Regexp{
		"metric": regexp.MustCompile(`\d ?(?:°F|mph)\b|\d in(?:[.,;)]|$)`), "us": regexp.MustCompile(`\d ?(?:°C|m/s|mm|K)\b`),
	}
	rapid.Check(t, func(rt *rapid.T) {
		w, o := madeWeek(t, rt), madeOptions(rt)
		for _, d := range drawings {
			p := d.of(w, o)
			for _, s := range sentences(p) {
				require.NotContains(rt, s, "  ", d.kind)
				require.NotRegexp(rt, `\s[.,;:]|[.,;:]{2}|NaN|Inf|%!`, s, d.kind)
				require.False(rt, oneOfMany.MatchString(s), "%s: %s", d.kind, s)
				require.False(rt, manyOfOne.MatchString(s), "%s: %s", d.kind, s)
				require.Equal(rt, strings.TrimSpace(s), s)
			}
			require.True(rt, strings.HasSuffix(p.Description, "."), p.Description)
			require.Contains(rt, p.Title, "Kittiwake at Otter Quay", d.kind)
			for _, line := range append(strings.Split(texts(t, p), "\n"), p.Description) {
				require.False(rt, foreign[o.Units].MatchString(line), "%s in %s: %s", d.kind, o.Units, line)
			}
			for _, row := range p.Table.Rows {
				for i, cell := range row {
					if p.Table.Head[i] != "Against it" { // in the answer's own units without Options.Prose
						require.False(rt, foreign[o.Units].MatchString(cell), "%s in %s: %s", d.kind, o.Units, cell)
					}
					require.NotRegexp(rt, `NaN|Inf|%!`, cell)
				}
			}
		}
	})
}

// In a strip every minute of every window has its bar, as wide as it is long and in the
// class of its state; what is refused has none.
func TestMadeUpWindowsHaveTheirBars(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		w := madeWeek(t, rt)
		o := Options{Width: 1280, Bare: true}
		s := newStrip(w, o.checked("week"))
		perHour := (s.axis.right - s.axis.left) / s.axis.to.Sub(s.axis.from).Hours()
		want, count := map[string]float64{}, map[string]int{}
		for _, x := range w.Windows {
			if part, ok := (span{x.From, x.To}).within(s.axis.span); ok {
				want[x.State] += max(0.5, part.to.Sub(part.from).Hours()*perHour)
				count[x.State]++
			}
		}
		p := WeekStrip(w, o)
		for _, state := range []string{"ideal", "go"} {
			sum, n := 0.0, 0
			for _, b := range barsByClass(rt, p, state) {
				sum, n = sum+b[2], n+1
			}
			require.Equal(rt, count[state], n, state)
			require.InDelta(rt, want[state], sum, 2*tenth*float64(n+1), state)
		}
		require.Len(rt, barsByClass(rt, p, "marginal"), count["marginal"])
		require.Len(rt, barsByClass(rt, p, "sure"), len(w.Windows))
	})
}

// A curve has a corner for every hour that is known and none for one that is not, in
// the order of time; where hours are missing it is in pieces.
func TestMadeUpCurvesHaveTheirHours(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		w := madeWeek(t, rt)
		loc := location(w)
		day := w.From.In(loc).AddDate(0, 0, rapid.IntRange(0, 3).Draw(rt, "day")).Format(time.DateOnly)
		p := DayCurves(w, day, Options{Width: 1280})
		for i := range w.Zones[:min(len(w.Zones), mostLines)] {
			known, pieces, before := 0, 0, time.Time{}
			for _, h := range w.Zones[i].Hours {
				if h.At.In(loc).Format(time.DateOnly) != day || h.SurfaceC == nil {
					continue
				}
				if known++; before.IsZero() || h.At.Sub(before) > time.Hour {
					pieces++
				}
				before = h.At
			}
			lines := elementsOf(rt, p, "path", fmt.Sprint("line l", i))
			if known == 0 {
				require.Empty(rt, lines)
				continue
			}
			require.GreaterOrEqual(rt, len(lines), 1)
			d := lines[0].attrs["d"] // of the upper plot
			require.Equal(rt, pieces, strings.Count(d, "M"))
			single := 0
			for _, piece := range strings.Split(d, "M")[1:] {
				corners := pointsOf(rt, "M"+piece)
				for k := 1; k < len(corners); k++ {
					require.Greater(rt, corners[k].x, corners[k-1].x)
				}
				if len(corners) == 2 && corners[1].x-corners[0].x < 3.2 {
					single++ // an hour alone is a short line
				}
			}
			require.Equal(rt, known, len(pointsOf(rt, d))-single)
		}
	})
}

// A picture hangs on its answer alone: a bare one is the same without its style, and
// neither the day nor the hour shown changes what the week says.
func TestBareIsTheSameWithoutStyle(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		w, o := madeWeek(t, rt), madeOptions(rt)
		for _, d := range drawings {
			o.Bare = false
			whole := d.of(w, o)
			o.Bare = true
			bare := d.of(w, o)
			require.Equal(rt, string(bare.SVG), strings.Replace(string(whole.SVG), "<style>\n"+CSS()+"</style>\n", "", 1), d.kind)
			require.Equal(rt, whole.Table, bare.Table)
			require.Equal(rt, whole.Description, bare.Description)
		}
	})
}

// Units change what is written and nothing that is drawn in the strip: bars, water and
// clocks stand where they stood.
func TestUnitsMoveNothingInTheStrip(t *testing.T) {
	marks := func(p Picture) (out []string) {
		for _, e := range parse(t, p.SVG) {
			if e.name == "path" || e.name == "rect" || e.name == "circle" {
				out = append(out, e.attrs["class"]+e.attrs["d"]+e.attrs["x"]+e.attrs["cx"])
			}
		}
		return out
	}
	w := newYorkWeek(t, 66)
	assert.Equal(t, marks(WeekStrip(w, Options{Width: 1280})), marks(WeekStrip(w, Options{Width: 1280, Units: "us"})))
}

// A smaller sheet shows the same rows, states and zones: the table does not hang on the
// width, and neither does what is read aloud.
func TestWidthChangesNoWord(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		w := madeWeek(t, rt)
		for _, d := range drawings {
			narrow, wide := d.of(w, Options{Width: 320}), d.of(w, Options{Width: 1920})
			require.Equal(rt, narrow.Table, wide.Table, d.kind)
			require.Equal(rt, sentences(narrow), sentences(wide), d.kind)
		}
	})
}

// The answer is left as it was by whoever draws it.
func TestDrawingTouchesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		w := madeWeek(t, rt)
		before := fmt.Sprintf("%+v", snapshot(w))
		for _, d := range drawings {
			d.of(w, madeOptions(rt))
		}
		require.Equal(rt, before, fmt.Sprintf("%+v", snapshot(w)))
	})
}

// snapshot is an answer's lists by value.
func snapshot(w *answer.Week) any {
	var hours [][]time.Time
	for _, z := range w.Zones {
		var list []time.Time
		for _, h := range z.Hours {
			list = append(list, h.At)
		}
		hours = append(hours, list)
	}
	return []any{w.Windows, w.Refusals, hours, namesOf(w.Zones), w.From, w.To}
}
