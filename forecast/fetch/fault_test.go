package fetch

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nolog takes what a test server has to say of the clients that hang up on it.
var nolog = log.New(io.Discard, "", 0)

// limit is the size of a reply allowed in the table of faults.
const limit = 100_000

// fault is one way for a service to fail.
type fault struct {
	name    string
	handler func(w http.ResponseWriter, r *http.Request, n int)
	kind    Kind
	status  int
	tries   int      // how often it is asked, of 3
	says    string   // in the error
	fix     []string // words in the advice
}

func status(code int, body string, headers ...string) func(http.ResponseWriter, *http.Request, int) {
	return func(w http.ResponseWriter, _ *http.Request, _ int) {
		for i := 0; i < len(headers); i += 2 {
			w.Header().Set(headers[i], headers[i+1])
		}
		w.WriteHeader(code)
		_, _ = io.WriteString(w, body)
	}
}

// reset breaks the connection after some of the body.
func reset(w http.ResponseWriter, _ *http.Request, _ int) {
	conn, buf, _ := w.(http.Hijacker).Hijack()
	_, _ = buf.WriteString("HTTP/1.1 200 OK\r\nContent-Length: 1000\r\n\r\n{\"a\": [1, 2, ")
	_ = buf.Flush()
	_ = conn.(*net.TCPConn).SetLinger(0)
	_ = conn.Close()
}

// short closes the connection cleanly before the promised end.
func short(w http.ResponseWriter, _ *http.Request, _ int) {
	w.Header().Set("Content-Length", "1000")
	_, _ = io.WriteString(w, `{"a":1}`)
}

// drip sends a byte now and then and never ends.
func drip(w http.ResponseWriter, r *http.Request, _ int) {
	for r.Context().Err() == nil {
		_, _ = io.WriteString(w, " ")
		w.(http.Flusher).Flush()
		time.Sleep(10 * time.Millisecond)
	}
}

// bomb is small on the wire and large when unpacked.
func bomb(w http.ResponseWriter, _ *http.Request, _ int) {
	w.Header().Set("Content-Encoding", "gzip")
	z := gzip.NewWriter(w)
	_, _ = io.WriteString(z, `["`)
	for range 100 {
		_, _ = z.Write(bytes.Repeat([]byte("a"), limit/10))
	}
	_, _ = io.WriteString(z, `"]`)
	_ = z.Close()
}

