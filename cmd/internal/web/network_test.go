package web

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// idleConns is how many idle connections this computer lets a test open: ten thousand,
// or what the limit of open files allows, both ends being ours.
func idleConns(t testing.TB) int {
	const want = 10_000
	files, limited := openFiles()
	if !limited {
		return want
	}
	// The server closes its end of those that are too many; some are in between.
	n := min(want, files/2-1000)
	if n < want {
		t.Logf("%d idle connections in place of %d: the limit of open files is %d", n, want, files)
	}
	return n
}

// Ten thousand idle connections keep nobody out, and few of them are held.
func TestIdleConnections(t *testing.T) {
	f := serve(t, nil)
	address, _ := f.listen()
	n := idleConns(t)
	if n < MostConns*2 {
		t.Skipf("this computer lets a test open %d connections only", n)
	}
	open := make([]net.Conn, 0, n)
	defer func() {
		for _, c := range open {
			_ = c.Close()
		}
	}()
	for range n {
		c, err := net.Dial("tcp", address)
		require.NoError(t, err)
		open = append(open, c)
		if len(open) == n/2 {
			stillServes(t, address)
		}
	}
	stillServes(t, address)
	held, evicted := f.conns.count()
	assert.LessOrEqual(t, held, MostConns)
	assert.GreaterOrEqual(t, int(evicted), n-MostConns-10)
}

// Clients that send their header a byte at a time, or read their answer so, hold up
// nobody.
func TestSlowClients(t *testing.T) {
	f := serve(t, func(c *Config) { c.MostConns = 64 })
	address, _ := f.listen()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	var all sync.WaitGroup
	defer all.Wait()
	for i := range 200 {
		c, err := net.Dial("tcp", address)
		require.NoError(t, err)
		defer func() { _ = c.Close() }()
		all.Go(func() {
			text := "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: "
			if i%2 == 0 {
				text = "POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 60000\r\n\r\n"
			}
			if _, err := io.WriteString(c, text); err != nil {
				return // it was closed to make room
			}
			for ctx.Err() == nil {
				if _, err := c.Write([]byte("a")); err != nil {
					return
				}
				time.Sleep(20 * time.Millisecond)
			}
		})
	}
	for range 5 {
		stillServes(t, address)
	}
	stop()
}

// A slow header is ended in time. The limits themselves are held to what is meant.
func TestTimeLimits(t *testing.T) {
	assert.LessOrEqual(t, headerWithin, 10*time.Second)
	assert.LessOrEqual(t, requestWithin, 30*time.Second)
	assert.Greater(t, takenWithin, answeredWithin)
	f := serve(t, nil)
	deadline := make(chan time.Duration, 1)
	f.handler = limits(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		d, ok := r.Context().Deadline()
		assert.True(t, ok)
		deadline <- time.Until(d)
	}))
	f.get("/")
	assert.InDelta(t, answeredWithin.Seconds(), (<-deadline).Seconds(), 5)
}

// talk sends bytes and gives the answer, or what could be read of it.
func talk(t testing.TB, address string, send func(io.Writer) error) *http.Response {
	c, err := net.Dial("tcp", address)
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	require.NoError(t, c.SetDeadline(time.Now().Add(20*time.Second)))
	go func() { _ = send(c) }() // the server may close before all is sent
	res, err := http.ReadResponse(bufio.NewReader(c), nil)
	require.NoError(t, err)
	return res
}

// endless is as many bytes as one likes.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'a'
	}
	return len(p), nil
}

