package web

import (
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// schemas is the prefix of references to the types of the description.
const schemas = "#/components/schemas/"

// nullable has the description say that what is a pointer to a struct may be null, as
// it is in answers; huma says so of numbers and texts only.
func nullable(r huma.Registry) {
	for name, schema := range r.Map() {
		if t := r.TypeFromRef(schemas + name); t != nil && t.Kind() == reflect.Struct {
			nullableIn(schema, t)
		}
	}
}

// nullableIn looks through the fields of one type, those of embedded ones too.
func nullableIn(schema *huma.Schema, t reflect.Type) {
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous && f.Type.Kind() == reflect.Struct {
			nullableIn(schema, f.Type)
			continue
		}
		name, rest, _ := strings.Cut(f.Tag.Get("json"), ",")
		p := schema.Properties[name]
		if p == nil || p.Ref == "" || f.Type.Kind() != reflect.Pointer || strings.Contains(rest, "omit") {
			continue
		}
		schema.Properties[name] = &huma.Schema{AnyOf: []*huma.Schema{{Ref: p.Ref}, {Type: "null"}}}
	}
}
