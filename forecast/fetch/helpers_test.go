package fetch

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// morning is when the tests ask, unless they say otherwise.
var morning = time.Date(2026, 9, 7, 5, 40, 0, 0, time.UTC)

// memory is a Cache that can be made to fail.
type memory struct {
	mu      sync.Mutex
	entries map[string]Entry
	puts    int
	getErr  error
	putErr  error
}

func newMemory() *memory { return &memory{entries: map[string]Entry{}} }

func (m *memory) Get(key string) (Entry, bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	e, ok := m.entries[key]
	return e, ok && m.getErr == nil, m.getErr
}

func (m *memory) Put(key string, e Entry) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.putErr != nil {
		return m.putErr
	}
	m.entries[key] = e
	m.puts++
	return nil
}

// served is a loopback service that counts what it is asked and answers by
// handler, which gets the number of the question from 1.
type served struct {
	*httptest.Server
	mu    sync.Mutex
	asked []*http.Request
}

func serve(t *testing.T, handler func(w http.ResponseWriter, r *http.Request, n int)) *served {
	t.Helper()
	s := &served{}
	s.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.mu.Lock()
		s.asked = append(s.asked, r)
		n := len(s.asked)
		s.mu.Unlock()
		handler(w, r, n)
	}))
	t.Cleanup(func() { s.CloseClientConnections(); s.Close() })
	return s
}

func (s *served) count() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.asked)
}

func (s *served) last() *http.Request {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.asked[len(s.asked)-1]
}

// client is one for tests: no pauses, no rate to speak of.
func client(t *testing.T, cache Cache, change ...func(*Config)) *Client {
	t.Helper()
	cfg := Config{
		Version: "1.2.3", Contact: "harbour@otter-quay.example", Wait: time.Millisecond, PerSecond: 1e6,
		Timeout: time.Minute, Now: func() time.Time { return morning },
	}
	if cache != nil {
		cfg.Cache = cache
	}
	for _, f := range change {
		f(&cfg)
	}
	c, err := New(cfg)
	require.NoError(t, err)
	return c
}

func request(url string) Request { return Request{Service: "Test service", URL: url} }

func say(body string) func(http.ResponseWriter, *http.Request, int) {
	return func(w http.ResponseWriter, _ *http.Request, _ int) { _, _ = w.Write([]byte(body)) }
}

// fails asks and wants a failure of the given kind with advice.
func fails(t *testing.T, c *Client, r Request, kind Kind) *Error {
	t.Helper()
	res, err := c.Get(context.Background(), r)
	require.Nil(t, res)
	e, ok := errors.AsType[*Error](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, kind, e.Kind, "%v", err)
	assert.NotEmpty(t, e.Fix)
	assert.Contains(t, e.Error(), r.Service)
	assert.NotContains(t, e.Error(), "\n")
	return e
}