var faults = []fault{
	{"reset in the body", reset, Network, 0, 3, "trouble with the connection", []string{"connection", "Wi-Fi"}},
	{"body cut short", short, Network, 0, 3, "unexpected EOF", []string{"connection"}},
	{"slow drip", drip, Timeout, 0, 1, "in time", []string{"timeout", "signal"}},
	{"page instead of data", status(200, "<!DOCTYPE html><html>Welcome to the marina's Wi-Fi"), NotData, 200, 1, "web page", []string{"browser", "log-in"}},
	{"plain words", status(200, "come back later"), NotData, 200, 1, "not JSON: it begins with come back", []string{"browser"}},
	{"words after half the JSON", status(200, `{"hourly":{"time":[1,2,Unexpected error while streaming data: x`), NotData, 200, 3, "broken off", []string{"another source"}},
	{"cut JSON", status(200, `{"hourly":{"time":[1,2,`), NotData, 200, 3, "broken off", []string{"another source"}},
	{"JSON and more", status(200, `{} {}`), NotData, 200, 3, "damaged", []string{"another source"}},
	{"nothing", status(204, ""), NotData, 204, 1, "HTTP 204", []string{"address"}},
	{"blanks", status(200, " \r\n"), NotData, 200, 1, "empty", []string{"address"}},
	{"not modified, unasked", status(304, ""), NotData, 304, 1, "HTTP 304", []string{"address"}},
	{"redirect in circles", func(w http.ResponseWriter, r *http.Request, n int) {
		http.Redirect(w, r, fmt.Sprintf("/%d", n), http.StatusFound)
	},
		Redirected, 0, 6, "more than 5 redirects", []string{"address"}},
	{"redirect to another host", status(302, "", "Location", "http://login.example/"), Redirected, 0, 1, "login.example", []string{"log-in"}},
	{"redirect to a file", status(302, "", "Location", "file:///etc/passwd"), Redirected, 0, 1, "no web address", []string{"address"}},
	{"redirect to nowhere", status(302, ""), NotData, 302, 1, "HTTP 302", []string{"address"}},
	{"bad parameter", status(400, `{"error":true,"reason":"Latitude must be in range of -90 to 90°. Given: 91."}`), BadRequest, 400, 1, "Given: 91", []string{"latitude"}},
	{"bad parameter, page", status(400, "<html>Bad request</html>"), BadRequest, 400, 1, "refused (HTTP 400)", []string{"latitude"}},
	{"key unknown", status(401, `{"reason":"no"}`), Forbidden, 401, 1, "not accepted", []string{"key"}},
	{"identification refused", status(403, "Forbidden by policy"), Forbidden, 403, 1, "Forbidden by policy", []string{"DEWGAP_CONTACT"}},
	{"not there", status(404, `{"title":"Data Unavailable","detail":"Unable to provide data for requested point","status":404}`),
		NotFound, 404, 1, "Unable to provide data", []string{"latitude"}},
	{"gone", status(410, ""), NotFound, 410, 1, "HTTP 410", []string{"latitude"}},
	{"outside", status(422, `{"title":"outside"}`), BadRequest, 422, 1, "outside", []string{"latitude"}},
	{"too many, no more said", status(429, ""), TooMany, 429, 3, "too many requests", []string{"another source"}},
	{"too many, wait an hour", status(429, `{"reason":"slow down"}`, "Retry-After", "3600"), TooMany, 429, 1, "asks to wait 1 h", []string{"wait"}},
	{"too many, wait till noon", status(429, "", "Retry-After", "Mon, 07 Sep 2026 12:00:00 GMT", "Date", "Mon, 07 Sep 2026 05:30:00 GMT"),
		TooMany, 429, 1, "asks to wait 6 h 30 min", []string{"wait"}},
	{"in trouble for ever", status(503, `{"error":true,"reason":"The service is overloaded"}`), Overloaded, 503, 3, "overloaded (tried 3 times)", []string{"some minutes"}},
	{"in trouble for a day", status(503, "", "Retry-After", "86400"), Overloaded, 503, 1, "asks to wait 1 d", []string{"some minutes"}},
	{"broken inside", status(500, "<html>"), Overloaded, 500, 3, "HTTP 500", []string{"some minutes"}},
	{"its own timeout", status(408, ""), Overloaded, 408, 3, "HTTP 408", []string{"some minutes"}},
	{"not compressed as said", status(200, `{"a":1, "b":[2, 3, 4]}`, "Content-Encoding", "gzip"), NotData, 0, 3, "compressed data are damaged", []string{"another source"}},
	{"compressed and cut", status(200, "\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\xff\xaa", "Content-Encoding", "gzip"), Network, 0, 3, "EOF", []string{"connection"}},
	{"compressed and garbled", status(200, "\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\xff\xff\xff\xff\xff", "Content-Encoding", "gzip"), NotData, 0, 3, "damaged", []string{"another source"}},
	{"bomb", bomb, TooLarge, 0, 1, "too large", []string{"fewer days"}},
	{"too large", status(200, `["`+strings.Repeat("a", limit)+`"]`), TooLarge, 0, 1, "too large", []string{"fewer days"}},
	{"too large a refusal", status(500, strings.Repeat("a", limit+1)), TooLarge, 0, 1, "too large", []string{"address"}},
	{"not HTTP", func(w http.ResponseWriter, _ *http.Request, _ int) {
		conn, _, _ := w.(http.Hijacker).Hijack()
		_, _ = io.WriteString(conn, "220 mail.example ESMTP\r\n")
		_ = conn.Close()
	}, Network, 0, 3, "trouble with the connection", []string{"address"}},
	{"endless headers", func(w http.ResponseWriter, _ *http.Request, _ int) {
		w.Header().Set("X-Long", strings.Repeat("a", 100<<10))
	}, Network, 0, 3, "header", []string{"address"}},
}

