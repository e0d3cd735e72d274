package book

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const fixture = "../../../testdata/book/"

func exported(t require.TestingT, b *Book) string {
	var out bytes.Buffer
	require.NoError(t, b.ExportJSON(context.Background(), &out))
	return out.String()
}

// TestTheOldExportIsStillRead: season.json was written by the first version of
// this package and is never written anew. It must be read for ever, and what was
// read must be what was written.
func TestTheOldExportIsStillRead(t *testing.T) {
	data, err := os.ReadFile(fixture + "season.json")
	require.NoError(t, err)
	b := newBook(t)
	n, err := b.Import(t.Context(), bytes.NewReader(data))
	require.NoError(t, err)
	assert.Equal(t, Imported{Added: 14}, n)
	require.NoError(t, b.Verify(t.Context()))
	assert.Equal(t, string(data), exported(t, b))

	again, err := b.Import(t.Context(), bytes.NewReader(data))
	require.NoError(t, err)
	assert.Equal(t, Imported{Skipped: 14}, again)
	assert.Equal(t, string(data), exported(t, b))
}

func TestTheExportIsOneDocument(t *testing.T) {
	for _, b := range []*Book{newBook(t), first(filled(t))} {
		text := exported(t, b)
		var doc map[string]json.RawMessage
		require.NoError(t, json.Unmarshal([]byte(text), &doc))
		assert.Len(t, doc, len(sections())+2)
		assert.JSONEq(t, `"dewgap.book.v1"`, string(doc["format"]))
		for name, part := range doc {
			if name != "format" {
				assert.True(t, json.Valid(part) && part[0] == '[', "%s is an array", name)
			}
		}
		assert.Equal(t, text, exported(t, b), "the same rows give the same bytes")
	}
}

func first[T, U any](v T, _ U) T { return v }

// TestAnyBookIsExportedAndImported records by chance, and holds that a copy made
// by export and import, and a second one made of two halves, say the same.
func TestAnyBookIsExportedAndImported(t *testing.T) {
	dir := t.TempDir()
	n := 0
	fewer(t, 12)
	rapid.Check(t, func(t *rapid.T) {
		n++
		one := chanceBook(t, filepath.Join(dir, "one"+time.Duration(n).String()))
		half := exported(t, one)
		require.NoError(t, chance(one, rapid.Uint64().Draw(t, "more"), 5))
		whole := exported(t, one)

		two := emptyBook(t, filepath.Join(dir, "two"+time.Duration(n).String()))
		for _, text := range []string{half, whole, half} {
			_, err := two.Import(context.Background(), strings.NewReader(text))
			require.NoError(t, err)
		}
		require.NoError(t, two.Verify(context.Background()))
		assert.Equal(t, whole, exported(t, two))
		require.NoError(t, errors.Join(one.Close(), two.Close()))
	})
}

// fewer lowers the number of rapid's runs in a test that makes books on the disk.
func fewer(t *testing.T, runs int) {
	f := flag.Lookup("rapid.checks")
	if old := f.Value.String(); old == f.DefValue {
		require.NoError(t, f.Value.Set(itoa(runs)))
		t.Cleanup(func() { require.NoError(t, f.Value.Set(old)) })
	}
}

func emptyBook(t *rapid.T, path string) *Book {
	b, err := Open(context.Background(), path, func() time.Time { return dawn })
	require.NoError(t, err)
	return b
}

func chanceBook(t *rapid.T, path string) *Book {
	b := emptyBook(t, path)
	require.NoError(t, chance(b, rapid.Uint64().Draw(t, "seed"), rapid.IntRange(0, 20).Draw(t, "records")))
	return b
}

// chance makes some records of every kind that follow from a seed.
func chance(b *Book, seed uint64, records int) error {
	w := newWriter(rand.New(rand.NewPCG(seed, 1)))
	for range records {
		if _, err := w.step(context.Background(), b); err != nil {
			return err
		}
	}
	return nil
}

// TestTwoBooksIntoOne: rows of both are there, what both have is there once, and
// the newest plan holds, whichever came in last.
func TestTwoBooksIntoOne(t *testing.T) {
	plan := func(b *Book, c *clock, text string) Key {
		c.t = c.t.Add(time.Hour)
		b.now = c.now
		job := theJob(t, b)
		recordOne(t, b, func(tx *Tx) (Row, error) {
			body, err := tx.AddBody([]byte(text))
			if err != nil {
				return Row{}, err
			}
			return tx.AddPlan(Plan{Job: job, At: dawn, Body: body})
		})
		return job
	}
	c := &clock{dawn}
	old, recent, both := newBook(t), newBook(t), newBook(t)
	plan(old, c, "old")
	job := plan(recent, c, "recent")
	for _, b := range []*Book{recent, old} {
		_, err := both.Import(t.Context(), strings.NewReader(exported(t, b)))
		require.NoError(t, err)
	}
	jobs, err := both.Jobs(t.Context())
	require.NoError(t, err)
	assert.Len(t, jobs, 1)
	p, err := both.LatestPlan(t.Context(), job)
	require.NoError(t, err)
	assert.Equal(t, keyOfBytes([]byte("recent")), p.Body)
}

func TestCSV(t *testing.T) {
	b, s := filled(t)
	binary := recordOne(t, b, func(tx *Tx) (Key, error) { return tx.AddBody([]byte{0xff, 0x00}) })
	var out bytes.Buffer
	require.NoError(t, b.ExportCSV(t.Context(), &out))
	z, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	require.NoError(t, err)
	files := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		files[f.Name], err = io.ReadAll(r)
		require.NoError(t, err)
	}
	assert.Equal(t, []byte{0xff, 0x00}, files["bodies/"+string(binary)])

	table := func(name string) (rows []map[string]string) {
		all, err := csv.NewReader(bytes.NewReader(files[name+".csv"])).ReadAll()
		require.NoError(t, err)
		for _, row := range all[1:] {
			m := map[string]string{}
			for i, column := range all[0] {
				m[column] = row[i]
			}
			rows = append(rows, m)
		}
		return rows
	}
	for _, sec := range sections() {
		assert.NotEmpty(t, table(sec.table), sec.table)
	}
	reading := table("readings")[0]
	assert.Equal(t, "1", reading["id"])
	assert.Equal(t, string(s.reading), reading["key"])
	assert.Equal(t, "2026-09-08T10:06:00Z", reading["at"])
	assert.Equal(t, "-0.5", reading["surface_c"])
	assert.Equal(t, "0", reading["sun"])
	assert.Equal(t, `["colder than the dew point"]`, reading["flags"])
	assert.Empty(t, reading["supersedes"])
	assert.Empty(t, table("answers")[1]["products"])
	bodies := table("bodies")
	assert.Equal(t, "2", bodies[len(bodies)-1]["size"])

	var again bytes.Buffer
	require.NoError(t, b.ExportCSV(t.Context(), &again))
	assert.True(t, bytes.Equal(out.Bytes(), again.Bytes()), "the same rows give the same bytes")
}

// full is a disk with some room.
type full struct{ room int }

var errFull = errors.New("no space")

func (f *full) Write(p []byte) (int, error) {
	if f.room -= len(p); f.room < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestAnExportThatCannotBeWritten(t *testing.T) {
	b, _ := filled(t)
	whole := len(exported(t, b))
	for room := 0; room < whole; room += whole / 7 {
		require.ErrorIs(t, b.ExportJSON(t.Context(), &full{room}), errFull)
	}
	for room := 0; room < 5000; room += 1000 {
		require.ErrorIs(t, b.ExportCSV(t.Context(), &full{room}), errFull)
	}
}
