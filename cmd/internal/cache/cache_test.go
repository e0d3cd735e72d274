package cache

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const key = "Open-Meteo https://example.org/v1/forecast?latitude=43.07&longitude=-70.74"

var fetched = time.Date(2026, 9, 7, 5, 40, 0, 0, time.UTC)

func entry(body string) fetch.Entry {
	return fetch.Entry{
		Body: []byte(body), ETag: `W/"otter"`, LastModified: "Mon, 07 Sep 2026 05:31:00 GMT",
		Expires: fetched.Add(30 * time.Minute), Fetched: fetched, URL: "https://example.org/v1/forecast",
	}
}

func TestPutThenGetGivesTheSame(t *testing.T) {
	d := Open(filepath.Join(t.TempDir(), "not", "yet", "there"))
	want := entry("{\"a\":1}\n\n[binary \x00 too]")
	require.NoError(t, d.Put(key, want))
	got, ok, err := d.Get(key)
	require.NoError(t, err)
	require.True(t, ok)
	assert.Equal(t, want, got)
}

func TestRoundTripOfAnything(t *testing.T) {
	d := Open(t.TempDir())
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.String().Draw(t, "key")
		want := entry("")
		want.Body = rapid.SliceOf(rapid.Byte()).Draw(t, "body")
		want.ETag = rapid.StringMatching(`[ -~]*`).Draw(t, "etag")
		data, err := encode(k, want)
		require.NoError(t, err)
		if strings.ToValidUTF8(k, "") != k {
			t.Skip("keys are text")
		}
		got, err := decode(data, k)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(want.Body, got.Body))
		assert.Equal(t, want.ETag, got.ETag)
		assert.Equal(t, filepath.Dir(d.File(k)), d.path, "no key leads out of the folder")
	})
}

func TestAbsentIsNoError(t *testing.T) {
	_, ok, err := Open(filepath.Join(t.TempDir(), "nowhere")).Get(key)
	require.NoError(t, err)
	assert.False(t, ok)
}

func TestQuestionsDoNotMix(t *testing.T) {
	d := Open(t.TempDir())
	require.NoError(t, d.Put(key, entry(`{"a":1}`)))
	_, ok, err := d.Get(key + "&days=3")
	require.NoError(t, err)
	assert.False(t, ok)

	// The same file name by some accident still does not answer for another.
	require.NoError(t, os.Rename(d.File(key), d.File("other")))
	_, ok, err = d.Get("other")
	assert.ErrorContains(t, err, "another question")
	assert.False(t, ok)
}

func TestDamagedCountsAsAbsentAndIsMended(t *testing.T) {
	whole, err := encode(key, entry(`{"a":[1,2,3]}`))
	require.NoError(t, err)
	damage := map[string][]byte{
		"empty":               nil,
		"header only":         whole[:bytes.IndexByte(whole, '\n')],
		"cut in the header":   whole[:20],
		"cut in the body":     whole[:len(whole)-3],
		"one byte changed":    bytes.Replace(whole, []byte("[1,"), []byte("[7,"), 1),
		"no header":           []byte(`{"a":[1,2,3]}`),
		"another version":     bytes.Replace(whole, []byte("cache.v1"), []byte("cache.v9"), 1),
		"header of bad JSON":  append([]byte("{\"format\":\n"), whole...),
		"zeros after a crash": make([]byte, len(whole)),
	}
	for name, data := range damage {
		t.Run(name, func(t *testing.T) {
			d := Open(t.TempDir())
			require.NoError(t, os.WriteFile(d.File(key), data, 0o600))
			_, ok, err := d.Get(key)
			assert.False(t, ok)
			require.ErrorContains(t, err, d.File(key))

			require.NoError(t, d.Put(key, entry(`{"b":2}`)))
			got, ok, err := d.Get(key)
			require.NoError(t, err)
			require.True(t, ok)
			assert.Equal(t, `{"b":2}`, string(got.Body))
		})
	}
}

func TestUnreadableIsReported(t *testing.T) {
	d := Open(t.TempDir())
	require.NoError(t, os.Mkdir(d.File(key), 0o700))
	_, ok, err := d.Get(key)
	assert.False(t, ok)
	assert.ErrorContains(t, err, "not a saved reply")
	assert.Error(t, d.Put(key, entry(`{}`)), "a folder is in the way")

	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	assert.Error(t, Open(file).Put(key, entry(`{}`)), "the cache folder is a file")
	_, ok, _ = Open(file).Get(key)
	assert.False(t, ok)
}

func TestOnlyThePersonMayRead(t *testing.T) {
	d := Open(filepath.Join(t.TempDir(), "cache"))
	require.NoError(t, d.Put(key, entry(`{}`)))
	file, err := os.Stat(d.File(key))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), file.Mode().Perm())
	folder, err := os.Stat(d.path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o700), folder.Mode().Perm())
}

// TestWritersAndReadersAtOnce lets several writers replace one file while
// readers look: every look finds one whole reply, and no leftovers stay.
func TestWritersAndReadersAtOnce(t *testing.T) {
	d := Open(t.TempDir())
	body := func(n int) string {
		return fmt.Sprintf(`{"writer":%d,"fill":%q}`, n, strings.Repeat(string(rune('a'+n)), 20_000))
	}
	require.NoError(t, d.Put(key, entry(body(0))))
	var wg sync.WaitGroup
	for n := range 3 {
		wg.Go(func() {
			for range 10 {
				assert.NoError(t, d.Put(key, entry(body(n))))
			}
		})
		wg.Go(func() {
			for range 100 {
				got, ok, err := d.Get(key)
				if assert.NoError(t, err) && assert.True(t, ok) {
					assert.Contains(t, []string{body(0), body(1), body(2)}, string(got.Body))
				}
			}
		})
	}
	wg.Wait()
	files, err := os.ReadDir(d.path)
	require.NoError(t, err)
	assert.Len(t, files, 1)
}

func FuzzDecode(f *testing.F) {
	whole, err := encode(key, entry(`{"a":1}`))
	require.NoError(f, err)
	f.Add(whole)
	f.Add([]byte("{}\n{}"))
	f.Add([]byte("\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		e, err := decode(data, key)
		if err != nil {
			return
		}
		again, err := encode(key, e)
		require.NoError(t, err)
		back, err := decode(again, key)
		require.NoError(t, err)
		assert.Equal(t, e.Body, back.Body)
		assert.True(t, e.Fetched.Equal(back.Fetched))
	})
}
