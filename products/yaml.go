package products

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	yaml "github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Bounds of a file that a person writes. The parser's time grows with the
// square of the nesting and of the keys in one mapping, so that both are
// refused before it is parsed.
const (
	maxBytes  = 1 << 20
	maxDepth  = 16 // brackets within brackets, or dashes in a row
	maxKeys   = 20000
	maxErrors = 20 // mistakes told at once
)

// spot is a place in a file, from 1.
type spot struct{ line, column int }

// reader collects the mistakes and the warnings of one file.
type reader struct {
	file     string
	errs     Errors
	more     int // mistakes beyond those in errs
	warnings []string
}

// fail notes a mistake; more than a person wants to read are only counted.
func (r *reader) fail(at spot, fix, format string, args ...any) {
	if len(r.errs) >= maxErrors {
		r.more++
		return
	}
	r.errs = append(r.errs, &Error{r.file, at.line, at.column, fmt.Sprintf(format, args...), fix})
}

// err is all mistakes so far, nil without any.
func (r *reader) err() error {
	if len(r.errs) == 0 {
		return nil
	}
	if r.more == 0 {
		return r.errs
	}
	last := *r.errs[len(r.errs)-1]
	last.Message, last.Fix = fmt.Sprintf("%d more mistakes from here on", r.more), "mend those above first"
	return append(r.errs[:len(r.errs):len(r.errs)], &last)
}

// parse reads a file into its one mapping; nil after a mistake, which is noted.
func (r *reader) parse(data []byte) (root ast.Node) {
	// The parser is someone else's; a fault of it must not end the program.
	defer func() {
		if recover() != nil {
			r.fail(spot{1, 1}, "simplify the file: plain keys, lists and values only", "the file cannot be read as YAML")
			root = nil
		}
	}()
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if !r.plainText(data) {
		return nil
	}
	tokens := lexer.Tokenize(string(data))
	if !r.plainYAML(tokens) {
		return nil
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.syntax(err)
		return nil
	}
	return r.onlyDocument(file)
}

// plainText refuses what is no text of a sensible size.
func (r *reader) plainText(data []byte) bool {
	if len(data) > maxBytes {
		r.fail(spot{1, 1}, "split it, or check that it is the right file", "the file has %d bytes, more than %d", len(data), maxBytes)
		return false
	}
	line, column := 1, 0
	for len(data) > 0 {
		c, size := utf8.DecodeRune(data)
		column++
		if c == utf8.RuneError && size == 1 {
			r.fail(spot{line, column}, "save the file as UTF-8", "the file is not UTF-8 text")
			return false
		}
		if control(c) {
			r.fail(spot{line, column}, "remove it", "control character U+%04X in the file", c)
			return false
		}
		data = data[size:]
		if c == '\n' || c == '\r' && !bytes.HasPrefix(data, []byte("\n")) {
			line, column = line+1, 0
		}
	}
	return true
}

// control reports a character that no text file needs and no screen should get.
func control(c rune) bool {
	return c < 0x20 && c != '\n' && c != '\r' && c != '\t' || c >= 0x7f && c <= 0x9f
}

// plainYAML refuses the parts of YAML that a products file has no use for, and
// nesting without end.
func (r *reader) plainYAML(tokens token.Tokens) bool {
	depth, dashes, pairs := 0, 0, 0
	for _, t := range tokens {
		at := spot{t.Position.Line, t.Position.Column}
		if fix, ok := unused(t.Type); ok {
			r.fail(at, fix, "%s is not read in a products file", strings.TrimSpace(t.Value))
			return false
		}
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			depth++
		case token.SequenceEndType, token.MappingEndType:
			depth--
		case token.MappingValueType:
			pairs++
		}
		dashes++
		if t.Type != token.SequenceEntryType {
			dashes = 0
		}
		if depth > maxDepth || dashes > maxDepth {
			r.fail(at, "the deepest that a products file needs is an id's limits and their bands", "nested more than %d deep", maxDepth)
			return false
		}
		if pairs > maxKeys {
			r.fail(at, "split the file, or check that it is the right one", "more than %d keys", maxKeys)
			return false
		}
	}
	return true
}

// unused says what to write in place of a part of YAML that is not read.
func unused(t token.Type) (fix string, ok bool) {
	switch t {
	case token.AnchorType, token.AliasType, token.MergeKeyType:
		return "write the values out, or use like: to depart from a class", true
	case token.TagType:
		return "leave the tag out", true
	case token.DirectiveType:
		return "leave the line out", true
	case token.MappingKeyType:
		return "write key: value", true
	}
	return "", false
}

// onlyDocument is the single document of the file.
func (r *reader) onlyDocument(file *ast.File) ast.Node {
	var body ast.Node
	for _, doc := range file.Docs {
		if doc.Body == nil {
			continue
		}
		if body != nil {
			r.fail(at(doc.Body), "keep one document: a single list under products:", "a second document starts here")
			return nil
		}
		body = doc.Body
	}
	if body == nil {
		r.fail(spot{1, 1}, "start it with products: and a list of products below", "the file is empty")
	}
	return body
}

// syntax words the parser's complaint.
func (r *reader) syntax(err error) {
	var bad yaml.Error
	if !errors.As(err, &bad) || bad.GetToken() == nil || bad.GetToken().Position == nil {
		r.fail(spot{1, 1}, "check indentation, brackets and quotes", "the file cannot be read as YAML")
		return
	}
	message, fix := inOurWords(bad.GetMessage())
	p := bad.GetToken().Position
	r.fail(spot{p.Line, p.Column}, fix, "%s", message)
}

// inOurWords turns the parser's commonest complaints into words for a person
// who does not know YAML's grammar; the others stay as they are, in one line.
func inOurWords(complaint string) (message, fix string) {
	fix = "check the indentation, brackets and quotes here and just above"
	for _, known := range [][3]string{
		{"\t", "a tab cannot indent YAML", "indent with spaces"},
		{"flow mapping end token", "the { is never closed", "add a }"},
		{"sequence end token", "the [ is never closed", "add a ]"},
		{"end character of", "the quote is never closed", "add the closing quote"},
		{"mapping value is not allowed", "a key: value cannot stand here", "put it on a line of its own, indented like its neighbours; put text that holds a colon in quotes"},
	} {
		if strings.Contains(complaint, known[0]) {
			return known[1], known[2]
		}
	}
	if words := []rune(complaint); len(words) > 100 {
		complaint = string(words[:100]) + "…"
	}
	return strings.Join(strings.Fields(complaint), " "), fix
}

// at is where a node starts: the first key of a block mapping, not its colon.
func at(n ast.Node) spot {
	switch v := n.(type) {
	case *ast.MappingNode:
		if !v.IsFlowStyle && len(v.Values) > 0 {
			return at(v.Values[0])
		}
	case *ast.MappingValueNode:
		return at(v.Key)
	}
	if n == nil || n.GetToken() == nil || n.GetToken().Position == nil {
		return spot{1, 1}
	}
	p := n.GetToken().Position
	return spot{p.Line, p.Column}
}
