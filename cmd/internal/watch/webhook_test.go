package watch

import (
	"context"
	"crypto/tls"
	"encoding/json"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const secret = "a-secret-of-some-length"

// hook is a webhook of a server on this computer.
func hook(s *httptest.Server) *Webhook {
	return &Webhook{URL: s.URL + "/told?token=hunter2", Secret: secret, Private: true, Version: "v0", Wait: time.Millisecond,
		Now: func() time.Time { return time.Unix(1789000000, 0) }}
}

func newsFixture(t *testing.T) *answer.Watch {
	n, _ := decide(Told{}, see(Asked{Week: weekOf(t, "9 06:00", work(t, "wash", "port side", "10 07:30"))}, "/jobs/kittiwake.yaml", at(t, "9 06:00")))
	require.NotNil(t, n)
	return n
}

// The signature by the definition of HMAC (RFC 2104) over SHA-256; computed apart with
// printf '%s' '1700000000.{"a":1}' | openssl dgst -sha256 -hmac a-secret-of-some-length
func TestSign(t *testing.T) {
	assert.Equal(t, opensslSays, Sign(secret, 1700000000, []byte(`{"a":1}`)))
	assert.NotEqual(t, opensslSays, Sign(secret, 1700000001, []byte(`{"a":1}`)))
	assert.NotEqual(t, opensslSays, Sign(secret+"x", 1700000000, []byte(`{"a":1}`)))
}

func TestWebhook(t *testing.T) {
	var body []byte
	var header http.Header
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		assert.Equal(t, "POST /told?token=hunter2", r.Method+" "+r.URL.String())
		body, _ = io.ReadAll(r.Body)
		header = r.Header
		w.WriteHeader(http.StatusNoContent)
	}))
	defer s.Close()
	h := hook(s)
	require.NoError(t, h.Tell(context.Background(), newsFixture(t)))
	assert.Equal(t, "application/json", header.Get("Content-Type"))
	assert.Equal(t, "dewgap/v0", header.Get("User-Agent"))
	assert.Equal(t, "1789000000", header.Get(HeaderTimestamp))
	assert.Equal(t, Sign(secret, 1789000000, body), header.Get(HeaderSignature))
	assert.Equal(t, answer.WatchFirst, header.Get(HeaderKind))
	assert.Len(t, header.Get(HeaderDelivery), 32)
	var n answer.Watch
	require.NoError(t, json.Unmarshal(body, &n))
	assert.Equal(t, answer.WatchFormat, n.Format)
	assert.Equal(t, "Kittiwake", n.Boat)
	assert.Nil(t, n.Answer, "the whole week is not sent around")
	assert.NotContains(t, h.Name(), "hunter2")
}

// What a server answers, how often it is asked, and whether that is a failure.
func TestWebhookAnswers(t *testing.T) {
	for name, c := range map[string]struct {
		codes []int
		after string
		asked int
		says  string // "" for none
	}{
		"good":             {[]int{200}, "", 1, ""},
		"accepted":         {[]int{202}, "", 1, ""},
		"down once":        {[]int{503, 200}, "", 2, ""},
		"down twice":       {[]int{500, 502, 200}, "", 3, ""},
		"down":             {[]int{500, 500, 500, 200}, "", 3, "it answered 500"},
		"too many":         {[]int{429, 200}, "0", 2, ""},
		"asks for a while": {[]int{429, 200}, "3600", 1, "it answered 429"},
		"not allowed":      {[]int{403, 200}, "", 1, "check address and secret"},
		"moved":            {[]int{302, 200}, "", 1, "leads elsewhere"},
		"moved for good":   {[]int{308, 200}, "", 1, "leads elsewhere"},
	} {
		t.Run(name, func(t *testing.T) {
			asked := 0
			deliveries := map[string]bool{}
			s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				deliveries[r.Header.Get(HeaderDelivery)] = true
				code := c.codes[min(asked, len(c.codes)-1)]
				asked++
				w.Header().Set("Location", "/elsewhere")
				if c.after != "" {
					w.Header().Set("Retry-After", c.after)
				}
				w.WriteHeader(code)
			}))
			defer s.Close()
			err := hook(s).Tell(context.Background(), newsFixture(t))
			assert.Equal(t, c.asked, asked)
			assert.Len(t, deliveries, 1, "each try is the same message")
			if c.says == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorContains(t, err, c.says)
			assert.NotContains(t, err.Error(), "hunter2")
		})
	}
}

