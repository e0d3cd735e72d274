package web

import (
	"context"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"
	"time"
)

// seen is what is noted of a request. The path is not: it may hold a token, and the
// pattern of the route tells enough.
type seen struct {
	http.ResponseWriter
	route  string
	status int
	bytes  int64
}

type seenKey struct{}

// WriteHeader notes the status.
func (s *seen) WriteHeader(status int) {
	if s.status == 0 {
		s.status = status
	}
	s.ResponseWriter.WriteHeader(status)
}

// Write counts the bytes.
func (s *seen) Write(data []byte) (int, error) {
	if s.status == 0 {
		s.status = http.StatusOK
	}
	n, err := s.ResponseWriter.Write(data)
	s.bytes += int64(n)
	return n, err
}

// Unwrap is for http.ResponseController.
func (s *seen) Unwrap() http.ResponseWriter { return s.ResponseWriter }

// noted logs and counts every request, and turns a panic into a fault that ends that
// one request.
func (s *Server) noted(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		note := &seen{ResponseWriter: w, route: "other"}
		r = r.WithContext(context.WithValue(r.Context(), seenKey{}, note))
		defer func() {
			if fault := recover(); fault != nil {
				if fault == http.ErrAbortHandler {
					panic(fault)
				}
				s.log.Error("fault", "route", note.route, "fault", fault, "stack", string(debug.Stack()))
				if note.status == 0 {
					problem(note, r, http.StatusInternalServerError, "something went wrong here", "look at the server's log")
				}
			}
			took := time.Since(began)
			if note.status == 0 {
				note.status = http.StatusOK
			}
			s.cfg.Metrics.answered(note.route, r.Method, note.status, took)
			s.log.LogAttrs(r.Context(), levelOf(note.status), "request", slog.String("route", note.route),
				slog.String("method", methodLabel(r.Method)), slog.Int("status", note.status),
				slog.Duration("took", took.Round(time.Microsecond)), slog.Int64("bytes", note.bytes))
		}()
		next.ServeHTTP(note, r)
	})
}

func levelOf(status int) slog.Level {
	if status >= http.StatusInternalServerError {
		return slog.LevelWarn
	}
	return slog.LevelInfo
}

// routed notes the pattern of the route that a mux finds for a request. The handler
// that it wraps must be the mux itself, which writes its pattern into the request.
func routed(mux http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Pattern = ""
		note, _ := r.Context().Value(seenKey{}).(*seen)
		defer func() {
			if note != nil && r.Pattern != "" && note.route == "other" {
				note.route = pathOf(r.Pattern)
			}
		}()
		mux.ServeHTTP(w, r)
	})
}

// pathOf is a pattern without its method.
func pathOf(pattern string) string {
	if _, path, ok := strings.Cut(pattern, " "); ok {
		return path
	}
	return pattern
}

// muted is a handler for what http.Server itself has to say: the addresses of clients
// whose requests it could not read, which is of no use and may be a lot.
func muted(log *slog.Logger) *slog.Logger {
	if log.Enabled(context.Background(), slog.LevelDebug) {
		return log
	}
	return slog.New(slog.DiscardHandler)
}
