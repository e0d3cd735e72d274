package answer_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

var updateFields = flag.Bool("update", false, "write testdata/text/fields.txt anew")

// formats is every answer that programs read, by its format.
func formats() map[string]any {
	return map[string]any{
		answer.WeekFormat: answer.Week{}, answer.MorningFormat: answer.Morning{}, answer.LoggedFormat: answer.Logged{},
		answer.BookListFormat: answer.BookList{}, answer.AgainFormat: answer.Again{}, answer.BookDoneFormat: answer.BookDone{},
		answer.ProductsFormat: answer.Products{}, answer.CheckFormat: answer.Check{}, answer.WhereFormat: answer.Where{},
		answer.VersionFormat: answer.Version{}, answer.MoveFormat: answer.Move{}, answer.NoteFormat: answer.Note{},
		answer.PlaceFormat: answer.Learned{}, answer.ScoreFormat: answer.Score{}, answer.SeasonFormat: answer.Season{},
		answer.SourcesFormat: answer.Sources{}, answer.WatchFormat: answer.Watch{}, answer.CalendarFormat: answer.Calendar{},
		answer.WhyFormat: answer.Why{}, "a failure": answer.Failure{},
	}
}

// fields lists the paths of a type's JSON, each with its kind: "windows[].from time".
func fields(t reflect.Type, path string, above []reflect.Type, say func(string)) {
	kind := ""
	for {
		switch {
		case t == reflect.TypeFor[time.Time]():
			say(path + " time" + kind)
			return
		case t == reflect.TypeFor[json.RawMessage]():
			say(path + " any" + kind)
			return
		case t.Kind() == reflect.Pointer:
			kind, t = " or null", t.Elem()
			continue
		case t.Kind() == reflect.Slice || t.Kind() == reflect.Array:
			path, t = path+"[]", t.Elem()
			continue
		case t.Kind() == reflect.Map:
			path, t = path+"{}", t.Elem()
			continue
		}
		break
	}
	switch {
	case t.Kind() != reflect.Struct:
		say(path + " " + jsonKind(t) + kind)
		return
	case slices.Contains(above, t):
		say(path + " again " + t.Name() + kind)
		return
	}
	if kind != "" {
		say(path + " object" + kind)
	}
	for f := range t.Fields() {
		name, rest, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "-" || !f.IsExported() {
			continue
		}
		if f.Anonymous && name == "" {
			fields(f.Type, path, append(above, t), say)
			continue
		}
		if name == "" {
			name = f.Name // without a tag: seen in the list, and refused below
		}
		if strings.Contains(rest, "omitempty") || strings.Contains(rest, "omitzero") {
			name += "?"
		}
		fields(f.Type, strings.TrimPrefix(path+"."+name, "."), append(above, t), say)
	}
}

func jsonKind(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Bool:
		return "bool"
	case reflect.String:
		return "text"
	case reflect.Interface:
		return "any"
	}
	if t.Kind() >= reflect.Int && t.Kind() <= reflect.Float64 {
		return "number"
	}
	return t.String()
}

// Names and kinds of what programs read are a promise: none goes away or becomes
// another kind without a new format.
func TestFieldsAreAPromise(t *testing.T) {
	var names []string
	for f := range formats() {
		names = append(names, f)
	}
	slices.Sort(names)
	var b strings.Builder
	key := regexp.MustCompile(`^[a-z][a-z0-9_]*\??$`)
	for _, f := range names {
		fmt.Fprintf(&b, "%s\n", f)
		fields(reflect.TypeOf(formats()[f]), "", nil, func(line string) {
			path, _, _ := strings.Cut(line, " ")
			last := strings.NewReplacer("[]", "", "{}", "").Replace(path[strings.LastIndexByte(path, '.')+1:])
			assert.Regexp(t, key, last, "%s: %s", f, line)
			fmt.Fprintf(&b, "  %s\n", line)
		})
	}
	file := filepath.Join("..", "..", "..", "testdata", "text", "fields.txt")
	if *updateFields {
		require.NoError(t, os.WriteFile(file, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	had, have := strings.Split(string(want), "\n"), strings.Split(b.String(), "\n")
	for _, l := range had {
		assert.True(t, slices.Contains(have, l), "gone, or of another kind: %s. Programs read it: give the answer a new format, or bring it back", l)
	}
	assert.Equal(t, string(want), b.String(), "go test -run Fields -update writes the list; only add to it")
}

// Every format of the package is among those that are held.
func TestEveryFormatIsHeld(t *testing.T) {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	known, n := formats(), 0
	for _, name := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(parsed, func(node ast.Node) bool {
			lit, ok := node.(*ast.BasicLit)
			if ok && lit.Kind == token.STRING && regexp.MustCompile(`^"dewgap\.[a-z.]+\.v\d+"$`).MatchString(lit.Value) {
				n++
				assert.Contains(t, known, strings.Trim(lit.Value, `"`), name)
			}
			return true
		})
	}
	assert.GreaterOrEqual(t, n, len(known)-1)
}

// What an answer says it is, it is: each root has its format first, so that a program
// can tell what it reads.
func TestFormatComesFirst(t *testing.T) {
	for f, v := range formats() {
		if f == "a failure" {
			continue
		}
		first := reflect.TypeOf(v).Field(0)
		name, _, _ := strings.Cut(first.Tag.Get("json"), ",")
		assert.Equal(t, "format", name, f)
	}
}
