package book

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"sort"
)

// Imported counts what an import did.
type Imported struct {
	Added   int `json:"added"`
	Skipped int `json:"skipped"` // was in the book already
}

func (n *Imported) count(added bool) {
	if added {
		n.Added++
	} else {
		n.Skipped++
	}
}

// Import reads a document of ExportJSON into the book: all of it or, if anything
// is wrong with it, nothing. What is in the book already is left as it is, so
// that the same document may be read again, and those of several books one after
// the other. Other programs cannot write while it runs.
func (b *Book) Import(ctx context.Context, r io.Reader) (Imported, error) {
	var n Imported
	err := b.Record(ctx, func(tx *Tx) error {
		// Answers and plans refer to each other: all must be there at the end.
		if _, err := tx.tx.ExecContext(ctx, "PRAGMA defer_foreign_keys = ON"); err != nil {
			return err
		}
		if err := decode(r, tx.importBody(&n), tx.importRecord(&n)); err != nil {
			return err
		}
		table, err := danglingRow(ctx, tx.tx)
		if err == nil && table != "" {
			err = importError("a row of %s refers to one that is neither in the document nor in the book", table)
		}
		return err
	})
	if err != nil {
		return Imported{}, err
	}
	return n, nil
}

func (tx *Tx) importBody(n *Imported) func(bodyJSON) error {
	return func(v bodyJSON) error {
		data := v.Base64
		if v.Text != nil {
			data = []byte(*v.Text)
		}
		added, err := tx.insertBody(v.Key, data)
		n.count(added)
		return err
	}
}

func (tx *Tx) importRecord(n *Imported) func(record) error {
	return func(r record) error {
		added, err := tx.insert(r)
		n.count(added)
		return err
	}
}

// importError says that a document cannot be imported.
func importError(format string, args ...any) error {
	return &Error{
		Text: fmt.Sprintf(format, args...) + "; nothing was imported",
		Fix:  "export the book again and import that",
		Err:  ErrImport,
	}
}

// decode reads a document and calls body and row with what is in it, each whole
// and fitting its key. Errors name the line.
func decode(r io.Reader, body func(bodyJSON) error, row func(record) error) error {
	in := &lines{r: r}
	d := &decoder{json: json.NewDecoder(in), body: body, row: row}
	d.json.DisallowUnknownFields()
	err := d.document()
	if err == nil {
		return nil
	}
	if _, worded := errors.AsType[*Error](err); worded || d.storing != nil {
		return err
	}
	if in.err != nil {
		return importError("the document cannot be read: %v", in.err)
	}
	at := d.json.InputOffset()
	if e, ok := errors.AsType[*json.SyntaxError](err); ok {
		at = e.Offset
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("the document ends too early")
	}
	return importError("line %d: %s", in.line(at), err.Error())
}

// decoder walks through a document.
type decoder struct {
	json *json.Decoder
	body func(bodyJSON) error
	row  func(record) error
	// storing is what body or row failed with, which is no fault of the document.
	storing error
}

func (d *decoder) document() error {
	if err := d.expect(json.Delim('{')); err != nil {
		return err
	}
	if err := d.format(); err != nil {
		return err
	}
	for d.json.More() {
		if err := d.section(); err != nil {
			return err
		}
	}
	if err := d.expect(json.Delim('}')); err != nil {
		return err
	}
	if _, err := d.json.Token(); !errors.Is(err, io.EOF) {
		return errors.New("something follows the document's end")
	}
	return nil
}

func (d *decoder) expect(want json.Token) error {
	got, err := d.json.Token()
	if err == nil && got != want {
		err = fmt.Errorf("%q instead of %q: no export of a book", fmt.Sprint(got), fmt.Sprint(want))
	}
	return err
}

// format reads the first key, without which nothing else can be understood.
func (d *decoder) format() error {
	if err := d.expect("format"); err != nil {
		return err
	}
	got, err := d.json.Token()
	if err != nil {
		return err
	}
	if got != Format {
		return &Error{
			Text: fmt.Sprintf("the document's format is %q, this dewgap reads %q", fmt.Sprint(got), Format),
			Fix:  "use the dewgap that wrote it", Err: fmt.Errorf("%w: %w", ErrImport, ErrNewer),
		}
	}
	return nil
}

// section reads one table.
func (d *decoder) section() error {
	name, err := d.json.Token()
	if err != nil {
		return err
	}
	one := d.oneBody
	if name != "bodies" {
		list := sections()
		i := slices.IndexFunc(list, func(s section) bool { return s.table == name })
		if i < 0 {
			return fmt.Errorf("unknown table %q", fmt.Sprint(name))
		}
		one = func() error { return d.oneRow(list[i].blank()) }
	}
	if err := d.expect(json.Delim('[')); err != nil {
		return err
	}
	for d.json.More() {
		if err := one(); err != nil {
			return err
		}
	}
	return d.expect(json.Delim(']'))
}

func (d *decoder) oneBody() error {
	var v bodyJSON
	if err := d.json.Decode(&v); err != nil {
		return err
	}
	data := v.Base64
	if v.Text != nil {
		data = []byte(*v.Text)
		if v.Base64 != nil {
			return errors.New("a body has both text and base64")
		}
	}
	if keyOfBytes(data) != v.Key {
		return errors.New("a body does not fit its key: it was changed or is damaged")
	}
	d.storing = d.body(v)
	return d.storing
}

func (d *decoder) oneRow(r record) error {
	if err := d.json.Decode(r); err != nil {
		return err
	}
	if err := prepare(r); err != nil {
		return errors.New(err.Error()) // with its line
	}
	if keyOf(r) != r.row().Key {
		return errors.New("a row of " + r.table() + " does not fit its key: it was changed or is damaged")
	}
	d.storing = d.row(r)
	return d.storing
}

// lines notes where the lines of a document end.
type lines struct {
	r    io.Reader
	read int64
	ends []int64
	err  error // of reading, but not its end
}

// Read passes on what it reads.
func (l *lines) Read(p []byte) (int, error) {
	n, err := l.r.Read(p)
	for i, c := range p[:n] {
		if c == '\n' {
			l.ends = append(l.ends, l.read+int64(i))
		}
	}
	l.read += int64(n)
	if err != nil && !errors.Is(err, io.EOF) {
		l.err = err
	}
	return n, err
}

// line is the number of the line in which a byte stands, from 1.
func (l *lines) line(at int64) int {
	return sort.Search(len(l.ends), func(i int) bool { return l.ends[i] >= at }) + 1
}
