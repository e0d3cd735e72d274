package pages

import (
	"net/http"
	"net/url"
	"strings"
)

// themeCookie keeps the look that a person chose: bright or night. Without it the
// system's preference counts.
const themeCookie = "dewgap_theme"

func themeOf(r *http.Request) string {
	if c, err := r.Cookie(themeCookie); err == nil && (c.Value == "bright" || c.Value == "night") {
		return c.Value
	}
	return "auto"
}

// theme sets the look and goes back to where the form stood.
func (p *Pages) theme(r *http.Request) (*view, error) {
	if err := readForm(r); err != nil {
		return nil, err
	}
	to := localPath(r.PostForm.Get("back"))
	switch v := r.PostForm.Get("theme"); v {
	case "bright", "night", "auto":
		return &view{to: to, cookie: &http.Cookie{Name: themeCookie, Value: v, Path: "/", MaxAge: 365 * 24 * 3600,
			HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: r.TLS != nil}}, nil
	}
	return nil, badForm("There is no such look.", "Choose bright, night or the system's.")
}

// localPath is a path of this host, "/" for everything else, so that no form leads
// astray.
func localPath(s string) string {
	u, err := url.Parse(s)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(s, "/") || strings.HasPrefix(s, "//") || strings.ContainsAny(s, "\\\r\n") {
		return "/"
	}
	return s
}
