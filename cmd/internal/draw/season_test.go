package draw

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSeasonGolden(t *testing.T) {
	for _, width := range []int{360, 1280} {
		name := filepath.Join(goldenFolder, fmt.Sprintf("season-%d.svg", width))
		got := Season(inventedSeason(), Options{Width: width}).SVG
		if *update {
			require.NoError(t, os.WriteFile(name, got, 0o644))
		}
		want, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.Equal(t, string(want), string(got), "%s is drawn otherwise; run with -update and look at it", name)
	}
}

func TestSeasonIsLawful(t *testing.T) {
	t.Parallel()
	for name, s := range seasons() {
		for _, width := range []int{0, 1, 360, 640, 1280, 1920} {
			o := Options{Width: width, Bare: width == 0}
			t.Run(name+"/"+strconv.Itoa(width), func(t *testing.T) {
				p := Season(s, o)
				withinSheet(t, lawful(t, p, o))
				assert.Equal(t, string(p.SVG), string(Season(s, o).SVG), "twice the same")
			})
		}
	}
}

func TestSeasonLabelsDoNotOverlap(t *testing.T) {
	t.Parallel()
	list := seasons()
	for _, name := range []string{"usual", "thirty", "odd", "unsuited", "nothing known"} {
		for _, wide := range []int{320, 360, 559, 560, 720, 1280, 1920} {
			apartWords(t, Season(list[name], Options{Width: wide}), fmt.Sprint(name, " ", wide))
		}
	}
}

// Thirty products on twenty zones make a tall picture, not a heavy one: less than
// 110 bytes for each month of a zone, marks, number, names and all.
func TestManyProductsStayLight(t *testing.T) {
	t.Parallel()
	s := manyProducts()
	cells := 0
	for _, r := range s.Rows {
		if r.Suits {
			cells += 12
		}
	}
	for _, wide := range []int{360, 1280} {
		p := Season(s, Options{Width: wide, Bare: true})
		assert.Less(t, len(p.SVG)/cells, 110, "%d", wide)
		assert.Less(t, len(parse(t, p.SVG)), 2*cells, "%d", wide)
	}
	assert.Less(t, len(Season(s, Options{}).Description), 2500)
	assert.Contains(t, Season(s, Options{}).Description, "18 more products in the table")
}

// monthLabels are the numbers in the cells, row by row as they stand: those of one
// line have one baseline.
func monthLabels(t require.TestingT, p Picture) [][]string {
	var out [][]string
	var line []label
	flush := func() {
		slices.SortFunc(line, func(a, b label) int { return int(a.left - b.left) })
		var words []string
		for _, l := range line {
			words = append(words, l.words)
		}
		if len(words) > 0 {
			out = append(out, words)
		}
		line = nil
	}
	all := parse(t, p.SVG)
	y := ""
	for _, e := range all {
		if e.name != "tspan" {
			continue
		}
		if e.parent.attrs["y"] != y || len(line) == 12 {
			flush()
			y = e.parent.attrs["y"]
		}
		line = append(line, labelsOf(t, []*element{e})...)
	}
	flush()
	return out
}

// What stands in the cells, and in the table, is what the answer says.
func TestSeasonSaysWhatTheAnswerSays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := seasonOf(rt)
		p := Season(s, Options{Width: rapid.SampledFrom([]int{320, 720, 1280}).Draw(rt, "width"), Bare: true})
		shown := monthLabels(rt, p)
		row := 0
		told := map[string][]string{}
		for _, line := range p.Table.Rows {
			told[line[0]+"/"+line[1]] = line[2:]
		}
		require.Len(rt, told, len(s.Rows))
		for _, r := range s.Rows {
			line := told[r.Name+"/"+r.Zone]
			if !r.Suits {
				assert.Equal(rt, slices.Repeat([]string{"–"}, 12), line)
				continue
			}
			for m, x := range r.Months {
				want := strconv.Itoa(x.Days)
				switch {
				case x.UnknownDays > 0 && x.Days == 0:
					want = "?"
				case x.UnknownDays > 0:
					want += "?"
				}
				require.Equal(rt, want, shown[row][m], "%s %s %d", r.Product, r.Zone, m)
				if x.ConsentDays > 0 {
					want += " +" + strconv.Itoa(x.ConsentDays)
				}
				require.Equal(rt, want, line[m])
			}
			row++
		}
		assert.Len(rt, shown, row)
	})
}

