package reply

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf8"

	"dewgap/forecast"
)

// streaming is what Open-Meteo writes into the body when it fails halfway,
// after the status line already said that all was well.
const streaming = "Unexpected error while streaming data"

// Check makes sure that data is one whole JSON value with nothing around it
// but white space and, before it, a byte order mark. It gives the value's
// bytes, which the splitters below may then take as valid.
func Check(service string, data []byte) ([]byte, *forecast.ReadError) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	data = bytes.TrimSpace(data)
	if len(data) == 0 {
		return nil, Errorf(service, Again, "it is empty")
	}
	if data[0] == '<' {
		return nil, Errorf(service, "open it in a browser to see what the server says, then fetch again",
			"it is a web page, not JSON")
	}
	switch {
	case !json.Valid(data):
		return nil, explain(service, data)
	case !utf8.Valid(data):
		return nil, Errorf(service, "save the reply as it was sent, in UTF-8", "it is JSON in another encoding than UTF-8")
	}
	return data, nil
}

// explain says where and how data stops being JSON.
func explain(service string, data []byte) *forecast.ReadError {
	if i := bytes.Index(data, []byte(streaming)); i >= 0 {
		line, _, _ := strings.Cut(string(data[i:min(len(data), i+200)]), "\n")
		return Errorf(service, Again, "the server failed halfway, at byte %d: %q", i, line)
	}
	err := json.Unmarshal(data, new(json.RawMessage))
	var syntax *json.SyntaxError
	switch {
	case !errors.As(err, &syntax):
		return &forecast.ReadError{Service: service, Reason: "it is not JSON", Fix: Again, Err: err}
	case strings.Contains(syntax.Error(), "unexpected end"):
		return Errorf(service, Again, "it breaks off after %d bytes", len(data))
	case strings.Contains(syntax.Error(), "after top-level value"):
		return Errorf(service, Again, "more text follows the JSON, from byte %d", syntax.Offset-1)
	}
	return &forecast.ReadError{Service: service, Fix: Again, Err: err,
		Reason: "it is not JSON: " + syntax.Error() + " at byte " + strconv.FormatInt(syntax.Offset-1, 10)}
}

// Unmarshal reads one part of a reply, valid JSON, into Go values; what names
// the part in the error, "" for the whole.
func Unmarshal(service string, raw []byte, to any, what string) *forecast.ReadError {
	err := json.Unmarshal(raw, to)
	if err == nil {
		return nil
	}
	reason := err.Error()
	var wrong *json.UnmarshalTypeError
	if errors.As(err, &wrong) {
		where := strings.Trim(what+"."+wrong.Field, ".")
		if where == "" {
			where = "it"
		}
		value, _, _ := strings.Cut(wrong.Value, " ")
		reason = where + " is of type " + value + " where " + plainly(wrong.Type) + " should be"
	}
	return &forecast.ReadError{Service: service, Reason: reason, Fix: Again, Err: err}
}

// plainly names a Go type in the words of JSON.
func plainly(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Float64, reflect.Int:
		return "a number"
	case reflect.String:
		return "a string"
	case reflect.Slice:
		return "an array"
	}
	return "an object"
}

// Field is one key of a JSON object with its value, not yet read.
type Field struct {
	Key   string
	Value []byte
}

// Object is the fields of a JSON object in their order. Only fields are split
// off; values stay as they are, so that a reader pays for what it needs.
type Object []Field

// Get gives the value of the first field of that name, nil if there is none or
// it is null.
func (o Object) Get(key string) []byte {
	for i := range o {
		if o[i].Key == key && string(o[i].Value) != "null" {
			return o[i].Value
		}
	}
	return nil
}

// Twice gives a key that stands in the object more than once, if one does.
func (o Object) Twice() (key string, twice bool) {
	seen := make(map[string]bool, len(o))
	for i := range o {
		if seen[o[i].Key] {
			return o[i].Key, true
		}
		seen[o[i].Key] = true
	}
	return "", false
}

// SplitObject splits raw, which must be valid JSON; ok is false if it is no
// object.
func SplitObject(raw []byte) (o Object, ok bool) {
	if len(raw) == 0 || raw[0] != '{' {
		return nil, false
	}
	i := skipSpace(raw, 1)
	for before := 0; i > before && i < len(raw) && raw[i] != '}'; {
		before = i // without progress it is not JSON, and the loop must end
		end := skipValue(raw, i)
		key := text(raw[i:end])
		i = skipSpace(raw, end)
		i = skipSpace(raw, i+1) // the colon
		end = skipValue(raw, i)
		o = append(o, Field{key, raw[min(i, len(raw)):end]})
		i = skipComma(raw, end)
	}
	return o, true
}

// SplitArray splits raw, which must be valid JSON; ok is false if it is no
// array.
func SplitArray(raw []byte) (elements [][]byte, ok bool) {
	if len(raw) == 0 || raw[0] != '[' {
		return nil, false
	}
	for i, before := skipSpace(raw, 1), 0; i > before && i < len(raw) && raw[i] != ']'; {
		before = i
		end := skipValue(raw, i)
		elements = append(elements, raw[i:end])
		i = skipComma(raw, end)
	}
	return elements, true
}

// Text gives a JSON string; ok is false if raw is none.
func Text(raw []byte) (s string, ok bool) {
	if len(raw) < 2 || raw[0] != '"' {
		return "", false
	}
	return text(raw), true
}

func text(raw []byte) string {
	if len(raw) >= 2 && bytes.IndexByte(raw, '\\') < 0 {
		return string(raw[1 : len(raw)-1])
	}
	var s string
	_ = json.Unmarshal(raw, &s) // valid already; what cannot be read stays empty
	return s
}

func skipSpace(raw []byte, i int) int {
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\n' || raw[i] == '\t' || raw[i] == '\r') {
		i++
	}
	return i
}

func skipComma(raw []byte, i int) int {
	i = skipSpace(raw, i)
	if i < len(raw) && raw[i] == ',' {
		i = skipSpace(raw, i+1)
	}
	return i
}

// skipValue gives the index after the value that begins at i.
func skipValue(raw []byte, i int) int {
	if i >= len(raw) {
		return len(raw)
	}
	switch raw[i] {
	case '"':
		return skipString(raw, i)
	case '{', '[':
		return skipNested(raw, i)
	}
	for i < len(raw) {
		switch raw[i] {
		case ',', ']', '}', ':', ' ', '\n', '\t', '\r':
			return i
		}
		i++
	}
	return i
}

func skipString(raw []byte, i int) int {
	for i++; i < len(raw); i++ {
		switch raw[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return len(raw)
}

// plainEnd is the index after an array of nothing but numbers, nulls and the like, 0
// where it holds more or is too long for that to be known soon.
func plainEnd(raw []byte, i int) int {
	const soon = 1 << 16
	n := bytes.IndexByte(raw[i:min(len(raw), i+soon)], ']')
	if n < 0 {
		return 0
	}
	for _, c := range [...]byte{'"', '{', '['} {
		if bytes.IndexByte(raw[i+1:i+n], c) >= 0 {
			return 0
		}
	}
	return i + n + 1
}

func skipNested(raw []byte, i int) int {
	depth := 0
	for i < len(raw) {
		switch raw[i] {
		case '"':
			i = skipString(raw, i)
			continue
		case '[':
			end := plainEnd(raw, i)
			if end > 0 && depth == 0 {
				return end
			}
			if end > 0 {
				i = end
				continue
			}
			depth++
		case '{':
			depth++
		case '}', ']':
			if depth--; depth == 0 {
				return i + 1
			}
		}
		i++
	}
	return len(raw)
}
