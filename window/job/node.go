package job

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// What a job file may be at most. A job is a page or two; the bounds keep a
// file that is none from taking the parser's time, which grows as the square
// of the nesting, and of the keys in one place. Readings are many and have few
// keys each.
const (
	maxBytes          = 256 << 10
	maxNesting        = 64
	maxEntries        = 5000
	maxReadingEntries = 20000
)

// pos is a place in the file, counted from 1.
type pos struct{ line, column int }

type shape uint8

const (
	scalar shape = iota
	mapping
	list
	nothing // no value written
	broken  // reported already: says no more
)

// node is a value of the file with its place: the part of YAML that a job file
// may use, without anchors, aliases and tags.
type node struct {
	pos
	shape  shape
	text   string // of a scalar, unquoted
	quoted bool
	pairs  []pair
	items  []*node
}

type pair struct {
	pos // of the key
	key string
	val *node
}

// get is the value of a key, nil when the mapping has none.
func (n *node) get(key string) *node {
	for _, p := range n.pairs {
		if p.key == key {
			return p.val
		}
	}
	return nil
}

// readYAML turns bytes into nodes. It reports what is not YAML, or not the
// part of it that is read here, to r and gives nil then.
func (r *reader) readYAML(data []byte) (root *node) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !r.readable(data) {
		return nil
	}
	// The parser is another's: what it does on hostile bytes must not end the
	// program of somebody who only opened a broken file.
	defer func() {
		if recover() != nil {
			r.fail(pos{}, "this is not a YAML file that can be read", r.words("compare it with the one that dewgap new writes", "write readings like "+readingExample))
			root = nil
		}
	}()
	file, err := parser.ParseBytes(data, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.syntax(err)
		return nil
	}
	return r.document(file)
}

func (r *reader) readable(data []byte) bool {
	most, many := maxEntries, "give a job file of a page or two"
	if r.readings {
		most, many = maxReadingEntries, "keep the readings of one job in a file"
	}
	switch {
	case len(data) > maxBytes:
		r.fail(pos{}, fmt.Sprintf("the file is larger than %d KiB", maxBytes>>10), many)
	case bytes.IndexByte(data, 0) >= 0:
		r.fail(pos{}, "the file is not text", "save it as UTF-8")
	case !utf8.Valid(data):
		r.fail(firstInvalid(data), "a byte here is no UTF-8", "save the file as UTF-8")
	case Nesting(data) > maxNesting:
		r.fail(pos{}, fmt.Sprintf("the file is nested more than %d deep", maxNesting), "close the brackets")
	case entries(data) > most:
		r.fail(pos{}, fmt.Sprintf("the file has more than %d keys and list items", most), many)
	default:
		return true
	}
	return false
}

// entries is about how many keys and list items a YAML text has at most, in comments and
// quotes too: the signs that could begin one, or the commas that part them, whichever are
// more. Colons and dashes within a word or a time begin none.
func entries(data []byte) int {
	signs := 0
	for i, c := range data {
		switch c {
		case '?':
			signs++
		case ':', '-':
			if i == 0 || i+1 == len(data) || !inWord(data[i-1]) || !inWord(data[i+1]) {
				signs++
			}
		}
	}
	return max(signs, bytes.Count(data, []byte(",")))
}

