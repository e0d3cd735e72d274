package web

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/internal/webtest"
	"dewgap/products"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var tuesday = webtest.Tuesday

const smallJob = webtest.SmallJob

// fixture is a server and what it is made of.
type fixture struct {
	*Server
	t    testing.TB
	log  *webtest.Lines
	now  time.Time // of the sign-in's clock
	mu   sync.Mutex
	book *book.Book
	file string
}

func (f *fixture) clock() time.Time {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.now
}

func (f *fixture) later(d time.Duration) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.now = f.now.Add(d)
}

// stubPages are pages of their own, for tests that are not of the real ones.
func stubPages(drawn *atomic.Int32) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		drawn.Add(1)
		look := "plain"
		if c, err := r.Cookie("dewgap_theme"); err == nil {
			look = c.Value
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprintf(w, "<p>week in %s %s", look, strings.Repeat("and more ", 100))
	})
	mux.HandleFunc("GET /panics", func(http.ResponseWriter, *http.Request) { panic("slip") })
	mux.HandleFunc("GET /unsettled", func(w http.ResponseWriter, r *http.Request) {
		drawn.Add(1)
		Unsettled(r.Context())
		fmt.Fprint(w, "soon")
	})
	mux.HandleFunc("POST /{$}", func(w http.ResponseWriter, r *http.Request) {
		n, err := io.Copy(io.Discard, r.Body)
		if err != nil {
			http.Error(w, err.Error(), http.StatusRequestEntityTooLarge)
			return
		}
		fmt.Fprint(w, n)
	})
	return mux
}

// serve makes a server on the small job with a book. change may alter how.
func serve(t testing.TB, change func(*Config)) *fixture {
	f := &fixture{t: t, log: &webtest.Lines{}, now: tuesday, file: filepath.Join(t.TempDir(), "small.yaml")}
	require.NoError(t, os.WriteFile(f.file, []byte(smallJob), 0o600))
	f.book = webtest.Book(t)
	classes, err := products.Catalogue()
	require.NoError(t, err)
	metrics := NewMetrics()
	d, err := desk.New(desk.Config{
		Files: []string{f.file}, Source: demo.Source{Clock: app.At(tuesday)}, Clock: app.At(tuesday), Classes: classes, Futures: 4,
		Version: "v1.2.3", Book: app.Stored{Book: f.book}, BookFile: f.book.Path(), KeepAnswers: true, Watch: metrics.Watch(nil),
	})
	require.NoError(t, err)
	t.Cleanup(d.Close)
	cfg := Config{Desk: d, Pages: stubPages(new(atomic.Int32)), Metrics: metrics, Log: slog.New(slog.NewTextHandler(f.log, nil)), Version: "v1.2.3",
		Now: f.clock, Loopback: true}
	if change != nil {
		change(&cfg)
	}
	f.Server, err = New(cfg)
	require.NoError(t, err)
	return f
}

// withSignIn is a server that others can reach, and its token.
func withSignIn(t testing.TB, change func(*Config)) (f *fixture, token string) {
	now := tuesday
	secrets, err := OpenSecrets(filepath.Join(t.TempDir(), "home", "serve.json"), func() time.Time { return now })
	require.NoError(t, err)
	token, made, err := secrets.EnsureToken()
	require.NoError(t, err)
	require.True(t, made)
	return serve(t, func(c *Config) {
		c.Loopback, c.SignIn, c.Secrets = false, true, secrets
		if change != nil {
			change(c)
		}
	}), token
}

// ask sends one request; extra are header names and values in turn.
func (f *fixture) ask(method, path, body string, extra ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host, r.RemoteAddr = "127.0.0.1:8023", "127.0.0.1:4444"
	for i := 0; i < len(extra); i += 2 {
		switch extra[i] {
		case "Host":
			r.Host = extra[i+1]
		case "Remote":
			r.RemoteAddr = extra[i+1]
		default:
			r.Header.Add(extra[i], extra[i+1])
		}
	}
	w := httptest.NewRecorder()
	f.Handler().ServeHTTP(w, r)
	return w
}

// get is ask for GET.
func (f *fixture) get(path string, extra ...string) *httptest.ResponseRecorder {
	return f.ask(http.MethodGet, path, "", extra...)
}

// post sends JSON.
func (f *fixture) post(path, body string, extra ...string) *httptest.ResponseRecorder {
	return f.ask(http.MethodPost, path, body, append([]string{"Content-Type", "application/json"}, extra...)...)
}

// form sends a form.
func (f *fixture) form(path, body string, extra ...string) *httptest.ResponseRecorder {
	return f.ask(http.MethodPost, path, body, append([]string{"Content-Type", "application/x-www-form-urlencoded"}, extra...)...)
}

// listen has the server answer on a real port until the test or stop ends it, and
// gives its address.
func (f *fixture) listen() (address string, stop func()) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(f.t, err)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- f.Serve(ctx, l) }()
	var once sync.Once
	stop = func() {
		once.Do(func() {
			cancel()
			assert.NoError(f.t, <-ended)
		})
	}
	f.t.Cleanup(stop)
	return l.Addr().String(), stop
}

// stillServes asks as another client would and has to have its answer.
func stillServes(t testing.TB, address string) {
	client := &http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
	for range 3 {
		res, err := client.Get("http://" + address + "/")
		require.NoError(t, err)
		data, err := io.ReadAll(res.Body)
		require.NoError(t, err)
		require.NoError(t, res.Body.Close())
		assert.Equal(t, http.StatusOK, res.StatusCode)
		assert.Contains(t, string(data), "week")
	}
}
