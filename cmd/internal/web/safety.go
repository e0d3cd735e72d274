package web

import (
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
)

// policy is what a page may load and where it may stand: nothing from elsewhere,
// nothing inline, in no frame.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; " +
	"manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// headers sets on every answer what keeps browsers from being led astray.
func (s *Server) headers(next http.Handler) http.Handler {
	secure := s.secure()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		if secure {
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		next.ServeHTTP(w, r)
	})
}

// secure reports whether browsers reach us by TLS.
func (s *Server) secure() bool { return strings.HasPrefix(s.cfg.PublicURL, "https://") }

// rightHost refuses requests for a host that we are not. A page from elsewhere whose
// name was made to point to this computer (DNS rebinding) gets nothing so. Where the
// server listens to others its names are not known, and the sign-in, whose cookie is
// bound to the right name, does the same.
func (s *Server) rightHost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.isOurs(r.Host) {
			problem(w, r, http.StatusMisdirectedRequest, "this server is not "+short(r.Host), "ask it by the address that it printed when it started")
			return
		}
		next.ServeHTTP(w, r)
	})
}

func (s *Server) isOurs(host string) bool {
	if s.cfg.PublicURL != "" {
		if u, err := url.Parse(s.cfg.PublicURL); err == nil && strings.EqualFold(u.Host, host) {
			return true
		}
	}
	if !s.cfg.Loopback {
		return true
	}
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.TrimSuffix(strings.TrimPrefix(name, "["), "]")
	if strings.EqualFold(name, "localhost") {
		return true
	}
	ip, err := netip.ParseAddr(name)
	return err == nil && ip.Unmap().IsLoopback()
}

// Loopback reports whether an address to listen at is reached from this computer
// only.
func Loopback(listen string) bool {
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return false
	}
	if strings.EqualFold(host, "localhost") {
		return true
	}
	ip, err := netip.ParseAddr(host)
	return err == nil && ip.Unmap().IsLoopback()
}

// origins refuses what another site's page would have a browser do here.
func (s *Server) origins(next http.Handler) http.Handler {
	p := http.NewCrossOriginProtection()
	if s.cfg.PublicURL != "" {
		_ = p.AddTrustedOrigin(s.cfg.PublicURL) // New looked at it
	}
	p.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		problem(w, r, http.StatusForbidden, "this request comes from another site", "use the pages of this server itself")
	}))
	return p.Handler(next)
}

// short cuts what a stranger wrote.
func short(text string) string {
	const most = 80
	if len(text) > most {
		return text[:most] + "…"
	}
	return text
}
