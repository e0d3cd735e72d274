package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"dewgap/cmd/internal/demo"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast/source"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// buffer may be written and read at once.
type buffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *buffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}

func (b *buffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}

// server is dewgap serve under way.
type server struct {
	t        *testing.T
	base     string
	out, err *buffer
	stop     func()
	client   *http.Client
}

// startServe runs dewgap serve on a free port, until the test or stop ends it.
func startServe(t *testing.T, o serveOptions) *server {
	r := newRunIn(t)
	s := &server{t: t, out: &buffer{}, err: &buffer{}}
	r.Stdout, r.Stderr, r.Now = s.out, s.err, time.Now // cookies end by the clock
	if o.listen == "" {
		o.listen = "127.0.0.1:0"
	}
	if o.log == "" {
		o.log = "text"
	}
	address := make(chan string, 1)
	o.started = func(a string) { address <- a }
	set, err := settings.Load("")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- runServe(ctx, r, set, o) }()
	var once sync.Once
	s.stop = func() { once.Do(func() { cancel(); assert.NoError(t, <-ended) }) }
	t.Cleanup(s.stop)
	select {
	case a := <-address:
		_, port, _ := strings.Cut(a[strings.LastIndex(a, ":"):], ":")
		s.base = "http://127.0.0.1:" + port
	case err := <-ended:
		require.NoError(t, err, s.err)
		require.Fail(t, "it ended by itself")
	}
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	s.client = &http.Client{Jar: jar, Timeout: time.Minute}
	return s
}

// newRunIn is newRun with its home kept where one is set by the test.
func newRunIn(t *testing.T) Env {
	home := os.Getenv("DEWGAP_HOME")
	r := newRun(t)
	if home != "" {
		t.Setenv("DEWGAP_HOME", home)
	}
	return r.env
}

func (s *server) get(path string) (int, string, http.Header) {
	res, err := s.client.Get(s.base + path)
	require.NoError(s.t, err)
	data, err := io.ReadAll(res.Body)
	require.NoError(s.t, err)
	require.NoError(s.t, res.Body.Close())
	return res.StatusCode, string(data), res.Header
}

func (s *server) post(path string, form url.Values) (int, string) {
	res, err := s.client.PostForm(s.base+path, form)
	require.NoError(s.t, err)
	data, err := io.ReadAll(res.Body)
	require.NoError(s.t, err)
	require.NoError(s.t, res.Body.Close())
	return res.StatusCode, string(data)
}

// demoServe are the options of dewgap serve --demo at a moment.
func demoServe() serveOptions {
	return serveOptions{question: question{demo: true, now: monday}}
}

// The demo is served: pages, the same bytes as --json, a calendar, all with the
// policy, and nothing is kept.
func TestServeDemo(t *testing.T) {
	s := startServe(t, demoServe())
	assert.Regexp(t, `^dewgap serves http://127\.0\.0\.1:\d+ to this computer only\.`, s.out.String())
	for _, path := range []string{"/", "/week/demo", "/morning/demo", "/job/demo", "/log/demo", "/move/demo", "/places", "/settings", "/api/jobs", "/sw.js"} {
		code, _, header := s.get(path)
		assert.Equal(t, http.StatusOK, code, path)
		assert.Contains(t, header.Get("Content-Security-Policy"), "default-src 'none'", path)
	}
	r := newRun(t)
	for _, kind := range []string{"week", "morning"} {
		_, got, _ := s.get("/api/jobs/demo/" + kind)
		assert.Equal(t, r.do(kind, "--demo", "--now", monday, "--json").out.String(), got, kind)
	}
	code, calendar, header := s.get("/calendar/demo.ics")
	assert.Equal(t, http.StatusOK, code)
	assert.Equal(t, "text/calendar; charset=utf-8", header.Get("Content-Type"))
	assert.Contains(t, calendar, "BEGIN:VEVENT\r\n")
	code, _, _ = s.get("/calendar/other.ics")
	assert.Equal(t, http.StatusNotFound, code)
	code, _, _ = s.get("/calendar/demo/x.ics")
	assert.Equal(t, http.StatusNotFound, code)
	s.stop()
	assert.Contains(t, s.err.String(), "stopped")
	list, err := os.ReadDir(os.Getenv("DEWGAP_HOME"))
	require.NoError(t, err)
	assert.Empty(t, list, "the demo left something behind")
}

