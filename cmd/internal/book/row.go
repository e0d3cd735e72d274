package book

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"
	"unicode/utf8"
)

// Key names a row by what it says: a SHA-256 in 64 lower-case hex digits, ""
// where there is no row. It is the same in every copy of a book.
type Key string

// valid reports whether it has the form of a key.
func (k Key) valid() bool {
	b, err := hex.DecodeString(string(k))
	return err == nil && len(b) == sha256.Size && hex.EncodeToString(b) == string(k)
}

// Row is what every record has of the book's own. It is filled when a record is
// read or added; whatever stands in it when a record is added is not looked at.
type Row struct {
	ID       int64     `json:"-"`        // the short number in this one file, from 1
	Key      Key       `json:"key"`      // of what the row says
	Recorded time.Time `json:"recorded"` // when it was written down, UTC, whole seconds
}

func (r *Row) row() *Row { return r }

// record is one kind of row. Its methods are on the pointer.
type record interface {
	row() *Row
	table() string
	// dated tells that the moment of recording is part of what the row says.
	dated() bool
	// fields are the columns besides the Row's, in the order of the table.
	fields() []field
	// check tells what is wrong besides what the fields themselves can tell.
	check() error
}

// field is one column and where its value stands.
type field struct {
	name string
	at   any // a pointer to a string, bool, number, *float64 or *bool, or a column
	must bool
}

// column is a field's place that has its own way into the database.
type column interface {
	Scan(src any) error
	get() any     // nil or "" if absent, else an int64 or a string
	text() string // for the key: never changes from version to version
	tidy()        // brings the value to the form in which it is kept
	fault() string
}

func must(name string, at any) field { return field{name, at, true} }
func may(name string, at any) field  { return field{name, at, false} }

// value is what the database gets: nil, an int64, a float64 or a string.
func (f field) value() any {
	switch p := f.at.(type) {
	case *string:
		return *p
	case *bool:
		return number(*p)
	case *int64:
		return *p
	case *float64:
		return *p
	case **float64:
		if *p == nil {
			return nil
		}
		return **p
	case **bool:
		if *p == nil {
			return nil
		}
		return number(**p)
	case column:
		return p.get()
	}
	panic(fmt.Sprintf("book: no column for %T", f.at))
}

func number(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

// tidy brings the value to the form in which it is kept and read back: whole
// seconds of UTC, and no zero with a minus, which SQLite does not keep.
func (f field) tidy() {
	switch p := f.at.(type) {
	case *float64:
		*p = unsigned(*p)
	case **float64:
		if *p != nil {
			v := unsigned(**p) // not the caller's own
			*p = &v
		}
	case column:
		p.tidy()
	}
}

// unsigned takes the minus from a zero.
func unsigned(v float64) float64 {
	if v == 0 {
		return 0
	}
	return v
}

// longest is the most bytes that a text of a record may have.
const longest = 1 << 16

// fault tells what is wrong with the value, "" if nothing is.
func (f field) fault() string {
	switch v := f.value().(type) {
	case nil:
		if f.must {
			return "is missing"
		}
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return "is no number"
		}
	case string:
		if text := textFault(v); text != "" {
			return text
		}
		if v == "" && f.must {
			return "is missing"
		}
	}
	if c, ok := f.at.(column); ok {
		return c.fault()
	}
	return ""
}

func textFault(s string) string {
	switch {
	case len(s) > longest:
		return fmt.Sprintf("is longer than %d bytes", longest)
	case !utf8.ValidString(s):
		return "is not UTF-8 text"
	}
	for _, r := range s {
		if r == 0 {
			return "has a zero byte in it"
		}
	}
	return ""
}

// prepare tidies a record and tells what keeps it from being recorded.
func prepare(r record) error {
	when := must("recorded", moment{&r.row().Recorded})
	for _, f := range append([]field{when}, r.fields()...) {
		f.tidy()
		if text := f.fault(); text != "" {
			return invalid(r.table(), "%s %s", f.name, text)
		}
	}
	return r.check()
}

// keyOf is the hash of what a row says: the table, and each present value with
// its name and its length. An absent value does not count, so that a later
// version may add columns without a change to the keys of old rows.
func keyOf(r record) Key {
	h := sha256.New()
	fmt.Fprintf(h, "dewgap.book.v1 %s\n", r.table())
	if r.dated() {
		hashed(h, "recorded", strconv.FormatInt(r.row().Recorded.Unix(), 10))
	}
	for _, f := range r.fields() {
		hashed(h, f.name, f.text())
	}
	return Key(hex.EncodeToString(h.Sum(nil)))
}

func hashed(h io.Writer, name, text string) {
	if text != "" {
		fmt.Fprintf(h, "%s %s\n", name, framed(text))
	}
}

// framed is a text with its length in bytes before it, so that no two lists of
// texts run together into one.
func framed(text string) string { return strconv.Itoa(len(text)) + ":" + text }

// text is the value for the key, "" if it is absent.
func (f field) text() string {
	if c, ok := f.at.(column); ok {
		return c.text()
	}
	switch v := f.value().(type) {
	case int64:
		return strconv.FormatInt(v, 10)
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64)
	case string:
		return v
	}
	return ""
}

// keyOfBytes names a body.
func keyOfBytes(data []byte) Key {
	sum := sha256.Sum256(data)
	return Key(hex.EncodeToString(sum[:]))
}