// bars are the boxes of a path: left, top, width, height.
func barsOf(t require.TestingT, d string) [][4]float64 {
	var out [][4]float64
	for _, part := range strings.Split(d, "M")[1:] {
		var b [4]float64
		fields := strings.FieldsFunc(part, func(r rune) bool { return r == ' ' || r == 'h' || r == 'v' || r == 'z' })
		require.GreaterOrEqual(t, len(fields), 4, part)
		for i := range b {
			b[i] = number(t, fields[i])
		}
		out = append(out, b)
	}
	return out
}

// barsByClass are the boxes of all paths of a class.
func barsByClass(t require.TestingT, p Picture, class string) [][4]float64 {
	var out [][4]float64
	for _, e := range parse(t, p.SVG) {
		if e.name == "path" && e.attrs["class"] == class {
			out = append(out, barsOf(t, e.attrs["d"])...)
		}
	}
	return out
}

// oneZone is a year of one product on one zone.
func oneZone(days, consent, unknown [12]int) *answer.Season {
	s := inventedSeason()
	s.Rows = []answer.SeasonRow{{Product: "p", Name: "p", Zone: "port side", Suits: true, Months: monthsOf(days, consent, unknown)}}
	return s
}

// A bar's length is the share of its month: the whole of February is as long as
// the whole of March, 28 days of March are shorter by 3 of 31; and its tone
// changes with each quarter.
func TestSeasonBarsScale(t *testing.T) {
	days := [12]int{31, 28, 28, 15, 8, 0, 1, 16, 23, 24, 0, 7}
	p := Season(oneZone(days, never, never), Options{Width: 1280})
	full := barMost
	tones := map[string]map[int]int{"m4": {0: 31, 1: 28, 2: 28, 8: 23, 9: 24}, "m3": {7: 16}, "m2": {3: 15, 4: 8}, "m1": {6: 1, 11: 7}}
	for class, months := range tones {
		list := barsByClass(t, p, class)
		require.Len(t, list, len(months), class)
		i := 0
		for m := range 12 {
			if months[m] == 0 {
				continue
			}
			long := float64(daysIn(2026, m))
			assert.InDelta(t, max(1, full*float64(days[m])/long), list[i][2], 0.051, "%s %s", class, monthName(m))
			assert.InDelta(t, seasonThick, list[i][3], 1e-9)
			i++
		}
	}
}

// Days that are only marginal go on from where the go days end, thin; both
// together are no longer than the month.
func TestSeasonMarginalGoesOn(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		go1 := rapid.IntRange(1, 28).Draw(rt, "go")
		more := rapid.IntRange(1, 40).Draw(rt, "marginal")
		p := Season(oneZone([12]int{go1}, [12]int{more}, never), Options{Width: 720})
		solid := barsByClass(rt, p, "m"+strconv.Itoa(seasonTone(float64(go1)/31)+1))[0]
		thin := barsByClass(rt, p, "may")
		require.Len(rt, thin, 1)
		assert.InDelta(rt, solid[0]+solid[2], thin[0][0], 0.11)
		assert.InDelta(rt, solid[1]+solid[3], thin[0][1]+thin[0][3], 0.11, "one foot")
		assert.LessOrEqual(rt, solid[2]+thin[0][2], barMost+0.6)
		assert.Less(rt, thin[0][3], solid[3])
	})
}

func TestSeasonTone(t *testing.T) {
	for share, want := range map[float64]int{0.01: 0, 0.25: 0, 0.26: 1, 0.5: 1, 0.51: 2, 0.75: 2, 0.76: 3, 1: 3, 2: 3} {
		assert.Equal(t, want, seasonTone(share), "%g", share)
	}
}

// A month of which nobody knows a day has the mark and no bar; one of which some
// days are not known has both.
func TestSeasonUnknownMonths(t *testing.T) {
	s := oneZone([12]int{0, 0, 5, 5}, [12]int{4}, [12]int{31, 0, 2, 0})
	s.Rows[0].Months[11] = nil
	p := Season(s, Options{Width: 720})
	shown := monthLabels(t, p)
	require.Len(t, shown, 1)
	assert.Equal(t, []string{"?", "0", "5?", "5", "0", "0", "0", "0", "0", "0", "0", "?"}, shown[0])
	assert.Empty(t, barsByClass(t, p, "may"), "nothing is said of a month that is not known")
	assert.Len(t, barsByClass(t, p, "m1"), 2)
	dotted := 0
	for _, e := range parse(t, p.SVG) {
		if e.attrs["class"] == "unknown" {
			dotted += strings.Count(e.attrs["d"], "M")
		}
	}
	assert.Equal(t, 3+1, dotted, "and one in the key")
	for _, e := range parse(t, p.SVG) {
		if e.name == "tspan" && strings.Contains(e.text, "?") {
			assert.Contains(t, strings.Fields(e.parent.attrs["class"]), "q")
		}
	}
	// What is not known is not poor: neither January nor December.
	assert.Equal(t, "Best Mar–Apr, up to 5 days a month; fewer than 4: Feb, May–Nov.", offersOf(s, Options{})[0].promise())
}