// What is recorded by a page and by a program is in the same book, and the next
// answer knows of it.
func TestServeRecords(t *testing.T) {
	home := t.TempDir()
	t.Setenv("DEWGAP_HOME", home)
	file := filepath.Join(home, "job.yaml")
	require.NoError(t, os.WriteFile(file, demo.JobFile(), 0o600))
	o := serveOptions{question: question{now: monday, job: file, forecast: savedReply(t, home), fetched: monday}, jobs: []string{file}}
	s := startServe(t, o)
	res, err := s.client.Post(s.base+"/api/jobs/job/readings", "application/json",
		strings.NewReader(`{"readings": [{"at": "2026-09-07T05:50", "air_c": 15, "humidity_pct": 90}]}`))
	require.NoError(t, err)
	require.NoError(t, res.Body.Close())
	require.Equal(t, http.StatusOK, res.StatusCode)
	_, morning, _ := s.get("/api/jobs/job/morning")
	var m struct{ Readings []any }
	require.NoError(t, json.Unmarshal([]byte(morning), &m))
	assert.NotEmpty(t, m.Readings)
	_, log, _ := s.get("/log/job")
	assert.Contains(t, log, "15.0")
	code, _, _ := s.get("/week/job")
	assert.Equal(t, http.StatusOK, code)
	_, answers, _ := s.get("/api/jobs/job/answers")
	assert.Contains(t, answers, `"kind":"week"`)
	assert.FileExists(t, filepath.Join(home, "book.sqlite"))
	code, calendar, header := s.get("/calendar/job.ics")
	assert.Equal(t, http.StatusOK, code)
	assert.Contains(t, calendar, "BEGIN:VEVENT\r\n")
	ask, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.base+"/calendar/job.ics", nil)
	require.NoError(t, err)
	ask.Header.Set("If-None-Match", header.Get("ETag"))
	res, err = s.client.Do(ask)
	require.NoError(t, err)
	require.NoError(t, res.Body.Close())
	assert.Equal(t, http.StatusNotModified, res.StatusCode)
}

// savedReply is the demo's weather as a file.
func savedReply(t *testing.T, folder string) string {
	now, err := time.Parse(time.RFC3339, monday)
	require.NoError(t, err)
	data, err := demo.Reply(now)
	require.NoError(t, err)
	_, err = source.Read(data, source.Options{})
	require.NoError(t, err)
	file := filepath.Join(folder, "reply.json")
	require.NoError(t, os.WriteFile(file, data, 0o600))
	return file
}

// With an address for others it asks for a sign-in; the token is shown once and is in
// no log.
func TestServeToOthers(t *testing.T) {
	t.Setenv("DEWGAP_HOME", t.TempDir())
	o := demoServe()
	o.listen = "0.0.0.0:0"
	s := startServe(t, o)
	token := regexp.MustCompile(`(?m)^[0-9a-f]{40}$`).FindString(s.out.String())
	require.NotEmpty(t, token, s.out)
	assert.Contains(t, s.out.String(), "Put TLS before it")
	code, body, _ := s.get("/week/demo")
	assert.Equal(t, http.StatusOK, code)
	assert.Contains(t, body, "Sign-in token")
	assert.NotContains(t, body, "Kittiwake")
	code, body = s.post("/sign-in", url.Values{"token": {token}, "next": {"/week/demo"}})
	assert.Equal(t, http.StatusOK, code)
	assert.Contains(t, body, "Kittiwake")
	assert.NotContains(t, s.err.String(), token)
	s.stop()

	again := startServe(t, o)
	assert.NotContains(t, again.out.String(), token)
	assert.NotRegexp(t, `(?m)^[0-9a-f]{40}$`, again.out.String())
	again.client.Jar = s.client.Jar
	_, body, _ = again.get("/week/demo") // cookies know no ports
	assert.Contains(t, body, "Kittiwake", "a session lasts over a restart")
}

