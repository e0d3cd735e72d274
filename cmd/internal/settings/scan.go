package settings

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"unicode/utf8"

	"dewgap/window/job"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// positions tells where in the file each key's value stands, for viper's own
// errors have no lines.
type positions struct {
	file string
	at   map[string]*token.Position // by key in small letters
	// written are single values as they stand in the file: a password 0123 is no
	// number 83, and 2.9 is no number of tries.
	written map[string]string
}

// deepest is how deep a settings file may be nested: far deeper than the two levels of
// the settings, and not so deep that the parser takes minutes.
const deepest = 64

// scan finds the keys of a settings file and refuses the unknown ones.
func scan(file string, data []byte) (in positions, err error) {
	in = positions{file, map[string]*token.Position{}, map[string]string{}}
	if bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data) {
		return in, &Error{Where: file, Text: "the file is not text", Fix: "name the right file, or save it as UTF-8"}
	}
	if job.Nesting(data) > deepest {
		return in, &Error{Where: file, Text: fmt.Sprintf("nested more than %d deep", deepest), Fix: fixSyntax}
	}
	// The parser is another's: what it does on hostile bytes must not end the program.
	defer func() {
		if recover() != nil {
			err = &Error{Where: file, Text: "this is not a YAML file that can be read", Fix: fixSyntax}
		}
	}()
	parsed, err := parser.ParseBytes(data, 0)
	if err != nil {
		return in, in.syntax(err)
	}
	for i, doc := range parsed.Docs {
		if doc.Body == nil { // a line of dashes with nothing beneath it
			continue
		}
		if i > 0 {
			return in, in.problem(doc.Start, "a second document", "keep all settings in one")
		}
		if err := in.section("", doc.Body); err != nil {
			return in, err
		}
	}
	return in, nil
}

// section looks through one level of the file; prefix is "" or "name.".
func (in positions) section(prefix string, node ast.Node) error {
	if node == nil || node.Type() == ast.NullType || node.Type() == ast.CommentType {
		if prefix == "" {
			return nil
		}
		return in.problem(node.GetToken(), strings.TrimSuffix(prefix, ".")+" has nothing beneath it",
			"write keys beneath it, set in by two blanks, or remove the line")
	}
	mapping, ok := node.(*ast.MappingNode)
	if !ok {
		return in.problem(node.GetToken(), "expected keys with values", "write one setting a line, as in \"units: us\"")
	}
	for _, pair := range mapping.Values {
		if err := in.pair(prefix, pair); err != nil {
			return err
		}
	}
	return nil
}

func (in positions) pair(prefix string, pair *ast.MappingValueNode) error {
	keys, sections := names()
	at := pair.Key.GetToken()
	name := prefix + strings.ToLower(at.Value)
	switch {
	case slices.Contains(sections, name):
		return in.section(name+".", pair.Value)
	case slices.Contains(keys, name):
		in.at[name] = pair.Value.GetToken().Position
		switch v := pair.Value.(type) {
		case *ast.StringNode: // 1e5 is one here, and a number to other readers
			in.written[name] = v.Value
		case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
			in.written[name] = v.GetToken().Value
		}
		return nil
	}
	return in.problem(at, fmt.Sprintf("unknown key %q", prefix+at.Value), "known keys are "+strings.Join(keys, ", "))
}

// problem is a mistake at a token, in the file where there is none.
func (in positions) problem(t *token.Token, text, fix string) error {
	e := &Error{Where: in.file, Text: text, Fix: fix}
	if t != nil {
		e.Where = in.place(t.Position)
	}
	return e
}

const fixSyntax = "mend the file: one \"key: value\" a line, set in by blanks and not by tabs"

// syntax puts the parser's own position before its words. What the parser makes of both
// itself takes seconds on a long line, for it draws the line.
func (in positions) syntax(err error) error {
	var ye yaml.Error
	if errors.As(err, &ye) && ye.GetToken() != nil {
		return &Error{Where: in.place(ye.GetToken().Position), Text: strings.ReplaceAll(ye.GetMessage(), "\t", "tab"), Err: err, Fix: fixSyntax}
	}
	return &Error{Where: in.file, Text: err.Error(), Err: err, Fix: fixSyntax}
}

func (in positions) place(p *token.Position) string {
	return fmt.Sprintf("%s:%d:%d", in.file, p.Line, p.Column)
}

// where names what a key's value came from: its variable if that is set, else
// its place in the file, else its name.
func (in positions) where(name string) string {
	for _, k := range Keys() {
		if k.Name == name && os.Getenv(k.Env) != "" {
			return k.Env
		}
	}
	if p, ok := in.at[name]; ok {
		return in.place(p)
	}
	return name
}

// wrongType finds the key that a failed conversion complains of.
func (in positions) wrongType(err error) error {
	keys, _ := names()
	e := &Error{Where: in.file, Text: err.Error(), Err: err, Fix: "mend the setting"}
	for _, name := range keys {
		if strings.Contains(err.Error(), "'"+name+"'") || strings.Contains(err.Error(), "'"+name+"[") {
			e.Where = in.where(name)
			e.Text, e.Fix = wrongValue(name)
			return e
		}
	}
	return e
}

func wrongValue(name string) (text, fix string) {
	switch name {
	case "timeout":
		return "timeout is not a time span", "write it with its unit, as 20s or 1m"
	case "age.today", "age.later":
		return name + " is not a time span", "write it with its unit, as 12h"
	case "tries":
		return "tries is not a whole number", "write a number from 1 to 10"
	case "webhook.private":
		return "webhook.private is neither true nor false", "write true or false"
	case "openmeteo.models":
		return "openmeteo.models is not a list of names", "write names separated by commas"
	case "mail.to":
		return "mail.to is not a plain text", "write the addresses on one line, separated by commas"
	}
	return name + " is not a plain text", "write one value on its line"
}