// faultClient has a short timeout only where the fault is to run into it, so
// that a slow machine changes nothing.
func faultClient(t *testing.T, m Cache, f fault) *Client {
	return client(t, m, func(cfg *Config) {
		cfg.Limit, cfg.Timeout = limit, time.Minute
		if f.kind == Timeout {
			cfg.Timeout = 100 * time.Millisecond
		}
	})
}

// TestFaults asks failing services without a saved copy: each fault is told
// apart, asked again only where that may help, and answered with advice.
func TestFaults(t *testing.T) {
	for _, f := range faults {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			s := serve(t, f.handler)
			s.Config.ErrorLog = nolog
			m := newMemory()
			e := fails(t, faultClient(t, m, f), request(s.URL), f.kind)
			assert.Equal(t, f.status, e.Status)
			assert.Contains(t, e.Error(), f.says)
			for _, word := range f.fix {
				assert.Contains(t, e.Fix, word)
			}
			assert.Equal(t, f.tries, s.count(), "questions")
			assert.Zero(t, m.puts, "nothing worth keeping")
			assert.Contains(t, s.URL, e.Host)
		})
	}
}

// TestFaultsNeverLoseTheCopy asks the same services with an old copy at hand:
// it is the answer, marked stale with age and cause, and stays as it was.
func TestFaultsNeverLoseTheCopy(t *testing.T) {
	for _, f := range faults {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			s := serve(t, f.handler)
			s.Config.ErrorLog = nolog
			m := newMemory()
			r := request(s.URL)
			good := Entry{Body: []byte(`{"good":1}`), Fetched: morning.Add(-5 * time.Hour), Expires: morning.Add(-4 * time.Hour), LastModified: "then"}
			if f.status == http.StatusNotModified {
				good.LastModified = "" // else it would not be unasked
			}
			m.entries[r.key()] = good
			res, err := faultClient(t, m, f).Get(context.Background(), r)
			require.NoError(t, err)
			assert.Equal(t, `{"good":1}`, string(res.Body))
			assert.True(t, res.Stale)
			assert.True(t, res.FromCache)
			assert.Equal(t, 5*time.Hour, res.Age)
			assert.Equal(t, good.Fetched, res.Fetched)
			assert.Equal(t, good.LastModified, res.Header.LastModified)
			assert.ErrorContains(t, res.Cause, f.says)
			assert.Equal(t, map[string]Entry{r.key(): good}, m.entries)
			assert.Zero(t, m.puts)
		})
	}
}

func TestRefusedConnection(t *testing.T) {
	s := httptest.NewServer(nil)
	s.Close()
	e := fails(t, client(t, nil), request(s.URL), Network)
	assert.Contains(t, e.Error(), "refused")
	assert.Equal(t, 3, e.Tries)
	assert.Contains(t, e.Fix, "connection")
}

func TestUnknownHost(t *testing.T) {
	dial := func(context.Context, string, string) (net.Conn, error) {
		return nil, &net.OpError{Op: "dial", Net: "tcp", Err: &net.DNSError{Err: "no such host", Name: "weather.invalid", IsNotFound: true}}
	}
	c := client(t, nil, func(cfg *Config) { cfg.Transport = &http.Transport{DialContext: dial} })
	e := fails(t, c, request("http://weather.invalid/"), Network)
	assert.Equal(t, "unknown host name", e.Reason)
	assert.Equal(t, 1, e.Tries)
}

// TestTroubleThatPasses: each kind of passing trouble is over at the second
// or third try, and nothing of it shows.
func TestTroubleThatPasses(t *testing.T) {
	for name, bad := range map[string]func(http.ResponseWriter, *http.Request, int){
		"500": status(500, ""), "503": status(503, ""), "429": status(429, ""), "reset": reset,
		"half JSON": status(200, `{"a":`), "cut short": short, "garbled": status(200, `{"not": "compressed"}`, "Content-Encoding", "gzip"),
	} {
		for _, passes := range []int{1, 2} {
			t.Run(fmt.Sprintf("%s %d times", name, passes), func(t *testing.T) {
				s := serve(t, func(w http.ResponseWriter, r *http.Request, n int) {
					if n <= passes {
						bad(w, r, n)
						return
					}
					_, _ = io.WriteString(w, `{"good":1}`)
				})
				m := newMemory()
				res, err := client(t, m).Get(context.Background(), request(s.URL))
				require.NoError(t, err)
				assert.JSONEq(t, `{"good":1}`, string(res.Body))
				assert.Empty(t, res.Warnings)
				assert.Equal(t, passes+1, s.count())
				assert.Equal(t, 1, m.puts)
			})
		}
	}
}

