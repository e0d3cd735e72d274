package fetchtest

import (
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"sync"
)

// Server is one service on the loopback that is good until it is broken.
type Server struct {
	*httptest.Server
	mu    sync.Mutex
	good  []byte
	fault *Fault
	n     int // questions since it was broken
	asked int // questions in all
}

// Serve starts a service that answers every question with good. It is closed by
// its Close.
func Serve(good []byte) *Server {
	s := &Server{good: good}
	s.Server = httptest.NewUnstartedServer(http.HandlerFunc(s.answer))
	s.Config.ErrorLog = log.New(io.Discard, "", 0) // what it thinks of those that hang up
	s.Start()
	return s
}

func (s *Server) answer(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	s.asked++
	s.n++
	fault, n, good := s.fault, s.n, s.good
	s.mu.Unlock()
	w.Header().Set("Content-Type", "application/json")
	if fault == nil {
		write(w, good)
		return
	}
	fault.Answer(w, r, n, good)
}

// Break makes it fail from now on, as if good were what it should have said.
func (s *Server) Break(f Fault, good []byte) {
	if f.Closed {
		s.CloseClientConnections()
		s.Close()
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.fault, s.good, s.n = &f, good, 0
}

// Mend makes it good again, with another reply.
func (s *Server) Mend(good []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.fault, s.good = nil, good
}

// Asked is how often it was asked.
func (s *Server) Asked() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.asked
}
