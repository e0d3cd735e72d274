package fetch

import (
	"context"
	"errors"
	"net"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// patient is a service whose answers and whose clock a test sets, asked by any
// number of runs that have their notes in common.
type patient struct {
	*served
	t      *testing.T
	status int
	header [2]string
	now    time.Time
	shared Shared
}

func newPatient(t *testing.T) *patient {
	p := &patient{t: t, status: 200, now: morning, shared: &own{}}
	p.served = serve(t, func(w http.ResponseWriter, _ *http.Request, _ int) {
		if p.header[0] != "" {
			w.Header().Set(p.header[0], p.header[1])
		}
		w.WriteHeader(p.status)
		_, _ = w.Write([]byte(`{}`))
	})
	return p
}

// run asks as a run of its own does, once for each question.
func (p *patient) run(change ...func(*Request)) error {
	p.t.Helper()
	c := client(p.t, nil, func(cfg *Config) {
		cfg.Shared, cfg.Tries, cfg.Now = p.shared, 1, func() time.Time { return p.now }
	})
	r := request(p.URL)
	for _, f := range change {
		f(&r)
	}
	_, err := c.Get(context.Background(), r)
	return err
}

func (p *patient) fails(n int, change ...func(*Request)) {
	p.t.Helper()
	for range n {
		require.Equal(p.t, Overloaded, kindOf(p.run(change...)))
	}
}

func kindOf(err error) Kind {
	if e, ok := errors.AsType[*Error](err); ok {
		return e.Kind
	}
	return ""
}

// TestCircuit follows one service through trouble and out of it: the third
// failure opens, nothing is sent meanwhile, one trial at a time is let through,
// the pause doubles up to its longest, and one answer closes.
func TestCircuit(t *testing.T) {
	p := newPatient(t)
	p.status = 503
	p.fails(3)
	require.Equal(t, 3, p.count())

	err := p.run()
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, Paused, e.Kind)
	assert.Equal(t, morning.Add(2*time.Minute), e.Until)
	assert.Contains(t, e.Error(), "left alone for a while: it failed 3 times in a row, the last time with: the service is in trouble (HTTP 503)")
	assert.Contains(t, e.Error(), "it is asked again in 2 min (05:42 UTC)")
	assert.Contains(t, e.Fix, "another source")
	assert.Equal(t, 3, p.count(), "nothing was sent")

	for _, pause := range []time.Duration{2, 4, 8, 16, 16} {
		p.now = p.now.Add(pause*time.Minute - time.Second)
		assert.Equal(t, Paused, kindOf(p.run()))
		p.now = p.now.Add(time.Second)
		p.fails(1) // the trial
	}
	assert.Equal(t, 8, p.count())

	p.status = 200
	assert.Equal(t, Paused, kindOf(p.run()))
	p.now = p.now.Add(16 * time.Minute)
	require.NoError(t, p.run())
	require.NoError(t, p.run())
	p.status = 503
	p.fails(2) // an answer began the count anew
	assert.Equal(t, 12, p.count())
}

// TestOneTrialAtATime: while somebody tries, nobody else does; one who died on
// it holds the others up no longer than a question takes.
func TestOneTrialAtATime(t *testing.T) {
	p := newPatient(t)
	p.status = 500
	p.fails(3)
	p.now = p.now.Add(2 * time.Minute)
	c := client(t, nil, func(cfg *Config) { cfg.Shared, cfg.Now = p.shared, func() time.Time { return p.now } })
	host, err := request(p.URL).host()
	require.NoError(t, err)
	require.Nil(t, c.admit(request(p.URL), host), "the one who dies")
	err = p.run()
	assert.Equal(t, Paused, kindOf(err))
	assert.ErrorContains(t, err, "another run is trying it now")
	p.now = p.now.Add(c.cfg.Timeout)
	p.status = 200
	require.NoError(t, p.run())
	require.NoError(t, p.run())
}