// Months without a gauge have a tilde at every width, and the key says what it is.
func TestSeasonEstimatedRain(t *testing.T) {
	s := inventedSeason()
	for _, wide := range []int{320, 360, 1280} {
		p := Season(s, Options{Width: wide})
		tildes := 0
		for _, l := range labelsOf(t, parse(t, p.SVG)) {
			tildes += strings.Count(l.words, "~")
		}
		assert.Equal(t, 3*3+1, tildes, "%d: three months in each of three blocks, and the key", wide)
		assert.Contains(t, texts(t, p), "rain of the month estimated")
		assert.Contains(t, p.Description, "Rain is estimated, not measured: Dec–Feb.")
		assert.Equal(t, []string{"~Jan", "~Feb", "Mar"}, p.Table.Head[2:5], "half of the hours are enough")
	}
	s.Gauged = [12]float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}
	p := Season(s, Options{})
	assert.NotContains(t, texts(t, p), "~")
	assert.NotContains(t, p.Table.Caption, "~")
	assert.NotContains(t, p.Description, "estimated")
}

// Zones whose finish does not take a product have no row in its block, and are
// named beneath it.
func TestSeasonNamesUnsuitedZones(t *testing.T) {
	words := texts(t, Season(inventedSeason(), Options{Width: 1280}))
	assert.Equal(t, 3, strings.Count(words, "\nport side\n")+strings.Count(words, "Not for port side"))
	assert.Contains(t, words, "Not for port side: it does not suit the finish.")
	flat := strings.ReplaceAll(words, "\n", " ")
	assert.Contains(t, flat, "Not for foredeck and starboard superstructure side: it does not suit the finish.")
	s := seasons()["unsuited"]
	p := Season(s, Options{})
	assert.Empty(t, monthLabels(t, p))
	assert.Contains(t, p.Description, "Teak oil: No zone takes it.")
	assert.Len(t, p.Table.Rows, len(s.Rows))
}

// The best months are told as the screen tells them: one answer, one promise.
func TestSeasonPromiseIsTheScreens(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := seasonOf(rt)
		for i := range s.Rows {
			for _, m := range s.Rows[i].Months {
				if m != nil {
					m.UnknownDays = 0
				}
			}
		}
		var b bytes.Buffer
		require.NoError(rt, text.Season(&b, s, text.Options{}))
		screen := strings.Join(strings.Fields(b.String()), " ")
		for _, f := range offersOf(s, Options{}) {
			promise := f.promise()
			promise = strings.Replace(promise, "days a month", "of a month's days", 1)
			promise = strings.Replace(promise, "ewer than 4:", "ewer than 4 days a month:", 1)
			promise = strings.Replace(promise, ", up to", ", with up to", 1)
			assert.Contains(rt, screen, strings.ReplaceAll(promise, "–", "-"))
		}
	})
}

// The description tells the best months of each product, and the block shows them.
func TestSeasonTellsTheBestMonths(t *testing.T) {
	p := Season(inventedSeason(), Options{Width: 1280})
	// Soap wash: 31 days in May are most, of these 75 % are 23.25: May to September.
	want := "Best May–Sep, up to 31 days a month on average; fewer than 4: Nov–Feb."
	assert.Contains(t, p.Description, "Soap wash: "+want)
	assert.Contains(t, texts(t, p), want)
}

