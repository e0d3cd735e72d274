package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every answer, of whatever kind, has the policy and its like.
func TestHeadersOnEveryAnswer(t *testing.T) {
	open := serve(t, nil)
	signed, _ := withSignIn(t, nil)
	for _, f := range []*fixture{open, signed} {
		for _, path := range []string{
			"/", "/nothing", "/panics", "/healthz", "/metrics", "/sign-in", "/sign-in.css", "/calendar/x.ics", "/calendar/x/y.ics", "/calendar-link",
			"/api/", "/api/jobs", "/api/jobs/none", "/api/jobs/small/why", "/api/openapi.json", "/assets/app.css", "//x", "/a/../b",
		} {
			for _, method := range []string{"GET", "HEAD", "POST", "DELETE", "OPTIONS"} {
				for _, host := range []string{"127.0.0.1:8023", "evil.example"} {
					w := f.ask(method, path, "", "Host", host)
					assert.Equal(t, policy, w.Header().Get("Content-Security-Policy"), "%s %s", method, path)
					assert.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"), path)
					assert.Equal(t, "same-origin", w.Header().Get("Referrer-Policy"), path)
					assert.Empty(t, w.Header().Get("Access-Control-Allow-Origin"), path)
				}
			}
		}
	}
	for _, part := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' data:", "connect-src 'self'",
		"manifest-src 'self'", "worker-src 'self'", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'"} {
		assert.Contains(t, policy, part)
	}
	assert.NotContains(t, policy, "unsafe")
}

// On this computer only our own names are answered.
func TestForgedHost(t *testing.T) {
	f := serve(t, nil)
	for _, host := range []string{"localhost:8023", "LOCALHOST", "127.0.0.1:8023", "127.0.0.1", "[::1]:8023", "127.1.2.3:1"} {
		assert.Equal(t, http.StatusOK, f.get("/healthz", "Host", host).Code, host)
	}
	for _, host := range []string{"evil.example", "evil.example:8023", "127.0.0.1.evil.example", "localhost.evil.example", "", "192.0.2.1:8023", "[::2]", "0.0.0.0:8023"} {
		w := f.get("/api/jobs", "Host", host)
		assert.Equal(t, http.StatusMisdirectedRequest, w.Code, host)
		assert.NotContains(t, w.Body.String(), "Kittiwake", host)
	}
	public, _ := withSignIn(t, func(c *Config) { c.Loopback, c.PublicURL = true, "https://boats.example" })
	assert.Equal(t, http.StatusOK, public.get("/healthz", "Host", "boats.example").Code)
	assert.Equal(t, http.StatusMisdirectedRequest, public.get("/healthz", "Host", "evil.example").Code)
}

