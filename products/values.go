package products

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// maxText is the longest text of one value, in characters.
const maxText = 500

// decimal is a number as people write it; YAML's hexadecimal, octal, infinity
// and underscores are left out.
var decimal = regexp.MustCompile(`^[-+]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][-+]?[0-9]+)?$`)

// keys says for each key of a mapping what to do with its value.
type keys map[string]func(ast.Node)

// names is the known keys in alphabetical order.
func (k keys) names() []string {
	return slices.Sorted(maps.Keys(k))
}

// pairs is the mapping that a node holds; false, and a mistake noted, if it
// holds something else.
func (r *reader) pairs(n ast.Node, what string) ([]*ast.MappingValueNode, bool) {
	switch v := n.(type) {
	case *ast.MappingNode:
		return v.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{v}, true
	}
	r.fail(at(n), "write key: value pairs, indented below it or in { }", "%s holds %s where keys belong", what, kind(n))
	return nil, false
}

// mapping hands each value of a mapping to its key's function, in the order of
// the file. Unknown, repeated and empty keys are mistakes.
func (r *reader) mapping(n ast.Node, what string, known keys) {
	list, _ := r.pairs(n, what)
	seen := map[string]int{}
	for _, pair := range list {
		name, where := pair.Key.GetToken().Value, at(pair.Key)
		use, ok := known[name]
		line, twice := seen[name]
		switch {
		case !ok:
			r.fail(where, unknownKey(name, known), "%s has no key %s", what, shorten(name))
		case twice:
			r.fail(where, "keep one of the two", "%s is given twice, first in line %d", name, line)
		case pair.Value == nil || pair.Value.Type() == ast.NullType:
			r.fail(where, "give it a value or leave the key out", "%s has no value", name)
		default:
			use(pair.Value)
		}
		if !twice {
			seen[name] = where.line
		}
	}
}

// unknownKey says what to do about a key that a mapping does not know: it may
// belong one level further down.
func unknownKey(name string, known keys) string {
	if home := homeOf(name); home != "" && known[home] != nil {
		return fmt.Sprintf("put it under %s:", home)
	}
	return didYouMean(name, known.names())
}

// find is the value of one key, nil without it. It notes no mistakes.
func find(n ast.Node, key string) ast.Node {
	var list []*ast.MappingValueNode
	switch v := n.(type) {
	case *ast.MappingNode:
		list = v.Values
	case *ast.MappingValueNode:
		list = []*ast.MappingValueNode{v}
	}
	for _, pair := range list {
		if pair.Key.GetToken().Value == key {
			return pair.Value
		}
	}
	return nil
}

// kind names what a node holds, for a person.
func kind(n ast.Node) string {
	switch n.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return "keys"
	case *ast.SequenceNode:
		return "a list"
	case *ast.NullNode, nil:
		return "nothing"
	case *ast.IntegerNode, *ast.FloatNode, *ast.InfinityNode, *ast.NanNode:
		return "a number"
	case *ast.BoolNode:
		return "true or false"
	}
	return "text"
}

// plain is the text of a value written without quotes, "" for anything else.
func plain(n ast.Node) string {
	switch n.(type) {
	case *ast.IntegerNode, *ast.FloatNode, *ast.InfinityNode, *ast.NanNode, *ast.BoolNode:
		return n.GetToken().Value
	case *ast.StringNode:
		if t := n.GetToken(); t.Type == token.StringType {
			return t.Value
		}
	}
	return ""
}

// isNone reports the word that takes a limit or a value away.
func isNone(n ast.Node) bool { return plain(n) == "none" }

