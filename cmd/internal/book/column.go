package book

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"
)

// moment is a time that may be absent: UTC in whole seconds, NULL if zero.
type moment struct{ t *time.Time }

func (m moment) get() any {
	if m.t.IsZero() {
		return nil
	}
	return m.t.Unix()
}

// Scan takes what the database has.
func (m moment) Scan(src any) error {
	switch v := src.(type) {
	case nil:
		*m.t = time.Time{}
	case int64:
		*m.t = time.Unix(v, 0).UTC()
	default:
		return fmt.Errorf("%T is no time", src)
	}
	return nil
}

func (m moment) text() string {
	if m.t.IsZero() {
		return ""
	}
	return strconv.FormatInt(m.t.Unix(), 10)
}

func (m moment) tidy() {
	if !m.t.IsZero() {
		*m.t = m.t.UTC().Truncate(time.Second)
	}
}

// fault bounds times to those that every reader of an export can write.
func (m moment) fault() string {
	if y := m.t.Year(); !m.t.IsZero() && (y < 1970 || y > 9999) {
		return fmt.Sprintf("is in the year %d: it must be from 1970 to 9999", y)
	}
	return ""
}

// ref is the key of another row, NULL if there is none.
type ref struct{ k *Key }

func (r ref) get() any {
	if *r.k == "" {
		return nil
	}
	return string(*r.k)
}

// Scan takes what the database has.
func (r ref) Scan(src any) error {
	switch v := src.(type) {
	case nil:
		*r.k = ""
	case string:
		*r.k = Key(v)
	default:
		return fmt.Errorf("%T is no key", src)
	}
	return nil
}

func (r ref) text() string { return string(*r.k) }

func (r ref) tidy() {}

func (r ref) fault() string {
	if *r.k != "" && !r.k.valid() {
		return "is no key of a row"
	}
	return ""
}

// list is a list or a map as JSON text, "" if it is empty.
type list[T []string | []Key | map[string]string] struct{ v *T }

func (l list[T]) get() any {
	if len(*l.v) == 0 {
		return ""
	}
	data, err := json.Marshal(*l.v)
	if err != nil {
		panic(err) // strings always can
	}
	return string(data)
}

// Scan takes what the database has.
func (l list[T]) Scan(src any) error {
	text, ok := src.(string)
	if !ok {
		return fmt.Errorf("%T is no list", src)
	}
	*l.v = nil
	if text == "" {
		return nil
	}
	return json.Unmarshal([]byte(text), l.v)
}

// texts are the entries one after the other; of a map each key and its value,
// by the order of the keys.
func (l list[T]) texts() []string {
	switch v := any(*l.v).(type) {
	case []string:
		return v
	case map[string]string:
		var out []string
		for _, key := range slices.Sorted(maps.Keys(v)) {
			out = append(out, key, v[key])
		}
		return out
	case []Key:
		out := make([]string, len(v))
		for i, k := range v {
			out[i] = string(k)
		}
		return out
	}
	return nil
}

func (l list[T]) text() string {
	var b strings.Builder
	for _, text := range l.texts() {
		b.WriteString(framed(text))
	}
	return b.String()
}

func (l list[T]) tidy() {
	if len(*l.v) == 0 {
		*l.v = nil
	}
}

// fault looks into the list, for JSON would mend bad text silently.
func (l list[T]) fault() string {
	if keys, ok := any(*l.v).([]Key); ok {
		return keysFault(keys)
	}
	for _, text := range l.texts() {
		if f := textFault(text); f != "" {
			return "has an entry that " + f
		}
	}
	return ""
}

func keysFault(keys []Key) string {
	seen := map[Key]bool{}
	for _, k := range keys {
		if !k.valid() {
			return "has an entry that is no key of a row"
		}
		if seen[k] {
			return "names a row twice"
		}
		seen[k] = true
	}
	return ""
}
