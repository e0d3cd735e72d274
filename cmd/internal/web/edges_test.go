package web

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// outOfReach makes the folder of a sign-in file one that cannot be: what is in memory
// stays, and nothing can be kept.
func outOfReach(t testing.TB, s *Secrets) {
	folder := filepath.Dir(s.path)
	require.NoError(t, os.RemoveAll(folder))
	require.NoError(t, os.Symlink(filepath.Join(t.TempDir(), "none", "such"), folder))
}

// wellFormed reads a page as strictly as encoding/xml does and gives the elements' names.
func wellFormed(t testing.TB, page string) map[string]int {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	names, open := map[string]int{}, 0
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			assert.Zero(t, open, "an element stays open")
			return names
		}
		require.NoError(t, err)
		switch x := tok.(type) {
		case xml.StartElement:
			names[x.Name.Local]++
			open++
			for _, a := range x.Attr {
				assert.False(t, strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "style", "inline %s", a.Name.Local)
			}
		case xml.EndElement:
			open--
		}
	}
}

// The sign-in page and that of the calendar links are pages like all others: one main
// part, one heading, a label for the field, nothing inline, and what a stranger put into
// the address is text.
func TestFormsOfTheServerArePages(t *testing.T) {
	f, token := withSignIn(t, nil)
	_, cookie := f.signInWith(token)
	for name, w := range map[string]*httptest.ResponseRecorder{
		"asked": f.get("/sign-in?next=/week/small"), "wrong": f.form("/sign-in", "token=guess&next=%2Fweek%2Fsmall", "Remote", "192.0.2.1:1"),
		"hostile": f.get(`/sign-in?next=/x%22%3E%3Cscript%3Ealert(1)%3C/script%3E`),
		"links":   f.get("/calendar-link", "Cookie", cookie), "made": f.form("/calendar-link", "do=new", "Cookie", cookie),
		"made before": f.get("/calendar-link", "Cookie", cookie), "ended": f.form("/calendar-link", "do=end", "Cookie", cookie),
	} {
		page := w.Body.String()
		names := wellFormed(t, page)
		for _, n := range []string{"html", "head", "title", "body", "main", "h1"} {
			assert.Equal(t, 1, names[n], "%s: %s", name, n)
		}
		assert.Zero(t, names["script"], name)
		assert.Contains(t, page, `<html lang="en">`)
		assert.Equal(t, "text/html; charset=utf-8", w.Header().Get("Content-Type"), name)
		assert.Equal(t, "no-store", w.Header().Get("Cache-Control"), name)
		assert.Equal(t, fmt.Sprint(len(page)), w.Header().Get("Content-Length"), name)
		if names["input"] > 0 {
			assert.Contains(t, page, `<label for="token">`, name)
			assert.Contains(t, page, `id="token"`, name)
		}
	}
	wrong := f.form("/sign-in", "token=guess&next=%2Fweek%2Fsmall", "Remote", "192.0.2.2:1")
	assert.Equal(t, http.StatusForbidden, wrong.Code)
	assert.Contains(t, wrong.Body.String(), `role="alert">That is not the sign-in token.`)
	assert.Contains(t, wrong.Body.String(), `value="/week/small"`, "the way on is not lost")
	assert.NotContains(t, wrong.Body.String(), "guess", "a token is not shown, not even a wrong one")
	css := f.get("/sign-in.css")
	assert.Equal(t, "text/css; charset=utf-8", css.Header().Get("Content-Type"))
	assert.Contains(t, css.Body.String(), ":focus-visible")
	assert.Contains(t, css.Body.String(), "prefers-color-scheme:dark")
}

