package draw

import (
	"math"
	"strconv"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/sky"
)

// scene is the boat's picture while it is drawn.
type scene struct {
	*canvas
	w     *answer.Week
	loc   *time.Location
	at    time.Time // the beginning of the hour that is drawn large
	day   span
	zones []answer.Zone
	plan  boatPlan
	rough boatPlan // the same in fewer pieces, for the small ones
}

func boatAndSun(w *answer.Week, at time.Time, o Options) Picture {
	s := newScene(w, at, o)
	title := nameOf(w) + " in the sun, " + s.at.Format(dayWords) + ", " + s.hourWords()
	y := s.head(title, "Panel temperature by zone, "+o.degree()+". North is up; hours at the place, "+zoneWords(s.loc)+".") + 6
	switch {
	case o.narrow():
		y = s.large(edge, y, s.wide-2*edge) + 8
		y = s.facts(edge, y, s.wide-2*edge)
		y = s.list(edge, y+10, s.wide-2*edge)
		y = s.scale(edge, y+12)
		y = s.hours(edge, y+16, s.wide-2*edge, 4)
	case o.Width < 1000:
		size := s.wide * 0.5
		left := edge + size + 20
		a := s.large(edge, y, size)
		b := s.facts(left, y+6, s.wide-edge-left)
		b = s.list(left, b+10, s.wide-edge-left)
		y = s.scale(edge, max(a, b)+12)
		y = s.hours(edge, y+16, s.wide-2*edge, 6)
	default:
		size := min(s.wide*0.38, 560)
		left := edge + size + 24
		right := left + 290
		a := s.large(edge, y, size)
		b := s.facts(left, y+6, right-left-24)
		b = s.list(left, b+10, right-left-24)
		c := s.hours(right, y, s.wide-edge-right, 4)
		y = s.scale(edge, max(a, b, c)+10)
	}
	desc := s.describe()
	return Picture{SVG: s.finish(y+edge, title, desc), Title: title, Description: desc, Table: s.table()}
}

func newScene(w *answer.Week, at time.Time, o Options) *scene {
	s := &scene{canvas: newCanvas(o), w: w, loc: location(w), zones: zonesOf(w, o)}
	s.at = at.Truncate(time.Hour).In(s.loc) // as the hours of the answer: where the clock is half an hour off, they begin at half past
	s.day = span{answer.Midnight(s.at), answer.NextMidnight(s.at)}
	bow, known := s.bowAt(w.From)
	s.plan, s.rough = planOf(s.zones, bow, known, 16), planOf(s.zones, bow, known, 6)
	return s
}

// bowAt is where the bow points; false where nobody knows.
func (s *scene) bowAt(t time.Time) (deg float64, ok bool) {
	if s.w.Scene == nil {
		return 0, false
	}
	for _, b := range s.w.Scene.Berths {
		if b.From == nil || !t.Before(*b.From) {
			deg, ok = b.BowDeg, true
		}
	}
	return deg, ok
}

// turn is how far the plan is turned at t: bow up is 0.
func (s *scene) turn(t time.Time) float64 {
	bow, _ := s.bowAt(t)
	if s.plan.compass {
		return 0
	}
	return bow
}

func (s *scene) hourWords() string {
	return s.at.Format(hourWords) + "–" + s.at.Add(time.Hour).Format(hourWords)
}

// toneStep and toneLow divide surface temperatures into tones, °C: one below
// toneLow, one for each step, the last without end.
const (
	toneLow  = 5.0
	toneStep = 5.0
	tones    = 9
)

// tone is the class of a temperature.
func tone(celsius float64) int {
	return min(max(int(math.Floor((celsius-toneLow)/toneStep))+1, 0), tones-1)
}

// sight is the plan put on the sheet: its middle, its size, and how it is turned.
type sight struct {
	x, y, r, turn float64
}

func (v sight) at(p vec) vec {
	sin, cos := math.Sincos(v.turn * math.Pi / 180)
	return vec{v.x + v.r*(p.x*cos-p.y*sin), v.y + v.r*(p.x*sin+p.y*cos)}
}

func (v sight) poly(p []vec) []vec {
	out := make([]vec, len(p))
	for i := range p {
		out[i] = v.at(p[i])
	}
	return out
}

// toward is a place at a true bearing from the middle.
func (v sight) toward(bearing, r float64) vec {
	sin, cos := math.Sincos(bearing * math.Pi / 180)
	return vec{v.x + r*sin, v.y - r*cos}
}

func pathOf(p []vec) string {
	var t trail
	for i, v := range p {
		op := "L"
		if i == 0 {
			op = "M"
		}
		t.to(op, v.x, v.y)
	}
	return t.shut().String()
}

// boat draws a plan at an hour, without words.
func (s *scene) boat(p *boatPlan, v sight, at time.Time, titles bool) {
	if len(p.outline) > 0 {
		s.path("none", pathOf(v.poly(p.outline)))
	}
	for _, c := range p.cells {
		z := &s.zones[c.zone]
		h := hourAt(z, at)
		class := "cell none"
		if h != nil && finite(h.SurfaceC) {
			class = "cell t" + strconv.Itoa(tone(*h.SurfaceC))
		}
		if titles {
			s.open("z", s.zoneWords(z, at))
		}
		s.path(class, pathOf(v.poly(c.poly)))
		if titles {
			s.shut()
		}
	}
	if len(p.outline) > 0 {
		s.path("hull", pathOf(v.poly(p.outline)))
	}
}

