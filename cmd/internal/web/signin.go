package web

import (
	"bytes"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Names of the session's cookie. The prefix has browsers refuse it without TLS and
// from other hosts.
const (
	cookieName       = "dewgap_session"
	secureCookieName = "__Host-dewgap_session"
)

// signedOut are the paths that are answered to everybody: what the program is made
// of, not what it knows.
var signedOut = []string{"/healthz", "/sign-in", "/sign-in.css", "/sw.js", "/manifest.webmanifest", "/favicon.ico"}

func public(path string) bool {
	return slices.Contains(signedOut, path) || strings.HasPrefix(path, "/assets/") ||
		strings.HasPrefix(path, "/calendar/") // which has tokens of its own
}

// signedIn lets through who has a session, or the token itself as programs have it
// (Authorization: Bearer …). Others are shown the sign-in form, or told 401.
func (s *Server) signedIn(next http.Handler) http.Handler {
	if !s.cfg.SignIn {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if public(r.URL.Path) || s.cfg.Secrets.SignedIn(s.sessionOf(r)) {
			next.ServeHTTP(w, r)
			return
		}
		if token, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); ok {
			if s.tryToken(w, r, strings.TrimSpace(token)) {
				next.ServeHTTP(w, r)
			}
			return
		}
		if (r.Method == http.MethodGet || r.Method == http.MethodHead) && !forPrograms(r.URL.Path) {
			http.Redirect(w, r, "/sign-in?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
			return
		}
		w.Header().Set("WWW-Authenticate", `Bearer realm="dewgap"`)
		problem(w, r, http.StatusUnauthorized, "this needs a sign-in", "send the sign-in token as Authorization: Bearer TOKEN, or sign in at /sign-in")
	})
}

func forPrograms(path string) bool {
	return strings.HasPrefix(path, "/api/") || path == "/metrics"
}

// sessionOf is the session that a request brings, "" without.
func (s *Server) sessionOf(r *http.Request) string {
	c, err := r.Cookie(s.cookieName())
	if err != nil {
		return ""
	}
	return c.Value
}

func (s *Server) cookieName() string {
	if s.secure() {
		return secureCookieName
	}
	return cookieName
}

// tryToken looks at a token, unless too many were wrong. It answers where the token
// does not let in.
func (s *Server) tryToken(w http.ResponseWriter, r *http.Request, token string) bool {
	from := s.addressOf(r)
	if wait := s.guesses.wait(from); wait > 0 {
		p := newProblem(http.StatusTooManyRequests, "too many wrong tokens", "wait "+wait.String()+", then try again")
		p.after = int(wait / time.Second)
		writeProblem(w, r, p)
		return false
	}
	if s.cfg.Secrets.IsToken(token) {
		s.guesses.right(from)
		return true
	}
	s.guesses.wrong(from)
	s.cfg.Metrics.wrong.Inc()
	s.log.Warn("wrong sign-in token", "from", from.String())
	if r.URL.Path == "/sign-in" {
		s.form(w, http.StatusForbidden, r.PostFormValue("next"), "That is not the sign-in token.")
		return false
	}
	w.Header().Set("WWW-Authenticate", `Bearer realm="dewgap", error="invalid_token"`)
	problem(w, r, http.StatusUnauthorized, "that is not the sign-in token", "dewgap serve --new-token makes a new one if it is lost")
	return false
}

// signInPage shows the form.
func (s *Server) signInPage(w http.ResponseWriter, r *http.Request) {
	if !s.cfg.SignIn || s.cfg.Secrets.SignedIn(s.sessionOf(r)) {
		http.Redirect(w, r, local(r.URL.Query().Get("next")), http.StatusSeeOther)
		return
	}
	s.form(w, http.StatusOK, r.URL.Query().Get("next"), "")
}

// signIn takes the form.
func (s *Server) signIn(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, 16<<10)
	if err := r.ParseForm(); err != nil {
		problem(w, r, http.StatusBadRequest, "the form cannot be read", "go back and send it again")
		return
	}
	if !s.cfg.SignIn {
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	if !s.tryToken(w, r, strings.TrimSpace(r.PostFormValue("token"))) {
		return
	}
	id, until, err := s.cfg.Secrets.SignIn()
	if err != nil {
		s.log.Error("signing in", "error", err)
		problem(w, r, http.StatusInternalServerError, "the sign-in could not be kept", "look at the server's log")
		return
	}
	http.SetCookie(w, s.cookie(id, until))
	http.Redirect(w, r, local(r.PostFormValue("next")), http.StatusSeeOther)
}