// Who is signed in, or need not be, is sent on from the sign-in page, to this server and
// nowhere else.
func TestSignInLeadsOn(t *testing.T) {
	f, token := withSignIn(t, nil)
	_, cookie := f.signInWith(token)
	open := serve(t, nil)
	for next, to := range map[string]string{"/week/small": "/week/small", "": "/", "https://evil.example": "/", "//evil.example": "/", `/\evil.example`: "/", "week": "/"} {
		for name, w := range map[string]*httptest.ResponseRecorder{
			"signed in": f.get("/sign-in?next="+url.QueryEscape(next), "Cookie", cookie), "no sign-in": open.get("/sign-in?next=" + url.QueryEscape(next)),
		} {
			assert.Equal(t, http.StatusSeeOther, w.Code, name)
			assert.Equal(t, to, w.Header().Get("Location"), "%s %q", name, next)
		}
	}
	assert.Equal(t, "/", open.form("/sign-in", "token=x").Header().Get("Location"))
	assert.Equal(t, http.StatusBadRequest, f.form("/sign-in", "token=%zz").Code)
	assert.Equal(t, http.StatusBadRequest, f.form("/sign-in", "token="+strings.Repeat("x", 20<<10)).Code)
}

// What cannot be kept is told so, without the folder's name; the log has the cause, and
// who was in stays in until something else is known.
func TestWhatCannotBeKept(t *testing.T) {
	f, token := withSignIn(t, func(c *Config) {
		c.Calendar = http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, "calendar") })
	})
	_, cookie := f.signInWith(token)
	link, err := f.cfg.Secrets.NewCalendar()
	require.NoError(t, err)
	folder := filepath.Dir(f.cfg.Secrets.path)
	outOfReach(t, f.cfg.Secrets)

	for name, w := range map[string]*httptest.ResponseRecorder{"sign-in": f.form("/sign-in", "token="+token), "a new link": f.form("/calendar-link", "do=new", "Cookie", cookie)} {
		assert.Equal(t, http.StatusInternalServerError, w.Code, name)
		assert.Contains(t, w.Body.String(), "could not be kept", name)
		assert.NotContains(t, w.Body.String(), folder, name)
		assert.Empty(t, w.Header().Get("Set-Cookie"), name)
	}
	assert.Contains(t, f.log.String(), "making the folder of the sign-in file")
	assert.Equal(t, "calendar", f.get("/calendar/"+link+"/small.ics").Body.String(), "the link of before holds: no other was made")
	assert.Equal(t, http.StatusOK, f.get("/", "Cookie", cookie).Code)
	_, err = f.cfg.Secrets.NewToken()
	require.Error(t, err)
	assert.True(t, f.cfg.Secrets.IsToken(token), "the token of before holds")

	assert.Equal(t, http.StatusSeeOther, f.form("/sign-out", "", "Cookie", cookie).Code)
	assert.Equal(t, http.StatusSeeOther, f.get("/", "Cookie", cookie).Code, "who signs out is out")
	assert.Error(t, f.cfg.Secrets.EndCalendar())
	assert.Equal(t, http.StatusNotFound, f.get("/calendar/"+link+"/small.ics").Code, "a link that is ended has ended")
}

