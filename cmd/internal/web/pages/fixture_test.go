package pages

import (
	"context"
	"errors"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/web/desk"
	"dewgap/products"

	"github.com/stretchr/testify/require"
)

// six is when most tests ask: at six on a Tuesday morning of the demo.
var six = time.Date(2026, 9, 8, 10, 0, 0, 0, time.UTC)

// stand is the real thing on the demo's weather, with a job file and a book in a
// folder of its own.
type stand struct {
	t       testing.TB
	desk    *desk.Desk
	pages   *Pages
	job     string // path of the job file
	now     *time.Time
	faults  []error
	headers http.Header
}

// standing makes a stand. The job is the demo's, changed by edit.
func standing(t testing.TB, edit func(job string) string, change ...func(*Config)) *stand {
	t.Helper()
	dir := t.TempDir()
	s := &stand{t: t, job: filepath.Join(dir, "kittiwake.yaml"), headers: http.Header{}}
	now := six
	s.now = &now
	text := string(demo.JobFile())
	if edit != nil {
		text = edit(text)
	}
	require.NoError(t, os.WriteFile(s.job, []byte(text), 0o600))
	var mu sync.Mutex
	clock := app.ClockFunc(func() time.Time { mu.Lock(); defer mu.Unlock(); return *s.now })
	classes, err := products.Catalogue()
	require.NoError(t, err)
	b, err := book.Open(context.Background(), filepath.Join(dir, "book.db"), clock.Now)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, b.Close()) })
	s.desk, err = desk.New(desk.Config{Files: []string{s.job}, Source: demo.Source{Clock: clock}, Clock: clock, Classes: classes,
		Futures: app.Futures, Version: "test", Book: app.Stored{Book: b}, BookFile: filepath.Join(dir, "book.db"), KeepAnswers: true})
	require.NoError(t, err)
	t.Cleanup(s.desk.Close)
	cfg := Config{Desk: fitted{s.desk, func(id string) string { return "/calendar/" + id + ".ics" }}, Clock: clock.Now, Version: "1.2.3",
		Settings: func(*http.Request) []Setting {
			return []Setting{{"units", "metric", "units on screen: metric or us", "DEWGAP_UNITS"}, {"contact", "", "your e-mail address", "DEWGAP_CONTACT"}}
		},
		Fault: func(_ *http.Request, err error) { t.Log(err); s.faults = append(s.faults, err) }}
	for _, c := range change {
		c(&cfg)
	}
	s.pages, err = New(cfg)
	require.NoError(t, err)
	return s
}

// get asks for a path.
func (s *stand) get(path string) *httptest.ResponseRecorder {
	return s.do(httptest.NewRequest(http.MethodGet, path, nil))
}

// post sends a form.
func (s *stand) post(path string, f url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(f.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return s.do(r)
}

func (s *stand) do(r *http.Request) *httptest.ResponseRecorder {
	for k, v := range s.headers {
		r.Header[k] = v
	}
	w := httptest.NewRecorder()
	s.pages.ServeHTTP(w, r)
	return w
}

// TestLook serves the pages on the address in DEWGAP_LOOK until the file that
// DEWGAP_LOOK_UNTIL names is gone, to be looked at in a browser.
func TestLook(t *testing.T) {
	addr := os.Getenv("DEWGAP_LOOK")
	if addr == "" {
		t.Skip("set DEWGAP_LOOK=localhost:8080 to look at the pages")
	}
	s := standing(t, nil)
	if at, err := time.Parse(time.RFC3339, os.Getenv("DEWGAP_LOOK_NOW")); err == nil {
		*s.now = at
	}
	l, err := net.Listen("tcp", addr)
	require.NoError(t, err)
	server := &http.Server{Handler: s.pages, ReadHeaderTimeout: time.Minute}
	go func() {
		for until := os.Getenv("DEWGAP_LOOK_UNTIL"); until != ""; time.Sleep(200 * time.Millisecond) {
			if _, err := os.Stat(until); err != nil {
				_ = server.Close()
				return
			}
		}
	}()
	if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		t.Fatal(err)
	}
}
