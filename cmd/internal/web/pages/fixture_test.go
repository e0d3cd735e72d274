package pages

import (
	"context"
	"errors"
	"fmt"
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

// setup is what a stand is made of, besides the usual.
type setup struct {
	texts  []string // of the job files; none is the demo's
	now    time.Time
	source func(app.Clock) app.Source // nil is the demo's weather
	noBook bool
	change []func(*Config)
}

// standing makes a stand. The job is the demo's, changed by edit.
func standing(t testing.TB, edit func(job string) string, change ...func(*Config)) *stand {
	t.Helper()
	text := string(demo.JobFile())
	if edit != nil {
		text = edit(text)
	}
	return standOn(t, setup{texts: []string{text}, change: change})
}

// standOn makes a stand of a setup. Its job files are kittiwake.yaml, job-2.yaml and so on.
func standOn(t testing.TB, x setup) *stand {
	t.Helper()
	dir := t.TempDir()
	s := &stand{t: t, job: filepath.Join(dir, "kittiwake.yaml"), headers: http.Header{}, now: &x.now}
	if x.now.IsZero() {
		x.now = six
	}
	var files []string
	for i, text := range x.texts {
		name := s.job
		if i > 0 {
			name = filepath.Join(dir, fmt.Sprintf("job-%d.yaml", i+1))
		}
		require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
		files = append(files, name)
	}
	var mu sync.Mutex
	clock := app.ClockFunc(func() time.Time { mu.Lock(); defer mu.Unlock(); return *s.now })
	classes, err := products.Catalogue()
	require.NoError(t, err)
	cfg := desk.Config{Files: files, Source: demo.Source{Clock: clock}, Clock: clock, Classes: classes, Futures: app.Futures, Version: "test"}
	if x.source != nil {
		cfg.Source = x.source(clock)
	}
	if !x.noBook {
		b, err := book.Open(context.Background(), filepath.Join(dir, "book.db"), clock.Now)
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, b.Close()) })
		cfg.Book, cfg.BookFile, cfg.KeepAnswers = app.Stored{Book: b}, filepath.Join(dir, "book.db"), true
	}
	s.desk, err = desk.New(cfg)
	require.NoError(t, err)
	t.Cleanup(s.desk.Close)
	pages := Config{Desk: fitted{s.desk, func(id string) string { return "/calendar/" + id + ".ics" }}, Clock: clock.Now, Version: "1.2.3",
		Settings: func(*http.Request) []Setting {
			return []Setting{{"units", "metric", "units on screen: metric or us", "DEWGAP_UNITS"}, {"contact", "", "your e-mail address", "DEWGAP_CONTACT"}}
		},
		Fault: func(_ *http.Request, err error) { t.Log(err); s.faults = append(s.faults, err) }}
	for _, c := range x.change {
		c(&pages)
	}
	s.pages, err = New(pages)
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
