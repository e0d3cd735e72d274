package draw

import (
	"math"
	"strconv"
)

// key tells what the marks mean, and gives the y beneath it.
func (s *yearSheet) key(y float64) float64 {
	l := &legend{canvas: s.canvas, x: edge, left: edge, y: y}
	l.item("share of the month's days", func(x, y float64) {
		for i := range seasonTones {
			s.rect("m"+strconv.Itoa(i+1), x, y-12+4*float64(i), barLength(i+1, seasonTones, sampleWide), 3)
		}
	})
	l.item("days only marginal, with your yes", func(x, y float64) {
		s.rect("may", x, y-seasonThin-1, sampleWide, seasonThin)
	})
	l.item("the data say too little", func(x, y float64) {
		s.path("unknown", line(x+1, y, x+sampleWide))
		s.text("t q", x+sampleWide/2, y-3.5, atMiddle, "?", 11, 0)
	})
	if len(s.estimated()) > 0 {
		l.item("rain of the month estimated, not measured", func(x, y float64) {
			s.text("t", x+sampleWide/2, y, atMiddle, "~", 11, 0)
		})
	}
	return l.y + 20
}

// mostNotes is how many of the answer's warnings stand under the picture, and
// noteRunes how long one may be.
const (
	mostNotes = 6
	noteRunes = 300
)

// notes writes what a typical year is not, and the answer's warnings.
func (s *yearSheet) notes(y float64) float64 {
	list := []string{"A typical year tells what to promise in which season, and nothing of any coming day."}
	for i, w := range s.s.Warnings {
		if i == mostNotes {
			list = append(list, counted(len(s.s.Warnings)-mostNotes, "more note")+" in the answer.")
			break
		}
		if r := []rune(w); len(r) > noteRunes {
			w = string(r[:noteRunes]) + "…"
		}
		list = append(list, "Note: "+w)
	}
	for _, words := range list {
		for _, l := range wrap(words, 12, min(s.wide-2*edge, 900)) {
			s.text("s", edge, y+12, atStart, l, 12, 0)
			y += 16
		}
		y += 3
	}
	return y
}

// estimated are the months whose rain is estimated.
func (s *yearSheet) estimated() []int {
	var out []int
	for m := range 12 {
		if s.isEstimated(m) {
			out = append(out, m)
		}
	}
	return out
}

// gaugedLeast is the share of a month's hours with measured rain from which it
// counts as measured, as on the screen.
const gaugedLeast = 0.5

func (s *yearSheet) isEstimated(m int) bool {
	return math.IsNaN(s.s.Gauged[m]) || s.s.Gauged[m] < gaugedLeast
}
