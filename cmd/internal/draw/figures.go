package draw

import (
	"math"
	"strconv"
)

// letters is the key of a zone in the list: a to z, then aa.
func letters(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return letters(i/26-1) + string(rune('a'+i%26))
}

// figure writes a zone's temperature into its cell and the zone's letter beside
// it or, where there is no room for both in a line, near to it.
func (s *scene) figure(v sight, c cell) {
	h := hourAt(&s.zones[c.zone], s.at)
	if h == nil || !finite(h.SurfaceC) {
		return
	}
	poly := v.poly(c.poly)
	ink := "i" + strconv.Itoa(tone(*h.SurfaceC))
	number, key := fixed(s.o.celsius(*h.SurfaceC), 0), letters(c.zone)
	if p, ok := roomIn(poly, width(key+" "+number+"°", 12*boldness)+2, 13, box{}); ok {
		s.raw(`<text class="`, ink, `" x="`, num(p.x), `" y="`, num(p.y+4.5), `"`, atMiddle, `>`, key, ` <tspan class="b">`, number, "°</tspan></text>\n")
		return
	}
	for _, try := range []struct {
		class, words string
		size, bold   float64
	}{{"b " + ink, number + "°", 12, boldness}, {"t " + ink, number, 11, 1}} {
		wide := width(try.words, try.size) * try.bold
		p, ok := roomIn(poly, wide, try.size-3, box{}) // figures have no descenders
		if !ok {
			continue
		}
		s.text(try.class, p.x, p.y+try.size*0.37, atMiddle, try.words, try.size, 0)
		taken := box{p.x - wide/2 - 3, p.y - 7, p.x + wide/2 + 3, p.y + 7}
		if q, ok := roomIn(poly, width(key, 11)+2, 10, taken); ok {
			s.text("t "+ink, q.x, q.y+4, atMiddle, key, 11, 0)
		}
		return
	}
}

// roomIn finds where a box fits into a polygon clear of another, nearest to the
// polygon's middle.
func roomIn(poly []vec, wide, high float64, taken box) (vec, bool) {
	low, most := vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}
	for _, p := range poly {
		low, most = vec{min(low.x, p.x), min(low.y, p.y)}, vec{max(most.x, p.x), max(most.y, p.y)}
	}
	mid := centroid(poly)
	best, least, found := vec{}, math.Inf(1), false
	const step = 3.0
	for y := low.y + high/2; y <= most.y-high/2; y += step {
		for x := low.x + wide/2; x <= most.x-wide/2; x += step {
			d := math.Hypot(x-mid.x, y-mid.y)
			at := box{x - wide/2, y - high/2, x + wide/2, y + high/2}
			if d < least && at.clear(taken) && holdsBox(poly, x, y, wide, high) {
				best, least, found = vec{x, y}, d, true
			}
		}
	}
	return best, found
}

func holdsBox(poly []vec, x, y, wide, high float64) bool {
	for _, dx := range []float64{-0.5, -0.17, 0.17, 0.5} {
		for _, dy := range []float64{-0.5, 0.5} {
			if !inside(poly, vec{x + dx*wide, y + dy*high}) {
				return false
			}
		}
	}
	return true
}

// inside is the even-odd rule.
func inside(poly []vec, p vec) bool {
	in := false
	for i, a := range poly {
		b := poly[(i+1)%len(poly)]
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(b.x-a.x)*(p.y-a.y)/(b.y-a.y) {
			in = !in
		}
	}
	return in
}

// centroid is the middle of a polygon's area; of one without area that of its
// corners.
func centroid(poly []vec) vec {
	var area, x, y, sx, sy float64
	for i, a := range poly {
		b := poly[(i+1)%len(poly)]
		k := a.x*b.y - b.x*a.y
		area, x, y = area+k, x+(a.x+b.x)*k, y+(a.y+b.y)*k
		sx, sy = sx+a.x, sy+a.y
	}
	if math.Abs(area) < 1e-9 {
		n := float64(max(len(poly), 1))
		return vec{sx / n, sy / n}
	}
	return vec{x / (3 * area), y / (3 * area)}
}
