package job

import (
	"fmt"
	"strings"

	"dewgap/window/boat"
)

// points are the sixteen points of the compass, 22.5° apart.
var points = [...]string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}

// CompassPoint names the one of the sixteen points nearest to a true bearing
// in degrees.
func CompassPoint(bearing float64) string {
	return points[int(boat.Turn(bearing+11.25)/22.5)%16]
}

// parsePoint is the bearing in degrees of a compass point such as NW.
func parsePoint(text string) (float64, bool) {
	for i, p := range points {
		if strings.EqualFold(text, p) {
			return float64(i) * 22.5, true
		}
	}
	return 0, false
}

const bearingFix = "give degrees from 0 to 360, or a compass point such as NW"

// bearing reads degrees or a compass point; point tells which it was.
func (r *reader) bearing(n *node, label string) (deg float64, point, ok bool) {
	if n.shape == scalar {
		if deg, ok := parsePoint(n.text); ok {
			return deg, true, true
		}
		if _, ok := parseNumber(n.text); !ok {
			r.fail(n.pos, fmt.Sprintf("`%s` is no bearing: %s", label, n.text), bearingFix)
			return 0, false, false
		}
	}
	deg, ok = r.numberOf(n, label, span{0, 360, "degrees"})
	return deg, false, ok
}

// sector reads {from, to}, true bearings that may wrap north.
func (s *section) sector(key string) (from, to float64, ok bool) {
	n := s.take(key)
	if n == nil {
		return 0, 0, false
	}
	if n.shape != mapping {
		s.wrongShape(n, key, "give the bearings that the wind comes from, such as {from: 180, to: 270}")
		return 0, 0, false
	}
	in, _ := s.section(n, key)
	from, to, ok = in.ends()
	in.done()
	return from, to, ok
}

// ends reads from and to of a sector.
func (s *section) ends() (from, to float64, ok bool) {
	ok = true
	for _, end := range []struct {
		key string
		at  *float64
	}{{"from", &from}, {"to", &to}} {
		n := s.take(end.key)
		if n == nil {
			s.missing(end.key, bearingFix)
			ok = false
			continue
		}
		deg, _, good := s.bearing(n, end.key)
		*end.at, ok = deg, ok && good
	}
	if ok && from == to {
		s.fail(s.n.pos, "the sector begins and ends on one bearing", "for the whole horizon write from 0 to 360")
		ok = false
	}
	return from, to, ok
}

// bow reads how the boat lies: degrees true, a compass point, or a magnetic
// bearing with its variation. swings: she turns with the wind.
func (s *section) bow(key string, maySwing bool) (deg float64, swings, ok bool) {
	n := s.take(key)
	if n == nil {
		return 0, false, false
	}
	if n.shape == mapping {
		deg, ok = s.magnetic(n, key)
		return deg, false, ok
	}
	if maySwing && n.shape == scalar && n.text == "swinging" {
		return 0, true, true
	}
	deg, _, ok = s.bearing(n, key)
	return boat.Turn(deg), false, ok
}

func (r *reader) magnetic(n *node, label string) (float64, bool) {
	m, ok := r.section(n, label)
	if !ok {
		return 0, false
	}
	deg, ok1 := m.number("magnetic", span{0, 360, "the compass bearing in degrees"})
	m.missing("magnetic", "write bow: {magnetic: 190, variation: -14}")
	v, ok2 := m.number("variation", span{-90, 90, "degrees, east of north positive, west negative,"})
	m.missing("variation", "write it in degrees, east positive, west negative; the chart tells it")
	m.done()
	return boat.Turn(deg + v), ok1 && ok2
}
