package web

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cookieOf is the session's cookie of an answer.
func cookieOf(t testing.TB, header http.Header) *http.Cookie {
	list := (&http.Response{Header: header}).Cookies()
	require.Len(t, list, 1)
	return list[0]
}

// signIn signs in and gives the cookie's header.
func (f *fixture) signInWith(token string, extra ...string) (*http.Cookie, string) {
	w := f.form("/sign-in", "token="+token+"&next=%2Fweek%2Fsmall", extra...)
	require.Equal(f.t, http.StatusSeeOther, w.Code, w.Body)
	assert.Equal(f.t, "/week/small", w.Header().Get("Location"))
	c := cookieOf(f.t, w.Header())
	return c, c.Name + "=" + c.Value
}

// Nothing is told to who has not signed in, but for what the program is made of.
func TestSignInIsAskedFor(t *testing.T) {
	f, token := withSignIn(t, nil)
	w := f.get("/week/small?x=1")
	assert.Equal(t, http.StatusSeeOther, w.Code)
	assert.Equal(t, "/sign-in?next=%2Fweek%2Fsmall%3Fx%3D1", w.Header().Get("Location"))
	for _, path := range []string{"/api/jobs", "/api/jobs/small/week", "/api/openapi.json", "/metrics"} {
		w := f.get(path)
		assert.Equal(t, http.StatusUnauthorized, w.Code, path)
		assert.Contains(t, w.Header().Get("WWW-Authenticate"), "Bearer", path)
		assert.NotContains(t, w.Body.String(), "Kittiwake", path)
	}
	assert.Equal(t, http.StatusUnauthorized, f.form("/", "a=b").Code)
	assert.Equal(t, http.StatusOK, f.get("/healthz").Code)
	form := f.get("/sign-in?next=//evil.example")
	assert.Equal(t, http.StatusOK, form.Code)
	assert.Contains(t, form.Body.String(), `name="next" value="/"`)
	assert.Equal(t, "no-store", form.Header().Get("Cache-Control"))

	_, cookie := f.signInWith(token)
	assert.Equal(t, http.StatusOK, f.get("/", "Cookie", cookie).Code)
	assert.Equal(t, http.StatusOK, f.get("/api/jobs", "Cookie", cookie).Code)
	assert.Equal(t, http.StatusOK, f.get("/api/jobs", "Authorization", "Bearer "+token).Code)
	assert.Equal(t, http.StatusUnauthorized, f.get("/api/jobs", "Authorization", "Bearer "+token+"0").Code)
	assert.Equal(t, http.StatusSeeOther, f.get("/", "Cookie", cookieName+"=guess").Code)
}

// The cookie is out of reach of scripts and of other sites, and goes by TLS only
// where there is TLS.
func TestCookie(t *testing.T) {
	plain, token := withSignIn(t, nil)
	c, _ := plain.signInWith(token)
	assert.Equal(t, cookieName, c.Name)
	assert.True(t, c.HttpOnly)
	assert.Equal(t, http.SameSiteStrictMode, c.SameSite)
	assert.Equal(t, "/", c.Path)
	assert.Empty(t, c.Domain)
	assert.False(t, c.Secure)
	assert.GreaterOrEqual(t, len(c.Value)*4, 128, "bits")

	tls, token := withSignIn(t, func(c *Config) { c.PublicURL = "https://boats.example" })
	w := tls.form("/sign-in", "token="+token, "Host", "boats.example", "Origin", "https://boats.example")
	c = cookieOf(t, w.Header())
	assert.Equal(t, secureCookieName, c.Name)
	assert.True(t, c.Secure)
	assert.True(t, c.HttpOnly)
	assert.Equal(t, http.SameSiteStrictMode, c.SameSite)
	assert.Empty(t, c.Domain)
	assert.NotEmpty(t, w.Header().Get("Strict-Transport-Security"))
}

// Signing out ends the session on the server too.
func TestSignOut(t *testing.T) {
	f, token := withSignIn(t, nil)
	_, cookie := f.signInWith(token)
	w := f.form("/sign-out", "", "Cookie", cookie)
	assert.Equal(t, http.StatusSeeOther, w.Code)
	assert.True(t, cookieOf(t, w.Header()).Expires.Before(tuesday))
	assert.Equal(t, http.StatusSeeOther, f.get("/", "Cookie", cookie).Code)
}

// Guessing is slowed down for who guesses, told how long, and hurts nobody else.
func TestTokenGuessing(t *testing.T) {
	f, token := withSignIn(t, nil)
	const guesser, other = "192.0.2.7:5555", "192.0.2.8:5555"
	tries := 0
	for range 100 {
		if w := f.form("/sign-in", "token="+newToken(), "Remote", guesser); w.Code == http.StatusForbidden {
			tries++
		} else {
			require.Equal(t, http.StatusTooManyRequests, w.Code)
			wait, err := strconv.Atoi(w.Header().Get("Retry-After"))
			require.NoError(t, err)
			assert.Positive(t, wait)
		}
	}
	assert.Equal(t, triesAtOnce, tries)
	w := f.get("/api/jobs", "Authorization", "Bearer "+token, "Remote", guesser)
	assert.Equal(t, http.StatusTooManyRequests, w.Code, "the right token is not looked at either")
	_, cookie := f.signInWith(token, "Remote", other)
	assert.Equal(t, http.StatusOK, f.get("/", "Cookie", cookie, "Remote", guesser).Code, "who is signed in stays so")
	f.later(tryEvery)
	_, _ = f.signInWith(token, "Remote", guesser)
}

