package job

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// reader reads one file and gathers all that is wrong with it, so that a
// person mends it in one go.
type reader struct {
	file     string
	errs     Errors
	warnings []string
	past     []Past
	loc      *time.Location // nil: not known yet
	needLoc  bool           // a time without an offset was met while loc was nil
	readings bool           // the file is one of readings, not a job
}

// words picks what a message says of a job file, or of a readings file.
func (r *reader) words(ofJob, ofReadings string) string {
	if r.readings {
		return ofReadings
	}
	return ofJob
}

func (r *reader) fail(p pos, message, fix string) {
	r.errs = append(r.errs, Error{r.file, p.line, p.column, message, fix})
}

func (r *reader) warn(p pos, text string) {
	w := Error{File: r.file, Line: p.line, Column: p.column, Message: text}.Error()
	if !slices.Contains(r.warnings, w) {
		r.warnings = append(r.warnings, w)
	}
}

// section reads the keys of one mapping. Every key that is asked for is a
// known one; done reports the others.
type section struct {
	*reader
	n      *node
	asked  []string
	absent []need
}

// need is a key that must be there and is not.
type need struct{ key, fix string }

// section begins to read n, which must be a mapping; ok is false, and the
// mistake reported, when it is not.
func (r *reader) section(n *node, label string) (s *section, ok bool) {
	if n.shape != mapping {
		r.wrongShape(n, label, "give its keys, one to a line, indented below it")
		return nil, false
	}
	return &section{reader: r, n: n}, true
}

func (r *reader) wrongShape(n *node, label, fix string) {
	switch n.shape {
	case broken:
	case nothing:
		r.fail(n.pos, fmt.Sprintf("`%s` has no value", label), "fill it in or delete the line")
	case scalar:
		r.fail(n.pos, fmt.Sprintf("`%s` cannot be `%s`", label, n.text), fix)
	case list:
		r.fail(n.pos, fmt.Sprintf("`%s` cannot be a list", label), fix)
	default:
		r.fail(n.pos, fmt.Sprintf("`%s` cannot have keys of its own", label), fix)
	}
}

// take gives the value of a key, nil when the key is absent or has no value,
// which is a mistake of its own.
func (s *section) take(key string) *node {
	s.asked = append(s.asked, key)
	for _, p := range s.n.pairs {
		if p.key != key {
			continue
		}
		if p.val.shape == nothing {
			s.fail(p.pos, fmt.Sprintf("`%s` has no value", key), "fill it in or delete the line")
			return nil
		}
		if p.val.shape == broken {
			return nil
		}
		return p.val
	}
	return nil
}

// at is where the value of a key stands, or the section when it is absent.
func (s *section) at(key string) pos {
	for _, p := range s.n.pairs {
		if p.key == key {
			return p.val.pos
		}
	}
	return s.n.pos
}

// has reports whether the key was written at all.
func (s *section) has(key string) bool { return s.n.get(key) != nil }

// missing notes a key that must be there; done reports it, unless a misspelt
// one was meant to be it.
func (s *section) missing(key, fix string) {
	if !s.has(key) {
		s.absent = append(s.absent, need{key, fix})
	}
}

// homes tells where keys belong that are often written one level off.
var homes = map[string]string{
	"latitude": "place", "longitude": "place", "timezone": "place", "machines": "place", "wind": "place", "water": "place",
	"kind": "boat", "bow": "boat", "length_m": "boat", "length_ft": "boat", "afloat": "boat", "inside": "boat", "lacks": "boat",
	"hours": "the file itself", "people": "the file itself", "polishers": "the file itself", "crew": "the file itself", "from": "the file itself", "by": "the file itself",
	"berths": "the file itself", "covers": "the file itself", "since": "the file itself", "must": "the file itself",
	"faces": "a zone", "tilt": "a zone", "finish": "a zone", "shelter": "a zone", "shade": "a zone", "reach": "a zone",
	"products": "a file of its own", "coats": "a step", "with": "a step", "clock": "a step",
}

// done reports the keys that nobody asked for, and those that are missing.
func (s *section) done() {
	meant := map[string]bool{}
	for _, p := range s.n.pairs {
		if slices.Contains(s.asked, p.key) {
			continue
		}
		meant[s.near(p.key)] = true
		s.fail(p.pos, fmt.Sprintf("unknown key `%s`", p.key), s.meant(p.key))
	}
	for _, a := range s.absent {
		if !meant[a.key] {
			s.fail(s.n.pos, fmt.Sprintf("`%s` is missing", a.key), a.fix)
		}
	}
}

// otherWords are keys as somebody writes them who has not seen the file.
var otherWords = map[string]string{
	"heading": "bow", "type": "kind", "colour": "finish", "color": "finish", "persons": "people",
	"product": "with", "zone": "on", "zones": "on",
}

// near is the key that an unknown one is probably meant for, "" where there is none.
func (s *section) near(key string) string {
	if word := otherWords[key]; slices.Contains(s.asked, word) {
		return word
	}
	return Nearest(key, s.asked)
}

