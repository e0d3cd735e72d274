package products

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write classes.json anew from classes.yaml")

// TestReady: the catalogue that is read beforehand is the one that its file says, to the
// last field.
func TestReady(t *testing.T) {
	want, err := readCatalogue()
	require.NoError(t, err)
	if *update {
		data, err := readyFrom(catalogue, want)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile("classes.json", data, 0o644)) //nolint:gosec // as every file of the repository
		t.Skip("classes.json is written anew; run the tests again")
	}
	got := readySet(readyData, catalogue)
	require.NotNil(t, got, "classes.yaml has changed: go test ./products -run Ready -update")
	assert.Equal(t, want, got, "the reader has changed: go test ./products -run Ready -update")
	assert.Equal(t, want.Hash(), got.Hash())
}

// TestChangedCatalogueIsRead: a catalogue that was changed is read from its file.
func TestChangedCatalogueIsRead(t *testing.T) {
	changed := append(bytes.Clone(catalogue), "# a remark\n"...)
	assert.Nil(t, readySet(readyData, changed))
	assert.Nil(t, readySet(readyData[1:], catalogue))
	assert.Nil(t, readySet([]byte(`{"From":"`+sumOf(catalogue)+`"}`), catalogue))
	assert.NotNil(t, readySet(readyData, catalogue))
}

// BenchmarkReady is what every command waits for before it knows a product; the second is
// the same read from the file that people write.
func BenchmarkReady(b *testing.B) {
	b.Run("beforehand", func(b *testing.B) {
		for b.Loop() {
			if readySet(readyData, catalogue) == nil {
				b.Fatal("of another file")
			}
		}
	})
	b.Run("from the file", func(b *testing.B) {
		for b.Loop() {
			if _, err := readCatalogue(); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// readyFrom is the data of the catalogue that was read from a file: what is nothing is left
// out, and each class has a line.
func readyFrom(file []byte, s *Set) ([]byte, error) {
	var out bytes.Buffer
	out.WriteString(`{"From":"` + sumOf(file) + `","Classes":[`)
	for i, c := range s.classes {
		if i > 0 {
			out.WriteByte(',')
		}
		data, err := json.Marshal(c)
		if err != nil {
			return nil, err
		}
		var v any
		if err := json.Unmarshal(data, &v); err != nil {
			return nil, err
		}
		if data, err = json.Marshal(something(v)); err != nil {
			return nil, err
		}
		out.Write(append([]byte("\n"), data...))
	}
	out.WriteString("\n]}\n")
	return out.Bytes(), nil
}

// something is a value without its members that are nothing; an empty list is no missing one.
func something(v any) any {
	m, ok := v.(map[string]any)
	if !ok {
		return v
	}
	for key, inner := range m {
		switch inner = something(inner); x := inner.(type) {
		case nil:
			delete(m, key)
		case bool:
			if !x {
				delete(m, key)
			}
		case float64:
			if x == 0 {
				delete(m, key)
			}
		case string:
			if x == "" {
				delete(m, key)
			}
		case map[string]any:
			if len(x) == 0 {
				delete(m, key)
			}
		}
	}
	return m
}