// A body of a gigabyte is refused, told beforehand or not, without being read.
func TestLargeBodies(t *testing.T) {
	f := serve(t, nil)
	address, _ := f.listen()
	const gigabyte = 1 << 30
	for _, path := range []string{"/", "/api/jobs/small/readings", "/api/jobs/small/check", "/sign-in", "/calendar-link"} {
		res := talk(t, address, func(w io.Writer) error {
			_, err := fmt.Fprintf(w, "POST %s HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n", path, gigabyte)
			if err != nil {
				return err
			}
			_, err = io.CopyN(w, endless{}, gigabyte)
			return err
		})
		assert.Equal(t, http.StatusRequestEntityTooLarge, res.StatusCode, path)
		assert.True(t, res.Close, path)
		res = talk(t, address, func(w io.Writer) error {
			if _, err := fmt.Fprintf(w, "POST %s HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nIdempotency-Key: k\r\nTransfer-Encoding: chunked\r\n\r\n", path); err != nil {
				return err
			}
			chunk := fmt.Sprintf("10000\r\n%s\r\n", strings.Repeat("a", 0x10000))
			for range gigabyte / 0x10000 {
				if _, err := io.WriteString(w, chunk); err != nil {
					return err
				}
			}
			return nil
		})
		if path != "/sign-in" { // which looks at forms only, and at none where nobody has to sign in
			assert.Contains(t, []int{http.StatusBadRequest, http.StatusRequestEntityTooLarge}, res.StatusCode, path)
		}
		assert.True(t, res.Close, path)
		stillServes(t, address)
	}
}

// Only so many large bodies are taken at once; small ones always are.
func TestLargeBodiesAtOnce(t *testing.T) {
	entered, leave := make(chan struct{}), make(chan struct{})
	h := limits(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		if r.ContentLength > smallBody {
			entered <- struct{}{}
			<-leave
		}
	}))
	f := serve(t, nil)
	f.handler = h
	var all sync.WaitGroup
	for range mostLarge {
		all.Go(func() { f.ask("POST", "/", strings.Repeat("a", smallBody+1)) })
		<-entered
	}
	w := f.ask("POST", "/", strings.Repeat("a", smallBody+1))
	assert.Equal(t, http.StatusServiceUnavailable, w.Code)
	assert.NotEmpty(t, w.Header().Get("Retry-After"))
	assert.Equal(t, http.StatusOK, f.ask("POST", "/", strings.Repeat("a", smallBody)).Code)
	close(leave)
	all.Wait()
}

// Large headers are refused, one large or many small.
func TestHeaderBombs(t *testing.T) {
	f := serve(t, nil)
	address, _ := f.listen()
	for name, bomb := range map[string]string{
		"one":     "X: " + strings.Repeat("a", 1<<20) + "\r\n",
		"many":    strings.Repeat("X: a\r\n", 1<<17),
		"cookies": "Cookie: " + strings.Repeat("a=b; ", 1<<17) + "\r\n",
		"address": "",
	} {
		path := "/"
		if name == "address" {
			path = "/" + strings.Repeat("a", 1<<20)
		}
		res := talk(t, address, func(w io.Writer) error {
			_, err := fmt.Fprintf(w, "GET %s HTTP/1.1\r\nHost: 127.0.0.1\r\n%s\r\n", path, bomb)
			return err
		})
		assert.Equal(t, http.StatusRequestHeaderFieldsTooLarge, res.StatusCode, name)
		stillServes(t, address)
	}
}

