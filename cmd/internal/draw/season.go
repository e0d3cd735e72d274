package draw

import (
	"math"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Season draws what a typical year offers: for each product a block with its
// zones down and the months across. Each cell has the number of days with a go
// window, and beneath it a bar whose length and tone are the share of the month's
// days; it goes on thin for days that are only marginal. Blocks stand beside one
// another where there is room. [Options].Zones chooses as in the other pictures,
// Units and Step change nothing: a season has days only.
func Season(s *answer.Season, o Options) Picture { return season(s, o.checked("season")) }

// The heights of a row's parts, pixels.
const (
	seasonNumber = 12.0 // the base of the numbers, and of the zone's name
	seasonBar    = 15.0 // the top of the bars
	seasonThick  = 6.0
	seasonThin   = 2.0 // of days that are only marginal, on the same foot
	seasonRow    = 27.0
	seasonName   = 15.0 // more, where the name stands above
)

// The widths of blocks, pixels.
const (
	blockLeast = 560.0 // from which names have room beside their months
	blockGap   = 28.0
	namesMost  = 190.0
	barMost    = 48.0 // a bar of all days of the month
	pitchTilde = 31.0 // from which "~Nov" fits into one line
)

// seasonTones is how many tones tell the share of a month, each a quarter.
const seasonTones = 4

// yearSheet is the season's picture while it is drawn.
type yearSheet struct {
	*canvas
	s      *answer.Season
	offers []offer
	block  float64 // width of a block
	names  float64 // of that, for names beside the months; 0 where they stand above
	pitch  float64 // width of a month, whole pixels
}

func season(a *answer.Season, o Options) Picture {
	s := newYearSheet(a, o)
	title := seasonTitle(a)
	y := s.head(title, s.subtitle()) + 8
	y = s.blocks(y)
	y = s.key(y + 6)
	y = s.notes(y + 8)
	desc := s.describe()
	return Picture{SVG: s.finish(y+edge, title, desc), Title: title, Description: desc, Table: s.table()}
}

func newYearSheet(a *answer.Season, o Options) *yearSheet {
	s := &yearSheet{canvas: newCanvas(o), s: a, offers: offersOf(a, o)}
	n := s.columns()
	s.block = math.Floor((s.wide - 2*edge - blockGap*float64(n-1)) / float64(n))
	if !o.narrow() {
		s.names = min(namesMost, math.Floor(s.block*0.34))
	}
	s.pitch = math.Floor((s.block - s.names) / 12)
	return s
}

// columns is how many blocks stand beside one another.
func (s *yearSheet) columns() int {
	fit := int((s.wide - 2*edge + blockGap) / (blockLeast + blockGap))
	return max(1, min(fit, len(s.offers)))
}

func seasonTitle(a *answer.Season) string {
	return nameOf(&answer.Week{Boat: a.Boat, Place: a.Place}) + ": days to work in each month of a typical year"
}

func (s *yearSheet) subtitle() string {
	out := "The number is the days of the month with a go window"
	if h := s.s.ShortestH; finite(&h) && h > 0 {
		out += " of " + plain(h) + " h or more"
	}
	out += " in working hours; the longer and stronger the bar beneath, the larger their share."
	if s.s.Station != "" {
		out += " Weather: a typical year of " + clip(s.s.Station)
		if s.s.Data != "" {
			out += " (" + clip(s.s.Data) + ")"
		}
		out += "."
	}
	return out
}

// blocks draws all products, from top to bottom and then from left to right, and
// gives the y beneath them.
func (s *yearSheet) blocks(top float64) float64 {
	if len(s.offers) == 0 {
		s.text("s", edge, top+20, atStart, "No product is judged in this answer.", 12, s.wide-2*edge)
		return top + 32
	}
	high := make([]float64, len(s.offers))
	for i := range s.offers {
		s.above(func() { high[i] = s.offer(&s.offers[i], edge, 0) })
	}
	low := top
	x, y, column := edge, top, 0
	for i, c := range inColumns(high, s.columns()) {
		if c != column {
			x, y, column = edge+(s.block+blockGap)*float64(c), top, c
		}
		y = s.offer(&s.offers[i], x, y)
		low = max(low, y)
	}
	return low
}

// inColumns gives each block its column, from the left and in order, so that the
// highest column is as low as it can be.
func inColumns(high []float64, n int) []int {
	sum := 0.0
	for _, h := range high {
		sum += h
	}
	low, most := sum/float64(max(n, 1)), sum
	for range 40 { // halvings: far below a pixel
		if mid := (low + most) / 2; within(high, mid, n) != nil {
			most = mid
		} else {
			low = mid
		}
	}
	if out := within(high, most, n); out != nil {
		return out
	}
	return make([]int, len(high)) // one column, whatever rounding says
}

// within fills columns up to a height; nil where n do not hold all.
func within(high []float64, most float64, n int) []int {
	out := make([]int, len(high))
	at, column := 0.0, 0
	for i, h := range high {
		if h > most {
			return nil
		}
		if at+h > most {
			at, column = 0, column+1
		}
		if column >= n {
			return nil
		}
		at, out[i] = at+h, column
	}
	return out
}

// offer draws one product with its top at y, and gives the y beneath it.
func (s *yearSheet) offer(f *offer, x, y float64) float64 {
	for _, l := range wrap(answer.Capital(f.name), 12*boldness, s.block) {
		s.text("b", x, y+14, atStart, l, 12, 0)
		y += 17
	}
	y = s.lines(f.promise(), x, y)
	if len(f.rows) > 0 {
		y = s.months(x, y+3)
		y = s.rows(f, x, y)
	}
	return s.lines(f.unsuited(), x, y) + 18
}

// lines writes words in soft ink, as many lines as they take.
func (s *yearSheet) lines(words string, x, y float64) float64 {
	for _, l := range wrap(words, 12, s.block) {
		s.text("s", x, y+13, atStart, l, 12, 0)
		y += 16
	}
	return y
}

// month is the middle of a month in a block whose left is x.
func (s *yearSheet) month(x float64, m int) float64 { return x + s.names + s.pitch*(float64(m)+.5) }

// months names the months; those whose rain is estimated have a tilde, above the
// name where there is no room before it.
func (s *yearSheet) months(x, y float64) float64 {
	stacked := s.pitch < pitchTilde && len(s.estimated()) > 0
	if stacked {
		y += 11
	}
	for m := range 12 {
		words := monthName(m)
		if s.isEstimated(m) {
			if stacked {
				s.text("t", s.month(x, m), y+1, atMiddle, "~", 11, 0)
			} else {
				words = "~" + words
			}
		}
		s.text("t s", s.month(x, m), y+12, atMiddle, words, 11, 0)
	}
	return y + 18
}

// rows draws a product's zones.
func (s *yearSheet) rows(f *offer, x, y float64) float64 {
	var marks seasonMarks
	for i := range f.rows {
		r := &f.rows[i]
		if s.names == 0 {
			s.text("", x, y+13, atStart, r.Zone, 12, s.block)
			y += seasonName
		} else {
			s.text("", x, y+seasonNumber, atStart, r.Zone, 12, s.names-8)
		}
		for m := range 12 {
			s.cell(&marks, cellOf(s.s.Year, r, m), s.month(x, m), y+seasonBar)
		}
		s.numbers(r, x, y+seasonNumber)
		y += seasonRow
	}
	s.path("grid", marks.grid.String())
	for i := range marks.bars {
		s.path("m"+string(rune('1'+i)), marks.bars[i].String())
	}
	s.path("may", marks.marginal.String())
	s.path("unknown", marks.unknown.String())
	return y + 4
}

// seasonMarks collects the marks of a block, a path for each kind: thirty products
// in a picture of hundreds of kilobytes, not of megabytes.
type seasonMarks struct {
	grid, marginal, unknown trail
	bars                    [seasonTones]trail
}

// cell adds the marks of one month around x, with their top at y.
func (s *yearSheet) cell(marks *seasonMarks, c seasonCell, x, y float64) {
	full := min(barMost, s.pitch-6)
	left := math.Floor(x - full/2)
	low := y + seasonThick
	marks.grid.dash(left, low+.5, full)
	if c.unknown > 0 {
		marks.unknown.dash(left+1, low-2, full-1)
	}
	if c.nothing() {
		return
	}
	wide := barLength(c.days, c.long, full)
	if wide > 0 {
		marks.bars[seasonTone(c.share())].bar(left, y, wide, seasonThick)
	}
	if c.consent > 0 {
		marks.marginal.bar(left+wide, low-seasonThin, barLength(c.days+c.consent, c.long, full)-wide, seasonThin)
	}
}

// dash is a level line.
func (t *trail) dash(x, y, wide float64) {
	t.b.WriteString("M" + num(x) + " " + num(y) + "h" + num(wide))
}

// barLength is the length of a bar for so many days of a month, full for all of
// them; a single day shows.
func barLength(days, long int, full float64) float64 {
	if days <= 0 || long <= 0 {
		return 0
	}
	return max(1, full*min(float64(days)/float64(long), 1))
}

// seasonTone is the tone of a share: 0 up to a quarter, 3 for more than three.
func seasonTone(share float64) int {
	return min(max(int(math.Ceil(share*seasonTones))-1, 0), seasonTones-1)
}

// numbers writes a row's days with their baseline at y: those that are known, none
// in soft ink, and those that are not known. A line of each kind is one element.
func (s *yearSheet) numbers(r *answer.SeasonRow, x, y float64) {
	classes := [...]string{"b", "s", "q"}
	var lines [len(classes)]strings.Builder
	for m := range 12 {
		c := cellOf(s.s.Year, r, m)
		kind := 0
		switch {
		case c.unknown > 0:
			kind = 2
		case c.days == 0:
			kind = 1
		}
		lines[kind].WriteString(`<tspan x="` + num(s.month(x, m)) + `">` + c.words() + "</tspan>")
	}
	for i := range lines {
		if lines[i].Len() == 0 {
			continue
		}
		class := classes[i]
		if s.names == 0 {
			class = "t " + class
		}
		s.raw(`<text class="`, class, `" y="`, num(y), `"`, atMiddle, `>`, lines[i].String(), "</text>\n")
	}
}

func monthName(m int) string { return time.Month(m + 1).String()[:3] }