func inWord(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' || c >= '0' && c <= '9' }

// firstInvalid is the place of the first byte that is no UTF-8.
func firstInvalid(data []byte) pos {
	p := pos{1, 1}
	for len(data) > 0 {
		c, n := utf8.DecodeRune(data)
		if c == utf8.RuneError && n == 1 {
			break
		}
		if p.column++; c == '\n' {
			p = pos{p.line + 1, 1}
		}
		data = data[n:]
	}
	return p
}

// Nesting is an upper bound of how deep brackets of a YAML text, and dashes in one line,
// are nested, for a parser takes the square of that in time. Brackets inside quotes and
// comments count too.
func Nesting(data []byte) int {
	deepest, open, dashes := 0, 0, 0
	for i, c := range data {
		switch c {
		case '[', '{':
			open++
		case ']', '}':
			open = max(open-1, 0)
		case '\n':
			dashes = 0
		case '-', '?', ':':
			if i+1 < len(data) && (data[i+1] == ' ' || data[i+1] == '\t') {
				dashes++
			}
		}
		deepest = max(deepest, open, dashes)
	}
	return deepest
}

func (r *reader) syntax(err error) {
	var syn *yaml.SyntaxError
	if errors.As(err, &syn) && syn.Token != nil {
		r.fail(at(syn.Token), "not YAML here: "+strings.ToLower(syn.Message),
			"indent with spaces, put a space after each colon, and quote text that holds a colon")
		return
	}
	r.fail(pos{}, "not YAML: "+err.Error(), "")
}

func (r *reader) document(file *ast.File) *node {
	var bodies []ast.Node
	for _, d := range file.Docs {
		if d.Body != nil {
			bodies = append(bodies, d.Body)
		}
	}
	switch len(bodies) {
	case 0:
		r.fail(pos{1, 1}, "the file is empty", r.words("dewgap new writes one to start from", "write a reading like "+readingExample))
		return nil
	case 1:
		return r.convert(bodies[0])
	}
	r.fail(at(bodies[1].GetToken()), "a second document begins here", r.words("keep one job in one file", "keep all readings in one list"))
	return nil
}

// convert takes over a value of the parser's tree.
func (r *reader) convert(n ast.Node) *node {
	switch v := n.(type) {
	case *ast.MappingNode:
		return r.mapping(v)
	case *ast.SequenceNode:
		out := &node{pos: at(v.GetToken()), shape: list}
		for _, item := range v.Values {
			out.items = append(out.items, r.convert(item))
		}
		return out
	case *ast.LiteralNode:
		return &node{pos: at(v.GetToken()), text: strings.TrimSpace(v.Value.Value), quoted: true}
	case *ast.NullNode:
		return &node{pos: at(v.GetToken()), shape: nothing}
	case *ast.StringNode:
		return &node{pos: at(v.GetToken()), text: v.Value, quoted: isQuoted(v.GetToken())}
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return &node{pos: at(n.GetToken()), text: n.GetToken().Value}
	}
	return r.foreign(n)
}

// foreign reports what YAML has and a job file does not need.
func (r *reader) foreign(n ast.Node) *node {
	p := pos{1, 1}
	if n != nil {
		p = at(n.GetToken())
	}
	r.fail(p, "anchors, aliases and tags are not read in a "+r.words("job", "readings")+" file", "write the value out")
	return &node{pos: p, shape: broken}
}

func (r *reader) mapping(m *ast.MappingNode) *node {
	out := &node{pos: at(m.GetToken()), shape: mapping}
	seen := map[string]pos{}
	for _, v := range m.Values {
		p, key := at(v.Key.GetToken()), keyText(v.Key)
		if first, twice := seen[key]; twice {
			r.fail(p, fmt.Sprintf("`%s` stands here a second time", key), fmt.Sprintf("keep one; the first is in line %d", first.line))
			continue
		}
		seen[key] = p
		out.pairs = append(out.pairs, pair{p, key, r.convert(v.Value)})
	}
	if !m.IsFlowStyle && len(out.pairs) > 0 {
		out.pos = out.pairs[0].pos // the parser's own place is that of the first colon
	}
	return out
}

func keyText(k ast.MapKeyNode) string {
	if s, ok := k.(*ast.StringNode); ok {
		return s.Value
	}
	return k.GetToken().Value
}

func isQuoted(t *token.Token) bool {
	return t.Type == token.SingleQuoteType || t.Type == token.DoubleQuoteType
}

func at(t *token.Token) pos {
	if t == nil || t.Position == nil {
		return pos{1, 1}
	}
	return pos{t.Position.Line, max(t.Position.Column, 1)}
}
