package job

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"

	"dewgap/window/boat"
)

// Least and greatest length overall of a boat, metres.
const (
	minLengthM = 2
	maxLengthM = 150
)

var insideWords = []string{"ambient", "cooled", "heated"}

// vessel is what the section boat says.
type vessel struct {
	at        pos
	name      string
	kind      string // "" where none was given, or it cannot be used
	kindGiven bool
	lengthM   float64
	bow       float64
	hasBow    bool
	swinging  bool
	afloat    bool
	inside    string
}

// vessel reads the section boat; n is nil when there is none.
func (r *reader) vessel(n *node, root pos) vessel {
	v := vessel{at: root, afloat: true, inside: insideWords[0]}
	if n == nil {
		return v
	}
	v.at = n.pos
	s, ok := r.section(n, "boat")
	if !ok {
		return v
	}
	v.name, _ = s.text("name")
	v.kindGiven = s.has("kind")
	if i, ok := s.choice("kind", boat.Kinds()); ok {
		v.kind = boat.Kinds()[i]
	}
	v.lengthM = s.length()
	deg, swings, ok := s.bow("bow", true)
	v.bow, v.swinging, v.hasBow = deg, swings, ok && !swings
	if afloat, ok := s.flag("afloat"); ok {
		v.afloat = afloat
	}
	if i, ok := s.choice("inside", insideWords); ok {
		v.inside = insideWords[i]
	}
	s.presetLength(&v)
	s.done()
	return v
}

// presetLength checks that a preset can be scaled, and drops the kind if not.
func (s *section) presetLength(v *vessel) {
	if v.kind == "" {
		return
	}
	if v.lengthM == 0 {
		if !s.has("length_m") && !s.has("length_ft") && !s.has("length") {
			s.fail(s.at("kind"), "`length_m` is missing: the zones of the kind are scaled by it", "write length_m: 13, or length_ft: 43")
		}
		v.kind = ""
		return
	}
	if v.lengthM < boat.MinLengthM || v.lengthM > boat.MaxLengthM {
		s.fail(s.at("kind"), fmt.Sprintf("the kinds cover boats of %d to %d m", boat.MinLengthM, boat.MaxLengthM),
			"leave out `kind` and list the zones")
		v.kind = ""
	}
}

// length reads length_m, length_ft or a length with its unit, in metres.
func (s *section) length() float64 {
	m, ok := s.metresOrFeet("length", minLengthM, maxLengthM)
	n := s.take("length")
	if n == nil {
		return m
	}
	s.once("length_m", "length")
	s.once("length_ft", "length")
	if n.shape != scalar {
		s.wrongShape(n, "length", "write it like 13m or 43ft")
		return m
	}
	v, err := ParseLength(n.text)
	var wrong Error
	if errors.As(err, &wrong) {
		s.fail(n.pos, wrong.Message, wrong.Fix)
		return m
	}
	if ok {
		return m
	}
	return v
}

var lengthForm = regexp.MustCompile(`^(\d+(?:\.\d+)?)\s*(m|ft|')$`)

// ParseLength reads a length with its unit, 13m or 43ft, in metres, from 2 to
// 150 m. Its error is an Error without a place.
func ParseLength(text string) (float64, error) {
	m := lengthForm.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, Error{Message: fmt.Sprintf("no length: %q", text), Fix: "write it with its unit, 13m or 43ft"}
	}
	v, _ := parseNumber(m[1])
	if m[2] != "m" {
		v *= feetToMetres
	}
	if v < minLengthM || v > maxLengthM {
		return 0, Error{Message: fmt.Sprintf("a length of %s is out of range", text), Fix: "give 2 to 150 m"}
	}
	return v, nil
}

// ParseBow reads where the bow points from one word, as a flag gives it:
// degrees true or a compass point; swings for "swinging". An empty text is a
// bow that is not known: ok is false without an error.
func ParseBow(text string) (deg float64, swings, ok bool, err error) {
	text = strings.TrimSpace(text)
	if text == "" || text == "swinging" {
		return 0, text != "", false, nil
	}
	if deg, ok := parsePoint(text); ok {
		return deg, false, true, nil
	}
	if deg, ok := parseNumber(text); ok && deg >= 0 && deg <= 360 {
		return boat.Turn(deg), false, true, nil
	}
	return 0, false, false, fmt.Errorf("no bearing for the bow: %q: %s", text, bearingFix)
}

// ParseAt reads "latitude,longitude" in decimal degrees, south and west
// negative.
func ParseAt(text string) (latitude, longitude float64, err error) {
	lat, lon, found := strings.Cut(text, ",")
	latitude, ok1 := parseNumber(strings.TrimSpace(lat))
	longitude, ok2 := parseNumber(strings.TrimSpace(lon))
	if !found || !ok1 || !ok2 || math.Abs(latitude) > 90 || math.Abs(longitude) > 180 {
		return 0, 0, fmt.Errorf("no place: %q: write latitude,longitude in degrees, south and west negative, like 43.07,-70.74", text)
	}
	return latitude, longitude, nil
}

// berths reads how she lies in turn. The first is boat.bow, from the
// beginning.
func (s *section) berths(v vessel) []Berth {
	out := []Berth{{Bow: v.bow}}
	for _, n := range s.each("berths") {
		b, ok := s.berth(n)
		if !ok {
			continue
		}
		if !b.From.After(out[len(out)-1].From) {
			s.fail(n.pos, "this berth does not come after the one before it", "put the berths in the order of their times")
			continue
		}
		out = append(out, b)
	}
	if s.has("berths") && !v.hasBow {
		s.fail(s.at("berths"), "`berths` needs `boat.bow`: how she lies before the first of them", "write bow under boat")
	}
	if !v.hasBow {
		return nil
	}
	return out
}

func (r *reader) berth(n *node) (Berth, bool) {
	s, ok := r.section(n, "berths")
	if !ok {
		return Berth{}, false
	}
	from, ok1 := s.moment("from", dayBegins)
	s.missing("from", momentFix)
	bow, _, ok2 := s.bow("bow", false)
	s.missing("bow", bearingFix)
	s.done()
	return Berth{From: from, Bow: bow}, ok1 && ok2
}