// TestServicesOwnWaitOutlastsTheRun: a service that asks for an hour is left
// alone for that hour by every run, at once and not after the third.
func TestServicesOwnWaitOutlastsTheRun(t *testing.T) {
	for after, wait := range map[string]time.Duration{"3600": time.Hour, "2147483647": 24 * time.Hour} {
		p := newPatient(t)
		p.status, p.header = 429, [2]string{"Retry-After", after}
		require.Equal(t, TooMany, kindOf(p.run()))
		p.now = morning.Add(wait - time.Second)
		err := p.run()
		assert.Equal(t, Paused, kindOf(err), after)
		assert.ErrorContains(t, err, "it failed once, the last time with: too many requests", after)
		assert.Equal(t, 1, p.count())
		p.status, p.header, p.now = 200, [2]string{}, morning.Add(wait)
		require.NoError(t, p.run())
	}
}

// TestWhatDoesNotOpen: an answer that one does not like is an answer, and a
// connection that could not be begun says nothing of the service.
func TestWhatDoesNotOpen(t *testing.T) {
	for _, status := range []int{400, 401, 403, 404, 422} {
		p := newPatient(t)
		p.status = status
		for range 6 {
			require.Error(t, p.run())
		}
		assert.Equal(t, 6, p.count(), status)
	}
	p := newPatient(t)
	for range 6 {
		assert.Equal(t, Rejected, kindOf(p.run(func(r *Request) { r.Check = func([]byte) error { return errors.New("no") } })))
	}
	for name, err := range map[string]error{
		"no name":  &net.OpError{Op: "dial", Err: &net.DNSError{Err: "no such host", IsNotFound: true}},
		"no route": &net.OpError{Op: "dial", Err: errors.New("network is unreachable")},
	} {
		dial := func(context.Context, string, string) (net.Conn, error) { return nil, err }
		c := client(t, nil, func(cfg *Config) { cfg.Tries, cfg.Transport = 1, &http.Transport{DialContext: dial} })
		for range 6 {
			assert.Equal(t, Network, kindOf(get(c, "http://weather.invalid/")), name)
		}
	}
}

func get(c *Client, url string) error {
	_, err := c.Get(context.Background(), request(url))
	return err
}

// TestWhatOpens: every kind of trouble of the service's own, by whatever way.
func TestWhatOpens(t *testing.T) {
	for name, handler := range map[string]func(http.ResponseWriter, *http.Request, int){
		"500": status(500, ""), "503": status(503, ""), "429": status(429, ""), "reset": reset, "page": status(200, "<html>"), "half": status(200, `{"a`),
	} {
		t.Run(name, func(t *testing.T) {
			s := serve(t, handler)
			s.Config.ErrorLog = nolog
			c := client(t, nil, func(cfg *Config) { cfg.Tries = 1 })
			for range 3 {
				require.Error(t, get(c, s.URL))
			}
			assert.Equal(t, Paused, kindOf(get(c, s.URL)))
			assert.Equal(t, 3, s.count())
		})
	}
	refused := serve(t, status(200, ""))
	refused.Close()
	c := client(t, nil, func(cfg *Config) { cfg.Tries = 1 })
	for range 3 {
		assert.Equal(t, Network, kindOf(get(c, refused.URL)))
	}
	assert.Equal(t, Paused, kindOf(get(c, refused.URL)))
}

// TestPartsFailApart: one part of a service in trouble leaves the others alone.
func TestPartsFailApart(t *testing.T) {
	p := newPatient(t)
	alerts := func(r *Request) { r.Part = "alerts" }
	p.status = 500
	p.fails(3, alerts)
	assert.Equal(t, Paused, kindOf(p.run(alerts)))
	p.status = 200
	require.NoError(t, p.run())
	assert.Equal(t, Paused, kindOf(p.run(alerts)))
}