// number reads a decimal number from least to most.
func (r *reader) number(n ast.Node, what string, least, most float64) (float64, bool) {
	text := plain(n)
	if !decimal.MatchString(text) {
		fix := "write a plain decimal number such as 12.5, without quotes or unit"
		r.fail(at(n), fix, "%s is no number: %s", what, shown(n))
		return 0, false
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || x < least || x > most {
		r.fail(at(n), fmt.Sprintf("write a number from %s to %s", num(least), num(most)), "%s cannot be %s", what, text)
		return 0, false
	}
	return x, true
}

// boolean reads true or false.
func (r *reader) boolean(n ast.Node, what string) (value, ok bool) {
	text := plain(n)
	if n.Type() == ast.BoolType {
		return strings.EqualFold(text, "true"), true
	}
	fix := "write true or false"
	switch strings.ToLower(text) {
	case "yes", "y", "on":
		fix = "write true: YAML 1.2 knows only true and false"
	case "no", "n", "off":
		fix = "write false: YAML 1.2 knows only true and false"
	}
	r.fail(at(n), fix, "%s is neither true nor false: %s", what, shown(n))
	return false, false
}

// text reads words.
func (r *reader) text(n ast.Node, what string) (string, bool) {
	var text string
	switch v := n.(type) {
	case *ast.StringNode:
		text = v.Value
	case *ast.LiteralNode:
		text = v.Value.Value
	default:
		r.fail(at(n), "write words; put a number that is meant as words in quotes", "%s holds %s where words belong", what, kind(n))
		return "", false
	}
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		r.fail(at(n), "write something or leave the key out", "%s is empty", what)
	case utf8.RuneCountInString(text) > maxText:
		r.fail(at(n), fmt.Sprintf("keep it under %d characters", maxText), "%s is too long", what)
	case strings.ContainsFunc(text, control):
		r.fail(at(n), "remove it", "%s holds a control character", what)
	default:
		return strings.Join(strings.Fields(text), " "), true
	}
	return "", false
}

// choice reads one of a few words.
func (r *reader) choice(n ast.Node, what string, words []string) (string, bool) {
	text, ok := r.text(n, what)
	if !ok {
		return "", false
	}
	if !slices.Contains(words, text) {
		r.fail(at(n), didYouMean(text, words), "%s cannot be %s", what, text)
		return "", false
	}
	return text, true
}

// list is the items of a list; one bare value counts as a list of one.
func (r *reader) list(n ast.Node, what string) []ast.Node {
	switch v := n.(type) {
	case *ast.SequenceNode:
		return v.Values
	case *ast.MappingNode, *ast.MappingValueNode:
		r.fail(at(n), "write [one, two]", "%s holds keys where a list belongs", what)
		return nil
	}
	return []ast.Node{n}
}

// ends reads a pair [least, most], null where an end is open. A bare number is
// both ends.
func (r *reader) ends(n ast.Node, what string, least, most float64) (Band, bool) {
	items, isList := n.(*ast.SequenceNode)
	if !isList {
		x, ok := r.number(n, what, least, most)
		return Band{x, x, true, true}, ok
	}
	if len(items.Values) != 2 {
		r.fail(at(n), "write [least, most], with null where an end is open", "%s has %d values where two belong", what, len(items.Values))
		return Band{}, false
	}
	var b Band
	okMin, okMax := true, true
	if low := items.Values[0]; low.Type() != ast.NullType {
		b.Min, okMin = r.number(low, what, least, most)
		b.HasMin = okMin
	}
	if high := items.Values[1]; high.Type() != ast.NullType {
		b.Max, okMax = r.number(high, what, least, most)
		b.HasMax = okMax
	}
	if okMin && okMax && b.empty() {
		r.fail(at(n), "write [least, most]", "%s runs from %s down to %s", what, num(b.Min), num(b.Max))
		return Band{}, false
	}
	return b, okMin && okMax
}

// shown is a value as an error repeats it, cut where it is long.
func shown(n ast.Node) string {
	if n == nil || n.GetToken() == nil {
		return "nothing"
	}
	switch n.(type) {
	case *ast.MappingNode, *ast.MappingValueNode, *ast.SequenceNode, *ast.LiteralNode:
		return kind(n)
	}
	return strconv.Quote(shorten(n.GetToken().Value))
}

// num writes a number to three decimals, without needless zeros.
func num(x float64) string {
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}
