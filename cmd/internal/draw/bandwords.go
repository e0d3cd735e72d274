package draw

import (
	"math"

	"dewgap/cmd/internal/answer"
)

// box is a rectangle on the sheet.
type box struct{ left, top, right, bottom float64 }

func (b box) clear(o box) bool {
	return b.right < o.left || o.right < b.left || b.bottom < o.top || o.bottom < b.top
}

// bandWords names the edges of the bands that lie within the plot: each on its own
// side of its edge, where along it the curves leave room.
func (c *curves) bandWords(p plot, b *answer.Bands, unit func(float64) float64, name string, list []curve) {
	if b == nil {
		return
	}
	var taken []box
	names := []string{"ideal", "default", "hard"}
	for i, band := range [][2]*float64{b.Ideal, b.Default, b.Hard} {
		for side, v := range band {
			if !finite(v) || unit(*v) <= p.low || unit(*v) >= p.high || i > 0 && same(b.Ideal[side], v) {
				continue
			}
			words, y := c.edgeWords(names[i], side, plain(unit(*v)), name), p.y(unit(*v))-3
			if side == 1 {
				y += 14
			}
			y = insidePlot(p, y)
			if at, ok := c.roomAlong(p, list, taken, width(words, 11), y); ok {
				taken = append(taken, at)
				c.text("t s halo", at.left, y, atStart, words, 11, 0)
			}
		}
	}
}

// insidePlot puts words whose baseline is at y on the other side of their edge where they
// would leave the plot: over it stands what it is of, under it are the hours.
func insidePlot(p plot, y float64) float64 {
	switch {
	case y-9 < p.top-4:
		return y + 14
	case y+2 > p.bottom+4:
		return y - 14
	}
	return y
}

// edgeWords name one edge: "ideal from 15 °C", on a telephone "ideal ≥ 15".
func (c *curves) edgeWords(band string, side int, value, unit string) string {
	if c.o.narrow() {
		return band + [2]string{" ≥ ", " ≤ "}[side] + value
	}
	return band + [2]string{" from ", " to "}[side] + value + " " + unit
}

func same(a, b *float64) bool { return finite(a) && finite(b) && *a == *b }

// roomAlong finds where words of a width stand farthest from the curves, the
// leftmost of those that are far enough; none where they would stand on other
// words.
func (c *curves) roomAlong(p plot, list []curve, taken []box, wide, y float64) (box, bool) {
	const enough, step = 6.0, 6.0
	best, most, found := box{}, math.Inf(-1), false
	for x := c.axis.left + 5; x+wide < c.axis.right-3; x += step {
		at := box{x, y - 9, x + wide, y + 2}
		free := true
		for _, o := range taken {
			free = free && at.clear(box{o.left - 8, o.top - 1, o.right + 8, o.bottom + 1})
		}
		if room := c.clearance(p, list, at); free && room > most {
			best, most, found = at, room, true
			if most >= enough {
				break
			}
		}
	}
	return best, found
}

// clearance is how far the curves stay above or below a box, at most what is
// enough anywhere.
func (c *curves) clearance(p plot, list []curve, at box) float64 {
	least := 100.0
	for _, s := range list {
		for _, part := range s.parts {
			for k := range part {
				from := part[max(k-1, 0)]
				left, right := c.axis.x(from.at), c.axis.x(part[k].at)
				if right < at.left || left > at.right {
					continue
				}
				top, bottom := p.y(from.value), p.y(part[k].value)
				if right > left { // the piece of the line that is over the box
					slope := (bottom - top) / (right - left)
					l, r := max(left, at.left), min(right, at.right)
					top, bottom = top+slope*(l-left), top+slope*(r-left)
				}
				if top > bottom {
					top, bottom = bottom, top
				}
				least = min(least, max(top-at.bottom, at.top-bottom))
			}
		}
	}
	return least
}