// TestOpenCircuitGivesTheCopy: the copy is the answer, and says why.
func TestOpenCircuitGivesTheCopy(t *testing.T) {
	p, m := newPatient(t), newMemory()
	now := morning
	c := client(t, m, func(cfg *Config) { cfg.Shared, cfg.Tries, cfg.Now = p.shared, 1, func() time.Time { return now } })
	require.NoError(t, get(c, p.URL))
	p.status, now = 503, now.Add(time.Hour)
	for range 4 {
		res, err := c.Get(context.Background(), request(p.URL))
		require.NoError(t, err)
		assert.True(t, res.Stale)
		assert.Equal(t, time.Hour, res.Age)
	}
	res, err := c.Get(context.Background(), request(p.URL))
	require.NoError(t, err)
	assert.Equal(t, Paused, kindOf(res.Cause))
	assert.Equal(t, 4, p.count())
}

// TestNotesThatCannotBeTrusted: a note that is damaged, or of a clock that was
// set back, or that cannot be had, silences nobody.
func TestNotesThatCannotBeTrusted(t *testing.T) {
	p := newPatient(t)
	p.status = 503
	p.fails(3)
	p.status, p.now = 200, morning.Add(-time.Minute)
	require.NoError(t, p.run(), "the clock was set back")

	far := trouble{Failures: 9, Last: morning, Until: morning.Add(48 * time.Hour)}
	for _, note := range [][]byte{[]byte("garbage"), []byte(`{"until":"soon"}`), far.note()} {
		host, err := request(p.URL).host()
		require.NoError(t, err)
		require.NoError(t, p.shared.Update(request(p.URL).circuit(host), func([]byte) []byte { return note }))
		p.now = morning
		require.NoError(t, p.run())
	}

	c := client(t, nil, func(cfg *Config) { cfg.Shared = brokenNotes{} })
	res, err := c.Get(context.Background(), request(p.URL))
	require.NoError(t, err)
	assert.Empty(t, res.Warnings)
}

type brokenNotes struct{}

func (brokenNotes) Update(string, func([]byte) []byte) error { return errors.New("no room") }

// TestCancelledTrialIsNobodysFault: who gives up lets the next try at once.
func TestCancelledTrialIsNobodysFault(t *testing.T) {
	p := newPatient(t)
	p.status = 503
	p.fails(3)
	p.now = p.now.Add(2 * time.Minute)
	gone, stop := context.WithCancel(context.Background())
	stop()
	c := client(t, nil, func(cfg *Config) { cfg.Shared, cfg.Now = p.shared, func() time.Time { return p.now } })
	_, err := c.Get(gone, request(p.URL))
	assert.Equal(t, Cancelled, kindOf(err))
	p.status = 200
	require.NoError(t, p.run())
}

func TestAskingIsTold(t *testing.T) {
	s := serve(t, say(`{}`))
	var asked []string
	m := newMemory()
	c := client(t, m, func(cfg *Config) { cfg.Asking = func(s string) { asked = append(asked, s) } })
	r := request(s.URL)
	r.Hold = time.Hour
	for range 2 {
		_, err := c.Get(context.Background(), r)
		require.NoError(t, err)
	}
	assert.Equal(t, []string{"Test service"}, asked, "the copy asks nobody")
}

func TestSavedAsksNobody(t *testing.T) {
	s := serve(t, say(`{"good":1}`))
	m, now := newMemory(), morning
	c := client(t, m, func(cfg *Config) { cfg.Now = func() time.Time { return now } })
	r := request(s.URL)
	r.Hold = time.Hour
	_, ok := c.Saved(r)
	assert.False(t, ok)
	require.NoError(t, func() error { _, err := c.Get(context.Background(), r); return err }())
	now = now.Add(30 * time.Minute)
	res, ok := c.Saved(r)
	require.True(t, ok)
	assert.False(t, res.Stale)
	now = now.Add(time.Hour)
	res, ok = c.Saved(r)
	require.True(t, ok)
	assert.True(t, res.Stale)
	assert.Equal(t, 90*time.Minute, res.Age)
	r.Check = func([]byte) error { return errors.New("no") }
	_, ok = c.Saved(r)
	assert.False(t, ok)
	assert.Equal(t, 1, s.count())
}

func TestFewerTries(t *testing.T) {
	s := serve(t, status(500, ""))
	r := request(s.URL)
	r.Tries = 2
	fails(t, client(t, nil), r, Overloaded)
	assert.Equal(t, 2, s.count())
}
