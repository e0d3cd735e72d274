// Package jobedit changes single values of a job file and leaves the rest of its
// text, comments and order as the person wrote them.
//
// It edits the text by the places that the parser tells, and knows the shapes in
// which job files are written: mappings in blocks or braces, lists with dashes or in
// brackets. What it cannot place safely it refuses, with [ErrByHand]; it never
// guesses. Whether the changed file is a good job is for job.Parse to say.
package jobedit

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// ErrByHand is a change that has to be made in the text.
var ErrByHand = errors.New("this place of the file is written in a way that only a hand can change")

// ErrNoStep is a step that the file does not have.
var ErrNoStep = errors.New("the job has no step")

// Value is what a key is to hold, as YAML on one line.
type Value string

// plain is a text that YAML takes as it stands.
var plain = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*( [A-Za-z0-9_-]+)*$`)

// reserved are words that YAML, in one version or another, takes for something else.
var reserved = []string{"true", "false", "null", "yes", "no", "on", "off", "y", "n"}

// Text is a text as a value, quoted where it must be.
func Text(s string) Value {
	if plain.MatchString(s) && !slices.Contains(reserved, strings.ToLower(s)) {
		return Value(s)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b) // a JSON text is a YAML text
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil { // a string always encodes
		return `""`
	}
	return Value(strings.TrimSuffix(b.String(), "\n"))
}

// List is a list of texts as a value.
func List(items []string) Value {
	parts := make([]string, len(items))
	for i, s := range items {
		parts[i] = string(Text(s))
	}
	return Value("[" + strings.Join(parts, ", ") + "]")
}

// Change gives a key a value.
type Change struct {
	Key string
	To  Value
}

// Zone changes keys of the zone of a name. A zone that the file does not list, as
// those of a preset, is added to its zones.
func Zone(text []byte, name string, changes []Change) ([]byte, error) {
	for _, c := range changes {
		f, err := read(text)
		if err != nil {
			return nil, err
		}
		out, err := f.zone(name, c)
		was, is := zonePlaces(text, name, c.Key)
		if text, err = safely(text, out, err, was, is); err != nil {
			return nil, err
		}
	}
	return text, nil
}

// Step changes keys of the step with an index in the list of steps, from 0.
func Step(text []byte, index int, changes []Change) ([]byte, error) {
	for _, c := range changes {
		f, items, err := steps(text)
		if err != nil {
			return nil, err
		}
		if index < 0 || index >= len(items.Values) {
			return nil, fmt.Errorf("%w %d", ErrNoStep, index+1)
		}
		out, err := f.set(items.Values[index], c)
		if text, err = safely(text, out, err, place{"steps", index, c.Key}, place{"steps", index, c.Key}); err != nil {
			return nil, err
		}
	}
	return text, nil
}

// Top changes keys of the file itself. A key that is to hold nothing is taken out with
// its line; a new one comes behind all others.
func Top(text []byte, changes []Change) ([]byte, error) {
	for _, c := range changes {
		f, err := read(text)
		if err != nil {
			return nil, err
		}
		out, err := f.top(c)
		if text, err = safely(text, out, err, place{c.Key}, place{c.Key}); err != nil {
			return nil, err
		}
	}
	return text, nil
}

func (f *file) top(c Change) ([]byte, error) {
	i := slices.IndexFunc(f.root.Values, func(v *ast.MappingValueNode) bool { return v.Key.GetToken().Value == c.Key })
	switch {
	case i < 0 && c.To == "":
		return f.join(f.lines), nil
	case i < 0:
		if len(f.root.Values) == 0 {
			return nil, ErrByHand
		}
		last := f.root.Values[len(f.root.Values)-1]
		if _, folded := last.Value.(*ast.LiteralNode); folded { // whose blank lines are part of it
			return nil, ErrByHand
		}
		return f.insertLine(f.lastLine(last.Value), f.indent()+c.Key+": "+string(c.To)), nil
	case c.To != "":
		return f.replace(f.root.Values[i].Value, c.To)
	}
	v := f.root.Values[i]
	if at := v.Key.GetToken().Position.Line; firstLine(v.Value) == at && f.lastLine(v.Value) == at && len(f.root.Values) > 1 {
		return f.join(slices.Delete(slices.Clone(f.lines), at-1, at)), nil
	}
	return nil, ErrByHand
}

// indent is how far the keys of the file itself are set in.
func (f *file) indent() string {
	if len(f.root.Values) == 0 {
		return ""
	}
	return strings.Repeat(" ", f.root.Values[0].Key.GetToken().Position.Column-1)
}

// number and day are values that YAML takes as they stand too.
var (
	number = regexp.MustCompile(`^-?\d+(\.\d+)?$`)
	day    = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)
)

// Scalar is a number or a day as a value as it stands, any other text as Text has it:
// whether it is a good one is for job.Parse to say.
func Scalar(s string) Value {
	if number.MatchString(s) || day.MatchString(s) {
		return Value(s)
	}
	return Text(s)
}

// AddStep puts a step behind the last one.
func AddStep(text []byte, keys []Change) ([]byte, error) {
	f, items, err := steps(text)
	if err != nil {
		return nil, err
	}
	if items.IsFlowStyle || len(items.Values) == 0 {
		return nil, ErrByHand
	}
	line := strings.Repeat(" ", items.Start.Position.Column-1) + "- " + braces(keys)
	out := f.insertLine(f.lastLine(items.Values[len(items.Values)-1]), line)
	return safely(text, out, nil, nil, place{"steps", len(items.Values)})
}

// RemoveStep takes the step with an index out, with its lines.
func RemoveStep(text []byte, index int) ([]byte, error) {
	f, items, err := steps(text)
	if err != nil {
		return nil, err
	}
	switch {
	case index < 0 || index >= len(items.Values):
		return nil, fmt.Errorf("%w %d", ErrNoStep, index+1)
	case items.IsFlowStyle || len(items.Values) == 1:
		return nil, ErrByHand
	}
	from, to := firstLine(items.Values[index]), f.lastLine(items.Values[index])
	if from == items.Start.Position.Line && index > 0 { // two entries on a line
		return nil, ErrByHand
	}
	return safely(text, f.join(slices.Delete(slices.Clone(f.lines), from-1, to)), nil, place{"steps", index}, nil)
}

func braces(keys []Change) string {
	parts := make([]string, len(keys))
	for i, k := range keys {
		parts[i] = k.Key + ": " + string(k.To)
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// file is a job file by its lines, and what it holds.
type file struct {
	lines []string // without their ends
	end   string   // of a line
	root  *ast.MappingNode
}

func read(text []byte) (f *file, err error) {
	defer func() {
		if recover() != nil { // the parser is another's
			f, err = nil, ErrByHand
		}
	}()
	// The parser loses count of lines that end in two characters, so it sees none.
	tree, err := parser.ParseBytes(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), 0, parser.AllowDuplicateMapKey())
	if err != nil || len(tree.Docs) != 1 {
		return nil, ErrByHand
	}
	root, ok := tree.Docs[0].Body.(*ast.MappingNode)
	if !ok || root.IsFlowStyle {
		return nil, ErrByHand
	}
	f = &file{root: root, end: "\n"}
	s := string(text)
	if strings.Contains(s, "\r\n") {
		f.end = "\r\n"
	}
	f.lines = strings.Split(strings.TrimSuffix(s, f.end), f.end)
	if strings.ContainsAny(strings.Join(f.lines, ""), "\r\n") {
		return nil, ErrByHand // line ends of two kinds
	}
	return f, nil
}

func (f *file) join(lines []string) []byte { return []byte(strings.Join(lines, f.end) + f.end) }

// insertLine puts a line behind the line with a number.
func (f *file) insertLine(after int, line string) []byte {
	return f.join(slices.Insert(slices.Clone(f.lines), after, line))
}

// get is the value of a key of a mapping, nil where it has none.
func get(m *ast.MappingNode, key string) ast.Node {
	for _, v := range m.Values {
		if v.Key.GetToken().Value == key {
			return v.Value
		}
	}
	return nil
}

// steps is a text and its list of steps.
func steps(text []byte) (*file, *ast.SequenceNode, error) {
	f, err := read(text)
	if err != nil {
		return nil, nil, err
	}
	list, ok := get(f.root, "steps").(*ast.SequenceNode)
	if !ok {
		return nil, nil, ErrByHand
	}
	return f, list, nil
}

func (f *file) zone(name string, c Change) ([]byte, error) {
	line := "- " + braces([]Change{{"name", Text(name)}, c})
	zones := get(f.root, "zones")
	if _, empty := zones.(*ast.NullNode); zones == nil || empty {
		if zones != nil {
			return nil, ErrByHand
		}
		indent := f.indent()
		return f.join(append(slices.Clone(f.lines), indent+"zones:", indent+"  "+line)), nil
	}
	items, ok := zones.(*ast.SequenceNode)
	if !ok {
		return nil, ErrByHand
	}
	for _, item := range items.Values {
		if m, ok := item.(*ast.MappingNode); ok {
			if n := get(m, "name"); n != nil && strings.TrimSpace(n.GetToken().Value) == name {
				return f.set(item, c)
			}
		}
	}
	if items.IsFlowStyle || len(items.Values) == 0 {
		return nil, ErrByHand
	}
	indent := strings.Repeat(" ", items.Start.Position.Column-1)
	return f.insertLine(f.lastLine(items.Values[len(items.Values)-1]), indent+line), nil
}

// set gives a key of one mapping a value: in place of the old one, or as a new key.
func (f *file) set(n ast.Node, c Change) ([]byte, error) {
	m, ok := n.(*ast.MappingNode)
	if !ok || len(m.Values) == 0 {
		return nil, ErrByHand
	}
	if old := get(m, c.Key); old != nil {
		return f.replace(old, c.To)
	}
	if m.IsFlowStyle {
		if !f.stands(m.End.Position, "}") {
			return nil, ErrByHand
		}
		return f.splice(m.End.Position, 0, ", "+c.Key+": "+string(c.To))
	}
	firstKey := m.Values[0].Key.GetToken().Position
	if f.lastLine(m.Values[0].Value) != firstKey.Line {
		return nil, ErrByHand
	}
	return f.insertLine(firstKey.Line, strings.Repeat(" ", firstKey.Column-1)+c.Key+": "+string(c.To)), nil
}

// replace puts a value in place of another that stands on one line.
func (f *file) replace(old ast.Node, to Value) ([]byte, error) {
	switch v := old.(type) {
	case *ast.SequenceNode:
		if !v.IsFlowStyle || v.Start.Position.Line != v.End.Position.Line {
			return nil, ErrByHand
		}
		if !f.stands(v.Start.Position, "[") || !f.stands(v.End.Position, "]") {
			return nil, ErrByHand
		}
		return f.splice(v.Start.Position, v.End.Position.Column+1-v.Start.Position.Column, string(to))
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		t := old.GetToken()
		if !f.stands(t.Position, strings.TrimSpace(t.Origin)) {
			return nil, ErrByHand
		}
		return f.splice(t.Position, f.width(t), string(to))
	}
	return nil, ErrByHand
}

// width is how many characters of its line a scalar takes up.
func (f *file) width(t *token.Token) int {
	written := strings.TrimSpace(t.Origin)
	if strings.Contains(written, "\n") {
		return -1
	}
	return len([]rune(written))
}

// stands reports whether a text stands where the parser says: its places are another's,
// and no other text is ever to be overwritten.
func (f *file) stands(at *token.Position, text string) bool {
	if at.Line < 1 || at.Line > len(f.lines) {
		return false
	}
	line := []rune(f.lines[at.Line-1])
	return at.Column >= 1 && at.Column <= len(line) && strings.HasPrefix(string(line[at.Column-1:]), text)
}

// splice puts a text in place of so many characters at a place, which has to lie on the
// line.
func (f *file) splice(at *token.Position, width int, text string) ([]byte, error) {
	if at.Line < 1 || at.Line > len(f.lines) || width < 0 {
		return nil, ErrByHand
	}
	line := []rune(f.lines[at.Line-1])
	from := at.Column - 1
	if from < 0 || from+width > len(line) {
		return nil, ErrByHand
	}
	lines := slices.Clone(f.lines)
	lines[at.Line-1] = string(line[:from]) + text + string(line[from+width:])
	return f.join(lines), nil
}

// lines walks over a value for its first and its last line.
type extent struct{ first, last int }

// Visit takes a node in.
func (e *extent) Visit(n ast.Node) ast.Visitor {
	if t := n.GetToken(); t != nil && t.Position != nil {
		e.take(t)
	}
	switch v := n.(type) {
	case *ast.MappingNode:
		if v.IsFlowStyle && v.End != nil {
			e.take(v.End)
		}
	case *ast.SequenceNode:
		if v.IsFlowStyle && v.End != nil {
			e.take(v.End)
		}
	case *ast.CommentGroupNode:
		return nil
	}
	return e
}

func (e *extent) take(t *token.Token) {
	at := t.Position.Line
	if e.first == 0 || at < e.first {
		e.first = at
	}
	e.last = max(e.last, at+strings.Count(strings.TrimSpace(t.Origin), "\n"))
}

func extentOf(n ast.Node) extent {
	var e extent
	ast.Walk(&e, n)
	return e
}

func firstLine(n ast.Node) int { return extentOf(n).first }

func (f *file) lastLine(n ast.Node) int { return min(extentOf(n).last, len(f.lines)) }