// New tokens and links are shown, and the old ones end.
func TestServeRenews(t *testing.T) {
	r := newRun(t)
	first := r.do("serve", "--new-token").out.String()
	require.Equal(t, CodeDone, r.code, r.err.String())
	assert.Regexp(t, `(?m)^[0-9a-f]{40}$`, first)
	assert.NotEqual(t, first, r.do("serve", "--new-token").out.String())
	out := r.do("serve", "--job", "a/job.yaml", "--job", "b/job.yaml", "--new-calendar-link", "--url", "https://boats.example").out.String()
	assert.Regexp(t, `https://boats\.example/calendar/[0-9a-f]{40}/job\.ics\nhttps://boats\.example/calendar/[0-9a-f]{40}/job-2\.ics\n$`, out)
}

// A port that is taken is told with what to do.
func TestServePortTaken(t *testing.T) {
	s := startServe(t, demoServe())
	r := newRun(t)
	r.do("serve", "--demo", "--listen", strings.TrimPrefix(s.base, "http://"))
	assert.Equal(t, CodeFailed, r.code)
	assert.Contains(t, r.err.String(), "cannot listen")
	assert.Contains(t, r.err.String(), "another --listen")
}

// A job that is wrong is told at the start, and the server answers for the others.
func TestServeWithAWrongJob(t *testing.T) {
	home := t.TempDir()
	t.Setenv("DEWGAP_HOME", home)
	wrong := filepath.Join(home, "wrong.yaml")
	require.NoError(t, os.WriteFile(wrong, []byte("job: x\n"), 0o600))
	good := filepath.Join(home, "job.yaml")
	require.NoError(t, os.WriteFile(good, demo.JobFile(), 0o600))
	s := startServe(t, serveOptions{question: question{now: monday, job: wrong, forecast: savedReply(t, home)}, jobs: []string{wrong, good}})
	assert.Contains(t, s.err.String(), "wrong.yaml:")
	code, _, _ := s.get("/api/jobs/wrong/week")
	assert.Equal(t, http.StatusUnprocessableEntity, code)
	code, _, _ = s.get("/week/job")
	assert.Equal(t, http.StatusOK, code)
	code, _, _ = s.get("/")
	assert.Equal(t, http.StatusOK, code)
}

// Every setting has its value on the page, and no secret is among them.
func TestSettingLines(t *testing.T) {
	newRun(t)
	for name, value := range map[string]string{
		"DEWGAP_CONTACT": "someone@otter-quay.example", "DEWGAP_OPENMETEO_KEY": "secret-key-1234567890", "DEWGAP_MAIL_PASSWORD": "secret-password-12",
		"DEWGAP_WEBHOOK_URL": "https://hooks.example/secret-path", "DEWGAP_WEBHOOK_SECRET": "secret-hook-1234567890", "DEWGAP_OPENMETEO_MODELS": "a,b",
		"DEWGAP_TIMEOUT": "90s", "DEWGAP_AGE_TODAY": "12h", "DEWGAP_AGE_LATER": "36h30m",
	} {
		t.Setenv(name, value)
	}
	s, err := settings.Load("")
	require.NoError(t, err)
	lines := map[string]string{}
	for _, l := range settingLines(s) {
		lines[l.Name] = l.Value
		assert.NotContains(t, l.Value, "secret", l.Name)
		assert.NotEmpty(t, l.Env, l.Name)
	}
	for name, want := range map[string]string{
		"contact": "someone@otter-quay.example", "timeout": "1m30s", "age.today": "12h", "age.later": "36h30m", "tries": "3", "source": "auto", "openmeteo.models": "a, b",
		"openmeteo.key": "…", "webhook.url": "https://hooks.example/…", "nws.url": "",
	} {
		assert.Equal(t, want, lines[name], name)
	}
	assert.Len(t, lines, len(settings.Keys()))
}
