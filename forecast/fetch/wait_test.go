package fetch

import (
	"context"
	"io"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/time/rate"
)

// script is a service without a network: it answers try n with replies[n], the
// last for ever, and notes when it was asked.
type script struct {
	replies []func() *http.Response
	at      []time.Time
}

func (s *script) RoundTrip(r *http.Request) (*http.Response, error) {
	s.at = append(s.at, time.Now())
	reply := s.replies[min(len(s.at), len(s.replies))-1]()
	reply.Request = r
	return reply, nil
}

func answer(code int, body string, headers ...string) func() *http.Response {
	return func() *http.Response {
		h := http.Header{}
		for i := 0; i < len(headers); i += 2 {
			h.Set(headers[i], headers[i+1])
		}
		return &http.Response{StatusCode: code, Header: h, Body: io.NopCloser(strings.NewReader(body)), ContentLength: int64(len(body))}
	}
}

// gaps are the pauses between the questions.
func (s *script) gaps() []time.Duration {
	var gaps []time.Duration
	for i := 1; i < len(s.at); i++ {
		gaps = append(gaps, s.at[i].Sub(s.at[i-1]))
	}
	return gaps
}

// scripted asks in a bubble of false time with the defaults of a real client.
func scripted(t *testing.T, r Request, change func(*Config), replies ...func() *http.Response) (*script, *Result, error) {
	s := &script{replies: replies}
	cfg := Config{Now: time.Now, Transport: s}
	if change != nil {
		change(&cfg)
	}
	c, err := New(cfg)
	require.NoError(t, err)
	if r.URL == "" {
		r = request("http://weather.example/")
	}
	res, err := c.Get(t.Context(), r)
	return s, res, err
}

func TestWaitsDoubleWithoutChance(t *testing.T) {
	for range 3 { // the same each time
		synctest.Test(t, func(t *testing.T) {
			s, _, err := scripted(t, Request{}, func(cfg *Config) { cfg.Tries = 5 }, answer(500, ""))
			require.Error(t, err)
			assert.Equal(t, []time.Duration{500 * time.Millisecond, time.Second, 2 * time.Second, 4 * time.Second}, s.gaps())
		})
	}
}

func TestDefaultsAreThreeTriesInTwentySeconds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, _, err := scripted(t, Request{}, nil, answer(500, ""))
		require.Error(t, err)
		assert.Len(t, s.at, 3)
	})
	cfg := Config{}.withDefaults()
	assert.Equal(t, 20*time.Second, cfg.Timeout)
	assert.Equal(t, 32<<20, cfg.Limit)
}

func TestRetryAfterIsObeyed(t *testing.T) {
	for name, c := range map[string]struct {
		headers []string
		wait    time.Duration
	}{
		"seconds":                     {[]string{"Retry-After", "7"}, 7 * time.Second},
		"one":                         {[]string{"Retry-After", "1"}, time.Second},
		"date by the service's clock": {[]string{"Date", "Mon, 07 Sep 2026 05:40:00 GMT", "Retry-After", "Mon, 07 Sep 2026 05:40:09 GMT"}, 9 * time.Second},
		// The false time begins at midnight of 2000-01-01.
		"date by ours":  {[]string{"Retry-After", "Sat, 01 Jan 2000 00:00:04 GMT"}, 4 * time.Second},
		"date gone by":  {[]string{"Retry-After", "Fri, 31 Dec 1999 23:00:00 GMT"}, 500 * time.Millisecond},
		"zero":          {[]string{"Retry-After", "0"}, 500 * time.Millisecond},
		"no time":       {[]string{"Retry-After", "soon"}, 500 * time.Millisecond},
		"below nothing": {[]string{"Retry-After", "-3"}, 500 * time.Millisecond},
	} {
		for _, code := range []int{429, 503} {
			t.Run(name, func(t *testing.T) {
				synctest.Test(t, func(t *testing.T) {
					s, res, err := scripted(t, Request{}, nil, answer(code, "", c.headers...), answer(200, `{}`))
					require.NoError(t, err)
					assert.Equal(t, []time.Duration{c.wait}, s.gaps())
					assert.False(t, res.Stale)
				})
			})
		}
	}
}