// Guesses from everywhere are slowed down together; who was never wrong still gets in.
func TestTokenGuessingFromEverywhere(t *testing.T) {
	f, token := withSignIn(t, nil)
	looked := 0
	for round := range 3 {
		for i := range 200 {
			w := f.form("/sign-in", "token="+newToken(), "Remote", fmt.Sprintf("198.51.%d.%d:1", i/100, i%100))
			if w.Code == http.StatusForbidden {
				looked++
			}
		}
		if round == 0 {
			assert.Equal(t, 200, looked, "the first try of each is looked at")
		}
	}
	assert.Equal(t, 200, looked)
	_, _ = f.signInWith(token, "Remote", "192.0.2.8:5555")
	// Of IPv6, one network is one guesser.
	looked = 0
	for i := range 20 {
		if f.form("/sign-in", "token=x", "Remote", fmt.Sprintf("[2001:db8::%x]:1", i+1)).Code == http.StatusForbidden {
			looked++
		}
	}
	assert.LessOrEqual(t, looked, triesAtOnce)
}

// Behind a proxy the address is what the proxy itself says, and nobody else's word.
func TestAddressBehindProxy(t *testing.T) {
	f, _ := withSignIn(t, func(c *Config) { c.PublicURL = "https://boats.example" })
	direct, _ := withSignIn(t, nil)
	for _, c := range []struct {
		f                *fixture
		remote, told, is string
	}{
		{f, "127.0.0.1:1", "203.0.113.9, 198.51.100.4", "198.51.100.4/32"},
		{f, "127.0.0.1:1", "nonsense", "127.0.0.1/32"},
		{f, "127.0.0.1:1", "", "127.0.0.1/32"},
		{f, "192.0.2.1:1", "198.51.100.4", "192.0.2.1/32"},
		{direct, "127.0.0.1:1", "198.51.100.4", "127.0.0.1/32"},
		{direct, "[2001:db8:1:2:3::4]:1", "", "2001:db8:1:2::/64"},
		{direct, "[::ffff:192.0.2.1]:1", "", "192.0.2.1/32"},
	} {
		r := &http.Request{RemoteAddr: c.remote, Header: http.Header{}}
		if c.told != "" {
			r.Header.Set("X-Forwarded-For", c.told)
		}
		assert.Equal(t, c.is, c.f.addressOf(r).String(), c)
	}
}

// The addresses that are remembered are bounded.
func TestGuessesAreBounded(t *testing.T) {
	f, _ := withSignIn(t, nil)
	for i := range mostGuesses + 500 {
		f.guesses.wrong(f.addressOf(&http.Request{RemoteAddr: fmt.Sprintf("10.%d.%d.1:1", i/256, i%256)}))
	}
	assert.LessOrEqual(t, len(f.guesses.by), mostGuesses)
}

// The file has hashes only, none but its owner may read it, and it is the same after
// a restart.
func TestSecretsFile(t *testing.T) {
	now := tuesday
	file := filepath.Join(t.TempDir(), "home", "serve.json")
	open := func() *Secrets {
		s, err := OpenSecrets(file, func() time.Time { return now })
		require.NoError(t, err)
		return s
	}
	s := open()
	token, made, err := s.EnsureToken()
	require.NoError(t, err)
	require.True(t, made)
	assert.GreaterOrEqual(t, len(token)*4, 128, "bits")
	link, err := s.NewCalendar()
	require.NoError(t, err)
	id, _, err := s.SignIn()
	require.NoError(t, err)
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	for _, secret := range []string{token, link, id} {
		assert.NotContains(t, string(data), secret)
	}
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())

	s = open()
	again, made, err := s.EnsureToken()
	require.NoError(t, err)
	assert.False(t, made)
	assert.Empty(t, again)
	assert.True(t, s.IsToken(token) && s.IsCalendar(link) && s.SignedIn(id))
	assert.False(t, s.IsToken(link) || s.IsCalendar(token) || s.IsToken("") || s.SignedIn("") || s.SignedIn(token))
	now = now.Add(sessionLasts)
	assert.False(t, s.SignedIn(id), "for ever")

	other := open() // as dewgap serve --new-token does beside the server
	_, err = other.NewToken()
	require.NoError(t, err)
	later := time.Now().Add(time.Second)
	require.NoError(t, os.Chtimes(file, later, later)) // clocks of file systems are coarse
	assert.False(t, s.IsToken(token))

	require.NoError(t, os.WriteFile(file, []byte("{}"), 0o600))
	_, err = OpenSecrets(file, time.Now)
	assert.ErrorContains(t, err, "remove it")
}