// What is no HTTP, or smuggles a second request, is refused.
func TestBrokenRequests(t *testing.T) {
	f := serve(t, nil)
	address, _ := f.listen()
	for _, text := range []string{
		"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n", "GET\r\n\r\n", "GET / HTTP/9.9\r\n\r\n", "GET / HTTP/1.1\r\n\r\n",
		"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
		"POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\nabcdef",
		"POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: -1\r\n\r\n",
		"POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: gzip\r\n\r\n",
	} {
		res := talk(t, address, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
		assert.GreaterOrEqual(t, res.StatusCode, 400, "%q", text)
	}
	stillServes(t, address)
}

// A stop lets what is under way come to its end, and takes nothing new.
func TestGracefulStop(t *testing.T) {
	entered, leave := make(chan struct{}), make(chan struct{})
	f := serve(t, func(c *Config) {
		mux := http.NewServeMux()
		mux.HandleFunc("POST /slow", func(w http.ResponseWriter, _ *http.Request) {
			close(entered)
			<-leave
			fmt.Fprint(w, "whole")
		})
		c.Pages = mux
	})
	address, stop := f.listen()
	answer := make(chan string, 1)
	go func() {
		res, err := http.Post("http://"+address+"/slow", "text/plain", nil)
		if !assert.NoError(t, err) {
			answer <- ""
			return
		}
		data, err := io.ReadAll(res.Body)
		assert.NoError(t, err)
		assert.NoError(t, res.Body.Close())
		answer <- string(data)
	}()
	<-entered
	stopped := make(chan struct{})
	go func() { stop(); close(stopped) }()
	require.Eventually(t, func() bool {
		c, err := net.Dial("tcp", address)
		if err == nil {
			_ = c.Close()
		}
		return err != nil
	}, 10*time.Second, 5*time.Millisecond)
	close(leave)
	assert.Equal(t, "whole", <-answer)
	<-stopped
	assert.Contains(t, f.log.String(), "stopped")
}

// A port that is taken away is an error and not a stop.
func TestServeFails(t *testing.T) {
	f := serve(t, nil)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	require.NoError(t, l.Close())
	assert.Error(t, f.Serve(t.Context(), l))
}

// fakeConn is a connection that only knows whether it is closed.
type fakeConn struct {
	net.Conn
	closed bool
}

func (c *fakeConn) Close() error { c.closed = true; return nil }

// Whatever connections do: never more are held than may be, unless all are being
// answered and none for long; who waits longest goes first; and none is held that was
// closed.
func TestConnsProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		now := tuesday
		most := rapid.IntRange(1, 5).Draw(t, "most")
		cs := newConns(most, func() time.Time { return now })
		var all []*fakeConn
		for range rapid.IntRange(1, 60).Draw(t, "steps") {
			now = now.Add(time.Duration(rapid.IntRange(0, 12).Draw(t, "seconds")) * time.Second)
			if len(all) == 0 || rapid.Bool().Draw(t, "new") {
				waiting := cs.waiting.Len()
				c := &fakeConn{}
				all = append(all, c)
				cs.state(c, http.StateNew)
				if waiting > 0 && len(cs.by) > most {
					t.Fatalf("%d held though %d waited", len(cs.by), waiting)
				}
				continue
			}
			c := all[rapid.IntRange(0, len(all)-1).Draw(t, "which")]
			switch rapid.IntRange(0, 2).Draw(t, "what") {
			case 0:
				cs.move(c, cs.working)
			case 1:
				cs.state(c, http.StateIdle)
			case 2:
				cs.state(c, http.StateClosed)
			}
		}
		for c, x := range cs.by {
			if c.(*fakeConn).closed {
				t.Fatal("a closed connection is held")
			}
			if cs.waiting.Len()+cs.working.Len() != len(cs.by) || x.c != c {
				t.Fatal("the lists do not agree")
			}
		}
	})
}

// The one that waits longest is closed first; one that is being answered only after
// long.
func TestConnsOrder(t *testing.T) {
	now := tuesday
	cs := newConns(2, func() time.Time { return now })
	a, b, c, d := &fakeConn{}, &fakeConn{}, &fakeConn{}, &fakeConn{}
	cs.state(a, http.StateNew)
	cs.state(b, http.StateNew)
	cs.move(a, cs.working)
	cs.state(c, http.StateNew)
	assert.True(t, b.closed && !a.closed)
	now = now.Add(time.Second)
	cs.move(c, cs.working)
	cs.state(d, http.StateNew)
	assert.False(t, a.closed || c.closed, "both are being answered")
	cs.move(d, cs.working)
	now = tuesday.Add(workLong)
	cs.state(&fakeConn{}, http.StateNew)
	assert.True(t, a.closed && !c.closed)
}