func TestTooLongAWaitIsNamedNotWaited(t *testing.T) {
	for name, c := range map[string]struct {
		after string
		says  string
	}{
		"longer than allowed": {"11", "asks to wait 11 s"},
		"an hour":             {"3600", "asks to wait 1 h"},
		"for ever":            {"2147483647", "asks to wait 24855 d 3 h"},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				start := time.Now()
				s, _, err := scripted(t, Request{}, nil, answer(429, "", "Retry-After", c.after))
				assert.ErrorContains(t, err, c.says)
				assert.Len(t, s.at, 1)
				assert.Zero(t, time.Since(start), "given up at once")
			})
		})
	}
}

// TestNoWaitBeyondTheDeadline: a wait that would outlast the timeout is not
// begun, and the error is the service's trouble, not the timeout.
func TestNoWaitBeyondTheDeadline(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		s, _, err := scripted(t, Request{}, nil, answer(503, "", "Retry-After", "9"))
		assert.ErrorContains(t, err, "HTTP 503")
		assert.Equal(t, []time.Duration{9 * time.Second, 9 * time.Second}, s.gaps())
		assert.Less(t, time.Since(start), 20*time.Second)
	})
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		s, _, err := scripted(t, Request{}, func(cfg *Config) { cfg.Timeout = 10 * time.Second }, answer(503, "", "Retry-After", "9"))
		assert.ErrorContains(t, err, "HTTP 503")
		assert.Len(t, s.at, 2)
		assert.Equal(t, 9*time.Second, time.Since(start))
	})
}

func TestNoTryAfterCancel(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &script{replies: []func() *http.Response{answer(503, "")}}
		c, err := New(Config{Now: time.Now, Transport: s, Wait: 4 * time.Second})
		require.NoError(t, err)
		ctx, cancel := context.WithCancel(t.Context())
		time.AfterFunc(time.Second, cancel)
		_, err = c.Get(ctx, request("http://weather.example/"))
		assert.ErrorIs(t, err, context.Canceled)
		assert.Len(t, s.at, 1)
	})
}

func TestWaitFromWords(t *testing.T) {
	r := request("http://weather.example/")
	r.Wait = func(reason string, now time.Time) time.Duration {
		assert.Equal(t, "six seconds please", reason)
		return 6 * time.Second
	}
	synctest.Test(t, func(t *testing.T) {
		s, _, err := scripted(t, r, nil, answer(429, `{"reason":"six seconds please"}`), answer(200, `{}`))
		require.NoError(t, err)
		assert.Equal(t, []time.Duration{6 * time.Second}, s.gaps())
	})
	synctest.Test(t, func(t *testing.T) {
		s, _, err := scripted(t, r, nil, answer(429, `{"reason":"six seconds please"}`, "Retry-After", "2"), answer(200, `{}`))
		require.NoError(t, err)
		assert.Equal(t, []time.Duration{2 * time.Second}, s.gaps(), "the header outranks the words")
	})
}

// TestRate: after the burst, requests are held to the rate; they wait and are
// not refused.
func TestRate(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &script{replies: []func() *http.Response{answer(200, `{}`)}}
		c, err := New(Config{Now: time.Now, Transport: s, PerSecond: 2, Burst: 2})
		require.NoError(t, err)
		for range 5 {
			_, err := c.Get(t.Context(), request("http://weather.example/"))
			require.NoError(t, err)
		}
		half := 500 * time.Millisecond
		assert.Equal(t, []time.Duration{0, half, half, half}, s.gaps())
	})
}

// TestNoTurnBeforeTheDeadline: a turn that comes too late is a timeout, at
// once and without further tries.
func TestNoTurnBeforeTheDeadline(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &script{replies: []func() *http.Response{answer(200, `{}`)}}
		c, err := New(Config{Now: time.Now, Transport: s, PerSecond: 0.01, Burst: 1})
		require.NoError(t, err)
		_, err = c.Get(t.Context(), request("http://weather.example/"))
		require.NoError(t, err)
		start := time.Now()
		_, err = c.Get(t.Context(), request("http://weather.example/"))
		require.ErrorIs(t, err, context.DeadlineExceeded)
		assert.Zero(t, time.Since(start))
		assert.Len(t, s.at, 1)
	})
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://weather.example/", nil)
	require.NoError(t, err)
	_, err = paced{&script{}, rate.NewLimiter(1, 1), pace{}}.RoundTrip(r)
	assert.ErrorIs(t, err, context.Canceled)
}
