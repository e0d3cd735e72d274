package draw

import (
	"math"
	"strconv"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/sky"
)

// points are the eight winds by name.
var points = [...]string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"}

// bearing writes a true bearing: "142° SE".
func bearing(deg float64) string {
	deg = math.Mod(math.Mod(math.Round(deg), 360)+360, 360)
	return fixed(deg, 0) + "° " + points[int(math.Round(deg/45))%8]
}

// factsOf are the hour's sun, wind, air and berth, a line each.
func (s *scene) factsOf(at time.Time) []string {
	out := []string{s.sunWords(at)}
	var h *answer.Hour
	if len(s.zones) > 0 {
		h = hourAt(&s.zones[0], at)
	}
	from := s.windFrom(at)
	switch {
	case h == nil:
		out = append(out, "The answer does not cover this hour.")
	case finite(h.WindMS) && from != nil:
		out = append(out, "Wind from "+bearing(*from)+", "+s.o.wind(*h.WindMS)+" at deck height")
	case finite(h.WindMS):
		out = append(out, "Wind "+s.o.wind(*h.WindMS)+", direction not known")
	}
	if h != nil {
		out = append(out, "Air "+orDash(h.AirC, s.degrees)+", dew point "+orDash(h.DewPointC, s.degrees))
	}
	if bow, ok := s.bowAt(at); ok {
		return append(out, "Bow to "+bearing(bow))
	}
	return append(out, "Bow not known: faces by the compass")
}

func (s *scene) sunWords(at time.Time) string {
	p := s.sun(at)
	if p.Elevation < sky.Horizon {
		return "Sun below the horizon"
	}
	return "Sun at " + bearing(p.Azimuth) + ", " + fixed(max(p.Elevation, 0), 0) + "° up"
}

func (s *scene) facts(x, y, room float64) float64 {
	s.text("b", x, y+12, atStart, s.at.Format(dayWords)+", "+s.hourWords(), 12, room)
	y += 18
	for _, f := range s.factsOf(s.at) {
		for _, line := range wrap(f, 12, room) {
			s.text("", x, y+12, atStart, line, 12, 0)
			y += 17
		}
	}
	return y
}

// mostListed is how many zones the list names; the table names all.
const mostListed = 40

// list names the zones by their letters, with their temperatures.
func (s *scene) list(x, y, room float64) float64 {
	for i := range s.zones {
		if i == mostListed {
			s.text("t s", x, y+12, atStart, counted(len(s.zones)-mostListed, "more zone")+" in the table", 11, room)
			return y + 18
		}
		z := &s.zones[i]
		h := hourAt(z, s.at)
		class, value := "none", "–"
		if h != nil && finite(h.SurfaceC) {
			class, value = "cell t"+strconv.Itoa(tone(*h.SurfaceC)), s.degrees(*h.SurfaceC)
		}
		s.round(class, x, y+2, 13, 13, 2)
		s.text("s", x+29, y+13, atEnd, letters(i), 12, 0)
		s.text("", x+36, y+13, atStart, z.Name, 12, room-36-4-width(value, 12*boldness))
		s.text("b", x+room, y+13, atEnd, value, 12, 0)
		y += 18
	}
	return y
}

// scale explains the tones, and the marks of sun and wind.
func (s *scene) scale(x, y float64) float64 {
	const wide = 26.0
	for i := range tones {
		s.rect("t"+strconv.Itoa(i), x+wide*float64(i), y, wide-1, 12)
		if i > 0 {
			s.text("t s", x+wide*float64(i)-.5, y+24, atMiddle, fixed(s.o.celsius(toneLow+toneStep*float64(i-1)), 0), 11, 0)
		}
	}
	s.text("t s", x+wide*tones+6, y+11, atStart, s.o.degree(), 11, 0)
	l := &legend{canvas: s.canvas, x: x + wide*tones + 40, left: x + wide*tones + 40, y: y - 4}
	if s.o.narrow() {
		l.x, l.left, l.y = edge, edge, y+30
	}
	l.item("sun, the higher the larger", func(x, y float64) { s.circle("sun", x+11, y-4, 7) })
	l.item("sun down", func(x, y float64) { s.circle("down", x+11, y-4, 5) })
	l.item("wind blows this way", func(x, y float64) {
		s.path("wind", new(trail).to("M", x, y-4).to("L", x+20, y-4).to("M", x+14, y-9).to("L", x+20, y-4).to("L", x+14, y+1).String())
	})
	return max(l.y+20, y+30)
}

// smallHours is how many hours are drawn small.
const smallHours = 12

// hoursOf are the hours that are drawn small: every other one of the day, and the
// last ones nearer where the day is short.
func (s *scene) hoursOf() []time.Time {
	var out []time.Time
	n := int(s.day.to.Sub(s.day.from) / time.Hour)
	for i := range smallHours {
		out = append(out, s.day.from.Add(time.Duration(i*n/smallHours)*time.Hour).In(s.loc))
	}
	return out
}