func (s *scene) zoneWords(z *answer.Zone, at time.Time) string {
	h := hourAt(z, at)
	if h == nil {
		return clip(z.Name) + ": not known"
	}
	over, spread := " over the dew point", h.SpreadK
	if finite(spread) && *spread < 0 {
		up := -*spread
		over, spread = " below the dew point", &up
	}
	return clip(z.Name) + ": " + orDash(h.SurfaceC, s.degrees) + ", " + orDash(h.SunlightWM2, watts) + " of sunlight, " +
		orDash(spread, s.kelvins) + over
}

func (s *scene) degrees(v float64) string { return fixed(s.o.celsius(v), 1) + " " + s.o.degree() }
func (s *scene) kelvins(v float64) string { return fixed(s.o.kelvins(v), 1) + " " + s.o.kelvin() }
func watts(v float64) string              { return fixed(v, 0) + " W/m²" }

// large draws the chosen hour in a square, with figures in the zones.
func (s *scene) large(x, y, size float64) float64 {
	ring := size/2 - 24
	v := sight{x + size/2, y + size/2, ring - 20, s.turn(s.at)}
	s.circle("sea", v.x, v.y, ring)
	s.daylight(v, ring)
	s.circle("ring", v.x, v.y, ring)
	for i, n := range [...]string{"N", "E", "S", "W"} {
		p := v.toward(float64(i)*90, ring+12)
		if !s.taken(float64(i) * 90) {
			s.text("t s", p.x, p.y+4, atMiddle, n, 11, 0)
		}
	}
	s.boat(&s.plan, v, s.at, true)
	for _, c := range s.plan.cells {
		s.figure(v, c)
	}
	s.windMark(v, ring, s.at, 1)
	s.sunMark(v, ring, s.at, 10)
	return y + size
}

// taken reports whether the sun or the wind stand where a letter would.
func (s *scene) taken(bearing float64) bool {
	near := func(b float64) bool { return math.Cos((b-bearing)*math.Pi/180) > math.Cos(11*math.Pi/180) }
	p := s.sun(s.at)
	from := s.windFrom(s.at)
	return near(p.Azimuth) || from != nil && near(*from)
}

// sun is where it stands in the middle of an hour.
func (s *scene) sun(at time.Time) sky.Position {
	return sky.Sun(middle(at), s.w.Place.Latitude, s.w.Place.Longitude, 1013, 15)
}

// daylight is the part of the ring along which the sun goes while it is up.
func (s *scene) daylight(v sight, ring float64) {
	var t trail
	up := false
	for at := s.day.from; at.Before(s.day.to); at = at.Add(10 * time.Minute) {
		p := sky.Sun(at, s.w.Place.Latitude, s.w.Place.Longitude, 1013, 15)
		if p.Elevation < sky.Horizon {
			up = false
			continue
		}
		op := "L"
		if !up {
			op = "M"
		}
		q := v.toward(p.Azimuth, ring)
		t.to(op, q.x, q.y)
		up = true
	}
	s.path("ray", t.String())
}

// sunMark is the sun on the ring with its rays inwards; hollow while it is down.
func (s *scene) sunMark(v sight, ring float64, at time.Time, r float64) {
	p := s.sun(at)
	q := v.toward(p.Azimuth, ring)
	if p.Elevation < sky.Horizon {
		s.circle("down", q.x, q.y, r*0.55)
		return
	}
	var t trail
	for _, off := range []float64{-4, 0, 4} {
		if r < 6 && off != 0 {
			continue
		}
		a, b := v.toward(p.Azimuth+off, ring-r-3), v.toward(p.Azimuth+off*0.9, ring-r-3-r*1.3)
		t.to("M", a.x, a.y).to("L", b.x, b.y)
	}
	s.path("ray", t.String())
	s.circle("sun", q.x, q.y, r*(0.5+0.5*min(1, max(0, p.Elevation)/60)))
}

// windFrom is the bearing of the wind in an hour, nil where it is not known.
func (s *scene) windFrom(at time.Time) *float64 {
	if s.w.Scene == nil {
		return nil
	}
	for i := range s.w.Scene.Wind {
		if x := &s.w.Scene.Wind[i]; (span{x.At, x.At.Add(time.Hour)}).holds(at) && finite(x.FromDeg) {
			return x.FromDeg
		}
	}
	return nil
}

// windMark is an arrow from where the wind comes, on the ring; inside of it where
// the sun stands there.
func (s *scene) windMark(v sight, ring float64, at time.Time, size float64) {
	from := s.windFrom(at)
	if from == nil {
		return
	}
	out := ring + 14*size
	if math.Cos((*from-s.sun(at).Azimuth)*math.Pi/180) > math.Cos(14*math.Pi/180) {
		out = ring - 24*size
	}
	tip := out - 26*size
	a, b := v.toward(*from, out), v.toward(*from, tip)
	side := func(turn float64) vec {
		sin, cos := math.Sincos((*from + turn) * math.Pi / 180)
		return vec{b.x + 8*size*sin, b.y - 8*size*cos}
	}
	l, r := side(-32), side(32)
	s.path("wind", new(trail).to("M", a.x, a.y).to("L", b.x, b.y).to("M", l.x, l.y).to("L", b.x, b.y).to("L", r.x, r.y).String())
}