// Runs of months hold just the months that they are made of.
func TestMonthRuns(t *testing.T) {
	for want, is := range map[string][]int{
		"": {}, "Jul": {7}, "Apr–Jun, Sep": {4, 5, 6, 9}, "May, Nov–Feb": {11, 12, 1, 2, 5}, "Jan–Feb": {1, 2},
		"Dec": {12}, "Mar, Dec–Jan": {12, 1, 3}, "Feb–Dec": {2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12},
		"all year": {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12},
	} {
		var in [12]bool
		for _, m := range is {
			in[m-1] = true
		}
		assert.Equal(t, want, monthRuns(in))
	}
	number := map[string]int{}
	for m := range 12 {
		number[monthName(m)] = m
	}
	for bits := range 1<<12 - 1 {
		var in, back [12]bool
		for m := range in {
			in[m] = bits>>m&1 == 1
		}
		words := monthRuns(in)
		for _, run := range strings.Split(words, ", ") {
			if words == "" {
				break
			}
			first, last, is := strings.Cut(run, "–")
			if !is {
				last = first
			}
			for m := number[first]; ; m = (m + 1) % 12 {
				require.False(t, back[m], "%s twice", words)
				back[m] = true
				if m == number[last] {
					break
				}
			}
		}
		require.Equal(t, in, back, words)
	}
}

// February has 29 days in leap years, of which every fourth is one but centuries
// that 400 does not divide.
func TestDaysIn(t *testing.T) {
	assert.Equal(t, []int{31, 28, 31, 30, 31}, []int{daysIn(2026, 0), daysIn(2026, 1), daysIn(2026, 2), daysIn(2026, 3), daysIn(2026, 11)})
	assert.Equal(t, []int{29, 29, 28}, []int{daysIn(2024, 1), daysIn(2000, 1), daysIn(1900, 1)})
}

// Columns keep the order of the blocks, and no other division in order has a
// lower highest column.
func TestInColumns(t *testing.T) {
	assert.Equal(t, []int{0, 0, 1}, inColumns([]float64{10, 10, 20}, 2))
	assert.Equal(t, []int{0, 0, 0}, inColumns([]float64{10, 10, 20}, 1))
	assert.Empty(t, inColumns(nil, 2))
	rapid.Check(t, func(rt *rapid.T) {
		high := rapid.SliceOfN(rapid.Float64Range(1, 900), 1, 7).Draw(rt, "high")
		n := rapid.IntRange(1, 3).Draw(rt, "n")
		out := inColumns(high, n)
		require.Len(rt, out, len(high))
		sums := make([]float64, n)
		for i, c := range out {
			if i > 0 {
				require.True(rt, c == out[i-1] || c == out[i-1]+1)
			}
			sums[c] += high[i]
		}
		assert.LessOrEqual(rt, slices.Max(sums), lowest(high, n)+1e-3)
	})
}

// lowest tries every division.
func lowest(high []float64, n int) float64 {
	sum := 0.0
	for _, h := range high {
		sum += h
	}
	if n == 1 {
		return sum
	}
	best, head := sum, 0.0
	for i := range high {
		head += high[i]
		best = min(best, max(head, lowest(high[i+1:], n-1)))
	}
	return best
}

// Blocks stand beside one another where there is room, and never more columns
// than blocks.
func TestSeasonColumns(t *testing.T) {
	for wide, want := range map[int]int{320: 1, 720: 1, 1171: 1, 1280: 2, 1920: 3} {
		assert.Equal(t, want, newYearSheet(manyProducts(), Options{Width: wide}).columns(), "%d", wide)
	}
	assert.Equal(t, 1, newYearSheet(oneZone(summer, maybe, never), Options{Width: 1920}).columns())
	assert.Equal(t, 1, newYearSheet(&answer.Season{}, Options{Width: 1920}).columns())
}

func TestSeasonChoiceOfZones(t *testing.T) {
	p := Season(inventedSeason(), Options{Zones: []string{"foredeck", "no such zone"}})
	for _, r := range p.Table.Rows {
		assert.Equal(t, "foredeck", r[1])
	}
	assert.Len(t, p.Table.Rows, 3)
	assert.Len(t, Season(inventedSeason(), Options{Zones: []string{"no such zone"}}).Table.Rows, 12, "as the other pictures: all")
}

// The notes under the picture are the answer's warnings, cut where there are many.
func TestSeasonNotes(t *testing.T) {
	s := inventedSeason()
	s.Warnings = []string{strings.Repeat("far ", 1000), "b", "c", "d", "e", "f", "g", "h"}
	words := texts(t, Season(s, Options{Width: 720}))
	assert.Contains(t, words, "Note: f")
	assert.NotContains(t, words, "Note: g")
	assert.Contains(t, words, "2 more notes in the answer.")
	assert.LessOrEqual(t, strings.Count(words, "far"), noteRunes/4+1)
	assert.Contains(t, words, "nothing of any coming day")
}