func TestOneTryOnly(t *testing.T) {
	s := serve(t, status(503, ""))
	e := fails(t, client(t, nil, func(cfg *Config) { cfg.Tries = 1 }), request(s.URL), Overloaded)
	assert.Equal(t, 1, s.count())
	assert.NotContains(t, e.Error(), "tried")
}

func TestCallerGivesUp(t *testing.T) {
	s := serve(t, drip)
	m := newMemory()
	r := request(s.URL)
	m.entries[r.key()] = Entry{Body: []byte(`{}`), Fetched: morning.Add(-time.Hour)}
	ctx, cancel := context.WithCancel(context.Background())
	time.AfterFunc(30*time.Millisecond, cancel)
	_, err := client(t, m).Get(ctx, r)
	require.ErrorIs(t, err, context.Canceled, "no answer is wanted, not even an old one")
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, Cancelled, e.Kind)
	assert.Equal(t, 1, s.count())

	ctx, cancel = context.WithTimeout(context.Background(), 30*time.Millisecond)
	defer cancel()
	res, err := client(t, m).Get(ctx, r)
	require.NoError(t, err, "the caller's deadline is a service too slow")
	assert.ErrorIs(t, res.Cause, context.DeadlineExceeded)
	assert.Equal(t, 2, s.count())
}

func TestRedirectsThatMayBeFollowed(t *testing.T) {
	for name, c := range map[string]struct {
		from, to string
		ok       bool
	}{
		"same host":               {"http://a.example/x", "http://a.example/y", true},
		"to https":                {"http://a.example/x", "https://a.example/y", true},
		"https elsewhere":         {"https://a.example/x", "https://b.example/y", true},
		"http elsewhere":          {"http://a.example/x", "http://b.example/y", false},
		"other port":              {"http://a.example/x", "http://a.example:81/y", false},
		"https to http":           {"https://a.example/x", "http://a.example/x", false},
		"https to http elsewhere": {"https://a.example/x", "http://b.example/x", false},
		"file":                    {"http://a.example/x", "file:///x", false},
	} {
		from, err := http.NewRequest(http.MethodGet, c.from, nil)
		require.NoError(t, err)
		to, err := http.NewRequest(http.MethodGet, c.to, nil)
		require.NoError(t, err)
		to.Header.Set("Referer", c.from+"?apikey=hush")
		assert.Equal(t, c.ok, follow(to, []*http.Request{from}) == nil, name)
		assert.Empty(t, to.Header.Get("Referer"))
	}
}

func TestServicesOwnAdvice(t *testing.T) {
	s := serve(t, status(403, ""))
	r := request(s.URL)
	r.Fix = func(e *Error) string {
		if e.Status == 403 {
			return "write to them"
		}
		return ""
	}
	assert.Equal(t, "write to them", fails(t, client(t, nil), r, Forbidden).Fix)
	s.Close()
	assert.Equal(t, fixes[Network], fails(t, client(t, nil), r, Network).Fix)
}

// TestWordsOfAServiceAreMadeSafe: what a stranger sends cannot drive a
// terminal or fill the screen.
func TestWordsOfAServiceAreMadeSafe(t *testing.T) {
	s := serve(t, status(400, `{"reason":"a\u001b[31m\nb\u0007 \u009bc `+strings.Repeat("é", 500)+`"}`))
	e := fails(t, client(t, nil), request(s.URL), BadRequest)
	assert.True(t, strings.HasPrefix(e.Reason, "a [31m b c éé"), e.Reason)
	assert.Len(t, []rune(e.Reason), 201)
}
