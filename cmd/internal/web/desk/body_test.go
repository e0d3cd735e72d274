package desk_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/web/desk"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func served(b *desk.Body, method string, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "/", nil)
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	b.Serve(w, r, "text/plain")
	return w
}

// Whatever a client accepts and has, it ends up with the same bytes, or is told that
// it has them.
func TestBodyServe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 0, 2000).Draw(t, "data")
		b := desk.NewBody(data)
		accept := rapid.SampledFrom([]string{"", "gzip", "br, gzip;q=0.5", "gzip;q=0", "identity", "*"}).Draw(t, "accept")
		w := served(b, http.MethodGet, "Accept-Encoding", accept)
		if w.Code != http.StatusOK || w.Header().Get("Content-Length") != fmt.Sprint(w.Body.Len()) {
			t.Fatalf("%d, length %s of %d", w.Code, w.Header().Get("Content-Length"), w.Body.Len())
		}
		got := w.Body.Bytes()
		if w.Header().Get("Content-Encoding") == "gzip" {
			if accept == "" || accept == "identity" || accept == "gzip;q=0" {
				t.Fatalf("%q got gzip", accept)
			}
			z, err := gzip.NewReader(bytes.NewReader(got))
			if err != nil {
				t.Fatal(err)
			}
			if got, err = io.ReadAll(z); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(got, data) {
			t.Fatal("other bytes")
		}
		again := served(b, http.MethodGet, "Accept-Encoding", accept, "If-None-Match", w.Header().Get("ETag"))
		if again.Code != http.StatusNotModified || again.Body.Len() != 0 || again.Header().Get("ETag") != w.Header().Get("ETag") {
			t.Fatalf("%d with %d bytes", again.Code, again.Body.Len())
		}
	})
}

// HEAD has the header of GET and nothing else.
func TestBodyHead(t *testing.T) {
	b := desk.NewBody([]byte(strings.Repeat("dew ", 500)))
	for _, accept := range []string{"", "gzip"} {
		get, head := served(b, http.MethodGet, "Accept-Encoding", accept), served(b, http.MethodHead, "Accept-Encoding", accept)
		assert.Equal(t, get.Header(), head.Header())
		assert.Zero(t, head.Body.Len())
	}
	plain, packed := served(b, http.MethodGet), served(b, http.MethodGet, "Accept-Encoding", "gzip")
	assert.NotEqual(t, plain.Header().Get("ETag"), packed.Header().Get("ETag"), "strong tags name bytes")
	assert.Less(t, packed.Body.Len(), plain.Body.Len()/10)
}

// RFC 9110, 8.8.3 and 13.1: lists, weak tags and the star.
func TestHasTag(t *testing.T) {
	for list, is := range map[string]bool{
		`"abc"`: true, `W/"abc"`: true, `"abc-gz"`: true, `"x", "abc"`: true, `*`: true,
		`"abcd"`: false, ``: false, `"ab", "c"`: false, `"-gz"`: false,
	} {
		assert.Equal(t, is, desk.HasTag(list, "abc"), list)
	}
}

// Moments by the clock at the place, on a day with two noons but one, in winter and
// with an offset.
func TestMoment(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	now := time.Date(2026, 9, 8, 10, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"":                          "2026-09-08T10:00:00Z",
		"05:15":                     "2026-09-08T09:15:00Z",
		"2026-09-07T23:30":          "2026-09-08T03:30:00Z",
		"2026-09-07 23:30":          "2026-09-08T03:30:00Z",
		"2026-12-01T12:00":          "2026-12-01T17:00:00Z",
		"2026-09-08T06:00+02:00":    "2026-09-08T04:00:00Z",
		"2026-09-08T06:00:30-04:00": "2026-09-08T10:00:30Z",
	} {
		got, err := desk.Moment(text)(now, loc)
		require.NoError(t, err, text)
		assert.Equal(t, want, got.UTC().Format(time.RFC3339), text)
	}
	for _, text := range []string{"now", "25:00", "6", "2026-13-01T00:00", "0001-01-01T00:00:00Z", "2026-09-08"} {
		_, err := desk.Moment(text)(now, loc)
		require.Error(t, err, text)
		assert.NotEmpty(t, desk.Failures(err)[0].Fix, text)
	}
}

// No text makes a moment of a year of which no forecast tells.
func FuzzMoment(f *testing.F) {
	for _, text := range []string{"", "05:15", "2026-09-07T23:30", "2026-09-08T06:00:30-04:00", "9999-01-01T00:00"} {
		f.Add(text)
	}
	loc, err := time.LoadLocation("Pacific/Auckland")
	require.NoError(f, err)
	now := time.Date(2026, 9, 8, 10, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, text string) {
		got, err := desk.Moment(text)(now, loc)
		if y := got.UTC().Year(); err == nil && (y < 1900 || y > 2199) {
			t.Fatalf("%q is %v", text, got)
		}
	})
}

// Ids are each another, whatever the files are called, and fit into an address.
func TestIDs(t *testing.T) {
	assert.Equal(t, []string{"demo", "demo-2", "my-job", "my-job-2", "job"},
		desk.IDs([]string{"a/demo.yaml", "a/My Job.yaml", "b/my.job.yml", "ß.yaml"}, true))
	rapid.Check(t, func(t *rapid.T) {
		files := rapid.SliceOfN(rapid.String(), 1, 6).Draw(t, "files")
		seen := map[string]bool{}
		for _, id := range desk.IDs(files, rapid.Bool().Draw(t, "demo")) {
			if seen[id] || id == "" || strings.Trim(id, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
				t.Fatalf("%q of %q", id, files)
			}
			seen[id] = true
		}
	})
}
