// Package web serves dewgap over HTTP: pages for people, an API for programs, a
// calendar, health and counters. It decides nothing: it asks the desk.
//
// Every request passes, from outside to inside:
//
//	noted     one log line and one count; a panic ends one request only
//	headers   a strict Content-Security-Policy and its like, on every answer
//	rightHost on this computer only: no other name than our own
//	limits    size of bodies, time of requests
//	origins   no request that another site's page would have a browser make
//	signedIn  where others can reach us: a session, or the token
//	mux       /api/, /calendar/, /metrics, /healthz, /sign-in, and the pages
//
// Under that net/http sees to slow headers and bodies, and [conns] to it that no
// number of connections keeps others out.
package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"strings"
	"sync/atomic"
	"time"

	"dewgap/cmd/internal/web/desk"
)

// Limits of requests.
const (
	mostHeader     = 16 << 10         // bytes of a request's header
	mostBody       = 2 << 20          // bytes of a request's body: two of the largest job
	smallBody      = 64 << 10         // a body up to this size is always let in,
	mostLarge      = 16               // and so many larger ones at once
	headerWithin   = 5 * time.Second  // to send the header
	requestWithin  = 15 * time.Second // to send all of the request
	answeredWithin = 60 * time.Second // to make the answer
	takenWithin    = 90 * time.Second // to make and take it
	idleFor        = 60 * time.Second // between two requests of a connection
	stopWithin     = 10 * time.Second // for requests under way when the server stops
)

// Config is what a server is made of. Desk, Pages, Metrics and Log are required.
type Config struct {
	Desk     *desk.Desk
	Pages    http.Handler // "/" and all that nothing else takes; it must set the request's Pattern, as ServeMux does
	Calendar http.Handler // asked for /ID.ics; nil: there is none
	Metrics  *Metrics
	Log      *slog.Logger
	Version  string
	Now      func() time.Time // nil: the clock

	Loopback bool // only this computer can reach it
	// PublicURL is the address by which others reach us through a proxy that does
	// TLS, such as https://boats.example, without a slash at the end; "" without one.
	PublicURL string
	// SignIn asks for a sign-in; Secrets is then required, and for calendar links.
	SignIn  bool
	Secrets *Secrets

	// MostConns is for tests; 0 is the usual.
	MostConns int
}

// Server serves.
type Server struct {
	cfg     Config
	log     *slog.Logger
	guesses *guesses
	conns   *conns
	once    *idempotent
	handler http.Handler
}

// New puts a server together.
func New(cfg Config) (*Server, error) {
	switch {
	case cfg.Desk == nil || cfg.Pages == nil || cfg.Metrics == nil || cfg.Log == nil:
		return nil, errors.New("a server needs a desk, pages, counters and a log")
	case cfg.SignIn && cfg.Secrets == nil:
		return nil, errors.New("a server with sign-in needs its secrets")
	case !cfg.SignIn && (!cfg.Loopback || cfg.PublicURL != ""):
		return nil, errors.New("a server that others can reach needs a sign-in")
	}
	if cfg.PublicURL != "" {
		if err := CheckPublicURL(cfg.PublicURL); err != nil {
			return nil, err
		}
	}
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if cfg.Secrets == nil {
		cfg.Secrets = &Secrets{now: cfg.Now, kept: secretsFile{Format: secretsFormat}}
	}
	if cfg.MostConns == 0 {
		cfg.MostConns = MostConns
	}
	s := &Server{cfg: cfg, log: cfg.Log, guesses: newGuesses(cfg.Now), conns: newConns(cfg.MostConns, time.Now), once: newIdempotent(cfg.Now)}
	cfg.Metrics.follow(cfg.Desk, s.conns)
	s.handler = s.routes()
	return s, nil
}

// CheckPublicURL refuses what is no address of a server.
func CheckPublicURL(text string) error {
	u, err := url.Parse(text)
	if err != nil || (u.Scheme != "https" && u.Scheme != "http") || u.Host == "" || (u.Path != "" && u.Path != "/") ||
		u.RawQuery != "" || u.Fragment != "" || u.User != nil || strings.HasSuffix(text, "/") {
		return fmt.Errorf("%q is no address of a server: write it as https://boats.example", short(text))
	}
	return nil
}