// hours draws the day in small boats, so many in a line. The one that is nearest
// to the large one is framed.
func (s *scene) hours(x, y, room float64, columns int) float64 {
	wide := room / float64(columns)
	high := wide + 20
	down := nights(s.w.Place, s.day)
	list := s.hoursOf()
	for i, at := range list {
		left, top := x+wide*float64(i%columns), y+high*float64(i/columns)
		for _, n := range down {
			if n.holds(middle(at)) {
				s.round("night", left+2, top+1, wide-4, high-4, 4)
			}
		}
		next := s.day.to
		if i+1 < len(list) {
			next = list[i+1]
		}
		if (span{at, next}).holds(s.at) {
			s.round("pick", left+2, top+1, wide-4, high-4, 4)
		}
		s.text("t b", left+5, top+15, atStart, at.Format(hourWords), 11, 0)
		if most, ok := s.hottest(at); ok {
			words := fixed(s.o.celsius(most), 0)
			if room := wide - 13 - width(at.Format(hourWords), 11*boldness); width(words+"°", 11) <= room {
				words += "°"
			}
			s.text("t s", left+wide-5, top+15, atEnd, words, 11, 0)
		}
		ring := wide/2 - 10
		v := sight{left + wide/2, top + 18 + wide/2 - 4, ring - 7, s.turn(at)}
		s.circle("sea", v.x, v.y, ring)
		s.circle("ring", v.x, v.y, ring)
		s.boat(&s.rough, v, at, false)
		s.windMark(v, ring, at, 0.45)
		s.sunMark(v, ring, at, 5)
	}
	lines := (smallHours + columns - 1) / columns
	y += high * float64(lines)
	return y + 18 + s.lines("t s", x+2, y+12, "Every other hour of the day; at the right the hottest zone", 11, room)
}

// hottest is the highest temperature of the hour.
func (s *scene) hottest(at time.Time) (most float64, ok bool) {
	for i := range s.zones {
		h := hourAt(&s.zones[i], at)
		if h != nil && finite(h.SurfaceC) && (!ok || *h.SurfaceC > most) {
			most, ok = *h.SurfaceC, true
		}
	}
	return most, ok
}

// table has a line for each zone with its temperatures through the day, and lines
// for sun and wind.
func (s *scene) table() Table {
	list := s.hoursOf()
	t := Table{
		Caption: "Panel temperature by zone, " + s.at.Format(dayWords) + ", " + s.o.degree(),
		Head:    []string{"Zone", "Faces", s.hourWords()},
	}
	for _, at := range list {
		t.Head = append(t.Head, at.Format(hourWords))
	}
	short := func(v float64) string { return fixed(s.o.celsius(v), 0) }
	for i := range s.zones {
		z := &s.zones[i]
		line := []string{z.Name, s.facing(z), "–"}
		if h := hourAt(z, s.at); h != nil {
			line[2] = orDash(h.SurfaceC, s.degrees)
		}
		for _, at := range list {
			cell := "–"
			if h := hourAt(z, at); h != nil {
				cell = orDash(h.SurfaceC, short)
			}
			line = append(line, cell)
		}
		t.Rows = append(t.Rows, line)
	}
	sun, wind := []string{"Sun", "", s.sunCell(s.at)}, []string{"Wind from", "", s.windCell(s.at)}
	for _, at := range list {
		sun, wind = append(sun, s.sunCell(at)), append(wind, s.windCell(at))
	}
	t.Rows = append(t.Rows, sun, wind)
	return t
}

// facing is where a zone looks in the large hour.
func (s *scene) facing(z *answer.Zone) string {
	if !finite(z.Faces) || z.Tilt < levelTilt {
		return "up"
	}
	first, ok := s.bowAt(s.w.From)
	if now, known := s.bowAt(s.at); ok && known {
		return bearing(*z.Faces + now - first)
	}
	return bearing(*z.Faces)
}

func (s *scene) sunCell(at time.Time) string {
	p := s.sun(at)
	if p.Elevation < sky.Horizon {
		return "down"
	}
	return bearing(p.Azimuth) + ", " + fixed(max(p.Elevation, 0), 0) + "° up"
}

func (s *scene) windCell(at time.Time) string {
	from := s.windFrom(at)
	if from == nil {
		return "–"
	}
	return bearing(*from)
}

// describe says the picture in a few sentences.
func (s *scene) describe() string {
	out := "The boat from above in her berth, each zone toned by its temperature, the warmer the farther from the page. "
	for _, f := range s.factsOf(s.at) {
		out += f + ". "
	}
	const most = 12
	for i := range s.zones {
		if i == most {
			out += counted(len(s.zones)-most, "more zone") + " in the table. "
			break
		}
		if h := hourAt(&s.zones[i], s.at); h != nil && finite(h.SurfaceC) {
			out += clip(s.zones[i].Name) + " " + s.degrees(*h.SurfaceC) + ". "
		}
	}
	return out + "Beside it twelve hours of the same day."
}
