package products

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzWith: whatever bytes a file holds, the answer is classes that nest or
// mistakes with a place, never a panic.
func FuzzWith(f *testing.F) {
	for _, seed := range []string{
		"", "products: []", "products:\n- id: x\n  like: varnish\n", "products:\n- {id: teak-sealer, clocks_h: {dry_off: 12}}\n",
		product("limits: {surface_f: {ideal: [59, 77], default: [50, 86]}, spread_k: none}"),
		product("cure: none", "haze_min: {range: [1, null], source: tin}", "finishes: {allowed: all}"),
		product("towel: true", "people: 2", "notes: |", "  two", "  lines"),
		"products:\n\t- id: x", "a: &a [*a]", "? [a]\n: b", "\r\r0", "%YAML 1.2\n---\n...\n", "products: [a, , ]", "\ufeff", "- - - - -", "{[", "'", "\"\\x", "|", ">-\n", "a: !!binary x",
	} {
		f.Add([]byte(seed))
	}
	f.Add(catalogue[:4000])
	set, err := Catalogue()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		out, _, err := set.With("own.yaml", data)
		if err == nil {
			lawful(t, out)
			return
		}
		var all Errors
		if !errors.As(err, &all) || len(all) == 0 || out != nil {
			t.Fatalf("mistakes come as a list, without a set: %v", err)
		}
		text := strings.ReplaceAll(string(data), "\r\n", "\n") // a lone CR ends a line too
		lines := strings.Count(text, "\n") + strings.Count(text, "\r") + 1
		for _, e := range all {
			if e.Line < 1 || e.Line > lines+1 || e.Column < 1 || e.Message == "" || !utf8.ValidString(e.Error()) || strings.Contains(e.Error(), "\n") {
				t.Fatalf("mistake without a place or words: %+v in %d lines", *e, lines)
			}
		}
	})
}

// lawful fails unless every class of the set keeps the laws of its limits.
func lawful(t *testing.T, s *Set) {
	t.Helper()
	for _, id := range s.IDs() {
		c, ok := s.Class(id)
		if !ok || !slug.MatchString(c.ID) || c.Do == "" || c.People < 1 {
			t.Fatalf("no whole class: %+v", c)
		}
		for _, spec := range limitSpecs() {
			nests(t, c, spec.key, *spec.field(&c))
		}
		for _, spec := range clockSpecs() {
			nests(t, c, spec.key, spec.clock(&c).limit())
		}
		for _, spec := range rangeSpecs() {
			if r := *spec.field(&c); r.Given && r.Max < r.Min {
				t.Fatalf("%s %s: %+v", id, spec.key, r)
			}
		}
	}
}

func nests(t *testing.T, c Class, key string, l Limit) {
	t.Helper()
	if !l.Ideal.Within(l.Default) || !l.Default.Within(l.Hard) || l.Ideal.empty() || l.Default.empty() || l.Hard.empty() {
		t.Fatalf("%s %s does not nest: %+v", c.ID, key, l)
	}
	if l.Given && l.Source == "" {
		t.Fatalf("%s %s is from nowhere", c.ID, key)
	}
}
