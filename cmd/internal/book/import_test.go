package book

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestBadDocuments: each is refused with the line, and nothing of it is kept.
func TestBadDocuments(t *testing.T) {
	data, err := os.ReadFile(fixture + "season.json")
	require.NoError(t, err)
	good := string(data)
	edit := func(old, new string) string {
		require.Contains(t, good, old)
		return strings.Replace(good, old, new, 1)
	}
	for _, c := range []struct{ name, document, want string }{
		{"empty", "", "line 1: the document ends too early"},
		{"cut short", good[:len(good)-200], "ends too early"},
		{"cut at the end", strings.TrimRight(good, "}\n"), "ends too early"},
		{"more at the end", good + "{}", "something follows"},
		{"no JSON", "format: dewgap.book.v1\n", "line 1: "},
		{"a list", "[]", `"[" instead of "{"`},
		{"no format", `{"bodies":[]}`, `"bodies" instead of "format"`},
		{"another answer", `{"format":"dewgap.week.v1"}`, `the document's format is "dewgap.week.v1"`},
		{"unknown table", `{"format":"dewgap.book.v1","crews":[]}`, `unknown table "crews"`},
		{"no array", `{"format":"dewgap.book.v1","boats":{}}`, `"{" instead of "["`},
		{"unknown column", edit(`"share":0.5`, `"share":0.5,"mood":"good"`), `unknown field "mood"`},
		{"a changed value", edit(`"air_c":12.2`, `"air_c":12.3`), "a row of readings does not fit its key"},
		{"a changed body", edit("Late-summer clean and seal\\n", "Late-summer seal\\n"), "line 3: a body does not fit its key"},
		{"a row taken out", edit(lineWith(t, good, `"Otter Quay"`), ""), "refers to one that is neither"},
		{"no key", edit(`"key":"`, `"Kee":"`), "unknown field"},
		{"a bad time", edit(`"at":"2026-09-08T09:50:00Z"`, `"at":"yesterday"`), "yesterday"},
		{"a bad share", edit(`"share":0.5`, `"share":7`), "share 7 is not above 0"},
		{"a body twice", `{"format":"dewgap.book.v1","bodies":[{"key":"","text":"a","base64":"YQ=="}]}`, "both text and base64"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBook(t)
			before := exported(t, b)
			_, err := b.Import(t.Context(), strings.NewReader(c.document))
			require.ErrorIs(t, err, ErrImport)
			assert.ErrorContains(t, err, c.want)
			e, ok := errors.AsType[*Error](err)
			require.True(t, ok)
			assert.NotEmpty(t, e.Fix)
			assert.Equal(t, before, exported(t, b), "nothing of it is kept")
		})
	}
}

// lineWith is the whole line of a document in which a text stands.
func lineWith(t *testing.T, document, text string) string {
	for line := range strings.Lines(document) {
		if strings.Contains(line, text) {
			return line
		}
	}
	t.Fatal(text)
	return ""
}

func TestTheLineOfAMistake(t *testing.T) {
	data, err := os.ReadFile(fixture + "season.json")
	require.NoError(t, err)
	n := 0
	for line := range strings.Lines(string(data)) {
		if n++; strings.Contains(line, `"step"`) && strings.Contains(line, `"share"`) {
			break
		}
	}
	broken := bytes.Replace(data, []byte(`"share":0.5`), []byte(`"share":0.6`), 1)
	_, err = newBook(t).Import(t.Context(), iotest.OneByteReader(bytes.NewReader(broken)))
	assert.ErrorContains(t, err, "line "+itoa(n)+": a row of done does not fit")
	syntax := bytes.Replace(data, []byte(`"share":0.5`), []byte(`"share":0.5.5`), 1)
	_, err = newBook(t).Import(t.Context(), bytes.NewReader(syntax))
	assert.ErrorContains(t, err, "line "+itoa(n)+": ")
}

func TestAnImportThatCannotBeRead(t *testing.T) {
	b := newBook(t)
	_, err := b.Import(t.Context(), iotest.ErrReader(errors.New("the stick was pulled out")))
	require.ErrorIs(t, err, ErrImport)
	assert.ErrorContains(t, err, "the stick was pulled out")
}

// TestAListThatRefersToNothing: the lists of an answer are held as well.
func TestAListThatRefersToNothing(t *testing.T) {
	b, s := filled(t)
	text := exported(t, b)
	line := lineWith(t, text, string(s.reading)+`","recorded"`)
	_, err := newBook(t).Import(t.Context(), strings.NewReader(strings.Replace(text, line, "", 1)))
	require.Error(t, err)
	assert.ErrorContains(t, err, "answers: the record refers to one that is not in the book")
}

// FuzzImport: no document makes the reader panic, and what it takes is what it
// would write.
func FuzzImport(f *testing.F) {
	data, err := os.ReadFile(fixture + "season.json")
	require.NoError(f, err)
	text := strings.TrimPrefix(strings.TrimSuffix(string(data), "]}\n"), `{"format":"dewgap.book.v1",`)
	for _, section := range strings.Split(text, "],\n") { // short ones, one table each
		document := `{"format":"dewgap.book.v1",` + section + "]}"
		_, err := rewritten(document)
		require.NoError(f, err)
		f.Add(document)
	}
	f.Add(`{"format":"dewgap.book.v1"}`)
	f.Add(`{"format":"dewgap.book.v1","bodies":[{"key":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","text":"abc"}],"boats":[]}`)
	f.Add(`{"format":"dewgap.book.v1","places":[{"key":"","recorded":"2026-09-08T10:10:00-04:00","latitude":1e999}]}`)
	f.Add(`{"format":"dewgap.book.v1","plans":[null,{}],"done":[[]]}`)
	f.Fuzz(func(t *testing.T, text string) {
		first, err := rewritten(text)
		if err != nil {
			e, ok := errors.AsType[*Error](err)
			require.True(t, ok, "%v", err)
			require.NotEmpty(t, e.Fix)
			return
		}
		second, err := rewritten(first)
		require.NoError(t, err)
		require.Equal(t, first, second)
	})
}

// rewritten reads a document and writes down what was taken from it.
func rewritten(text string) (string, error) {
	parts := map[string][]any{}
	err := decode(strings.NewReader(text),
		func(v bodyJSON) error { parts["bodies"] = append(parts["bodies"], v); return nil },
		func(r record) error { parts[r.table()] = append(parts[r.table()], r); return nil })
	if err != nil {
		return "", err
	}
	var out bytes.Buffer
	doc := newDocument(&out)
	names := []string{"bodies"}
	for _, s := range sections() {
		names = append(names, s.table)
	}
	for _, name := range names {
		doc.begin(name)
		for _, v := range parts[name] {
			if err := doc.row(v); err != nil {
				return "", err
			}
		}
	}
	err = doc.end()
	return out.String(), err
}