// Without hashes nothing fits, not even nothing.
func TestNoTokenIsNobodys(t *testing.T) {
	s, err := OpenSecrets("", time.Now)
	require.NoError(t, err)
	for _, token := range []string{"", "x", hashed("")} {
		assert.False(t, s.IsToken(token) || s.IsCalendar(token))
	}
}

// So many are signed in at most, and the oldest gives way.
func TestSessionsAreBounded(t *testing.T) {
	now := tuesday
	s, err := OpenSecrets("", func() time.Time { return now })
	require.NoError(t, err)
	first, _, err := s.SignIn()
	require.NoError(t, err)
	for range mostSessions {
		now = now.Add(time.Minute)
		_, _, err = s.SignIn()
		require.NoError(t, err)
	}
	assert.Len(t, s.kept.Sessions, mostSessions)
	assert.False(t, s.SignedIn(first))
}

// A calendar has a link of its own, which opens nothing else and can be ended.
func TestCalendarLink(t *testing.T) {
	calendar := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, "calendar at "+r.URL.Path) })
	f, token := withSignIn(t, func(c *Config) { c.Calendar = calendar })
	_, cookie := f.signInWith(token)
	assert.Equal(t, http.StatusNotFound, f.get("/calendar/small.ics").Code)
	assert.Equal(t, http.StatusNotFound, f.get("/calendar/"+token+"/small.ics").Code, "the sign-in token is no calendar's")
	assert.Equal(t, http.StatusUnauthorized, f.form("/calendar-link", "do=new").Code)

	w := f.form("/calendar-link", "do=new", "Cookie", cookie)
	require.Equal(t, http.StatusOK, w.Code)
	_, after, found := strings.Cut(w.Body.String(), "http://127.0.0.1:8023/calendar/")
	require.True(t, found, w.Body)
	link, _, found := strings.Cut(after, "/small.ics")
	require.True(t, found)
	got := f.get("/calendar/" + link + "/small.ics")
	assert.Equal(t, "calendar at /small.ics", got.Body.String())
	assert.Equal(t, http.StatusUnauthorized, f.get("/api/jobs", "Authorization", "Bearer "+link, "Remote", "192.0.2.9:1").Code)
	page := f.get("/calendar-link", "Cookie", cookie)
	assert.NotContains(t, page.Body.String(), link, "shown again")
	assert.Contains(t, page.Body.String(), "There is a link")

	f.form("/calendar-link", "do=end", "Cookie", cookie)
	assert.Equal(t, http.StatusNotFound, f.get("/calendar/"+link+"/small.ics").Code)
	assert.Equal(t, http.StatusBadRequest, f.form("/calendar-link", "do=x", "Cookie", cookie).Code)
	for range 20 {
		f.get("/calendar/"+newToken()+"/small.ics", "Remote", "192.0.2.77:1")
	}
	assert.Equal(t, http.StatusTooManyRequests, f.get("/calendar/"+newToken()+"/small.ics", "Remote", "192.0.2.77:1").Code)

	open := serve(t, func(c *Config) { c.Calendar = calendar })
	assert.Equal(t, "calendar at /small.ics", open.get("/calendar/small.ics").Body.String())
	assert.Equal(t, http.StatusNotFound, open.get("/calendar/x/small.ics").Code)
	assert.Equal(t, http.StatusNotFound, serve(t, nil).get("/calendar/small.ics").Code)
}

// The log has routes, and neither tokens nor paths nor what people wrote.
func TestNoSecretsInTheLog(t *testing.T) {
	f, token := withSignIn(t, func(c *Config) { c.Calendar = http.NotFoundHandler() })
	c, cookie := f.signInWith(token)
	link, err := f.cfg.Secrets.NewCalendar()
	require.NoError(t, err)
	wrong := newToken()
	f.form("/sign-in", "token="+wrong)
	f.get("/calendar/"+link+"/small.ics", "Remote", "192.0.2.4:1")
	f.get("/calendar/"+wrong+"/small.ics", "Remote", "192.0.2.5:1")
	f.get("/api/jobs", "Authorization", "Bearer "+token, "Remote", "192.0.2.6:1")
	f.get("/api/jobs/small/why?zone=secret-zone&with=x", "Cookie", cookie)
	f.get("/private/"+url.PathEscape("a note"), "Cookie", cookie)
	f.form("/sign-out", "", "Cookie", cookie)
	log := f.log.String()
	for _, secret := range []string{token, link, wrong, c.Value, hashed(token), hashed(link), "secret-zone", "a note", "private"} {
		assert.NotContains(t, log, secret)
	}
	for _, route := range []string{"route=/sign-in ", "route=/calendar/ ", "route=/api/jobs ", "route=/api/jobs/{job}/why ", "bytes="} {
		assert.Contains(t, log, route)
	}
}