// A sign-in file that cannot be read stops the start, with what to do; one that goes
// wrong while the server runs lets nobody in or out.
func TestASignInFileThatCannotBeRead(t *testing.T) {
	folder := t.TempDir()
	_, err := OpenSecrets(folder, time.Now)
	assert.ErrorContains(t, err, "reading the sign-in file", "it is a folder")
	_, err = OpenSecrets(filepath.Join(folder, "none", "serve.json"), time.Now)
	assert.NoError(t, err, "one that is not there yet is made when it is needed")
	file := filepath.Join(folder, "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	_, err = OpenSecrets(filepath.Join(file, "serve.json"), time.Now)
	assert.ErrorContains(t, err, "reading the sign-in file")

	s, err := OpenSecrets(filepath.Join(folder, "serve.json"), time.Now)
	require.NoError(t, err)
	token, _, err := s.EnsureToken()
	require.NoError(t, err)
	id, _, err := s.SignIn()
	require.NoError(t, err)
	later := time.Now().Add(time.Minute)
	require.NoError(t, os.WriteFile(s.path, []byte("{"), 0o600))
	require.NoError(t, os.Chtimes(s.path, later, later))
	assert.True(t, s.IsToken(token) && s.SignedIn(id), "as it was last")
	_, _, err = s.SignIn()
	assert.ErrorContains(t, err, "is no sign-in file of this dewgap")
	data, err := os.ReadFile(s.path)
	require.NoError(t, err)
	assert.Equal(t, "{", string(data), "what somebody put there is not overwritten")
}

// Sessions that are over make room before anybody has to give way.
func TestSessionsThatAreOverMakeRoom(t *testing.T) {
	now := tuesday
	s, err := OpenSecrets("", func() time.Time { return now })
	require.NoError(t, err)
	for range mostSessions {
		_, _, err := s.SignIn()
		require.NoError(t, err)
	}
	now = now.Add(sessionLasts)
	first, _, err := s.SignIn()
	require.NoError(t, err)
	assert.Len(t, s.kept.Sessions, 1)
	second, _, err := s.SignIn()
	require.NoError(t, err)
	assert.True(t, s.SignedIn(first) && s.SignedIn(second))
}

// Whoever guesses is remembered until all tries are there again; then room is made by
// those first.
func TestOldGuessersAreForgottenFirst(t *testing.T) {
	now := tuesday
	g := newGuesses(func() time.Time { return now })
	at := func(i int) netip.Prefix { return netip.MustParsePrefix(fmt.Sprintf("10.%d.%d.0/24", i/256, i%256)) }
	for i := range mostGuesses / 2 {
		g.wrong(at(i))
	}
	now = now.Add(time.Duration(triesAtOnce) * tryEvery)
	for i := mostGuesses / 2; i < mostGuesses; i++ {
		g.wrong(at(i))
	}
	g.wrong(at(mostGuesses))
	assert.NotContains(t, g.by, at(0))
	assert.Contains(t, g.by, at(mostGuesses-1), "who guessed just now is not let off for another")
	assert.Contains(t, g.by, at(mostGuesses))
}

// An address that cannot be read is one and the same stranger.
func TestAddressesThatAreNone(t *testing.T) {
	f, _ := withSignIn(t, nil)
	for _, remote := range []string{"", "@", "nonsense", "nonsense:1", ":1", "[::1"} {
		assert.Equal(t, netip.Prefix{}, f.addressOf(&http.Request{RemoteAddr: remote, Header: http.Header{}}), remote)
	}
	for range triesAtOnce {
		assert.Equal(t, http.StatusForbidden, f.form("/sign-in", "token=x", "Remote", "@").Code)
	}
	assert.Equal(t, http.StatusTooManyRequests, f.form("/sign-in", "token=x", "Remote", "@").Code)
}

// A handler that gives a request up does so without a line of a fault, and the
// connection ends; all others go on.
func TestAHandlerMayGiveUp(t *testing.T) {
	f := serve(t, func(c *Config) {
		pages := http.NewServeMux()
		pages.HandleFunc("GET /gives-up", func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) })
		pages.HandleFunc("GET /late", func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, "half"); panic("slip") })
		pages.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, "week") })
		c.Pages = pages
	})
	assert.PanicsWithValue(t, http.ErrAbortHandler, func() { f.get("/gives-up") })
	assert.NotContains(t, f.log.String(), "fault")
	w := f.get("/late")
	assert.Equal(t, http.StatusInternalServerError, w.Code, "a page is whole or a fault, never half")
	assert.NotContains(t, w.Body.String(), "half")
	assert.Equal(t, "week", f.get("/").Body.String())
}

// The lines of the log go by how a request ended.
func TestTheLogKnowsHowItEnded(t *testing.T) {
	f := serve(t, nil)
	f.get("/")
	f.get("/panics")
	f.get("/api/nothing")
	lines := strings.Split(strings.TrimSpace(f.log.String()), "\n")
	var request []string
	for _, l := range lines {
		if strings.Contains(l, "msg=request") {
			request = append(request, l)
		}
	}
	require.Len(t, request, 3)
	assert.Contains(t, request[0], "level=INFO")
	assert.Contains(t, request[0], "status=200")
	assert.Contains(t, request[1], "level=WARN")
	assert.Contains(t, request[1], "status=500")
	assert.Contains(t, request[2], "level=INFO")
	assert.Contains(t, request[2], "status=404")
}

