package book

import (
	"archive/zip"
	"bufio"
	"context"
	"database/sql"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"time"
	"unicode/utf8"
)

// Format is that of the document which ExportJSON writes and Import reads.
const Format = "dewgap.book.v1"

// bodyJSON is a body in the document: as text, or in Base64 if it is none.
type bodyJSON struct {
	Key    Key     `json:"key"`
	Text   *string `json:"text,omitempty"`
	Base64 []byte  `json:"base64,omitempty"`
}

func newBodyJSON(key Key, data []byte) bodyJSON {
	if !utf8.Valid(data) {
		return bodyJSON{Key: key, Base64: data}
	}
	text := string(data)
	return bodyJSON{Key: key, Text: &text}
}

// ExportJSON writes the whole book as one JSON document: its format, then one
// array for each table, a row on each line, in the order of recording. The same
// rows give the same bytes.
func (b *Book) ExportJSON(ctx context.Context, w io.Writer) error {
	return b.read(ctx, func(tx *sql.Tx) error {
		out := newDocument(w)
		out.begin("bodies")
		err := b.eachBody(ctx, tx, func(_ int64, key Key, data []byte) error {
			return out.row(newBodyJSON(key, data))
		})
		if err != nil {
			return err
		}
		for _, s := range sections() {
			out.begin(s.table)
			if err := s.each(ctx, tx, func(r record) error { return out.row(r) }); err != nil {
				return err
			}
		}
		return out.end()
	})
}

// document writes the JSON document. Errors of writing come with row or end.
type document struct {
	w      *bufio.Writer
	rows   *json.Encoder
	inside bool // a table has begun
	first  bool // it has no row yet
}

func newDocument(w io.Writer) *document {
	d := &document{w: bufio.NewWriter(w)}
	d.rows = json.NewEncoder(d.w)
	d.rows.SetEscapeHTML(false)
	fmt.Fprintf(d.w, "{\"format\":%q", Format)
	return d
}

func (d *document) begin(table string) {
	if d.inside {
		fmt.Fprint(d.w, "]")
	}
	fmt.Fprintf(d.w, ",\n%q:[\n", table)
	d.inside, d.first = true, true
}

func (d *document) row(v any) error {
	if !d.first {
		fmt.Fprint(d.w, ",")
	}
	d.first = false
	return d.rows.Encode(v) // ends the line
}

func (d *document) end() error {
	if d.inside {
		fmt.Fprint(d.w, "]")
	}
	fmt.Fprint(d.w, "}\n")
	return d.w.Flush()
}

// ExportCSV writes the whole book as a ZIP file: one CSV file (RFC 4180, UTF-8,
// a line of column names first) for each table, and the bodies as files of their
// own, named by their keys. Times are RFC 3339 in UTC; what is absent is empty.
// It is for spreadsheets; Import does not read it.
func (b *Book) ExportCSV(ctx context.Context, w io.Writer) error {
	return b.read(ctx, func(tx *sql.Tx) error {
		z := zip.NewWriter(w)
		for _, s := range sections() {
			if err := tableCSV(ctx, tx, z, s); err != nil {
				return err
			}
		}
		if err := b.bodiesCSV(ctx, tx, z); err != nil {
			return err
		}
		return z.Close()
	})
}

func tableCSV(ctx context.Context, tx *sql.Tx, z *zip.Writer, s section) error {
	file, err := z.Create(s.table + ".csv")
	if err != nil {
		return err
	}
	out := csv.NewWriter(file)
	if err := out.Write(columnsCSV(s.blank())); err != nil {
		return err
	}
	err = s.each(ctx, tx, func(r record) error { return out.Write(rowCSV(r)) })
	out.Flush()
	if err != nil {
		return err
	}
	return out.Error()
}

func columnsCSV(r record) []string {
	out := []string{"id", "key", "recorded"}
	for _, f := range r.fields() {
		out = append(out, f.name)
	}
	return out
}

func rowCSV(r record) []string {
	row := r.row()
	out := []string{strconv.FormatInt(row.ID, 10), string(row.Key), row.Recorded.Format(time.RFC3339)}
	for _, f := range r.fields() {
		out = append(out, f.shown())
	}
	return out
}

// shown is the value for people.
func (f field) shown() string {
	if m, ok := f.at.(moment); ok {
		if m.t.IsZero() {
			return ""
		}
		return m.t.Format(time.RFC3339)
	}
	if text, ok := f.value().(string); ok {
		return text
	}
	return f.text()
}

// bodiesCSV writes each body as it is, and the table of them.
func (b *Book) bodiesCSV(ctx context.Context, tx *sql.Tx, z *zip.Writer) error {
	table := [][]string{{"id", "key", "size", "file"}}
	err := b.eachBody(ctx, tx, func(id int64, key Key, data []byte) error {
		name := "bodies/" + string(key)
		table = append(table, []string{strconv.FormatInt(id, 10), string(key), strconv.Itoa(len(data)), name})
		file, err := z.Create(name)
		if err != nil {
			return err
		}
		_, err = file.Write(data)
		return err
	})
	if err != nil {
		return err
	}
	file, err := z.Create("bodies.csv")
	if err != nil {
		return err
	}
	return csv.NewWriter(file).WriteAll(table)
}