// What another site's page has a browser send changes nothing; what our own pages and
// programs send does.
func TestForgedOrigin(t *testing.T) {
	f := serve(t, nil)
	body := `{"readings": [{"at": "2026-09-08T05:50", "air_c": 15}]}`
	for _, forged := range [][]string{
		{"Origin", "https://evil.example"}, {"Origin", "null"}, {"Origin", "http://127.0.0.1:9999"},
		{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"}, {"Sec-Fetch-Site", "cross-site", "Origin", "http://127.0.0.1:8023"},
	} {
		w := f.post("/api/jobs/small/readings", body, forged...)
		assert.Equal(t, http.StatusForbidden, w.Code, forged)
		assert.Equal(t, "application/problem+json", w.Header().Get("Content-Type"))
		assert.Equal(t, http.StatusForbidden, f.form("/", "a=b", forged...).Code, forged)
	}
	list := f.get("/api/jobs/small/readings")
	assert.Contains(t, list.Body.String(), `"entries":[]`)
	for _, own := range [][]string{{}, {"Origin", "http://127.0.0.1:8023"}, {"Sec-Fetch-Site", "same-origin"}, {"Sec-Fetch-Site", "none"}} {
		assert.Equal(t, http.StatusOK, f.post("/api/jobs/small/readings", body, own...).Code, own)
	}
}

// Paths lead to nothing outside, and no redirect leads away.
func TestPathTricks(t *testing.T) {
	f := serve(t, nil)
	for _, path := range []string{
		"/../../etc/passwd", "/..%2f..%2fetc%2fpasswd", "/assets/../../etc/passwd", "/assets/%2e%2e/%2e%2e/etc/passwd",
		"/%00", "/api/jobs/..%2f..%2f/text", "/api/jobs/%2e%2e/text", "/api/jobs/small%00/text", "/calendar/../../x.ics", "/calendar//small.ics",
		"//evil.example/%2f..", "/\\evil.example", "/api//jobs", "/" + strings.Repeat("a/", 4000),
	} {
		r, err := http.NewRequest(http.MethodGet, "http://127.0.0.1:8023/", nil)
		require.NoError(t, err)
		r.URL.Opaque = path
		if u, err := url.ParseRequestURI(path); err == nil {
			r.URL.Path, r.URL.RawPath, r.URL.Opaque = u.Path, u.RawPath, ""
		}
		w := httptest.NewRecorder()
		f.Handler().ServeHTTP(w, r)
		assert.Contains(t, []int{301, 307, 400, 404}, w.Code, path)
		assert.NotContains(t, w.Body.String(), "root:", path)
		if to := w.Header().Get("Location"); to != "" {
			assert.True(t, strings.HasPrefix(to, "/") && !strings.HasPrefix(to, "//"), "%s leads to %s", path, to)
		}
	}
}

// A panic ends one request, with a fault and without its words.
func TestPanicEndsOneRequest(t *testing.T) {
	f := serve(t, nil)
	w := f.get("/panics")
	assert.Equal(t, http.StatusInternalServerError, w.Code)
	assert.NotContains(t, w.Body.String(), "slip")
	assert.Contains(t, f.log.String(), "slip")
	assert.Equal(t, http.StatusOK, f.get("/").Code)
	assert.Equal(t, http.StatusInternalServerError, f.get("/panics").Code, "and again, though the page was being kept")
}

// A server that others can reach is not made without a sign-in.
func TestNewRefuses(t *testing.T) {
	f := serve(t, nil)
	for name, change := range map[string]func(*Config){
		"open to all":    func(c *Config) { c.Loopback = false },
		"public":         func(c *Config) { c.PublicURL = "https://boats.example" },
		"no secrets":     func(c *Config) { c.SignIn = true },
		"no desk":        func(c *Config) { c.Desk = nil },
		"no address":     func(c *Config) { c.SignIn, c.Secrets, c.PublicURL = true, &Secrets{}, "boats.example" },
		"address a path": func(c *Config) { c.SignIn, c.Secrets, c.PublicURL = true, &Secrets{}, "https://boats.example/x" },
	} {
		cfg := f.cfg
		cfg.Metrics, cfg.Secrets = NewMetrics(), nil
		change(&cfg)
		_, err := New(cfg)
		assert.Error(t, err, name)
	}
}

// Only this computer's own addresses are loopback.
func TestLoopback(t *testing.T) {
	for listen, is := range map[string]bool{
		"127.0.0.1:8023": true, "localhost:1": true, "[::1]:8023": true, "127.9.9.9:0": true, "[::ffff:127.0.0.1]:1": true,
		":8023": false, "0.0.0.0:8023": false, "[::]:8023": false, "192.0.2.1:8023": false, "boat.example:8023": false, "8023": false,
	} {
		assert.Equal(t, is, Loopback(listen), listen)
	}
}

// No next leads to another site.
func FuzzLocal(f *testing.F) {
	for _, next := range []string{"/week/small?a=b#c", "//evil.example", "/\\evil.example", "https://evil.example/", "/%2f/evil", "\t//evil", "/\t/evil.example", ""} {
		f.Add(next)
	}
	base, err := url.Parse("https://boats.example/sign-in")
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, next string) {
		to, err := base.Parse(local(next))
		if err != nil || to.Host != "boats.example" || to.Scheme != "https" {
			t.Fatalf("%q leads to %v", next, to)
		}
		// Browsers take a backslash for a slash and leave out tabs and line ends.
		as := strings.NewReplacer("\\", "/", "\t", "", "\n", "", "\r", "").Replace(local(next))
		if strings.HasPrefix(as, "//") {
			t.Fatalf("%q leads a browser to %q", next, as)
		}
	})
}