// routes joins everything.
func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /healthz", healthy)
	mux.Handle("GET /metrics", s.cfg.Metrics.handler())
	mux.HandleFunc("GET /sign-in", s.signInPage)
	mux.HandleFunc("POST /sign-in", s.signIn)
	mux.HandleFunc("POST /sign-out", s.signOut)
	mux.HandleFunc("GET /sign-in.css", formCSS)
	mux.HandleFunc("GET /calendar/", s.calendar)
	mux.HandleFunc("GET /calendar-link", s.calendarLinkPage)
	mux.HandleFunc("POST /calendar-link", s.calendarLink)
	mux.Handle("/api/", s.once.handler(routed(s.api())))
	kept := &pages{
		next: routed(s.cfg.Pages), revision: s.cfg.Desk.Revision,
		had: func(had string) { s.cfg.Metrics.pages.WithLabelValues(had).Inc() },
	}
	mux.Handle("/", kept)
	return s.noted(s.headers(s.rightHost(limits(s.origins(s.signedIn(named(mux)))))))
}

// named notes the pattern of a route that has no mux of its own beneath it.
func named(mux *http.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if note, ok := r.Context().Value(seenKey{}).(*seen); ok {
			if _, pattern := mux.Handler(r); pattern != "" && pattern != "/" && pattern != "/api/" {
				note.route = pathOf(pattern)
			}
		}
		mux.ServeHTTP(w, r)
	})
}

func healthy(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write([]byte("ok\n")) // the client may have gone
}

// limits bounds a request's body, the memory that all of them take, and the time for
// an answer.
func limits(next http.Handler) http.Handler {
	var large atomic.Int64 // large bodies under way
	return http.MaxBytesHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.ContentLength > mostBody {
			w.Header().Set("Connection", "close")
			problem(w, r, http.StatusRequestEntityTooLarge, fmt.Sprintf("the request is larger than %d kB", mostBody>>10), "send less")
			return
		}
		if r.ContentLength < 0 || r.ContentLength > smallBody {
			defer large.Add(-1)
			if large.Add(1) > mostLarge {
				w.Header().Set("Connection", "close")
				p := newProblem(http.StatusServiceUnavailable, "too many large requests at once", "send it again in a few seconds")
				p.after = 5
				writeProblem(w, r, p)
				return
			}
		}
		ctx, stop := context.WithTimeout(r.Context(), answeredWithin)
		defer stop()
		next.ServeHTTP(w, r.WithContext(ctx))
	}), mostBody)
}

// Handler is the server without its network, for tests.
func (s *Server) Handler() http.Handler { return s.handler }

// Serve answers on a listener until the context ends, then lets what is under way
// come to its end, for a while. It returns nil when it was stopped so.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	srv := &http.Server{
		Handler: s.conns.handler(s.handler), ReadHeaderTimeout: headerWithin, ReadTimeout: requestWithin, WriteTimeout: takenWithin,
		IdleTimeout: idleFor, MaxHeaderBytes: mostHeader, ConnState: s.conns.state, ConnContext: s.conns.context,
		ErrorLog: slog.NewLogLogger(muted(s.log).Handler(), slog.LevelDebug),
	}
	failed := make(chan error, 1)
	go func() { failed <- srv.Serve(l) }()
	select {
	case err := <-failed:
		return fmt.Errorf("serving: %w", err)
	case <-ctx.Done():
	}
	s.log.Info("stopping", "waits_at_most", stopWithin)
	end, stop := context.WithTimeout(context.WithoutCancel(ctx), stopWithin)
	defer stop()
	if err := srv.Shutdown(end); err != nil {
		_ = srv.Close() // what is left is cut off
		s.log.Warn("stopped with requests under way", "error", err)
		return nil
	}
	s.log.Info("stopped")
	return nil
}