func (s *section) meant(key string) string {
	if near := s.near(key); near != "" {
		return fmt.Sprintf("did you mean `%s`?", near)
	}
	if _, number := parseNumber(key); number {
		return "write a decimal number with a point, such as 1.5"
	}
	if home := homes[key]; home != "" && !s.readings {
		return "it belongs to " + home
	}
	return "known here are " + strings.Join(s.asked, ", ")
}

// text reads a line of text; a number or true is text too.
func (s *section) text(key string) (string, bool) {
	n := s.take(key)
	if n == nil {
		return "", false
	}
	return s.textOf(n, key)
}

func (r *reader) textOf(n *node, label string) (string, bool) {
	text := strings.Join(strings.Fields(n.text), " ")
	if n.shape != scalar {
		r.wrongShape(n, label, "write one line of text")
		return "", false
	}
	if text == "" {
		r.fail(n.pos, fmt.Sprintf("`%s` is empty", label), "fill it in or delete the line")
		return "", false
	}
	return text, true
}

// span is the range in which a number must lie, both ends included.
type span struct {
	lo, hi float64
	what   string // what the number counts, for the remedy
}

// number reads a number within a span.
func (s *section) number(key string, in span) (float64, bool) {
	n := s.take(key)
	if n == nil {
		return 0, false
	}
	return s.numberOf(n, key, in)
}

func (r *reader) numberOf(n *node, label string, in span) (float64, bool) {
	fix := fmt.Sprintf("give %s from %.4g to %.4g", in.what, in.lo, in.hi)
	if n.shape != scalar {
		r.wrongShape(n, label, fix)
		return 0, false
	}
	v, ok := parseNumber(n.text)
	switch {
	case ok && n.quoted:
		r.fail(n.pos, fmt.Sprintf("`%s` is text, not a number", label), "write it without the quotes")
	case !ok:
		r.fail(n.pos, fmt.Sprintf("`%s` is not a number: %s", label, n.text), fix)
	case v < in.lo || v > in.hi:
		r.fail(n.pos, fmt.Sprintf("`%s` %s is out of range", label, n.text), fix)
	default:
		return v, true
	}
	return 0, false
}

// parseNumber reads a plain decimal number: no hexadecimal, no underscore, no
// infinity.
func parseNumber(text string) (float64, bool) {
	if strings.Trim(text, "0123456789+-.eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

// whole reads a whole number within a span.
func (s *section) whole(key string, in span) (int, bool) {
	n := s.take(key)
	if n == nil {
		return 0, false
	}
	return s.wholeOf(n, key, in)
}

func (r *reader) wholeOf(n *node, label string, in span) (int, bool) {
	v, ok := r.numberOf(n, label, in)
	if ok && v != float64(int(v)) {
		r.fail(n.pos, fmt.Sprintf("`%s` %s is not a whole number", label, n.text), fmt.Sprintf("give %s as a whole number from %.4g to %.4g", in.what, in.lo, in.hi))
		return 0, false
	}
	return int(v), ok
}

// flag reads true or false.
func (s *section) flag(key string) (value, ok bool) {
	n := s.take(key)
	if n == nil {
		return false, false
	}
	if n.shape != scalar {
		s.wrongShape(n, key, "write true or false")
		return false, false
	}
	switch n.text {
	case "true", "false":
		if !n.quoted {
			return n.text == "true", true
		}
		s.fail(n.pos, fmt.Sprintf("`%s` is text, not true or false", key), "write it without the quotes")
		return false, false
	}
	s.fail(n.pos, fmt.Sprintf("`%s` is neither true nor false: %s", key, n.text), boolRemark(n.text))
	return false, false
}

func boolRemark(text string) string {
	switch strings.ToLower(text) {
	case "yes", "on", "y":
		return "write true; YAML 1.2 takes yes and on for plain words"
	case "no", "off", "n":
		return "write false; YAML 1.2 takes no and off for plain words"
	}
	return "write true or false"
}

// choice reads one of some words and gives its index among them.
func (s *section) choice(key string, words []string) (int, bool) {
	n := s.take(key)
	if n == nil {
		return 0, false
	}
	return s.choiceOf(n, key, words)
}

func (r *reader) choiceOf(n *node, label string, words []string) (int, bool) {
	fix := "use one of " + strings.Join(words, ", ")
	if n.shape != scalar {
		r.wrongShape(n, label, fix)
		return 0, false
	}
	for i, w := range words {
		if n.text == w {
			return i, true
		}
	}
	r.fail(n.pos, fmt.Sprintf("unknown %s `%s`", label, n.text), cmp.Or(likely(n.text, words), fix))
	return 0, false
}

// each gives the items of a list, or the value itself where one was written
// without a list.
func (s *section) each(key string) []*node {
	n := s.take(key)
	if n == nil {
		return nil
	}
	if n.shape != list {
		return []*node{n}
	}
	if len(n.items) == 0 {
		s.fail(n.pos, fmt.Sprintf("`%s` is an empty list", key), "fill it in or delete the line")
	}
	var items []*node
	for _, item := range n.items {
		if item.shape == nothing {
			s.fail(item.pos, fmt.Sprintf("`%s` has an empty item", key), "fill it in or delete the dash")
		} else if item.shape != broken {
			items = append(items, item)
		}
	}
	return items
}