// signOut ends the session.
func (s *Server) signOut(w http.ResponseWriter, r *http.Request) {
	if id := s.sessionOf(r); id != "" && s.cfg.SignIn {
		if err := s.cfg.Secrets.SignOut(id); err != nil {
			s.log.Error("signing out", "error", err)
		}
	}
	http.SetCookie(w, s.cookie("", time.Unix(1, 0)))
	w.Header().Set("Clear-Site-Data", `"cache", "storage"`) // copies kept for offline are gone too
	http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
}

func (s *Server) cookie(id string, until time.Time) *http.Cookie {
	return &http.Cookie{
		Name: s.cookieName(), Value: id, Path: "/", Expires: until, HttpOnly: true,
		SameSite: http.SameSiteStrictMode, Secure: s.secure(),
	}
}

// local is a path on this server, the first page where it is none.
func local(next string) string {
	u, err := url.Parse(next)
	if err != nil || u.Scheme != "" || u.Host != "" || !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") ||
		strings.ContainsAny(next, "\\\r\n\t") {
		return "/"
	}
	return next
}

// formPage is the sign-in form; it needs nothing of the pages.
var formPage = template.Must(template.New("form").Parse(`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Sign in · dewgap</title><link rel="stylesheet" href="/sign-in.css"></head>
<body><main><h1>{{.Title}}</h1>{{with .Wrong}}<p role="alert">{{.}}</p>{{end}}
{{if .Lines}}{{range .Lines}}<p>{{.}}</p>{{end}}{{range .Links}}<p><code>{{.}}</code></p>{{end}}{{end}}
{{if .Form}}<form method="post" action="/sign-in"><input type="hidden" name="next" value="{{.Next}}">
<p><label for="token">Sign-in token, as dewgap serve printed it</label></p>
<p><input id="token" name="token" type="password" autocomplete="current-password" required autofocus></p>
<p><button>Sign in</button></p></form>{{end}}
{{if .Calendar}}<form method="post" action="/calendar-link"><p><button name="do" value="new">Make a new calendar link</button></p>
{{if .Has}}<p><button name="do" value="end">End the calendar links</button></p>{{end}}</form><p><a href="/">Back</a></p>{{end}}
</main></body></html>
`))

// formData is what the form is filled with.
type formData struct {
	Title, Wrong, Next string
	Form               bool
	Calendar, Has      bool
	Lines, Links       []string
}

func (s *Server) form(w http.ResponseWriter, status int, next, wrong string) {
	s.writeForm(w, status, formData{Title: "Sign in", Form: true, Next: local(next), Wrong: wrong})
}

func (s *Server) writeForm(w http.ResponseWriter, status int, data formData) {
	var out bytes.Buffer
	if err := formPage.Execute(&out, data); err != nil {
		s.log.Error("drawing the form", "error", err)
		http.Error(w, "the form cannot be drawn", http.StatusInternalServerError)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Length", strconv.Itoa(out.Len()))
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(out.Bytes()) // the client may have gone
}

const formStyle = `:root{--ground:#fff;--ink:#0b1720;--link:#00406b;--focus:#d1006c;color-scheme:light dark}
@media (prefers-color-scheme:dark){:root{--ground:#100c08;--ink:#f2d9b8;--link:#ffb866;--focus:#ffd000}}
body{font:1.125rem/1.5 system-ui,sans-serif;margin:0;background:var(--ground);color:var(--ink)}
main{max-width:32rem;margin:10vh auto;padding:0 1rem}
a{display:inline-flex;align-items:center;min-width:44px;min-height:44px;color:var(--link)}
input[type=password]{font:inherit;width:100%;box-sizing:border-box;padding:.5rem;min-height:3rem;color:inherit;background:transparent;border:2px solid;border-radius:4px}
button{font:inherit;font-weight:600;min-height:3rem;padding:0 1.5rem;background:var(--ink);color:var(--ground);border:2px solid var(--ink);border-radius:4px}
:focus-visible{outline:3px solid var(--focus);outline-offset:2px}
[role=alert]{border:3px solid;padding:.5rem 1rem;font-weight:600}
code{overflow-wrap:anywhere}
`

func formCSS(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/css; charset=utf-8")
	w.Header().Set("Cache-Control", "max-age=86400")
	_, _ = w.Write([]byte(formStyle)) // the client may have gone
}