// Without leave nothing of this computer is dialled: by address, by a name that leads
// to it, nor after a redirect, which is not followed.
func TestWebhookStaysOutside(t *testing.T) {
	var asked atomic.Int32
	s := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { asked.Add(1) }))
	defer s.Close()
	for _, address := range []string{s.URL, strings.Replace(s.URL, "127.0.0.1", "localhost", 1), strings.Replace(s.URL, "127.0.0.1", "[::ffff:127.0.0.1]", 1), strings.Replace(s.URL, "127.0.0.1", "0.0.0.0", 1)} {
		h := hook(s)
		h.URL, h.Private = address, false
		err := h.Tell(context.Background(), newsFixture(t))
		require.ErrorIs(t, err, ErrPrivate, address)
		assert.Contains(t, err.Error(), "webhook.private")
	}
	assert.Zero(t, asked.Load())
}

// A proxy of the environment would dial for us whatever it likes.
func TestWebhookUsesNoProxy(t *testing.T) {
	var proxied atomic.Int32
	proxy := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { proxied.Add(1) }))
	defer proxy.Close()
	t.Setenv("HTTP_PROXY", proxy.URL)
	t.Setenv("HTTPS_PROXY", proxy.URL)
	h := &Webhook{Secret: secret, Now: time.Now}
	transport, ok := h.client().Transport.(*http.Transport)
	require.True(t, ok)
	assert.Nil(t, transport.Proxy)
	assert.Zero(t, proxied.Load())
}

func TestWebhookOverTLS(t *testing.T) {
	s := httptest.NewUnstartedServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) {}))
	s.Config.ErrorLog = log.New(io.Discard, "", 0)
	s.StartTLS()
	defer s.Close()
	h := hook(s)
	err := h.Tell(context.Background(), newsFixture(t))
	require.Error(t, err, "nobody vouches for it")
	assert.NotContains(t, err.Error(), "hunter2")
	pool := s.Client().Transport.(*http.Transport).TLSClientConfig.RootCAs
	h.TLS = &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12}
	require.NoError(t, h.Tell(context.Background(), newsFixture(t)))
}

func TestWebhookOfNobody(t *testing.T) {
	s := httptest.NewServer(http.NotFoundHandler())
	h := hook(s)
	s.Close()
	err := h.Tell(context.Background(), newsFixture(t))
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "hunter2")
	h.URL = "https://a b/hunter2"
	err = h.Tell(context.Background(), newsFixture(t))
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "hunter2")
	assert.Equal(t, "webhook of no address", h.Name())
}

// Who waits too long is left.
func TestWebhookEnds(t *testing.T) {
	release := make(chan struct{})
	s := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		select {
		case <-release:
		case <-r.Context().Done():
		}
	}))
	defer s.Close()
	defer close(release)
	ctx, stop := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer stop()
	began := time.Now()
	require.Error(t, hook(s).Tell(ctx, newsFixture(t)))
	assert.Less(t, time.Since(began), 5*time.Second)
}

func TestRetryAfter(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"": 0, "7": 7 * time.Second, "0": 0, "31": -1, "-1": 0, "soon": 0, "Wed, 21 Oct 2026 07:28:00 GMT": 0, "99999999999999": 0,
	} {
		assert.Equal(t, want, retryAfter(text), text)
	}
}

const opensslSays = "v1=6747b9d781c709afa2a8cb673a666779c1dada7aabc703b711aec8c8d5ecc902"
