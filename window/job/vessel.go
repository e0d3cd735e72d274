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
	lengthFt  float64 // 0: written in metres
	bow       float64
	hasBow    bool
	swinging  bool
	afloat    bool
	inside    string
	lacks     []mention // zones of the kind that she does not have
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
	v.lengthM, v.lengthFt = s.length()
	deg, swings, ok := s.bow("bow", true)
	v.bow, v.swinging, v.hasBow = deg, swings, ok && !swings
	if afloat, ok := s.flag("afloat"); ok {
		v.afloat = afloat
	}
	if i, ok := s.choice("inside", insideWords); ok {
		v.inside = insideWords[i]
	}
	for _, n := range s.each("lacks") {
		if name, ok := s.textOf(n, "lacks"); ok {
			v.lacks = append(v.lacks, mention{pos: n.pos, name: name})
		}
	}
	if s.has("lacks") && !v.kindGiven {
		s.fail(s.at("lacks"), "`lacks` needs a kind, whose zones she does not have", "delete it")
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

// length reads length_m, length_ft or a length with its unit, in metres, and in
// feet if that is what it is written in.
func (s *section) length() (metres, feet float64) {
	m, ok := s.metresOrFeet("length", minLengthM, maxLengthM)
	ft := 0.0
	if ok && !s.has("length_m") {
		ft = inFeet(m)
	}
	n := s.take("length")
	if n == nil {
		return m, ft
	}
	s.once("length_m", "length")
	s.once("length_ft", "length")
	if n.shape != scalar {
		s.wrongShape(n, "length", "write it like 13m or 43ft")
		return m, ft
	}
	v, vft, err := ParseLengthAs(n.text)
	var wrong Error
	if errors.As(err, &wrong) {
		s.fail(n.pos, wrong.Message, wrong.Fix)
		return m, ft
	}
	if ok {
		return m, ft
	}
	return v, vft
}

// inFeet is a length in feet, without the dust of its way through metres.
func inFeet(m float64) float64 { return math.Round(m/feetToMetres*1e6) / 1e6 }

var lengthForm = regexp.MustCompile(`^(\d+(?:\.\d+)?)\s*(m|ft|')$`)

// ParseLength reads a length with its unit, 13m or 43ft, in metres, from 2 to
// 150 m. Its error is an Error without a place.
func ParseLength(text string) (float64, error) {
	metres, _, err := ParseLengthAs(text)
	return metres, err
}

// ParseLengthAs is ParseLength and, of a length given in feet, its feet; else 0.
func ParseLengthAs(text string) (metres, feet float64, err error) {
	m := lengthForm.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, 0, Error{Message: fmt.Sprintf("no length: %q", text), Fix: "write it with its unit, 13m or 43ft"}
	}
	v, _ := parseNumber(m[1])
	if m[2] != "m" {
		feet = v
		v *= feetToMetres
	}
	if v < minLengthM || v > maxLengthM {
		return 0, 0, Error{Message: fmt.Sprintf("a length of %s is out of range", text), Fix: "give 2 to 150 m"}
	}
	return v, feet, nil
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