// What net/http has to say of broken clients is worth a line to who looks for it only.
func TestClientsThatBreakOffAreQuiet(t *testing.T) {
	for level, quiet := range map[slog.Level]bool{slog.LevelDebug: false, slog.LevelInfo: true, slog.LevelWarn: true} {
		var out webtest.Lines
		muted(slog.New(slog.NewTextHandler(&out, &slog.HandlerOptions{Level: level}))).Debug("192.0.2.1 sent nonsense")
		assert.Equal(t, quiet, out.String() == "", level)
	}
}

// The counters know failures from answers, and tell of them once.
func TestMetricsKnowFailures(t *testing.T) {
	m := NewMetrics()
	var told []string
	w := m.Watch(func(what string, err error) { told = append(told, what+": "+err.Error()) })
	w.Fetched("nws", time.Second, nil)
	w.Fetched("", time.Second, errors.New("no connection"))
	w.Made("week", time.Second, nil)
	w.Made("week", time.Second, &app.Problem{Text: "the tide is out"})
	w.Made("week", time.Second, errors.New("disk on fire"))
	w.Unrecorded(errors.New("disk full"))
	rec := httptest.NewRecorder()
	m.handler().ServeHTTP(rec, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	for _, line := range []string{
		`dewgap_forecast_fetches_total{outcome="ok"} 1`, `dewgap_forecast_fetches_total{outcome="failed"} 1`, "dewgap_forecast_fetch_seconds_count 2",
		`dewgap_answer_seconds_count{kind="week"} 3`, `dewgap_answer_failures_total{kind="week"} 2`, "dewgap_answers_unkept_total 1",
	} {
		assert.Contains(t, rec.Body.String(), line)
	}
	assert.Equal(t, []string{"no forecast: no connection", "no week: disk on fire", "an answer is not in the book: disk full"}, told,
		"what a person can mend is told to that person, not to the log")
	assert.NotPanics(t, func() { m.Watch(nil).Unrecorded(errors.New("x")) })
}

// Each counter says in a sentence what it counts.
func TestMetricsHaveHelp(t *testing.T) {
	f := serve(t, nil)
	f.get("/api/jobs/small/week")
	w := f.get("/metrics")
	assert.True(t, strings.HasPrefix(w.Header().Get("Content-Type"), "text/plain; version=0.0.4"))
	helped := map[string]bool{}
	for line := range strings.SplitSeq(strings.TrimSpace(w.Body.String()), "\n") {
		if name, ok := strings.CutPrefix(line, "# HELP dewgap_"); ok {
			name, help, _ := strings.Cut(name, " ")
			helped["dewgap_"+name] = strings.HasSuffix(help, ".")
		}
	}
	for name, ok := range helped {
		assert.True(t, ok, "%s has no sentence that says what it counts", name)
	}
	assert.Greater(t, len(helped), 8)
}

// A server without a clock or secrets of its own has the usual ones, and no token fits.
func TestTheUsualServer(t *testing.T) {
	f := serve(t, func(c *Config) { c.Now, c.Secrets = nil, nil })
	assert.WithinDuration(t, time.Now(), f.cfg.Now(), time.Minute)
	assert.False(t, f.cfg.Secrets.IsToken("") || f.cfg.Secrets.SignedIn("") || f.cfg.Secrets.HasCalendar())
	assert.Equal(t, http.StatusOK, f.get("/calendar-link").Code)
	w := f.form("/calendar-link", "do=new")
	assert.Contains(t, w.Body.String(), "http://127.0.0.1:8023/calendar/")
}

// Words that strangers sent are cut before they are said again.
func TestStrangersWordsAreCut(t *testing.T) {
	assert.Equal(t, "short", short("short"))
	assert.Equal(t, strings.Repeat("x", 80)+"…", short(strings.Repeat("x", 4000)))
	f := serve(t, nil)
	w := f.get("/", "Host", strings.Repeat("e", 4000)+".example")
	assert.Equal(t, http.StatusMisdirectedRequest, w.Code)
	assert.Less(t, w.Body.Len(), 300)
}

// A page's key tells apart all that pages look at, and leaves the session out: two
// browsers that are signed in see the same bytes.
func TestWhatAPageDependsOn(t *testing.T) {
	base := func(change func(*http.Request)) (string, bool) {
		r := httptest.NewRequest(http.MethodGet, "/week/small?zone=a", nil)
		r.AddCookie(&http.Cookie{Name: cookieName, Value: newToken()})
		if change != nil {
			change(r)
		}
		return pageKey(r)
	}
	key, ok := base(nil)
	require.True(t, ok)
	for name, change := range map[string]func(*http.Request){
		"session": func(r *http.Request) { r.AddCookie(&http.Cookie{Name: secureCookieName, Value: "x"}) },
		"method":  func(r *http.Request) { r.Method = http.MethodHead }, "tag": func(r *http.Request) { r.Header.Set("If-None-Match", `"x"`) },
		"browser": func(r *http.Request) { r.Header.Set("User-Agent", "x") }, "packing": func(r *http.Request) { r.Header.Set("Accept-Encoding", "gzip") },
	} {
		got, ok := base(change)
		assert.True(t, ok && got == key, name)
	}
	for name, change := range map[string]func(*http.Request){
		"path": func(r *http.Request) { r.URL.Path = "/week/other" }, "query": func(r *http.Request) { r.URL.RawQuery = "zone=b" },
		"look": func(r *http.Request) { r.AddCookie(&http.Cookie{Name: "dewgap_theme", Value: "night"}) }, "language": func(r *http.Request) { r.Header.Set("Accept-Language", "cs") },
	} {
		got, ok := base(change)
		assert.True(t, ok && got != key, name)
	}
	for name, change := range map[string]func(*http.Request){
		"a write": func(r *http.Request) { r.Method = http.MethodPost }, "a part": func(r *http.Request) { r.Header.Set("Range", "bytes=0-1") },
		"a long way": func(r *http.Request) { r.URL.RawQuery = strings.Repeat("z", longestKey) },
	} {
		_, ok := base(change)
		assert.False(t, ok, name)
	}
}

// No address and no cookie can pass for another page's: parts of a key do not run into
// one another.
func TestKeysDoNotRunTogether(t *testing.T) {
	text := rapid.StringMatching(`[a-z=?]{0,4}`)
	rapid.Check(t, func(t *rapid.T) {
		type asked struct{ path, query, look, language string }
		draw := func(name string) asked {
			return asked{"/" + text.Draw(t, name+" path"), text.Draw(t, name+" query"), rapid.SampledFrom([]string{"", "night", "bright"}).Draw(t, name+" look"), text.Draw(t, name+" language")}
		}
		key := func(a asked) string {
			r := &http.Request{Method: http.MethodGet, URL: &url.URL{Path: strings.ReplaceAll(a.path, "?", "!"), RawQuery: a.query}, Header: http.Header{}}
			if a.look != "" {
				r.AddCookie(&http.Cookie{Name: "dewgap_theme", Value: a.look})
			}
			r.Header.Set("Accept-Language", a.language)
			k, _ := pageKey(r)
			return k
		}
		a, b := draw("a"), draw("b")
		a.path, b.path = strings.ReplaceAll(a.path, "?", "!"), strings.ReplaceAll(b.path, "?", "!")
		if (key(a) == key(b)) != (a == b) {
			t.Fatalf("%+v and %+v", a, b)
		}
	})
}

// Problems are JSON for programs and two sentences for people.
func TestProblemsForPeopleAndPrograms(t *testing.T) {
	for path, kind := range map[string]string{"/api/x": "application/problem+json", "/week/x": "text/plain; charset=utf-8"} {
		w := httptest.NewRecorder()
		p := newProblem(http.StatusServiceUnavailable, "too many at once", "send it again")
		p.after = 7
		writeProblem(w, httptest.NewRequest(http.MethodGet, path, nil), p)
		assert.Equal(t, kind, w.Header().Get("Content-Type"))
		assert.Equal(t, "7", w.Header().Get("Retry-After"))
		assert.Equal(t, "no-store", w.Header().Get("Cache-Control"))
		if path == "/week/x" {
			assert.Equal(t, "too many at once.\nsend it again.\n", w.Body.String())
		} else {
			assert.True(t, bytes.Contains(w.Body.Bytes(), []byte(`"errors":[]`)), "a list that is empty is a list")
		}
	}
}
